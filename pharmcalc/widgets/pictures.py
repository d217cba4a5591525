"""The pictures of the lessons, drawn from quantities, each with a sentence that says the same in words.

Plain functions: numbers in, SVG out. The sliders of ``explorers.py`` only call them again.
"""

from fractions import Fraction

from pharmcalc.aliquots import AliquotPlan, Limits
from pharmcalc.balances import least_weighable_quantity, percentage_of_error
from pharmcalc.kinds import MASS, NUMBER, PERCENT
from pharmcalc.units import Quantity, number_text, quantity
from pharmcalc.widgets.drawing import Drawing, nice_step

__all__ = ["aliquot_svg", "aliquot_words", "error_band_svg", "error_band_words"]

WIDTH, LEFT, RIGHT = 660, 24, 636
WIDEST_LETTER = 8.0  # pixels a letter, on average, in any font
NARROWEST_PART = 4  # below this many pixels, the parts of a mixture are not drawn apart


def milligrams(value: Quantity) -> Fraction:
    """Return a mass as a number of milligrams."""
    return value.to("milligram").magnitude


def error_band_words(*, sensitivity: Quantity, allowed_error: Quantity, load: Quantity) -> str:
    """Say what the balance leaves open at this load, and whether that is allowed."""
    error, least = _error_and_least(sensitivity, allowed_error, load)
    low, high = _band(sensitivity, load)
    lowest = MASS.show(low) if low.magnitude else "nothing at all"
    enough = load >= least
    verdict = "this amount may be weighed here" if enough else "do not weigh this amount here"
    return (
        f"The balance says {MASS.show(load)}: the pan may hold anything from {lowest} to {MASS.show(high)}. "
        f"That is an error of up to {PERCENT.show(error)} of the load, {_compared(enough, allowed_error)}: {verdict}. "
        f"The least weighable quantity is {MASS.show(least)}."
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
    drawing.words("The same error, compared with the load", LEFT, 178, "heading")
    drawing.words(f"up to {PERCENT.show(error)} of the load: {_compared(enough, allowed_error)}", LEFT, 200)
    drawing.box("sheet", LEFT, 214, RIGHT - LEFT, 30)
    part = float(min(error.to_base_units().magnitude, Fraction(1))) * (RIGHT - LEFT)
    drawing.stripes("stripes", LEFT, 214, part, 30)
    drawing.box("band", LEFT, 214, part, 30)
    limit = LEFT + float(allowed_error.to_base_units().magnitude) * (RIGHT - LEFT)
    drawing.line("limit", limit, 208, limit, 256)
    said = f"allowed {PERCENT.show(allowed_error)}"
    drawing.words(said, limit, 272, "soft", _anchor(limit, said))
    drawing.words("the whole load", RIGHT, 272, "soft", "end")
    words = error_band_words(sensitivity=sensitivity, allowed_error=allowed_error, load=load)
    return drawing.svg(f"The band of true masses around a reading of {MASS.show(load)}", words)


def _draw_band(drawing: Drawing, sensitivity: Quantity, load: Quantity, least: Quantity) -> None:
    low, high = _band(sensitivity, load)
    top = max(milligrams(least) * 2, milligrams(load)) + milligrams(sensitivity)
    wide = float(RIGHT - LEFT)

    def x(mass: Quantity) -> float:
        return LEFT + float(milligrams(mass) / top) * wide

    drawing.words("What the pan may hold", LEFT, 18, "heading")
    drawing.stripes("stripes", x(low), 60, x(high) - x(low), 36)
    drawing.box("band", x(low), 60, x(high) - x(low), 36)
    drawing.line("mark", x(load), 48, x(load), 100)
    said = f"display {MASS.show(load)}, pan {MASS.show(low)} to {MASS.show(high)}"
    drawing.words(said, x(load), 41, "", _anchor(x(load), said))
    _axis(drawing, top, y=100)
    drawing.line("limit", x(least), 56, x(least), 130)
    said = f"least weighable quantity {MASS.show(least)}"
    drawing.words(said, x(least), 146, "soft", _anchor(x(least), said))


def _axis(drawing: Drawing, top: Fraction, y: int) -> None:
    """Draw a scale in milligrams from nothing to a top value."""
    drawing.line("axis", LEFT, y, RIGHT, y)
    step, tick = nice_step(top), Fraction(0)
    while tick <= top:
        x = LEFT + float(tick / top) * (RIGHT - LEFT)
        drawing.line("axis", x, y, x, y + 6)
        drawing.words(
            number_text(tick)[0] + (" mg" if tick == 0 else ""), x, y + 21, "soft", "middle" if tick else "start"
        )
        tick += step


def _error_and_least(sensitivity: Quantity, allowed_error: Quantity, load: Quantity) -> tuple[Quantity, Quantity]:
    return (
        percentage_of_error(sensitivity=sensitivity, load=load),
        least_weighable_quantity(sensitivity=sensitivity, allowed_error=allowed_error),
    )


def _band(sensitivity: Quantity, load: Quantity) -> tuple[Quantity, Quantity]:
    return max(load - sensitivity, quantity(0, "milligram")), load + sensitivity


def _compared(enough: bool, allowed: Quantity) -> str:
    return f"{'within' if enough else 'more than'} the allowed {PERCENT.show(allowed)}"


def _anchor(x: float, words: str) -> str:
    """Return how words stand at x, so that they stay inside the picture."""
    half = len(words) * WIDEST_LETTER / 2
    if x - half < 0:
        return "start"
    return "end" if x + half > WIDTH else "middle"


def aliquot_words(plan: AliquotPlan, limits: Limits) -> str:
    """Say what is weighed, what is taken, and whether the plan keeps its rules."""
    broken = len(plan.broken_rules(limits))
    verdict = {0: "Every rule holds.", 1: "One rule is broken; see below."}.get(
        broken, f"{broken} rules are broken; see below."
    )
    return (
        f"Weigh {MASS.show(plan.drug_weighed)} of drug and {MASS.show(plan.diluent)} of diluent, and mix: "
        f"{MASS.show(plan.total_mixture)}. The aliquot is one part of {NUMBER.show(plan.multiple_factor)}: "
        f"{MASS.show(plan.aliquot)}, which holds {MASS.show(plan.drug_delivered)} of drug. {verdict}"
    )


def aliquot_svg(plan: AliquotPlan, limits: Limits, *, most_parts: int = 0, largest: Quantity | None = None) -> str:
    """Draw the mixture as equal parts side by side, each as high as the aliquot, with its drug at the foot.

    So the number of parts is the multiple factor, and two limits show: the drug in all parts together, and the height
    of one part, must both reach the least weighable quantity. most_parts and largest set the scales (by default they
    fit the plan): a picture that is drawn again and again keeps them.
    """
    multiple = plan.multiple_factor.magnitude
    needed = limits.least_weighable_quantity / plan.drug_wanted
    parts = float(max(Fraction(most_parts), multiple, needed.to_base_units().magnitude * Fraction(5, 4)))
    height = float(max(map(milligrams, (largest or plan.aliquot, plan.aliquot, limits.least_weighable_quantity * 2))))
    drawing = Drawing(WIDTH, 330)
    foot, tall, wide = 236.0, 176.0, float(RIGHT - LEFT)
    x_end = LEFT + float(multiple) / parts * wide
    up = float(milligrams(plan.aliquot)) / height * tall
    drug_up = max(float(milligrams(plan.drug_wanted)) / height * tall, 2.0)
    _draw_mixture(drawing, float(multiple), x_end, foot, up, drug_up)
    least = float(milligrams(limits.least_weighable_quantity)) / height * tall
    enough_at = LEFT + float(needed.to_base_units().magnitude) / parts * wide
    name = MASS.show(limits.least_weighable_quantity)
    drawing.line("limit", LEFT, foot - least, RIGHT, foot - least)
    drawing.words(f"a part this high weighs {name}", RIGHT, foot - least - 6, "soft", "end")
    drawing.line("limit", enough_at, foot - tall, enough_at, foot + 12)
    said = f"this many parts hold {name} of drug"
    drawing.words(said, enough_at, foot + 28, "soft", _anchor(enough_at, said))
    drawing.line("axis", LEFT, foot, RIGHT, foot)
    said = f"{NUMBER.show(plan.multiple_factor)} parts of {MASS.show(plan.aliquot)} = {MASS.show(plan.total_mixture)}"
    drawing.words(f"The mixture: {said}", LEFT, 18, "heading")
    _legend(drawing, plan)
    return drawing.svg(
        "An aliquot plan: the mixture in equal parts, one of them the aliquot", aliquot_words(plan, limits)
    )


def _draw_mixture(drawing: Drawing, multiple: float, x_end: float, foot: float, up: float, drug_up: float) -> None:
    width = (x_end - LEFT) / multiple
    drawing.box("diluent", LEFT, foot - up, x_end - LEFT, up)
    drawing.box("drug", LEFT, foot - drug_up, x_end - LEFT, drug_up)
    if width >= NARROWEST_PART:
        for number in range(1, int(multiple)):
            drawing.line("divide", LEFT + number * width, foot - up, LEFT + number * width, foot)
    drawing.box("aliquot", LEFT, foot - up, max(width, 3), up)


def _legend(drawing: Drawing, plan: AliquotPlan) -> None:
    rows = (
        ("drug", f"drug: {MASS.show(plan.drug_wanted)} in each part, {MASS.show(plan.drug_weighed)} in all", LEFT, 292),
        ("diluent", f"diluent: {MASS.show(plan.diluent)} in all", LEFT + 340, 292),
        ("aliquot", f"the aliquot: one part, {MASS.show(plan.aliquot)}", LEFT, 318),
    )
    for kind, said, x, y in rows:
        drawing.box(kind, x, y - 12, 18, 14)
        drawing.words(said, x + 26, y)
