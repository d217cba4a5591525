"""The instructor's key: for each student the answers, the full working and its proof, and what else is right."""

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction

from markupsafe import Markup

from pharmcalc.aliquots import Limits, Rule
from pharmcalc.language import using
from pharmcalc.marking import SHARE
from pharmcalc.sheets.papers import Person, sheets_for
from pharmcalc.sheets.printing import one_line, printed
from pharmcalc.sheets.weighings import weighings
from pharmcalc.tasks.family import Task
from pharmcalc.tasks.papers import Issue

__all__ = ["HALF_MARKS", "instructor_key", "ranges_of", "rules_in_force", "working_of"]

HALF_MARKS = tuple(status.value for status, share in SHARE.items() if share == Fraction(1, 2))
"""For what an answer earns half its marks."""

_IN_FORCE: Mapping[str, Callable[[Limits], bool]] = {
    "diluent-below-lwq": lambda limits: limits.diluent_checked,
    "multiple-not-whole": lambda limits: limits.whole_multiple,
    "aliquot-above-preparation": lambda limits: limits.final_quantity is not None,
    "finish-below-lwq": lambda limits: limits.final_quantity is not None,
    "mixed-too-far": lambda limits: limits.largest_ratio is not None,
}
"""The rules that a house or a task can switch off, and when they are on."""


def instructor_key(issue: Issue, roster: Iterable[Person], *, attempt: int = 1, large_print: bool = False) -> str:
    """Return one HTML page with the key to every student's sheet, each beginning on a new printed page.

    Arguments as in :func:`pharmcalc.sheets.student_sheets`.
    """
    with using(issue.house.habits):
        return printed(
            "key",
            title=one_line(issue.title),
            sheets=sheets_for(issue, roster, attempt),
            rules=issue.house.summary(),
            large_print=large_print,
            half_marks=HALF_MARKS,
            rules_in_force=rules_in_force,
            ranges=ranges_of,
            working=working_of,
        )


def rules_in_force(task: Task) -> list[str]:
    """Return the rules that any plan for this task must keep, each with its limit; none where no plan is asked for."""
    limits = task.limits
    if limits is None:
        return []
    return [rule.says_here(limits) for rule in task.family.judged_by if _in_force(rule, limits)]


def ranges_of(task: Task) -> dict[str, str]:
    """Return the allowed range of each weighing of the worked solution."""
    return {weighing.asked.name: weighing.range.says() for weighing in weighings(task)}


def working_of(task: Task) -> Markup:
    """Return the whole working of a task, as markup."""
    return Markup(task.working().html())


def _in_force(rule: Rule, limits: Limits) -> bool:
    switch = _IN_FORCE.get(rule.id)
    return switch is None or switch(limits)
