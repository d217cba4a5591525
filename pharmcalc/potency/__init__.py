"""Potency: salts, bases and hydrates, purity and assay: how much powder holds the drug that is named."""

from pharmcalc.potency.assay import (
    assay_as_is,
    drug_in_powder,
    drug_on_dried_basis,
    powder_for_purity,
    powder_on_dried_basis,
)
from pharmcalc.potency.molar_mass import ATOMIC_WEIGHTS, molar_mass
from pharmcalc.potency.salts import (
    anhydrous_in_hydrate,
    drug_in_form,
    form_to_weigh,
    hydrate_to_weigh,
    molar_mass_of_hydrate,
    water_in_hydrate,
)

__all__ = [
    "ATOMIC_WEIGHTS",
    "anhydrous_in_hydrate",
    "assay_as_is",
    "drug_in_form",
    "drug_in_powder",
    "drug_on_dried_basis",
    "form_to_weigh",
    "hydrate_to_weigh",
    "molar_mass",
    "molar_mass_of_hydrate",
    "powder_for_purity",
    "powder_on_dried_basis",
    "water_in_hydrate",
]
