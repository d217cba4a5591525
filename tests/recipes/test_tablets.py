"""Crushed tablets: the powder is drug and excipients."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.recipes import drug_in_tablet_powder, tablet_powder_for, tablets_to_crush
from pharmcalc.units import quantity
from tests.published import exactly

masses = st.fractions(min_value="1/10", max_value=1000, max_denominator=10)
# Tablets of 200 mg with 25 mg of drug; 60 mg of drug are wanted. Numbers chosen here, values derived.
TABLETS = {"drug_wanted": quantity(60, "mg"), "tablet_mass": quantity(200, "mg"), "labelled_drug": quantity(25, "mg")}


def test_the_powder_of_a_tablet_is_not_the_drug() -> None:
    """60 mg of drug are in 480 mg of powder, so three tablets are crushed."""
    # numbers chosen here; derived: 60 x 200 / 25
    powder = tablet_powder_for(**TABLETS)
    assert exactly(powder, "480", "milligram")
    assert exactly(drug_in_tablet_powder(powder=powder, tablet_mass="200 mg", labelled_drug="25 mg"), "60", "milligram")
    assert exactly(tablets_to_crush(drug_wanted="60 mg", labelled_drug="25 mg"), "3", "")
    assert exactly(tablets_to_crush(drug_wanted="75 mg", labelled_drug="25 mg"), "3", "")


@pytest.mark.parametrize(
    ("mistake", "number", "unit"),
    [
        # derived from the slips
        ("tablet-powder-as-drug", "60", "milligram"),
        ("tablet-powder-upside-down", "7.5", "milligram"),
        ("tablet-powder-all-drug", "480", "milligram"),
        ("tablets-not-rounded-up", "2.4", ""),
        ("tablets-by-mass", "1", ""),
    ],
)
def test_powder_weighed_as_drug_holds_an_eighth_of_it(mistake: str, number: str, unit: str) -> None:
    """60 mg of powder hold only 7.5 mg of drug; the reverse slip is just as dangerous."""
    assert exactly(MISTAKES[mistake].evaluate({**TABLETS, "powder": quantity(480, "mg")}), number, unit)


@given(masses, masses, masses)
def test_powder_and_drug_lead_there_and_back(wanted: Fraction, label: Fraction, excipient: Fraction) -> None:
    """The powder holds the drug wanted, weighs more than it, and fits into the tablets crushed."""
    drug, labelled = quantity(wanted, "mg"), quantity(label, "mg")
    tablet = labelled + quantity(excipient, "mg")
    powder = tablet_powder_for(drug_wanted=drug, tablet_mass=tablet, labelled_drug=labelled)
    assert drug_in_tablet_powder(powder=powder, tablet_mass=tablet, labelled_drug=labelled) == drug
    crushed = tablet * tablets_to_crush(drug_wanted=drug, labelled_drug=labelled)
    assert drug < powder <= crushed < powder + tablet


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        (
            "tablet_powder_for",
            {"drug_wanted": "60 mg", "tablet_mass": "20 mg", "labelled_drug": "25 mg"},
            "tablet_mass: must be at least labelled drug (25 mg); it was 20 mg. A tablet weighs at least",
        ),
        (
            "drug_in_tablet_powder",
            {"powder": "480 mg", "tablet_mass": "200 mg", "labelled_drug": "250 mg"},
            "tablet_mass: must be at least labelled drug (250 mg); it was 200 mg",
        ),
        ("tablets_to_crush", {"drug_wanted": "60", "labelled_drug": "25 mg"}, "drug_wanted: must be a mass"),
    ],
)
def test_a_tablet_lighter_than_its_drug_is_refused(name: str, values: dict[str, str], said: str) -> None:
    """Then two masses were exchanged, or milligrams and grams."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert said in str(caught.value)
