"""Tasks about the solid aliquot: the plan for one amount, and a whole batch of capsules."""

from collections.abc import Mapping
from dataclasses import replace

from pharmcalc.aliquots import (
    RULES,
    Limits,
    diluent,
    diluent_to_finish,
    drug_delivered,
    drug_wanted,
    drug_weighed,
    multiple_factor,
    smallest_aliquot,
    smallest_plan,
    total_mixture,
)
from pharmcalc.aliquots.conventions import preferred_plan
from pharmcalc.balances import Balance, least_weighable_quantity
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Values
from pharmcalc.kinds import MASS
from pharmcalc.language import later, say
from pharmcalc.tasks.asked import Asked
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Drawn, Family, Made, Proof, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import Quantity, quantity, quotient, rounded_text

__all__ = ["ALIQUOT_BATCH", "ALIQUOT_PLAN", "batch"]

_DRUGS = (
    later("atropine sulfate"),
    later("hyoscine hydrobromide"),
    later("colchicine"),
    later("clonidine hydrochloride"),
    later("hydromorphone hydrochloride"),
    later("codeine phosphate"),
)
_DILUENTS = (later("lactose"), later("starch"), later("calcium carbonate"))
_DOSES = ("0.25", "0.3", "0.4", "0.5", "0.6", "0.75", "0.8", "1", "1.2", "1.25", "1.5", "2", "2.5", "3")


def _solve(values: Values, limits: Limits) -> Values:
    plan = preferred_plan(drug_wanted=values["drug_wanted"], limits=limits)
    return {"multiple_factor": plan.multiple_factor, "aliquot": plan.aliquot}


def _complete(said: Values) -> Values:
    """Work out what a student left unsaid: the multiple from the weight, the total from its parts, the aliquot."""
    known: dict[str, Quantity] = dict(said)
    if "multiple_factor" not in known and "drug_weighed" in known and "drug_wanted" in known:
        known["multiple_factor"] = (known["drug_weighed"] / known["drug_wanted"]).to_base_units()
    if "total_mixture" not in known and {"diluent", "drug_weighed"} <= known.keys():
        known["total_mixture"] = known["diluent"] + known["drug_weighed"]
    if "aliquot" not in known and {"total_mixture", "multiple_factor"} <= known.keys():
        known["aliquot"] = (known["total_mixture"] / known["multiple_factor"]).to("milligram")
    return known


def _why_not(name: str, values: Values, limits: Limits | None) -> str:
    """Say why going on from a student's value would leave no aliquot problem to solve."""
    assert limits is not None
    if name in ("least_weighable_quantity", "drug_wanted"):
        least = values.get("least_weighable_quantity", limits.least_weighable_quantity)
        wanted = values.get("drug_wanted")
        if wanted is None:
            return ""
        if wanted >= least:
            return say("no aliquot would be needed")
        try:
            smallest_plan(drug_wanted=wanted, limits=replace(limits, least_weighable_quantity=least))
        except RefusedError:
            return say("no plan would be possible")
    if name == "multiple_factor" and values[name] <= quantity(1):
        return say("no more than the drug wanted would be weighed")
    if name == "multiple_factor" and values[name] * limits.least_weighable_quantity > limits.capacity:
        return say("the mixture would be above the capacity of the balance")
    if name == "aliquot" and values[name] <= values["drug_wanted"]:
        return say("the mixture would hold no diluent")
    if name == "drug_weighed" and values[name] > limits.capacity:
        return say("the pan would be above the capacity of the balance")
    if (
        name in ("drug_weighed", "total_mixture")
        and {"drug_weighed", "total_mixture"} <= values.keys()
        and values["drug_weighed"] >= values["total_mixture"]
    ):
        return say("the mixture would hold no diluent")
    return ""


def _made(task: Task, said: Values) -> Made | None:
    """Recompute the mixture and the multiple from the drug, the diluent and the aliquot that would be weighed."""
    if not {"drug_weighed", "aliquot", "diluent"} <= said.keys():
        return None
    mixture, wanted = said["drug_weighed"] + said["diluent"], task.values["drug_wanted"]
    multiple = (mixture / said["aliquot"]).to_base_units()
    values = {**said, "total_mixture": mixture, "drug_wanted": wanted, "multiple_factor": multiple}
    amounts = [(say("The aliquot would hold"), drug_delivered.evaluate(values), wanted)]
    if "total_mixture" in said:  # it is not weighed, but a sheet that contradicts itself is not taken to the balance
        amounts.append((say("The total mixture is written as"), said["total_mixture"], mixture))
    if "diluent_to_finish" in said:
        whole = said["aliquot"] + said["diluent_to_finish"]
        amounts.append((say("The whole preparation would weigh"), whole, task.values["final_quantity"]))
    return Made(values, tuple(amounts))


def _consequence(task: Task, values: Values) -> str:
    if not {"drug_weighed", "diluent", "aliquot"} <= values.keys():
        return ""
    mixture = values["drug_weighed"] + values["diluent"]
    held = drug_delivered.evaluate(
        {"drug_weighed": values["drug_weighed"], "aliquot": values["aliquot"], "total_mixture": mixture}
    )
    times = rounded_text(quotient(held, task.values["drug_wanted"]))
    if times == "1":
        return ""
    what = task.drawn.words.get("made") or say("the aliquot")
    return say(
        "Made this way, {what} would hold {times} times the drug that is wanted ({held} in the aliquot).",
        what=what,
        times=times,
        held=MASS.show(held),
    )


_PLAN = (
    Asked(multiple_factor, choice=True, aliases=("multiple", "factor", "k")),
    Asked(drug_weighed, label="drug to weigh", weighed=True, aliases=("drug", "drug weighed", "weigh drug", "w")),
    Asked(
        smallest_aliquot,
        called="aliquot",
        choice=True,
        weighed=True,
        aliases=("aliquot to weigh", "aliquot weighed", "a"),
    ),
    Asked(total_mixture, weighed=True, aliases=("total", "mixture", "trituration", "total trituration", "t")),
    Asked(
        diluent,
        label="diluent to weigh",
        weighed=True,
        aliases=("diluent", "lactose", "starch", "calcium carbonate", "d"),
    ),
)
_LWQ = Asked(least_weighable_quantity, aliases=("lwq", "mwq", "minimum weighable quantity", "least weighable amount"))


def _draw_plan(dice: Dice, house: HouseRules) -> Drawn:
    balance = dice.pick(
        [balance for balance in house.balances if balance.sensitivity and not balance.stated_minimum] or house.balances
    )
    wanted = quantity(dice.between(3, 60), "mg")
    limits = replace(house.limits(balance), capacity=min(balance.carries, quantity(30, "g")))
    sensitivity = balance.error_at_most(house.allowed_error)
    values = {"drug_wanted": wanted, "sensitivity": sensitivity, "allowed_error": house.allowed_error}
    said = {
        "drug": dice.pick(_DRUGS),
        "diluent_name": dice.pick(_DILUENTS),
        "balance": balance.name,
        "capacity": MASS.show(balance.carries),
    }
    smallest_plan(drug_wanted=wanted, limits=limits)
    return Drawn(values, said, replace(limits, capacity=balance.carries))


ALIQUOT_PLAN = register(
    Family(
        id="aliquot-plan",
        title="An aliquot plan for one amount",
        subject="aliquots",
        text=(
            "{drug_wanted} of {drug} are wanted. You have {balance}, with a sensitivity requirement of {sensitivity} "
            "and a capacity of {capacity}. "
            "No weighing may be wrong by more than {allowed_error}.\n\n"
            "Plan a solid aliquot with {diluent_name} as the diluent. Choose your own multiple factor and your own "
            "aliquot: "
            "every plan that keeps the house rules is right."
        ),
        draw=_draw_plan,
        asked=(_LWQ, *_PLAN),
        proof=Proof(drug_delivered),
        solve=_solve,
        complete=_complete,
        why_not=_why_not,
        judged_by=RULES,
        made=_made,
        consequence=_consequence,
        level=2,
    )
)


def _draw_batch(dice: Dice, house: HouseRules) -> Drawn:
    balance = dice.pick(house.balances)
    dose, ordered = quantity(dice.pick(_DOSES), "mg"), dice.between(6, 30, 2)
    fill = quantity(dice.pick((120, 150, 180, 200, 220, 250, 280, 300)), "mg")
    said = {"drug": dice.pick(_DRUGS), "diluent_name": dice.pick(_DILUENTS)}
    return batch(house, balance, dose=dose, ordered=ordered, fill=fill, said=said)


def batch(
    house: HouseRules, balance: Balance, *, dose: Quantity, ordered: int, fill: Quantity, said: Mapping[str, str]
) -> Drawn:
    """Return the draw for a batch of units on one balance; RefusedError where they make no good aliquot problem."""
    units = ordered + house.extra_units
    limits = house.limits(balance, fill * units)
    values = {
        "dose": dose,
        "units_ordered": quantity(ordered),
        "number_of_units": quantity(units),
        "final_quantity": fill * units,
        "fill": fill,
        "least_weighable_quantity": limits.least_weighable_quantity,
    }
    words = {
        "balance": balance.name,
        "capacity": MASS.show(balance.carries),
        "extra": str(house.extra_units),
        "fill_weight": MASS.show(fill),
        "made": say("each capsule"),
    }
    plan = smallest_plan(drug_wanted=dose * units, limits=limits)
    if plan.multiple_factor.magnitude < 2 or plan.drug_weighed > quantity(1, "g"):
        raise RefusedError(
            "draw", f"{MASS.show(dose)} in each of {units} units make no good aliquot problem.", "Draw again."
        )
    return Drawn(values, {**words, **said}, limits)


ALIQUOT_BATCH = register(
    Family(
        id="aliquot-batch",
        title="A batch of capsules with a small dose",
        subject="aliquots",
        text=(
            "{units_ordered} capsules are ordered, each with {dose} of {drug} and filled with {diluent_name} to "
            "{fill_weight}. "
            "The house makes {extra} extra units for loss: calculate for {number_of_units}, {final_quantity} of "
            "powder in all. "
            "You have {balance}: the least weighable quantity is {least_weighable_quantity}, the capacity "
            "{capacity}.\n\n"
            "Plan the solid aliquot. Choose your own multiple factor and your own aliquot: every plan that keeps the "
            "house rules is right. "
            "Then find the diluent that fills the aliquot up to the whole batch."
        ),
        draw=_draw_batch,
        asked=(
            Asked(drug_wanted, aliases=("drug needed", "need", "n"), sometimes_right=("extra-units-left-out",)),
            *_PLAN,
            Asked(
                diluent_to_finish,
                label="diluent to finish",
                weighed=True,
                aliases=("rest", "diluent to add", "finish"),
            ),
        ),
        proof=Proof(drug_delivered),
        solve=_solve,
        complete=_complete,
        why_not=_why_not,
        judged_by=RULES,
        made=_made,
        consequence=_consequence,
        level=3,
    )
)
