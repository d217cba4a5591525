"""Decimal places, significant figures, sums and uncertainties: rounded for the eye, with ties by name."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import PharmcalcError, RefusedError
from pharmcalc.rounding import (
    TIES,
    figures_written,
    reported,
    round_to_figures,
    round_to_places,
    round_to_step,
    sum_as_written,
    to_fewest_figures,
)
from pharmcalc.units import quantity
from tests.published import exactly

numbers = st.fractions(min_value="1/1000", max_value=100000, max_denominator=100000)
decimals = st.decimals(min_value="0.001", max_value="99999", places=3)


# Published values ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "places", "half_up", "half_even"),
    [
        ("21.7234", 2, "21.72", "21.72"),  # Rees, Smith & Watson, 4th ed. (2015), p. 217 (seen)
        ("21.7258", 2, "21.73", "21.73"),  # the same page
        ("8.25", 1, "8.3", "8.2"),  # a tie: most classrooms half up; NIST SP 811 half even (from memory)
        ("8.35", 1, "8.4", "8.4"),  # the same rule
        ("8.05", 1, "8.1", "8.0"),  # a float would hold 8.050000000000000710 here
        ("2.675", 2, "2.68", "2.68"),  # a float would hold 2.67499999999999982236431605997495353221893
        ("0.125", 2, "0.13", "0.12"),  # derived
    ],
)
def test_a_tie_is_decided_by_name_and_never_by_accident(value: str, places: int, half_up: str, half_even: str) -> None:
    """8.25 to one place is 8.3 half up and 8.2 half even; exact fractions know a tie when they see one."""
    assert exactly(round_to_places(quantity(value, "mg"), places, "half up"), half_up, "milligram")
    assert exactly(round_to_places(quantity(value, "mg"), places, "half even"), half_even, "milligram")


@pytest.mark.parametrize(
    ("value", "half_up", "half_even"),
    [("-2.5", "-3", "-2"), ("-3.5", "-4", "-4"), ("-2.4", "-2", "-2"), ("0", "0", "0")],
)
def test_a_negative_tie_is_the_mirror_of_a_positive_one(value: str, half_up: str, half_even: str) -> None:
    """Half up means away from zero, on both sides of it."""
    # derived from the definition
    assert exactly(round_to_step(quantity(value, "mg"), quantity(1, "mg"), "half up"), half_up, "milligram")
    assert exactly(round_to_step(quantity(value, "mg"), quantity(1, "mg"), "half even"), half_even, "milligram")


def test_a_sum_follows_the_coarsest_decimal_place() -> None:
    """234.56 + 876.5 - 654.321 is 456.739, and 456.7 is as much as 876.5 allows."""
    # Rees, Smith & Watson, 4th ed. (2015), p. 217 (seen)
    assert exactly(sum_as_written("234.56", "876.5", "-654.321"), "456.7", "")
    assert exactly(sum_as_written("234.56 mg", "876.5 mg", "-654.321 mg"), "456.7", "milligram")
    assert exactly(sum_as_written("0.1 g", "20 mg"), "0.1", "gram")
    assert exactly(sum_as_written("1 mg", "0.5 mg", ties="half even"), "2", "milligram")
    assert exactly(sum_as_written("2 mg", "0.5 mg", ties="half even"), "2", "milligram")
    assert exactly(sum_as_written("2 mg", "0.5 mg"), "3", "milligram")


@pytest.mark.parametrize(
    ("uncertainty", "upwards", "printed"),
    [
        ("10.47", True, "11"),  # JCGM 100:2008 (GUM), 7.2.6 (seen quoted): may be rounded up to 11
        ("10.47", False, "10"),  # the note: rounding up is allowed, not compulsory
        ("28.05", False, "28"),  # GUM 7.2.6
    ],
)
def test_an_uncertainty_has_two_figures_at_most(uncertainty: str, upwards: bool, printed: str) -> None:
    """10.47 may be reported as 10 or as 11, and 28.05 as 28."""
    result = reported(quantity(1000, "mg"), quantity(uncertainty, "mg"), upwards=upwards)
    assert exactly(result.uncertainty, printed, "milligram")


def test_a_value_ends_where_its_uncertainty_ends() -> None:
    """10.05762 with an uncertainty of 0.027 is reported as 10.058."""
    # JCGM 100:2008 (GUM), 7.2.6 (seen quoted), there in ohms
    result = reported(quantity("10.05762"), quantity("0.027"))
    assert exactly(result.value, "10.058", "")
    assert exactly(result.uncertainty, "0.027", "")
    one = reported(quantity("10.05762", "gram"), quantity("27", "mg"), figures=1)
    assert exactly(one.value, "10.06", "gram")
    assert exactly(one.uncertainty, "30", "milligram")
    carried = reported(quantity("123.456", "mg"), quantity("9.96", "mg"))
    assert exactly(carried.uncertainty, "10", "milligram")
    assert exactly(carried.value, "123", "milligram")


# Figures -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "figures"),
    [
        # derived from the definition; closing zeros count, because readings are written as displayed
        ("120 mg", 3),
        ("0.120 g", 3),
        ("0.0050 g", 2),
        ("7 mg", 1),
        ("1200.0 mg", 5),
        ("100 mL", 3),
        ("3.158 %", 4),
        ("0 mg", 1),
    ],
)
def test_figures_count_from_the_first_that_is_not_zero(text: str, figures: int) -> None:
    """0.120 g and 120 mg say equally much."""
    assert figures_written(text) == figures


@pytest.mark.parametrize(
    ("value", "figures", "rounded"),
    [
        ("0.0831725", 3, "0.0832"),
        ("1234.5", 2, "1200"),
        ("9.96", 2, "10"),
        ("0.00999", 2, "0.01"),
        ("999.5", 3, "1000"),
        ("0", 3, "0"),
        ("-12.35", 3, "-12.4"),
    ],
)
def test_rounding_to_figures_may_carry(value: str, figures: int, rounded: str) -> None:
    """9.96 to two figures is 10."""
    # derived from the definition
    assert exactly(round_to_figures(quantity(value, "mg"), figures), rounded, "milligram")


def test_a_product_has_the_fewest_figures_of_its_factors() -> None:
    """12.5 mg/mL times 2.0 mL, or 120 mg over 4.1 mL: two figures."""
    # Rees, Smith & Watson, 4th ed. (2015) (rule seen); numbers chosen here, derived
    assert exactly(to_fewest_figures(quantity("29.268", "mg"), "120 mg", "4.1 mL"), "29", "milligram")
    assert exactly(to_fewest_figures(quantity("25.6", "mg"), "12.5 mg", "2.0 mL"), "26", "milligram")


# Laws ----------------------------------------------------------------------------------------------------------------


@given(numbers, st.integers(min_value=1, max_value=8), st.sampled_from(TIES))
def test_a_value_rounded_to_figures_is_near_and_stays(number: Fraction, figures: int, ties: str) -> None:
    """It is within half a unit of its last figure, and rounding it again changes nothing."""
    value = quantity(number, "mg")
    rounded = round_to_figures(value, figures, ties)
    assert round_to_figures(rounded, figures, ties) == rounded
    assert abs(rounded - value).magnitude * 2 * 10 ** (figures - 1) <= number


@given(numbers, st.integers(min_value=0, max_value=8), st.sampled_from(TIES))
def test_rounding_does_not_depend_on_the_size_of_the_unit(number: Fraction, places: int, ties: str) -> None:
    """Three more places in grams are the same rounding as in milligrams."""
    in_milligrams = round_to_places(quantity(number, "mg"), places, ties)
    in_grams = round_to_places(quantity(number / 1000, "gram"), places + 3, ties)
    assert in_milligrams == in_grams


@given(st.lists(decimals, min_size=1, max_size=5))
def test_a_sum_of_equal_places_is_the_sum(terms: list) -> None:
    """Where all terms have three places, nothing is rounded."""
    total = sum((Fraction(term) for term in terms), Fraction(0))
    assert sum_as_written(*(f"{term} mg" for term in terms)) == quantity(total, "mg")


@given(numbers, numbers, st.sampled_from((1, 2)))
def test_a_report_keeps_both_near_the_truth(value: Fraction, uncertainty: Fraction, figures: int) -> None:
    """The value moves by at most half a unit of its last figure; rounded upwards, the uncertainty never shrinks."""
    exact, spread = quantity(value, "mg"), quantity(uncertainty, "mg")
    nearest, up = reported(exact, spread, figures=figures), reported(exact, spread, figures=figures, upwards=True)
    assert abs(nearest.value - exact) <= spread
    assert up.uncertainty >= spread
    assert up.uncertainty >= nearest.uncertainty


# Refusals ------------------------------------------------------------------------------------------------------------


def test_no_rounding_rule_is_guessed() -> None:
    """An unknown rule for ties, no figures, or a sum that has no last place: refused with the cure."""
    value = quantity("8.25", "mg")
    with pytest.raises(RefusedError, match='ties: must be "half up" or "half even"; it was "down"'):
        round_to_places(value, 1, "down")
    with pytest.raises(RefusedError, match="places must be from 0"):
        round_to_places(value, -1)
    with pytest.raises(RefusedError, match="figures must be from 1"):
        round_to_figures(value, 0)
    with pytest.raises(RefusedError, match=r'"20 x 6 mg" is not one plain amount\. Write one reading'):
        figures_written("20 x 6 mg")
    with pytest.raises(RefusedError, match='"3 mL" is not the same kind of amount as "5 mg"'):
        sum_as_written("5 mg", "3 mL")
    with pytest.raises(RefusedError, match="has nothing to add"):
        sum_as_written()
    with pytest.raises(RefusedError, match="has no amounts to count"):
        to_fewest_figures(value)
    with pytest.raises(RefusedError, match="figures must be 1 or 2; it was 3"):
        reported(value, value, figures=3)
    with pytest.raises(RefusedError, match="uncertainty: must be more than zero"):
        reported(value, quantity(0, "mg"))
    with pytest.raises(RefusedError, match="of the value's kind"):
        reported(value, quantity(1, "mL"))
    with pytest.raises(PharmcalcError, match="nothing is written here"):
        figures_written("")
