"""A student's feedback page, through nbgrader's ``GenerateFeedback``.

The page is our own: the questions as the instructor's process draws them, the student's answers as plain text, our
marks with their reasons, and the instructor's comments. It loads nothing from another host and runs nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from markupsafe import Markup
from nbformat.notebooknode import NotebookNode
from nbgrader.preprocessors import GetGrades
from traitlets import List

from pharmcalc.answers import answer_body
from pharmcalc.classroom.attempts import attempt_of
from pharmcalc.classroom.cells import Json, cells_by_id, grade_id, grader_of, is_marked_by_hand, source_of
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.escaping import written_text
from pharmcalc.classroom.marker import html_of, record_of
from pharmcalc.classroom.overrides import changes_in_force
from pharmcalc.classroom.pages import page, plain
from pharmcalc.classroom.preprocessors import InCourse, Step
from pharmcalc.tasks.family import Task
from pharmcalc.tasks.papers import answer_id, mark_id


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


class Grades(GetGrades):  # type: ignore[misc]  # nbgrader has no types
    """nbgrader's ``GetGrades``, which also notes the marks that a person has still to give."""

    def _get_score(self, cell: NotebookNode, resources: Any) -> None:
        super()._get_score(cell, resources)
        where = (self.notebook_id, self.assignment_id, self.student_id)
        grade = self.gradebook.find_grade(grade_id(cell), *where)
        cell.metadata.nbgrader["awaits"] = bool(grade.needs_manual_grade and grade.manual_score is None)


class FeedbackPage(InCourse):
    """Draw the page; our nbconvert template writes it out as it is."""

    # The HTML exporter sets this for every step and warns of a step that does not take it.
    display_data_priority = List(["text/html", "text/plain"]).tag(config=True)

    def preprocess(self, nb: NotebookNode, resources: Any) -> Step:
        """Return the notebook unchanged, with the page in the resources."""
        release, issue = self.issued(resources)
        at_hand = resources["nbgrader"]
        paper = issue.paper(at_hand["student"], attempt_of(nb, issue, release))
        cells, blank = cells_by_id(nb), cells_by_id(release)
        changes = changes_in_force(Course(Path(self.course_folder().root)), issue.assignment).get(paper.student, [])
        reasons = {change.task: change.reason for change in changes}
        parts = [_task_part(paper.task(name), cells, reasons.get(name, "")) for name, _ in issue.tasks]
        parts += [_written_part(name, cell, blank) for name, cell in cells.items() if is_marked_by_hand(cell)]
        resources["pharmcalc_page"] = page(
            "feedback",
            title=issue.title,
            paper=paper,
            rules=issue.house.summary(),
            parts=parts,
            score=plain(at_hand["score"]),
            out_of=plain(at_hand["max_score"]),
            late_penalty=plain(at_hand["late_penalty"]) if at_hand["late_penalty"] else "",
        )
        return nb, resources


def _task_part(task: Task, cells: dict[str, Json], reason: str) -> Part:
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
        **_marks(mark),
        comment=str(grader_of(answer).get("comment") or "") if answer else reason,
        cleared=bool(record.get("cleared")),
        question=Markup(task.question_html()),
        feedback=Markup(html_of(mark)),
        simulated=task.family.recorded,
    )


def _written_part(name: str, cell: Json, blank: dict[str, Json]) -> Part:
    text = written_text(cell)
    return Part(
        name=name,
        title="Written answer, marked by your instructor",
        answer="" if name in blank and text == source_of(blank[name]) else text,
        **_marks(cell),
        comment=str(grader_of(cell).get("comment") or ""),
    )


def _marks(cell: Json) -> dict[str, Any]:
    given = grader_of(cell)
    return {
        "score": plain(given.get("score", 0)),
        "out_of": plain(given.get("points", 0)),
        "awaits": bool(given.get("awaits")),
    }
