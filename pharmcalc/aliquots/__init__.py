"""The solid aliquot method: its equations, and the plans that keep its rules."""

from pharmcalc.aliquots.formulas import (
    diluent,
    diluent_to_finish,
    drug_delivered,
    drug_wanted,
    drug_weighed,
    multiple_factor,
    smallest_aliquot,
    total_mixture,
)
from pharmcalc.aliquots.plan import RULES, AliquotPlan, Limits, Rule, smallest_plan

__all__ = [
    "RULES",
    "AliquotPlan",
    "Limits",
    "Rule",
    "diluent",
    "diluent_to_finish",
    "drug_delivered",
    "drug_wanted",
    "drug_weighed",
    "multiple_factor",
    "smallest_aliquot",
    "smallest_plan",
    "total_mixture",
]
