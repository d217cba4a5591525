"""A course folder: where everything lies, and the gradebook with a copy kept before each run.

::

    house_rules.toml  class.csv  nbgrader_config.py  gradebook.db
    solutions/A/A.ipynb   written by hand        exercises/A/A.ipynb   what was issued
    issued/A/A-07.ipynb   one copy a student     received/A/...        hand-ins, untouched
    submitted/A-07/A/...  autograded/  feedback/                       nbgrader's folders
    reports/A/...         reports/term/...       backups/...
    attempts.csv  overrides.csv  observations.csv        lists that are only added to
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from pharmcalc.bench import file_name
from pharmcalc.errors import CourseError

CONFIG = "nbgrader_config.py"
KEPT_BACKUPS = 30
IN_USE = (
    "The gradebook is in use by another program, such as nbgrader's own pages or commands. "
    "Close it, then run this again; what was marked before stays."
)
#: Written last into the folder of a marked hand-in: its presence says that the marking was finished.
MARKED = "marked.json"


@dataclass(frozen=True)
class Course:
    """A course folder. ``Course.open(folder)`` checks that it is one."""

    root: Path

    @classmethod
    def open(cls, folder: Path) -> Course:
        """Return the course in ``folder``; raise ``CourseError`` with the cure where there is none."""
        root = folder.resolve()
        if not (root / CONFIG).is_file():
            raise CourseError(
                f"{root} is not a course folder: there is no {CONFIG} in it. "
                "Go to your course folder, or lay out a new one with: pharmcalc start FOLDER"
            )
        return cls(root)

    @property
    def class_list(self) -> Path:
        """The class list."""
        return self.root / "class.csv"

    @property
    def gradebook(self) -> Path:
        """nbgrader's gradebook, a SQLite file."""
        return self.root / "gradebook.db"

    @property
    def gradebook_url(self) -> str:
        """The gradebook as nbgrader names it."""
        return f"sqlite:///{self.gradebook}"

    def assignments(self) -> list[str]:
        """Return the names of the assignments that are written in ``solutions/``."""
        found = (self.root / "solutions").glob("*/*.ipynb")
        return sorted(path.stem for path in found if path.stem == path.parent.name)

    def require(self, assignment: str) -> None:
        """Raise ``CourseError`` when there is no such assignment, and name those that there are."""
        there = self.assignments()
        if assignment not in there:
            names = ", ".join(there) or "none yet"
            raise CourseError(
                f'There is no assignment "{assignment}" in {self.root / "solutions"}. There are: {names}.'
            )

    def solution(self, assignment: str) -> Path:
        """The notebook written by hand."""
        return self.root / "solutions" / assignment / f"{assignment}.ipynb"

    def release(self, assignment: str) -> Path:
        """The notebook that was issued."""
        return self.root / "exercises" / assignment / f"{assignment}.ipynb"

    def issued(self, assignment: str) -> Path:
        """The folder with one copy of the issued notebook for each student."""
        return self.root / "issued" / assignment

    def received(self, assignment: str) -> Path:
        """The folder with hand-ins as they came."""
        return self.root / "received" / assignment

    def submitted(self, assignment: str, number: str) -> Path:
        """A student's hand-in, where nbgrader expects it."""
        return self.root / "submitted" / number / assignment / f"{assignment}.ipynb"

    def record(self, assignment: str, number: str, task: str) -> Path:
        """A student's record of the simulated bench, beside the hand-in."""
        return self.submitted(assignment, number).with_name(file_name(task))

    def autograded(self, assignment: str, number: str) -> Path:
        """A student's marked hand-in."""
        return self.root / "autograded" / number / assignment / f"{assignment}.ipynb"

    def feedback(self, assignment: str, number: str) -> Path:
        """A student's feedback page."""
        return self.root / "feedback" / number / assignment / f"{assignment}.html"

    def reports(self, assignment: str) -> Path:
        """The folder with the class report, the mark sheet and the printed sheets."""
        return self.root / "reports" / assignment

    def handed_in(self, assignment: str) -> list[str]:
        """Return the numbers of the students whose folder in ``submitted/`` holds this assignment."""
        return sorted(path.parent.name for path in (self.root / "submitted").glob(f"*/{assignment}"))

    @contextmanager
    def only_run(self) -> Iterator[None]:
        """Let no other run change this course as long as the block lasts; runs do not stand inside each other.

        The lock is a transaction on a small file of its own: the system lets it go when a process dies.
        """
        with closing(sqlite3.connect(self._kept() / "lock.db", timeout=0, isolation_level=None)) as lock:
            try:
                lock.execute("BEGIN EXCLUSIVE")
            except sqlite3.OperationalError as trouble:
                if not _is_locked(trouble):
                    raise self._not_writable(trouble) from None
                raise CourseError(
                    f"Another run is at work in {self.root} just now. Wait until it is done, then try again."
                ) from None
            yield

    def due_date(self, assignment: str) -> datetime | None:
        """Return an assignment's due date in the gradebook, where nbgrader's own pages may have set it; else None.

        Raises CourseError where the gradebook is in use or damaged.
        """
        if not self.gradebook.is_file():
            return None
        try:
            with closing(sqlite3.connect(f"{self.gradebook.resolve().as_uri()}?mode=ro", uri=True)) as book:
                found = book.execute("SELECT duedate FROM assignment WHERE name = ?", [assignment]).fetchone()
        except sqlite3.DatabaseError as trouble:
            raise CourseError(IN_USE if _is_locked(trouble) else self._cannot_be_read(trouble)) from None
        return datetime.fromisoformat(found[0]).replace(tzinfo=UTC) if found and found[0] else None

    def backup(self, before: str) -> Path | None:
        """Check the gradebook and keep a copy of it; return the copy's path, or None when there is no gradebook yet.

        A copy bears its name only when it is whole.

        Parameters
        ----------
        before
            What is about to happen, such as ``mark-aliquots-1``; it becomes part of the copy's name.

        Raises
        ------
        CourseError
            The gradebook is damaged (the newest sound copy is named), or there is no room for a copy.
        """
        if not self.gradebook.is_file():
            return None
        folder = self._kept()
        copy = folder / f"gradebook-{datetime.now():%Y%m%d-%H%M%S-%f}-before-{before}.db"
        draft = copy.with_suffix(".part")
        try:
            if trouble := _damage(self.gradebook):
                raise CourseError(self._cannot_be_read(trouble))
            with closing(sqlite3.connect(self.gradebook)) as book, closing(sqlite3.connect(draft)) as kept:
                book.backup(kept)
            draft.replace(copy)
        except (sqlite3.Error, OSError) as trouble:
            if _is_locked(trouble):
                raise CourseError(IN_USE) from None
            raise CourseError(
                f"No copy of the gradebook can be kept in {folder} ({trouble}), so nothing was changed. "
                "Make room, or make the folder writable, then run this again."
            ) from None
        finally:
            draft.unlink(missing_ok=True)
        for old in _copies(folder)[:-KEPT_BACKUPS]:
            old.unlink()
        return copy

    def _cannot_be_read(self, trouble: object) -> str:
        return f"{self.gradebook}: the gradebook cannot be read ({trouble}). {_cure(self._kept())}"

    def _kept(self) -> Path:
        """Return the folder of the copies, made where it is missing."""
        folder = self.root / "backups"
        try:
            folder.mkdir(exist_ok=True)
        except OSError as trouble:
            raise self._not_writable(trouble) from None
        return folder

    def _not_writable(self, trouble: Exception) -> CourseError:
        return CourseError(
            f"{self.root} cannot be written ({trouble}). Make the course folder writable, then try again."
        )


def _copies(folder: Path) -> list[Path]:
    """Return the copies of the gradebook, the oldest first."""
    return sorted(folder.glob("gradebook-*.db"))


def _damage(database: Path) -> str:
    """Say what is wrong with a database; nothing where it is sound."""
    try:
        with closing(sqlite3.connect(database)) as book:
            verdict = str(book.execute("PRAGMA quick_check").fetchone()[0])
    except sqlite3.DatabaseError as trouble:
        if _is_locked(trouble):
            raise
        return str(trouble)
    return "" if verdict == "ok" else verdict


def _cure(folder: Path) -> str:
    """Say which copy to take: the newest that is sound."""
    sound = next((copy for copy in reversed(_copies(folder)) if not _damage(copy)), None)
    return f"Copy {sound} over it." if sound else f"There is no sound copy of it in {folder}."


def _is_locked(trouble: Exception) -> bool:
    return isinstance(trouble, sqlite3.OperationalError) and "locked" in str(trouble)
