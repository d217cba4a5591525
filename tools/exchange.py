"""Run a course through nbgrader's exchange with three system users, as on a shared server: `make exchange`.

An instructor and two students, each a user of this machine with a home of their own, release, fetch, hand in, collect,
mark and get feedback. Each step is checked, and what one user must not reach is tried and must be refused. The
settings are those that README.md shows. Everything is removed at the end. Needs root.
"""

from __future__ import annotations

import csv
import json
import re
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout
from dataclasses import dataclass
from datetime import datetime, timedelta
from io import StringIO
from pathlib import Path
from time import perf_counter

from pharmcalc.__main__ import run as pharmcalc_here
from pharmcalc.tasks.papers import read_issue
from tests.classroom.building import gradebook_rows
from tools.shared_environment import PROJECT, shared_environment
from tools.system_users import CannotRunError, Person, give, problem, temporary_users

ASSIGNMENT, COURSE_ID = "bench-1", "weighing"
LEFT_OUT = "q2"
README_EXCHANGE = "/srv/nbgrader/exchange"


class WrongError(Exception):
    """A step that did not come out as it must."""


def readme_settings() -> tuple[str, str]:
    """Return the two settings files that README.md shows: the administrator's and the course's."""
    section = (PROJECT / "README.md").read_text(encoding="utf-8").partition("## On a campus")[2].partition("\n## ")[0]
    administrator, course = re.findall(r"```python\n(.*?)```", section, re.DOTALL)
    return administrator, course


def expect(right: bool, what: str, said: str = "") -> None:
    """Raise WrongError unless something is as it must be."""
    if not right:
        raise WrongError(f"{what}\n{said}".strip())


@dataclass
class Campus:
    """A machine with a shared environment, an exchange folder, an instructor with a course, and two students."""

    programs: Path
    exchange: Path
    teacher: Person
    first: Person
    second: Person
    helper: Path

    @property
    def course(self) -> Path:
        """The instructor's course folder."""
        return self.teacher.home / "course"

    @property
    def inbound(self) -> Path:
        """Where the exchange keeps hand-ins."""
        return self.exchange / COURSE_ID / "inbound"

    def teaches(self, *words: str, fails: bool = False) -> str:
        """Run a command in the course folder as the instructor."""
        return self._runs(self.teacher, self.course, words, fails)

    def learns(self, student: Person, *words: str, fails: bool = False) -> str:
        """Run a command in a student's home."""
        return self._runs(student, student.home, words, fails)

    def _runs(self, person: Person, folder: Path, words: tuple[str, ...], fails: bool) -> str:
        program, *rest = words
        done = person.run(self.programs / program, *rest, folder=folder)
        said = done.stdout + done.stderr
        expect(bool(done.returncode) == fails, f"{person.name}: {' '.join(words)} ended with {done.returncode}", said)
        return said

    def nbgrader(self, person: Person, *words: str, fails: bool = False) -> str:
        """Run one of nbgrader's commands; a student names the course, the instructor's settings hold it."""
        if person is self.teacher:
            return self.teaches("nbgrader", *words, fails=fails)
        return self.learns(person, "nbgrader", *words, f"--course={COURSE_ID}", fails=fails)

    def works(self, student: Person, *left_out: str) -> None:
        """Let a student answer the fetched notebook."""
        notebook = f"{ASSIGNMENT}/{ASSIGNMENT}.ipynb"
        self.learns(student, "python", str(self.helper), "answer", notebook, student.name, *left_out)

    def refused(self, person: Person, path: Path, *, owner: Person) -> None:
        """Check that a person cannot read what its owner can."""
        reads = "/bin/ls" if path.is_dir() else "/bin/cat"
        expect(owner.run(reads, path).returncode == 0, f"{owner.name} cannot read {path}")
        tried = person.run(reads, path)
        expect("Permission denied" in tried.stderr, f"{person.name} can read {path}", tried.stdout[:200] + tried.stderr)

    def handed_in(self, student: Person) -> list[Path]:
        """Return a student's hand-ins in the exchange, the oldest first."""
        return sorted(self.inbound.glob(f"{student.name}+{ASSIGNMENT}+*"))

    def totals(self) -> dict[str, str]:
        """Return the totals on the mark sheet."""
        with (self.course / "reports" / ASSIGNMENT / "marks.csv").open(encoding="utf-8-sig", newline="") as file:
            return {row["number"]: row["total"] for row in csv.DictReader(file)}

    def pages(self, student: Person) -> list[Path]:
        """Return the feedback pages that a student has fetched, the oldest first."""
        return sorted((student.home / ASSIGNMENT / "feedback").glob("*/*.html"))


@contextmanager
def campus() -> Iterator[Campus]:
    """Build the machine in a scratch folder, and take everything away at the end."""
    with tempfile.TemporaryDirectory(prefix="pharmcalc-exchange-") as folder:
        scratch = Path(folder)
        scratch.chmod(0o711)
        homes = scratch / "homes"
        # The strictest and the usual rights for new files: neither may get in the way.
        teacher, first, second = (
            Person(f"pharmx-{name}", homes / name, umask)
            for name, umask in (("teacher", 0o077), ("a01", 0o077), ("a02", 0o022))
        )
        exchange, helper = scratch / "exchange", scratch / "student_at_work.py"
        shutil.copyfile(PROJECT / "tools" / helper.name, helper)
        with temporary_users(homes, teacher, first, second):
            teacher.home.chmod(0o755)  # open, as homes are on some systems: the course folder must be shut by itself
            programs = shared_environment(scratch, first)
            yield Campus(programs, exchange, teacher, first, second, helper)


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
    issued = (on.course / "exercises" / ASSIGNMENT / f"{ASSIGNMENT}.ipynb").read_bytes()
    for student in (on.first, on.second):
        expect(ASSIGNMENT in on.nbgrader(student, "list"), f"{student.name} does not see {ASSIGNMENT}")
        on.nbgrader(student, "fetch_assignment", ASSIGNMENT)
        came = {path.name: path.read_bytes() for path in (student.home / ASSIGNMENT).iterdir()}
        expect(came == {f"{ASSIGNMENT}.ipynb": issued}, f"{student.name} got {list(came)}, or not what was issued")
    notebook = f"{ASSIGNMENT}/{ASSIGNMENT}.ipynb"
    said = on.learns(on.first, "python", str(on.helper), "read", notebook, on.first.name)
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
    notebook = f"{ASSIGNMENT}/{ASSIGNMENT}.ipynb"
    on.refused(on.second, on.first.home / notebook, owner=on.first)
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
    issued = (on.course / "exercises" / ASSIGNMENT / f"{ASSIGNMENT}.ipynb").read_text(encoding="utf-8")
    paper = read_issue(json.loads(issued)).paper(on.second.name)
    worth = {on.first.name: paper.out_of, on.second.name: paper.out_of - paper.task(LEFT_OUT).out_of}
    totals = on.totals()
    expect({name: float(total) for name, total in totals.items()} == worth, f"{totals}, not {worth}")
    return ", ".join(f"{name} {total} of {paper.out_of}" for name, total in totals.items())


def feedback(on: Campus) -> str:
    """Release the feedback; each student gets one page, their own."""
    on.nbgrader(on.teacher, "release_feedback", ASSIGNMENT)
    for student in (on.first, on.second):
        on.nbgrader(student, "fetch_feedback", ASSIGNMENT)
        (page,) = on.pages(student)
        own = on.course / "feedback" / student.name / ASSIGNMENT / f"{ASSIGNMENT}.html"
        expect(page.read_bytes() == own.read_bytes(), f"{student.name} got another page than their own")
        on.refused(student, on.exchange / COURSE_ID / "feedback", owner=on.teacher)
    return "one page each, the own one; nobody but the instructor can list the pages"


STEPS = (lay_out, release, fetch, submit, keep_apart, collect_and_mark, right_marks, feedback)


def main() -> int:
    """Run the steps, one line each; return 1 at the first that comes out wrong, 2 where this machine cannot do it."""
    if trouble := problem():
        print(trouble, file=sys.stderr)
        return 2
    begun = perf_counter()
    try:
        with campus() as on:
            print(f"{perf_counter() - begun:5.1f} s  users made: {on.teacher.name}, {on.first.name}, {on.second.name}")
            for step in STEPS:
                start = perf_counter()
                said = step(on)
                print(f"{perf_counter() - start:5.1f} s  {step.__name__.replace('_', ' ')}: {said}", flush=True)
    except (CannotRunError, WrongError) as trouble_:
        print(f"NOT RIGHT: {trouble_}", file=sys.stderr)
        return 1
    print(f"{perf_counter() - begun:5.1f} s  in all; users and files removed")
    return 0


if __name__ == "__main__":
    sys.exit(main())
