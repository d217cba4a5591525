"""What a label says: so many milligrams in so many millilitres."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.strengths import (
    concentration_of_label,
    drug_in_five_millilitres,
    drug_in_measured_volume,
    percentage_from_milligrams_per_millilitre,
    volume_for_dose,
)
from pharmcalc.units import quantity
from tests.published import exactly

amounts = st.fractions(min_value="1/100", max_value=1000, max_denominator=100)
LABEL = {"labelled_drug": "125 mg", "labelled_volume": "5 mL"}


def test_one_milligram_in_five_millilitres() -> None:
    """1 mg/5 mL is 0.2 mg/mL, which is 0.02 % w/v, and back."""
    # University of Kent, student learning leaflet Converting strengths (seen)
    strength = concentration_of_label(labelled_drug="1 mg", labelled_volume="5 mL")
    assert exactly(strength, "0.2", "milligram / millilitre")
    percentage = percentage_from_milligrams_per_millilitre(concentration=strength)
    assert exactly(percentage, "0.02", "percent_in_volume")
    assert exactly(drug_in_five_millilitres(strength=percentage), "1", "milligram")


def test_a_dose_is_measured_by_the_whole_label() -> None:
    """125 mg per 5 mL: a dose of 50 mg is 2 mL, and 2 mL hold 50 mg."""
    # numbers chosen here; derived from the definition
    assert exactly(volume_for_dose(dose="50 mg", **LABEL), "2", "millilitre")
    assert exactly(drug_in_measured_volume(measured_volume="2 mL", **LABEL), "50", "milligram")


@pytest.mark.parametrize(
    ("mistake", "number", "unit"),
    [
        # 125 mg per 5 mL, a dose of 50 mg, 2 mL measured; derived: each is five times off, or a slip of its own
        ("label-volume-left-out", "125", "milligram / millilitre"),
        ("measured-as-if-per-millilitre", "250", "milligram"),
        ("labelled-drug-for-all", "125", "milligram"),
        ("dose-as-if-per-millilitre", "0.4", "millilitre"),
        ("dose-upside-down", "12.5", "millilitre"),
        ("five-millilitres-forgotten", "25", "milligram"),
        ("percentage-as-grams-in-five", "2500", "milligram"),
    ],
)
def test_per_5_ml_read_as_per_ml_is_five_times_off(mistake: str, number: str, unit: str) -> None:
    """125 mg per 5 mL read as 125 mg/mL measures a fifth of the dose."""
    values = {
        "labelled_drug": quantity(125, "mg"),
        "labelled_volume": quantity(5, "mL"),
        "measured_volume": quantity(2, "mL"),
        "dose": quantity(50, "mg"),
        "strength": quantity(25, "milligram / millilitre"),
    }
    assert exactly(MISTAKES[mistake].evaluate(values), number, unit)


@given(amounts, amounts, amounts)
def test_dose_and_volume_lead_there_and_back(drug: Fraction, volume: Fraction, dose: Fraction) -> None:
    """The volume of a dose holds the dose, whatever the label."""
    label = {"labelled_drug": quantity(drug, "mg"), "labelled_volume": quantity(volume, "mL")}
    wanted = quantity(dose, "mg")
    measured = volume_for_dose(dose=wanted, **label)
    assert drug_in_measured_volume(measured_volume=measured, **label) == wanted
    strength = concentration_of_label(**label)
    assert (strength * measured) == wanted
    assert drug_in_five_millilitres(strength=strength) == strength * quantity(5, "mL")


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        (
            "concentration_of_label",
            {"labelled_drug": "125 mg", "labelled_volume": "5"},
            "labelled_volume: must be a volume",
        ),
        ("volume_for_dose", {"dose": "2 mL", **LABEL}, "dose: must be a mass"),
        ("drug_in_measured_volume", {"measured_volume": "0 mL", **LABEL}, "measured_volume: must be more than zero"),
        ("drug_in_five_millilitres", {"strength": "5 % w/w"}, "w/v is asked for"),
    ],
)
def test_a_label_without_its_units_is_refused(name: str, values: dict[str, str], said: str) -> None:
    """Both amounts of a label need their unit."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert said in str(caught.value)
