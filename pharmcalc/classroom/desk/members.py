"""Whom a command is about: the class, or those of it who were asked."""

from __future__ import annotations

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.issuing.resit import asked
from pharmcalc.classroom.roster import Roster, read_roster
from pharmcalc.errors import CourseError


def the_class(course: Course, assignment: str = "") -> Roster:
    """Return the course's class list; with an assignment, those who are asked to hand it in."""
    if not course.class_list.is_file():
        raise CourseError(f"{course.class_list}: there is no class list yet. Give it with: pharmcalc class FILE.csv")
    roster = read_roster(course.class_list)
    return asked(course, assignment, roster) if assignment else roster
