"""Mark one tidied hand-in: read its answer cells, mark each on the paper of the student who owns it.

Who the student is comes from the folder that the hand-in lies in. The number and the attempt typed in the notebook
are compared with that and never trusted. Nothing in the notebook is run; what cannot be marked earns nothing
and is put before the instructor.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from pharmcalc.answers import answer_body, read_student_cell
from pharmcalc.classroom.cells import OURS, STUDENT, Json, cells_by_id, grader_of, mark_cells, remarks_of, source_of
from pharmcalc.classroom.handed_in.records import Beside, done_at_the_bench
from pharmcalc.classroom.marking.tidy import clean_text
from pharmcalc.feedback import feedback_html
from pharmcalc.language import using
from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.pages import render
from pharmcalc.tasks.family import Task
from pharmcalc.tasks.papers import Issue, Paper, answer_id, mark_id, normal_number


@dataclass(frozen=True)
class Script:
    """A marked hand-in: the mark of each task, and what an instructor should look at.

    ``done`` is what was done at the simulated bench, by task, where there was a record that could be replayed.
    """

    paper: Paper
    marks: Mapping[str, TaskMark]
    needs_eyes: tuple[str, ...]
    done: Mapping[str, Json] = field(default_factory=dict)

    @property
    def total(self) -> Fraction:
        """All marks together."""
        return sum((mark.marks for mark in self.marks.values()), Fraction(0))


def issued_attempt(release: Mapping[str, Any]) -> int:
    """Return the attempt that was issued: the one that stands in the release's student cell, else 1."""
    cell = cells_by_id(release).get(STUDENT)
    attempt = read_student_cell(source_of(cell))[1] if cell else None
    return attempt or 1


def mark_script(
    nb: Mapping[str, Any],
    issue: Issue,
    student: str,
    attempt: int = 1,
    records: Mapping[str, str] | None = None,
    unread: Mapping[str, str] | None = None,
) -> Script:
    """Mark a tidied notebook on the paper of ``student``.

    Parameters
    ----------
    nb
        The hand-in as ``tidy`` returns it.
    issue
        What was issued: tasks and house rules.
    student
        The number of the student whose folder the hand-in lies in.
    attempt
        The attempt that was issued.
    records
        The texts of the records of the simulated bench that lie beside the notebook, by task.
    unread
        Why a record that lies there could not be read, by task.

    Returns
    -------
    Script
        One mark for every task of the issue.

    Notes
    -----
    When the number typed in the notebook is another student's, the marks stay those of the owner's paper; the remark
    says whether the answers fit the other paper.
    """
    cells = cells_by_id(nb)
    answers = {
        task: answer_body(source_of(cells[answer_id(task)])) for task, _ in issue.tasks if answer_id(task) in cells
    }
    beside = Beside(records or {}, unread or {})
    answers |= beside.texts
    with using(issue.house.habits):
        script = _on_paper(issue.paper(student, attempt), answers, beside)
    number, attempt_typed, _ = read_student_cell(source_of(cells[STUDENT]) if STUDENT in cells else "")
    differs = _compare(script, issue, answers, beside, number, attempt_typed)
    return replace(script, needs_eyes=(*differs, *script.needs_eyes))


def mark_notebook(nb: Json, issue: Issue, student: str, attempt: int, beside: Beside) -> None:
    """Give every mark cell of a tidied notebook, in place, the points that the answers or the bench record earn.

    nb, issue, student, attempt: as for ``mark_script``. beside: the bench records. No cell is run.
    """
    script = mark_script(nb, issue, student, attempt, beside.texts, beside.unread)
    remarks = remarks_of(nb)
    remarks["needs_eyes"] += script.needs_eyes
    remarks["paper"] = script.paper.code
    marks = {mark_id(task): mark for task, mark in script.marks.items()}
    for name, cell in mark_cells(nb).items():
        if name in marks:
            with using(issue.house.habits):
                cell["outputs"] = [mark_output(marks[name], script, float(grader_of(cell)["points"]))]
        else:
            why = f"{name}: this cell belongs to no task of the assignment, so it earned nothing"
            remarks["needs_eyes"].append(why)
            cell["outputs"] = [no_mark_output(why)]
    nb["metadata"][OURS] = remarks


def plain_number(marks: Fraction, most: Fraction | float) -> str:
    """Return marks as one plain number between 0 and ``most``, never rounded up.

    nbgrader takes anything else (``1.5 of 2``, ``nan``, a negative number) for full marks, or stops.

    >>> plain_number(Fraction(3, 2), 2), plain_number(Fraction(-1), 2), plain_number(Fraction(5), 2.0)
    ('1.5', '0', '2')
    """
    clamped = min(max(marks, Fraction(0)), Fraction(most))
    millionths = int(clamped * 10**6)
    whole, rest = divmod(millionths, 10**6)
    return f"{whole}.{rest:06d}".rstrip("0").rstrip(".")


def mark_output(mark: TaskMark, script: Script, most: float) -> Json:
    """Return the one output that the mark cell gets: the points for nbgrader, the feedback, and the record."""
    points = plain_number(mark.marks, most)
    record = {
        **mark.as_record(),
        "student": script.paper.student,
        "paper": script.paper.code,
        "attempt": script.paper.attempt,
        "points": points,
        "simulated": mark.task.family.recorded,
        "done": script.done.get(mark.task.id),
    }
    html = feedback_html(mark) + (render("pharmcalc.classroom", "bench", done=record["done"]) if record["done"] else "")
    return {
        "output_type": "execute_result",
        "execution_count": None,
        "metadata": {},
        "data": {"text/plain": points, "text/html": html, MARK_MIME: record},
    }


#: The mime type under which a mark's record lies in the marked notebook.
MARK_MIME = "application/vnd.pharmcalc.mark+json"


def no_mark_output(why: str) -> Json:
    """Return the output of a mark cell that nothing can be marked for: no points, and the reason."""
    return {
        "output_type": "execute_result",
        "execution_count": None,
        "metadata": {},
        "data": {"text/plain": "0", MARK_MIME: {"points": "0", "cleared": False, "needs_eyes": why}},
    }


def record_of(cell: Mapping[str, Any]) -> Json | None:
    """Return the record of a mark from a mark cell of a marked notebook, or None where there is none."""
    for output in cell.get("outputs", []):
        found = output.get("data", {}).get(MARK_MIME)
        if isinstance(found, dict):
            return dict(found)
    return None


def html_of(cell: Mapping[str, Any]) -> str:
    """Return the feedback that lies in a mark cell of a marked notebook: our own markup."""
    found = (output.get("data", {}).get("text/html", "") for output in cell.get("outputs", []))
    return next(("".join(html) for html in found if html), "")


def _on_paper(paper: Paper, answers: Mapping[str, str], beside: Beside) -> Script:
    marks = {task.id: _mark(task, answers.get(task.id), beside.unread.get(task.id, "")) for task in paper.tasks}
    done = {task.id: done_at_the_bench(task, beside.texts.get(task.id)) for task in paper.tasks}
    script = Script(paper, marks, (), {task: found for task, found in done.items() if found})
    eyes = (f"{name}: {mark.needs_eyes}" for name, mark in marks.items() if mark.needs_eyes)
    return replace(script, needs_eyes=tuple(eyes) if beside.there or _worked_on(script) else ())


def _worked_on(script: Script) -> bool:
    """Say whether anything was typed, or nothing could be: only then it is a question where a bench record is."""
    typed = [mark for mark in script.marks.values() if not mark.task.family.recorded]
    return not typed or any(mark.needs_eyes or _written(mark) for mark in typed)


def _written(mark: TaskMark) -> bool:
    return any(line.text for line in mark.sheet.lines.values()) or bool(mark.sheet.stray)


def _mark(task: Task, text: str | None, unread: str = "") -> TaskMark:
    """Mark one answer cell or record; should the marking itself fail, the task earns nothing and a person decides.

    unread: why a record that is there could not be read.
    """
    try:
        mark = mark_task(task, text)
        return replace(mark, needs_eyes=clean_text(unread or mark.needs_eyes))
    except Exception as trouble:  # noqa: BLE001  # one task never takes the others' marks with it
        why = f"it could not be marked ({type(trouble).__name__}); mark it by hand"
        return replace(mark_task(task, ""), needs_eyes=why)


def _compare(
    script: Script,
    issue: Issue,
    answers: Mapping[str, str],
    beside: Beside,
    number: str | None,
    attempt: int | None,
) -> list[str]:
    """Say what differs between the hand-in's owner and what is typed on the sheet."""
    paper = script.paper
    if number is None:
        written = any(line.text for mark in script.marks.values() for line in mark.sheet.lines.values())
        unsure = written and script.total < paper.out_of
        return [f"no student number is typed on the sheet; {_marked_on(paper)}"] if unsure else []
    attempt = attempt or paper.attempt
    if normal_number(number) != paper.student:
        what = f"the number on the sheet is {number}, not {paper.student}"
    elif attempt != paper.attempt:
        what = f"the attempt on the sheet is {attempt}, not {paper.attempt}"
    else:
        return []
    with using(issue.house.habits):
        other = _on_paper(issue.paper(number, attempt), answers, beside)
    marks = f"{plain_number(other.total, other.paper.out_of)} of {other.paper.out_of} marks there"
    fits = f"; the answers fit the paper of {number}, attempt {attempt} ({marks})"
    return [f"{what}; {_marked_on(paper)}{fits if other.total > script.total else ''}"]


def _marked_on(paper: Paper) -> str:
    return f"marked on the paper of {paper.student}, attempt {paper.attempt}"
