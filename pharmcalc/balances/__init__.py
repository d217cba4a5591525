"""Balances: how wrong a weighing may be, the smallest amount to weigh, what rules and law say, and which one to use."""

from pharmcalc.balances.accuracy import (
    AccuracyTest,
    accuracy_error,
    accuracy_limit,
    accuracy_test,
    smallest_test_weight,
)
from pharmcalc.balances.choice import UNMARKED_CAPACITY, Balance, choose_balance
from pharmcalc.balances.legal import (
    RULES_OF_CLASSES,
    AccuracyClass,
    Intervals,
    RulesOfClasses,
    classes_allowed,
    error_before_rounding,
    maximum_permissible_error,
    minimum_capacity,
    number_of_intervals,
)
from pharmcalc.balances.pharmacopoeia import (
    FLOOR,
    largest_step_for,
    minimum_weight,
    minimum_weight_before_2013,
    repeatability_error,
    rounding_of_net_weight,
    smallest_minimum_weight,
    smallest_net_weight,
)
from pharmcalc.balances.rules import SmallestByRule, smallest_by_each_rule
from pharmcalc.balances.sensitivity import (
    error_found,
    least_weighable_quantity,
    percentage_of_error,
    sensitivity_requirement,
)
from pharmcalc.balances.weights import (
    WEIGHT_STANDARDS,
    WeightStandard,
    largest_error_of_weight,
    permissible_error_of_weight,
    weight_class_for,
)

__all__ = [
    "FLOOR",
    "RULES_OF_CLASSES",
    "UNMARKED_CAPACITY",
    "WEIGHT_STANDARDS",
    "AccuracyClass",
    "AccuracyTest",
    "Balance",
    "Intervals",
    "RulesOfClasses",
    "SmallestByRule",
    "WeightStandard",
    "accuracy_error",
    "accuracy_limit",
    "accuracy_test",
    "choose_balance",
    "classes_allowed",
    "error_before_rounding",
    "error_found",
    "largest_error_of_weight",
    "largest_step_for",
    "least_weighable_quantity",
    "maximum_permissible_error",
    "minimum_capacity",
    "minimum_weight",
    "minimum_weight_before_2013",
    "number_of_intervals",
    "percentage_of_error",
    "permissible_error_of_weight",
    "repeatability_error",
    "rounding_of_net_weight",
    "sensitivity_requirement",
    "smallest_by_each_rule",
    "smallest_minimum_weight",
    "smallest_net_weight",
    "smallest_test_weight",
    "weight_class_for",
]
