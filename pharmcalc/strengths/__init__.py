"""Strengths: percentage (w/w, w/v, v/v), ratio strength, mg%, ppm, mg/mL, and the ways between them.

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

__all__ = [
    "drug_for_percentage_wv",
    "drug_for_percentage_ww",
    "drug_in_ratio",
    "mass_of_volume",
    "milligram_percent",
    "milligrams_per_millilitre",
    "parts_per_million",
    "percentage_from_milligram_percent",
    "percentage_from_milligrams_per_millilitre",
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
]
