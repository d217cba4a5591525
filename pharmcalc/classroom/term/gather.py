"""The results of every issued assignment, read once each, as one term."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.issuing.issue import issued_assignments
from pharmcalc.classroom.marking.outcomes import Outcome
from pharmcalc.classroom.results.attempts import in_order_marked
from pharmcalc.classroom.results.picture import ABSENT, MARKED, NOT_ASKED, Picture, Row, picture_from
from pharmcalc.classroom.roster import Roster, Student
from pharmcalc.errors import CourseError

__all__ = ["Term", "share_of", "take_term"]


@dataclass(frozen=True)
class Term:
    """The class over the term.

    ``pictures`` are the assignments of which something is marked, in the order in which their marking began;
    ``waiting`` those that were issued and of which nothing is marked yet; ``left_out`` says why others are not here.
    """

    students: tuple[Student, ...]
    pictures: tuple[Picture, ...]
    waiting: tuple[Picture, ...] = ()
    left_out: dict[str, str] = field(default_factory=dict)

    @cached_property
    def by_student(self) -> dict[str, tuple[tuple[Picture, Row], ...]]:
        """For each student's number the rows in the assignments, in their order."""
        return {
            student.number: tuple((picture, picture.rows[place]) for picture in self.pictures)
            for place, student in enumerate(self.students)
        }


def take_term(course: Course, roster: Roster, watch: Callable[[Outcome], None] = lambda _: None) -> Term:
    """Gather all assignments that were issued. The gradebook is opened once; ``watch`` is called after each student.

    An assignment that cannot be read is left out with its reason and stops nothing.
    """
    begun, issued = in_order_marked(course), issued_assignments(course)
    order = sorted(issued, key=lambda name: (begun.index(name) if name in begun else len(begun), name))
    pictures, left_out = [], {}
    if order and not course.gradebook.is_file():
        raise CourseError(f"{course.gradebook}: there is no gradebook. Issue an assignment: pharmcalc issue {order[0]}")
    if order:
        with gradebook(course) as book:
            for name in order:
                try:
                    pictures.append(picture_from(book, course, name, roster, watch))
                except CourseError as trouble:
                    left_out[name] = str(trouble)
    marked = tuple(picture for picture in pictures if picture.having(MARKED))
    waiting = tuple(picture for picture in pictures if not picture.having(MARKED))
    return Term(tuple(roster), marked, waiting, left_out)


def share_of(picture: Picture, row: Row) -> float | None:
    """Return a student's share of the marks in an assignment; None where nothing is marked.

    What awaits a mark by hand is left out of both sides; a penalty for handing in late is taken off.
    """
    out_of = sum(part.out_of for part in picture.parts if part.name not in row.to_mark)
    if row.state != MARKED or not out_of:
        return None
    waits = sum(row.scores.get(name, 0.0) for name in row.to_mark)
    return (row.total - waits) / out_of


def handed_in(picture: Picture) -> int:
    """Return how many students handed in."""
    return sum(row.state not in (ABSENT, NOT_ASKED) for row in picture.rows)
