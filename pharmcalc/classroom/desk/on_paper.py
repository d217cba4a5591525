"""The instructor's desk, paper: print it for a class, find a paper again, type in what students wrote on it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.desk.door import Door
from pharmcalc.classroom.desk.members import the_class
from pharmcalc.classroom.issuing.release import issued_notebook
from pharmcalc.classroom.marking.marker import issued_attempt
from pharmcalc.classroom.marking.outcomes import Outcome
from pharmcalc.classroom.paper.finding import FoundPaper, find_paper
from pharmcalc.classroom.paper.press import KEYS, SHEETS, Press, print_class
from pharmcalc.classroom.paper.typed import Reader
from pharmcalc.classroom.paper.typing_in import Session, name_of, read_lines, shown, take_typed
from pharmcalc.classroom.results.picture import MARKED, take_picture
from pharmcalc.classroom.roster import Roster, Student, text_of
from pharmcalc.errors import CourseError
from pharmcalc.language import using
from pharmcalc.sheets import instructor_key, sign_off_list, student_sheets
from pharmcalc.sheets.layout import A4, LETTER
from pharmcalc.sheets.pdf import missing, page_of, pdf_of, sign_off_style

__all__ = ["KEYS", "SHEETS", "SIGN_OFF", "lines_of", "paper", "sheets", "type_in", "typed", "typing"]

SIGN_OFF = "sign-off.pdf"


def sheets(
    course: Course, assignment: str, door: Door, *, pdf: bool = False, letter: bool = False, large: bool = False
) -> None:
    """Write the pages to print: each student's own sheet, the instructor's key, the sign-off list.

    pdf: as PDF besides the pages for a browser, on A4, or on Letter paper. large: large print for everybody; without
    it, for those whose line of the class list says so.
    """
    roster = the_class(course, assignment)
    course.require(assignment)
    release, issued = issued_notebook(course.release(assignment))
    attempt = issued_attempt(release)
    cleared = _cleared(course, assignment, roster)
    in_large = [student for student in roster if student.large_print or large]
    others = [student for student in roster if student not in in_large]
    sign_off = sign_off_list(issued, roster, cleared or None, attempt=attempt, large_print=large)
    pages = {
        "sheets.html": (
            "students' sheets",
            student_sheets(issued, others or in_large, attempt=attempt, large_print=not others),
        ),
        "key.html": ("key", instructor_key(issued, roster, attempt=attempt, large_print=large)),
        "sign-off.html": ("sign-off list", sign_off),
    }
    if in_large and others:
        text = student_sheets(issued, in_large, attempt=attempt, large_print=True)
        pages["sheets-large.html"] = (f"large print, for {', '.join(student.number for student in in_large)}", text)
    folder = course.reports(assignment)
    folder.mkdir(parents=True, exist_ok=True)
    door.say(f"{len(roster)} students · open in a browser and print:")
    for name, (what, text) in pages.items():
        (folder / name).write_text(text, encoding="utf-8")
        door.say(f"  {what}: ", folder / name)
    if pdf:
        press = Press(course.release(assignment), attempt, LETTER if letter else A4, large)
        _print(course, press, roster.students, sign_off, door)


def _print(course: Course, press: Press, students: Sequence[Student], sign_off: str, door: Door) -> None:
    if why := missing():
        raise CourseError(why)
    folder = course.reports(press.issue.assignment)
    with door.counting("Laying out", len(students)) as watch:
        made = print_class(press, students, lambda student: watch(Outcome(student.number, "printed")))
    made[SIGN_OFF] = pdf_of(sign_off, sign_off_style(press.paper))
    large = "" if press.large else ", ".join(student.number for student in students if student.large_print)
    door.say(f"As PDF, on {'Letter' if press.paper == LETTER else 'A4'} paper, to print as they are:")
    for name, what in (
        (
            SHEETS,
            f"students, each from a fresh page, with weighing records{f' (large print: {large})' if large else ''}",
        ),
        (KEYS, "keys with full working, found by paper code"),
        (SIGN_OFF, "sign-off list"),
    ):
        (folder / name).write_bytes(made[name])
        door.say(f"  {what}: ", folder / name)


def paper(course: Course, code: str, door: Door, *, working: bool = False) -> None:
    """Find a paper by its code: tell whose it is, show its key, and say on which page of the keys it stands."""
    found = find_paper(course, code)
    with using(found.issue.house.habits):
        _tell(course, found, door, working=working)


def _tell(course: Course, found: FoundPaper, door: Door, *, working: bool) -> None:
    student = the_class(course).find(found.number)
    name = student.name if student else "no longer on the class list"
    door.begin(f"{found.code}: {found.number} {name} · {found.issue.title} · attempt {found.attempt}")
    for task in found.paper().tasks:
        door.say(f"{task.id}: {task.family.title} ({task.out_of} marks)")
        for asked in task.asked:
            door.say(f"  {asked.said} = {task.typed(asked)}  ({asked.marks})")
        for line in task.working().text().splitlines() if working else ():
            door.say(f"    {line}")
    keys = course.reports(found.issue.assignment) / KEYS
    page = page_of(keys, found.code)
    if page:
        door.say(f"The key with full working: page {page} of ", keys)
    else:
        door.say(f"The key with full working is printed by: pharmcalc sheets {found.issue.assignment} --pdf")


def _cleared(course: Course, assignment: str, roster: Roster) -> dict[str, bool | None]:
    rows = take_picture(course, assignment, roster).rows if course.gradebook.is_file() else ()
    return {row.student.number: row.all_cleared for row in rows if row.state == MARKED}


def typing(course: Course, assignment: str, by: str, door: Door) -> Session:
    """Begin to type papers in at the keyboard: one line a student."""
    session = Session(course, assignment, the_class(course, assignment), by, door.say)
    door.begin(f"{session.reader.issue.title}: type papers in, one line a student, an empty line ends")
    door.say(f"  {session.reader.order()}")
    door.say("Leave a place empty where there is no answer. For a ticked box its letter is enough.")
    door.say("Each line is shown as it was read. To take it press Enter, or type the next student's; or type it again.")
    return session


def typed(session: Session, door: Door) -> None:
    """End typing at the keyboard: tell how many were taken, and what comes next."""
    session.take()
    _next(len(session.taken), session.reader.issue.assignment, door)


def type_in(course: Course, assignment: str, lines: Sequence[str], by: str, door: Door, *, look: bool = False) -> None:
    """Type many papers in at once, one line a student; with ``look`` only tell how they are read."""
    roster, by = the_class(course, assignment), name_of(by)
    reader = Reader(course, assignment, roster)
    papers, wrong = read_lines(course, reader, lines, by)
    for paper in papers:
        for line in shown(paper):
            door.say(line)
    for sentence in wrong:
        door.say(f"Not read, {sentence}")
    if look:
        door.say(f"{len(papers)} read, nothing taken in yet")
        return
    taken, there, refused = take_typed(course, reader, papers, roster, by)
    for reason in refused:
        door.say(reason)
    if there:
        door.say(f"{len(there)} were there already, as typed")
    _next(len(taken), assignment, door)


def lines_of(path: Path) -> list[str]:
    """Return the lines of a text file, also as a spreadsheet saves them."""
    if not path.is_file():
        raise CourseError(f"{path}: there is no such file. Give a text file with one line a student.")
    return text_of(path.read_bytes()).splitlines()


def _next(count: int, assignment: str, door: Door) -> None:
    door.say(f"{count} typed in from paper")
    door.say(f"Next: pharmcalc mark {assignment}")
