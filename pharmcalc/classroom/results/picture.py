"""The class after marking, as data: who has what, which mistakes were made, who needs a look.

Marks come from nbgrader's gradebook, so that a mark changed by hand counts. Mistakes and clearance come from the
records in the marked hand-ins, which the instructor's own process wrote. Pages and sheets only show it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from pharmcalc.bench.inspection import NOT_REACHED
from pharmcalc.classroom.cells import Json, cells_by_id, part_name, remarks_of
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.handed_in.inbox import Entry, last_words, set_aside
from pharmcalc.classroom.handed_in.naming import one_line
from pharmcalc.classroom.issuing.deadlines import said_late
from pharmcalc.classroom.issuing.release import issued_notebook
from pharmcalc.classroom.issuing.resit import asked, first_sitting
from pharmcalc.classroom.marking.finished import is_marked, read_marked
from pharmcalc.classroom.marking.marker import record_of
from pharmcalc.classroom.marking.outcomes import Outcome
from pharmcalc.classroom.marking.run import check_handin
from pharmcalc.classroom.paper.origin import origin_in, origins
from pharmcalc.classroom.results.attempts import Attempt, counted, read_attempts
from pharmcalc.classroom.results.overrides import changes_in_force
from pharmcalc.classroom.roster import Roster, Student
from pharmcalc.errors import CourseError
from pharmcalc.tasks.bench_orders import NOT_NEEDED
from pharmcalc.tasks.family import Family, family_called
from pharmcalc.tasks.house import HouseRules
from pharmcalc.tasks.papers import mark_id

MARKED = "marked"
NOT_MARKED = "handed in, not marked"
ABSENT = "not handed in"
NOT_ASKED = "no resit"
_FOLLOWS = (f"-{NOT_REACHED}", f"-{NOT_NEEDED.id}")
"""How findings at the simulated bench end that are no mistake by themselves: the work had ended before."""


@dataclass(frozen=True)
class Part:
    """A part of the assignment that carries marks: a task, one at the simulated bench, or a question marked by hand.

    ``family``: the id of the kind of task; empty for a question marked by hand.
    """

    name: str
    title: str
    out_of: float
    by_hand: bool
    simulated: bool = False
    family: str = ""

    @property
    def label(self) -> str:
        """The name as a heading shows it."""
        return f"{self.name} (simulated)" if self.simulated else self.name


@dataclass
class Row:
    """One student: state, marks, clearance, what is still to be marked by hand, and what to look at.

    ``other_attempt`` is how much more (or less) another attempt than the one marked last (``marked_attempt``), or a
    capped one, counts for.
    ``attempts`` are those that were marked, in their order.
    ``simulated`` are the tasks whose marks come from a record of the simulated bench.
    By task: ``mistakes`` holds the ids of those that were recognised, ``lost`` says in words why marks were lost.
    """

    student: Student
    state: str = ABSENT
    scores: dict[str, float] = field(default_factory=dict)
    penalty: float = 0.0
    other_attempt: float = 0.0
    marked_attempt: int = 1
    cleared: dict[str, bool] = field(default_factory=dict)
    simulated: set[str] = field(default_factory=set)
    mistakes: dict[str, list[str]] = field(default_factory=dict)
    lost: dict[str, list[str]] = field(default_factory=dict)
    to_mark: list[str] = field(default_factory=list)
    needs_eyes: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    origin: str = ""
    attempts: list[Attempt] = field(default_factory=list)

    @property
    def total(self) -> float:
        """All marks together, with the attempt that counts, after a penalty for handing in late."""
        return max(0.0, sum(self.scores.values()) - self.penalty) + self.other_attempt

    @property
    def all_cleared(self) -> bool:
        """Whether every task is cleared for the bench. A simulated weighing may stand in the way; it clears nobody."""
        calculated = self.cleared.keys() - self.simulated
        return self.state == MARKED and bool(calculated) and all(self.cleared.values())


@dataclass(frozen=True)
class Picture:
    """The whole class in one assignment."""

    assignment: str
    title: str
    parts: tuple[Part, ...]
    rows: tuple[Row, ...]
    names: dict[str, str]
    set_aside: tuple[Entry, ...]

    @property
    def out_of(self) -> float:
        """The marks that can be had."""
        return sum(part.out_of for part in self.parts)

    @property
    def tasks(self) -> tuple[Part, ...]:
        """The parts that are marked by the library."""
        return tuple(part for part in self.parts if not part.by_hand)

    def having(self, *states: str) -> list[Row]:
        """Return the rows in one of these states."""
        return [row for row in self.rows if row.state in states]

    def to_look_at(self) -> list[Row]:
        """Return the rows that an instructor should look at."""
        return [row for row in self.rows if row.needs_eyes]

    def mistakes(self) -> list[tuple[str, list[tuple[Row, str]]]]:
        """Return each mistake's name with who made it in which task, the most frequent first (counted by students)."""
        made: dict[str, list[tuple[Row, str]]] = {}
        for row in self.rows:
            for task, found in row.mistakes.items():
                for mistake in dict.fromkeys(found):
                    made.setdefault(mistake, []).append((row, task))
        ranked = sorted(made.items(), key=lambda item: (-count_students(item[1]), self.names.get(item[0], item[0])))
        return [(self.names.get(mistake, mistake), cases) for mistake, cases in ranked]


def count_students(cases: Iterable[tuple[Row, str]]) -> int:
    """Return how many different students are among the cases."""
    return len({row.student.number for row, _ in cases})


def take_picture(course: Course, assignment: str, roster: Roster) -> Picture:
    """Gather the class's results in one assignment."""
    course.require(assignment)
    with gradebook(course) as book:
        return picture_from(book, course, assignment, roster)


def picture_from(
    book: Any, course: Course, assignment: str, roster: Roster, watch: Callable[[Outcome], None] = lambda _: None
) -> Picture:
    """Gather the class's results in one assignment from an open gradebook; ``watch`` is called after each student."""
    release, issue = issued_notebook(course.release(assignment))
    parts = _parts(book, assignment, issue, release)
    names: dict[str, str] = {}
    rows = [Row(student) for student in roster]
    submissions, words = _submissions(book, assignment), last_words(course, assignment)
    changes, attempts = changes_in_force(course, assignment), read_attempts(course, assignment)
    typed, first = origins(course, assignment), first_sitting(course, assignment)
    before = _submissions(book, first) if first else {}
    sitting = {student.number for student in asked(course, assignment, roster)}
    for row in rows:
        number = row.student.number
        if number not in sitting:
            row.state = NOT_ASKED
            continue
        _fill(row, course, assignment, submissions.get(number), words.get(number, []), names)
        row.notes += sorted(typed.get(number, set()) & {row.origin})
        if number in before:
            row.notes.append(f"in {first}: {before[number].score:g} of {before[number].max_score:g}")
        row.notes += [change.says() for change in changes.get(number, [])]
        row.notes += [f"{what}: {said}" for what, said in row.student.arrangements]
        row.attempts = attempts.get(number, [])
        _count_attempts(row, issue.house)
        watch(Outcome(number, row.state))
    on_list = {student.number for student in roster}
    strangers = [
        Entry(f"submitted/{one_line(number)}", number, False, "this folder's name is not on the class list")
        for number in course.handed_in(assignment)
        if number not in on_list
    ]
    aside = (*set_aside(course, assignment), *strangers)
    return Picture(assignment, issue.title, parts, tuple(rows), names, aside)


def _submissions(book: Any, assignment: str) -> dict[str, Any]:
    """Return the gradebook's submitted notebooks of this assignment, by the student's number.

    Marks, cells and students come with them in a few queries, where nbgrader would ask for each one when it is used.
    """
    from nbgrader.api import Assignment, Grade, Notebook, SubmittedAssignment, SubmittedNotebook
    from sqlalchemy.orm import joinedload, selectinload

    found = (
        book.db.query(SubmittedNotebook)
        .join(SubmittedNotebook.notebook)
        .join(Notebook.assignment)
        .filter(Notebook.name == assignment, Assignment.name == assignment)
        .options(
            joinedload(SubmittedNotebook.assignment).joinedload(SubmittedAssignment.student),
            joinedload(SubmittedNotebook.assignment).joinedload(SubmittedAssignment.assignment),
            selectinload(SubmittedNotebook.grades).joinedload(Grade.cell),
        )
    )
    return {one.student.id: one for one in found}


def _parts(book: Any, assignment: str, issue: Any, release: Json) -> tuple[Part, ...]:
    """Return the marked parts in the release's order; the gradebook says what each is worth."""
    from nbgrader.api import MissingEntry

    try:
        notebook = book.find_notebook(assignment, assignment)
    except MissingEntry:
        raise CourseError(
            f"{assignment} is not in the gradebook. Issue it again: pharmcalc issue {assignment}"
        ) from None
    worth = {cell.name: float(cell.max_score) for cell in notebook.grade_cells}
    families = {mark_id(name): family_called(family) for name, family in issue.tasks}
    return tuple(_part(name, worth[name], families.get(name)) for name in cells_by_id(release) if name in worth)


def _part(name: str, worth: float, family: Family | None) -> Part:
    if family is None:
        return Part(part_name(name), "Written answer", worth, by_hand=True)
    return Part(part_name(name), family.title, worth, by_hand=False, simulated=family.recorded, family=family.id)


def _fill(
    row: Row, course: Course, assignment: str, submission: Any, words: Iterable[Entry], names: dict[str, str]
) -> None:
    number = row.student.number
    row.needs_eyes += [f"{word.file}: {word.reason}" for word in words if not word.taken]
    if not course.submitted(assignment, number).parent.is_dir():
        row.state = NOT_MARKED if row.needs_eyes else ABSENT
        return
    row.state = NOT_MARKED
    if submission is None or not is_marked(course, assignment, number):
        row.needs_eyes.append(_why_not_marked(course, assignment, number))
        return
    row.state = MARKED
    row.penalty = float(submission.late_submission_penalty or 0)
    if late := submission.assignment.total_seconds_late:
        lost = f", {row.penalty:g} marks off" if row.penalty else ""
        row.notes.append(f"handed in {said_late(late)} late{lost}")
    for grade in submission.grades:
        row.scores[part_name(grade.name)] = float(grade.score)
        if grade.needs_manual_grade:
            row.to_mark.append(part_name(grade.name))
    nb = read_marked(course, assignment, number)
    remarks, row.origin = remarks_of(nb), origin_in(nb)
    row.needs_eyes += remarks["needs_eyes"]
    row.notes += remarks["notes"]
    for name, cell in cells_by_id(nb).items():
        record = record_of(cell)
        if record is None:
            continue
        task = part_name(name)
        row.cleared[task] = bool(record.get("cleared"))
        row.marked_attempt = int(record.get("attempt", 1))
        row.simulated |= {task} if record.get("simulated") else set()
        row.mistakes[task] = [str(m) for m in record.get("mistakes", []) if not str(m).endswith(_FOLLOWS)]
        verdicts = [verdict for verdict in record.get("verdicts", []) if verdict["marks"] < verdict["out_of"]]
        verdicts = [one for one in verdicts if not str(one["mistake"]).endswith(_FOLLOWS)] or verdicts
        row.lost[task] = list(dict.fromkeys(_said(verdict) for verdict in verdicts)) or list(record.get("reasons", []))
        names |= {verdict["mistake"]: _said(verdict) for verdict in verdicts if verdict["mistake"]}


def _count_attempts(row: Row, house: HouseRules) -> None:
    """Count the attempt that the house rules name, where there is more than one."""
    attempts, counts = row.attempts, counted(row.attempts, house)
    if row.state != MARKED or counts is None or (len(attempts) == 1 and counts == attempts[0]):
        return
    held = next((one for one in attempts if one.attempt == row.marked_attempt), attempts[-1])
    row.other_attempt = counts.marks - held.marks  # the gradebook holds the attempt that was marked last
    row.notes.append(
        f"{'; '.join(one.says() for one in attempts)}; {counts.marks:g} count ({house.attempt_that_counts})"
    )


def _said(verdict: Json) -> str:
    """Return why an answer lost marks: the mistake's name, else what the answer turned out to be."""
    return str(verdict["mistake_name"] or verdict["status"]).rstrip(".")


def _why_not_marked(course: Course, assignment: str, number: str) -> str:
    try:
        check_handin(course, assignment, number)
    except CourseError as trouble:
        return str(trouble)
    return f"not marked yet; run: pharmcalc mark {assignment}"
