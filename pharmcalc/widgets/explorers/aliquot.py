"""An aliquot plan as equal parts side by side, each as high as the aliquot, and which rules hold."""

from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from pharmcalc.aliquots import RULES, AliquotPlan, Limits, Rule, smallest_plan
from pharmcalc.kinds import COUNT, MASS, NUMBER
from pharmcalc.language import say
from pharmcalc.units import Quantity, quantity
from pharmcalc.widgets.drawing import LEFT, RIGHT, WIDTH, Drawing, anchor
from pharmcalc.widgets.explorers.frame import STEPS, Picture, at_least, figure, milligrams, still
from pharmcalc.widgets.markup import Shown, heading, marked, note, table

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["aliquot_explorer", "aliquot_figure", "aliquot_svg", "aliquot_words"]

NEVER_BROKEN_HERE = ("multiple-not-whole", "wrong-amount")  # the sliders and the equations see to these
NARROWEST_PART = 4  # below this many pixels, the parts of a mixture are not drawn apart


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
    return still(_plan(plan, limits, most=0, largest=plan.aliquot))


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
    first = at_least(milligrams(wanted) + milligrams(limits.display_step), step)
    half = max(at_least(aliquot / 2, step), first)
    dials = (
        Dial("Multiple factor", Fraction(1), most, Fraction(1), Fraction(max(ceil(multiple / 2), 1))),
        Dial("Aliquot, in mg", first, at_least(largest, step), step, half),
    )

    def draw(multiple_now: Fraction, aliquot_now: Fraction) -> Picture:
        now = AliquotPlan.of(
            drug_wanted=wanted, multiple_factor=quantity(multiple_now), aliquot=quantity(aliquot_now, "milligram")
        )
        return _plan(now, limits, most=int(most), largest=quantity(largest, "milligram"))

    return Explorer(heading(say("An aliquot plan for {wanted} of drug", wanted=MASS.show(wanted))), dials, draw)


def _plan(plan: AliquotPlan, limits: Limits, *, most: int, largest: Quantity) -> Picture:
    drawing = aliquot_svg(plan, limits, most_parts=most, largest=largest)
    return figure(drawing), note(aliquot_words(plan, limits)), _rules(plan, limits)


def _rules(plan: AliquotPlan, limits: Limits) -> Shown:
    rules = [
        rule for rule in RULES if rule.id not in NEVER_BROKEN_HERE and (not rule.limit or getattr(limits, rule.limit))
    ]
    rows = [(rule.says_here(limits), _here(rule, plan), _kept(rule, plan, limits)) for rule in rules]
    return table(say("Which rules hold"), (say("Rule"), say("This plan"), say("Kept?")), rows)


def _here(rule: Rule, plan: AliquotPlan) -> str:
    """Return the values that a rule looks at, as they stand in a plan."""
    values = plan.values()
    return ", ".join(MASS.show(values[name]) for name in rule.needs)


def _kept(rule: Rule, plan: AliquotPlan, limits: Limits) -> Shown:
    if rule.broken_by(plan.values(), limits):
        return marked(f"\u2717 {say('broken')}", "broken")
    return marked(f"\u2713 {say('kept')}", "kept")


def _limits(least: str, display_step: str, capacity: str) -> Limits:
    return Limits(
        MASS.check("least weighable quantity", least),
        MASS.check("display step", display_step),
        MASS.check("capacity", capacity),
    )


def aliquot_words(plan: AliquotPlan, limits: Limits) -> str:
    """Say what is weighed, what is taken, and whether the plan keeps its rules."""
    broken = len(plan.broken_rules(limits))
    verdict = {0: say("Every rule holds."), 1: say("One rule is broken; see below.")}.get(
        broken, say("{broken} rules are broken; see below.", broken=broken)
    )
    return say(
        "Weigh {drug_weighed} of drug and {diluent} of diluent, and mix: "
        "{total_mixture}. The aliquot is one part of {multiple_factor}: "
        "{aliquot}, which holds {drug_delivered} of drug. {verdict}",
        drug_weighed=MASS.show(plan.drug_weighed),
        diluent=MASS.show(plan.diluent),
        total_mixture=MASS.show(plan.total_mixture),
        multiple_factor=NUMBER.show(plan.multiple_factor),
        aliquot=MASS.show(plan.aliquot),
        drug_delivered=MASS.show(plan.drug_delivered),
        verdict=verdict,
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
    drawing.words(say("a part this high weighs {name}", name=name), RIGHT, foot - least - 6, "soft", "end")
    drawing.line("limit", enough_at, foot - tall, enough_at, foot + 12)
    said = say("this many parts hold {name} of drug", name=name)
    drawing.words(said, enough_at, foot + 28, "soft", anchor(enough_at, said))
    drawing.line("axis", LEFT, foot, RIGHT, foot)
    said = say(
        "{multiple_factor} parts of {aliquot} = {total_mixture}",
        multiple_factor=NUMBER.show(plan.multiple_factor),
        aliquot=MASS.show(plan.aliquot),
        total_mixture=MASS.show(plan.total_mixture),
    )
    drawing.words(say("The mixture: {said}", said=said), LEFT, 18, "heading")
    _legend(drawing, plan)
    return drawing.svg(
        say("An aliquot plan: the mixture in equal parts, one of them the aliquot"), aliquot_words(plan, limits)
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
        (
            "drug",
            say(
                "drug: {drug_wanted} in each part, {drug_weighed} in all",
                drug_wanted=MASS.show(plan.drug_wanted),
                drug_weighed=MASS.show(plan.drug_weighed),
            ),
            LEFT,
            292,
        ),
        ("diluent", say("diluent: {diluent} in all", diluent=MASS.show(plan.diluent)), LEFT + 340, 292),
        ("aliquot", say("the aliquot: one part, {aliquot}", aliquot=MASS.show(plan.aliquot)), LEFT, 318),
    )
    for kind, said, x, y in rows:
        drawing.box(kind, x, y - 12, 18, 14)
        drawing.words(said, x + 26, y)
