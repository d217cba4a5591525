"""Mark a class: each hand-in by itself, in one process, on one open gradebook.

A hand-in that cannot be marked is one outcome with its reason. A hand-in counts as marked only when its completion
marker is written, which happens last: a run that was killed is simply run again. Marks given by hand stay.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from pharmcalc import __version__
from pharmcalc.bench import file_name
from pharmcalc.classroom.attempts import add_attempt
from pharmcalc.classroom.cells import Json, answered_task, cells_by_id, is_answer_area
from pharmcalc.classroom.course import MARKED, Course
from pharmcalc.classroom.engine import Converter, shared_gradebook
from pharmcalc.classroom.escaping import written_text
from pharmcalc.classroom.handin import LARGEST_FILE, read_handin
from pharmcalc.classroom.marker import record_of
from pharmcalc.classroom.records import read_beside
from pharmcalc.classroom.release import issued_notebook
from pharmcalc.classroom.roster import Roster
from pharmcalc.errors import CourseError, PharmcalcError
from pharmcalc.tasks.papers import Issue, mark_id


@dataclass(frozen=True)
class Outcome:
    """What became of one hand-in: ``marked``, ``unchanged`` (marked before) or ``failed`` with the reason."""

    number: str
    state: str
    reason: str = ""


@dataclass
class Run:
    """One run over the class."""

    outcomes: list[Outcome] = field(default_factory=list)
    backup: Path | None = None

    def count(self, *states: str) -> int:
        """Return how many hand-ins ended in one of these states."""
        return sum(outcome.state in states for outcome in self.outcomes)


def _ignore(_: Outcome) -> None:
    """Watch nothing."""


def mark_class(
    course: Course,
    assignment: str,
    roster: Roster,
    *,
    again: bool = False,
    watch: Callable[[Outcome], None] = _ignore,
) -> Run:
    """Mark every hand-in of an assignment that is new or has changed.

    Parameters
    ----------
    course, assignment, roster
        Where, which, and who is in the class.
    again
        Mark those too that were marked before.
    watch
        Called after each hand-in with its outcome, for a progress bar.
    """
    release = course.release(assignment)
    if not release.is_file() or not course.gradebook.is_file():
        raise CourseError(f"{assignment} was not issued yet. Issue it first: pharmcalc issue {assignment}")
    _, issue = issued_notebook(release)
    run = Run(backup=course.backup(f"mark-{assignment}"))
    basis = hashlib.sha256(release.read_bytes() + __version__.encode())
    with shared_gradebook(course) as book:
        if all(a.name != assignment for a in book.assignments):
            raise CourseError(f"{assignment} is not in the gradebook. Issue it again: pharmcalc issue {assignment}")
        marker = Converter("Autograde", course, assignment)
        for number in course.handed_in(assignment):
            try:
                state = _mark_one(course, issue, roster, number, basis.copy(), marker, book, again)
                outcome = Outcome(number, state)
            except PharmcalcError as trouble:
                book.db.rollback()
                outcome = Outcome(number, "failed", str(trouble))
            except Exception as trouble:  # noqa: BLE001  # one bad hand-in never stops the class
                book.db.rollback()
                outcome = Outcome(
                    number, "failed", f"it could not be marked ({type(trouble).__name__}: {trouble})"[:300]
                )
            run.outcomes.append(outcome)
            watch(outcome)
    return run


def write_feedback(
    course: Course, assignment: str, numbers: Iterable[str], *, watch: Callable[[Outcome], None] = _ignore
) -> Run:
    """Write the feedback pages of marked hand-ins anew, with the marks and comments that the gradebook holds now."""
    run = Run()
    with shared_gradebook(course):
        writer = Converter("GenerateFeedback", course, assignment)
        for number in numbers:
            try:
                writer.run(number)
                outcome = Outcome(number, "written")
            except PharmcalcError as trouble:
                outcome = Outcome(number, "failed", f"no feedback page: {trouble}")
            run.outcomes.append(outcome)
            watch(outcome)
    return run


def feedback_due(course: Course, assignment: str, roster: Roster) -> list[str]:
    """Return the students whose feedback page is missing, cut off, or older than the marking."""

    def due(number: str) -> bool:
        page, finished = course.feedback(assignment, number), course.autograded(assignment, number).parent / MARKED
        if not page.is_file() or page.stat().st_mtime < finished.stat().st_mtime:
            return True
        return not page.read_bytes().rstrip().endswith(b"</html>")

    return [s.number for s in roster if is_marked(course, assignment, s.number) and due(s.number)]


def is_marked(course: Course, assignment: str, number: str) -> bool:
    """Say whether the marking of this hand-in was finished."""
    path = course.autograded(assignment, number)
    return path.is_file() and (path.parent / MARKED).is_file()


def read_marked(course: Course, assignment: str, number: str) -> Json:
    """Return a marked hand-in, as the instructor's own process wrote it."""
    found: Json = json.loads(course.autograded(assignment, number).read_text(encoding="utf-8"))
    return found


def check_handin(course: Course, assignment: str, number: str) -> bytes:
    """Return the bytes of a hand-in that lies where nbgrader expects it, or raise ``CourseError`` with the reason."""
    path = course.submitted(assignment, number)
    if any(p.is_symlink() for p in (path, path.parent, path.parent.parent)):
        raise CourseError("it is a link to another place; remove it and ask for the notebook itself")
    if not path.is_file():
        what = "there is a bench record, but no" if any(path.parent.glob(file_name("*"))) else "there is no"
        raise CourseError(f"{what} {path.name} in its folder; ask the student for it")
    with path.open("rb") as file:
        data = file.read(LARGEST_FILE + 1)
    read_handin(data)
    return data


def _mark_one(
    course: Course,
    issue: Issue,
    roster: Roster,
    number: str,
    basis: Any,
    marker: Converter,
    book: Any,
    again: bool,
) -> str:
    assignment = issue.assignment
    student = roster.find(number)
    if student is None or student.number != number:
        raise CourseError(f"{number} is not on the class list; add the student to class.csv, or remove the folder")
    basis.update(check_handin(course, assignment, number))
    basis.update(read_beside(course.submitted(assignment, number).parent, issue).fingerprint())
    fingerprint = basis.hexdigest()
    finished = course.autograded(assignment, number).parent / MARKED
    if not again and is_marked(course, assignment, number) and _fingerprint(finished) == fingerprint:
        return "unchanged"
    before = _marked_by_hand(course, assignment, number, book)
    marker.run(number)
    _settle_marks_by_hand(course, assignment, number, book, before)
    add_attempt(course, assignment, number, read_marked(course, assignment, number))
    draft = finished.with_suffix(".part")
    draft.write_text(json.dumps({"fingerprint": fingerprint, "when": f"{datetime.now():%Y-%m-%d %H:%M:%S}"}))
    draft.replace(finished)
    return "marked"


def _fingerprint(path: Path) -> str:
    try:
        return str(json.loads(path.read_text(encoding="utf-8"))["fingerprint"])
    except (OSError, ValueError, KeyError, TypeError):
        return ""


def _marked_by_hand(course: Course, assignment: str, number: str, book: Any) -> dict[str, tuple[Any, bool, str]]:
    """Return, for each mark that a person gave: the automatic mark, whether it awaits a look, and the answer."""
    from nbgrader.api import MissingEntry

    try:
        submission = book.find_submission_notebook(assignment, assignment, number)
        answers = _answers(read_marked(course, assignment, number))
    except (MissingEntry, OSError, ValueError, KeyError):
        return {}
    return {
        grade.name: (grade.auto_score, grade.needs_manual_grade, answers.get(grade.name, ""))
        for grade in submission.grades
        if grade.manual_score is not None
    }


def _settle_marks_by_hand(
    course: Course, assignment: str, number: str, book: Any, before: dict[str, tuple[Any, bool, str]]
) -> None:
    """Where neither the answer nor the automatic mark changed, a mark given by hand needs no second look.

    nbgrader asks for one after every regrading.
    """
    if not before:
        return
    answers = _answers(read_marked(course, assignment, number))
    for grade in book.find_submission_notebook(assignment, assignment, number).grades:
        if grade.name in before and before[grade.name][::2] == (
            grade.auto_score,
            answers.get(grade.name, ""),
        ):
            grade.needs_manual_grade = before[grade.name][1]
    book.db.commit()


def _answers(nb: Json) -> dict[str, str]:
    """Return what the student did for each graded cell: a mark cell's answer or bench record, or the cell itself."""
    texts = {name: written_text(cell) for name, cell in cells_by_id(nb).items() if is_answer_area(cell)}
    done = {name: (record_of(cell) or {}).get("done") for name, cell in cells_by_id(nb).items()}
    texts |= {name: str(found["sha256"]) for name, found in done.items() if found}
    return texts | {mark_id(answered_task(name)): text for name, text in texts.items() if answered_task(name)}
