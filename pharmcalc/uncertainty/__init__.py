"""How sure are you? Standard uncertainties, their combination through a plan, the worst case, and simulation."""

from pharmcalc.uncertainty.plans import model_of, plan_budget, plan_worst_case, weighing_uncertainty
from pharmcalc.uncertainty.propagation import Budget, BudgetLine, Input, budget, worst_case
from pharmcalc.uncertainty.simulation import Cloud, simulate
from pharmcalc.uncertainty.standard import (
    combined_uncertainty,
    expanded_uncertainty,
    reading_uncertainty,
    rectangular_uncertainty,
    standard_from_expanded,
    triangular_uncertainty,
)

__all__ = [
    "Budget",
    "BudgetLine",
    "Cloud",
    "Input",
    "budget",
    "combined_uncertainty",
    "expanded_uncertainty",
    "model_of",
    "plan_budget",
    "plan_worst_case",
    "reading_uncertainty",
    "rectangular_uncertainty",
    "simulate",
    "standard_from_expanded",
    "triangular_uncertainty",
    "weighing_uncertainty",
    "worst_case",
]
