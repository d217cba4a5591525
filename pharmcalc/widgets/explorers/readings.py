"""One load on one balance, read again and again: what leaving a step of the routine out does to the readings."""

from fractions import Fraction
from typing import TYPE_CHECKING

from pharmcalc.balances import Balance
from pharmcalc.bench.things import mass
from pharmcalc.bench.trial import WAYS, Way, repeated_readings
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS, PERCENT
from pharmcalc.language import say
from pharmcalc.tasks.house import HouseRules, read_house_rules
from pharmcalc.units import Quantity, quantity, rounded_text
from pharmcalc.widgets.chart import Chart, Scale
from pharmcalc.widgets.explorers.frame import NOTHING, Picture, figure, milligrams, still
from pharmcalc.widgets.markup import Shown, heading, note

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["readings", "readings_figure"]

COUNT = 24
ROOM = Fraction(5, 2)  # the scale reaches so many times as far as the allowed error


def readings_figure(*, load: str = "200 mg", way: str = "by the routine", balance: str = "") -> Shown:
    """Return the readings of one load as a picture and a sentence.

    load: a mass above zero, within the capacity. way: one of the ways of :data:`pharmcalc.bench.trial.WAYS`. balance: a
    name in the house rules that come with the course; the first where none is named. RefusedError says what to write.
    """
    house = read_house_rules()
    found = next((one for one in WAYS if one.words == way), None)
    if found is None:
        raise RefusedError("readings: way", f'there is no way "{way}".', f"There are: {_listed(WAYS)}.")
    chosen = next((one for one in house.balances if balance in ("", one.name)), None)
    if chosen is None:
        names = ", ".join(one.name for one in house.balances)
        raise RefusedError("readings: balance", f'there is none called "{balance}".', f"There are: {names}.")
    return still(_draw(house, chosen, _load(load, chosen), found))


def readings(load: str = "200 mg") -> "Explorer":
    """Return the picture of :func:`readings_figure` with a list of the ways of working and one of the balances.

    It starts with a reading that is taken at once: it looks like a number, and is far from the load.
    """
    from pharmcalc.widgets.controls import Choice, Explorer  # here: the still picture works without ipywidgets

    house = read_house_rules()
    lies = [_load(load, balance) for balance in house.balances]
    dials = (
        Choice("How you work", tuple(way.words for way in WAYS), start=1),
        Choice("Balance", tuple(balance.name for balance in house.balances)),
    )

    def draw(way: int, balance: int) -> Picture:
        return _draw(house, house.balances[balance], lies[balance], WAYS[way])

    return Explorer(heading(say("{load} on the pan, read {count} times", load=load, count=COUNT)), dials, draw)


def _load(text: str, balance: Balance) -> Quantity:
    load = MASS.check("readings: load", text)
    if load > balance.carries:
        raise RefusedError(
            "readings: load", f"{MASS.show(load)} is above the capacity of {balance.name}.", "Choose a smaller load."
        )
    return load


def _draw(house: HouseRules, balance: Balance, load: Quantity, way: Way) -> Picture:
    shown = [mass(reading) for reading in repeated_readings(balance, load, way, COUNT)]
    off = [milligrams(reading - load) for reading in shown]
    allowed = milligrams(load * house.allowed_error.to_base_units())
    far = max(allowed * ROOM, *(abs(one) * Fraction(11, 10) for one in off))
    chart = Chart(
        Scale(say("reading, one after another"), Fraction(0), Fraction(COUNT + 1)),
        Scale(say("display less load, in mg"), -far, far),
    )
    chart.level("axis", Fraction(0))
    for bound in (-allowed, allowed):
        chart.level("limit", bound)
    chart.drawing.words(say("largest error allowed"), chart.right, chart.y(allowed) - 6, "soft", "end")
    for number, one in enumerate(off, 1):
        x, y = chart.x(number), chart.y(one)
        if abs(one) <= allowed:
            chart.drawing.dot("drug", x, y, 4)
        else:
            chart.drawing.line("mark", x - 5, y - 5, x + 5, y + 5)
            chart.drawing.line("mark", x - 5, y + 5, x + 5, y - 5)
    words = _words(house, balance, load, way, shown)
    svg = chart.drawing.svg(
        say("{count} readings of {load}, {words}", count=COUNT, load=MASS.show(load), words=say(way.words)), words
    )
    return figure(svg), note(words), NOTHING


def _words(house: HouseRules, balance: Balance, load: Quantity, way: Way, shown: list[Quantity]) -> str:
    allowed = load * house.allowed_error.to_base_units()
    outside = sum(abs(one - load) > allowed for one in shown)
    middle = sum((one - load for one in shown), quantity(0, "milligram")) / len(shown)
    milli = milligrams(middle)
    mean = (
        say(
            "{milli} mg {side} the load",
            milli=rounded_text(abs(milli), 2),
            side=say("above") if milli > 0 else say("below"),
        )
        if milli
        else say("the load")
    )
    how = (
        say("No reading is")
        if not outside
        else say("One reading is")
        if outside == 1
        else say("{outside} readings are", outside=outside)
    )
    return say(
        "{name}, {words}: the display says between {lowest} and {highest}, "
        "on average {mean}. {how} off by more than the allowed {allowed_error}"
        "{cross}.",
        name=balance.name,
        words=say(way.words),
        lowest=MASS.show(min(shown)),
        highest=MASS.show(max(shown)),
        mean=mean,
        how=how,
        allowed_error=PERCENT.show(house.allowed_error),
        cross=say(" (a cross in the picture)") if outside else "",
    )


def _listed(ways: tuple[Way, ...]) -> str:
    return ", ".join(way.words for way in ways)
