"""Diluting and mixing: weaker, stronger, and between: stock solutions, drug to add, alligation, triturations."""

from pharmcalc.dilutions.adding import (
    amount_after_evaporation,
    pure_drug_in_total,
    pure_drug_to_add,
    solvent_driven_off,
    solvent_to_remove,
    strength_after_evaporation,
    stronger_to_add,
)
from pharmcalc.dilutions.alligation import (
    Alligation,
    alternate,
    rest_of_mixture,
    stronger_in_mixture,
    weaker_in_mixture,
)
from pharmcalc.dilutions.dilution import (
    amount_from_stock,
    diluent_to_add,
    diluent_to_weaken,
    diluted_strength,
    drug_for_stock,
    stock_strength_needed,
    stock_to_take,
)
from pharmcalc.dilutions.medial import medial, strength_of_three, strength_of_two
from pharmcalc.dilutions.triturations import (
    diluent_for_ratio,
    ratio_of_two_steps,
    second_ratio_needed,
    trituration_for_drug,
    trituration_for_second,
)

__all__ = [
    "Alligation",
    "alternate",
    "amount_after_evaporation",
    "amount_from_stock",
    "diluent_for_ratio",
    "diluent_to_add",
    "diluent_to_weaken",
    "diluted_strength",
    "drug_for_stock",
    "medial",
    "pure_drug_in_total",
    "pure_drug_to_add",
    "ratio_of_two_steps",
    "rest_of_mixture",
    "second_ratio_needed",
    "solvent_driven_off",
    "solvent_to_remove",
    "stock_strength_needed",
    "stock_to_take",
    "strength_after_evaporation",
    "strength_of_three",
    "strength_of_two",
    "stronger_in_mixture",
    "stronger_to_add",
    "trituration_for_drug",
    "trituration_for_second",
    "weaker_in_mixture",
]
