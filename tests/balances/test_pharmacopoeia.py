"""The minimum weight from repeatability: where the floor of 0.41 d counts and where it does not."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.balances import minimum_weight, repeatability_error, smallest_minimum_weight
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.units import quantity
from tests.published import exactly

masses = st.fractions(min_value="1/1000", max_value=10, max_denominator=1000).map(lambda number: quantity(number, "mg"))


# Published values ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("deviation", "step", "expected", "without_floor"),
    [
        ("0.025", "0.1", "82", "50"),  # USP <41> since December 2013 (820 d seen second-hand; the 0.41 d from memory)
        ("0.0085", "0.01", "17", "17"),  # the same rule, floor not active (derived)
    ],
)
def test_the_floor_counts_where_the_balance_repeats_better_than_it_rounds(
    deviation: str, step: str, expected: str, without_floor: str
) -> None:
    """With d = 0.1 mg and s = 0.025 mg the minimum weight is 82 mg; without the floor it would come out as 50 mg."""
    values = {"standard_deviation": quantity(deviation, "mg"), "display_step": quantity(step, "mg")}
    assert exactly(minimum_weight(**values), expected, "milligram")
    assert exactly(MISTAKES["minimum-weight-no-floor"].evaluate(values), without_floor, "milligram")


# Laws ----------------------------------------------------------------------------------------------------------------


@given(masses, masses)
def test_the_minimum_weight_just_complies(deviation: object, step: object) -> None:
    """At the minimum weight the repeatability is exactly 0.10 %, with the deviation that counts."""
    least = minimum_weight(standard_deviation=deviation, display_step=step)
    counted = max(deviation, step * Fraction(41, 100))
    assert exactly(repeatability_error(standard_deviation=counted, smallest_net_weight=least), "0.1", "percent")


@given(masses, masses)
def test_no_balance_beats_its_own_display(deviation: object, step: object) -> None:
    """Whatever its repeatability, the minimum weight is never below 820 steps of the display."""
    least = minimum_weight(standard_deviation=deviation, display_step=step)
    assert least >= smallest_minimum_weight(display_step=step) == step * 820


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("deviation", ["0 mg", "-0.1 mg", "0.025", "0.025 %", "nan mg"])
def test_a_standard_deviation_is_a_mass_above_zero(deviation: str) -> None:
    """Nought would say that ten weighings never differed; the display alone forbids that."""
    with pytest.raises(RefusedError, match="minimum_weight: standard_deviation"):
        minimum_weight(standard_deviation=deviation, display_step="0.1 mg")
