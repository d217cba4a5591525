"""Marks changed by hand, each with its reason: kept in one list, held by the gradebook, and safe from regrading.

nbgrader's gradebook carries the mark as a mark given by hand, and the reason as the instructor's comment, so that its
own pages show both. The list says who changed what, when and why; nothing in it is ever overwritten.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass, fields
from datetime import datetime
from typing import Any

from pharmcalc.classroom.cells import part_name
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.lists import add_row, read_as
from pharmcalc.errors import CourseError
from pharmcalc.tasks.papers import answer_id, mark_id

__all__ = ["Change", "change_mark", "changes_in_force", "read_changes", "withdraw_changes"]

LIST = "overrides.csv"
LONGEST_REASON = 300


@dataclass(frozen=True)
class Change:
    """One line of the list. ``marks`` is empty where the change was withdrawn; ``before`` is the mark until then."""

    when: str
    assignment: str
    number: str
    task: str
    before: str
    marks: str
    reason: str
    by: str

    def says(self) -> str:
        """Say the change in words."""
        return f"{self.task} changed by hand from {self.before} to {self.marks} ({self.by}): {self.reason}"


def change_mark(
    course: Course, assignment: str, number: str, task: str, marks: float | None, *, reason: str, by: str
) -> Change:
    """Give a task the marks that a person decides on, or with ``marks=None`` those of the marking again.

    number: of a student whose hand-in is marked. task: as on the paper, for example ``q3``. reason: what the student
    reads. by: who decided. Raises CourseError naming what is wrong.
    """
    reason, by = " ".join(reason.split()), " ".join(by.split())
    if not reason or len(reason) > LONGEST_REASON:
        raise CourseError(f"A changed mark needs a reason of 1 to {LONGEST_REASON} letters; the student reads it.")
    if not by:
        raise CourseError("A changed mark needs a name or initials: who decided?")
    course.require(assignment)
    changes_in_force(course, assignment)  # a list that cannot be read is told before the mark is changed
    course.backup(f"change-{assignment}")
    with gradebook(course) as book:
        grade, comment = _found(book, assignment, number, task)
        most, before = float(grade.max_score), _plain(grade.score)
        if marks is not None and not 0 <= marks <= most:
            raise CourseError(f"{_plain(marks)} marks for {task}: give 0 to {_plain(most)}.")
        grade.manual_score = marks
        grade.needs_manual_grade = marks is None and grade.auto_score is None  # a written answer waits for a person
        if comment is not None:
            comment.manual_comment = None if marks is None else reason
        book.db.commit()
    now = f"{datetime.now():%Y-%m-%d %H:%M:%S}"
    change = Change(now, assignment, number, task, before, "" if marks is None else _plain(marks), reason, by)
    add_row(course.root / LIST, asdict(change))
    return change


def read_changes(course: Course) -> Iterator[Change]:
    """Return every change ever made, the oldest first."""
    names = [field.name for field in fields(Change)]

    def change(row: dict[str, str]) -> Change:
        if not row["by"] or (row["marks"] and float(row["marks"]) < 0):
            raise ValueError(row)
        return Change(**{name: row[name] for name in names})

    return read_as(course.root / LIST, change, *names)


def changes_in_force(course: Course, assignment: str) -> dict[str, list[Change]]:
    """Return for each student the changes that hold now."""
    last = {(one.number, one.task): one for one in read_changes(course) if one.assignment == assignment}
    held: dict[str, list[Change]] = {}
    for change in last.values():
        if change.marks:
            held.setdefault(change.number, []).append(change)
    return held


def withdraw_changes(course: Course, assignment: str, number: str, reason: str, by: str) -> None:
    """Write down that no change of a student's marks holds any longer; the gradebook is left alone."""
    now = f"{datetime.now():%Y-%m-%d %H:%M:%S}"
    for held in changes_in_force(course, assignment).get(number, []):
        withdrawn = Change(now, assignment, number, held.task, held.marks, "", reason, by)
        add_row(course.root / LIST, asdict(withdrawn))


def _found(book: Any, assignment: str, number: str, task: str) -> tuple[Any, Any]:
    """Return a grade and the comment beside it."""
    from nbgrader.api import MissingEntry

    try:
        submission = book.find_submission_notebook(assignment, assignment, number)
    except MissingEntry:
        raise CourseError(f"{number} has no marked hand-in for {assignment}. Mark it first.") from None
    grades = {part_name(grade.name): grade for grade in submission.grades}
    if task not in grades:
        raise CourseError(f'there is no task "{task[:40]}" in {assignment}. There are: {", ".join(sorted(grades))}.')
    name = grades[task].name
    beside = answer_id(task) if name == mark_id(task) else name
    return grades[task], next((one for one in submission.comments if one.name == beside), None)


def _plain(number: float) -> str:
    return f"{number:g}"
