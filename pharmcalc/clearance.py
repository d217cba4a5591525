"""Clearance: may this student go to the balance with these numbers? Kept apart from the marks.

A plan is cleared when, recomputed from what will really be weighed, it delivers the amount wanted within the allowed
error and breaks no rule. Safety rules always use the true least weighable quantity. *Critical* means: at least double
or at most half of what is wanted, a tenfold or unit slip in anything weighed, measured or labelled, or another basis.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from pharmcalc.formula import Mistake, Values
from pharmcalc.kinds import PERCENT
from pharmcalc.language import capital, later, say
from pharmcalc.tasks.asked import Option
from pharmcalc.tasks.family import Task
from pharmcalc.units import Quantity, quotient, rounded_text

__all__ = ["Clearance", "Obstacles", "clearance"]

LEAST_TOLD = Fraction(1, 1000)
"""Nobody reads 0.0000111 times: below this it is said in words."""
DOUBLE, HALF = Fraction(1995, 1000), Fraction(5025, 10_000)
"""From here on an amount is written as 2 times, or as half: a doubled dose that was rounded is doubled all the same.

Doubled and halved as the bounds of a critical mistake are common classroom practice, without a published source.
"""

_NOT_SAFE, _NOT_RIGHT = later('{label}: "{said}" is not safe here.'), later('{label}: "{said}" is not right here.')


@dataclass(frozen=True)
class Clearance:
    """Whether a task is cleared for the bench, whether a critical mistake stands in the way, and the reasons."""

    cleared: bool
    critical: bool
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Obstacles:
    """What stands in the way of clearance whatever the numbers make, each by the label of its answer.

    ``slipped``: tenfold or unit slips. ``other_basis``: strengths on another basis (w/w, w/v, v/v) than was asked for.
    ``mistakes``: those that were recognised. ``undecided``: decisions not made. ``decided``: decisions that are wrong
    on the true numbers, with what was chosen.
    """

    slipped: Sequence[str] = ()
    other_basis: Sequence[str] = ()
    undecided: Sequence[str] = ()
    decided: Sequence[tuple[str, Option]] = ()
    mistakes: Sequence[tuple[str, Mistake]] = ()


def clearance(task: Task, said: Values, obstacles: Obstacles) -> Clearance:
    """Decide on clearance.

    said: the student's own values, as they would be weighed.
    """
    slipped, other_basis = obstacles.slipped, obstacles.other_basis
    missing = [asked.said for asked in task.amounts if asked.name not in said and asked.said not in other_basis]
    missing += obstacles.undecided
    reasons = [say("Not answered, or not readable: {missing}.", missing=", ".join(missing))] if missing else []
    critical = bool(slipped or other_basis)
    if slipped:
        reasons.append(say("A tenfold or unit slip is critical: {slipped}.", slipped=", ".join(slipped)))
    if other_basis:
        reasons.append(
            say(
                "A strength on another basis (w/w, w/v, v/v) is critical: {other_basis}.",
                other_basis=", ".join(other_basis),
            )
        )
    for label, chosen in obstacles.decided:
        if task.family.recorded:
            found = "{label}: {found}, a critical mistake." if chosen.critical else "{label}: {found}."
            reasons.append(say(found, label=capital(label), found=chosen.said))
        else:
            reasons.append(
                say(
                    '{label}: "{said}" is not safe here.'
                    if chosen.critical
                    else '{label}: "{said}" is not right here.',
                    label=capital(label),
                    said=chosen.said,
                )
            )
        critical = critical or chosen.critical
    for label, mistake in obstacles.mistakes:
        if mistake.id in task.house.critical_mistakes:
            reasons.append(
                say(
                    "{label}: {found}, a critical mistake.",
                    label=capital(label),
                    found=mistake.name[:1].lower() + mistake.name[1:],
                )
            )
            critical = True
    judge = _plan_reasons if task.family.made is not None else _value_reasons
    for reason, is_critical in judge(task, said):
        reasons.append(reason)
        critical = critical or is_critical
    return Clearance(not reasons, critical, tuple(reasons))


def _plan_reasons(task: Task, said: Values) -> list[tuple[str, bool]]:
    """Recompute the student's own plan: what is really weighed decides, and the true least weighable quantity."""
    made, limits = task.family.made(task, said) if task.family.made else None, task.limits
    if made is None or limits is None:
        return []
    reasons = [
        (rule.says_here(limits), False)
        for rule in task.family.judged_by
        if rule.id not in ("wrong-amount", "multiple-not-whole") and rule.broken_by(made.values, limits)
    ]
    for what, amount, wanted in made.amounts:
        reasons += _against(task, what, amount, wanted)
    return reasons


def _value_reasons(task: Task, said: Values) -> list[tuple[str, bool]]:
    reasons = []
    for asked in task.amounts:
        if asked.name in said and not asked.estimate:
            reasons += _against(
                task,
                say("The {said} is", said=asked.said),
                said[asked.name],
                task.values[asked.name],
                say("what it should be"),
            )
    return reasons


def _against(task: Task, what: str, value: Quantity, wanted: Quantity, than: str = "") -> list[tuple[str, bool]]:
    times = quotient(value, wanted)
    allowed = task.house.allowed_error.to_base_units().magnitude
    if abs(times - 1) <= allowed:
        return []
    text = say("{times} times", times=rounded_text(times)) if times >= LEAST_TOLD else say("less than a thousandth of")
    compared = f"{what} {text} {than or say('what is wanted')}"
    if times >= DOUBLE or times <= HALF:
        return [(say("{compared}: a critical mistake.", compared=compared), True)]
    allowed_error = PERCENT.show(task.house.allowed_error)
    outside = say(
        "{compared}, outside the allowed error of {allowed_error}.", compared=compared, allowed_error=allowed_error
    )
    return [(outside, False)]
