"""Definite values of formulas that the tests of their rooms otherwise hold only by laws, such as there and back.

Each is worked out by hand in the comment, or stands in the source that is named.
"""

import pytest

from pharmcalc.formula import FORMULAS
from tests.rooms import load_the_mathematics

load_the_mathematics()
VALUES = [
    # formula, amounts, value
    ("accuracy_error", {"test_weight": "100 g", "reading": "100.08 g"}, "0.08 %"),  # USP <41>, accuracy test; derived
    ("accuracy_error", {"test_weight": "20 g", "reading": "19.98 g"}, "0.1 %"),  # 20 mg too little of 20 000 mg
    ("amount_by_parts", {"total": "60 g", "parts": "3", "all_parts": "20"}, "9 g"),  # 3 : 17 of Ansel & Stoklosa
    ("combined_multiple", {"first_multiple": "10", "second_multiple": "5"}, "50"),  # 10 times, and of that 5 times
    ("second_multiple", {"combined_multiple": "50", "first_multiple": "10"}, "5"),  # the way back
    ("drug_for_percentage_ww", {"strength": "5 %", "preparation": "30 g"}, "1.5 g"),  # 5 g in 100 g
    ("drug_for_percentage_wv", {"strength": "0.9 %", "preparation": "500 mL"}, "4.5 g"),  # 0.9 g in 100 mL
    ("fill_mass", {"capsule_volume": "0.48 mL", "bulk_density": "0.75 g/mL"}, "360 mg"),  # 0.48 x 750 mg
    ("fill_volume", {"powder": "360 mg", "bulk_density": "0.75 g/mL"}, "0.48 mL"),  # the way back
    ("percentage_wv", {"drug": "4.5 g", "preparation": "500 mL"}, "0.9 % w/v"),  # 0.9 g in 100 mL
    ("expanded_uncertainty", {"standard_uncertainty": "0.05 mg"}, "0.10 mg"),  # twice, k = 2
    ("largest_step_for", {"minimum_weight": "82 mg"}, "0.1 mg"),  # USP <41>, 820 d
    ("largest_step_for", {"minimum_weight": "820 mg"}, "1 mg"),  # the same
    ("milligram_percent", {"strength": "0.125 % w/v"}, "125 mg%"),  # 0.125 g = 125 mg in 100 mL
    ("parts_per_million", {"strength": "0.004 % w/v"}, "40 ppm"),  # University of Kent: 40 micrograms in 1 mL
    ("percentage_vv", {"liquid": "15 mL", "preparation": "60 mL"}, "25 % v/v"),  # a quarter
    ("percentage_ww_from_wv", {"strength": "6 % w/v", "specific_gravity": "1.2"}, "5 % w/w"),  # 6 g in 120 g
    ("second_ratio_needed", {"first_ratio": "1:10", "wanted_ratio": "1:1000"}, "1:100"),  # 10 x 100
    ("sensitivity_requirement", {"least_weighable_quantity": "120 mg", "allowed_error": "5 %"}, "6 mg"),  # UNC
    ("standard_from_expanded", {"expanded": "0.10 mg"}, "0.05 mg"),  # a certificate with k = 2
    ("stock_strength_needed", {"stock_amount": "45 mL", "wanted_strength": "3.75 %", "final_amount": "60 mL"}, "5 %"),
    # ^ the dilution of a published review set, asked the other way round
    (
        "recipe_total",
        {"first_ingredient": "12.5 g", "second_ingredient": "2.5 g", "third_ingredient": "85 g"},
        "100 g",
    ),  # 12.5 + 2.5 + 85
    ("rest_of_mixture", {"total": "200 g", "stronger_amount": "6.25 g"}, "193.75 g"),  # 200 - 6.25
    ("solvent_driven_off", {"preparation": "500 mL", "amount_left": "200 mL"}, "300 mL"),  # 500 - 200
    ("trituration_for_drug", {"drug": "2 mg", "ratio": "1:100"}, "200 mg"),  # Winfield-style example, from memory
    ("filler_beside_powder", {"unit_mass": "250 mg", "units_made": "12", "powder": "360 mg"}, "2640 mg"),  # UNC
    ("drug_on_dried_basis", {"powder": "500 mg", "assay_dried": "98 %", "loss_on_drying": "5 %"}, "465.5 mg"),
    # ^ 500 x 0.98 x 0.95
    ("smallest_aliquot_volume", {"least_measurable_volume": "5 mL"}, "5 mL"),  # UNC, Liquid Aliquot Method
]  # fmt: skip


@pytest.mark.parametrize(("name", "amounts", "value"), VALUES)
def test_the_value_that_was_worked_out_by_hand_comes_out(name: str, amounts: dict[str, str], value: str) -> None:
    """The formula gives exactly the value of its source, or of the sum beside it."""
    formula = FORMULAS[name]
    assert formula(**amounts) == formula.kind.check("value", value)


def test_the_width_of_a_graduate_follows_from_what_a_millimetre_holds() -> None:
    """A millimetre that holds 0.109 mL belongs to an inner diameter of 1.18 cm (USP <1176>, from memory)."""
    inner_diameter_for = FORMULAS["inner_diameter_for"]
    found = inner_diameter_for(volume_error="0.109 mL", misreading="1 mm").to("centimetre").magnitude
    assert f"{float(found):.2f}" == "1.18"


def test_a_rectangle_has_the_square_root_of_three() -> None:
    """A limit of 3 mL is a standard uncertainty of 1.732051 mL: 3 over the square root of 3."""
    found = FORMULAS["rectangular_uncertainty"](half_width="3 mL").magnitude
    assert f"{float(found):.6f}" == "1.732051"
