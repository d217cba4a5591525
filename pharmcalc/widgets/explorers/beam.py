"""Alligation as a beam: two strengths at its ends, the wanted one between, and how much must hang where."""

from fractions import Fraction
from typing import TYPE_CHECKING

from pharmcalc.dilutions import rest_of_mixture, strength_of_two, stronger_in_mixture
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.kinds import MASS, PERCENT
from pharmcalc.units import Quantity, number_text, quantity
from pharmcalc.widgets.drawing import LEFT, RIGHT, WIDTH, Drawing, anchor
from pharmcalc.widgets.explorers.frame import NOTHING, Picture, figure, still
from pharmcalc.widgets.markup import Shown, heading, note

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["alligation_beam", "alligation_beam_figure"]

WAYS = ("half of each", "each by its own difference", "each by the other's difference")
INSET, BEAM, LARGEST = 70, 150, 84
STEP = Fraction(1, 2)


def alligation_beam_figure(
    *, weaker: str = "5 %", stronger: str = "20 %", wanted: str = "10 %", total: str = "45 g", way: str = WAYS[0]
) -> Shown:
    """Return a mixture of two strengths as a beam, and the strength that comes of it.

    weaker, wanted, stronger: percentages, each above the one before. total: a mass above zero. way: how the two amounts
    are chosen. RefusedError says what to write.
    """
    if way not in WAYS:
        raise RefusedError("alligation_beam: way", f'there is no way "{way}".', f"There are: {', '.join(WAYS)}.")
    ends = _ends(weaker, stronger)
    return still(_draw(*ends, PERCENT.check("wanted", wanted), MASS.check("total", total), way))


def alligation_beam(weaker: str = "5 %", stronger: str = "20 %", *, total: str = "45 g") -> "Explorer":
    """Return the picture of :func:`alligation_beam_figure` with a slider for the strength wanted and a list of ways.

    It starts with half of each, which looks like the middle way and misses the strength.
    """
    from pharmcalc.widgets.controls import Choice, Dial, Explorer  # here: the still picture works without ipywidgets

    low, high = _ends(weaker, stronger)
    amount = MASS.check("total", total)
    first, last = _number(low) + STEP, _number(high) - STEP
    start = first + STEP * round((last - first) / 3 / STEP)
    dials = (Dial("Strength wanted, in %", first, last, STEP, start), Choice("How much of each", WAYS))

    def draw(wanted: Fraction, way: int) -> Picture:
        return _draw(low, high, quantity(wanted, "percent"), amount, WAYS[way])

    title = f"{MASS.show(amount)} from {PERCENT.show(low)} and {PERCENT.show(high)}"
    return Explorer(heading(title), dials, draw)


def _ends(weaker: str, stronger: str) -> tuple[Quantity, Quantity]:
    low, high = PERCENT.check("weaker", weaker), PERCENT.check("stronger", stronger)
    if low >= high:
        raise RefusedError(
            "alligation_beam: stronger", f"{PERCENT.show(high)} is not stronger.", "Write the weaker one first."
        )
    return low, high


def _number(strength: Quantity) -> Fraction:
    return strength.to("percent").magnitude


def _amounts(low: Quantity, high: Quantity, wanted: Quantity, total: Quantity, way: str) -> tuple[Quantity, Quantity]:
    """Return how much of the weaker and of the stronger one is taken."""
    values = {"total": total, "weaker_strength": low, "wanted_strength": wanted, "stronger_strength": high}
    if way == WAYS[0]:
        strong = total / 2
    elif way == WAYS[1]:
        strong = MISTAKES["alligation-crossed"].evaluate(values)
    else:
        strong = stronger_in_mixture(**values)
    return rest_of_mixture(total=total, stronger_amount=strong), strong


def _draw(low: Quantity, high: Quantity, wanted: Quantity, total: Quantity, way: str) -> Picture:
    weak, strong = _amounts(low, high, wanted, total, way)
    made = strength_of_two(first_strength=low, first_amount=weak, second_strength=high, second_amount=strong)
    up, down = (number_text(_number(one))[0] for one in (wanted - low, high - wanted))
    hit = made == wanted
    words = (
        f"{MASS.show(weak)} of {PERCENT.show(low)} and {MASS.show(strong)} of {PERCENT.show(high)} make "
        f"{MASS.show(total)} of {PERCENT.show(made)}: "
        f"{'just what is wanted' if hit else f'not the {PERCENT.show(wanted)} that is wanted'}. "
        f"Parts: {down} of the weaker to {up} of the stronger, each by the other's difference."
    )
    drawing = Drawing(WIDTH, 236)
    left, right = LEFT + INSET, RIGHT - INSET

    def x(strength: Quantity) -> float:
        return left + float((_number(strength) - _number(low)) / (_number(high) - _number(low))) * (right - left)

    drawing.line("mark", left, BEAM, right, BEAM)
    for place, amount, strength, kind in ((left, weak, low, "diluent"), (right, strong, high, "drug")):
        tall = float(MASS.check("amount", amount).to("gram").magnitude / total.to("gram").magnitude) * LARGEST
        drawing.box(kind, place - 26, BEAM - tall, 52, tall)
        drawing.words(MASS.show(amount), place, BEAM - tall - 8, "", "middle")
        drawing.words(PERCENT.show(strength), place, BEAM + 22, "soft", "middle")
    at = x(wanted)
    drawing.outline("limit", ((at, BEAM + 2), (at - 12, BEAM + 26), (at + 12, BEAM + 26)), closed=True)
    said = f"wanted {PERCENT.show(wanted)}"
    drawing.words(said, at, BEAM + 44, "", anchor(at, said))
    reached = x(made)
    drawing.dot("aliquot", reached, BEAM, 7)
    said = f"made {PERCENT.show(made)}"
    drawing.words(said, reached, BEAM + 68, "heading", anchor(reached, said))
    for start, end, said in ((left, at, up), (at, right, down)):
        drawing.words(f"{said} away", (start + end) / 2, BEAM - 8, "soft", "middle")
    svg = drawing.svg(f"Two strengths on a beam, {PERCENT.show(wanted)} wanted", words)
    return figure(svg), note(words), NOTHING
