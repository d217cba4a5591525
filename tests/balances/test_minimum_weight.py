"""The minimum weight of an electronic balance: published cases, and where the 0.41 d comes from."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.balances import (
    FLOOR,
    largest_step_for,
    minimum_weight,
    minimum_weight_before_2013,
    repeatability_error,
    rounding_of_net_weight,
    smallest_minimum_weight,
    smallest_net_weight,
)
from pharmcalc.balances.pharmacopoeia import PHARMACOPOEIA_LIMIT
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.rounding import round_to_step
from pharmcalc.units import Quantity, quantity

steps = st.fractions(min_value="1/1000", max_value=100, max_denominator=1000)


def mg(number: object) -> Quantity:
    """Return milligrams."""
    return quantity(str(number), "milligram")


@pytest.mark.parametrize(
    ("display_step", "smallest"),
    [
        # USP <41>, in force since December 2013 (820 d met second-hand); derived
        ("0.001 mg", "0.82"),
        ("0.002 mg", "1.64"),
        ("0.01 mg", "8.2"),
        ("0.1 mg", "82"),
        ("1 mg", "820"),
    ],
)
def test_no_balance_can_have_a_minimum_weight_below_820_steps_of_its_display(display_step: str, smallest: str) -> None:
    """However well it repeats, a balance cannot beat 820 d; with s = 0 it would be the floor that counts."""
    assert smallest_minimum_weight(display_step=display_step) == mg(smallest)
    assert minimum_weight(standard_deviation="0.0001 mg", display_step=display_step) == mg(smallest)


@pytest.mark.parametrize(
    ("standard_deviation", "old", "present"),
    [
        # USP 35 <41> (3 s / m <= 0.001, seen) and USP <41> (2 s / m <= 0.10 %); derived
        ("0.02 mg", "60", "40"),
        ("0.1 mg", "300", "200"),
        ("1 mg", "3000", "2000"),
    ],
)
def test_the_rule_before_2013_asked_for_half_as_much_again(standard_deviation: str, old: str, present: str) -> None:
    """Three standard deviations became two in December 2013; mixing the two rules is a known mistake."""
    known = {"standard_deviation": standard_deviation, "display_step": "0.001 mg"}
    assert minimum_weight_before_2013(standard_deviation=standard_deviation) == mg(old)
    assert minimum_weight(**known) == mg(present)
    read = {name: minimum_weight.kinds[name].check(name, text) for name, text in known.items()}
    assert MISTAKES["minimum-weight-three-s"].evaluate(read) == mg(old)


@pytest.mark.parametrize(
    ("smallest_net", "error", "complies"),
    [
        # USP <41>, the criterion as quoted; derived
        ("50 mg", "0.12", False),
        ("60 mg", "0.1", True),
    ],
)
def test_repeatability_complies_when_it_does_not_exceed_the_limit(
    smallest_net: str, error: str, complies: bool
) -> None:
    """Exactly 0.10 % is a pass: the rule says "does not exceed"."""
    found = repeatability_error(standard_deviation="0.030 mg", smallest_net_weight=smallest_net)
    assert found == quantity(error, "percent")
    assert (found <= PHARMACOPOEIA_LIMIT) is complies


def test_a_safety_factor_of_two_doubles_the_smallest_net_weight() -> None:
    """82 mg and a safety factor of 2 give 164 mg of net sample (USP <1251>, from memory)."""
    assert smallest_net_weight(minimum_weight="82 mg", safety_factor="2") == mg(164)


def test_the_tare_does_not_count_as_sample() -> None:
    """Counting a 100 mg paper as sample would leave 64 mg, which is below the minimum weight itself."""
    values = {"minimum_weight": mg(82), "safety_factor": quantity(2), "tare": mg(100)}
    assert MISTAKES["tare-counted-as-sample"].evaluate(values) == mg(64)


def test_rounding_two_readings_gives_0_41_of_a_display_step() -> None:
    """The square root of 2, times d, over twice that of 3 is 0.408 d; the chapter rounds it to 0.41 d."""
    exact = rounding_of_net_weight(display_step="1 mg")
    assert round_to_step(exact, mg("0.001")) == mg("0.408")
    assert round_to_step(exact, mg("0.01")) == mg(FLOOR)


def test_the_square_of_the_rounding_is_a_sixth_of_the_square_of_the_step() -> None:
    """One reading brings d squared over 12; the zero and the load together bring a sixth."""
    exact = rounding_of_net_weight(display_step="3 mg")
    assert abs(exact * exact - mg(1) * mg("1.5")) < mg("1e-30") * mg(1)


@given(steps)
def test_step_and_smallest_minimum_weight_lead_there_and_back(step: object) -> None:
    """The largest display step for the smallest minimum weight of a display step is that step."""
    assert largest_step_for(minimum_weight=smallest_minimum_weight(display_step=mg(step))) == mg(step)


@given(steps, steps)
def test_the_smallest_net_weight_never_lies_below_820_steps_for_a_factor_of_one_or_more(
    step: object, s: object
) -> None:
    """Neither repeatability nor a safety factor can bring a net weight below 820 d."""
    least = minimum_weight(standard_deviation=mg(s), display_step=mg(step))
    assert smallest_net_weight(minimum_weight=least, safety_factor="1.5") >= mg(step) * 820


@pytest.mark.parametrize(
    ("values", "parts"),
    [
        ({"minimum_weight": "82 mg", "safety_factor": "0"}, ("safety_factor", "more than zero", "20")),
        ({"minimum_weight": "-82 mg", "safety_factor": "2"}, ("minimum_weight", "more than zero", "-82 mg")),
        ({"minimum_weight": "82", "safety_factor": "2"}, ("minimum_weight", "a mass", "82")),
        ({"minimum_weight": "82 mg"}, ("smallest_net_weight", "safety_factor", "Write")),
    ],
)
def test_a_net_weight_from_nothing_is_refused(values: dict[str, str], parts: tuple[str, ...]) -> None:
    """A refusal names the amount, the rule, the value and the cure."""
    with pytest.raises(RefusedError) as refused:
        smallest_net_weight(**values)
    assert all(part in str(refused.value) for part in parts)
