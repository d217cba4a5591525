"""A student's feedback page: questions, answers as plain text, our marks with their reasons, comments.

The questions are drawn by the instructor's process. The page loads nothing from another host and runs nothing. Plain
``nbgrader generate_feedback`` (a step in ``preprocessors``) and ours draw it with the same function.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from pharmcalc.answers import answer_body
from pharmcalc.classroom.cells import Json, cells_by_id, is_marked_by_hand, source_of
from pharmcalc.classroom.marking.escaping import written_text
from pharmcalc.classroom.marking.marker import html_of, record_of
from pharmcalc.classroom.pages import page, plain
from pharmcalc.classroom.paper.origin import origin_in
from pharmcalc.classroom.results.attempts import attempt_of
from pharmcalc.classroom.results.overrides import Change
from pharmcalc.language import say, using
from pharmcalc.tasks.family import Task
from pharmcalc.tasks.papers import answer_id, mark_id, read_issue

__all__ = ["Given", "PageWriter", "Returned", "Standing"]


@dataclass(frozen=True)
class Given:
    """What the gradebook holds of one cell: marks, out of how many, comment, and whether a person has to mark it."""

    score: float = 0.0
    out_of: float = 0.0
    comment: str = ""
    awaits: bool = False


@dataclass(frozen=True)
class Standing:
    """What the gradebook holds of one hand-in: by cell, and the penalty for handing it in late."""

    cells: Mapping[str, Given]
    late_penalty: float = 0.0

    def of(self, name: str) -> Given:
        """Return what it holds of a cell."""
        return self.cells.get(name, Given())

    @property
    def score(self) -> float:
        """All marks together, less the penalty."""
        return sum(given.score for given in self.cells.values()) - self.late_penalty

    @property
    def out_of(self) -> float:
        """The marks that can be had."""
        return sum(given.out_of for given in self.cells.values())


@dataclass(frozen=True)
class Returned:
    """What a page is drawn from: whose, the text of the marked notebook, the gradebook's part, changes by hand."""

    number: str
    text: str
    standing: Standing
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True)
class Part:
    """One marked part of the page.

    ``awaits`` says that a person has still to mark it. ``cleared``, ``question`` and ``feedback`` (our own markup) are
    for tasks only. ``simulated``: the answer is the record of the simulated bench, in a few words.
    """

    name: str
    title: str
    answer: str
    score: str
    out_of: str
    comment: str
    awaits: bool = False
    cleared: bool | None = None
    question: str = ""
    feedback: str = ""
    simulated: bool = False


class PageWriter:
    """Draws the pages of one assignment: what was issued, and nothing else, is needed for it."""

    def __init__(self, release: Json) -> None:
        """Read what the released notebook issues."""
        self.release, self.issue = release, read_issue(release)

    def __reduce__(self) -> tuple[type[PageWriter], tuple[Json]]:
        """Be sent to another process as the release alone: its quantities belong to that process's own units."""
        return PageWriter, (self.release,)

    def __call__(self, returned: Returned) -> str:
        """Return the page, in the language of the house."""
        with using(self.issue.house.habits):
            return self._page(returned)

    def _page(self, returned: Returned) -> str:
        nb, issue = json.loads(returned.text), self.issue
        paper = issue.paper(returned.number, attempt_of(nb, issue, self.release))
        cells, blank, standing = cells_by_id(nb), cells_by_id(self.release), returned.standing
        reasons = {change.task: change.reason for change in returned.changes}
        parts = [_task_part(paper.task(name), cells, standing, reasons.get(name, "")) for name, _ in issue.tasks]
        parts += [_written_part(name, cell, blank, standing) for name, cell in cells.items() if is_marked_by_hand(cell)]
        return page(
            "feedback",
            title=issue.title,
            origin=origin_in(nb),
            paper=paper,
            rules=issue.house.summary(),
            parts=parts,
            score=plain(standing.score),
            out_of=plain(standing.out_of),
            late_penalty=plain(standing.late_penalty) if standing.late_penalty else "",
        )


def _task_part(task: Task, cells: dict[str, Json], standing: Standing, reason: str) -> Part:
    """Return a task's part of the page; ``reason`` is why its mark was changed by hand, where it was.

    nbgrader keeps no comment beside a task without an answer cell, so there the reason stands in its place.
    """
    mark, answer = cells[mark_id(task.id)], cells.get(answer_id(task.id), {})
    record = record_of(mark) or {}
    done = (record.get("done") or {}).get("says", "")
    return Part(
        name=task.id,
        title=task.family.title,
        answer=done if task.family.recorded else answer_body(source_of(answer)),
        **_marks(standing.of(mark_id(task.id))),
        comment=standing.of(answer_id(task.id)).comment if answer else reason,
        cleared=bool(record.get("cleared")),
        question=Markup(task.question_html()),
        feedback=Markup(html_of(mark)),
        simulated=task.family.recorded,
    )


def _written_part(name: str, cell: Json, blank: dict[str, Json], standing: Standing) -> Part:
    text = written_text(cell)
    return Part(
        name=name,
        title=say("Written answer, marked by your instructor"),
        answer="" if name in blank and text == source_of(blank[name]) else text,
        **_marks(standing.of(name)),
        comment=standing.of(name).comment,
    )


def _marks(given: Given) -> dict[str, Any]:
    return {"score": plain(given.score), "out_of": plain(given.out_of), "awaits": given.awaits}
