"""The instructor's desk, taking in: a parcel of hand-ins, and one that was laid to the wrong student."""

from __future__ import annotations

from pathlib import Path

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.desk.door import Door
from pharmcalc.classroom.desk.members import the_class, the_student
from pharmcalc.classroom.handed_in.takein import take_in
from pharmcalc.classroom.marking.taking_back import take_back
from pharmcalc.classroom.results.report import first_reasons


def take_in_parcel(course: Course, assignment: str, source: Path, door: Door) -> None:
    """Take in a folder or a zip of hand-ins."""
    roster = the_class(course, assignment)
    with course.only_run():
        result = take_in(course, assignment, source, roster)
    parts = [f"{len(result.taken)} taken in"]
    parts += [f"{len(result.unchanged)} were there already"] if result.unchanged else []
    parts += [f"{len(result.refused)} set aside"] if result.refused else []
    parts += [f"{result.other_files} other files left alone"] if result.other_files else []
    door.say(" · ".join(parts))
    for line in first_reasons(result.refused, 10):
        door.say(f"  {line}")
    for entry, other in result.shared:
        door.say(f"  {entry.file}: {entry.number} and {other} handed in the very same file")
        door.say(f"    If it is not {other}'s: pharmcalc take-back {assignment} {other}")
    door.say("Kept as they came: ", course.received(assignment))
    door.say(f"Next: pharmcalc mark {assignment}")


def take_back_handin(course: Course, assignment: str, number: str, by: str, door: Door) -> None:
    """Take a hand-in back from a student, because it is somebody else's."""
    student = the_student(course, number, assignment)
    with course.only_run():
        kept = take_back(course, assignment, student, by=by)
    door.say(f"Taken back from {student.number}, with its marks, feedback page and attempts")
    door.say("Kept in: ", kept)
    door.say("Next: put the right student's number into the file's name, take it in, and mark:")
    door.say(f"  pharmcalc take-in {assignment} FILE")
    door.say(f"  pharmcalc mark {assignment}")
