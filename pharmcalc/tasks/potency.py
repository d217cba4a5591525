"""Tasks about potency: a salt for a base, a hydrate for the dry drug, purity, and the assay on the dried basis."""

from fractions import Fraction

from pharmcalc.formula import Values
from pharmcalc.kinds import MOLAR_MASS, PERCENT
from pharmcalc.language import later, say
from pharmcalc.potency import (
    anhydrous_in_hydrate,
    assay_as_is,
    drug_in_form,
    drug_in_powder,
    form_to_weigh,
    hydrate_to_weigh,
    powder_for_purity,
    water_in_hydrate,
)
from pharmcalc.potency.molar_mass import WATER
from pharmcalc.rounding import round_to_places
from pharmcalc.tasks.consequences import compared
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Asked, Drawn, Family, Proof, Task, register
from pharmcalc.tasks.forms import HYDRATES, SALTS
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import quantity

__all__: list[str] = []


def _weighed_consequence(task: Task, values: Values) -> str:
    """Say how much drug the powder that would be weighed really brings: it goes with the powder."""
    name = task.amounts[-1].name
    said = compared(values[name], task.values[name], later("drug"))
    return say("Weighed like this, the preparation would hold {said}.", said=said) if said else ""


# Salts and hydrates --------------------------------------------------------------------------------------------------


def _draw_salt(dice: Dice, house: HouseRules) -> Drawn:
    form = dice.pick(SALTS)
    return Drawn(
        {
            "drug_wanted": quantity(dice.between(100, 950, 25), "mg"),
            "molar_mass_named": form.molar_mass_of_base,
            "molar_mass_used": form.molar_mass_of_salt,
            "named_in_one_used": quantity(form.held),
        },
        {"base": form.base, "salt": form.salt},
    )


register(
    Family(
        id="salt-form",
        title="The order names the base, the jar holds a salt",
        subject="potency",
        text=(
            "An order needs {drug_wanted} of {base}, counted as the base. The jar holds {salt}. Molar masses: {base} "
            "{molar_mass_named}, {salt} {molar_mass_used}. One mole of the salt holds {named_in_one_used} mol of the "
            "base.\n\n"
            "How much of the salt do you weigh?"
        ),
        draw=_draw_salt,
        asked=(
            Asked(
                form_to_weigh,
                label="salt to weigh",
                aliases=("salt", "mass of salt", "powder"),
                sometimes_right=("salt-count-left-out",),
            ),
        ),
        proof=Proof(drug_in_form, {"form_weighed": "form_to_weigh"}),
        consequence=_weighed_consequence,
    )
)


def _draw_hydrate(dice: Dice, house: HouseRules) -> Drawn:
    form = dice.pick(HYDRATES)
    dry, waters = form.molar_mass, quantity(form.waters)
    content = round_to_places(water_in_hydrate.evaluate({"molar_mass_anhydrous": dry, "waters": waters}), 2)
    return Drawn(
        {
            "anhydrous_wanted": quantity(dice.between(150, 1900, 50), "mg"),
            "molar_mass_anhydrous": dry,
            "waters": waters,
        },
        {"named": form.named, "used": form.used, "water": MOLAR_MASS.show(WATER), "loss": PERCENT.show(content)},
    )


register(
    Family(
        id="hydrate-to-weigh",
        title="The order names the dry drug, the jar holds a hydrate",
        subject="potency",
        text=(
            "An order needs {anhydrous_wanted} of {named} (molar mass {molar_mass_anhydrous}). The jar holds {used}: "
            "{waters} mol of water ({water}) for each mole of the drug. Its certificate states a loss on drying of "
            "{loss}, which is this same water.\n\n"
            "How much of the {used} do you weigh?"
        ),
        draw=_draw_hydrate,
        asked=(
            Asked(
                hydrate_to_weigh,
                label="hydrate to weigh",
                aliases=("hydrate", "mass of hydrate", "powder"),
                sometimes_right=("hydrate-to-weigh-one-water",),
            ),
        ),
        proof=Proof(anhydrous_in_hydrate, {"hydrate": "hydrate_to_weigh"}),
        consequence=_weighed_consequence,
    )
)


# Purity and assay ----------------------------------------------------------------------------------------------------

_ANTIBIOTICS = (
    later("neomycin"),
    later("gentamicin"),
    later("erythromycin"),
    later("tobramycin"),
    later("tetracycline"),
    later("vancomycin"),
    later("clindamycin"),
)
_DAMP = (
    later("erythromycin"),
    later("neomycin sulfate"),
    later("calcium folinate"),
    later("tetracycline"),
    later("pectin"),
    later("sodium alginate"),
)


def _draw_purity(dice: Dice, house: HouseRules) -> Drawn:
    purity = dice.between(60, 96)
    said = dice.pick(
        (say("a potency of {purity} microgram/mg", purity=purity * 10), say("an assay of {purity} %", purity=purity))
    )
    return Drawn(
        {"drug_wanted": quantity(dice.between(150, 1950, 50), "mg"), "purity": quantity(purity, "percent")},
        {"drug": dice.pick(_ANTIBIOTICS), "said": said},
    )


register(
    Family(
        id="powder-for-purity",
        title="A powder that is not all drug",
        subject="potency",
        text=(
            "{drug_wanted} of {drug} are needed. The label of the powder states {said}, as it is in the jar.\n\n"
            "How much of the powder do you weigh?"
        ),
        draw=_draw_purity,
        asked=(Asked(powder_for_purity, label="powder to weigh", aliases=("powder", "mass of powder")),),
        proof=Proof(drug_in_powder, {"powder": "powder_for_purity"}),
        consequence=_weighed_consequence,
    )
)


def _draw_dried(dice: Dice, house: HouseRules) -> Drawn:
    return Drawn(
        {
            "drug_wanted": quantity(dice.between(150, 1950, 50), "mg"),
            "assay_dried": quantity(Fraction(dice.between(900, 985, 5), 10), "percent"),
            "loss_on_drying": quantity(Fraction(dice.between(40, 140, 5), 10), "percent"),
        },
        {"drug": dice.pick(_DAMP)},
    )


register(
    Family(
        id="powder-on-dried-basis",
        title="An assay on the dried basis, and a powder that is damp",
        subject="potency",
        level=2,
        text=(
            "{drug_wanted} of {drug} are needed. The certificate of the powder states: assay {assay_dried}, on the "
            "dried basis; loss on drying {loss_on_drying}.\n\n"
            "What is the assay of the powder as it is in the jar? And how much of it do you weigh?"
        ),
        draw=_draw_dried,
        asked=(
            Asked(
                assay_as_is,
                called="purity",
                label="assay of the powder",
                aliases=("assay", "purity", "assay as is", "as is"),
            ),
            Asked(powder_for_purity, label="powder to weigh", aliases=("powder", "mass of powder")),
        ),
        proof=Proof(drug_in_powder, {"powder": "powder_for_purity"}),
        consequence=_weighed_consequence,
    )
)
