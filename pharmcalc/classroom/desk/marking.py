"""The instructor's desk, marking: take hand-ins in, mark them, report, look at scripts, change a mark."""

from __future__ import annotations

from pathlib import Path
from time import perf_counter

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.desk.door import Door
from pharmcalc.classroom.desk.members import the_class, the_student
from pharmcalc.classroom.handed_in.takein import take_in
from pharmcalc.classroom.marking.feedback_run import feedback_due, write_feedback
from pharmcalc.classroom.marking.finished import is_marked
from pharmcalc.classroom.marking.outcomes import Run
from pharmcalc.classroom.marking.run import mark_class, settle_penalties
from pharmcalc.classroom.marking.taking_back import take_back
from pharmcalc.classroom.results.overrides import change_mark, changes_in_force
from pharmcalc.classroom.results.picture import ABSENT, MARKED, Picture, take_picture
from pharmcalc.classroom.results.report import UPLOAD, first_reasons, headline, write_all
from pharmcalc.classroom.results.scripts_page import write_scripts
from pharmcalc.errors import CourseError

#: Typed in the place of marks, it means those of the marking.
BACK = "back"


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
        kept = take_back(course, assignment, student.number, by=by)
    door.say(f"Taken back from {student.number}, with its marks, feedback page and attempts")
    door.say("Kept in: ", kept)
    door.say("Next: put the right student's number into the file's name, take it in, and mark:")
    door.say(f"  pharmcalc take-in {assignment} FILE")
    door.say(f"  pharmcalc mark {assignment}")


def mark(course: Course, assignment: str, door: Door, *, again: bool = False) -> None:
    """Mark what is new, write feedback pages, mark sheet and report, and tell the class in a few lines."""
    roster = the_class(course, assignment)
    course.require(assignment)
    handed = len(course.handed_in(assignment))
    begun = perf_counter()
    with door.counting("Marking", handed) as watch:
        run = mark_class(course, assignment, roster, again=again, watch=watch)
    seconds = perf_counter() - begun
    due = feedback_due(course, assignment, roster)
    with door.counting("Feedback pages", len(due)) as watch:
        pages = write_feedback(course, assignment, due, watch=watch)
    picture = take_picture(course, assignment, roster)
    report_path, sheet = write_all(course, picture)
    _tell(picture, run, seconds, door)
    seen = {reason for row in picture.rows for reason in row.needs_eyes}
    for failed in (one for one in (*run.outcomes, *pages.outcomes) if one.state == "failed" and one.reason not in seen):
        door.say(f"    {failed.number}: {failed.reason}")
    door.say("Report: ", report_path, "   Mark sheet: ", sheet)
    door.say("For the learning platform: ", sheet.with_name(UPLOAD))
    door.say("Feedback for each student: ", course.root / "feedback")
    if run.backup:
        door.say("Undo: the gradebook before this run is kept as ", run.backup, "; copy it over gradebook.db")


def report(course: Course, assignment: str, door: Door) -> None:
    """Write feedback pages, mark sheet and report anew, with marks and comments given by hand since."""
    roster = the_class(course, assignment)
    course.require(assignment)
    marked = [s.number for s in roster if is_marked(course, assignment, s.number)]
    with course.only_run():
        settle_penalties(course, assignment)
    with door.counting("Feedback pages", len(marked)) as watch:
        run = write_feedback(course, assignment, marked, watch=watch)
    picture = take_picture(course, assignment, roster)
    report_path, sheet = write_all(course, picture)
    for line in headline(picture):
        door.say(line)
    door.say(f"Feedback pages written: {run.count('written')}")
    door.say("Report: ", report_path, "   Mark sheet: ", sheet)
    door.say("For the learning platform: ", sheet.with_name(UPLOAD))


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


def _tell(picture: Picture, run: Run, seconds: float, door: Door) -> None:
    handed = sum(row.state != ABSENT for row in picture.rows)
    marked = len(picture.having(MARKED))
    before = f" ({run.count('unchanged')} from before)" if run.count("unchanged") else ""
    what = f"{picture.title} · {handed} handed in of {len(picture.rows)}"
    door.say(f"{what} · marked {marked}/{handed}{before} in {seconds:.1f} s")
    for line in headline(picture):
        door.say(f"  {line}")


def _marks(text: str) -> float | None:
    if text.strip() == BACK:
        return None
    try:
        return float(text)
    except ValueError:
        raise CourseError(f'"{text[:40]}" is no mark. Write a number such as 1.5, or {BACK}.') from None
