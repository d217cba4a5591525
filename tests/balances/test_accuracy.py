"""The accuracy test of a balance: its published case, its limits, and what it refuses."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.balances import (
    accuracy_error,
    accuracy_limit,
    accuracy_test,
    largest_error_of_weight,
    smallest_test_weight,
)
from pharmcalc.errors import PharmcalcError, RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.rounding import round_to_step
from pharmcalc.units import Quantity, quantity

grams = st.integers(min_value=1, max_value=200_000).map(lambda number: quantity(number, "milligram"))


def ids(**values: str) -> list[str]:
    """Return the ids of the rules that an accuracy test breaks."""
    return [reason.id for reason in accuracy_test(**values).reasons]


def test_the_published_accuracy_test_passes_with_a_suitable_weight() -> None:
    """100 g on a 200 g balance reading 100.08 g: 0.08 %, a pass; the weight may be off by 33.3 mg (USP <41>)."""
    test = accuracy_test(capacity="200 g", test_weight="100 g", reading="100.08 g")
    assert test.passed
    assert test.error == quantity("0.08", "percent")
    assert test.error_in_mass == quantity(80, "milligram")
    assert test.limit == quantity(100, "milligram")
    assert round_to_step(test.largest_error_of_weight, quantity("0.1", "milligram")) == quantity("33.3", "milligram")
    assert smallest_test_weight(capacity="200 g") == quantity(10, "gram")


@pytest.mark.parametrize(
    ("test_weight", "reading", "broken"),
    [
        # USP <41>: 0.10 % and 5 % to 100 % of the capacity (seen second-hand); both ends belong to the rule
        ("10 g", "10.01 g", []),
        ("9.99 g", "9.99 g", ["test-weight-outside-range"]),
        ("200 g", "199.8 g", []),
        ("200.01 g", "200.01 g", ["test-weight-outside-range"]),
        ("100 g", "100.1 g", []),
        ("100 g", "100.101 g", ["accuracy-above-limit"]),
        ("100 g", "99.89 g", ["accuracy-above-limit"]),
        ("5 g", "5.1 g", ["test-weight-outside-range", "accuracy-above-limit"]),
    ],
)
def test_equality_is_a_pass_and_every_broken_rule_is_named(test_weight: str, reading: str, broken: list[str]) -> None:
    """Limits are included: 0.10 % passes, 5 % and 100 % of the capacity are suitable."""
    assert ids(capacity="200 g", test_weight=test_weight, reading=reading) == broken


def test_a_weight_that_is_itself_uncertain_cannot_judge() -> None:
    """The weight may be off by a third of the limit: of 10 mg at 10 g, so 3.4 mg is too much and 3.3 mg is not."""
    known = {"capacity": "200 g", "test_weight": "10 g", "reading": "10 g"}
    assert ids(**known, error_of_weight="3.4 mg") == ["test-weight-not-good-enough"]
    assert ids(**known, error_of_weight="3.3 mg") == []
    assert ids(**known, error_of_weight="0 mg") == []
    thirty = {"capacity": "200 g", "test_weight": "30 g", "reading": "30 g"}
    assert ids(**thirty, error_of_weight="10 mg") == []  # exactly a third of 30 mg


@pytest.mark.parametrize(
    ("mistake", "values", "wrong"),
    [
        (
            "accuracy-relative-to-capacity",
            {"test_weight": "100 g", "reading": "100.08 g", "capacity": "200 g"},
            "0.04 %",
        ),
        ("accuracy-not-times-100", {"test_weight": "100 g", "reading": "100.08 g"}, "0.0008 %"),
        ("accuracy-limit-percent-as-number", {"test_weight": "100 g"}, "10 g"),
        ("test-weight-divided", {"capacity": "200 g"}, "40 g"),
        ("weight-takes-whole-limit", {"permissible_error": "100 mg"}, "100 mg"),
    ],
)
def test_known_slips_give_their_own_numbers(mistake: str, values: dict[str, str], wrong: str) -> None:
    """Each slip of the accuracy test has its own number, and it is not the right one."""
    slip = MISTAKES[mistake]
    found = slip.evaluate({name: slip.kinds[name].check(name, text) for name, text in values.items()})
    assert found == slip.kind.check("wrong", wrong)
    right = {name: text for name, text in values.items() if name in slip.of.kinds}
    assert slip.of(**right) != found


@given(grams, grams)
def test_the_error_in_mass_is_the_percentage_of_the_test_weight(weight: Quantity, reading: Quantity) -> None:
    """Percentage and mass say the same thing: one exceeds its limit exactly when the other does."""
    above = accuracy_error(test_weight=weight, reading=reading) > quantity("0.1", "percent")
    assert above == (abs(reading - weight) > accuracy_limit(test_weight=weight))


@given(grams)
def test_three_weights_share_the_limit(weight: Quantity) -> None:
    """The share of the weight is a third of the limit, exactly."""
    assert largest_error_of_weight(permissible_error=weight) * 3 == weight


@pytest.mark.parametrize("bad", ["0 g", "-1 g", "nan g", "inf g", "100", "5 mL", "5 %", "", "100 g 100"])
@pytest.mark.parametrize("name", ["capacity", "test_weight", "reading", "error_of_weight"])
def test_what_is_no_mass_is_refused_by_name(name: str, bad: str) -> None:
    """Nothing, a negative mass, NaN, infinity, a bare number and another kind of amount are refused with a cure."""
    values = {"capacity": "200 g", "test_weight": "100 g", "reading": "100 g", "error_of_weight": "1 mg"} | {name: bad}
    if name == "error_of_weight" and bad == "0 g":
        assert accuracy_test(**values).passed  # a perfect weight is possible
        return
    with pytest.raises(PharmcalcError) as refused:
        accuracy_test(**values)
    assert "Write" in str(refused.value)
    if isinstance(refused.value, RefusedError):
        assert refused.value.where == f"accuracy_test: {name}"
