"""The ladder of metric units: one amount, its number on every rung, and where a slip of the point would take it."""

from fractions import Fraction
from math import log10
from typing import TYPE_CHECKING

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS
from pharmcalc.language import later, say
from pharmcalc.metric import number_of_mass_units
from pharmcalc.units import Quantity, number_text, quantity, unit_text
from pharmcalc.widgets.drawing import LEFT, RIGHT, WIDTH, Drawing, anchor
from pharmcalc.widgets.explorers.frame import NOTHING, Picture, figure, still
from pharmcalc.widgets.markup import Shown, heading, note

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["unit_ladder", "unit_ladder_figure"]

RUNGS = ("microgram", "milligram", "gram", "kilogram")
LOWEST, HIGHEST = -1, 9  # powers of ten of a microgram at the ends of the picture
SLIPS = {
    later("nothing goes wrong"): Fraction(1),
    later("mg read for microgram"): Fraction(1000),
    later("a step of 1000 taken down"): Fraction(1, 1000),
    later("the point one place too far right"): Fraction(10),
    later("the point one place too far left"): Fraction(1, 10),
    later("100 taken for 1000"): Fraction(10),
}


def unit_ladder_figure(*, amount: str = "125 microgram", slip: str = "nothing goes wrong") -> Shown:
    """Return an amount on the ladder of units, with a slip beside it.

    amount: a mass from 1 microgram to 1 kg. slip: one of the slips of the list. RefusedError says what to write.
    """
    if slip not in SLIPS:
        raise RefusedError("unit_ladder: slip", f'there is none called "{slip}".', f"There are: {', '.join(SLIPS)}.")
    return still(_draw(_amount(amount), slip))


def unit_ladder(amount: str = "125 microgram") -> "Explorer":
    """Return the picture of :func:`unit_ladder_figure` with a slider for the number and a list of slips.

    It starts with milligrams read for micrograms: the digits are right, and the dose is a thousand times too large.
    """
    from pharmcalc.widgets.controls import Choice, Dial, Explorer  # here: the still picture works without ipywidgets

    start = number_of_mass_units(amount=_amount(amount), wanted_unit="1 microgram").magnitude
    dials = (
        Dial("Amount, in microgram", Fraction(5), Fraction(995), Fraction(5), start),
        Choice("What goes wrong", tuple(SLIPS), start=1),
    )

    def draw(number: Fraction, slip: int) -> Picture:
        return _draw(quantity(number, "microgram"), tuple(SLIPS)[slip])

    return Explorer(heading(say("One amount, many numbers")), dials, draw)


def _amount(text: str) -> Quantity:
    amount = MASS.check("unit_ladder: amount", text)
    if not quantity(1, "microgram") <= amount <= quantity(1, "kilogram"):
        raise RefusedError(
            "unit_ladder: amount", f"{MASS.show(amount)} is off this ladder.", "Write 1 microgram to 1 kg."
        )
    return amount


def _number(amount: Quantity, unit: str) -> str:
    return number_text(number_of_mass_units(amount=amount, wanted_unit=quantity(1, unit)).magnitude, 12)[0]


def _words(amount: Quantity, slip: str) -> str:
    same = " = ".join(f"{_number(amount, unit)} {unit_text(quantity(1, unit))}" for unit in RUNGS[:3])
    times = SLIPS[slip]
    if times == 1:
        return say("{same}. One amount; the smaller the unit, the larger the number.", same=same)
    wrong = amount * times
    how = (
        say("{times} times too much", times=number_text(times)[0])
        if times > 1
        else say("{number_text} times too little", number_text=number_text(1 / times)[0])
    )
    return say(
        "{same}. With this slip ({slip}) it becomes {wrong} mg: {how}.",
        same=same,
        slip=say(slip),
        wrong=_number(wrong, "milligram"),
        how=how,
    )


def _draw(amount: Quantity, slip: str) -> Picture:
    words = _words(amount, slip)
    drawing = Drawing(WIDTH, 210)
    drawing.words(say("Each mark is ten times the one before"), LEFT, 18, "heading")
    y = 110
    drawing.line("axis", LEFT, y, RIGHT, y)
    for power in range(LOWEST, HIGHEST + 1):
        x = _x(float(power))
        drawing.line("axis", x, y - (10 if power % 3 == 0 else 5), x, y + (10 if power % 3 == 0 else 5))
    for place, unit in enumerate(RUNGS):
        x = _x(3.0 * place)
        said = f"1 {unit_text(quantity(1, unit))}"
        drawing.words(said, x, y + 30, "soft", anchor(x, said))
    _draw_mark(drawing, amount, y, say("the amount"), above=True)
    if SLIPS[slip] != 1:
        wrong = amount * SLIPS[slip]
        drawing.line("limit", _place(amount), y - 26, _place(wrong), y - 26)
        drawing.dot("aliquot", _place(wrong), y, 8)
        _draw_mark(drawing, wrong, y, say("with the slip"), above=False)
    return figure(drawing.svg(say("An amount on the ladder of units"), words)), note(words), NOTHING


def _draw_mark(drawing: Drawing, amount: Quantity, y: int, what: str, *, above: bool) -> None:
    x = _place(amount)
    if above:
        drawing.dot("drug", x, y, 6)
    drawing.line("mark", x, y - 26 if above else y + 12, x, y - 8 if above else y + 46)
    said = f"{what}: {MASS.show(amount)}"
    drawing.words(said, x, y - 34 if above else y + 64, "", anchor(x, said))


def _x(power: float) -> float:
    return LEFT + (power - LOWEST) / (HIGHEST - LOWEST) * (RIGHT - LEFT)


def _place(amount: Quantity) -> float:
    micrograms = float(number_of_mass_units(amount=amount, wanted_unit=quantity(1, "microgram")).magnitude)
    return _x(min(max(log10(micrograms), LOWEST), HIGHEST))
