"""Specific gravity: how many times heavier than water, from a volume or from a pycnometer."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.strengths import (
    mass_of_volume,
    percentage_ww,
    specific_gravity,
    specific_gravity_by_pycnometer,
    volume_of_mass,
)
from pharmcalc.units import quantity
from tests.published import as_printed, exactly

masses = st.fractions(min_value="1/100", max_value=5000, max_denominator=100)
gravities = st.fractions(min_value="1/2", max_value=14, max_denominator=100)


@pytest.mark.parametrize(
    ("volume", "mass", "printed"),
    [
        ("10 mL", "8.5 g", "0.85"),  # U.S. Army Medical Department, MD0802 (public domain, seen)
        ("1000 mL", "810 g", "0.810"),  # the same source
        ("54.96 mL", "52.78 g", "0.960"),  # common classroom practice, no source (0.96033)
    ],
)
def test_a_specific_gravity_has_no_unit(volume: str, mass: str, printed: str) -> None:
    """10 mL that weigh 8.5 g have the specific gravity 0.85."""
    assert as_printed(specific_gravity(mass=mass, volume=volume), printed, "")


@pytest.mark.parametrize(
    ("mass", "gravity", "printed"),
    [
        ("45 g", "1.25", "36"),  # U.S. Army Medical Department, MD0802 (seen): glycerin
        ("453.592 g", "1.120", "405"),  # common classroom practice, no source: a pound of benzyl benzoate (404.99)
        ("454 g", "1.120", "405"),  # the same with 454 g as the pound (405.36): the same whole number
        ("100 g", "13.6", "7.35"),  # common classroom practice, no source: mercury (published 7.4)
        ("100 g", "13.6", "7.4"),  # the same, as published
    ],
)
def test_divide_for_the_volume(mass: str, gravity: str, printed: str) -> None:
    """45 g of glycerin of sp gr 1.25 are 36 mL."""
    assert as_printed(volume_of_mass(mass=mass, specific_gravity=gravity), printed, "millilitre")


def test_multiplying_for_the_volume_is_the_mistake() -> None:
    """45 x 1.25 = 56.25 mL is the wrong way round; so are 45 mL."""
    # the note of the same U.S. Army problem (56.25)
    values = {"mass": quantity(45, "gram"), "specific_gravity": quantity("1.25")}
    assert exactly(MISTAKES["mass-times-specific-gravity"].evaluate(values), "56.25", "millilitre")
    assert exactly(MISTAKES["grams-as-millilitres"].evaluate(values), "45", "millilitre")


def test_light_liquid_petrolatum_weighs_less_than_water() -> None:
    """240 mL of sp gr 0.81 are 194.4 g."""
    # U.S. Army Medical Department, MD0802 (seen)
    assert exactly(mass_of_volume(volume="240 mL", specific_gravity="0.81"), "194.4", "gram")


def test_millilitres_taken_as_grams_make_the_cream_look_stronger() -> None:
    """18 mL of benzoin tincture taken as 18 g make 18.4 % of the cream instead of 16.5 %."""
    # common classroom practice, no source (numbers seen)
    as_grams = MISTAKES["millilitres-as-grams"].evaluate({"volume": quantity(18, "mL")})
    assert exactly(as_grams, "18", "gram")
    assert as_printed(percentage_ww(drug=as_grams, preparation=as_grams + quantity(80, "gram")), "18.4", "percent")


def test_a_pycnometer_needs_no_volume() -> None:
    """21.6 g empty, 42.1 g with the liquid, 46.6 g with water: 20.5 to 25, so 0.82."""
    # numbers chosen here; derived from the definition
    values = {
        "empty": quantity("21.6", "gram"),
        "with_liquid": quantity("42.1", "gram"),
        "with_water": quantity("46.6", "gram"),
    }
    assert exactly(specific_gravity_by_pycnometer(**values), "0.82", "")
    assert as_printed(MISTAKES["pycnometer-not-tared"].evaluate(values), "0.903", "")
    assert as_printed(MISTAKES["pycnometer-tared-once"].evaluate(values), "0.440", "")
    assert as_printed(MISTAKES["pycnometer-upside-down"].evaluate(values), "1.220", "")
    upside_down = MISTAKES["specific-gravity-upside-down"]
    assert exactly(upside_down.evaluate({"mass": quantity(8, "gram"), "volume": quantity(10, "mL")}), "1.25", "")


@given(masses, gravities)
def test_mass_volume_and_specific_gravity_lead_there_and_back(grams: Fraction, gravity: Fraction) -> None:
    """Any two of the three give the third."""
    mass, number = quantity(grams, "gram"), quantity(gravity)
    volume = volume_of_mass(mass=mass, specific_gravity=number)
    assert mass_of_volume(volume=volume, specific_gravity=number) == mass
    assert specific_gravity(mass=mass, volume=volume) == number


@given(masses, masses, gravities)
def test_every_pycnometer_finds_the_same_number(empty: Fraction, water: Fraction, gravity: Fraction) -> None:
    """Large or small, heavy or light: equal volumes of liquid and water are compared."""
    glass = quantity(empty, "gram")
    found = specific_gravity_by_pycnometer(
        empty=glass,
        with_liquid=glass + quantity(water * gravity, "gram"),
        with_water=glass + quantity(water, "gram"),
    )
    assert found == quantity(gravity)


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        ("specific_gravity", {"mass": "8.5 g", "volume": "10 g"}, "volume: must be a volume"),
        ("specific_gravity", {"mass": "0 g", "volume": "10 mL"}, "mass: must be more than zero"),
        (
            "volume_of_mass",
            {"mass": "45 g", "specific_gravity": "1.25 g/mL"},
            "specific_gravity: must be a plain number",
        ),
        (
            "specific_gravity_by_pycnometer",
            {"empty": "21.6 g", "with_liquid": "20 g", "with_water": "46.6 g"},
            "with_liquid: must be more than empty (21.6 g); it was 20 g. The filled pycnometer weighs more",
        ),
        (
            "specific_gravity_by_pycnometer",
            {"empty": "21.6 g", "with_liquid": "42 g", "with_water": "21.6 g"},
            "with_water: must be more than empty (21.6 g)",
        ),
    ],
)
def test_readings_that_cannot_be_are_refused(name: str, values: dict[str, str], said: str) -> None:
    """A filled pycnometer weighs more than an empty one; a specific gravity has no unit."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert said in str(caught.value)
