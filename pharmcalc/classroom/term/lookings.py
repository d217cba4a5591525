"""What a term says when it is looked at: frequent mistakes, progress, and who needs help with what."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median, quantiles

from pharmcalc.classroom.results.picture import MARKED, Part, Picture, Row
from pharmcalc.classroom.roster import Student
from pharmcalc.classroom.term.gather import Term, handed_in, share_of
from pharmcalc.classroom.term.lessons import lesson_for

__all__ = ["Frequent", "Needs", "Progress", "frequent_mistakes", "named", "needing_help", "progress", "quartiles"]

MOST_LESSONS = 3


@dataclass(frozen=True)
class Frequent:
    """A mistake over the term: by assignment the students who made it, and those who made it in more than one.

    Mistakes of several formulas that the reports call by the same name are one mistake here.
    """

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

    The lessons are those with most of the student's repeated mistakes and open tasks, a few at most. ``not_cleared``
    holds (assignment, tasks). ``share`` is the average share of the marks over the assignments.
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
            for name in dict.fromkeys(name for found in named(picture, row).values() for name in found):
                made.setdefault(name, {}).setdefault(picture.assignment, []).append(row.student.number)
    numbers = [student.number for student in term.students]
    found = [_frequent(name, where, numbers) for name, where in made.items()]
    return sorted(found, key=lambda one: (-len(one.students), -len(one.again), one.name))


def named(picture: Picture, row: Row) -> dict[str, tuple[str, ...]]:
    """Return a student's mistakes in each task, by the names that the report has for them."""
    return {
        task: tuple(dict.fromkeys(picture.names.get(mistake, mistake) for mistake in found))
        for task, found in row.mistakes.items()
        if found
    }


def _frequent(name: str, where: dict[str, list[str]], numbers: Sequence[str]) -> Frequent:
    times = Counter(number for made in where.values() for number in made)
    return Frequent(
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
    found = [_needs(student, term.by_student[student.number]) for student in term.students]
    helped = [needs for needs in found if needs.again or needs.not_cleared]
    return sorted(helped, key=lambda one: (-len(one.again), -one.open_tasks, one.share, one.student.number))


def _needs(student: Student, results: Sequence[tuple[Picture, Row]]) -> Needs:
    where: dict[str, list[str]] = {}
    taught: dict[str, list[str]] = {}
    lessons: Counter[str] = Counter()
    not_cleared = []
    for picture, row in results:
        families = {part.name: part.family for part in picture.parts}
        for task, names in named(picture, row).items():
            for name in names:
                where.setdefault(name, []).append(picture.assignment)
                taught.setdefault(name, []).append(lesson_for(families.get(task, "")))
        open_parts = [part for part in picture.tasks if row.state == MARKED and not row.cleared.get(part.name, False)]
        if open_parts:
            not_cleared.append((picture.assignment, tuple(open_parts)))
            lessons.update(lesson_for(part.family) for part in open_parts)
    again = {name: tuple(dict.fromkeys(made)) for name, made in where.items() if len(set(made)) > 1}
    for name in again:
        lessons.update(taught[name])
    first = sorted(lessons, key=lambda lesson: -lessons[lesson])
    return Needs(
        student,
        tuple(again.items()),
        tuple(not_cleared),
        tuple(lesson for lesson in first if lesson)[:MOST_LESSONS],
        _share_so_far(results),
    )


def _share_so_far(results: Sequence[tuple[Picture, Row]]) -> float:
    shares = [share for picture, row in results if (share := share_of(picture, row)) is not None]
    return sum(shares) / len(shares) if shares else 0.0
