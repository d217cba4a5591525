"""Strengths: percentages, ratio strength, parts, mg%, ppm, ppb, mg/mL, labels, solubility, and the ways between them.

A percentage w/v is grams in 100 mL and is kept as a mass in a volume; w/w and v/v are plain fractions. So a specific
gravity, and nothing else, leads from one to the other.
"""

from pharmcalc.strengths.conversions import (
    mass_of_volume,
    milligram_percent,
    milligrams_per_millilitre,
    parts_per_million,
    percentage_from_milligram_percent,
    percentage_from_milligrams_per_millilitre,
    percentage_from_parts_per_million,
    percentage_wv_from_ww,
    percentage_ww_from_wv,
)
from pharmcalc.strengths.labels import (
    concentration_of_label,
    drug_in_five_millilitres,
    drug_in_measured_volume,
    volume_for_dose,
)
from pharmcalc.strengths.parts import parts_per_billion, percentage_from_parts_per_billion, strength_from_parts
from pharmcalc.strengths.percentages import (
    drug_for_percentage_wv,
    drug_for_percentage_ww,
    percentage_vv,
    percentage_wv,
    percentage_ww,
)
from pharmcalc.strengths.ratios import (
    drug_in_ratio,
    percentage_from_ratio,
    preparation_for_drug,
    ratio_of_drug_and_diluent,
    ratio_strength,
)
from pharmcalc.strengths.solubility import (
    largest_solute,
    parts_of_solvent,
    saturated_strength_ww,
    solvent_to_dissolve,
)
from pharmcalc.strengths.specific_gravity import specific_gravity, specific_gravity_by_pycnometer, volume_of_mass

__all__ = [
    "concentration_of_label",
    "drug_for_percentage_wv",
    "drug_for_percentage_ww",
    "drug_in_five_millilitres",
    "drug_in_measured_volume",
    "drug_in_ratio",
    "largest_solute",
    "mass_of_volume",
    "milligram_percent",
    "milligrams_per_millilitre",
    "parts_of_solvent",
    "parts_per_billion",
    "parts_per_million",
    "percentage_from_milligram_percent",
    "percentage_from_milligrams_per_millilitre",
    "percentage_from_parts_per_billion",
    "percentage_from_parts_per_million",
    "percentage_from_ratio",
    "percentage_vv",
    "percentage_wv",
    "percentage_wv_from_ww",
    "percentage_ww",
    "percentage_ww_from_wv",
    "preparation_for_drug",
    "ratio_of_drug_and_diluent",
    "ratio_strength",
    "saturated_strength_ww",
    "solvent_to_dissolve",
    "specific_gravity",
    "specific_gravity_by_pycnometer",
    "strength_from_parts",
    "volume_for_dose",
    "volume_of_mass",
]
