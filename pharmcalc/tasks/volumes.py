"""Tasks about measuring volumes: the error of a volume, the least volume to measure, a misread meniscus."""

from functools import cache

from pharmcalc.errors import RefusedError
from pharmcalc.formula import Values
from pharmcalc.kinds import PERCENT, VOLUME
from pharmcalc.language import later, say
from pharmcalc.tasks.consequences import compared
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Asked, Drawn, Family, Proof, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import Quantity, quantity
from pharmcalc.volumes import Vessel, least_measurable_volume, percentage_of_volume_error, reading_error, vessels

__all__: list[str] = []

_ERROR_WORDS = ("error", "% error", "error %", "percent error", "percentage error")
_LIMITS = ("1", "2", "2.5", "4", "5", "8", "10")
_SHELF = (
    ("cylinder", "ASTM E1272", "A"),
    ("cylinder", "ASTM E1272", "B"),
    ("measuring pipette", "USP <31>", ""),
    ("burette", "USP <31>", ""),
)


@cache
def _shelf() -> tuple[Vessel, ...]:
    """Return every vessel that these tasks speak of, made once."""
    found = (vessels(kind=kind, standard=standard, accuracy_class=letter) for kind, standard, letter in _SHELF)
    return tuple(one for kind in found for one in kind if one.capacity <= quantity(250, "mL"))


def _error_consequence(task: Task, values: Values) -> str:
    said, true = values["percentage_of_volume_error"], task.values["percentage_of_volume_error"]
    if not compared(said, true, later("error")):
        return ""
    if said < true:
        return say(
            "You would trust this volume to {said}, and it may be wrong by {true}.",
            said=PERCENT.show(said),
            true=PERCENT.show(true),
        )
    return say(
        "You would think this volume wrong by up to {said}, and refuse a vessel that may be good enough.",
        said=PERCENT.show(said),
    )


def _measured(dice: Dice, one: Vessel) -> Quantity:
    """Return a volume on a mark of a vessel, well below its capacity."""
    assert one.range is not None
    marks = [share for share in range(8, 81, 4) if one.range.holds(one.capacity * share / 100)]
    if not marks:
        raise RefusedError("draw", "no such part of this vessel lies on a mark.", "Draw again.")
    return one.capacity * dice.pick(marks) / 100


def _draw_error(dice: Dice, house: HouseRules) -> Drawn:
    one = dice.pick(_shelf())
    return Drawn(
        {"volume_error": one.limit, "capacity": one.capacity, "volume": _measured(dice, one)}, {"vessel": one.name}
    )


register(
    Family(
        id="measuring-error",
        title="How wrong may this volume be?",
        subject="volumes",
        text=(
            "You measure {volume} in a {vessel}. At any of its marks it may be off by {volume_error}, either way.\n\n"
            "What is the largest percentage of error of this volume?"
        ),
        draw=_draw_error,
        asked=(Asked(percentage_of_volume_error, label="percentage of error", aliases=_ERROR_WORDS),),
        proof=Proof(least_measurable_volume, {"allowed_error": "percentage_of_volume_error"}),
        consequence=_error_consequence,
    )
)


def _least_consequence(task: Task, values: Values) -> str:
    given, least = values["least_measurable_volume"], task.values["least_measurable_volume"]
    if given >= least:
        return say(
            "Volumes from {least} up would be refused, although this vessel measures them well enough.",
            least=VOLUME.show(least),
        )
    wrong = percentage_of_volume_error.evaluate({"volume_error": values["volume_error"], "volume": given})
    return say(
        "If {given} were measured in it, the volume could be wrong by {wrong}.",
        given=VOLUME.show(given),
        wrong=PERCENT.show(wrong),
    )


def _draw_least(dice: Dice, house: HouseRules) -> Drawn:
    one = dice.pick(_shelf())
    values = {"volume_error": one.limit, "allowed_error": quantity(dice.pick(_LIMITS), "percent")}
    if least_measurable_volume(**values) > one.capacity:
        raise RefusedError("draw", "this vessel is not good enough for any volume.", "Draw again.")
    return Drawn(values, {"vessel": one.name})


register(
    Family(
        id="least-measurable-volume",
        title="The smallest volume that this vessel may measure",
        subject="volumes",
        text=(
            "At any of its marks, a {vessel} may be off by {volume_error}, either way. No volume may be wrong by more "
            "than {allowed_error}.\n\n"
            "What is the least volume that you may measure in it?"
        ),
        draw=_draw_least,
        asked=(
            Asked(
                least_measurable_volume,
                label="least volume",
                aliases=("smallest volume", "least measurable volume", "minimum volume", "lmv"),
            ),
        ),
        proof=Proof(percentage_of_volume_error, {"volume": "least_measurable_volume"}),
        consequence=_least_consequence,
    )
)

_DIAMETERS = {
    "10": ("1.1", "1.2", "1.3", "1.4"),
    "25": ("1.7", "1.8", "1.9", "2.1"),
    "50": ("2.2", "2.3", "2.4", "2.6"),
    "100": ("2.6", "2.8", "2.9", "3.1"),
    "250": ("3.7", "3.8", "3.9", "4.2"),
}
"""Inner diameters in cm that cylinders of these capacities, in mL, may have."""


def _reading_consequence(task: Task, values: Values) -> str:
    given, least = values["least_measurable_volume"], task.values["least_measurable_volume"]
    if given >= least or not compared(given, least, later("volume")):
        return ""
    true = {"volume_error": task.values["volume_error"], "volume": given}
    wrong = PERCENT.show(percentage_of_volume_error.evaluate(true))
    return say(
        "If {given} were measured in it, a meniscus misread that far would make it wrong by {wrong}.",
        given=VOLUME.show(given),
        wrong=wrong,
    )


def _draw_reading(dice: Dice, house: HouseRules) -> Drawn:
    size = dice.pick(tuple(_DIAMETERS))
    capacity = quantity(size, "mL")
    return Drawn(
        {
            "inner_diameter": quantity(dice.pick(_DIAMETERS[size]), "cm"),
            "misreading": quantity(dice.pick(("0.5", "1", "1", "1.5", "2")), "mm"),
            "volume": capacity * dice.between(20, 80, 10) / 100,
            "allowed_error": quantity(dice.pick(("2", "2.5", "4", "5")), "percent"),
            "capacity": capacity,
        }
    )


register(
    Family(
        id="cylinder-reading-error",
        title="A meniscus misread in a cylinder",
        subject="volumes",
        text=(
            "A {capacity} cylinder has an inner diameter of {inner_diameter}. You measure {volume} in it and misread "
            "the meniscus by {misreading}.\n\n"
            "What volume is that, and what percentage of the volume measured? What is the least volume that you may "
            "measure in it, if such a misreading may not make it wrong by more than {allowed_error}?"
        ),
        draw=_draw_reading,
        asked=(
            Asked(reading_error, label="volume error", called="volume_error", aliases=("reading error", "error in mL")),
            Asked(percentage_of_volume_error, label="percentage of error", aliases=_ERROR_WORDS[1:]),
            Asked(least_measurable_volume, label="least volume", aliases=("smallest volume", "minimum volume")),
        ),
        proof=Proof(percentage_of_volume_error, {"volume": "least_measurable_volume"}),
        consequence=_reading_consequence,
        level=2,
    )
)
