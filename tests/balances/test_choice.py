"""Which balance may weigh a quantity: every rule by its name, the unmarked capacity, laws and refusals."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.balances import UNMARKED_CAPACITY, Balance, choose_balance, percentage_of_error
from pharmcalc.errors import PharmcalcError, RefusedError
from pharmcalc.rounding import round_to_step
from pharmcalc.units import Quantity, quantity

TORSION = Balance("torsion balance", sensitivity="6 mg")
TOP_LOADER = Balance(
    "top loader",
    display_step="10 mg",
    capacity="300 g",
    stated_minimum="1 g",
    accuracy_class="II",
    verification_interval="0.1 g",
)
ANALYTICAL = Balance(
    "analytical balance",
    display_step="0.1 mg",
    capacity="200 g",
    stated_minimum="82 mg",
    accuracy_class="I",
    verification_interval="1 mg",
)
SHELF = (TORSION, TOP_LOADER, ANALYTICAL)


def reasons(quantity_wanted: object, **values: object) -> dict[str, list[str]]:
    """Return for each balance of the shelf the ids of the reasons against it."""
    choice = choose_balance(quantity_wanted=quantity_wanted, balances=SHELF, **values)
    return {verdict.candidate.name: [reason.id for reason in verdict.reasons] for verdict in choice.verdicts}


def test_an_unmarked_prescription_balance_is_taken_to_carry_15_5_g() -> None:
    """The published 15.5 g is half an apothecaries' ounce, 15.5517 g, rounded; it is not corrected (USP 29 <1176>)."""
    half_ounce = quantity(Fraction(1, 2), "apothecary_ounce").to("gram")
    assert quantity("15.5", "gram") == UNMARKED_CAPACITY
    assert round_to_step(half_ounce, quantity("0.0001", "gram")) == quantity("15.5517", "gram")
    assert round_to_step(half_ounce, quantity("0.1", "gram")) != UNMARKED_CAPACITY  # to one place it would be 15.6 g
    assert TORSION.carries == UNMARKED_CAPACITY
    assert reasons("15.5 g")["torsion balance"] == []
    assert reasons("15.52 g")["torsion balance"] == ["above-capacity"]


@pytest.mark.parametrize(
    ("wanted", "torsion", "top_loader", "analytical"),
    [
        ("120 mg", [], ["below-least-weighable", "below-minimum-capacity"], []),
        (
            "119 mg",
            ["below-least-weighable"],
            ["below-least-weighable", "below-minimum-capacity", "not-on-display"],
            [],
        ),
        ("81.95 mg", ["below-least-weighable"], None, ["below-least-weighable", "not-on-display"]),
        ("4 mg", ["below-least-weighable"], None, ["below-least-weighable", "below-minimum-capacity"]),
        ("10 mg", ["below-least-weighable"], None, ["below-least-weighable"]),  # just at its minimum capacity
        ("16 g", ["above-capacity"], [], []),
        ("250 g", ["above-capacity"], [], ["above-capacity"]),
    ],
)
def test_every_rule_against_a_balance_is_named(
    wanted: str, torsion: list[str], top_loader: list[str] | None, analytical: list[str]
) -> None:
    """Equality passes: 120 mg may be weighed where the least weighable quantity is 120 mg."""
    found = reasons(wanted)
    assert found["torsion balance"] == torsion
    assert top_loader is None or found["top loader"] == top_loader
    assert found["analytical balance"] == analytical


def test_the_minimum_capacity_counts_display_steps_where_the_last_digit_is_auxiliary() -> None:
    """Class II, e = 0.1 g: 50 steps; with d = 10 mg they are 0.5 g and not 5 g. Class I, d = 0.1 mg: 10 mg."""
    assert TOP_LOADER.minimum_capacity == quantity(500, "milligram")
    assert ANALYTICAL.minimum_capacity == quantity(10, "milligram")
    assert TORSION.minimum_capacity is None


def test_tare_counts_towards_the_capacity_and_never_towards_the_least_weighable_quantity() -> None:
    """A 15.4 g vessel leaves room for 100 mg, but makes 100 mg no better weighed."""
    assert reasons("120 mg", tare="15.38 g")["torsion balance"] == []
    assert reasons("121 mg", tare="15.38 g")["torsion balance"] == ["above-capacity"]
    assert reasons("100 mg", tare="10 g")["torsion balance"] == ["below-least-weighable"]


def test_a_sentence_says_each_reason_with_its_numbers() -> None:
    """The reasons are read by people: what is wanted, what the rule says, what would happen."""
    choice = choose_balance(quantity_wanted="50 mg", balances=SHELF, tare="20 g")
    assert choice.text().splitlines() == [
        "torsion balance: no. 50 mg is below the least weighable quantity of 120 mg; the error could be 12 %. "
        "50 mg with the tare of 20 g is above its capacity of 15.5 g (its capacity is not marked).",
        "top loader: no. 50 mg is below the least weighable quantity of 1 g; the error could be 100 %. "
        "50 mg is below its minimum capacity of 500 mg (class II).",
        "analytical balance: no. 50 mg is below the least weighable quantity of 82 mg; the error could be 8.2 %.",
    ]
    assert choice.best is None


def test_the_best_balance_is_the_one_with_the_smallest_error() -> None:
    """For 2 g the torsion balance may be 0.3 % off, the analytical balance about 0.2 %."""
    choice = choose_balance(quantity_wanted="2 g", balances=SHELF)
    assert len(choice.allowed) == 3
    assert choice.best is ANALYTICAL


def test_a_stricter_error_asks_for_more() -> None:
    """At 1 % the torsion balance starts at 600 mg; a stated minimum stays what it is."""
    assert reasons("599 mg", allowed_error="1 %")["torsion balance"] == ["below-least-weighable"]
    assert reasons("600 mg", allowed_error="1 %")["torsion balance"] == []
    assert ANALYTICAL.least_weighable(quantity(1, "percent")) == quantity(82, "milligram")


masses = st.fractions(min_value="1/10", max_value=20_000, max_denominator=10).map(lambda n: quantity(n, "milligram"))
sensitivities = st.fractions(min_value="1/10", max_value=20, max_denominator=10).map(lambda n: quantity(n, "milligram"))
errors = st.integers(1, 20).map(lambda n: quantity(n, "percent"))


@given(masses, sensitivities, errors)
def test_a_weighing_is_allowed_exactly_when_its_error_stays_within_the_limit(
    wanted: Quantity, sensitivity: Quantity, allowed: Quantity
) -> None:
    """The least weighable quantity and the percentage of error are one rule told twice."""
    balance = Balance("B", sensitivity=sensitivity, capacity=quantity(1, "kilogram"))
    choice = choose_balance(quantity_wanted=wanted, balances=[balance], allowed_error=allowed)
    within = percentage_of_error(sensitivity=sensitivity, load=wanted) <= allowed
    assert bool(choice.allowed) is within


@pytest.mark.parametrize(
    ("values", "parts"),
    [
        ({"quantity_wanted": "0 mg"}, ("quantity_wanted", "more than zero", "Write")),
        ({"quantity_wanted": "50"}, ("quantity_wanted", "a mass", "Write")),
        ({"quantity_wanted": "-5 mg"}, ("quantity_wanted", "more than zero", "-5 mg")),
        ({"quantity_wanted": "5 mL"}, ("quantity_wanted", "a mass", "5 mL")),
        ({"allowed_error": "0 %"}, ("allowed_error", "more than 0 %", "5 %")),
        ({"allowed_error": "5"}, ("allowed_error", "a percentage", "Write")),
        ({"tare": "-1 g"}, ("tare", "-1 g", "Write")),
        ({"balances": []}, ("balances", "no balance", "Give")),
    ],
)
def test_what_cannot_be_weighed_is_refused(values: dict[str, object], parts: tuple[str, ...]) -> None:
    """A refusal names the argument, the rule, the value and the cure."""
    known = {"quantity_wanted": "50 mg", "balances": SHELF} | values
    with pytest.raises(RefusedError) as refused:
        choose_balance(**known)
    assert all(part in str(refused.value) for part in parts)


@pytest.mark.parametrize("bad", ["nan mg", "inf mg", "6 milk", ""])
def test_an_unreadable_quantity_is_refused(bad: str) -> None:
    """NaN, infinity and unknown units never reach a balance."""
    with pytest.raises(PharmcalcError):
        choose_balance(quantity_wanted=bad, balances=SHELF)


@pytest.mark.parametrize(
    ("values", "parts"),
    [
        ({}, ("balance X", "what it can weigh", "sensitivity")),
        ({"display_step": "1 mg"}, ("balance X: capacity", "15.5 g", "plate")),
        ({"sensitivity": "0 mg"}, ("balance X: sensitivity", "more than zero")),
        ({"sensitivity": "6"}, ("balance X: sensitivity", "a mass")),
        ({"sensitivity": "6 mg", "capacity": "60 mL"}, ("balance X: capacity", "a mass", "60 mL")),
        ({"sensitivity": "6 mg", "accuracy_class": "III"}, ("balance X", "belong together")),
    ],
)
def test_a_balance_that_says_too_little_is_refused(values: dict[str, str], parts: tuple[str, ...]) -> None:
    """A balance must say how small it can weigh, and what it carries unless it is a prescription balance."""
    with pytest.raises(RefusedError) as refused:
        Balance("X", **values)
    assert all(part in str(refused.value) for part in parts)
