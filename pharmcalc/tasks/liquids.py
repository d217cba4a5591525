"""Tasks about the liquid aliquot: its strength, a dose in a volume, the plan, and a whole order of an oral liquid."""

from pharmcalc.aliquots import (
    LIQUID_RULES,
    Limits,
    LiquidLimits,
    concentration_made,
    drug_in_aliquot,
    drug_weighed,
    multiple_factor,
    smallest_aliquot_volume,
    smallest_liquid_plan,
    solution_volume,
    vehicle_to_finish,
)
from pharmcalc.balances import Balance, least_weighable_quantity
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Values
from pharmcalc.kinds import MASS, VOLUME
from pharmcalc.language import later, say
from pharmcalc.strengths import drug_in_measured_volume, volume_for_dose
from pharmcalc.tasks.consequences import compared
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Asked, Drawn, Family, Made, Proof, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.tasks.liquid_bench import drawn_bench, limits_of, words_of
from pharmcalc.units import Quantity, quantity
from pharmcalc.volumes import Vessel

__all__ = ["LIQUID_PLAN", "liquid_plan"]

_VEHICLES = (later("simple syrup"), later("cherry syrup"), later("orange syrup"), later("a sugar-free vehicle"))


# One step ------------------------------------------------------------------------------------------------------------


def _concentration_consequence(task: Task, values: Values) -> str:
    said, true = values["concentration_made"], task.values["concentration_made"]
    times = compared(true, said, later("drug"))
    return say("Measured out by this figure, a dose would hold {times}.", times=times) if times else ""


def _draw_concentration(dice: Dice, house: HouseRules) -> Drawn:
    grams, volume = dice.between(20, 120, 5), quantity(dice.pick((50, 60, 80, 100, 120, 150, 200)), "mL")
    room = quantity(grams, "mL") * dice.pick((6, 7, 8)) / 100
    return Drawn(
        {"drug_weighed": quantity(grams, "g") / 10, "solution_volume": volume, "drug_volume": room},
        {
            "drug": dice.pick(
                (say("potassium iodide"), say("sodium bromide"), say("potassium chloride"), say("ammonium chloride"))
            )
        },
    )


register(
    Family(
        id="liquid-concentration",
        title="The strength of a solution that is made up to a volume",
        subject="liquid aliquots",
        text=(
            "{drug_weighed} of {drug} are dissolved in some of the water and then made up to {solution_volume}. "
            "The powder itself takes up {drug_volume} once it is dissolved.\n\n"
            "What is the concentration of the solution, in mg/mL?"
        ),
        draw=_draw_concentration,
        asked=(Asked(concentration_made, label="concentration", aliases=("strength", "c", "mg/mL")),),
        consequence=_concentration_consequence,
    )
)


def _dose_consequence(task: Task, values: Values) -> str:
    measured = {**task.values, "measured_volume": values["volume_for_dose"]}
    held = compared(drug_in_measured_volume.evaluate(measured), task.values["dose"], later("drug"))
    return say("Measured like this, each dose would hold {held}.", held=held) if held else ""


def _draw_dose(dice: Dice, house: HouseRules) -> Drawn:
    labelled, per = (
        quantity(dice.pick(("25", "40", "50", "62.5", "100", "125", "200", "250")), "mg"),
        dice.pick((5, 10)),
    )
    measured = quantity(dice.between(8, 160, 2), "mL") / 10
    return Drawn(
        {
            "labelled_drug": labelled,
            "labelled_volume": quantity(per, "mL"),
            "dose": labelled * measured.magnitude / per,
        },
        {
            "drug": dice.pick(
                (
                    later("ibuprofen"),
                    later("amoxicillin"),
                    later("paracetamol"),
                    later("phenytoin"),
                    later("cimetidine"),
                )
            )
        },
    )


register(
    Family(
        id="liquid-dose",
        title="The volume that holds a dose",
        subject="liquid aliquots",
        text=(
            "An oral liquid is labelled {labelled_drug} of {drug} per {labelled_volume}. A dose of {dose} is "
            "wanted.\n\n"
            "What volume of the liquid holds this dose?"
        ),
        draw=_draw_dose,
        asked=(Asked(volume_for_dose, label="volume to measure", aliases=("volume", "dose volume", "v")),),
        proof=Proof(drug_in_measured_volume, {"measured_volume": "volume_for_dose"}),
        consequence=_dose_consequence,
    )
)


# The plan ------------------------------------------------------------------------------------------------------------


def _solve(values: Values, limits: Limits) -> Values:
    """Return choices that keep the rules; where a multiple is chosen already, an aliquot that goes with it."""
    assert isinstance(limits, LiquidLimits)
    multiple = values.get("multiple_factor")
    plan = smallest_liquid_plan(drug_wanted=values["drug_wanted"], limits=limits, multiple_factor=multiple)
    return {"multiple_factor": plan.multiple_factor, "aliquot_volume": plan.aliquot_volume}


def _complete(said: Values) -> Values:
    """Work out what a student left unsaid: the multiple from the weight, then the aliquot from the solution."""
    known: dict[str, Quantity] = dict(said)
    if "multiple_factor" not in known and {"drug_weighed", "drug_wanted"} <= known.keys():
        known["multiple_factor"] = (known["drug_weighed"] / known["drug_wanted"]).to_base_units()
    if "aliquot_volume" not in known and {"solution_volume", "multiple_factor"} <= known.keys():
        known["aliquot_volume"] = (known["solution_volume"] / known["multiple_factor"]).to("millilitre")
    return known


def _why_not(name: str, values: Values, limits: Limits | None) -> str:
    """Say why going on from a student's value would leave no liquid aliquot to plan."""
    assert isinstance(limits, LiquidLimits)
    if name in ("least_weighable_quantity", "drug_wanted") and "drug_wanted" in values:
        least = values.get("least_weighable_quantity", limits.least_weighable_quantity)
        return _no_aliquot(values["drug_wanted"], least, limits)
    if name == "multiple_factor" and values[name] <= quantity(1):
        return say("no more than the drug wanted would be weighed")
    if name == "multiple_factor" and values[name] * limits.aliquot_vessel.least > limits.solution_vessel.capacity:
        return say("the solution would be too large for its vessel")
    if name == "drug_weighed" and values[name] > limits.capacity:
        return say("the pan would be above the capacity of the balance")
    return ""


def _no_aliquot(wanted: Quantity, least: Quantity, limits: LiquidLimits) -> str:
    if wanted >= least:
        return say("no aliquot would be needed")
    if wanted * (limits.solution_vessel.capacity / limits.aliquot_vessel.least).to_base_units() < least:
        return say("no plan would be possible")
    try:
        smallest_liquid_plan(drug_wanted=wanted, limits=limits)
    except RefusedError:
        return say("no plan would be possible")
    return ""


def _made(task: Task, said: Values) -> Made | None:
    """Recompute the plan from the drug that would be weighed and the volumes that would be measured."""
    if not {"drug_weighed", "solution_volume", "aliquot_volume"} <= said.keys():
        return None
    wanted = task.values["drug_wanted"]
    multiple = (said["solution_volume"] / said["aliquot_volume"]).to_base_units()
    values = {**said, "drug_wanted": wanted, "multiple_factor": multiple}
    amounts = [(say("The aliquot would hold"), drug_in_aliquot.evaluate(values), wanted)]
    if "concentration_made" in said:
        real = concentration_made.evaluate(values)
        amounts.append((say("The strength on the label of the solution would be"), said["concentration_made"], real))
    if "vehicle_to_finish" in said:
        whole = said["aliquot_volume"] + said["vehicle_to_finish"]
        amounts.append((say("The whole preparation would measure"), whole, task.values["final_volume"]))
    return Made(values, tuple(amounts))


def _plan_consequence(task: Task, values: Values) -> str:
    made = _made(task, values)
    if made is None:
        return ""
    _, held, wanted = made.amounts[0]
    if says := compared(held, wanted, later("drug")):
        return say(
            "Made this way, the aliquot would hold {says}: {held} instead of {wanted}.",
            says=says,
            held=MASS.show(held),
            wanted=MASS.show(wanted),
        )
    if "concentration_made" in values:
        _, labelled, real = made.amounts[1]
        says = compared(real, labelled, later("drug"))
        return (
            say("Measured by the strength on its label, any part of the solution would hold {says}.", says=says)
            if says
            else ""
        )
    _, bottled, ordered = made.amounts[-1]
    says = compared(ordered, bottled, later("drug"))
    return (
        say(
            "The bottle would hold {bottled}, so each dose from it would hold {says}.",
            bottled=VOLUME.show(bottled),
            says=says,
        )
        if says
        else ""
    )


_BENCH = (
    "\n\nFor the aliquot there is {small_vessel}; nothing below {least_measurable_volume} is measured in it. The "
    "solution is made up in {large_vessel}; nothing below {least_solution} is made up in it. Assume that no more than "
    "{solubility} of this drug dissolves."
)
_FREE = "Choose your own multiple factor and your own aliquot: every plan that keeps the house rules is right."


_PLAN = (
    Asked(
        multiple_factor,
        choice=True,
        aliases=("multiple", "factor", "k"),
        sometimes_right=("multiple-rounded-down",),  # where the least weighable quantity is a whole multiple
    ),
    Asked(drug_weighed, label="drug to weigh", weighed=True, aliases=("drug", "drug weighed", "weigh drug", "w")),
    Asked(
        smallest_aliquot_volume,
        called="aliquot_volume",
        choice=True,
        aliases=("aliquot", "aliquot to measure", "aliquot measured", "a"),
    ),
    Asked(solution_volume, aliases=("solution", "volume of solution", "volume of the solution", "v")),
)


def _draw_plan(dice: Dice, house: HouseRules) -> Drawn:
    balance, final_volume = dice.pick(house.balances), quantity(dice.pick((30, 50, 60, 100, 120, 150)), "mL")
    wanted = quantity(dice.between(3, 60), "mg")
    limits, said = drawn_bench(dice, house, balance, wanted, final_volume)
    return _plan_drawn(wanted, final_volume, limits, said)


def _plan_drawn(wanted: Quantity, final_volume: Quantity, limits: LiquidLimits, said: dict[str, str]) -> Drawn:
    """Return the numbers of a plan's task; RefusedError where no plan keeps the rules."""
    smallest_liquid_plan(drug_wanted=wanted, limits=limits)
    values = {
        "drug_wanted": wanted,
        "least_weighable_quantity": limits.least_weighable_quantity,
        "least_measurable_volume": limits.aliquot_vessel.least,
        "final_volume": final_volume,
    }
    return Drawn(values, said, limits)


def liquid_plan(
    house: HouseRules,
    balance: Balance,
    *,
    drug_wanted: Quantity,
    drug: str,
    solubility: Quantity,
    final_volume: Quantity,
    aliquot_vessel: Vessel,
    least_volume: Quantity,
    solution_vessel: Vessel,
) -> Drawn:
    """Return the numbers of a liquid plan on one balance, with vessels of one's choice.

    least_volume: the least that is measured in the aliquot's vessel. RefusedError where no plan keeps the rules.
    """
    limits = limits_of(house.limits(balance), aliquot_vessel, least_volume, solution_vessel, solubility, final_volume)
    said = {"drug": drug, **words_of(balance, aliquot_vessel, solution_vessel, solubility)}
    return _plan_drawn(drug_wanted, final_volume, limits, said)


LIQUID_PLAN = register(
    Family(
        id="liquid-aliquot-plan",
        title="A liquid aliquot for one amount",
        subject="liquid aliquots",
        text=(
            "{drug_wanted} of {drug} are wanted for {final_volume} of an oral liquid. On {balance} the least weighable "
            "quantity is {least_weighable_quantity}." + _BENCH + "\n\n"
            "Plan a liquid aliquot. " + _FREE
        ),
        draw=_draw_plan,
        asked=(*_PLAN, Asked(concentration_made, label="concentration", aliases=("strength", "c", "mg/mL"))),
        proof=Proof(drug_in_aliquot),
        solve=_solve,
        complete=_complete,
        why_not=_why_not,
        judged_by=LIQUID_RULES,
        made=_made,
        consequence=_plan_consequence,
        level=2,
    )
)


# A whole order -------------------------------------------------------------------------------------------------------

_DOSES = (
    "0.05",
    "0.1",
    "0.125",
    "0.2",
    "0.25",
    "0.3",
    "0.4",
    "0.5",
    "0.6",
    "0.75",
    "1",
    "1.25",
    "1.5",
    "2",
    "2.5",
    "3",
    "4",
    "5",
)
_MOST_MULTIPLE = 30


def _draw_order(dice: Dice, house: HouseRules) -> Drawn:
    balance = dice.pick([one for one in house.balances if one.sensitivity and not one.stated_minimum] or house.balances)
    volume = quantity(dice.pick((60, 75, 90, 100, 120, 150, 200)), "mL")
    least, measure = balance.least_weighable(house.allowed_error), quantity(5, "mL")
    doses = [quantity(dose, "mg") for dose in _DOSES]
    parts = (volume / measure).to_base_units()
    dose = dice.pick([one for one in doses if one * parts < least <= one * parts * _MOST_MULTIPLE] or doses)
    wanted = drug_in_measured_volume(labelled_drug=dose, labelled_volume=measure, measured_volume=volume)
    limits, said = drawn_bench(dice, house, balance, wanted, volume)
    smallest_liquid_plan(drug_wanted=wanted, limits=limits)
    values = {
        "labelled_drug": dose,
        "labelled_volume": measure,
        "measured_volume": volume,
        "final_volume": volume,
        "sensitivity": balance.error_at_most(house.allowed_error),
        "allowed_error": house.allowed_error,
        "least_measurable_volume": limits.aliquot_vessel.least,
    }
    return Drawn(values, {**said, "vehicle": dice.pick(_VEHICLES)}, limits)


register(
    Family(
        id="order-liquid",
        title="An oral liquid with a small dose, from the order to the bottle",
        subject="liquid aliquots",
        text=(
            "Order: {final_volume} of an oral liquid with {labelled_drug} of {drug} in every {labelled_volume}, in "
            "{vehicle}.\n\n"
            "On {balance} the sensitivity requirement is {sensitivity}, and no weighing may be wrong by more than "
            "{allowed_error}." + _BENCH + "\n\n"
            "Plan the whole preparation with a liquid aliquot. " + _FREE + " Then find the vehicle that brings the "
            "aliquot to the final volume (volumes are taken as additive)."
        ),
        draw=_draw_order,
        asked=(
            Asked(
                drug_in_measured_volume,
                label="drug wanted",
                called="drug_wanted",
                aliases=("drug needed", "need", "drug in all", "n"),
            ),
            Asked(
                least_weighable_quantity,
                aliases=("lwq", "mwq", "minimum weighable quantity", "least weighable amount"),
            ),
            *_PLAN,
            Asked(vehicle_to_finish, aliases=("vehicle", "vehicle to add", "rest")),
        ),
        proof=Proof(drug_in_aliquot),
        solve=_solve,
        complete=_complete,
        why_not=_why_not,
        judged_by=LIQUID_RULES,
        made=_made,
        consequence=_plan_consequence,
        level=3,
    )
)
