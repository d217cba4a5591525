"""Rounding: for the eye only, to the step of a display or to figures, with ties by name."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.reading import read
from pharmcalc.rounding import Precision, round_to_step
from pharmcalc.tasks.family import family_called
from pharmcalc.units import quantity
from tests.questions import HOUSE

values = st.fractions(min_value=0, max_value=10000, max_denominator=1000)
steps = st.sampled_from(["0.1", "1", "2", "5", "10"])


@pytest.mark.parametrize(
    ("value", "step", "half_up", "half_even"),
    [
        ("21.7234", "0.01", "21.72", "21.72"),  # Rees, Smith & Watson, 4th ed. (2015), p. 217
        ("21.7258", "0.01", "21.73", "21.73"),  # Rees, Smith & Watson, 4th ed. (2015), p. 217
        ("62.5", "1", "63", "62"),  # ties: half up in most classrooms, half even in NIST SP 811 (from memory)
        ("63.5", "1", "64", "64"),  # the same
        ("0.125", "0.01", "0.13", "0.12"),  # the same
    ],
)
def test_ties_go_up_or_to_the_even_digit(value: str, step: str, half_up: str, half_even: str) -> None:
    """62.5 becomes 63 or 62, as the house rules say; everything else goes to the nearer one."""
    given_value, one = quantity(value, "mg"), quantity(step, "mg")
    assert round_to_step(given_value, one, "half up") == quantity(half_up, "mg")
    assert round_to_step(given_value, one, "half even") == quantity(half_even, "mg")


@given(values, steps, st.sampled_from(["half up", "half even"]))
def test_a_rounded_value_is_the_nearest_step(value: Fraction, step: str, ties: str) -> None:
    """It is a whole number of steps, at most half a step away, and rounding it again changes nothing."""
    one = quantity(step, "mg")
    rounded = round_to_step(quantity(value, "mg"), one, ties)
    assert (rounded / one).to_base_units().magnitude.denominator == 1
    assert abs(rounded - quantity(value, "mg")) * 2 <= one
    assert round_to_step(rounded, one, ties) == rounded


@given(values, steps, st.sampled_from(["half up", "half even"]))
def test_a_right_answer_rounded_as_asked_is_accepted(value: Fraction, step: str, ties: str) -> None:
    """Whoever works exactly and rounds at the end, ties upwards or to the even digit, is right."""
    right, precision = quantity(value, "mg"), Precision(step=quantity(step, "mg"))
    assert precision.accepts(right, right)
    assert precision.accepts(round_to_step(right, quantity(step, "mg"), ties), right)


@pytest.mark.parametrize(
    ("given_text", "right", "accepted"),
    [
        ("3.16 %", "60/19", True),
        ("3.158 %", "60/19", True),
        ("3.1578947 %", "60/19", True),
        ("3.15 %", "60/19", False),
        ("3.17 %", "60/19", False),
        ("3.2 %", "60/19", False),
        ("12 %", "12", True),
        ("12.1 %", "12", False),
        ("12.04 %", "12", True),
        ("12.05 %", "12", False),  # half a step off, but no rounding of 12
        ("12.5 %", "12.45", True),  # a tie: half up
        ("12.4 %", "12.45", True),  # the same tie: to the even digit
        ("12.4 %", "12.35", True),
        ("12.3 %", "12.35", False),  # neither way of rounding gives this
    ],
)
def test_three_figures_are_three_figures(given_text: str, right: str, accepted: bool) -> None:
    """3.16 % is right for 3.15789... %; 3.2 % is rounded too far and 3.15 % is cut off."""
    assert Precision().accepts(read(given_text).value, quantity(right, "percent")) is accepted


@pytest.mark.parametrize(
    ("typed", "right", "coarse"),
    [
        ("3.2 %", "60/19", True),
        ("3 %", "60/19", True),
        ("4 %", "25/6", True),  # the whole per cent that a quiz prints for 4.17 %
        ("3.3 %", "60/19", False),
        ("2e1 %", "24", False),  # within half of its last place, but a sixth off
        ("3.15 %", "60/19", False),
        ("20 %", "16", False),
    ],
)
def test_rounded_too_far_is_told_from_wrong(typed: str, right: str, coarse: bool) -> None:
    """3.2 % is the right number with too few figures; 3.3 % is another number, and 20 % for 16 % is too far off."""
    reading = read(typed)
    assert Precision().too_coarse(reading.value, quantity(right, "percent"), reading.half_place) is coarse


def test_a_task_says_how_closely_it_asks() -> None:
    """The words stand on the paper, so that nobody has to guess."""
    assert Precision().says() == "to 3 significant figures"
    assert Precision(step=quantity("0.1", "mg")).says() == "to the nearest 0.1 mg"


def test_what_is_counted_is_not_asked_to_figures() -> None:
    """Nobody crushes 5.40 tablets: a number that is rounded up is asked as a whole number."""
    task = family_called("crushed-tablets").task("q1", "counted", HOUSE)
    assert [task.closely(asked) for asked in task.asked] == [
        "to 3 significant figures",
        "a whole number",
        "to 3 significant figures",
    ]


def test_nothing_is_nothing_to_any_number_of_figures() -> None:
    """A right answer of 0 mg has no figures to count; it is compared as if it were about 1 mg."""
    assert Precision().accepts(quantity(0, "mg"), quantity(0, "mg"))
    assert not Precision().accepts(quantity(1, "mg"), quantity(0, "mg"))
