"""Tasks about how sure a number is: a display that wanders, its step, and two weighings together."""

from pharmcalc.display import reading_text, spread_of_load, spread_of_readings
from pharmcalc.formula import Values
from pharmcalc.kinds import MEASURED, PERCENT
from pharmcalc.language import later, say
from pharmcalc.tasks.consequences import compared
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Asked, Drawn, Family, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.uncertainty import combined_uncertainty, expanded_uncertainty, reading_uncertainty
from pharmcalc.units import quantity

__all__: list[str] = []


def _spread_consequence(task: Task, values: Values) -> str:
    said, true = values["spread_of_load"], task.values["spread_of_load"]
    if not compared(said, true, later("spread")):
        return ""
    if said < true:
        return say(
            "You would trust this weighing to {said}, while its reading wanders by {true}.",
            said=PERCENT.show(said),
            true=PERCENT.show(true),
        )
    return say(
        "You would refuse this weighing for {said}, while its reading wanders by {true}.",
        said=PERCENT.show(said),
        true=PERCENT.show(true),
    )


def _draw_spread(dice: Dice, house: HouseRules) -> Drawn:
    step = quantity(dice.pick(("0.1", "1", "1", "2")), "mg")
    load = step * dice.between(60, 600, 10)
    below, above = dice.between(0, 6), dice.between(2, 7)
    return Drawn(
        {"load": load, "lowest": load - step * below, "highest": load + step * above, "display_step": step},
        {
            "cause": dice.pick(
                (
                    say("an open window"),
                    say("a fan"),
                    say("a centrifuge on the same bench"),
                    say("a beaker that is still warm"),
                )
            )
        },
    )


register(
    Family(
        id="reading-on-display",
        title="A reading that does not stand still",
        subject="uncertainty",
        text=(
            "{load} lie on a balance with a display step of {display_step}. The reading does not stand still: it goes "
            "from {lowest} to {highest} and back. Later the cause is found: {cause}.\n\n"
            "What is the spread of the readings, and what percentage of the load is it?"
        ),
        draw=_draw_spread,
        asked=(
            Asked(
                spread_of_readings, label="spread", called="spread", aliases=("spread of the readings", "difference")
            ),
            Asked(
                spread_of_load,
                label="percentage of the load",
                aliases=("percentage", "% of the load", "percentage of load", "% spread"),
            ),
        ),
        consequence=_spread_consequence,
        level=2,
    )
)


def _resolution_consequence(task: Task, values: Values) -> str:
    said, true = values["reading_uncertainty"], task.values["reading_uncertainty"]
    if said > true:
        return say("In a budget, the display would seem to be a larger part of the uncertainty than it is.")
    return say(
        "In a budget, the rounding of the display would be counted as {said}, which is too little.",
        said=MEASURED.show(said),
    )


def _draw_resolution(dice: Dice, house: HouseRules) -> Drawn:
    step = quantity(dice.pick(("0.01", "0.02", "0.05", "0.1", "0.2", "0.5", "1", "2", "5", "10")), "mg")
    reading = step * dice.between(150, 2400, 7)
    return Drawn({"display_step": step}, {"reading": reading_text(reading, display_step=step)})


register(
    Family(
        id="resolution-uncertainty",
        title="What the last digit of a display leaves open",
        subject="uncertainty",
        text=(
            "A balance with a display step d of {display_step} shows {reading}. The display rounds to its nearest "
            "step, and nothing more is known of where in that step the true value lies.\n\n"
            "What is the standard uncertainty of this reading, from the display alone?"
        ),
        draw=_draw_resolution,
        asked=(Asked(reading_uncertainty, label="standard uncertainty", aliases=("uncertainty", "u")),),
        consequence=_resolution_consequence,
    )
)


def _combined_consequence(task: Task, values: Values) -> str:
    said, true = values["expanded_uncertainty"], task.values["expanded_uncertainty"]
    if not compared(said, true, later("uncertainty")):
        return ""
    if said < true:
        return say(
            ("The report would promise {said} either way, where it takes {true} to cover about 95 % of such results."),
            said=MEASURED.show(said),
            true=MEASURED.show(true),
        )
    return say(
        ("The report would claim a doubt of {said} either way, where {true} covers about 95 % of such results."),
        said=MEASURED.show(said),
        true=MEASURED.show(true),
    )


def _draw_combined(dice: Dice, house: HouseRules) -> Drawn:
    scale, unit = dice.pick((("0.01", "mg"), ("0.1", "mg"), ("0.001", "mL"), ("0.01", "mL")))
    one, two = dice.between(10, 60), dice.between(10, 60)
    step = quantity(scale, unit)
    kind = later("weighings") if unit == "mg" else later("volumes")
    return Drawn({"first": step * one, "second": step * two}, {"measurements": kind})


register(
    Family(
        id="combined-uncertainty",
        title="Two measurements together",
        subject="uncertainty",
        text=(
            "Two {measurements} are added. The first has a standard uncertainty of {first}, the second of {second}. "
            "What makes the one wrong has nothing to do with the other.\n\n"
            "What is the standard uncertainty of the sum, and its expanded uncertainty with k = 2?"
        ),
        draw=_draw_combined,
        asked=(
            Asked(
                combined_uncertainty,
                label="combined standard uncertainty",
                called="standard_uncertainty",
                aliases=("standard uncertainty", "combined uncertainty"),
            ),
            Asked(expanded_uncertainty, aliases=("expanded uncertainty k 2",)),
        ),
        consequence=_combined_consequence,
        level=2,
    )
)
