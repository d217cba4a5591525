"""Reading volumes: published cases, laws there and back, known slips, refusals."""

from fractions import Fraction
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.equations import PI
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.rounding import round_to_step
from pharmcalc.units import Quantity, quantity
from pharmcalc.volumes import (
    SMALL_TITRANT,
    inner_diameter_for,
    least_measurable_volume,
    percentage_of_volume_error,
    reading_error,
    smallest_titrant,
    smallest_volume_in_cylinder,
)


def ml(number: object) -> Quantity:
    """Return millilitres."""
    return quantity(str(number), "millilitre")


@pytest.mark.parametrize(
    ("inner_diameter", "error", "smallest", "printed"),
    [
        # USP <1176>, table of deviations of graduates (from memory; agrees with the geometry)
        ("1.18 cm", "0.109", "2.19", "2.2"),  # 10 mL graduate
        ("2.24 cm", "0.394", "7.88", "7.9"),  # 50 mL graduate
    ],
)
def test_the_published_deviations_of_graduates(inner_diameter: str, error: str, smallest: str, printed: str) -> None:
    """A millimetre in a wide cylinder is four times as much as in a narrow one, and so is the smallest volume."""
    found = reading_error(inner_diameter=inner_diameter, misreading="1 mm")
    assert round_to_step(found, ml("0.001")) == ml(error)
    least = least_measurable_volume(volume_error=found, allowed_error="5 %")
    assert round_to_step(least, ml("0.01")) == ml(smallest)
    assert round_to_step(least, ml("0.1")) == ml(printed)


@pytest.mark.parametrize(
    ("capacity", "limit", "relative"),
    [
        # USP 28 <31>, measuring pipettes (seen)
        ("2 mL", "10 mcL", "0.5"),
        ("5 mL", "20 mcL", "0.4"),
        ("10 mL", "30 mcL", "0.3"),
    ],
)
def test_the_published_limits_of_measuring_pipettes(capacity: str, limit: str, relative: str) -> None:
    """At full volume the larger pipette is the better one, as a percentage."""
    assert percentage_of_volume_error(volume_error=limit, volume=capacity) == quantity(relative, "percent")


def test_a_tenth_of_a_pipette_has_ten_times_the_percentage() -> None:
    """1 mL from the 10 mL pipette is 3 % uncertain, not 0.3 %: the error is not a part of the capacity."""
    assert percentage_of_volume_error(volume_error="30 mcL", volume="1 mL") == quantity(3, "percent")
    values = {"volume_error": quantity(30, "microlitre"), "capacity": ml(10)}
    assert MISTAKES["volume-error-of-capacity"].evaluate(values) == quantity("0.3", "percent")


@pytest.mark.parametrize(
    ("capacity", "least"), [("10 mL", "3"), ("25 mL", "7.5"), ("50 mL", "15")]
)  # USP 29 <31>, seen
def test_the_published_smallest_titrants(capacity: str, least: str) -> None:
    """At least 30 % of a burette is used; below 10 mL a 10 mL burette is asked for besides."""
    assert smallest_titrant(capacity=capacity) == ml(least)
    assert ml(10) == SMALL_TITRANT


@pytest.mark.parametrize(
    ("capacity", "least"), [("10 mL", "2"), ("100 mL", "20")]
)  # common practice; USP <1176>, memory
def test_a_fifth_of_a_cylinder_is_the_least_to_measure(capacity: str, least: str) -> None:
    """20 % of the capacity: 2 mL in a 10 mL cylinder, 20 mL in a 100 mL one."""
    assert smallest_volume_in_cylinder(capacity=capacity) == ml(least)


def test_pi_is_the_number_pi() -> None:
    """The constant agrees with the machine's to the last place a float has."""
    assert float(PI) == pi


@pytest.mark.parametrize(
    ("mistake", "values", "times"),
    [
        ("diameter-as-radius", {"inner_diameter": "1.18 cm", "misreading": "1 mm"}, Fraction(4)),
        ("misreading-tenfold", {"inner_diameter": "1.18 cm", "misreading": "1 mm"}, Fraction(10)),
        ("diameter-is-radius", {"volume_error": "0.1 mL", "misreading": "1 mm"}, Fraction(1, 2)),
        ("smallest-volume-upside-down", {"volume_error": "0.1 mL", "allowed_error": "5 %"}, Fraction(1, 400)),
        ("smallest-volume-percent-as-number", {"volume_error": "0.1 mL", "allowed_error": "5 %"}, Fraction(1, 100)),
        ("volume-error-upside-down", {"volume_error": "0.1 mL", "volume": "2 mL"}, Fraction(400)),
        ("volume-error-not-times-100", {"volume_error": "0.1 mL", "volume": "2 mL"}, Fraction(1, 100)),
        ("capacity-divided-by-twenty", {"capacity": "100 mL"}, Fraction(1, 4)),
        ("capacity-divided-by-thirty", {"capacity": "25 mL"}, Fraction(1, 9)),
    ],
)
def test_known_slips_are_off_by_a_known_factor(mistake: str, values: dict[str, str], times: Fraction) -> None:
    """Each slip of reading a volume can be told by how many times too large or too small it is."""
    slip = MISTAKES[mistake]
    wrong = slip.evaluate({name: slip.kinds[name].check(name, text) for name, text in values.items()})
    assert abs((wrong / slip.of(**values)).to_base_units().magnitude - times) < Fraction(1, 10**30)


lengths = st.fractions(min_value="1/10", max_value=100, max_denominator=100)
volumes = st.fractions(min_value="1/100", max_value=1000, max_denominator=100)


@given(lengths, lengths)
def test_diameter_and_reading_error_lead_there_and_back(diameter: Fraction, misreading: Fraction) -> None:
    """The diameter for the error of a diameter is that diameter (to 30 figures: a root is no fraction)."""
    height = quantity(misreading, "millimetre")
    error = reading_error(inner_diameter=quantity(diameter, "millimetre"), misreading=height)
    back = inner_diameter_for(volume_error=error, misreading=height).to("millimetre").magnitude
    assert abs(back / diameter - 1) < Fraction(1, 10**30)


@given(lengths, lengths)
def test_twice_the_diameter_is_four_times_the_error(diameter: Fraction, misreading: Fraction) -> None:
    """The error grows with the square of the diameter and evenly with the misreading."""
    narrow, height = quantity(diameter, "millimetre"), quantity(misreading, "millimetre")
    error = reading_error(inner_diameter=narrow, misreading=height)
    assert reading_error(inner_diameter=narrow * 2, misreading=height) == error * 4
    assert reading_error(inner_diameter=narrow, misreading=height * 3) == error * 3


@given(volumes, st.integers(1, 50))
def test_the_smallest_volume_has_exactly_the_allowed_error(error: Fraction, percent: int) -> None:
    """Measured at the smallest volume, the error is the allowed one; the two formulas are inverse."""
    allowed = quantity(percent, "percent")
    least = least_measurable_volume(volume_error=ml(error), allowed_error=allowed)
    assert percentage_of_volume_error(volume_error=ml(error), volume=least) == allowed


@pytest.mark.parametrize(
    ("values", "parts"),
    [
        ({"inner_diameter": "0 cm"}, ("reading_error: inner_diameter", "more than zero", "1 mm")),
        ({"inner_diameter": "-1 cm"}, ("inner_diameter", "more than zero", "-1 cm")),
        ({"inner_diameter": "1.18"}, ("inner_diameter", "a length", "1.18")),
        ({"inner_diameter": "1.18 mL"}, ("inner_diameter", "a length", "1.18 mL")),
        ({"misreading": "1 mg"}, ("misreading", "a length", "1 mg")),
    ],
)
def test_what_is_no_length_is_refused(values: dict[str, str], parts: tuple[str, ...]) -> None:
    """A refusal names the argument, the rule, the value and an example."""
    with pytest.raises(RefusedError) as refused:
        reading_error(**{"inner_diameter": "1.18 cm", "misreading": "1 mm"} | values)
    assert all(part in str(refused.value) for part in parts)


def test_no_error_at_all_is_no_limit() -> None:
    """With 0 % allowed no volume is large enough: refused, not infinite."""
    with pytest.raises(RefusedError, match="divides by zero"):
        least_measurable_volume(volume_error="0.1 mL", allowed_error="0 %")


def test_a_litre_is_a_cube_of_ten_centimetres() -> None:
    """Volumes are cubes of lengths: 1 cubic centimetre is 1 mL exactly."""
    side = quantity(10, "centimetre")
    assert side * side * side == quantity(1, "litre")
