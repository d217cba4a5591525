"""The band of true masses around a reading: it stays as wide, and shrinks as a part of the load."""

from fractions import Fraction
from typing import TYPE_CHECKING

from pharmcalc.balances import least_weighable_quantity, percentage_of_error
from pharmcalc.kinds import MASS, PERCENT
from pharmcalc.language import say
from pharmcalc.units import Quantity, quantity
from pharmcalc.widgets.drawing import LEFT, RIGHT, WIDTH, Drawing, anchor, nice_step, scale
from pharmcalc.widgets.explorers.frame import NOTHING, STEPS, Picture, at_least, figure, milligrams, still
from pharmcalc.widgets.markup import Shown, heading, note

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["error_band", "error_band_figure", "error_band_svg", "error_band_words"]


def error_band_figure(*, sensitivity: str = "6 mg", allowed_error: str = "5 %", load: str = "8 mg") -> Shown:
    """Return the band of true masses around a reading, as a picture and a sentence.

    sensitivity and load: masses above zero. allowed_error: a percentage above zero. RefusedError says what to write.
    """
    return still(_band(*_balance(sensitivity, allowed_error), MASS.check("load", load)))


def error_band(sensitivity: str = "6 mg", allowed_error: str = "5 %", *, load: str = "") -> "Explorer":
    """Return the picture of :func:`error_band_figure` with a slider for the load.

    load: where the slider starts; a third above the sensitivity requirement where nothing is said.
    """
    from pharmcalc.widgets.controls import Dial, Explorer  # here: the still picture works without ipywidgets

    may_be_off, allowed = _balance(sensitivity, allowed_error)
    top = 2 * milligrams(least_weighable_quantity(sensitivity=may_be_off, allowed_error=allowed))
    step = nice_step(top, STEPS)
    start = milligrams(MASS.check("load", load)) if load else at_least(milligrams(may_be_off) * Fraction(4, 3), step)
    step = next((finer for finer in (step, step / 2, step / 10) if start % finer == 0), step)
    dial = Dial("Load on the display, in mg", step, at_least(max(top, start), step), step, at_least(start, step))

    def draw(load_now: Fraction) -> Picture:
        return _band(may_be_off, allowed, quantity(load_now, "milligram"))

    title = say("A balance with a sensitivity requirement of {may_be_off}", may_be_off=MASS.show(may_be_off))
    return Explorer(heading(title), (dial,), draw)


def _band(sensitivity: Quantity, allowed_error: Quantity, load: Quantity) -> Picture:
    amounts = {"sensitivity": sensitivity, "allowed_error": allowed_error, "load": load}
    return figure(error_band_svg(**amounts)), note(error_band_words(**amounts)), NOTHING


def _balance(sensitivity: str, allowed_error: str) -> tuple[Quantity, Quantity]:
    return MASS.check("sensitivity", sensitivity), PERCENT.check("allowed error", allowed_error)


def error_band_words(*, sensitivity: Quantity, allowed_error: Quantity, load: Quantity) -> str:
    """Say what the balance leaves open at this load, and whether that is allowed."""
    error, least = _error_and_least(sensitivity, allowed_error, load)
    low, high = _low_and_high(sensitivity, load)
    lowest = MASS.show(low) if low.magnitude else say("nothing at all")
    enough = load >= least
    verdict = say("this amount may be weighed here") if enough else say("do not weigh this amount here")
    return say(
        "The balance says {load}: the pan may hold anything from {lowest} to {high}. "
        "That is an error of up to {error} of the load, {enough}: {verdict}. "
        "The least weighable quantity is {least}.",
        load=MASS.show(load),
        lowest=lowest,
        high=MASS.show(high),
        error=PERCENT.show(error),
        enough=_compared(enough, allowed_error),
        verdict=verdict,
        least=MASS.show(least),
    )


def error_band_svg(*, sensitivity: Quantity, allowed_error: Quantity, load: Quantity) -> str:
    """Draw the band of true masses around a reading, and below it the same error as a part of the load.

    The band is as wide at every load; its part of the load is not. Arguments as in
    :func:`pharmcalc.balances.least_weighable_quantity` and :func:`pharmcalc.balances.percentage_of_error`.
    """
    error, least = _error_and_least(sensitivity, allowed_error, load)
    drawing = Drawing(WIDTH, 286)
    _draw_band(drawing, sensitivity, load, least)
    enough = load >= least
    drawing.words(say("The same error, compared with the load"), LEFT, 178, "heading")
    drawing.words(
        say("up to {error} of the load: {enough}", error=PERCENT.show(error), enough=_compared(enough, allowed_error)),
        LEFT,
        200,
    )
    drawing.box("sheet", LEFT, 214, RIGHT - LEFT, 30)
    part = float(min(error.to_base_units().magnitude, Fraction(1))) * (RIGHT - LEFT)
    drawing.stripes("stripes", LEFT, 214, part, 30)
    drawing.box("band", LEFT, 214, part, 30)
    limit = LEFT + float(allowed_error.to_base_units().magnitude) * (RIGHT - LEFT)
    drawing.line("limit", limit, 208, limit, 256)
    said = say("allowed {allowed_error}", allowed_error=PERCENT.show(allowed_error))
    drawing.words(said, limit, 272, "soft", anchor(limit, said))
    drawing.words(say("the whole load"), RIGHT, 272, "soft", "end")
    words = error_band_words(sensitivity=sensitivity, allowed_error=allowed_error, load=load)
    return drawing.svg(say("The band of true masses around a reading of {load}", load=MASS.show(load)), words)


def _draw_band(drawing: Drawing, sensitivity: Quantity, load: Quantity, least: Quantity) -> None:
    low, high = _low_and_high(sensitivity, load)
    top = max(milligrams(least) * 2, milligrams(load)) + milligrams(sensitivity)
    wide = float(RIGHT - LEFT)

    def x(mass: Quantity) -> float:
        return LEFT + float(milligrams(mass) / top) * wide

    drawing.words(say("What the pan may hold"), LEFT, 18, "heading")
    drawing.stripes("stripes", x(low), 60, x(high) - x(low), 36)
    drawing.box("band", x(low), 60, x(high) - x(low), 36)
    drawing.line("mark", x(load), 48, x(load), 100)
    said = say("display {load}, pan {low} to {high}", load=MASS.show(load), low=MASS.show(low), high=MASS.show(high))
    drawing.words(said, x(load), 41, "", anchor(x(load), said))
    scale(drawing, top, y=100)
    drawing.line("limit", x(least), 56, x(least), 130)
    said = say("least weighable quantity {least}", least=MASS.show(least))
    drawing.words(said, x(least), 146, "soft", anchor(x(least), said))


def _error_and_least(sensitivity: Quantity, allowed_error: Quantity, load: Quantity) -> tuple[Quantity, Quantity]:
    return (
        percentage_of_error(sensitivity=sensitivity, load=load),
        least_weighable_quantity(sensitivity=sensitivity, allowed_error=allowed_error),
    )


def _low_and_high(sensitivity: Quantity, load: Quantity) -> tuple[Quantity, Quantity]:
    return max(load - sensitivity, quantity(0, "milligram")), load + sensitivity


def _compared(enough: bool, allowed: Quantity) -> str:
    return say(
        "{compared} the allowed {allowed}",
        compared=say("within") if enough else say("more than"),
        allowed=PERCENT.show(allowed),
    )
