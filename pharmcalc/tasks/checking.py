"""The second check: work the order yourself, then check a colleague's plan: agree, or name the first wrong line."""

from dataclasses import replace

from pharmcalc.aliquots import AliquotPlan, smallest_plan
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.language import say
from pharmcalc.tasks.aliquots import ALIQUOT_PLAN
from pharmcalc.tasks.asked import Decision, Option
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Drawn, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import Quantity, quantity

__all__ = ["AGREE", "PLANTED"]

AGREE = "agree"
NEW_LINE = "\n"
PLANTED = {
    "least_weighable_quantity": "lwq-percent-as-number",
    "multiple_factor": "multiple-rounded-down",
    "drug_weighed": "weight-left-at-lwq",
    "total_mixture": "mixture-of-lwq",
    "diluent": "diluent-is-total",
}
"""The errors that a colleague may have made: the first wrong line, and the mistake that makes it."""

_LINES = {asked.name: asked.said for asked in ALIQUOT_PLAN.amounts}


def _draw(dice: Dice, house: HouseRules) -> Drawn:
    drawn = ALIQUOT_PLAN.draw(dice, house)
    assert drawn.limits is not None
    values = {**drawn.values, "least_weighable_quantity": drawn.limits.least_weighable_quantity}
    smallest = smallest_plan(drug_wanted=values["drug_wanted"], limits=drawn.limits)
    plan = AliquotPlan.of(
        drug_wanted=values["drug_wanted"],
        multiple_factor=smallest.multiple_factor + quantity(dice.below(4)),
        aliquot=smallest.aliquot + drawn.limits.display_step * dice.pick((0, 5, 10, 20, 30)),
    )
    if plan.broken_rules(drawn.limits):
        raise RefusedError("draw", "the colleague's plan would break a rule by accident.", "Draw again.")
    values |= plan.values()
    wrong = AGREE if dice.below(3) == 0 else dice.pick(sorted(PLANTED))
    if wrong != AGREE:
        values = _spoilt(values, wrong)
    lines = "; ".join(f"{say(said)} {ALIQUOT_PLAN.kinds[name].show(values[name])}" for name, said in _LINES.items())
    return replace(drawn, words={**drawn.words, "colleague": lines, "wrong": wrong})


def _spoilt(values: dict[str, Quantity], wrong: str) -> dict[str, Quantity]:
    """Make one mistake and let the lines after it follow, so that no other line is wrong by itself."""
    mistaken = MISTAKES[PLANTED[wrong]].evaluate(values)
    if mistaken == values[wrong] or mistaken.magnitude <= 1:
        raise RefusedError("draw", "this error would not show.", "Draw again.")
    values, follows = {**values, wrong: mistaken}, False
    for asked in ALIQUOT_PLAN.amounts:
        if follows and not asked.choice:
            values[asked.name] = asked.formula.evaluate(values)
        follows = follows or asked.name == wrong
    return values


def _why(task: Task) -> str:
    wrong, plan = task.drawn.words["wrong"], task.drawn.words["colleague"]
    if wrong == AGREE:
        return say(
            "The colleague's plan keeps every rule and holds {drug_wanted}: {plan}",
            drug_wanted=task.shown("drug_wanted"),
            plan=plan,
        )
    mistake = MISTAKES[PLANTED[wrong]]
    return say(
        "The colleague's plan was: {plan}. {name}. {lesson}",
        plan=plan,
        name=mistake.name,
        lesson=mistake.lesson.rstrip("."),
    )


def _shown_later(task: Task) -> str:
    return say(
        "A colleague planned the same order:\n{colleague}\n"
        "Check it line by line against the rules, not against your own choices. Then answer the second check: "
        '"{agree}", or the label of the first wrong line.',
        colleague=task.drawn.words["colleague"].replace("; ", NEW_LINE),
        agree=say(AGREE),
    )


register(
    replace(
        ALIQUOT_PLAN,
        id="second-check",
        title="Work it, then check a colleague's plan",
        subject="second check",
        text=ALIQUOT_PLAN.text
        + (
            "\n\nLeave the line for the second check empty at first. When your own plan stands, you will see a "
            "colleague's plan for the same order: agree, or name its first wrong line."
        ),
        draw=_draw,
        asked=(
            *ALIQUOT_PLAN.asked,
            Decision(
                "second_check",
                "second check",
                (
                    Option(
                        AGREE,
                        AGREE,
                        "One line of the colleague's plan is wrong, and you would have signed for it.",
                        critical=True,
                        aliases=("right", "ok", "i agree", "all right"),
                    ),
                    *(
                        Option(name, said, "That line is right, or it only follows from an earlier one.")
                        for name, said in _LINES.items()
                    ),
                ),
                lambda task, values: (task.drawn.words["wrong"],),
                _why,
                marks=3,
                aliases=("check", "verdict", "first wrong line"),
            ),
        ),
        shown_later=_shown_later,
        level=3,
    )
)
