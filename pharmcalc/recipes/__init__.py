"""Recipes: scaling them, batches with extra units for loss, capsules and crushed tablets, and old units to be read."""

from pharmcalc.recipes.batches import (
    amount_for_batch,
    amount_per_unit,
    filler_for_batch,
    units_to_make,
    units_with_allowance,
)
from pharmcalc.recipes.capsules import (
    CAPSULE_SIZES,
    CapsuleSize,
    base_for_moulds,
    capsule_for,
    fill_mass,
    fill_volume,
    filler_for_capsule,
)
from pharmcalc.recipes.old_units import (
    grains_in_mass,
    mass_of_apothecary_drams,
    mass_of_apothecary_ounces,
    mass_of_grains,
    mass_of_pounds,
    mass_of_scruples,
    volume_of_fluid_ounces,
    volume_of_minims,
)
from pharmcalc.recipes.recipe import FILLS_UP, Recipe, of_each
from pharmcalc.recipes.rules_of_thumb import (
    RULES_OF_THUMB,
    TRAPS,
    ByRule,
    Meaning,
    RuleOfThumb,
    Trap,
    by_rule_of_thumb,
)
from pharmcalc.recipes.scaling import (
    amount_by_parts,
    amount_by_percentage,
    amount_of_each_together,
    amount_to_fill,
    scaled_ingredient,
    scaling_factor,
)
from pharmcalc.recipes.tablets import drug_in_tablet_powder, tablet_powder_for, tablets_to_crush

__all__ = [
    "CAPSULE_SIZES",
    "FILLS_UP",
    "RULES_OF_THUMB",
    "TRAPS",
    "ByRule",
    "CapsuleSize",
    "Meaning",
    "Recipe",
    "RuleOfThumb",
    "Trap",
    "amount_by_parts",
    "amount_by_percentage",
    "amount_for_batch",
    "amount_of_each_together",
    "amount_per_unit",
    "amount_to_fill",
    "base_for_moulds",
    "by_rule_of_thumb",
    "capsule_for",
    "drug_in_tablet_powder",
    "fill_mass",
    "fill_volume",
    "filler_for_batch",
    "filler_for_capsule",
    "grains_in_mass",
    "mass_of_apothecary_drams",
    "mass_of_apothecary_ounces",
    "mass_of_grains",
    "mass_of_pounds",
    "mass_of_scruples",
    "of_each",
    "scaled_ingredient",
    "scaling_factor",
    "tablet_powder_for",
    "tablets_to_crush",
    "units_to_make",
    "units_with_allowance",
    "volume_of_fluid_ounces",
    "volume_of_minims",
]
