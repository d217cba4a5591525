"""Parts, ppb, label strengths, specific gravity and solubility: published and derived values, there and back."""

import pytest

from pharmcalc.formula import Formula
from pharmcalc.strengths.labels import (
    concentration_of_label,
    drug_in_five_millilitres,
    drug_in_measured_volume,
    volume_for_dose,
)
from pharmcalc.strengths.parts import parts_per_billion, percentage_from_parts_per_billion, strength_from_parts
from pharmcalc.strengths.solubility import largest_solute, parts_of_solvent, saturated_strength_ww, solvent_to_dissolve
from pharmcalc.strengths.specific_gravity import specific_gravity_by_pycnometer, volume_of_mass

VALUES = [
    (concentration_of_label, {"labelled_drug": "1 mg", "labelled_volume": "5 mL"}, "0.2 mg/mL"),  # Kent (0.02 % w/v)
    (drug_in_five_millilitres, {"strength": "0.02 % w/v"}, "1 mg"),  # University of Kent, Converting strengths
    (
        drug_in_measured_volume,
        {"labelled_drug": "125 mg", "labelled_volume": "5 mL", "measured_volume": "7.5 mL"},
        "187.5 mg",  # derived: 25 mg/mL x 7.5 mL
    ),
    (
        volume_for_dose,
        {"dose": "187.5 mg", "labelled_drug": "125 mg", "labelled_volume": "5 mL"},
        "7.5 mL",  # derived: the way back
    ),
    (parts_per_billion, {"strength": "0.0001 % w/v"}, "1000 ppb"),  # definition: 1 ppm is 1000 ppb
    (percentage_from_parts_per_billion, {"concentration": "1000 ppb"}, "0.0001 % w/v"),  # the way back
    (strength_from_parts, {"parts_of_drug": "1", "parts_of_diluent": "19"}, "5 %"),  # 1 in 20, derived
    (solvent_to_dissolve, {"solute": "2 g", "parts_of_solvent": "30"}, "60 mL"),  # "1 in 30": 30 mL of solvent for 1 g
    (largest_solute, {"solvent": "60 mL", "parts_of_solvent": "30"}, "2 g"),  # the way back
    (parts_of_solvent, {"solute": "2 g", "solvent": "60 mL"}, "30"),  # the way back
    (saturated_strength_ww, {"parts_of_solvent": "4", "specific_gravity_of_solvent": "1"}, "20 % w/w"),  # 1 in 1 + 4
    (
        specific_gravity_by_pycnometer,
        {"empty": "20 g", "with_liquid": "28.5 g", "with_water": "30 g"},
        "0.85",  # U.S. Army Medical Department, MD0802: 10 mL weigh 8.5 g
    ),
    (volume_of_mass, {"mass": "45 g", "specific_gravity": "1.25"}, "36 mL"),  # U.S. Army Medical Department, MD0802
]


@pytest.mark.parametrize(("formula", "given", "expected"), VALUES, ids=lambda value: getattr(value, "name", None))
def test_the_published_or_derived_value_comes_out_exactly(
    formula: Formula, given: dict[str, str], expected: str
) -> None:
    """Each formula gives the value of its source, or the one that follows from the definition."""
    assert formula(**given) == formula.kind.check("expected", expected)
