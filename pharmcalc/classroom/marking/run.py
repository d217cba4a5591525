"""Mark a class: each hand-in by itself, by one process that owns the gradebook and as many as there are that mark.

A hand-in that cannot be marked is one outcome with its reason. The order is: gradebook, marked notebook, list of
attempts, completion marker. So a run that was killed is simply run again. Marks given by hand stay.
"""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from datetime import timedelta
from typing import Any

from pharmcalc import __version__
from pharmcalc.bench import file_name
from pharmcalc.classroom.cells import Json
from pharmcalc.classroom.course import IN_USE, Course
from pharmcalc.classroom.engine import Converter, settings, shared_gradebook
from pharmcalc.classroom.handed_in.handin import LARGEST_FILE, read_handin
from pharmcalc.classroom.handed_in.records import read_beside
from pharmcalc.classroom.handed_in.submitted import check_folder, time_of
from pharmcalc.classroom.issuing.deadlines import read_deadlines
from pharmcalc.classroom.issuing.release import issued_notebook
from pharmcalc.classroom.marking.assess import Assessor, HandIn, Marked
from pharmcalc.classroom.marking.finished import fingerprint_of, finish, forget, is_marked, lay_down, read_marked
from pharmcalc.classroom.marking.ledger import (
    Ledger,
    extensions,
    fits_release,
    hand_marks,
    renew_penalties,
    settle_hand_marks,
)
from pharmcalc.classroom.marking.outcomes import Outcome, Run, ignore
from pharmcalc.classroom.marking.went_on import WentOn
from pharmcalc.classroom.marking.workers import spread
from pharmcalc.classroom.results.attempts import add_attempt
from pharmcalc.classroom.roster import Roster
from pharmcalc.errors import CourseError, PharmcalcError
from pharmcalc.tasks.papers import Issue


def mark_class(
    course: Course,
    assignment: str,
    roster: Roster,
    *,
    again: bool = False,
    watch: Callable[[Outcome], None] = ignore,
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
    release_path = course.release(assignment)
    if not release_path.is_file() or not course.gradebook.is_file():
        raise CourseError(f"{assignment} was not issued yet. Issue it first: pharmcalc issue {assignment}")
    with course.only_run():
        run = Run(backup=course.backup(f"mark-{assignment}"))
        for outcome in _outcomes(course, assignment, roster, again):
            run.outcomes.append(outcome)
            watch(outcome)
    run.outcomes.sort(key=lambda outcome: outcome.number)
    return run


def _outcomes(course: Course, assignment: str, roster: Roster, again: bool) -> Iterator[Outcome]:
    """Yield what becomes of each hand-in, about in the order of the students' numbers."""
    release, issue = issued_notebook(course.release(assignment))
    basis = hashlib.sha256(course.release(assignment).read_bytes() + __version__.encode())
    handed = course.handed_in(assignment)
    done: list[Outcome] = []

    def due() -> Iterator[HandIn]:
        """Yield what is to be marked; what became of the others goes into ``done``."""
        for number in handed:
            try:
                own = basis.copy()
                own.update(str(longer.get(number)).encode())
                handin = _look(course, issue, roster, number, own)
            except Exception as trouble:  # noqa: BLE001  # one bad hand-in never stops the class
                done.append(_failed(course, assignment, number, trouble))
                continue
            if not again and fingerprint_of(course, assignment, number) == handin.fingerprint:
                done.append(Outcome(number, "unchanged"))
            else:
                yield handin

    expected = len(handed) if again else sum(not is_marked(course, assignment, number) for number in handed)
    with shared_gradebook(course) as book:
        if all(a.name != assignment for a in book.assignments):
            raise CourseError(f"{assignment} is not in the gradebook. Issue it again: pharmcalc issue {assignment}")
        about = book.find_assignment(assignment)
        longer = extensions(about, read_deadlines(course, assignment), roster)
        basis.update(str(about.duedate).encode())
        book.db.commit()
        mark = Assessor(release)
        way, went_on = _way(course, assignment, mark, book, longer), WentOn(course, assignment, roster, mark)
        for handin, made in spread(way.mark, due(), expected=expected):
            try:
                if isinstance(made, Exception):
                    raise made
                way.enter(handin, made)
                marked = read_marked(course, assignment, handin.number)
                for nb in (*went_on.before(handin.number, marked), marked):
                    add_attempt(course, assignment, handin.number, nb)
                finish(course, assignment, handin.number, handin.fingerprint)
                done.append(Outcome(handin.number, "marked"))
            except Exception as trouble:  # noqa: BLE001  # one bad hand-in never stops the class
                book.db.rollback()
                if _is_locked(trouble):
                    raise CourseError(IN_USE) from None
                done.append(_failed(course, assignment, handin.number, trouble))
            yield from done
            done.clear()
        yield from done
        renew_penalties(course, assignment, book, settings(course))


def settle_penalties(course: Course, assignment: str) -> None:
    """Bring the penalties for handing in late in line with marks that were given by hand since."""
    config = settings(course)
    with shared_gradebook(course) as book:
        renew_penalties(course, assignment, book, config)


def _is_locked(trouble: BaseException | None) -> bool:
    """Say whether another program holds the gradebook: then no hand-in is to blame."""
    while trouble is not None:
        if isinstance(trouble, sqlite3.OperationalError) and "locked" in str(trouble):
            return True
        trouble = trouble.__cause__ or trouble.__context__
    return False


def _failed(course: Course, assignment: str, number: str, trouble: Exception) -> Outcome:
    """Return the outcome of a hand-in that could not be marked; an older marking no longer stands for it."""
    with suppress(OSError):
        forget(course, assignment, number)
    if isinstance(trouble, PharmcalcError):
        return Outcome(number, "failed", str(trouble))
    return Outcome(number, "failed", f"it could not be marked ({type(trouble).__name__}: {trouble})"[:300])


class _Quick:
    """The usual way: marked in one go, wherever there is a processor, and entered by the ledger."""

    def __init__(self, course: Course, assignment: str, mark: Assessor, ledger: Ledger) -> None:
        self.mark = mark
        self._course, self._assignment, self._ledger = course, assignment, ledger

    def enter(self, handin: HandIn, made: Marked) -> None:
        """Enter the marks, then write the marked notebook."""
        course, assignment, number = self._course, self._assignment, handin.number
        self._ledger.enter(number, made.cells, handin.when, _marked_before(course, assignment, number))
        lay_down(course, assignment, number, made.text, handin.beside)


class _Through:
    """nbgrader's own converter, for a course whose ``nbgrader_config.py`` adds steps of its own. Slower."""

    def __init__(self, course: Course, assignment: str, book: Any, longer: Mapping[str, timedelta]) -> None:
        self._course, self._assignment, self._book, self._longer = course, assignment, book, longer
        self._converter = Converter("Autograde", course, assignment)

    def mark(self, handin: HandIn) -> Marked:
        """Leave everything to ``enter``."""
        return Marked("", ())

    def enter(self, handin: HandIn, _: Marked) -> None:
        """Convert the hand-in."""
        course, assignment, number = self._course, self._assignment, handin.number
        before = hand_marks(self._grades(number), _marked_before(course, assignment, number))
        self._book.update_or_create_student(number)
        self._book.update_or_create_submission(assignment, number, extension=self._longer.get(number))
        self._converter.run(number)
        settle_hand_marks(self._grades(number), before, read_marked(course, assignment, number))
        self._book.db.commit()

    def _grades(self, number: str) -> dict[str, Any]:
        from nbgrader.api import MissingEntry

        try:
            found = self._book.find_submission_notebook(self._assignment, self._assignment, number)
        except MissingEntry:
            return {}
        return {grade.name: grade for grade in found.grades}


def check_handin(course: Course, assignment: str, number: str) -> bytes:
    """Return the bytes of a hand-in that lies where nbgrader expects it, or raise ``CourseError`` with the reason."""
    path = course.submitted(assignment, number)
    if any(p.is_symlink() for p in (path, path.parent, path.parent.parent)):
        raise CourseError("it is a link to another place; remove it and ask for the notebook itself")
    if not path.is_file():
        what = "there is a bench record, but no" if any(path.parent.glob(file_name("*"))) else "there is no"
        raise CourseError(f"{what} {path.name} in its folder; ask the student for it")
    check_folder(path.parent)
    with path.open("rb") as file:
        data = file.read(LARGEST_FILE + 1)
    read_handin(data)
    return data


def _look(course: Course, issue: Issue, roster: Roster, number: str, basis: Any) -> HandIn:
    """Return a hand-in with everything that its marking depends on; CourseError says why it cannot be marked."""
    assignment = issue.assignment
    student = roster.find(number)
    if student is None or student.number != number:
        raise CourseError(f"{number} is not on the class list; add the student to class.csv, or remove the folder")
    data = check_handin(course, assignment, number)
    folder = course.submitted(assignment, number).parent
    beside, when = read_beside(folder, issue), time_of(folder)
    for part in (data, beside.fingerprint(), str(when).encode()):
        basis.update(part)
    return HandIn(number, data, beside, when, basis.hexdigest())


def _way(
    course: Course, assignment: str, mark: Assessor, book: Any, longer: Mapping[str, timedelta]
) -> _Quick | _Through:
    """Return how this course is marked: in one go, unless nbgrader's own steps have more to do."""
    config = settings(course)
    from pharmcalc.classroom.config import as_we_set_it

    if as_we_set_it(config, "Autograde") and fits_release(book.find_notebook(assignment, assignment), mark.release):
        return _Quick(course, assignment, mark, Ledger(course, assignment, book, config, longer))
    return _Through(course, assignment, book, longer)


def _marked_before(course: Course, assignment: str, number: str) -> Json | None:
    """Return what the run before left, finished or not."""
    try:
        return read_marked(course, assignment, number)
    except (OSError, ValueError):
        return None
