"""The instructor's desk, handing out: issue an assignment, set deadlines, make a resit."""

from __future__ import annotations

from datetime import datetime

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.desk.door import Door
from pharmcalc.classroom.desk.members import the_class, the_student
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.handed_in.which import count_anew
from pharmcalc.classroom.issuing.deadlines import deadline_lines, read_deadlines, read_moment, set_deadline
from pharmcalc.classroom.issuing.issue import issue_assignment, issued_assignments
from pharmcalc.classroom.issuing.resit import make_resit
from pharmcalc.classroom.marking.ledger import extensions
from pharmcalc.classroom.roster import Roster

#: Typed in the place of a deadline, it means that there is none.
NONE = "none"


def issue(course: Course, assignment: str, door: Door, *, again: bool = False) -> None:
    """Issue an assignment."""
    roster = the_class(course, assignment)
    with door.waiting(f"Issuing {assignment} ..."), course.only_run():
        made = issue_assignment(course, assignment, roster, again=again)
    state = "issued before, unchanged" if made.unchanged else "issued"
    door.say(f"{made.issue.title} · {state} · {len(made.issue.tasks)} tasks · {made.marks} marks")
    for line in made.alike.says():
        door.say(f"  {line}")
    door.say("For everybody: ", made.release)
    door.say(f"One for each student ({made.copies}), number filled in: ", course.issued(assignment))


def due(course: Course, assignment: str, until: str, door: Door, *, number: str = "") -> None:
    """Set a deadline, for everybody or for one student; ``until`` as typed, or "none". An empty text only tells it."""
    roster = the_class(course, assignment)
    course.require(assignment)
    if until.strip():
        number = the_student(course, number, assignment).number if number else ""
        moment = None if until.strip().casefold() == NONE else read_moment(until)
        with course.only_run():
            others = _set(course, assignment, moment, roster, number)
        if others:
            door.say(f"By this deadline another hand-in counts of: {', '.join(others)}")
    for line in deadline_lines(read_deadlines(course, assignment), roster):
        door.say(f"{assignment}: {line}")
    if until.strip() and course.handed_in(assignment):
        door.say(f"Hand-ins are there already. Next, for penalties: pharmcalc mark {assignment}")


def _set(course: Course, assignment: str, moment: datetime | None, roster: Roster, number: str) -> list[str]:
    """Write a deadline down, here and in the gradebook; return the students of whom another hand-in counts now."""
    set_deadline(course, assignment, moment, roster, number)
    others = count_anew(course, assignment, roster)
    if assignment in issued_assignments(course):
        course.backup(f"due-{assignment}")
        with gradebook(course) as book:
            extensions(book.find_assignment(assignment), read_deadlines(course, assignment), roster)
            book.db.commit()
    return others


def resit(course: Course, assignment: str, numbers: str, door: Door) -> None:
    """Make and issue a resit for some students, typed with commas between them."""
    name = make_resit(course, assignment, numbers.split(","), the_class(course))
    sitting = ", ".join(student.number for student in the_class(course, name))
    door.say(f"{name}: {assignment} once more with fresh numbers, for {sitting}")
    issue(course, name, door)
    door.say(f"From here on it is an assignment like any other: pharmcalc take-in {name} ..., pharmcalc mark {name}")
