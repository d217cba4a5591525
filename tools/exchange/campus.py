"""A shared machine in small: an exchange folder, an instructor with a course, two students, one environment for all."""

from __future__ import annotations

import csv
import re
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tools.exchange.shared_environment import PROJECT, shared_environment
from tools.exchange.system_users import Person, temporary_users

ASSIGNMENT, COURSE_ID = "bench-1", "weighing"
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

    def row(self, student: Person) -> str:
        """Return a student's line of the mark sheet."""
        lines = (self.course / "reports" / ASSIGNMENT / "marks.csv").read_text(encoding="utf-8-sig").splitlines()
        return next(line for line in lines if line.startswith(student.name))

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
        shutil.copyfile(Path(__file__).with_name(helper.name), helper)
        with temporary_users(homes, teacher, first, second):
            teacher.home.chmod(0o755)  # open, as homes are on some systems: the course folder must be shut by itself
            programs = shared_environment(scratch, first)
            yield Campus(programs, exchange, teacher, first, second, helper)
