"""Explorers: a picture that is called plainly first, and then with sliders.

``error_band_figure`` and ``aliquot_figure`` return a still picture; ``error_band`` and ``aliquot_explorer`` the same
with sliders.
"""

from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from pharmcalc.aliquots import RULES, AliquotPlan, Limits, Rule, smallest_plan
from pharmcalc.balances import least_weighable_quantity
from pharmcalc.kinds import COUNT, MASS, PERCENT
from pharmcalc.units import Quantity, quantity
from pharmcalc.widgets.drawing import nice_step
from pharmcalc.widgets.markup import Shown, heading, marked, note, table
from pharmcalc.widgets.pictures import aliquot_svg, aliquot_words, error_band_svg, error_band_words, milligrams

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["aliquot_explorer", "aliquot_figure", "error_band", "error_band_figure"]

Picture = tuple[Shown, Shown, Shown]  # the drawing, what it says in words, and what belongs to it
KEPT, BROKEN = marked("\u2713 kept", "kept"), marked("\u2717 broken", "broken")
STEPS = 400  # a slider has about so many positions at most
NEVER_BROKEN_HERE = ("multiple-not-whole", "wrong-amount")  # the sliders and the equations see to these


def error_band_figure(*, sensitivity: str = "6 mg", allowed_error: str = "5 %", load: str = "8 mg") -> Shown:
    """Return the band of true masses around a reading, as a picture and a sentence.

    sensitivity and load: masses above zero. allowed_error: a percentage above zero. RefusedError says what to write.
    """
    return _still(_band(*_balance(sensitivity, allowed_error), MASS.check("load", load)))


def error_band(sensitivity: str = "6 mg", allowed_error: str = "5 %", *, load: str = "") -> "Explorer":
    """Return the picture of :func:`error_band_figure` with a slider for the load.

    load: where the slider starts; a third above the sensitivity requirement where nothing is said.
    """
    from pharmcalc.widgets.controls import Dial, Explorer  # here: the still picture works without ipywidgets

    may_be_off, allowed = _balance(sensitivity, allowed_error)
    top = 2 * milligrams(least_weighable_quantity(sensitivity=may_be_off, allowed_error=allowed))
    step = nice_step(top, STEPS)
    start = milligrams(MASS.check("load", load)) if load else _at_least(milligrams(may_be_off) * Fraction(4, 3), step)
    step = next((finer for finer in (step, step / 2, step / 10) if start % finer == 0), step)
    dial = Dial("Load on the display, in mg", step, _at_least(max(top, start), step), step, _at_least(start, step))

    def draw(load_now: Fraction) -> Picture:
        return _band(may_be_off, allowed, quantity(load_now, "milligram"))

    title = f"A balance with a sensitivity requirement of {MASS.show(may_be_off)}"
    return Explorer(heading(title), (dial,), draw)


def aliquot_figure(
    *,
    drug_wanted: str = "6 mg",
    multiple_factor: str = "20",
    aliquot: str = "120 mg",
    least_weighable_quantity: str = "120 mg",
    display_step: str = "1 mg",
    capacity: str = "120 g",
) -> Shown:
    """Return an aliquot plan as a picture, with its rules and whether they hold.

    multiple_factor: a whole number. The other arguments: masses above zero. RefusedError says what to write.
    """
    limits = _limits(least_weighable_quantity, display_step, capacity)
    multiple = COUNT.check("multiple factor", multiple_factor)
    plan = AliquotPlan.of(drug_wanted=drug_wanted, multiple_factor=multiple, aliquot=aliquot)
    return _still(_plan(plan, limits, most=0, largest=plan.aliquot))


def aliquot_explorer(
    drug_wanted: str = "6 mg",
    least_weighable_quantity: str = "120 mg",
    *,
    display_step: str = "1 mg",
    capacity: str = "120 g",
) -> "Explorer":
    """Return the picture of :func:`aliquot_figure` with sliders for the multiple factor and the aliquot.

    It starts with a multiple and an aliquot that are too small, so that there is something to put right. RefusedError
    where the drug wanted can be weighed directly or no plan exists.
    """
    from pharmcalc.widgets.controls import Dial, Explorer  # here: the still picture works without ipywidgets

    limits = _limits(least_weighable_quantity, display_step, capacity)
    wanted = MASS.check("drug wanted", drug_wanted)
    plan = smallest_plan(drug_wanted=wanted, limits=limits)
    multiple, aliquot = plan.multiple_factor.magnitude, milligrams(plan.aliquot)
    most, largest = (
        max(2 * multiple, Fraction(4)),
        max(2 * milligrams(limits.least_weighable_quantity), aliquot * 3 / 2),
    )
    step = milligrams(limits.display_step) * ceil(largest / milligrams(limits.display_step) / STEPS)
    first = _at_least(milligrams(wanted) + milligrams(limits.display_step), step)
    half = max(_at_least(aliquot / 2, step), first)
    dials = (
        Dial("Multiple factor", Fraction(1), most, Fraction(1), Fraction(max(ceil(multiple / 2), 1))),
        Dial("Aliquot, in mg", first, _at_least(largest, step), step, half),
    )

    def draw(multiple_now: Fraction, aliquot_now: Fraction) -> Picture:
        now = AliquotPlan.of(
            drug_wanted=wanted, multiple_factor=quantity(multiple_now), aliquot=quantity(aliquot_now, "milligram")
        )
        return _plan(now, limits, most=int(most), largest=quantity(largest, "milligram"))

    return Explorer(heading(f"An aliquot plan for {MASS.show(wanted)} of drug"), dials, draw)


def _still(picture: Picture) -> Shown:
    drawing, said, more = picture
    return drawing + said + more


def _band(sensitivity: Quantity, allowed_error: Quantity, load: Quantity) -> Picture:
    amounts = {"sensitivity": sensitivity, "allowed_error": allowed_error, "load": load}
    return _figure(error_band_svg(**amounts)), note(error_band_words(**amounts)), Shown("", "")


def _plan(plan: AliquotPlan, limits: Limits, *, most: int, largest: Quantity) -> Picture:
    drawing = aliquot_svg(plan, limits, most_parts=most, largest=largest)
    return _figure(drawing), note(aliquot_words(plan, limits)), _rules(plan, limits)


def _figure(svg: str) -> Shown:
    return Shown("", f"<figure>{svg}</figure>")


def _rules(plan: AliquotPlan, limits: Limits) -> Shown:
    rules = [
        rule for rule in RULES if rule.id not in NEVER_BROKEN_HERE and (not rule.limit or getattr(limits, rule.limit))
    ]
    rows = [(rule.says_here(limits), _here(rule, plan), _kept(rule, plan, limits)) for rule in rules]
    return table("Which rules hold", ("Rule", "This plan", "Kept?"), rows)


def _here(rule: Rule, plan: AliquotPlan) -> str:
    """Return the values that a rule looks at, as they stand in a plan."""
    values = plan.values()
    return ", ".join(MASS.show(values[name]) for name in rule.needs)


def _kept(rule: Rule, plan: AliquotPlan, limits: Limits) -> Shown:
    return BROKEN if rule.broken_by(plan.values(), limits) else KEPT


def _balance(sensitivity: str, allowed_error: str) -> tuple[Quantity, Quantity]:
    return MASS.check("sensitivity", sensitivity), PERCENT.check("allowed error", allowed_error)


def _limits(least: str, display_step: str, capacity: str) -> Limits:
    return Limits(
        MASS.check("least weighable quantity", least),
        MASS.check("display step", display_step),
        MASS.check("capacity", capacity),
    )


def _at_least(number: Fraction, step: Fraction) -> Fraction:
    """Return the multiple of a step that is not below a number."""
    return ceil(number / step) * step
