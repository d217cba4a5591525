"""Strengths in parts, and traces in parts per billion."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.strengths import (
    parts_per_billion,
    parts_per_million,
    percentage_from_parts_per_billion,
    ratio_strength,
    strength_from_parts,
)
from pharmcalc.units import quantity
from tests.published import exactly

numbers = st.fractions(min_value="1/1000", max_value=100, max_denominator=1000)


def test_three_parts_and_seventeen_parts() -> None:
    """3 parts of drug and 17 parts of base are 3 in 20: 15 %, not 3 in 17."""
    # the definition; the proportion 3 : 17 is from Ansel & Stoklosa (secondary copies)
    assert exactly(strength_from_parts(parts_of_drug="3", parts_of_diluent="17"), "15", "percent")
    values = {"parts_of_drug": quantity(3), "parts_of_diluent": quantity(17)}
    assert exactly(MISTAKES["parts-over-diluent"].evaluate(values), "300/17", "percent")


def test_a_billion_is_a_thousand_million() -> None:
    """0.5 ppm are 500 ppb, and 1 % w/v is ten million ppb."""
    # the definition (1 ppb w/v is 1 ng in 1 mL)
    assert exactly(parts_per_billion(strength="0.5 ppm w/v"), "500", "nanogram / millilitre")
    assert exactly(parts_per_billion(strength="1 % w/v"), "10000000", "part_per_billion_in_volume")
    assert exactly(percentage_from_parts_per_billion(concentration="15 ppb"), "0.0000015", "percent_in_volume")


@pytest.mark.parametrize(
    ("mistake", "values", "times"),
    [
        ("ppb-as-ppm", {"strength": quantity(2, "percent_in_volume")}, "1/1000"),  # derived
        ("ppb-per-hundred-forgotten", {"strength": quantity(2, "percent_in_volume")}, "100"),  # derived
        ("percentage-from-ppb-as-ppm", {"concentration": quantity(2, "part_per_billion_in_volume")}, "1000"),  # derived
    ],
)
def test_a_slip_between_million_and_billion_is_a_thousand_times_off(mistake: str, values: dict, times: str) -> None:
    """The dangerous kind: the number looks the same and means a thousand times more."""
    wrong, right = MISTAKES[mistake].evaluate(values), MISTAKES[mistake].of.evaluate(values)
    assert exactly((wrong / right).to_base_units(), times, "")


@given(numbers)
def test_parts_per_billion_lead_there_and_back(percent: Fraction) -> None:
    """A strength said in ppb and back is the same strength, and a thousand ppb are one ppm."""
    strength = quantity(percent, "percent_in_volume")
    billion = parts_per_billion(strength=strength)
    assert percentage_from_parts_per_billion(concentration=billion) == strength
    assert billion == parts_per_million(strength=strength) == strength


@given(numbers, numbers)
def test_parts_say_a_ratio_strength(drug: Fraction, diluent: Fraction) -> None:
    """p parts and q parts are 1 in (p + q)/p."""
    strength = strength_from_parts(parts_of_drug=quantity(drug), parts_of_diluent=quantity(diluent))
    assert ratio_strength(strength=strength) == quantity(drug / (drug + diluent))


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        (
            "strength_from_parts",
            {"parts_of_drug": "3 g", "parts_of_diluent": "17"},
            "parts_of_drug: must be a plain number",
        ),
        (
            "strength_from_parts",
            {"parts_of_drug": "3", "parts_of_diluent": "0"},
            "parts_of_diluent: must be more than zero",
        ),
        ("parts_per_billion", {"strength": "5"}, "strength: must be a percentage strength (w/v)"),
        ("percentage_from_parts_per_billion", {"concentration": "15 ppb w/w"}, "only ppb w/v"),
    ],
)
def test_parts_with_a_unit_are_refused(name: str, values: dict[str, str], said: str) -> None:
    """Parts are plain numbers; parts per billion are counted in a volume here."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert said in str(caught.value)
