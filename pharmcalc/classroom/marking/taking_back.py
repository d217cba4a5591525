"""Take a hand-in back from a student, because it turned out to be somebody else's.

The files are kept in ``received/``, the lists keep every line; what counted for the student counts no longer, here and
in nbgrader's gradebook.
"""

from __future__ import annotations

import shutil
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.handed_in.which import no_longer_theirs
from pharmcalc.classroom.marking.finished import forget
from pharmcalc.classroom.results.attempts import take_attempts_back
from pharmcalc.classroom.results.overrides import withdraw_changes
from pharmcalc.classroom.roster import Student
from pharmcalc.errors import CourseError

__all__ = ["take_back"]


def take_back(course: Course, assignment: str, student: Student, *, by: str) -> Path:
    """Take what a student handed in back, with its marks, feedback page, attempts and changed marks.

    Parameters
    ----------
    course, assignment, student
        Where, of which, and whose it was thought to be.
    by
        Who decided.

    Returns
    -------
    Path
        The folder in which the files are kept. Whoever is stopped on the way runs it again.

    Raises
    ------
    CourseError
        Nothing of this student was handed in, or nobody decided.
    """
    from nbgrader.api import MissingEntry

    number, by = student.number, " ".join(by.split())
    if not by:
        raise CourseError("A hand-in is taken back by somebody: give a name or initials.")
    laid = course.submitted(assignment, number).parent
    if not laid.is_dir() or laid.is_symlink():
        raise CourseError(f"{number} has handed in nothing for {assignment}, so there is nothing to take back.")
    course.backup(f"take-back-{assignment}")
    no_longer_theirs(course, assignment, student, f"taken back from {number} ({by})")
    with gradebook(course) as book, suppress(MissingEntry):  # it was never marked
        book.remove_submission(assignment, number)
    take_attempts_back(course, assignment, number)
    withdraw_changes(course, assignment, number, f"the hand-in was taken back from {number}", by)
    forget(course, assignment, number)
    shutil.rmtree(course.autograded(assignment, number).parent, ignore_errors=True)
    kept = course.received(assignment) / f"taken-back-{datetime.now():%Y%m%d-%H%M%S-%f}" / number
    kept.parent.mkdir(parents=True)
    laid.rename(kept)
    return kept
