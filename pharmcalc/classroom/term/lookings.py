"""What a term says when it is looked at: frequent mistakes, progress, and who needs help with what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median, quantiles

from pharmcalc.classroom.picture import MARKED, Part, Picture, Row
from pharmcalc.classroom.roster import Student
from pharmcalc.classroom.term.gather import Term, handed_in, share_of
from pharmcalc.classroom.term.lessons import lesson_for

__all__ = ["Frequent", "Needs", "Progress", "frequent_mistakes", "needing_help", "progress", "quartiles"]


@dataclass(frozen=True)
class Frequent:
    """A mistake over the term: by assignment the students who made it, and those who made it in more than one."""

    id: str
    name: str
    by_assignment: dict[str, tuple[str, ...]]
    students: tuple[str, ...]
    again: tuple[str, ...]


@dataclass(frozen=True)
class Progress:
    """One assignment as a step of the term. ``shares`` are by the student's number, of those who are marked."""

    assignment: str
    title: str
    handed_in: int
    shares: dict[str, float]
    low: float
    middle: float
    high: float
    cleared: int
    marked: int


@dataclass(frozen=True)
class Needs:
    """What a student needs: mistakes made again (name, assignments), tasks not cleared, lessons to go back to.

    ``not_cleared`` holds (assignment, tasks). ``share`` is the average share of the marks over the assignments.
    """

    student: Student
    again: tuple[tuple[str, tuple[str, ...]], ...]
    not_cleared: tuple[tuple[str, tuple[Part, ...]], ...]
    lessons: tuple[str, ...]
    share: float

    @property
    def open_tasks(self) -> int:
        """How many tasks are not cleared."""
        return sum(len(parts) for _, parts in self.not_cleared)


def frequent_mistakes(term: Term) -> list[Frequent]:
    """Return the mistakes of the term, the most frequent first, counted by students."""
    made: dict[str, dict[str, list[str]]] = {}
    for picture in term.pictures:
        for row in picture.rows:
            for mistake in dict.fromkeys(one for found in row.mistakes.values() for one in found):
                made.setdefault(mistake, {}).setdefault(picture.assignment, []).append(row.student.number)
    names = term.names
    found = [
        _frequent(mistake, names.get(mistake, mistake), where, [student.number for student in term.students])
        for mistake, where in made.items()
    ]
    return sorted(found, key=lambda one: (-len(one.students), -len(one.again), one.name, one.id))


def _frequent(mistake: str, name: str, where: dict[str, list[str]], numbers: Sequence[str]) -> Frequent:
    times = {number: sum(number in made for made in where.values()) for number in numbers}
    return Frequent(
        mistake,
        name,
        {assignment: tuple(made) for assignment, made in where.items()},
        tuple(number for number in numbers if times[number]),
        tuple(number for number in numbers if times[number] > 1),
    )


def progress(term: Term) -> list[Progress]:
    """Return each assignment's shares of the marks with median and quartiles, and how many are cleared."""
    steps = []
    for picture in term.pictures:
        found = {row.student.number: share_of(picture, row) for row in picture.rows}
        shares = {number: share for number, share in found.items() if share is not None}
        marked = len(picture.having(MARKED))
        cleared = sum(row.all_cleared for row in picture.rows)
        three = quartiles(list(shares.values()))
        steps.append(Progress(picture.assignment, picture.title, handed_in(picture), shares, *three, cleared, marked))
    return steps


def quartiles(shares: Sequence[float]) -> tuple[float, float, float]:
    """Return lower quartile, median and upper quartile; of one value it is that value, of none it is nothing.

    >>> quartiles([0.2, 0.4, 0.6, 0.8, 1.0])
    (0.4, 0.6, 0.8)
    """
    if len(shares) < 2:
        return (shares[0],) * 3 if shares else (0.0, 0.0, 0.0)
    low, _, high = quantiles(shares, n=4, method="inclusive")
    return low, median(shares), high


def needing_help(term: Term) -> list[Needs]:
    """Return the students who made a mistake again in another assignment, or are not cleared in everything.

    Whoever repeats most mistakes comes first, then who has most tasks not cleared, then the smallest share of marks.
    """
    names = term.names
    found = [_needs(student, term.by_student[student.number], names) for student in term.students]
    helped = [needs for needs in found if needs.again or needs.not_cleared]
    return sorted(helped, key=lambda one: (-len(one.again), -one.open_tasks, one.share, one.student.number))


def _needs(student: Student, results: Sequence[tuple[Picture, Row]], names: dict[str, str]) -> Needs:
    where: dict[str, list[str]] = {}
    lessons_of: dict[str, list[str]] = {}
    not_cleared, read_again = [], []
    for picture, row in results:
        families = {part.name: part.family for part in picture.parts}
        for task, mistakes in row.mistakes.items():
            for mistake in dict.fromkeys(mistakes):
                where.setdefault(mistake, []).append(picture.assignment)
                lessons_of.setdefault(mistake, []).append(lesson_for(families.get(task, "")))
        open_parts = [p for p in picture.tasks if row.state == MARKED and not row.cleared.get(p.name, False)]
        if open_parts:
            not_cleared.append((picture.assignment, tuple(open_parts)))
            read_again += [lesson_for(part.family) for part in open_parts]
    again = {mistake: tuple(dict.fromkeys(made)) for mistake, made in where.items() if len(set(made)) > 1}
    first = [lesson for mistake in again for lesson in lessons_of[mistake]]
    return Needs(
        student,
        tuple((names.get(mistake, mistake), made) for mistake, made in again.items()),
        tuple(not_cleared),
        tuple(lesson for lesson in dict.fromkeys([*first, *read_again]) if lesson),
        _share_so_far(results),
    )


def _share_so_far(results: Sequence[tuple[Picture, Row]]) -> float:
    shares = [share for picture, row in results if (share := share_of(picture, row)) is not None]
    return sum(shares) / len(shares) if shares else 0.0
