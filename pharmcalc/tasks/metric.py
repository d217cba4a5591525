"""Tasks about metric units: the same amount, said in another unit."""

from collections.abc import Callable

from pharmcalc.formula import Values
from pharmcalc.language import later, say
from pharmcalc.metric import number_of_mass_units, number_of_volume_units
from pharmcalc.tasks.asked import Asked
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Drawn, Family, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import quantity, quotient, rounded_text

__all__: list[str] = []

_POWDERS = (
    later("a drug"),
    later("a powder"),
    later("a dye"),
    later("an active substance"),
    later("a preservative"),
    later("a sweetener"),
)
_LIQUIDS = (
    later("a syrup"),
    later("rose water"),
    later("peppermint water"),
    later("a buffer"),
    later("a stock solution"),
    later("glycerol"),
)
_MASSES = (
    ("milligram", "microgram", ("0.025", "0.05", "0.075", "0.125", "0.25", "0.5", "0.62", "0.8", "1.25", "2.5")),
    ("microgram", "milligram", ("25", "50", "75", "125", "250", "400", "625", "1500", "2500", "12500")),
    ("gram", "milligram", ("0.006", "0.012", "0.05", "0.12", "0.25", "0.45", "0.875", "1.2", "2.5", "3.75")),
    ("milligram", "gram", ("5", "12", "45", "120", "250", "480", "650", "1500", "2250", "12000")),
)
_VOLUMES = (
    ("litre", "millilitre", ("0.015", "0.03", "0.12", "0.25", "0.45", "0.75", "1.2", "1.5", "2.5")),
    ("millilitre", "litre", ("5", "30", "75", "120", "250", "480", "750", "1500")),
    ("millilitre", "microlitre", ("0.005", "0.02", "0.05", "0.15", "0.25", "0.8", "1.2", "2.5")),
    ("microlitre", "millilitre", ("5", "25", "40", "150", "250", "600", "1200", "2500")),
)
_PLURAL = {
    "milligram": later("milligrams"),
    "microgram": later("micrograms"),
    "gram": later("grams"),
    "litre": later("litres"),
    "millilitre": later("millilitres"),
    "microlitre": later("microlitres"),
}
Steps = tuple[tuple[str, str, tuple[str, ...]], ...]


def _drawn(dice: Dice, steps: Steps, things: tuple[str, ...]) -> Drawn:
    written, wanted, numbers = dice.pick(steps)
    values = {
        "amount": quantity(dice.pick(numbers), written),
        "written_unit": quantity(1, written),
        "wanted_unit": quantity(1, wanted),
    }
    return Drawn(values, {"thing": dice.pick(things), "units": _PLURAL[wanted]})


def _draw_mass(dice: Dice, house: HouseRules) -> Drawn:
    return _drawn(dice, _MASSES, _POWDERS)


def _draw_volume(dice: Dice, house: HouseRules) -> Drawn:
    return _drawn(dice, _VOLUMES, _LIQUIDS)


def _consequence(name: str) -> Callable[[Task, Values], str]:
    def says(task: Task, values: Values) -> str:
        times = rounded_text(quotient(values[name], task.values[name]))
        return (
            "" if times == "1" else say("Whoever measures by that number takes {times} times the amount.", times=times)
        )

    return says


_TEXT = "On one sheet stands {amount} of {thing}. The next sheet asks for it in {units}.\n\nHow many {units} are that?"
for _id, _title, _draw, _formula in (
    ("metric-mass", "The same mass in another unit", _draw_mass, number_of_mass_units),
    ("metric-volume", "The same volume in another unit", _draw_volume, number_of_volume_units),
):
    register(
        Family(
            id=_id,
            title=_title,
            subject="units",
            text=_TEXT,
            draw=_draw,
            asked=(Asked(_formula, label="number", aliases=("how many", "units", "n")),),
            consequence=_consequence(_formula.name),
        )
    )
