"""The instructor's desk, a second look: scripts side by side, a mark changed by hand."""

from __future__ import annotations

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.desk.door import Door
from pharmcalc.classroom.desk.members import the_class, the_student
from pharmcalc.classroom.marking.run import settle_penalties
from pharmcalc.classroom.results.overrides import change_mark, changes_in_force
from pharmcalc.classroom.results.picture import take_picture
from pharmcalc.classroom.results.scripts_page import write_scripts
from pharmcalc.errors import CourseError

#: Typed in the place of marks, it means those of the marking.
BACK = "back"


def scripts(course: Course, assignment: str, door: Door) -> None:
    """Lay ten marked scripts side by side with the working, so that the marker can be checked."""
    roster = the_class(course, assignment)
    course.require(assignment)
    with door.waiting("Choosing scripts ..."):
        path, sample = write_scripts(course, take_picture(course, assignment, roster))
    door.say(f"{len(sample.chosen)} scripts, chosen for:")
    for one in sample.chosen:
        door.say(f"  {one.number}: {'; '.join(one.reasons)}")
    door.say("Side by side: ", path)


def change(
    course: Course, assignment: str, number: str, task: str, marks: str, reason: str, by: str, door: Door
) -> None:
    """Change a mark by hand, with its reason; ``marks`` as typed: a number, or "back" for the marking's own."""
    given = _marks(marks)
    student = the_student(course, number, assignment)
    wanted = (task, "" if given is None else f"{given:g}", " ".join(reason.split()), " ".join(by.split()))
    standing = changes_in_force(course, assignment).get(student.number, [])
    if wanted in [(one.task, one.marks, one.reason, one.by) for one in standing]:
        door.say(f"{student.number} {task}: {wanted[1]} marks for this reason stand already. Nothing was changed.")
        return
    with course.only_run():
        made = change_mark(course, assignment, student.number, task, given, reason=reason, by=by)
        settle_penalties(course, assignment)
    what = f"{made.marks} marks, not {made.before}" if made.marks else "the marks of the marking again"
    door.say(f"{student.number} {task}: {what} ({made.by}: {made.reason})")
    door.say(f"Next, for pages and sheets: pharmcalc report {assignment}")


def _marks(text: str) -> float | None:
    if text.strip() == BACK:
        return None
    try:
        return float(text)
    except ValueError:
        raise CourseError(f'"{text[:40]}" is no mark. Write a number such as 1.5, or {BACK}.') from None
