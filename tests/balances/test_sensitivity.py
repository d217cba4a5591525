"""Percentage of error, least weighable quantity and sensitivity requirement."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.balances import (
    error_found,
    least_weighable_quantity,
    percentage_of_error,
    sensitivity_requirement,
    smallest_by_each_rule,
)
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.units import quantity
from tests.published import as_printed, exactly

masses = st.fractions(min_value="1/100", max_value=10000, max_denominator=100).map(
    lambda number: quantity(number, "mg")
)
limits = st.fractions(min_value="1/10", max_value=50, max_denominator=20).map(
    lambda number: quantity(number, "percent")
)


# Published values ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("sensitivity", "load", "expected"),
    [
        ("6 mg", "50 mg", "12"),  # UNC compounding laboratory manual, Weighing (question seen, value is arithmetic)
        ("6 mg", "120 mg", "5"),  # Ansel & Stoklosa, measurement (codeine sulfate; secondary copy)
        ("0.004 g", "0.05 g", "8"),  # Ansel & Stoklosa, measurement ("insensitive below 0.004 g"; secondary copy)
    ],
)
def test_the_error_of_a_load_is_its_share_of_the_sensitivity(sensitivity: str, load: str, expected: str) -> None:
    """A balance that may be off by 6 mg errs by 12 % of 50 mg."""
    assert exactly(percentage_of_error(sensitivity=sensitivity, load=load), expected, "percent")


@pytest.mark.parametrize(
    ("load", "printed"),
    [
        ("190 mg", "3.16"),  # torsion balance, SR 6 mg: common classroom practice, no source; value is arithmetic
        ("1900 mg", "0.316"),  # the same balance, ten times the load
    ],
)
def test_ten_times_the_load_has_a_tenth_of_the_error(load: str, printed: str) -> None:
    """The same 6 mg are 3.16 % of 190 mg and 0.316 % of 1900 mg."""
    assert as_printed(percentage_of_error(sensitivity="6 mg", load=load), printed, "percent")


@pytest.mark.parametrize(
    ("sensitivity", "allowed", "expected"),
    [
        ("6 mg", "5 %", "120"),  # UNC compounding laboratory manual, Weighing (seen)
        ("6 mg", "1 %", "600"),  # the same definition, a tighter limit (derived)
        ("6 mg", "3 %", "200"),  # the same definition (derived)
        ("4 mg", "5 %", "80"),  # textbook practice problem (secondary copy), value is arithmetic
    ],
)
def test_a_stricter_limit_means_weighing_more(sensitivity: str, allowed: str, expected: str) -> None:
    """6 mg may be 5 % of 120 mg, but 1 % only of 600 mg."""
    least = least_weighable_quantity(sensitivity=sensitivity, allowed_error=allowed)
    assert exactly(least, expected, "milligram")


@pytest.mark.parametrize(
    ("wanted", "found", "printed"),
    [
        ("600 mg", "575 mg", "4.17"),  # common classroom practice, no source (quiz item; value is arithmetic)
        ("600 mg", "575 mg", "4"),  # the same quiz prints whole per cents
        ("800 mg", "750 mg", "6.25"),  # Ansel & Stoklosa, measurement (from memory)
    ],
)
def test_the_error_found_is_a_share_of_the_quantity_wanted(wanted: str, found: str, printed: str) -> None:
    """Asked for 600 mg and given 575 mg: the 25 mg are 4.17 % of what was wanted."""
    assert as_printed(error_found(wanted=wanted, found=found), printed, "percent")


@pytest.mark.parametrize(
    ("wanted", "found", "printed"),
    [
        (600, 575, "4.35"),  # the usual wrong answer to the quiz item above
        (800, 750, "6.67"),  # the usual wrong answer to Ansel & Stoklosa's question
    ],
)
def test_dividing_by_the_quantity_found_is_the_known_mistake(wanted: int, found: int, printed: str) -> None:
    """25 mg of 575 mg are 4.35 %: the number that comes of the wrong quantity below the line."""
    values = {"wanted": quantity(wanted, "mg"), "found": quantity(found, "mg")}
    assert as_printed(MISTAKES["error-relative-to-found"].evaluate(values), printed, "percent")
    assert not as_printed(error_found(**values), printed, "percent")


@pytest.mark.parametrize(
    ("mistake", "number"),
    [
        ("lwq-upside-down", "0.3"),  # 6 mg x 5 / 100
        ("lwq-percent-as-number", "1.2"),  # 6 mg / 5
        ("lwq-is-sensitivity", "6"),
    ],
)
def test_each_known_slip_gives_its_number(mistake: str, number: str) -> None:
    """With 6 mg and 5 %, 0.3 mg comes of turning the fraction over and 1.2 mg of forgetting the hundred."""
    values = {"sensitivity": quantity(6, "mg"), "allowed_error": quantity(5, "percent")}
    assert exactly(MISTAKES[mistake].evaluate(values), number, "milligram")


def test_the_rules_for_one_electronic_balance_differ_fifty_times() -> None:
    """With d = 1 mg: 20 mg, 16.4 mg or 820 mg, depending on the rule; a stated minimum stands beside them."""
    rows = smallest_by_each_rule(
        display_step=quantity(1, "mg"), allowed_error=quantity(5, "percent"), stated=quantity(100, "mg")
    )
    assert [row.smallest for row in rows] == [quantity(number, "mg") for number in ("20", "16.4", "820", "100")]
    assert max(row.smallest for row in rows) / min(row.smallest for row in rows) == Fraction(50)
    assert all(row.source.citation for row in rows)


# Laws ----------------------------------------------------------------------------------------------------------------


@given(masses, limits)
def test_sensitivity_and_least_weighable_quantity_lead_there_and_back(sensitivity: object, allowed: object) -> None:
    """Each is the inverse of the other, exactly."""
    least = least_weighable_quantity(sensitivity=sensitivity, allowed_error=allowed)
    assert sensitivity_requirement(least_weighable_quantity=least, allowed_error=allowed) == sensitivity


@given(masses, limits)
def test_the_least_weighable_quantity_errs_by_exactly_the_allowed_error(sensitivity: object, allowed: object) -> None:
    """At the limit the error equals what is allowed, and equal is allowed."""
    least = least_weighable_quantity(sensitivity=sensitivity, allowed_error=allowed)
    assert percentage_of_error(sensitivity=sensitivity, load=least) == allowed


@given(masses, limits, st.integers(2, 50))
def test_the_rule_scales_with_the_balance(sensitivity: object, allowed: object, times: int) -> None:
    """A balance that is ten times as coarse needs ten times the quantity."""
    least = least_weighable_quantity(sensitivity=sensitivity, allowed_error=allowed)
    assert least_weighable_quantity(sensitivity=sensitivity * times, allowed_error=allowed) == least * times


@given(masses, st.fractions(min_value="1/100", max_value="99/100", max_denominator=100))
def test_too_much_and_too_little_by_the_same_amount_err_alike(wanted: object, part: Fraction) -> None:
    """The error has no sign: 5 % too much and 5 % too little are both 5 %."""
    more, less = wanted * (1 + part), wanted * (1 - part)
    assert error_found(wanted=wanted, found=more) == error_found(wanted=wanted, found=less)
    assert exactly(error_found(wanted=wanted, found=more), str(part * 100), "percent")


def test_a_weighing_that_is_found_right_has_no_error() -> None:
    """0 % is a percentage too."""
    assert exactly(error_found(wanted="600 mg", found="600 mg"), "0", "percent")


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("load", ["0 mg", "-50 mg", "50", "50 mL", "5 %", "nan mg", "inf mg", "fifty mg"])
def test_a_load_that_is_no_mass_is_refused(load: str) -> None:
    """Nothing, less than nothing, a bare number, a volume, a percentage or a word cannot lie on the pan."""
    with pytest.raises(RefusedError, match="percentage_of_error: load"):
        percentage_of_error(sensitivity="6 mg", load=load)


@pytest.mark.parametrize("allowed", ["0 %", "-5 %", "5", "5 mg"])
def test_an_allowed_error_must_be_a_percentage_above_zero(allowed: str) -> None:
    """With no error allowed, no quantity would be large enough."""
    with pytest.raises(RefusedError, match="least_weighable_quantity"):
        least_weighable_quantity(sensitivity="6 mg", allowed_error=allowed)
