"""Ten marked scripts side by side with the working, so that an instructor checks the marker before trusting it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pharmcalc.answers import answer_body, read_answers
from pharmcalc.bench import SIMULATED
from pharmcalc.classroom.cells import Json, cells_by_id, source_of
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.issuing.release import issued_notebook
from pharmcalc.classroom.marking.finished import read_marked
from pharmcalc.classroom.marking.marker import record_of
from pharmcalc.classroom.pages import page, plain
from pharmcalc.classroom.results.attempts import attempt_of
from pharmcalc.classroom.results.picture import MARKED, Picture, Row
from pharmcalc.classroom.results.sampling import (
    ANOTHER_PLAN,
    APART,
    FOLLOWS,
    FREQUENT,
    UNRECOGNISED,
    Candidate,
    Sample,
    choose,
)
from pharmcalc.classroom.results.scripts_cards import cards_of
from pharmcalc.errors import CourseError
from pharmcalc.marking import Status
from pharmcalc.tasks.asked import Decision
from pharmcalc.tasks.family import Task, family_called
from pharmcalc.tasks.papers import Issue, answer_id, mark_id

__all__ = ["SCRIPTS", "write_scripts"]

SCRIPTS = "scripts.html"
_SEEN = {Status.FOLLOWS.value: FOLLOWS, Status.UNRECOGNISED.value: UNRECOGNISED}
_EVERYWHERE = Status.RIGHT.value
"""The verdict that needs no script of its own."""


@dataclass(frozen=True)
class _Tally:
    """How often the marker gave a verdict: in the whole class, and among the scripts that are shown."""

    verdict: str
    in_class: int
    shown: int


@dataclass(frozen=True)
class _Script:
    """A marked hand-in: its line in the class picture, the notebook, and the record of each task's mark."""

    row: Row
    nb: Json
    records: Mapping[str, Json]

    @property
    def number(self) -> str:
        return self.row.student.number

    @property
    def marks(self) -> float:
        """The marks of the tasks that the library marks."""
        return sum(self.row.scores.get(task, 0) for task in self.records)

    def statuses(self, task: str) -> list[str]:
        return [str(verdict["status"]) for verdict in self.records.get(task, {}).get("verdicts", [])]


def write_scripts(course: Course, picture: Picture) -> tuple[Path, Sample]:
    """Write ``reports/<assignment>/scripts.html``; return its path and which scripts were chosen.

    Raises CourseError where no hand-in of the class is marked.
    """
    release, issue = issued_notebook(course.release(picture.assignment))
    scripts = {row.student.number: _script(course, issue, row) for row in picture.having(MARKED)}
    if not scripts:
        raise CourseError(
            f"{picture.assignment}: no hand-in is marked yet, so there is nothing to check the marker by. "
            f"Mark first: pharmcalc mark {picture.assignment}"
        )
    sample = choose(
        (_candidate(script, picture, _other_plans(script, issue, release)) for script in scripts.values()),
        picture.assignment,
    )
    shown = [scripts[one.number] for one in sample.chosen]
    cards = {one.number: cards_of(course, issue, release, one.row) for one in shown}
    tasks = [part for part in picture.tasks if part.name in dict(issue.tasks)]
    text = page(
        "scripts",
        picture=picture,
        scripts=scripts,
        shown=shown,
        reasons={one.number: one.reasons for one in sample.chosen},
        no_room_for=sample.no_room_for,
        frequent=FREQUENT,
        tasks=tasks,
        out_of=plain(sum(part.out_of for part in tasks)),
        cards={part.name: [cards[one.number][part.name] for one in shown] for part in tasks},
        tallies=_tallies(scripts.values(), shown, [part.name for part in tasks]),
        in_task={part.name: _tallies(scripts.values(), shown, [part.name]) for part in tasks},
        plain=plain,
        SIMULATED=SIMULATED,
    )
    path = course.reports(picture.assignment) / SCRIPTS
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path, sample


def _tallies(everybody: Iterable[_Script], shown: Iterable[_Script], tasks: Iterable[str]) -> list[_Tally]:
    """Count the verdicts in these tasks, in the order in which ``Status`` names them."""
    names = list(tasks)
    in_class, among = (
        Counter(status for script in scripts for task in names for status in script.statuses(task))
        for scripts in (everybody, shown)
    )
    return [_Tally(one.value, in_class[one.value], among[one.value]) for one in Status if in_class[one.value]]


def _script(course: Course, issue: Issue, row: Row) -> _Script:
    nb = read_marked(course, issue.assignment, row.student.number)
    cells = cells_by_id(nb)
    records = {task: record_of(cells.get(mark_id(task), {})) or {} for task, _ in issue.tasks}
    return _Script(row, nb, records)


def _candidate(script: _Script, picture: Picture, other_plans: tuple[str, ...]) -> Candidate:
    shows = [(ANOTHER_PLAN, task) for task in other_plans]
    mistakes, verdicts = [], []
    for task, record in script.records.items():
        shows += [(_SEEN[status], task) for status in script.statuses(task) if status in _SEEN]
        if record and bool(record["cleared"]) != _all_marks(record):
            shows.append((APART, task))
        mistakes += [(picture.names.get(one, one), task) for one in script.row.mistakes.get(task, [])]
        verdicts += [(status, task) for status in script.statuses(task) if status not in (*_SEEN, _EVERYWHERE)]
    return Candidate(
        script.number,
        script.marks,
        _by_words(shows),
        _by_words(mistakes),
        _by_words(verdicts),
        in_doubt=bool(script.row.needs_eyes),
    )


def _by_words(pairs: Iterable[tuple[str, str]]) -> dict[str, tuple[str, ...]]:
    """Return for each of the words the tasks in which they stand."""
    found: dict[str, dict[str, None]] = {}
    for words, task in pairs:
        found.setdefault(words, {})[task] = None
    return {words: tuple(tasks) for words, tasks in found.items()}


def _all_marks(record: Json) -> bool:
    return bool(record.get("out_of")) and record["marks"] >= record["out_of"]


def _other_plans(script: _Script, issue: Issue, release: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the tasks in which all marks were earned by an answer that the key does not show."""
    found = []
    cells, attempt = cells_by_id(script.nb), attempt_of(script.nb, issue, release)
    for name, family in issue.tasks:
        free = [one for one in family_called(family).asked if one.choice or isinstance(one, Decision)]
        if free and not family_called(family).recorded and _all_marks(script.records[name]):
            alone = replace(issue, tasks=((name, family),))  # drawing the other tasks takes time and shows nothing
            (task,) = alone.paper(script.number, attempt).tasks
            if _unlike_the_key(task, answer_body(source_of(cells.get(answer_id(name), {})))):
                found.append(name)
    return tuple(found)


def _unlike_the_key(task: Task, text: str) -> bool:
    lines = read_answers(text, task.asked).lines
    for asked in task.asked:
        line = lines[asked.name]
        if isinstance(asked, Decision):
            if line.chosen is not None and line.chosen != asked.rights(task, task.values)[0]:
                return True
        elif asked.choice and line.value is not None and line.value != task.values[asked.name]:
            return True
    return False
