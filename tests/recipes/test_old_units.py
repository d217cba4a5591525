"""Old units, exactly, and the slips between them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.reading import read_text
from pharmcalc.recipes import (
    grains_in_mass,
    mass_of_apothecary_drams,
    mass_of_apothecary_ounces,
    mass_of_grains,
    mass_of_pounds,
    mass_of_scruples,
    volume_of_fluid_ounces,
    volume_of_minims,
)
from pharmcalc.units import quantity
from tests.published import as_printed, exactly

numbers = st.fractions(min_value="1/1000", max_value=1000, max_denominator=1000)


# Published values ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("grains", "printed"),
    [
        # NIST SP 811 / Handbook 44, appendix C: the grain is 64.79891 mg exactly (seen)
        ("1", "64.79891"),
        ("5", "323.99"),
        ("1/100", "0.648"),  # tables of the old kind print 0.6 mg
    ],
)
def test_the_grain_is_64_79891_mg_exactly(grains: str, printed: str) -> None:
    """5 grains are 323.99 mg, and 1/100 of a grain is 0.648 mg."""
    assert as_printed(mass_of_grains(grains=grains), printed, "milligram")


def test_a_gram_is_15_432_grains() -> None:
    """The inverse, for those who write in grains."""
    # NIST SP 811 / Handbook 44, appendix C
    assert as_printed(grains_in_mass(mass="1 g"), "15.432", "")


def test_the_family_of_the_grain() -> None:
    """20 grains a scruple, 3 scruples a dram, 8 drams an ounce (31.1035 g); 7000 grains a pound of trade."""
    # NIST SP 811 / Handbook 44, appendix C
    assert mass_of_scruples(scruples="1") == mass_of_grains(grains="20")
    assert mass_of_apothecary_drams(drams="1") == mass_of_scruples(scruples="3")
    assert mass_of_apothecary_ounces(ounces="1") == mass_of_apothecary_drams(drams="8")
    assert as_printed(mass_of_apothecary_ounces(ounces="1"), "31.1035", "gram")
    assert exactly(mass_of_pounds(pounds="1"), "453.59237", "gram")
    assert as_printed(volume_of_fluid_ounces(fluid_ounces="1"), "29.5735", "millilitre")
    assert volume_of_minims(minims="480") == volume_of_fluid_ounces(fluid_ounces="1")


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        (mass_of_grains(grains="1").to("kilogram"), constants.grain),
        (mass_of_apothecary_ounces(ounces="1").to("kilogram"), constants.troy_ounce),
        (mass_of_pounds(pounds="1").to("kilogram"), constants.pound),
        (volume_of_fluid_ounces(fluid_ounces="1").to("litre"), constants.fluid_ounce_US * 1000),
        (quantity(1, "imperial_fluid_ounce").to("litre"), constants.fluid_ounce_imp * 1000),
        (quantity(1, "us_fluid_ounce").to("litre"), constants.fluid_ounce_US * 1000),
        (quantity(1, "avoirdupois_ounce").to("kilogram"), constants.ounce),
        (quantity(1, "apothecary_ounce").to("kilogram"), constants.troy_ounce),
        (quantity(1, "apothecary_pound").to("kilogram"), constants.troy_pound),
        (quantity(1, "avoirdupois_pound").to("kilogram"), constants.pound),
        (quantity(1, "grain").to("kilogram"), constants.grain),
        (quantity(128, "us_fluid_ounce").to("litre"), constants.gallon * 1000),
        (quantity(160, "imperial_fluid_ounce").to("litre"), constants.gallon_imp * 1000),
    ],
)
def test_another_library_knows_the_same_factors(ours: object, theirs: float) -> None:
    """Grain, ounces, pounds and fluid ounces agree with an independent table to fifteen figures."""
    assert float(ours.magnitude) == pytest.approx(theirs, rel=1e-14)  # type: ignore[attr-defined]


# Mistakes ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mistake", "argument", "number", "unit"),
    [
        # each for one unit; derived from the definitions of the units
        ("grain-as-gram", "grains", "1000", "milligram"),
        ("grain-as-60-mg", "grains", "60", "milligram"),
        ("grain-as-65-mg", "grains", "65", "milligram"),
        ("scruple-as-dram", "scruples", "3887.9346", "milligram"),
        ("dram-avoirdupois", "drams", "1771.8451953125", "milligram"),
        ("dram-as-ounce", "drams", "31103.4768", "milligram"),
        ("dram-as-4-g", "drams", "4", "gram"),
        ("ounce-as-dram", "ounces", "3.8879346", "gram"),
        ("ounce-avoirdupois", "ounces", "28.349523125", "gram"),
        ("ounce-as-30-g", "ounces", "30", "gram"),
        ("pound-apothecaries", "pounds", "373.2417216", "gram"),
        ("fluid-dram-for-ounce", "fluid_ounces", "3.6966911953125", "millilitre"),
        ("fluid-ounce-imperial", "fluid_ounces", "28.4130625", "millilitre"),
        ("fluid-ounce-as-30-ml", "fluid_ounces", "30", "millilitre"),
        ("minim-as-drop", "minims", "0.05", "millilitre"),
        ("minim-imperial", "minims", "284130625/4800000000", "millilitre"),
    ],
)
def test_each_unit_slip_gives_its_number(mistake: str, argument: str, number: str, unit: str) -> None:
    """The wrong ounce, the wrong dram, a grain read as a gram."""
    assert exactly(MISTAKES[mistake].evaluate({argument: quantity(1)}), number, unit)


@pytest.mark.parametrize(
    ("mistake", "argument", "percent"),
    [
        ("ounce-avoirdupois", "ounces", "-8.85"),  # 28.35 for 31.1 g: 8.85 % exact, 8.84 % from the rounded values
        ("grain-as-60-mg", "grains", "-7.4"),  # 60 for 64.8 mg
        ("grain-as-65-mg", "grains", "0.31"),  # derived
        ("dram-as-4-g", "drams", "2.9"),  # derived
    ],
)
def test_a_rounded_or_wrong_unit_is_off_by_this_much(mistake: str, argument: str, percent: str) -> None:
    """28.35 g for 31.1 g is 8.85 % too little; 60 mg for a grain 7.4 %."""
    values = {argument: quantity(1)}
    right = MISTAKES[mistake].of.evaluate(values)
    assert as_printed((MISTAKES[mistake].evaluate(values) - right) / right, percent, "percent")


def test_an_eighth_or_eightfold_lies_between_dram_and_ounce() -> None:
    """Fluid drams read for fluid ounces measure an eighth; drams read as ounces weigh eight times too much."""
    # 8 drams an ounce; derived
    drams, ounces = MISTAKES["fluid-dram-for-ounce"], MISTAKES["dram-as-ounce"]
    assert drams.evaluate({"fluid_ounces": quantity(8)}) == volume_of_fluid_ounces(fluid_ounces="1")
    assert ounces.evaluate({"drams": quantity(1)}) == mass_of_apothecary_drams(drams="8")
    assert exactly(MISTAKES["grains-by-60-mg"].evaluate({"mass": quantity(60, "mg")}), "1", "")


# Laws and refusals ---------------------------------------------------------------------------------------------------


@given(numbers)
def test_grains_lead_there_and_back(number: Fraction) -> None:
    """A number of grains, weighed in milligrams and counted again, is the same number."""
    assert grains_in_mass(mass=mass_of_grains(grains=quantity(number))) == quantity(number)


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        ("mass_of_grains", {"grains": "5 gr"}, "grains: must be a plain number"),
        ("mass_of_grains", {"grains": "0"}, "grains: must be more than zero"),
        ("grains_in_mass", {"mass": "1 mL"}, "mass: must be a mass"),
        ("volume_of_fluid_ounces", {"fluid_ounces": "4 fl oz"}, "fluid_ounces: must be a plain number"),
        ("volume_of_minims", {"minims": "-1"}, "minims: must be more than zero"),
    ],
)
def test_a_number_of_old_units_has_no_unit(name: str, values: dict[str, str], said: str) -> None:
    """The formula names the unit; only the number is asked for."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("typed", "number", "unit"),
    [
        ("1 fl oz", "29.5735295625", "millilitre"),
        ("1 fl. oz", "29.5735295625", "millilitre"),
        ("2 US fl oz", "59.147059125", "millilitre"),
        ("8 fluid drams", "29.5735295625", "millilitre"),
        ("480 minims", "29.5735295625", "millilitre"),
        ("1 lb.ap", "5760", "grain"),
        ("2 dr.ap", "120", "grain"),
        ("1/100 gr", "0.6479891", "milligram"),
    ],
)
def test_old_units_are_read_as_they_are_typed(typed: str, number: str, unit: str) -> None:
    """Fluid measures are read as US measures, and the apothecaries' units by their own names."""
    # derived from the exact factors
    assert exactly(read_text(typed), number, unit)
