"""The steps of an assignment on a shared machine, in order; each says in a line what was seen, or raises WrongError."""

from __future__ import annotations

import json
from contextlib import redirect_stdout
from datetime import UTC, datetime, timedelta
from io import StringIO

from pharmcalc.__main__ import run as pharmcalc_here
from pharmcalc.tasks.papers import read_issue
from tests.classroom.building import gradebook_rows
from tools.exchange.campus import ASSIGNMENT, COURSE_ID, README_EXCHANGE, Campus, expect, readme_settings
from tools.exchange.system_users import Person, give

NOTEBOOK = f"{ASSIGNMENT}/{ASSIGNMENT}.ipynb"
LEFT_OUT, LEFT_OUT_LATE = "q2", "q3"


def lay_out(on: Campus) -> str:
    """Make the exchange and the course, with README.md's settings; the class list holds the system users' names."""
    administrator, course = readme_settings()
    everybodys = on.programs.parent / "etc" / "jupyter" / "nbgrader_config.py"
    everybodys.parent.mkdir(parents=True)
    everybodys.write_text(administrator.replace(README_EXCHANGE, str(on.exchange)), encoding="utf-8")
    on.exchange.mkdir()
    on.exchange.chmod(0o1777)
    with redirect_stdout(StringIO()) as told:
        expect(pharmcalc_here(["start", str(on.course)]) == 0, "pharmcalc start failed", told.getvalue())
    (on.course / "nbgrader_config.py").write_text(course, encoding="utf-8")
    students = [(on.first.name, "Brook", "Ines"), (on.second.name, "Field", "Tom")]
    lines = ["number,surname,given name,email", *(f"{','.join(one)}," for one in students)]
    (on.course / "class.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    give(on.course, on.teacher)
    on.teaches("pharmcalc", "class", "class.csv")
    said = on.teaches("pharmcalc", "issue", ASSIGNMENT)
    tomorrow = datetime.now() + timedelta(days=1)
    on.teaches("pharmcalc", "due", ASSIGNMENT, f"{tomorrow:%Y-%m-%d %H:%M}")
    return said.splitlines()[0]


def release(on: Campus) -> str:
    """Put the assignment into the exchange."""
    on.nbgrader(on.teacher, "release_assignment", ASSIGNMENT)
    modes = {name: (on.exchange / COURSE_ID / name).stat().st_mode & 0o7777 for name in ("", "outbound", "inbound")}
    expect(modes == {"": 0o755, "outbound": 0o755, "inbound": 0o2733}, f"rights are {modes}")
    return "course and outbound 0755, inbound 2733 (anybody may put in, only the instructor may look)"


def fetch(on: Campus) -> str:
    """Let both students fetch it, and one of them run it."""
    issued = (on.course / "exercises" / NOTEBOOK).read_bytes()
    for student in (on.first, on.second):
        expect(ASSIGNMENT in on.nbgrader(student, "list"), f"{student.name} does not see {ASSIGNMENT}")
        on.nbgrader(student, "fetch_assignment", ASSIGNMENT)
        came = {path.name: path.read_bytes() for path in (student.home / ASSIGNMENT).iterdir()}
        expect(came == {f"{ASSIGNMENT}.ipynb": issued}, f"{student.name} got {list(came)}, or not what was issued")
    said = on.learns(on.first, "python", str(on.helper), "read", NOTEBOOK, on.first.name)
    expect(" 0 failed" in said, "the notebook does not run", said)
    return f"both got what was issued and nothing else; run by {on.first.name}: {said.splitlines()[0]}"


def submit(on: Campus) -> str:
    """Let both answer and hand in: one everything, one without a task."""
    on.works(on.first)
    on.works(on.second, LEFT_OUT)
    for student in (on.first, on.second):
        on.nbgrader(student, "submit", ASSIGNMENT)
        expect(len(on.handed_in(student)) == 1, f"{student.name}'s hand-in is not in the exchange")
    files = sorted(path.name for path in on.handed_in(on.first)[0].iterdir())
    return f"each hand-in holds {', '.join(files)}"


def keep_apart(on: Campus) -> str:
    """Try what nobody must reach."""
    closed = [on.inbound, on.course, on.course / "gradebook.db", on.course / "class.csv", on.course / "solutions"]
    for path in closed:
        for student in (on.first, on.second):
            on.refused(student, path, owner=on.teacher)
    on.refused(on.second, on.first.home / NOTEBOOK, owner=on.first)
    on.nbgrader(on.second, "collect", ASSIGNMENT, fails=True)
    on.nbgrader(on.second, "release_assignment", ASSIGNMENT, fails=True)
    taken = on.second.run("/bin/mv", on.exchange / COURSE_ID, on.exchange / "mine")
    expect(taken.returncode != 0, "a student can rename the course in the exchange")
    return f"{2 * len(closed) + 1} reads refused; a student can neither collect, nor release, nor move the course"


def collect_and_mark(on: Campus) -> str:
    """Collect, and mark by ours and by plain nbgrader: the same gradebook."""
    on.nbgrader(on.teacher, "collect", ASSIGNMENT)
    for student in (on.first, on.second):
        there = on.course / "submitted" / student.name / ASSIGNMENT
        own = {path.name: path.read_bytes() for path in (student.home / ASSIGNMENT).iterdir()}
        got = {path.name: path.read_bytes() for path in there.iterdir()}
        for name in ("timestamp.txt", "submission_secret.txt"):
            expect(bool(got.pop(name, b"")), f"{name} did not come with {student.name}'s hand-in")
        expect(got == own, f"{student.name}'s hand-in was changed on the way")
    twin = on.teacher.home / "twin"
    on.teacher.run("/bin/cp", "-a", on.course, twin)
    said = on.teaches("pharmcalc", "mark", ASSIGNMENT)
    plain = on.teacher.run(on.programs / "nbgrader", "autograde", ASSIGNMENT, folder=twin)
    rows = gradebook_rows(on.course / "gradebook.db")
    expect(bool(rows) and rows == gradebook_rows(twin / "gradebook.db"), "plain nbgrader marks otherwise", plain.stderr)
    return f"{said.splitlines()[0]}; plain nbgrader autograde: the same {len(rows)} rows"


def right_marks(on: Campus) -> str:
    """Check the totals against the papers: one has all marks, the other all but the task left out."""
    return _totals_are(on, LEFT_OUT)


def feedback(on: Campus) -> str:
    """Release the feedback; each student gets one page, their own."""
    on.nbgrader(on.teacher, "release_feedback", ASSIGNMENT)
    for student in (on.first, on.second):
        on.nbgrader(student, "fetch_feedback", ASSIGNMENT)
        (page,) = on.pages(student)
        expect(page.read_bytes() == _page(on, student), f"{student.name} got another page than their own")
        on.refused(student, on.exchange / COURSE_ID / "feedback", owner=on.teacher)
    return "one page each, the own one; nobody but the instructor can list the pages"


def hand_in_again(on: Campus) -> str:
    """Let the second hand in anew: the newer counts as soon as it is collected with --update."""
    before = on.pages(on.second)[0].read_bytes()
    on.works(on.second)
    on.nbgrader(on.second, "submit", ASSIGNMENT)
    on.nbgrader(on.teacher, "collect", ASSIGNMENT)
    on.teaches("pharmcalc", "mark", ASSIGNMENT)
    _totals_are(on, LEFT_OUT)
    on.nbgrader(on.teacher, "collect", ASSIGNMENT, "--update")
    said = _mark(on)
    on.nbgrader(on.teacher, "release_feedback", ASSIGNMENT)
    on.nbgrader(on.second, "fetch_feedback", ASSIGNMENT)
    older, newer = on.pages(on.second)
    expect(older.read_bytes() == before, "the page of the first hand-in was changed")
    expect(newer.read_bytes() == _page(on, on.second), "the page of the second hand-in did not come")
    return f"plain collect leaves the first hand-in; with --update: {said}; a page for each hand-in"


def hand_in_late(on: Campus) -> str:
    """Let the second hand in after the deadline, with less in it: --before-duedate and --update choose differently."""
    on.works(on.second, LEFT_OUT_LATE)
    late = f"{datetime.now(UTC) + timedelta(days=2):%Y-%m-%d %H:%M:%S.%f UTC}"
    on.nbgrader(on.second, "submit", ASSIGNMENT, f"--Exchange.timestamp_format={late}")
    told = []
    for option, missing in (("--before-duedate", ""), ("--update", LEFT_OUT_LATE), ("--before-duedate", "")):
        on.nbgrader(on.teacher, "collect", ASSIGNMENT, option)
        on.teaches("pharmcalc", "mark", ASSIGNMENT)
        told.append(f"{option}: {_totals_are(on, missing)}")
        is_told = "late" in on.row(on.second)
        expect(is_told == bool(missing), f"after {option}: is it told to be late? {is_told}", on.row(on.second))
    # nbgrader asks everybody's deadline only: whoever has longer is to be collected by name.
    longer = f"{datetime.now() + timedelta(days=3):%Y-%m-%d %H:%M}"
    on.teaches("pharmcalc", "due", ASSIGNMENT, longer, "--student", on.second.name)
    on.nbgrader(on.teacher, "collect", ASSIGNMENT, "--before-duedate")
    on.teaches("pharmcalc", "mark", ASSIGNMENT)
    _totals_are(on, "")
    on.nbgrader(on.teacher, "collect", ASSIGNMENT, "--update", f"--student={on.second.name}")
    on.teaches("pharmcalc", "mark", ASSIGNMENT)
    _totals_are(on, LEFT_OUT_LATE)
    expect("late" not in on.row(on.second), "told to be late in spite of a longer time", on.row(on.second))
    return "; ".join(told)


def lay_links(on: Campus) -> str:
    """Let the first hand in links to what only the instructor may read; nothing of it may come back."""
    there = on.course / "submitted" / on.first.name / ASSIGNMENT
    before = {path.name: path.read_bytes() for path in there.iterdir()}
    on.nbgrader(on.first, "submit", ASSIGNMENT)
    laid = on.handed_in(on.first)[-1]
    for name, target in (("note.html", "gradebook.db"), ("bench-record-q4.json", f"solutions/{NOTEBOOK}")):
        on.first.run("/bin/ln", "-sf", on.course / target, laid / name)
        expect((laid / name).is_symlink(), f"{name} could not be laid")
    said = on.nbgrader(on.teacher, "collect", ASSIGNMENT, "--update")
    expect("is a link to another place" in said, "the link is not told", said)
    expect({path.name: path.read_bytes() for path in there.iterdir()} == before, "something was collected all the same")
    return said.strip().splitlines()[-1].partition("] ")[2]


STEPS = (
    lay_out,
    release,
    fetch,
    submit,
    keep_apart,
    collect_and_mark,
    right_marks,
    feedback,
    hand_in_again,
    hand_in_late,
    lay_links,
)


def _mark(on: Campus) -> str:
    """Mark; return the line about it."""
    return on.teaches("pharmcalc", "mark", ASSIGNMENT).splitlines()[0]


def _totals_are(on: Campus, missing: str) -> str:
    """Check the totals against the papers: the first has all marks, the second all but those of what is missing."""
    issued = json.loads((on.course / "exercises" / NOTEBOOK).read_text(encoding="utf-8"))
    paper = read_issue(issued).paper(on.second.name)
    lost = paper.task(missing).out_of if missing else 0
    totals, worth = on.totals(), {on.first.name: paper.out_of, on.second.name: paper.out_of - lost}
    expect({name: float(total) for name, total in totals.items()} == worth, f"{totals}, not {worth}")
    return ", ".join(f"{name} {total} of {paper.out_of}" for name, total in totals.items())


def _page(on: Campus, student: Person) -> bytes:
    """Return a student's feedback page as the instructor has it."""
    return (on.course / "feedback" / student.name / ASSIGNMENT / f"{ASSIGNMENT}.html").read_bytes()
