"""A marked script as cards, one a task: what was typed, how it was read, the working, the verdict and why.

Verdicts and marks are those that the marked hand-in holds. Only to show how a line was read, and what the working gives
with the student's own numbers, the same text is read once more; should that come out otherwise, the card says so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from pharmcalc.classroom.cells import Json, cells_by_id
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handed_in.records import read_beside
from pharmcalc.classroom.marking.finished import read_marked
from pharmcalc.classroom.marking.marker import mark_script, record_of
from pharmcalc.classroom.pages import plain
from pharmcalc.classroom.results.attempts import attempt_of
from pharmcalc.classroom.results.overrides import changes_in_force
from pharmcalc.classroom.results.picture import Row
from pharmcalc.errors import RefusedError
from pharmcalc.marking import DecisionVerdict, Judged, Status, TaskMark, Verdict
from pharmcalc.tasks.papers import Issue, mark_id
from pharmcalc.working import WorkingStep, step_of

__all__ = ["Answer", "TaskCard", "cards_of"]

LONGEST_SHOWN = 400
"""Characters of a typed line that a card shows; the whole hand-in stays in received/."""


@dataclass(frozen=True)
class Answer:
    """One answer on a card.

    ``working`` is the step of the key's working with this student's numbers, ``own`` the same step with the student's
    own earlier answers where these differ. ``share`` is "all", "some" or "none" of the marks.
    """

    label: str
    typed: str
    read: str
    working: str
    note: str
    own: str
    verdict: str
    reason: str
    marks: str
    out_of: str
    share: str


@dataclass(frozen=True)
class TaskCard:
    """One student's task.

    ``marks`` stand in the gradebook; ``changed`` says who changed them by hand. ``left_out`` are the lines that were
    not counted, with why. ``look`` is what a person should settle. ``done``: at the simulated bench, in a few words.
    """

    number: str
    anchor: str
    question: tuple[str, ...]
    answers: tuple[Answer, ...]
    left_out: tuple[tuple[str, str], ...]
    marks: str
    out_of: str
    changed: str
    cleared: bool
    reasons: tuple[str, ...]
    look: str
    working: str
    simulated: bool
    done: str


def cards_of(course: Course, issue: Issue, release: Mapping[str, Any], row: Row) -> dict[str, TaskCard]:
    """Return a card for each task of a student whose hand-in is marked, by task."""
    number = row.student.number
    nb = read_marked(course, issue.assignment, number)
    beside = read_beside(course.submitted(issue.assignment, number).parent, issue)
    script = mark_script(nb, issue, number, attempt_of(nb, issue, release), beside.texts, beside.unread)
    changes = {one.task: one.says() for one in changes_in_force(course, issue.assignment).get(number, [])}
    cells = cells_by_id(nb)
    return {
        name: _card(row, mark, record_of(cells.get(mark_id(name), {})) or {}, changes.get(name, ""))
        for name, mark in script.marks.items()
    }


def _card(row: Row, mark: TaskMark, record: Json, changed: str) -> TaskCard:
    task, number = mark.task, row.student.number
    held = {str(one["answer"]): one for one in record.get("verdicts", [])}
    steps = dict(zip((asked.name for asked in task.asked), task.working().steps, strict=True))
    looks = [str(record.get("needs_eyes") or "")]
    if [one["status"] for one in held.values()] != [verdict.status.value for verdict in mark.verdicts]:
        looks.append("Read again now, this comes out otherwise than it was marked. Mark the class again with --again.")
    return TaskCard(
        number=number,
        anchor=f"{task.id}-{number}",
        question=tuple(task.question_text().split("\n\n")),
        answers=tuple(_answer(mark, one, held.get(one.label, {}), steps[one.asked.name]) for one in mark.verdicts),
        left_out=tuple((_short(text), why) for text, why in mark.sheet.stray),
        marks=plain(row.scores.get(task.id, 0)),
        out_of=plain(mark.out_of),
        changed=changed,
        cleared=row.cleared.get(task.id, False),
        reasons=tuple(map(str, record.get("reasons", []))),
        look=" ".join(filter(None, looks)),
        working=Markup(task.working().html()),
        simulated=task.family.recorded,
        done=str((record.get("done") or {}).get("says", "")),
    )


def _answer(mark: TaskMark, verdict: Judged, held: Json, step: WorkingStep) -> Answer:
    marks, out_of = float(held.get("marks", 0)), float(held.get("out_of", verdict.out_of))
    return Answer(
        label=verdict.label,
        typed=_short(str(held.get("typed", ""))),
        read="" if mark.task.family.recorded else verdict.line.read_back(),
        working=step.line.removeprefix(f"{step.label} = "),
        note=step.note,
        own=_own(mark, verdict, step),
        verdict=str(held.get("status", "not marked")),
        reason=str(held.get("mistake_name") or _follows(mark, verdict)),
        marks=plain(marks),
        out_of=plain(out_of),
        share="all" if marks >= out_of else "some" if marks > 0 else "none",
    )


def _own(mark: TaskMark, verdict: Judged, step: WorkingStep) -> str:
    """Return what the step gives with the student's own earlier answers; nothing where it gives the same."""
    if isinstance(verdict, DecisionVerdict):
        rights = " or ".join(option.said for option in verdict.rights)
        return "" if rights == step.value else rights
    assert isinstance(verdict, Verdict)
    asked = verdict.asked
    if asked.choice and not verdict.earned:
        return f"{asked.kind.show(verdict.right)} would do"
    try:
        own = step_of(asked.formula, verdict.values, label=step.label)
        key = step_of(asked.formula, mark.task.values, label=step.label)
    except (ZeroDivisionError, RefusedError):
        return ""
    if asked.choice:
        return "" if own.value == key.value else f"at least {own.value}"
    return "" if own.line == step.line else own.line.removeprefix(f"{step.label} = ")


def _follows(mark: TaskMark, verdict: Judged) -> str:
    """Say from which earlier answers a verdict follows, where it was given on an earlier slip."""
    if verdict.status is not Status.FOLLOWS:
        return ""
    earlier = mark.verdicts[: mark.verdicts.index(verdict)]
    if isinstance(verdict, Verdict):
        earlier = tuple(one for one in earlier if one.asked.name in verdict.asked.formula.kinds)
    slips = [one.label for one in earlier if one.status is not Status.RIGHT]
    return f"follows from {' and '.join(slips)}" if slips else "follows from an earlier answer as it was rounded"


def _short(text: str) -> str:
    if len(text) <= LONGEST_SHOWN:
        return text
    return f"{text[:LONGEST_SHOWN]} ... ({len(text) - LONGEST_SHOWN} more characters)"
