"""Students' sheets: each student's own tasks with room for the answers, and the weighing record for the real bench."""

from collections.abc import Iterable

from pharmcalc.bench import file_name
from pharmcalc.language import using
from pharmcalc.sheets.papers import Person, sheets_for
from pharmcalc.sheets.printing import one_line, printed
from pharmcalc.sheets.record import AFTER, BEFORE, GROUPS, record_of
from pharmcalc.tasks.papers import Issue

__all__ = ["student_sheets"]

LONGEST_FOOT = 700
"""Up to this many characters the house rules fit into the foot of every page."""


def student_sheets(issue: Issue, roster: Iterable[Person], *, attempt: int = 1, large_print: bool = False) -> str:
    """Return one HTML page with a sheet for every student, each beginning on a new printed page.

    issue: the assignment as issued. roster: the class list. attempt: which attempt the papers are for. large_print:
    letters of 16 points and more room.
    """
    with using(issue.house.habits):
        return _printed(issue, roster, attempt, large_print=large_print)


def _printed(issue: Issue, roster: Iterable[Person], attempt: int, *, large_print: bool) -> str:
    rules = issue.house.summary()
    length = sum(len(what) + len(value) for what, value in rules)
    return printed(
        "students",
        title=one_line(issue.title),
        sheets=sheets_for(issue, roster, attempt),
        rules=rules,
        rules_in_foot=length <= LONGEST_FOOT and not large_print,
        large_print=large_print,
        record_of=record_of,
        file_name=file_name,
        before=BEFORE,
        groups=GROUPS,
        after=AFTER,
        columns=2 if large_print else 4,
    )
