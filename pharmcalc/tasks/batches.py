"""Tasks about batches: extra units for loss, what capsules and moulds have room for, and crushed tablets."""

from pharmcalc.aliquots import drug_wanted
from pharmcalc.formula import Values
from pharmcalc.language import later, say
from pharmcalc.recipes import (
    CAPSULE_SIZES,
    amount_for_batch,
    amount_per_unit,
    base_for_moulds,
    drug_in_tablet_powder,
    filler_for_capsule,
    tablet_powder_for,
    tablets_to_crush,
    units_to_make,
)
from pharmcalc.tasks.consequences import compared, first_wrong
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Asked, Drawn, Family, Proof, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import quantity

__all__ = ["LOSS_COUNTED", "UNITS_WORDS", "loss"]

UNITS_WORDS = ("units", "units to calculate for", "units to make", "units made")
LOSS_COUNTED = ("loss-left-out", "loss-counted-twice")
"""Mistakes that change nothing in a house that makes no extra units."""

_DENSITIES = ("0.45", "0.5", "0.55", "0.6", "0.65", "0.7", "0.75", "0.8", "0.85", "0.9")
_FORMS = (later("capsules"), later("divided powders"), later("lozenges"), later("suppositories"))


def loss(house: HouseRules) -> str:
    """Return the sentence about extra units for loss, as the house makes them."""
    if house.extra_units == 0:
        return say("The house makes no extra units for loss.")
    if house.extra_units == 1:
        return say("The house makes 1 extra unit for loss.")
    return say("The house makes {extra_units} extra units for loss.", extra_units=house.extra_units)


# What a batch needs --------------------------------------------------------------------------------------------------


def _draw_need(dice: Dice, house: HouseRules) -> Drawn:
    ordered = dice.between(8, 40)
    return Drawn(
        {
            "per_unit": quantity(
                dice.pick(("12.5", "15", "20", "25", "30", "40", "50", "60", "75", "80", "100", "125", "150")), "mg"
            ),
            "units_ordered": quantity(ordered),
            "extra_units": quantity(house.extra_units),
            "units_made": quantity(ordered + house.extra_units),
        },
        {"form": dice.pick(_FORMS), "loss": loss(house)},
    )


def _need_consequence(task: Task, values: Values) -> str:
    made, wanted = values["amount_for_batch"], task.values["amount_for_batch"]
    said = compared(made, wanted, later("drug"))
    if wanted / 2 < made < wanted:
        return say("The batch would hold {said}: the last units come out short.", said=said)
    return say("Shared out over the batch, each unit would hold {said}.", said=said) if said else ""


register(
    Family(
        id="units-for-loss",
        title="Drug for a whole batch",
        subject="recipes",
        text=(
            "{units_ordered} {form} are ordered, each with {per_unit} of drug. {loss}\n\n"
            "How much drug do you need for the whole batch?"
        ),
        draw=_draw_need,
        asked=(
            Asked(
                amount_for_batch,
                label="drug for the batch",
                aliases=("drug", "need", "drug needed", "batch"),
                sometimes_right=("batch-loss-left-out", "batch-loss-counted-twice"),
            ),
        ),
        proof=Proof(amount_per_unit, {"batch_amount": "amount_for_batch"}),
        consequence=_need_consequence,
    )
)


# Capsules and moulds -------------------------------------------------------------------------------------------------


def _draw_capsule(dice: Dice, house: HouseRules) -> Drawn:
    size = dice.pick([size for size in CAPSULE_SIZES if size.name in ("3", "2", "1", "0", "00")])
    drug_density, filler_density = (quantity(text) for text in dice.shuffled(_DENSITIES)[:2])
    unit = quantity(1, "gram / millilitre")
    room = (size.volume * drug_density * unit).to("mg") * quantity(dice.between(25, 70, 5), "percent").to_base_units()
    drug = quantity(max(5, int(room.magnitude / 5) * 5), "mg")
    ordered = dice.between(10, 40, 2)
    return Drawn(
        {
            "capsule_volume": size.volume,
            "drug": drug,
            "drug_density": drug_density * unit,
            "filler_density": filler_density * unit,
            "units_ordered": quantity(ordered),
            "extra_units": quantity(house.extra_units),
            "units_made": quantity(ordered + house.extra_units),
        },
        {"size": size.name, "loss": loss(house)},
    )


def _capsule_consequence(task: Task, values: Values) -> str:
    name = first_wrong(task, values)
    said = compared(values[name], task.values[name], later("filler")) if name else ""
    if not said:
        return ""
    more = values[name] > task.values[name]
    if name == "per_unit":
        return say(
            "With {said}, a capsule {outcome}.",
            said=said,
            outcome=say("would not close") if more else say("would stay partly empty"),
        )
    end = (
        say("each full capsule would hold too little drug")
        if more
        else say("there would not be enough to fill every capsule")
    )
    return say("Mixed with {said}, {end}.", said=said, end=end)


register(
    Family(
        id="capsule-filler",
        title="The filler that a capsule has room for",
        subject="recipes",
        level=2,
        text=(
            "{units_ordered} capsules are ordered, each with {drug} of drug. A capsule of size {size} holds "
            "{capsule_volume}. The drug has a bulk density of {drug_density}, the filler one of {filler_density}. "
            "{loss}\n\n"
            "How much filler fills up one capsule? And how much do you need for the whole batch? Round only at the end."
        ),
        draw=_draw_capsule,
        asked=(
            Asked(
                filler_for_capsule,
                called="per_unit",
                label="filler for one capsule",
                aliases=("filler", "filler per capsule", "one capsule"),
            ),
            Asked(
                amount_for_batch,
                label="filler for the batch",
                aliases=("batch", "filler for all capsules", "total filler"),
                sometimes_right=("batch-loss-left-out", "batch-loss-counted-twice"),
            ),
        ),
        proof=Proof(amount_per_unit, {"batch_amount": "amount_for_batch"}),
        consequence=_capsule_consequence,
    )
)


def _draw_mould(dice: Dice, house: HouseRules) -> Drawn:
    mould = dice.pick((1, 2, 3, 4))
    doses = [dose for dose in (100, 125, 150, 200, 250, 300, 400, 500) if dose <= 250 * mould]
    return Drawn(
        {
            "mould": quantity(mould, "g"),
            "drug_per_unit": quantity(dice.pick(doses), "mg"),
            "displacement_value": quantity(dice.pick(("1.2", "1.3", "1.5", "1.6", "1.8", "2.5", "2.7", "3", "4.7"))),
            "units_ordered": quantity(dice.between(6, 24)),
            "extra_units": quantity(house.extra_units),
        },
        {"form": dice.pick((later("suppositories"), later("pessaries"))), "loss": loss(house)},
    )


def _mould_consequence(task: Task, values: Values) -> str:
    if first_wrong(task, values) == "number_of_units":
        few = values["number_of_units"] < task.values["number_of_units"]
        return say("Some mass is always lost, so the last moulds would not be full.") if few else ""
    said = compared(values["base_for_moulds"], task.values["base_for_moulds"], later("base"))
    more = values["base_for_moulds"] > task.values["base_for_moulds"]
    end = (
        say("each unit would be too weak")
        if more
        else say("the last moulds would stay empty and the others be too strong")
    )
    return say("Made with {said}, {end}.", said=said, end=end) if said else ""


register(
    Family(
        id="mould-base",
        title="The base that moulds need beside the drug",
        subject="recipes",
        level=2,
        text=(
            "{units_ordered} {form} are ordered, each with {drug_per_unit} of drug. A mould holds {mould} of pure "
            "base. The displacement value of the drug is {displacement_value}: {displacement_value} g of it take the "
            "room of 1 g of base. {loss}\n\n"
            "How many units do you calculate for? And how much base do you weigh?"
        ),
        draw=_draw_mould,
        asked=(
            Asked(
                units_to_make,
                called="number_of_units",
                marks=1,
                label="number of units",
                aliases=UNITS_WORDS,
                sometimes_right=LOSS_COUNTED,
            ),
            Asked(base_for_moulds, label="base to weigh", aliases=("base", "base for moulds", "mass of base")),
        ),
        consequence=_mould_consequence,
    )
)


# Crushed tablets -----------------------------------------------------------------------------------------------------

_TABLETS = (
    (later("hydrocortisone"), "10", ("1", "1.5", "2", "2.5", "4")),
    (later("spironolactone"), "25", ("3", "4", "6", "8", "10")),
    (later("propranolol"), "40", ("3", "5", "6", "8", "12")),
    (later("captopril"), "25", ("1.5", "2", "3", "4", "5")),
    (later("hydrochlorothiazide"), "25", ("2", "3", "4", "6")),
    (later("baclofen"), "10", ("1", "1.5", "2", "3")),
)


def _draw_tablets(dice: Dice, house: HouseRules) -> Drawn:
    drug, labelled, doses = dice.pick(_TABLETS)
    ordered = dice.between(10, 36, 2)
    return Drawn(
        {
            "dose": quantity(dice.pick(doses), "mg"),
            "units_ordered": quantity(ordered),
            "number_of_units": quantity(ordered + house.extra_units),
            "labelled_drug": quantity(labelled, "mg"),
            "tablet_mass": quantity(dice.between(int(labelled) * 3, 260), "mg"),
        },
        {"drug": drug, "loss": loss(house)},
    )


def _tablets_consequence(task: Task, values: Values) -> str:
    held = drug_in_tablet_powder.evaluate({**task.values, "powder": values["tablet_powder_for"]})
    said = compared(held, task.values["drug_wanted"], later("drug"))
    if said:
        return say(
            "Shared out over {number_of_units} capsules, each would hold {said}.",
            number_of_units=task.shown("number_of_units"),
            said=said,
        )
    tablets, needed = values["tablets_to_crush"], task.values["tablets_to_crush"]
    if tablets < needed:
        return say("With so few tablets there would not be enough powder to weigh out.")
    return say("More tablets would be crushed than are needed.") if tablets > needed else ""


register(
    Family(
        id="crushed-tablets",
        title="Capsules made from crushed tablets",
        subject="recipes",
        level=2,
        text=(
            "{units_ordered} capsules are ordered, each with {dose} of {drug}. {loss} The drug comes from tablets that "
            "may be crushed: each is labelled {labelled_drug} and weighs {tablet_mass} on average.\n\n"
            "How much drug does the whole batch need? How many tablets do you crush? And how much of their powder do "
            "you weigh?"
        ),
        draw=_draw_tablets,
        asked=(
            Asked(
                drug_wanted,
                label="drug for the batch",
                aliases=("drug", "need", "drug needed", "drug wanted"),
                sometimes_right=("extra-units-left-out",),
            ),
            Asked(tablets_to_crush, label="number of tablets", marks=1, aliases=("tablets", "tablets to crush")),
            Asked(tablet_powder_for, label="tablet powder to weigh", aliases=("powder", "tablet powder")),
        ),
        proof=Proof(drug_in_tablet_powder, {"powder": "tablet_powder_for"}),
        consequence=_tablets_consequence,
    )
)
