"""Worked values of other books and standards, all from memory: they support the formulas, and are no authority."""

import pytest

from pharmcalc.formula import FORMULAS
from tests.published import as_printed
from tests.rooms import load_the_mathematics

load_the_mathematics()
VALUES = [
    # formula, amounts, printed number, unit
    # BP, dilute ethanols: 1 L of 20 % v/v takes 208 mL of ethanol (96 %)
    ("stock_to_take", {"stock_strength": "96 %", "wanted_strength": "20 %", "final_amount": "1 L"}, "208", "mL"),
    # the same table: 1 L of 70 % v/v takes 729 mL
    ("stock_to_take", {"stock_strength": "96 %", "wanted_strength": "70 %", "final_amount": "1 L"}, "729", "mL"),
    # formaldehyde solution, 37 g in 100 mL, to 4 % w/v for fixing
    ("stock_to_take", {"stock_strength": "37 % w/v", "wanted_strength": "4 % w/v", "final_amount": "1 L"}, "108", "mL"),
    # USP, syrup: 850 g of sucrose in 1000 mL, specific gravity about 1.31, so 65 % w/w
    ("percentage_ww_from_wv", {"strength": "85 % w/v", "specific_gravity": "1.313"}, "64.7", "percent"),
    # laboratory handbooks: hydrochloric acid of 37 % w/w and 1.18 g/mL holds 437 g in a litre
    ("percentage_wv_from_ww", {"strength": "37 % w/w", "specific_gravity": "1.18"}, "437", "gram / litre"),
    # sodium chloride injection, 0.9 % w/v: 9 g in a litre
    ("drug_for_percentage_wv", {"strength": "0.9 %", "preparation": "1 L"}, "9.0", "gram"),
    # adrenaline 1:1000 is 1 mg/mL, 1:10 000 is 0.1 mg/mL (labels before ratio strengths were dropped)
    ("milligrams_per_millilitre", {"strength": "1:1000 w/v"}, "1.00", "milligram / millilitre"),
    ("milligrams_per_millilitre", {"strength": "1:10000 w/v"}, "0.10", "milligram / millilitre"),
    # tables of salt factors: 10 mg of morphine sulfate pentahydrate are 7.5 mg of base, two bases in one salt
    (
        "drug_in_form",
        {
            "form_weighed": "10 mg",
            "molar_mass_named": "285.34 g/mol",
            "molar_mass_used": "758.83 g/mol",
            "named_in_one_used": "2",
        },
        "7.52",
        "milligram",
    ),
    # chemistry textbooks: copper(II) sulfate pentahydrate is 36.1 % water
    ("water_in_hydrate", {"molar_mass_anhydrous": "159.61 g/mol", "waters": "5"}, "36.1", "percent"),
    # UK dispensing: twelve 1 g suppositories of 300 mg bismuth subgallate, displacement value 3: 10.8 g of base
    (
        "base_for_moulds",
        {"mould": "1 g", "number_of_units": "12", "drug_per_unit": "300 mg", "displacement_value": "3"},
        "10.8",
        "gram",
    ),
    # old labels: glyceryl trinitrate 1/150 grain, 0.43 mg (rounded there to 0.4)
    ("mass_of_grains", {"grains": "1/150"}, "0.43", "milligram"),
    # US textbooks: 10 % and 2 % ointment for 400 g of 5 %: 150 g of the stronger
    (
        "stronger_in_mixture",
        {"total": "400 g", "weaker_strength": "2 %", "wanted_strength": "5 %", "stronger_strength": "10 %"},
        "150",
        "gram",
    ),
    # solubility of boric acid, 1 in 18: 10 g take 180 mL
    ("solvent_to_dissolve", {"solute": "10 g", "parts_of_solvent": "18"}, "180", "millilitre"),
    # EURACHEM: a 10 mL class A pipette of 0.02 mL as a triangle
    ("triangular_uncertainty", {"half_width": "0.02 mL"}, "0.0082", "millilitre"),
]


@pytest.mark.parametrize(("name", "amounts", "printed", "unit"), VALUES)
def test_a_value_remembered_from_elsewhere_comes_out(
    name: str, amounts: dict[str, str], printed: str, unit: str
) -> None:
    """As closely as it is printed there, the formula gives the value of another book."""
    assert as_printed(FORMULAS[name](**amounts), printed, unit)
