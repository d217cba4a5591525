"""Clearance: may this student go to the balance with these numbers? Kept apart from the marks.

A plan is cleared when, recomputed from what will really be weighed, it delivers the amount wanted within the allowed
error and breaks no rule. Safety rules always use the true least weighable quantity. *Critical* means: at least double
or at most half of what is wanted, a tenfold or unit slip in anything weighed, measured or labelled, or another basis.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from pharmcalc.formula import Values
from pharmcalc.kinds import PERCENT
from pharmcalc.tasks.family import Task
from pharmcalc.units import Quantity, rounded_text

__all__ = ["Clearance", "clearance"]

DOUBLE, HALF = Fraction(2), Fraction(1, 2)


@dataclass(frozen=True)
class Clearance:
    """Whether a task is cleared for the bench, whether a critical mistake stands in the way, and the reasons."""

    cleared: bool
    critical: bool
    reasons: tuple[str, ...]


def clearance(task: Task, said: Values, slipped: Sequence[str], other_basis: Sequence[str] = ()) -> Clearance:
    """Decide on clearance.

    said: the student's own values, as they would be weighed. slipped: labels of answers with a tenfold or unit slip.
    other_basis: labels of strengths given on another basis (w/w, w/v, v/v) than was asked for.
    """
    missing = [asked.said for asked in task.asked if asked.name not in said and asked.said not in other_basis]
    reasons = [f"Not answered, or not readable: {', '.join(missing)}."] if missing else []
    critical = bool(slipped or other_basis)
    if slipped:
        reasons.append(f"A tenfold or unit slip is critical: {', '.join(slipped)}.")
    if other_basis:
        reasons.append(f"A strength on another basis (w/w, w/v, v/v) is critical: {', '.join(other_basis)}.")
    judge = _plan_reasons if task.limits is not None else _value_reasons
    for reason, is_critical in judge(task, said):
        reasons.append(reason)
        critical = critical or is_critical
    return Clearance(not reasons, critical, tuple(reasons))


def _plan_reasons(task: Task, said: Values) -> list[tuple[str, bool]]:
    """Recompute the student's own plan: what is really weighed decides, and the true least weighable quantity."""
    assert task.limits is not None
    values = dict(said)
    if not {"drug_weighed", "aliquot", "diluent"} <= values.keys():
        return []
    values["total_mixture"] = values["drug_weighed"] + values["diluent"]
    values["drug_wanted"] = task.values["drug_wanted"]
    values["multiple_factor"] = (values["total_mixture"] / values["aliquot"]).to_base_units()
    reasons = [
        (rule.says_here(task.limits), False)
        for rule in task.family.judged_by
        if rule.id not in ("wrong-amount", "multiple-not-whole") and rule.broken_by(values, task.limits)
    ]
    held = values["drug_weighed"] * values["aliquot"] / values["total_mixture"]
    reasons += _against(task, "The aliquot would hold", held, values["drug_wanted"])
    if "diluent_to_finish" in said:
        made = values["aliquot"] + said["diluent_to_finish"]
        reasons += _against(task, "The whole preparation would weigh", made, task.values["final_quantity"])
    return reasons


def _value_reasons(task: Task, said: Values) -> list[tuple[str, bool]]:
    reasons = []
    for asked in task.asked:
        if asked.name in said:
            reasons += _against(
                task, f"The {asked.said} is", said[asked.name], task.values[asked.name], "what it should be"
            )
    return reasons


def _against(
    task: Task, what: str, value: Quantity, wanted: Quantity, than: str = "what is wanted"
) -> list[tuple[str, bool]]:
    times = (value / wanted).to_base_units().magnitude
    allowed = task.house.allowed_error.to_base_units().magnitude
    if abs(times - 1) <= allowed:
        return []
    text = rounded_text(times)
    critical = times >= DOUBLE or times <= HALF
    limit = f"outside the allowed error of {PERCENT.show(task.house.allowed_error)}"
    return [
        (
            f"{what} {text} times {than}{': a critical mistake' if critical else f', {limit}'}.",
            critical,
        )
    ]
