"""Tasks about strengths in other words: by weight and by volume, specific gravity, labels per 5 mL, solubility."""

from fractions import Fraction

from pharmcalc.formula import Values
from pharmcalc.kinds import MASS, VOLUME
from pharmcalc.language import later, say
from pharmcalc.rounding import round_to_places
from pharmcalc.strengths import (
    drug_in_measured_volume,
    largest_solute,
    mass_of_volume,
    percentage_wv_from_ww,
    percentage_ww_from_wv,
    solvent_to_dissolve,
    volume_for_dose,
    volume_of_mass,
)
from pharmcalc.tasks.consequences import compared
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Asked, Drawn, Family, Proof, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.tasks.products import instead, no_good
from pharmcalc.units import Quantity, quantity, quotient

__all__: list[str] = []

_LIQUIDS = (  # specific gravities as commonly tabled, rounded; none so near 1 that leaving it out would not matter
    (later("glycerol"), "1.26"),
    (later("liquid paraffin"), "0.86"),
    (later("arachis oil"), "0.92"),
    (later("lactic acid"), "1.21"),
    (later("turpentine oil"), "0.87"),
    (later("chloroform"), "1.48"),
    (later("phosphoric acid"), "1.69"),
    (later("syrup"), "1.32"),
    (later("benzyl benzoate"), "1.12"),
    (later("ethanol"), "0.81"),
)
_AMOUNTS = (15, 20, 25, 30, 40, 45, 50, 60, 75, 80, 90, 100, 120, 150, 180, 200, 240, 250)
_BY_WEIGHT = (  # how much heavier a solution gets with each 1 % w/w, roughly; its strongest, in % w/w
    (later("hydrochloric acid"), "0.005", 36),
    (later("ammonia solution"), "-0.0037", 28),
    (later("sucrose solution"), "0.0045", 50),
    (later("phosphoric acid"), "0.006", 45),
    (later("sodium hydroxide solution"), "0.011", 40),
    (later("sodium chloride solution"), "0.0073", 25),
)


# By weight and by volume ---------------------------------------------------------------------------------------------


def _solution(dice: Dice) -> tuple[str, Quantity, Quantity]:
    """Return a solution in water, its percentage strength w/w, and its specific gravity to two places."""
    name, each, strongest = dice.pick(_BY_WEIGHT)
    percent = dice.between(8, strongest)
    return name, quantity(percent, "percent"), round_to_places(quantity(1 + Fraction(each) * percent), 2)


def _draw_by_volume(dice: Dice, house: HouseRules) -> Drawn:
    product, strength, gravity = _solution(dice)
    return Drawn({"strength": strength, "specific_gravity": gravity}, {"product": product})


def _by_volume_consequence(task: Task, values: Values) -> str:
    said = instead(values["percentage_wv_from_ww"], task.values["percentage_wv_from_ww"])
    return say("A label with this figure would say {said}.", said=said) if said else ""


register(
    Family(
        id="percentage-from-density",
        title="From by weight to by volume",
        subject="strengths",
        text=(
            "A bottle of {product} of {strength} has a specific gravity of {specific_gravity}.\n\n"
            "What is its percentage strength w/v?"
        ),
        draw=_draw_by_volume,
        asked=(Asked(percentage_wv_from_ww, label="strength w/v", aliases=("strength", "percentage", "% w/v", "w/v")),),
        proof=Proof(percentage_ww_from_wv, {"strength": "percentage_wv_from_ww"}),
        consequence=_by_volume_consequence,
    )
)


def _draw_by_weight(dice: Dice, house: HouseRules) -> Drawn:
    product, strength, gravity = _solution(dice)
    by_volume = percentage_wv_from_ww.evaluate({"strength": strength, "specific_gravity": gravity})
    return Drawn({"strength": by_volume, "specific_gravity": gravity}, {"product": product})


def _by_weight_consequence(task: Task, values: Values) -> str:
    said = instead(values["percentage_ww_from_wv"], task.values["percentage_ww_from_wv"], " w/w")
    return say("A label with this figure would say {said}.", said=said) if said else ""


register(
    Family(
        id="percentage-by-weight-from-density",
        title="From by volume to by weight",
        subject="strengths",
        text=(
            "A bottle of {product} of {strength} has a specific gravity of {specific_gravity}.\n\n"
            "What is its percentage strength w/w?"
        ),
        draw=_draw_by_weight,
        asked=(Asked(percentage_ww_from_wv, label="strength w/w", aliases=("strength", "percentage", "% w/w", "w/w")),),
        proof=Proof(percentage_wv_from_ww, {"strength": "percentage_ww_from_wv"}),
        consequence=_by_weight_consequence,
    )
)


# Weighing or measuring a liquid --------------------------------------------------------------------------------------


def _draw_mass(dice: Dice, house: HouseRules) -> Drawn:
    liquid, gravity = dice.pick(_LIQUIDS)
    values = {"volume": quantity(dice.pick(_AMOUNTS), "mL"), "specific_gravity": quantity(gravity)}
    return Drawn(values, {"liquid": liquid})


def _mass_consequence(task: Task, values: Values) -> str:
    said = compared(values["mass_of_volume"], task.values["mass_of_volume"], str(task.drawn.words["liquid"]))
    return say("Weighed like this, the preparation would hold {said}.", said=said) if said else ""


register(
    Family(
        id="mass-of-volume",
        title="A liquid that is weighed instead of measured",
        subject="strengths",
        text=(
            "A recipe asks for {volume} of {liquid}, specific gravity {specific_gravity}. You weigh it instead of "
            "measuring it.\n\n"
            "How much do you weigh?"
        ),
        draw=_draw_mass,
        asked=(Asked(mass_of_volume, label="mass to weigh", aliases=("mass", "weight", "weigh")),),
        proof=Proof(volume_of_mass, {"mass": "mass_of_volume"}),
        consequence=_mass_consequence,
    )
)


def _draw_volume(dice: Dice, house: HouseRules) -> Drawn:
    liquid, gravity = dice.pick(_LIQUIDS)
    values = {"mass": quantity(dice.pick(_AMOUNTS), "g"), "specific_gravity": quantity(gravity)}
    return Drawn(values, {"liquid": liquid})


def _volume_consequence(task: Task, values: Values) -> str:
    said = compared(values["volume_of_mass"], task.values["volume_of_mass"], str(task.drawn.words["liquid"]))
    return say("Measured like this, the preparation would hold {said}.", said=said) if said else ""


register(
    Family(
        id="volume-of-mass",
        title="A liquid that is measured instead of weighed",
        subject="strengths",
        text=(
            "A recipe asks for {mass} of {liquid}, specific gravity {specific_gravity}. You measure it instead of "
            "weighing it.\n\n"
            "What volume do you measure?"
        ),
        draw=_draw_volume,
        asked=(Asked(volume_of_mass, label="volume to measure", aliases=("volume", "measure")),),
        proof=Proof(mass_of_volume, {"volume": "volume_of_mass"}),
        consequence=_volume_consequence,
    )
)


# What a label says ---------------------------------------------------------------------------------------------------

_ORAL_LIQUIDS = (
    # drug, mg that a label may state, in so many mL, doses in mg
    (
        later("amoxicillin suspension"),
        ("125", "250"),
        "5",
        ("50", "75", "100", "150", "175", "200", "225", "300", "350"),
    ),
    (later("erythromycin suspension"), ("125", "250"), "5", ("75", "100", "150", "175", "200", "300")),
    (later("paracetamol suspension"), ("120", "250"), "5", ("60", "90", "150", "180", "200")),
    (later("ibuprofen suspension"), ("100",), "5", ("50", "60", "75", "80", "120", "150")),
    (later("furosemide solution"), ("20", "40"), "5", ("5", "8", "12", "15", "25", "30")),
    (later("morphine solution"), ("10",), "5", ("2", "3", "4", "6", "7")),
    (later("carbamazepine suspension"), ("100",), "5", ("40", "50", "70", "80", "120")),
    (later("phenobarbital elixir"), ("15",), "10", ("6", "9", "12", "18", "24")),
    (later("theophylline solution"), ("80",), "15", ("32", "40", "48", "60", "100")),
)


def _draw_dose(dice: Dice, house: HouseRules) -> Drawn:
    drug, labelled, volume, doses = dice.pick(_ORAL_LIQUIDS)
    values = {
        "dose": quantity(dice.pick(doses), "mg"),
        "labelled_drug": quantity(dice.pick(labelled), "mg"),
        "labelled_volume": quantity(volume, "mL"),
    }
    if quotient(volume_for_dose.evaluate(values), quantity("0.1", "mL")).denominator > 1:
        raise no_good(say("an oral syringe does not show this volume."))
    return Drawn(values, {"product": drug})


def _dose_consequence(task: Task, values: Values) -> str:
    measured = {**task.values, "measured_volume": values["volume_for_dose"]}
    held = drug_in_measured_volume.evaluate(measured)
    said = compared(held, task.values["dose"], later("drug"))
    return (
        say(
            "The measured dose would hold {said}: {held} for a dose of {dose}.",
            said=said,
            held=MASS.show(held),
            dose=MASS.show(task.values["dose"]),
        )
        if said
        else ""
    )


register(
    Family(
        id="dose-from-label",
        title="How many millilitres for this dose?",
        subject="strengths",
        text=(
            "The label on {product} says {labelled_drug} per {labelled_volume}. A dose of {dose} is ordered.\n\n"
            "What volume do you measure for one dose?"
        ),
        draw=_draw_dose,
        asked=(Asked(volume_for_dose, label="volume for the dose", aliases=("volume", "volume to measure", "dose")),),
        proof=Proof(drug_in_measured_volume, {"measured_volume": "volume_for_dose"}),
        consequence=_dose_consequence,
    )
)


# Solubility ----------------------------------------------------------------------------------------------------------

_SOLUBLE = (  # rounded values as formularies table them, from memory
    (later("boric acid"), "20", later("water")),
    (later("potassium permanganate"), "16", later("water")),
    (later("ammonium chloride"), "3", later("water")),
    (later("salicylic acid"), "550", later("water")),
    (later("salicylic acid"), "4", later("ethanol")),
    (later("sodium bicarbonate"), "11", later("water")),
    (later("sodium benzoate"), "2", later("water")),
    (later("codeine phosphate"), "4", later("water")),
    (later("benzoic acid"), "350", later("water")),
    (later("benzoic acid"), "3", later("ethanol")),
    (later("caffeine"), "60", later("water")),
)


def _draw_solvent(dice: Dice, house: HouseRules) -> Drawn:
    solid, parts, solvent = dice.pick(_SOLUBLE)
    grams = dice.pick(("0.4", "0.5", "0.6", "0.75", "0.8", "1", "1.2", "1.5", "1.8", "2", "2.5", "3", "4", "5"))
    values = {"solute": quantity(grams, "g"), "parts_of_solvent": quantity(parts)}
    return Drawn(values, {"solid": solid, "solvent": solvent})


def _solvent_consequence(task: Task, values: Values) -> str:
    given, least = values["solvent_to_dissolve"], task.values["solvent_to_dissolve"]
    if given >= least:
        return say(
            "It would dissolve, but in {given} where {least} are enough.",
            given=VOLUME.show(given),
            least=VOLUME.show(least),
        )
    dissolved = largest_solute.evaluate({**task.values, "solvent": given})
    left = quotient(dissolved, task.values["solute"])
    return (
        say("Only {dissolved} would dissolve, and the rest would stay on the bottom.", dissolved=MASS.show(dissolved))
        if left < 1
        else ""
    )


register(
    Family(
        id="solubility-one-in",
        title="How much solvent dissolves it?",
        subject="strengths",
        text=(
            "A formulary says of {solid}: soluble 1 in {parts_of_solvent} in {solvent}. You have {solute} of it.\n\n"
            "What is the smallest volume of {solvent} that dissolves all of it?"
        ),
        draw=_draw_solvent,
        asked=(Asked(solvent_to_dissolve, label="solvent needed", aliases=("solvent", "volume of solvent", "water")),),
        proof=Proof(largest_solute, {"solvent": "solvent_to_dissolve"}),
        consequence=_solvent_consequence,
    )
)
