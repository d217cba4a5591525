"""The sign-off list: who was seen doing what at a real balance, signed by an assessor."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from pharmcalc.sheets.papers import Person, sheets_for
from pharmcalc.sheets.printing import one_line, printed
from pharmcalc.tasks.family import family_called
from pharmcalc.tasks.papers import Issue

__all__ = ["sign_off_list"]

STEPS = ("set-up and tare", "weighing", "record", "second check given", "second check received")
"""What an assessor watches."""


def sign_off_list(
    issue: Issue,
    roster: Iterable[Person],
    marks: Mapping[str, bool | None] | None = None,
    *,
    attempt: int = 1,
    large_print: bool = False,
) -> str:
    """Return one HTML page with the sign-off table of the class.

    marks: for each student number whether the calculation is cleared (None: not marked yet); without marks there is a
    box to tick. Other arguments as in :func:`pharmcalc.sheets.student_sheets`. Only a weighing watched at a real
    balance is signed here; a simulated one never counts.
    """
    roster = list(roster)
    without_tasks = replace(issue, tasks=())  # a paper's code is known before its numbers are drawn
    return printed(
        "sign-off",
        title=one_line(issue.title),
        attempt=attempt,
        rows=[
            (sheet, None if marks is None else _cleared(marks.get(person.number)))
            for sheet, person in zip(sheets_for(without_tasks, roster, attempt), roster, strict=True)
        ],
        steps=STEPS,
        simulated=[task for task, family in issue.tasks if family_called(family).recorded],
        large_print=large_print,
    )


def _cleared(cleared: bool | None) -> str:
    return "not marked" if cleared is None else "yes" if cleared else "not yet"
