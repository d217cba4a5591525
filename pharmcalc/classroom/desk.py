"""The instructor's desk: each thing an instructor does, done and told in a few lines.

The command line (``pharmcalc/__main__.py``) and the notebook (``desk_view``) only take what was typed or clicked, call
these, and show what is told through their door.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from time import perf_counter
from typing import Any

from pharmcalc.classroom import competency
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.course_files import DESK, LESSONS, course_files
from pharmcalc.classroom.desk_door import Door
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.handed_in.takein import take_in
from pharmcalc.classroom.handed_in.which import count_anew
from pharmcalc.classroom.issuing.deadlines import deadline_lines, read_deadlines, read_moment, set_deadline
from pharmcalc.classroom.issuing.issue import issue_assignment, issued_assignments, refresh_exercises, write_copies
from pharmcalc.classroom.issuing.release import HOUSE_RULES
from pharmcalc.classroom.issuing.resit import asked, make_resit
from pharmcalc.classroom.marking.feedback_run import feedback_due, write_feedback
from pharmcalc.classroom.marking.finished import is_marked
from pharmcalc.classroom.marking.ledger import extensions
from pharmcalc.classroom.marking.outcomes import Run
from pharmcalc.classroom.marking.run import mark_class, settle_penalties
from pharmcalc.classroom.results.overrides import change_mark, changes_in_force
from pharmcalc.classroom.results.picture import ABSENT, MARKED, Picture, take_picture
from pharmcalc.classroom.results.report import UPLOAD, first_reasons, headline, write_all
from pharmcalc.classroom.results.scripts_page import write_scripts
from pharmcalc.classroom.roster import COLUMNS, Roster, read_roster, write_roster
from pharmcalc.classroom.term.gather import take_term
from pharmcalc.classroom.term.lookings import frequent_mistakes
from pharmcalc.classroom.term.term_page import write_term
from pharmcalc.classroom.upgrade import lay_out, upgrade_course
from pharmcalc.errors import CourseError

NOTEBOOK = DESK
#: Typed in the place of marks, it means those of the marking.
BACK = "back"
#: Typed in the place of a deadline, it means that there is none.
NONE = "none"


def start(folder: Path, door: Door, *, solutions: Path | None = None) -> Course:
    """Lay out a course folder with lessons, assignments and a desk; nothing that is there is overwritten.

    A new folder is shut to other users of the machine: it will hold marks.
    """
    laid = course_files(solutions)
    root = folder.resolve()
    if root.is_file():
        raise CourseError(f"{folder} is a file. Give the name of a folder.")
    root.parent.mkdir(parents=True, exist_ok=True)
    root.mkdir(mode=0o700, exist_ok=True)
    _unless_there(root / "class.csv", ",".join(COLUMNS) + "\n")
    lay_out(root, laid)
    course = Course.open(root)
    door.say("Course folder: ", root)
    door.say(f"Assignments: {', '.join(course.assignments())}")
    door.say("Lessons for your students, to hand on as a whole: ", root / LESSONS)
    door.say(f"Next: edit {HOUSE_RULES} if your laboratory's rules differ, go to the folder, fill in class.csv, then:")
    door.say("  pharmcalc class class.csv")
    door.say("Or click instead of typing: open in JupyterLab ", root / NOTEBOOK)
    return course


def upgrade(course: Course, door: Door) -> None:
    """Bring the files of the course up to the pharmcalc that is installed; what the instructor wrote stays."""
    for line in upgrade_course(course, course_files()).says():
        door.say(*line)


def class_list(course: Course, path: Path, door: Door) -> Roster:
    """Take the class list over into the course and the gradebook; nobody is ever removed from the gradebook."""
    roster = read_roster(path)
    if path.resolve() != course.class_list:
        if course.class_list.is_file():
            backups = course.root / "backups"
            backups.mkdir(exist_ok=True)
            shutil.copyfile(course.class_list, backups / "class-before.csv")
        write_roster(roster, course.class_list)
    course.backup("class")
    with gradebook(course) as book:
        known = {student.id for student in book.students}
        for s in roster:
            book.update_or_create_student(s.number, first_name=s.given_name, last_name=s.surname, email=s.email or None)
    new = [s.number for s in roster if s.number not in known]
    gone = sorted(known - {s.number for s in roster})
    door.say(f"{len(roster)} students · {len(new)} new")
    if gone:
        door.say(f"No longer on the list, kept in the gradebook: {', '.join(gone)}")
    for assignment in issued_assignments(course):
        write_copies(course, assignment, asked(course, assignment, roster))
        door.say(f"{assignment}: every student has a copy in ", course.issued(assignment))
    return roster


def the_class(course: Course, assignment: str = "") -> Roster:
    """Return the course's class list; with an assignment, those who are asked to hand it in."""
    if not course.class_list.is_file():
        raise CourseError(f"{course.class_list}: there is no class list yet. Give it with: pharmcalc class FILE.csv")
    roster = read_roster(course.class_list)
    return asked(course, assignment, roster) if assignment else roster


def issue(course: Course, assignment: str, door: Door, *, again: bool = False) -> None:
    """Issue an assignment."""
    roster = the_class(course, assignment)
    with door.waiting(f"Issuing {assignment} ..."):
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
        moment = None if until.strip().casefold() == NONE else read_moment(until)
        set_deadline(course, assignment, moment, roster, number)
        others = count_anew(course, assignment, roster)
        if others:
            door.say(f"By this deadline another hand-in counts of: {', '.join(others)}")
        if assignment in issued_assignments(course):
            course.backup(f"due-{assignment}")
            with gradebook(course) as book:
                extensions(book.find_assignment(assignment), read_deadlines(course, assignment), roster)
                book.db.commit()
    for line in deadline_lines(read_deadlines(course, assignment), roster):
        door.say(f"{assignment}: {line}")
    if until.strip() and course.handed_in(assignment):
        door.say(f"Hand-ins are there already. Next, for penalties: pharmcalc mark {assignment}")


def resit(course: Course, assignment: str, numbers: str, door: Door) -> None:
    """Make and issue a resit for some students, typed with commas between them."""
    name = make_resit(course, assignment, numbers.split(","), the_class(course))
    sitting = ", ".join(student.number for student in the_class(course, name))
    door.say(f"{name}: {assignment} once more with fresh numbers, for {sitting}")
    issue(course, name, door)
    door.say(f"From here on it is an assignment like any other: pharmcalc take-in {name} ..., pharmcalc mark {name}")


def exercises(course: Course, door: Door) -> None:
    """Make ``exercises/`` anew; for whoever writes assignments."""
    changed = refresh_exercises(course)
    door.say(f"Made anew: {', '.join(changed)}" if changed else "exercises/ is up to date")


def take_in_parcel(course: Course, assignment: str, source: Path, door: Door) -> None:
    """Take in a folder or a zip of hand-ins."""
    result = take_in(course, assignment, source, the_class(course, assignment))
    parts = [f"{len(result.taken)} taken in"]
    parts += [f"{len(result.unchanged)} were there already"] if result.unchanged else []
    parts += [f"{len(result.refused)} set aside"] if result.refused else []
    parts += [f"{result.other_files} other files left alone"] if result.other_files else []
    door.say(" · ".join(parts))
    for line in first_reasons(result.refused, 10):
        door.say(f"  {line}")
    door.say("Kept as they came: ", course.received(assignment))
    door.say(f"Next: pharmcalc mark {assignment}")


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


def change(
    course: Course, assignment: str, number: str, task: str, marks: str, reason: str, by: str, door: Door
) -> None:
    """Change a mark by hand, with its reason; ``marks`` as typed: a number, or "back" for the marking's own."""
    given = _marks(marks)
    student = the_class(course, assignment).find(number)
    if student is None:
        raise CourseError(f"{number[:40]} is not on the class list. Give a student's number, such as A-07.")
    wanted = (task, "" if given is None else f"{given:g}", " ".join(reason.split()), " ".join(by.split()))
    standing = changes_in_force(course, assignment).get(student.number, [])
    if wanted in [(one.task, one.marks, one.reason, one.by) for one in standing]:
        door.say(f"{student.number} {task}: {wanted[1]} marks for this reason stand already. Nothing was changed.")
        return
    made = change_mark(course, assignment, student.number, task, given, reason=reason, by=by)
    settle_penalties(course, assignment)
    what = f"{made.marks} marks, not {made.before}" if made.marks else "the marks of the marking again"
    door.say(f"{student.number} {task}: {what} ({made.by}: {made.reason})")
    door.say(f"Next, for pages and sheets: pharmcalc report {assignment}")


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


def observe(course: Course, numbers: str, what: str, level: str, door: Door, **details: Any) -> None:
    """Write down what an assessor observed of one student or several; ``details`` as in ``competency.observe``."""
    noted = competency.observe(course, the_class(course), numbers.split(","), what, level, **details)
    door.say(noted.says())


def record(course: Course, door: Door, *, number: str = "") -> None:
    """Write the competency record of the term: a page for each student, one of the class; or tell one student's."""
    term = competency.term_record(course, the_class(course))
    if number:
        found = term.find(number)
        if found is None:
            raise CourseError(f"{number[:40]} is not on the class list. Give a student's number, such as A-07.")
        for line in competency.student_lines(found):
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


def _unless_there(path: Path, text: str) -> None:
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
