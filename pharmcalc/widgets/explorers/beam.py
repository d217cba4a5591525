"""Alligation as a beam: two strengths at its ends, the wanted one between, and how much must stand where."""

from fractions import Fraction
from math import ceil, floor
from typing import TYPE_CHECKING

from pharmcalc.dilutions import rest_of_mixture, strength_of_two, stronger_in_mixture
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.kinds import MASS, PERCENT
from pharmcalc.language import later, say
from pharmcalc.units import Quantity, number_text, quantity, quotient, unit_name
from pharmcalc.widgets.drawing import LEFT, RIGHT, WIDTH, Drawing, anchor, nice_step
from pharmcalc.widgets.explorers.frame import Picture, figure, still
from pharmcalc.widgets.markup import Shown, heading, note

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["alligation_beam", "alligation_beam_figure"]

WAYS = (later("half of each"), later("each by its own difference"), later("each by the other's difference"))
STEPS = 30  # positions of the slider between the two strengths, at most
FROM, TO = LEFT + 70, RIGHT - 70  # the ends of the beam
BEAM, GROUND = 122, 176  # how high the beam lies when it balances, and what it stands on
LARGEST, WIDE = 84, 52  # a weight that is the whole mixture
TIP = Fraction(3, 10)  # how steep the beam would stand if it missed by all there is between the strengths


def alligation_beam_figure(
    *, weaker: str = "5 %", stronger: str = "20 %", wanted: str = "10 %", total: str = "45 g", way: str = WAYS[0]
) -> Shown:
    """Return a mixture of two strengths as a beam, and the strength that comes of it.

    weaker, wanted, stronger: percentages, each above the one before; 0 % for a base. total: a mass above zero. way: how
    the two amounts are chosen. RefusedError says what to write.
    """
    if way not in WAYS:
        raise RefusedError("alligation_beam: way", f'there is no way "{way}".', f"There are: {', '.join(WAYS)}.")
    low, high = _ends(weaker, stronger)
    middle = PERCENT.check("alligation_beam: wanted", wanted)
    if not low < middle < high:
        raise RefusedError(
            "alligation_beam: wanted",
            f"{PERCENT.show(middle)} does not lie between {PERCENT.show(low)} and {PERCENT.show(high)}.",
            "No mixture of the two can be stronger or weaker than both. Write a strength between them.",
        )
    return still(_draw(low, high, middle, MASS.check("alligation_beam: total", total), way))


def alligation_beam(weaker: str = "5 %", stronger: str = "20 %", *, total: str = "45 g") -> "Explorer":
    """Return the picture of :func:`alligation_beam_figure` with a slider for the strength wanted and a list of ways.

    It starts with half of each, which looks like the middle way and misses the strength.
    """
    from pharmcalc.widgets.controls import Choice, Dial, Explorer  # here: the still picture works without ipywidgets

    low, high = _ends(weaker, stronger)
    amount = MASS.check("alligation_beam: total", total)
    bottom, top = _number(low), _number(high)
    step = nice_step(top - bottom, STEPS)
    first, last = step * (floor(bottom / step) + 1), step * (ceil(top / step) - 1)
    start = step * round((bottom + (top - bottom) / 3) / step)
    dials = (Dial("Strength wanted, in %", first, last, step, start), Choice("How much of each", WAYS))

    def draw(wanted: Fraction, way: int) -> Picture:
        return _draw(low, high, quantity(wanted, "percent"), amount, WAYS[way])

    title = say(
        "{amount} from {low} and {high}", amount=MASS.show(amount), low=PERCENT.show(low), high=PERCENT.show(high)
    )
    return Explorer(heading(title), dials, draw)


def _ends(weaker: str, stronger: str) -> tuple[Quantity, Quantity]:
    low, high = (
        PERCENT.check(f"alligation_beam: {name}", text) for name, text in (("weaker", weaker), ("stronger", stronger))
    )
    if low >= high:
        raise RefusedError(
            "alligation_beam: stronger",
            f"{PERCENT.show(high)} is not stronger than {PERCENT.show(low)}.",
            "Write the weaker one first.",
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


def _words(
    low: Quantity, high: Quantity, wanted: Quantity, taken: tuple[Quantity, Quantity], made: Quantity
) -> tuple[str, str]:
    """Return what was mixed and what it gives; and why: the drug that one lacks, the other must have too much."""
    weak, strong = (MASS.show(amount) for amount in taken)
    arms = (wanted - low, high - wanted)
    lacks, over = (MASS.show((one * arm).to(unit_name(one))) for one, arm in zip(taken, arms, strict=True))
    aim, up, down = PERCENT.show(wanted), *_arms(low, high, wanted)
    result = say(
        "{weak} of {low} and {strong} of {high} make {made}",
        weak=weak,
        low=PERCENT.show(low),
        strong=strong,
        high=PERCENT.show(high),
        made=PERCENT.show(made),
    )
    count = say(
        "For {aim} the weaker one lacks {lacks} of drug; the stronger one has {over} too much.",
        aim=aim,
        lacks=lacks,
        over=over,
    )
    if made == wanted:
        said = say("{result}: just what is wanted. {count} The beam balances.", result=result, count=count)
    else:
        said = say(
            "{result}, not {aim}. {count} The beam tips to the stronger side: the mixture is too strong."
            if made > wanted
            else "{result}, not {aim}. {count} The beam tips to the weaker side: the mixture is too weak.",
            result=result,
            aim=aim,
            count=count,
        )
    why = (
        say("The one that stands nearer pulls less, so there must be more of it. That is why the parts are crossed.")
        if up != down
        else say("Both stand equally far away, so there must be as much of each.")
    )
    parts = say(
        "Balance means {down} parts of the weaker one and {up} parts of the stronger one. The weaker one stands {up} "
        "away, and the stronger one {down}: each one's parts are the other one's distance. {why}",
        down=down,
        up=up,
        why=why,
    )
    return said, parts


def _arms(low: Quantity, high: Quantity, wanted: Quantity) -> tuple[str, str]:
    """Return how far the wanted strength is from the weaker one and from the stronger one."""
    up, down = (number_text(_number(arm))[0] for arm in (wanted - low, high - wanted))
    return up, down


def _slope(missed: Fraction, at: float) -> float:
    """Return how the beam stands; its heavy end comes to rest on the ground."""
    arm = TO - at if missed > 0 else at - FROM
    steepest = (GROUND - BEAM) / arm
    return max(-steepest, min(steepest, float(TIP * missed)))


def _draw(low: Quantity, high: Quantity, wanted: Quantity, total: Quantity, way: str) -> Picture:
    taken = _amounts(low, high, wanted, total, way)
    made = strength_of_two(first_strength=low, first_amount=taken[0], second_strength=high, second_amount=taken[1])
    said, parts = _words(low, high, wanted, taken, made)

    def x(strength: Quantity) -> float:
        return FROM + float(quotient(strength - low, high - low)) * (TO - FROM)

    at = x(wanted)
    slope = _slope(quotient(made - wanted, high - low), at)
    drawing = Drawing(WIDTH, 256)
    drawing.line("axis", FROM - WIDE / 2, GROUND, TO + WIDE / 2, GROUND)
    drawing.outline("mark", ((at, BEAM), (at - 22, GROUND), (at + 22, GROUND)), closed=True)
    drawing.line("mark", FROM, BEAM - slope * (at - FROM), TO, BEAM + slope * (TO - at))
    for place, amount, strength, kind in ((FROM, taken[0], low, "diluent"), (TO, taken[1], high, "drug")):
        foot, tall = BEAM + slope * (place - at), float(quotient(amount, total)) * LARGEST
        drawing.box(kind, place - WIDE / 2, foot - tall, WIDE, tall)
        drawing.words(
            say("{amount} of {strength}", amount=MASS.show(amount), strength=PERCENT.show(strength)),
            place,
            foot - tall - 8,
            "",
            "middle",
        )
    drawing.dot("aliquot", x(made), BEAM + slope * (x(made) - at), 7)
    for strength, name, y, kind in (
        (wanted, say("wanted"), GROUND + 20, ""),
        (made, say("made"), GROUND + 70, "heading"),
    ):
        words = f"{name} {PERCENT.show(strength)}"
        drawing.words(words, x(strength), y, kind, anchor(x(strength), words))
    up, down = _arms(low, high, wanted)
    for start, end, said_at, side, arm in ((FROM, at, at - 10, "end", up), (at, TO, at + 10, "start", down)):
        drawing.outline("axis", ((start, GROUND + 28), (start, GROUND + 34), (end, GROUND + 34), (end, GROUND + 28)))
        drawing.words(say("{arm} away", arm=arm), said_at, GROUND + 50, "soft", side)
    svg = drawing.svg(say("Two strengths on a beam, {wanted} wanted", wanted=PERCENT.show(wanted)), f"{said} {parts}")
    return figure(svg), note(said), note(parts)
