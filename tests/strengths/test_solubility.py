"""Solubility "1 in R": R parts of solvent, which is another thing than a ratio strength 1:R."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.strengths import (
    drug_in_ratio,
    largest_solute,
    parts_of_solvent,
    saturated_strength_ww,
    solvent_to_dissolve,
)
from pharmcalc.units import quantity
from tests.published import exactly

numbers = st.fractions(min_value="1/10", max_value=1000, max_denominator=10)


def test_1_in_3_of_solubility_is_1_in_4_of_the_whole() -> None:
    """1 g in 3 mL of water is 1 g in 4 g of solution, 25 % w/w; a ratio strength 1:3 would be 33.3 %."""
    # the definition (USP and Ph. Eur. general notices, from memory); derived
    values = {"parts_of_solvent": quantity(3), "specific_gravity_of_solvent": quantity(1)}
    assert exactly(saturated_strength_ww(**values), "25", "percent")
    assert exactly(MISTAKES["saturated-as-ratio-strength"].evaluate(values), "100/3", "percent")
    assert exactly(drug_in_ratio(ratio="1:3", preparation="4 g"), "4/3", "gram")


def test_the_parts_are_solvent_alone() -> None:
    """2 g of a solid that dissolves 1 in 30 take 60 mL of solvent; nothing is taken off for the solid."""
    # numbers chosen here; derived from the definition
    assert exactly(solvent_to_dissolve(solute="2 g", parts_of_solvent="30"), "60", "millilitre")
    assert exactly(largest_solute(solvent="60 mL", parts_of_solvent="30"), "2", "gram")
    assert exactly(parts_of_solvent(solute="2 g", solvent="60 mL"), "30", "")


@pytest.mark.parametrize(
    ("mistake", "number", "unit"),
    [
        # 2 g, 60 mL, 1 in 30, a solvent of sp gr 0.8; derived from the definitions of the slips
        ("solubility-as-ratio-strength", "58", "millilitre"),
        ("solubility-whole-solution", "62", "millilitre"),
        ("solubility-divided", "1/15", "millilitre"),
        ("solute-in-the-whole", "60/31", "gram"),
        ("solubility-upside-down", "1/30", ""),
        ("saturated-as-ratio-strength", "10/3", "percent"),
        ("saturated-solvent-by-volume", "100/31", "percent"),
    ],
)
def test_reading_solubility_as_a_ratio_strength_gives_another_number(mistake: str, number: str, unit: str) -> None:
    """Taking the solid off, or counting it twice, belongs to ratio strengths only."""
    values = {
        "solute": quantity(2, "gram"),
        "solvent": quantity(60, "mL"),
        "parts_of_solvent": quantity(30),
        "specific_gravity_of_solvent": quantity("0.8"),
    }
    assert exactly(MISTAKES[mistake].evaluate(values), number, unit)


@given(numbers, numbers)
def test_solute_and_solvent_lead_there_and_back(grams: Fraction, parts: Fraction) -> None:
    """The solvent that just dissolves a mass dissolves just that mass."""
    solute, number = quantity(grams, "gram"), quantity(parts)
    solvent = solvent_to_dissolve(solute=solute, parts_of_solvent=number)
    assert largest_solute(solvent=solvent, parts_of_solvent=number) == solute
    assert parts_of_solvent(solute=solute, solvent=solvent) == number


@given(numbers)
def test_in_water_the_whole_has_one_part_more(parts: Fraction) -> None:
    """1 in R of solubility in water is 1 in R + 1 by weight."""
    strength = saturated_strength_ww(parts_of_solvent=quantity(parts), specific_gravity_of_solvent="1")
    assert strength == quantity(1 / (parts + 1))


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        (
            "solvent_to_dissolve",
            {"solute": "2 g", "parts_of_solvent": "1:30"},
            "parts_of_solvent: must be a plain number",
        ),
        ("solvent_to_dissolve", {"solute": "2", "parts_of_solvent": "30"}, "solute: must be a mass"),
        ("largest_solute", {"solvent": "60 g", "parts_of_solvent": "30"}, "solvent: must be a volume"),
        ("parts_of_solvent", {"solute": "0 g", "solvent": "60 mL"}, "solute: must be more than zero"),
    ],
)
def test_a_ratio_strength_is_no_solubility(name: str, values: dict[str, str], said: str) -> None:
    """1:30 names a strength; for solubility only the 30 is asked for."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert said in str(caught.value)
