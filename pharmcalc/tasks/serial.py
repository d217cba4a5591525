"""Tasks about two aliquots one after the other: their multiple factors are multiplied, never added."""

from pharmcalc.aliquots import (
    combined_multiple,
    drug_after_two_steps,
    drug_weighed,
    multiple_factor,
    second_multiple,
)
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Values
from pharmcalc.kinds import MASS
from pharmcalc.language import later, say
from pharmcalc.tasks.consequences import compared
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Asked, Drawn, Family, Proof, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import quantity

__all__: list[str] = []

_DRUGS = (
    later("hyoscine hydrobromide"),
    later("colchicine"),
    later("atropine sulfate"),
    later("digoxin"),
    later("clonidine hydrochloride"),
)
_WANTED = ("0.4", "0.5", "0.6", "0.75", "0.8", "0.9", "1", "1.2", "1.25", "1.5", "1.6", "1.8", "2", "2.4", "2.5", "3")

_TOO_FAR = 40
"""A multiple factor from which on one step is taken to thin the drug too far."""


def _consequence(task: Task, values: Values) -> str:
    held, wanted = drug_after_two_steps.evaluate(values), task.values["drug_wanted"]
    says = compared(held, wanted, later("drug"))
    if not says:
        return ""
    return say(
        "Thinned by both steps, the last aliquot would hold {says}: {held} instead of {wanted}.",
        says=says,
        held=MASS.show(held),
        wanted=MASS.show(wanted),
    )


def _draw(dice: Dice, house: HouseRules) -> Drawn:
    balance = dice.pick(house.balances)
    limits, first = house.limits(balance), dice.pick((4, 5, 8, 10, 12, 20))
    small = [quantity(mass, "mg") for mass in _WANTED]
    wanted = dice.pick([mass for mass in small if mass * _TOO_FAR <= limits.least_weighable_quantity] or small)
    values = {
        "drug_wanted": wanted,
        "least_weighable_quantity": limits.least_weighable_quantity,
        "first_multiple": quantity(first),
    }
    needed = multiple_factor(least_weighable_quantity=limits.least_weighable_quantity, drug_wanted=wanted)
    second = second_multiple(combined_multiple=needed, first_multiple=values["first_multiple"])
    weighed = wanted * first * second
    if not 3 <= second.magnitude <= 30:
        raise RefusedError("draw", "the second step would thin too little or too far.", "Draw again.")
    if (weighed / limits.display_step).to_base_units().magnitude.denominator != 1:
        raise RefusedError("draw", "the balance could not show this weight.", "Draw again.")
    return Drawn(values, {"drug": dice.pick(_DRUGS), "balance": balance.name}, limits)


register(
    Family(
        id="serial-multiple",
        title="The multiple factors of two aliquots",
        subject="serial aliquots",
        text=(
            "{drug_wanted} of {drug} are wanted. On {balance} the least weighable quantity is "
            "{least_weighable_quantity}. One step would thin the drug too far, so two aliquots are taken, one after "
            "the other: an aliquot of the first mixture is mixed with diluent again, and the second aliquot holds what "
            "is wanted. The first step has a multiple factor of {first_multiple}.\n\n"
            "What multiple factor is needed in all, at the least? What is the smallest whole multiple factor for the "
            "second step? What do the two steps make together, and how much drug do you weigh?"
        ),
        draw=_draw,
        asked=(
            Asked(
                multiple_factor,
                label="multiple needed",
                called="combined_multiple",
                aliases=("multiple in all", "multiple factor needed", "multiple needed in all"),
                sometimes_right=("multiple-rounded-down",),
            ),
            Asked(
                second_multiple,
                label="second multiple",
                aliases=("second multiple factor", "multiple of the second step", "k2"),
                sometimes_right=("serial-second-rounded-down",),
            ),
            Asked(
                combined_multiple,
                label="multiple of both steps",
                called="multiple_factor",
                aliases=("multiple together", "combined multiple", "multiple factor", "k"),
            ),
            Asked(
                drug_weighed,
                label="drug to weigh",
                weighed=True,
                aliases=("drug", "drug weighed", "w"),
                sometimes_right=("weight-left-at-lwq",),
            ),
        ),
        proof=Proof(drug_after_two_steps),
        consequence=_consequence,
        level=2,
    )
)
