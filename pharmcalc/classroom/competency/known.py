"""What the marking knows by itself, as entries: calculations, and what was practised at the simulated bench.

It is worked out from the attempts and the marked hand-ins each time, and never copied into the list. A calculation is
neither observed nor simulated; a simulated entry says what was practised and carries no level.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from pharmcalc.bench import DONE, OUTCOME, STEPS
from pharmcalc.bench.inspection import NOT_REACHED
from pharmcalc.classroom.cells import cells_by_id
from pharmcalc.classroom.competency.entries import MARKED as CALCULATED
from pharmcalc.classroom.competency.entries import SIMULATED, Competency, Entry
from pharmcalc.classroom.competency.observations import MARKING
from pharmcalc.classroom.course import MARKED, Course
from pharmcalc.classroom.handed_in.records import bench_tasks
from pharmcalc.classroom.issuing.issue import issued_assignments
from pharmcalc.classroom.issuing.release import issued_notebook
from pharmcalc.classroom.marking.finished import is_marked, read_marked
from pharmcalc.classroom.marking.marker import record_of
from pharmcalc.classroom.results.attempts import read_attempts
from pharmcalc.classroom.roster import Roster
from pharmcalc.marking import Status
from pharmcalc.tasks.bench_orders import NOT_NEEDED
from pharmcalc.tasks.papers import Issue

__all__ = ["CLEARED", "NOT_CLEARED", "PRACTISED", "STEPS_OF", "known_by_marking"]

CLEARED, NOT_CLEARED, PRACTISED = "cleared", "not cleared", "practised, no level"
STEPS_OF: Mapping[Competency, tuple[str, ...]] = {
    Competency.SET_UP: ("balance", "level", "warm_up", "zero", "vessel", "tare"),
    Competency.DIRECT: (OUTCOME, "product", "label", "amount", "reading", "excess", "closing"),
    Competency.RECORD: ("record",),
    Competency.RECEIVED: ("second_check",),
}
"""Which steps of the bench's routine practise what. Every order of the bench is a direct weighing."""
_NOT_REACHED = next(fault.said for step in STEPS for fault in step.faults if fault.id == NOT_REACHED)
_LABELS = {step.name: step.label for step in STEPS}


def known_by_marking(course: Course, roster: Roster) -> tuple[list[Entry], list[str]]:
    """Return the entries of the whole term, and in words what could not be read."""
    entries: list[Entry] = []
    trouble: list[str] = []
    for assignment in issued_assignments(course):
        _, issue = issued_notebook(course.release(assignment))
        entries += _calculations(course, assignment, issue)
        for student in roster if bench_tasks(issue) else ():
            if not is_marked(course, assignment, student.number):
                continue
            try:
                entries += _practised(course, assignment, student.number)
            except (OSError, ValueError, KeyError, TypeError):
                trouble.append(
                    f"{student.number}: the marked hand-in of {assignment} cannot be read. "
                    f"Mark it again: pharmcalc mark {assignment} --again"
                )
    return entries, trouble


def _calculations(course: Course, assignment: str, issue: Issue) -> Iterator[Entry]:
    """Yield an entry for each attempt. Where nothing is asked but the simulated bench, nothing is a calculation."""
    at_the_bench = bench_tasks(issue)
    if len(at_the_bench) == len(issue.tasks):
        return
    for number, attempts in read_attempts(course, assignment).items():
        for one in attempts:
            cleared = one.cleared == "yes"
            note = f"{assignment}: {one.marks:g} of {one.out_of:g} marks"
            if at_the_bench and not cleared:
                note += f"; its tasks at the simulated bench ({', '.join(at_the_bench)}) may hold this back"
            level = CLEARED if cleared else NOT_CLEARED
            yield Entry(
                0,
                one.when[:10],
                number,
                Competency.CALCULATION,
                one.attempt,
                CALCULATED,
                level,
                MARKING,
                note,
                assignment=assignment,
            )


def _practised(course: Course, assignment: str, number: str) -> Iterator[Entry]:
    """Yield what a marked hand-in says was practised at the simulated bench."""
    nb = read_marked(course, assignment, number)
    finished = course.autograded(assignment, number).parent / MARKED
    day = str(json.loads(finished.read_text(encoding="utf-8"))["when"])[:10]
    for cell in cells_by_id(nb).values():
        record = record_of(cell)
        if not (record and record.get("simulated")):
            continue
        found = {verdict["answer"]: verdict for verdict in record["verdicts"]}
        for competency, steps in STEPS_OF.items():
            said = _said({_LABELS[step]: found[_LABELS[step]] for step in steps})
            if said:
                note = f"{assignment} {record['task']}: {said}"
                attempt = int(record["attempt"])
                yield Entry(
                    0, day, number, competency, attempt, SIMULATED, PRACTISED, MARKING, note, assignment=assignment
                )


def _said(verdicts: Mapping[str, Any]) -> str:
    """Say how many steps were done well and what was amiss; nothing where none of them was done."""
    if not any(_well_done(one) and one["typed"] == DONE for one in verdicts.values()):
        return ""
    amiss = {label: str(one["typed"]) for label, one in verdicts.items() if not _well_done(one)}
    left = [label for label, typed in amiss.items() if typed == _NOT_REACHED]
    wrong = [f"{label} ({typed})" for label, typed in amiss.items() if typed != _NOT_REACHED]
    said = f"{len(verdicts) - len(amiss)} of {len(verdicts)} steps done well"
    said += f"; not: {', '.join(wrong)}" if wrong else ""
    return said + (f"; {_NOT_REACHED}: {', '.join(left)}" if left else "")


def _well_done(verdict: Any) -> bool:
    return bool(verdict["status"] == Status.RIGHT.value and verdict["typed"] not in ("", NOT_NEEDED.said))
