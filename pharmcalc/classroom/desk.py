"""The instructor's desk: each thing an instructor does, done and told in a few lines.

The command line (``pharmcalc/__main__.py``) only reads what was typed and calls these.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from time import perf_counter

from rich.console import Console
from rich.markup import escape
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

import pharmcalc
from pharmcalc.classroom.course import CONFIG, Course
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.issue import issue_assignment, issued_assignments, refresh_exercises, write_copies
from pharmcalc.classroom.marker import issued_attempt
from pharmcalc.classroom.overrides import change_mark
from pharmcalc.classroom.picture import ABSENT, MARKED, Picture, take_picture
from pharmcalc.classroom.release import HOUSE_RULES, issued_notebook
from pharmcalc.classroom.report import first_reasons, headline, write_all
from pharmcalc.classroom.roster import COLUMNS, Roster, read_roster, write_roster
from pharmcalc.classroom.run import Outcome, Run, feedback_due, is_marked, mark_class, write_feedback
from pharmcalc.classroom.takein import take_in
from pharmcalc.errors import CourseError
from pharmcalc.sheets import instructor_key, sign_off_list, student_sheets
from pharmcalc.tasks.house import default_house_rules_text

_CONFIG_TEXT = '''\
"""nbgrader's settings for this course. Your own lines may stand below."""

from pharmcalc.classroom.config import configure

c = get_config()  # noqa: F821  (nbgrader defines it)
configure(c)
'''


def start(folder: Path, console: Console, *, solutions: Path | None = None) -> Course:
    """Lay out a course folder with the project's assignments; nothing that is there is overwritten."""
    source = solutions or Path(pharmcalc.__file__).resolve().parents[1] / "solutions"
    if not source.is_dir():
        raise CourseError(
            f"The assignments are not beside the library ({source}). Start from a clone of the project, "
            "or copy its folder solutions/ into your course folder yourself."
        )
    root = folder.resolve()
    if root.is_file():
        raise CourseError(f"{folder} is a file. Give the name of a folder.")
    files = {CONFIG: _CONFIG_TEXT, HOUSE_RULES: default_house_rules_text(), "class.csv": ",".join(COLUMNS) + "\n"}
    for name, text in files.items():
        _unless_there(root / name, text)
    for notebook in sorted(source.glob("*/*.ipynb")):
        _unless_there(root / "solutions" / notebook.parent.name / notebook.name, notebook.read_text(encoding="utf-8"))
    course = Course.open(root)
    console.print(f"Course folder: {_shown(root)}")
    console.print(f"Assignments: {', '.join(course.assignments())}")
    console.print(
        f"Next: edit {HOUSE_RULES} if your laboratory's rules differ, go to the folder, fill in class.csv, then:"
    )
    console.print("  pharmcalc class class.csv", highlight=False)
    return course


def class_list(course: Course, path: Path, console: Console) -> Roster:
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
    console.print(f"{len(roster)} students · {len(new)} new")
    if gone:
        console.print(f"No longer on the list, kept in the gradebook: {', '.join(gone)}")
    for assignment in issued_assignments(course):
        write_copies(course, assignment, roster)
        console.print(f"{assignment}: every student has a copy in {_shown(course.issued(assignment))}")
    return roster


def the_class(course: Course) -> Roster:
    """Return the course's class list."""
    if not course.class_list.is_file():
        raise CourseError(f"{course.class_list}: there is no class list yet. Give it with: pharmcalc class FILE.csv")
    return read_roster(course.class_list)


def issue(course: Course, assignment: str, console: Console, *, again: bool = False) -> None:
    """Issue an assignment."""
    roster = the_class(course)
    with console.status(f"Issuing {assignment} ..."):
        made = issue_assignment(course, assignment, roster, again=again)
    state = "issued before, unchanged" if made.unchanged else "issued"
    console.print(f"{made.issue.title} · {state} · {len(made.issue.tasks)} tasks · {made.marks} marks")
    for line in made.alike.says():
        console.print(f"  {line}", highlight=False)
    console.print(f"For everybody: {_shown(made.release)}")
    console.print(f"One for each student ({made.copies}), number filled in: {_shown(course.issued(assignment))}")


def exercises(course: Course, console: Console) -> None:
    """Make ``exercises/`` anew; for whoever writes assignments."""
    changed = refresh_exercises(course)
    console.print(f"Made anew: {', '.join(changed)}" if changed else "exercises/ is up to date")


def take_in_parcel(course: Course, assignment: str, source: Path, console: Console) -> None:
    """Take in a folder or a zip of hand-ins."""
    result = take_in(course, assignment, source, the_class(course))
    parts = [f"{len(result.taken)} taken in"]
    parts += [f"{len(result.unchanged)} were there already"] if result.unchanged else []
    parts += [f"{len(result.refused)} set aside"] if result.refused else []
    parts += [f"{result.other_files} other files left alone"] if result.other_files else []
    console.print(" · ".join(parts))
    for line in first_reasons(result.refused, 10):
        console.print(f"  {escape(line)}", highlight=False)
    console.print(f"Kept as they came: {_shown(course.received(assignment))}")
    console.print(f"Next: pharmcalc mark {assignment}", highlight=False)


def mark(course: Course, assignment: str, console: Console, *, again: bool = False) -> None:
    """Mark what is new, write feedback pages, mark sheet and report, and tell the class in a few lines."""
    roster = the_class(course)
    course.require(assignment)
    handed = len(course.handed_in(assignment))
    begun = perf_counter()
    with _progress(console, "Marking", handed) as watch:
        run = mark_class(course, assignment, roster, again=again, watch=watch)
    seconds = perf_counter() - begun
    due = feedback_due(course, assignment, roster)
    with _progress(console, "Feedback pages", len(due)) as watch:
        write_feedback(course, assignment, due, watch=watch)
    picture = take_picture(course, assignment, roster)
    report_path, sheet = write_all(course, picture)
    _tell(picture, run, seconds, console)
    console.print(f"Report: {_shown(report_path)}   Mark sheet: {_shown(sheet)}")
    console.print(f"Feedback for each student: {_shown(course.root / 'feedback')}")
    if run.backup:
        console.print(f"Undo: the gradebook before this run is kept as {_shown(run.backup)}; copy it over gradebook.db")


def report(course: Course, assignment: str, console: Console) -> None:
    """Write feedback pages, mark sheet and report anew, with marks and comments given by hand since."""
    roster = the_class(course)
    course.require(assignment)
    marked = [s.number for s in roster if is_marked(course, assignment, s.number)]
    with _progress(console, "Feedback pages", len(marked)) as watch:
        run = write_feedback(course, assignment, marked, watch=watch)
    picture = take_picture(course, assignment, roster)
    report_path, sheet = write_all(course, picture)
    for line in headline(picture):
        console.print(escape(line), highlight=False)
    console.print(f"Feedback pages written: {run.count('written')}")
    console.print(f"Report: {_shown(report_path)}   Mark sheet: {_shown(sheet)}")


def change(
    course: Course, assignment: str, number: str, task: str, marks: float | None, reason: str, by: str, console: Console
) -> None:
    """Change a mark by hand, with its reason."""
    student = the_class(course).find(number)
    if student is None:
        raise CourseError(f"{number[:40]} is not on the class list. Give a student's number, such as A-07.")
    made = change_mark(course, assignment, student.number, task, marks, reason=reason, by=by)
    what = f"{made.marks} marks, not {made.before}" if made.marks else "the marks of the marking again"
    console.print(escape(f"{student.number} {task}: {what} ({made.by}: {made.reason})"), highlight=False)
    console.print(f"Next, for pages and sheets: pharmcalc report {assignment}", highlight=False)


def sheets(course: Course, assignment: str, console: Console) -> None:
    """Write the pages to print: each student's own sheet, the instructor's key, the sign-off list."""
    roster = the_class(course)
    course.require(assignment)
    release, issued = issued_notebook(course.release(assignment))
    attempt = issued_attempt(release)
    rows = take_picture(course, assignment, roster).rows if course.gradebook.is_file() else ()
    cleared = {row.student.number: row.all_cleared for row in rows if row.state == MARKED}
    large = [student for student in roster if student.large_print]
    others = [student for student in roster if not student.large_print]
    pages = {
        "sheets.html": ("students' sheets", student_sheets(issued, others or large, attempt=attempt)),
        "key.html": ("key", instructor_key(issued, roster, attempt=attempt)),
        "sign-off.html": ("sign-off list", sign_off_list(issued, roster, cleared or None, attempt=attempt)),
    }
    if large:
        text = student_sheets(issued, large, attempt=attempt, large_print=True)
        pages["sheets-large.html"] = (f"large print, for {', '.join(student.number for student in large)}", text)
    folder = course.reports(assignment)
    folder.mkdir(parents=True, exist_ok=True)
    console.print(f"{len(roster)} students · open in a browser and print:")
    for name, (what, text) in pages.items():
        (folder / name).write_text(text, encoding="utf-8")
        console.print(f"  {what}: {_shown(folder / name)}", highlight=False)


def _tell(picture: Picture, run: Run, seconds: float, console: Console) -> None:
    handed = sum(row.state != ABSENT for row in picture.rows)
    marked = len(picture.having(MARKED))
    before = f" ({run.count('unchanged')} from before)" if run.count("unchanged") else ""
    what = f"{picture.title} · {handed} handed in of {len(picture.rows)}"
    console.print(escape(f"{what} · marked {marked}/{handed}{before} in {seconds:.1f} s"), highlight=False)
    for line in headline(picture):
        console.print(f"  {escape(line)}", highlight=False)


@contextmanager
def _progress(console: Console, what: str, total: int) -> Iterator[Callable[[Outcome], None]]:
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task(what, total=total)
        yield lambda outcome: bar.advance(task)


def _unless_there(path: Path, text: str) -> None:
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


def _shown(path: Path) -> str:
    """Return a path as short as it can be said from where the instructor is."""
    try:
        return escape(str(path.relative_to(Path.cwd())) or ".")
    except ValueError:
        return escape(str(path))
