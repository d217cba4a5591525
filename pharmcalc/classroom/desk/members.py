"""Whom a command is about: the class, those of it who were asked, one student."""

from __future__ import annotations

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.issuing.resit import asked
from pharmcalc.classroom.roster import Roster, Student, read_roster
from pharmcalc.errors import CourseError


def the_class(course: Course, assignment: str = "") -> Roster:
    """Return the course's class list; with an assignment, those who are asked to hand it in."""
    if not course.class_list.is_file():
        raise CourseError(f"{course.class_list}: there is no class list yet. Give it with: pharmcalc class FILE.csv")
    roster = read_roster(course.class_list)
    return asked(course, assignment, roster) if assignment else roster


def the_student(course: Course, number: str, assignment: str = "") -> Student:
    """Return a student of the class; with an assignment, one of those who are asked to hand it in."""
    student = the_class(course, assignment).find(number)
    if student:
        return student
    if assignment and (other := the_class(course).find(number)):
        raise CourseError(
            f"{other.number} does not sit {assignment}. Add a student: pharmcalc resit ASSIGNMENT NUMBERS"
        )
    raise CourseError(f"{number[:40]} is not on the class list. Give a student's number, such as A-07.")
