"""The instructor's desk, the term: the class over all assignments, what was observed, the competency record."""

from __future__ import annotations

from typing import Any

from pharmcalc.classroom import competency
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.desk.door import Door
from pharmcalc.classroom.desk.members import the_class, the_student
from pharmcalc.classroom.issuing.issue import issued_assignments
from pharmcalc.classroom.term.gather import take_term
from pharmcalc.classroom.term.lookings import frequent_mistakes
from pharmcalc.classroom.term.term_page import write_term


def term(course: Course, door: Door) -> None:
    """Write the class picture over the term: one page of all assignments that were issued, and the data as sheets."""
    roster = the_class(course)
    with door.counting("Reading", len(issued_assignments(course)) * len(roster)) as watch:
        gathered = take_term(course, roster, watch)
    with door.waiting("Drawing ..."):
        written, *sheets = write_term(course, gathered)
    many = len(gathered.pictures)
    door.say(f"{len(roster)} students · {many} assignment{'' if many == 1 else 's'} marked")
    for picture in gathered.waiting:
        door.say(f"  {picture.assignment}: issued, nothing marked yet")
    for assignment, reason in gathered.left_out.items():
        door.say(f"  {assignment} is left out: {reason}")
    again = [one for one in frequent_mistakes(gathered) if one.again]
    for one in sorted(again, key=lambda one: -len(one.again))[:3]:
        door.say(f"  Made in more than one assignment by {len(one.again)}: {one.name}")
    door.say("The class over the term: ", written)
    for sheet in sheets:
        door.say("  the same as a sheet: ", sheet)


def observe(course: Course, numbers: str, what: str, level: str, door: Door, **details: Any) -> None:
    """Write down what an assessor observed of one student or several; ``details`` as in ``competency.observe``."""
    noted = competency.observe(course, the_class(course), numbers.split(","), what, level, **details)
    door.say(noted.says())


def record(course: Course, door: Door, *, number: str = "") -> None:
    """Write the competency record of the term: a page for each student, one of the class; or tell one student's."""
    term = competency.term_record(course, the_class(course))
    if number:
        for line in competency.student_lines(term.of(the_student(course, number))):
            door.say(line)
        return
    with door.waiting("Writing the competency record ..."):
        page, sheet = competency.write_record(course, term)
    for line in term.trouble:
        door.say(line)
    hold = "1 observed entry holds" if term.observed == 1 else f"{term.observed} observed entries hold"
    door.say(f"{len(term.students)} students · {hold}")
    door.say("The class: ", page, "   The same as a sheet: ", sheet)
    door.say("A page for each student: ", page.parent / "students")
