"""The instructor's desk, marking: mark what is new, write pages and sheets."""

from __future__ import annotations

from time import perf_counter

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.desk.door import Door
from pharmcalc.classroom.desk.members import the_class
from pharmcalc.classroom.marking.feedback_run import feedback_due, write_feedback
from pharmcalc.classroom.marking.finished import is_marked
from pharmcalc.classroom.marking.outcomes import Run
from pharmcalc.classroom.marking.run import mark_class, settle_penalties
from pharmcalc.classroom.results.picture import ABSENT, MARKED, Picture, take_picture
from pharmcalc.classroom.results.report import UPLOAD, headline, write_all


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


def _tell(picture: Picture, run: Run, seconds: float, door: Door) -> None:
    handed = sum(row.state != ABSENT for row in picture.rows)
    marked = len(picture.having(MARKED))
    before = f" ({run.count('unchanged')} from before)" if run.count("unchanged") else ""
    what = f"{picture.title} · {handed} handed in of {len(picture.rows)}"
    door.say(f"{what} · marked {marked}/{handed}{before} in {seconds:.1f} s")
    for line in headline(picture):
        door.say(f"  {line}")
