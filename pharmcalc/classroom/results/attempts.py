"""Attempts: what each marking of a hand-in came to, and which of a student's attempts counts.

A line is added each time a hand-in is marked and nothing is ever overwritten; of several lines of one attempt the
newest holds. Which attempt counts, and how much a later one may earn, are house rules.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, fields, replace
from datetime import datetime
from typing import Any

from pharmcalc.answers import read_student_cell
from pharmcalc.classroom.cells import STUDENT, Json, cells_by_id, source_of
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.lists import add_row, read_as
from pharmcalc.classroom.marking.marker import issued_attempt, record_of
from pharmcalc.tasks.house import HouseRules
from pharmcalc.tasks.papers import Issue

__all__ = ["Attempt", "add_attempt", "attempt_of", "counted", "in_order_marked", "read_attempts", "take_attempts_back"]

LIST = "attempts.csv"
#: Stands in the place of "cleared" where the hand-in was taken back: the attempt counts no longer.
TAKEN_BACK = "taken back"


@dataclass(frozen=True)
class Attempt:
    """One marking of one attempt: the marks of the tasks, without what is marked by hand."""

    when: str
    assignment: str
    number: str
    attempt: int
    marks: float
    out_of: float
    cleared: str

    def says(self) -> str:
        """Say it in words."""
        cleared = "cleared" if self.cleared == "yes" else "not cleared"
        return f"attempt {self.attempt}: {self.marks:g} of {self.out_of:g}, {cleared}"


def attempt_of(nb: Mapping[str, Any], issue: Issue, release: Mapping[str, Any]) -> int:
    """Return the attempt that a hand-in is marked on.

    It is the one that was issued; only where the assignment lets students go on with fresh numbers by themselves (its
    mode is practice or clearance) the one that is typed counts, from the one issued on.
    """
    issued = issued_attempt(release)
    if not issue.goes_on:
        return issued
    cell = cells_by_id(nb).get(STUDENT)
    typed = read_student_cell(source_of(cell))[1] if cell else None
    return max(issued, typed or issued)


def add_attempt(course: Course, assignment: str, number: str, marked: Json) -> None:
    """Write down what a marked hand-in came to."""
    records = [record for cell in cells_by_id(marked).values() if (record := record_of(cell)) and "out_of" in record]
    if not records:
        return
    made = Attempt(
        f"{datetime.now():%Y-%m-%d %H:%M:%S}",
        assignment,
        number,
        int(records[0].get("attempt", 1)),
        sum(float(record["points"]) for record in records),
        sum(float(record["out_of"]) for record in records),
        "yes" if all(record["cleared"] for record in records) else "no",
    )
    add_row(course.root / LIST, asdict(made))


def read_attempts(course: Course, assignment: str) -> dict[str, list[Attempt]]:
    """Return for each student the attempts that were marked and not taken back, in their order."""
    found: dict[str, dict[int, Attempt]] = {}
    for one in _lines(course):
        if one.assignment == assignment:
            found.setdefault(one.number, {})[one.attempt] = one
    held = {
        number: [attempts[one] for one in sorted(attempts) if attempts[one].cleared != TAKEN_BACK]
        for number, attempts in found.items()
    }
    return {number: attempts for number, attempts in held.items() if attempts}


def take_attempts_back(course: Course, assignment: str, number: str) -> None:
    """Write down that a student's attempts count no longer."""
    now = f"{datetime.now():%Y-%m-%d %H:%M:%S}"
    for one in read_attempts(course, assignment).get(number, []):
        add_row(course.root / LIST, asdict(replace(one, when=now, cleared=TAKEN_BACK)))


def in_order_marked(course: Course) -> list[str]:
    """Return the assignments of which something was marked, in the order in which their marking began."""
    return list(dict.fromkeys(one.assignment for one in _lines(course)))


def counted(attempts: Iterable[Attempt], house: HouseRules) -> Attempt | None:
    """Return the attempt that counts under the house rules, with the marks that it counts for; None without any."""
    most = float(house.later_attempts_at_most.to_base_units().magnitude)
    worth = [one if one.attempt == 1 else replace(one, marks=min(one.marks, one.out_of * most)) for one in attempts]
    if not worth:
        return None
    if house.attempt_that_counts == "best":
        return max(worth, key=lambda one: (one.marks, -one.attempt))
    return worth[-1]


def _lines(course: Course) -> Iterator[Attempt]:
    return read_as(course.root / LIST, _read, *(field.name for field in fields(Attempt)))


def _read(row: dict[str, str]) -> Attempt:
    if row["cleared"] not in ("yes", "no", TAKEN_BACK):
        raise ValueError(row["cleared"])
    return Attempt(
        row["when"],
        row["assignment"],
        row["number"],
        int(row["attempt"]),
        float(row["marks"]),
        float(row["out_of"]),
        row["cleared"],
    )
