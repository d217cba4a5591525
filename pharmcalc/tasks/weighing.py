"""Tasks about balances: percentage of error, sensitivity requirement, least weighable quantity, minimum weight."""

from fractions import Fraction

from pharmcalc.balances import (
    FLOOR,
    error_found,
    least_weighable_quantity,
    minimum_weight,
    percentage_of_error,
    repeatability_error,
    sensitivity_requirement,
)
from pharmcalc.formula import Values
from pharmcalc.kinds import MASS, PERCENT
from pharmcalc.language import say
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Asked, Drawn, Family, Proof, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import quantity

__all__: list[str] = []

_SENSITIVITIES = ("2", "3", "4", "5", "6", "8", "10")
_ERROR_WORDS = ("error", "% error", "error %", "percent error", "percentage error")
_LIMITS = ("1", "2", "2.5", "3", "4", "5", "6", "8")


def _draw_error(dice: Dice, house: HouseRules) -> Drawn:
    sensitivity = quantity(dice.pick(_SENSITIVITIES), "mg")
    load = quantity(dice.between(20, 480, 5), "mg")
    return Drawn({"sensitivity": sensitivity, "load": load})


register(
    Family(
        id="percentage-of-error",
        title="How wrong may this weighing be?",
        subject="balances",
        text=(
            "A balance has a sensitivity requirement of {sensitivity}. You weigh {load} on it.\n\n"
            "What is the largest percentage of error of this weighing?"
        ),
        draw=_draw_error,
        asked=(Asked(percentage_of_error, aliases=_ERROR_WORDS),),
        proof=Proof(least_weighable_quantity, {"allowed_error": "percentage_of_error"}),
    )
)


def _draw_found(dice: Dice, house: HouseRules) -> Drawn:
    wanted = dice.between(200, 1200, 25)
    off = max(4, wanted * dice.between(2, 9) // 100) * dice.pick((1, -1))
    return Drawn({"wanted": quantity(wanted, "mg"), "found": quantity(wanted + off, "mg")})


register(
    Family(
        id="error-found",
        title="A weighing checked on a better balance",
        subject="balances",
        text=(
            "An order asks for {wanted}. The powder that was weighed for it is checked on a better balance, which "
            "shows {found}.\n\n"
            "What was the percentage of error of the weighing? (Give it without a sign.)"
        ),
        draw=_draw_found,
        asked=(
            Asked(
                error_found,
                label="percentage of error",
                aliases=_ERROR_WORDS,
            ),
        ),
    )
)


def _lwq_consequence(task: Task, values: Values) -> str:
    given = values["least_weighable_quantity"]
    wrong = percentage_of_error.evaluate({"sensitivity": values["sensitivity"], "load": given})
    if given >= task.values["least_weighable_quantity"]:
        return say(
            ("A limit of {given} is stricter than needed: amounts that this balance can weigh would be refused."),
            given=MASS.show(given),
        )
    return say(
        "If {given} were weighed directly, the weighing could be wrong by {wrong}.",
        given=MASS.show(given),
        wrong=PERCENT.show(wrong),
    )


def _draw_lwq(dice: Dice, house: HouseRules) -> Drawn:
    sensitivity = quantity(dice.pick(_SENSITIVITIES), "mg")
    return Drawn({"sensitivity": sensitivity, "allowed_error": quantity(dice.pick(_LIMITS), "percent")})


_LWQ_WORDS = (
    "lwq",
    "mwq",
    "minimum weighable quantity",
    "least weighable amount",
    "minimum weighable amount",
    "smallest quantity",
)

register(
    Family(
        id="least-weighable-quantity",
        title="The smallest amount this balance may weigh",
        subject="balances",
        text=(
            "A balance has a sensitivity requirement of {sensitivity}. No weighing may be wrong by more than "
            "{allowed_error}.\n\n"
            "What is the least weighable quantity?"
        ),
        draw=_draw_lwq,
        asked=(Asked(least_weighable_quantity, aliases=_LWQ_WORDS),),
        proof=Proof(sensitivity_requirement),
        consequence=_lwq_consequence,
    )
)


def _draw_sensitivity(dice: Dice, house: HouseRules) -> Drawn:
    least = quantity(dice.between(40, 400, 10), "mg")
    return Drawn({"least_weighable_quantity": least, "allowed_error": quantity(dice.pick(_LIMITS), "percent")})


register(
    Family(
        id="sensitivity-requirement",
        title="How sensitive must the balance be?",
        subject="balances",
        text=(
            "The smallest amount that a lab weighs is {least_weighable_quantity}. No weighing may be wrong by more "
            "than {allowed_error}.\n\n"
            "What sensitivity requirement must the balance have?"
        ),
        draw=_draw_sensitivity,
        asked=(Asked(sensitivity_requirement, aliases=("sr", "sensitivity")),),
        proof=Proof(least_weighable_quantity, {"sensitivity": "sensitivity_requirement"}),
    )
)


def _draw_minimum(dice: Dice, house: HouseRules) -> Drawn:
    step = dice.pick(("0.01", "0.1", "1"))
    display_step = quantity(step, "mg")
    deviation = display_step * Fraction(dice.between(20, 95, 5), 100)
    counted = max(deviation, display_step * FLOOR)
    return Drawn({"standard_deviation": deviation, "display_step": display_step, "counted_deviation": counted})


register(
    Family(
        id="minimum-weight",
        title="The minimum weight from repeatability",
        subject="balances",
        text=(
            "Ten weighings of one test weight on an electronic balance have a standard deviation of "
            "{standard_deviation}. "
            "The display step d is {display_step}.\n\n"
            "USP <41> asks that two standard deviations stay within 0.10 % of the smallest net weight, and lets the "
            "standard "
            "deviation count as no less than 0.41 d. What is the minimum weight?"
        ),
        draw=_draw_minimum,
        asked=(
            Asked(
                minimum_weight,
                aliases=("minimum", "smallest net weight"),
                sometimes_right=("minimum-weight-no-floor",),
            ),
        ),
        proof=Proof(
            repeatability_error,
            {"standard_deviation": "counted_deviation", "smallest_net_weight": "minimum_weight"},
        ),
    )
)
