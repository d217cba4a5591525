"""Balances: how wrong a weighing may be, the smallest amount to weigh, and what different rules say about it."""

from pharmcalc.balances.pharmacopoeia import (
    FLOOR,
    largest_step_for,
    minimum_weight,
    minimum_weight_before_2013,
    repeatability_error,
    smallest_minimum_weight,
)
from pharmcalc.balances.rules import SmallestByRule, smallest_by_each_rule
from pharmcalc.balances.sensitivity import (
    error_found,
    least_weighable_quantity,
    percentage_of_error,
    sensitivity_requirement,
)

__all__ = [
    "FLOOR",
    "SmallestByRule",
    "error_found",
    "largest_step_for",
    "least_weighable_quantity",
    "minimum_weight",
    "minimum_weight_before_2013",
    "percentage_of_error",
    "repeatability_error",
    "sensitivity_requirement",
    "smallest_by_each_rule",
    "smallest_minimum_weight",
]
