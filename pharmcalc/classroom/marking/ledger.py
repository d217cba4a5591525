"""One owner of the gradebook during a run: each hand-in is entered whole, in one transaction, by nbgrader's own steps.

nbgrader looks every mark up by itself and commits it by itself. Here what belongs to one hand-in is read once,
``SaveAutoGrades`` and ``AssignLatePenalties`` write into it as ever, and it is committed once. Every tool of nbgrader
finds the same rows.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

from pharmcalc.classroom.cells import Json, answered_task, cells_by_id, grader_of, is_answer_area, source_of
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.issuing.deadlines import Deadlines
from pharmcalc.classroom.marking.escaping import written_text
from pharmcalc.classroom.marking.feedback_page import Given, Standing
from pharmcalc.classroom.marking.marker import record_of
from pharmcalc.classroom.roster import Roster
from pharmcalc.tasks.papers import mark_id

__all__ = ["Ledger", "fits_release", "hand_marks", "renew_penalties", "settle_hand_marks", "standings"]


class Ledger:
    """The gradebook's part for one assignment, open for a run."""

    def __init__(
        self, course: Course, assignment: str, book: Any, config: Any, longer: Mapping[str, timedelta]
    ) -> None:
        """Read what is the same for everybody.

        book: the shared gradebook. config: nbgrader's settings. longer: who has how much longer than the due date.
        """
        from nbgrader.api import SubmittedAssignment
        from nbgrader.preprocessors import AssignLatePenalties, SaveAutoGrades

        self._assignment, self._book, self._session = assignment, book, book.db()
        self._session.expire_on_commit = False
        self._resources = {"notebook": assignment, "assignment": assignment, "db_url": course.gradebook_url}
        self._about = book.find_assignment(assignment)
        self._notebook = book.find_notebook(assignment, assignment)
        self._longer = longer
        by_reading = {cell.name: cell.id for cell in self._notebook.task_cells}
        self._graded = {cell.name: cell.id for cell in self._notebook.grade_cells} | by_reading
        self._written = {cell.name: cell.id for cell in self._notebook.solution_cells} | by_reading
        self._known = {student.id for student in book.students}
        found = self._session.query(SubmittedAssignment.student_id, SubmittedAssignment.id)
        self._submitted = dict(found.filter_by(assignment_id=self._about.id).all())
        self._save, self._late = SaveAutoGrades(config=config), AssignLatePenalties(config=config)

    def enter(self, number: str, cells: tuple[Json, ...], when: datetime | None, before: Json | None) -> None:
        """Enter the marks of one hand-in, and commit them; should anything fail, nothing of it is entered.

        Parameters
        ----------
        number
            Whose.
        cells
            The graded cells and the answer cells of the marked notebook.
        when
            When it was handed in, in UTC; None leaves what stands there.
        before
            The marked notebook of the run before, to tell whether a mark given by hand needs another look.
        """
        try:
            submission = self._enter(number, cells, when, before)
            self._session.commit()
        except BaseException:
            self._session.rollback()
            raise
        self._submitted[number] = submission.id

    def _enter(self, number: str, cells: tuple[Json, ...], when: datetime | None, before: Json | None) -> Any:
        from nbformat.notebooknode import NotebookNode, from_dict

        if number not in self._known:
            self._book.update_or_create_student(number)
            self._known.add(number)
        submission, notebook, page = self._page(number)
        if when is not None:
            submission.timestamp = when
        submission.extension = self._longer.get(number)
        by_hand = hand_marks(page.grades, before)
        self._save.gradebook, self._save.student_id = page, number
        self._save.notebook_id = self._save.assignment_id = self._assignment
        for cell in cells:
            self._save.preprocess_cell(from_dict(cell), {}, 0)
        settle_hand_marks(page.grades, by_hand, {"cells": cells})
        notebook.late_submission_penalty = None
        self._session.flush()
        if submission.total_seconds_late > 0:
            about = {**self._resources, "student": number}
            self._late.preprocess(NotebookNode(cells=[], metadata={}), {"nbgrader": about})
        return submission

    def _page(self, number: str) -> tuple[Any, Any, _Page]:
        """Return what the gradebook holds of a student's hand-in; a first one is laid out as nbgrader does it."""
        from nbgrader.api import Comment, Grade, SubmittedAssignment, SubmittedNotebook, new_uuid

        session = self._session
        if number in self._submitted:
            submission = session.get(SubmittedAssignment, self._submitted[number])
            notebook = (
                session.query(SubmittedNotebook)
                .filter_by(assignment_id=submission.id, notebook_id=self._notebook.id)
                .one()
            )
            grades = self._by_name(self._graded, session.query(Grade).filter_by(notebook_id=notebook.id))
            comments = self._by_name(self._written, session.query(Comment).filter_by(notebook_id=notebook.id))
            return submission, notebook, _Page(grades, comments)
        submission = SubmittedAssignment(id=new_uuid(), assignment_id=self._about.id, student_id=number)
        notebook = SubmittedNotebook(id=new_uuid(), assignment_id=submission.id, notebook_id=self._notebook.id)
        grades = {
            name: Grade(id=new_uuid(), cell_id=cell, notebook_id=notebook.id) for name, cell in self._graded.items()
        }
        comments = {
            name: Comment(id=new_uuid(), cell_id=cell, notebook_id=notebook.id) for name, cell in self._written.items()
        }
        for made in ([submission], [notebook], grades.values(), comments.values()):
            session.add_all(made)
            session.flush()
        return submission, notebook, _Page(grades, comments)

    @staticmethod
    def _by_name(cells: Mapping[str, str], found: Iterable[Any]) -> dict[str, Any]:
        names = {key: name for name, key in cells.items()}
        return {names[one.cell_id]: one for one in found}


def extensions(about: Any, deadlines: Deadlines, roster: Roster) -> dict[str, timedelta]:
    """Give nbgrader's assignment its due date, and return for each student how much longer they have than that.

    Where the list of deadlines says nothing of everybody's, a due date that was set in nbgrader's own pages stays.
    """
    if deadlines.set:
        about.duedate = deadlines.everybody and deadlines.everybody.replace(tzinfo=None)
    due = about.duedate and about.duedate.replace(tzinfo=UTC)
    if due is None:
        return {}
    own = {student.number: replace(deadlines, everybody=due).of(student) for student in roster}
    return {number: until - due for number, until in own.items() if until is not None and until != due}


class _Page:
    """What nbgrader's step takes for the gradebook: the marks and comments of one hand-in, by the cell's name."""

    def __init__(self, grades: Mapping[str, Any], comments: Mapping[str, Any]) -> None:
        self.grades, self.comments, self.db = grades, comments, self

    def find_grade(self, name: str, *_: str) -> Any:
        """Return a mark."""
        return self.grades[name]

    def find_comment(self, name: str, *_: str) -> Any:
        """Return a comment."""
        return self.comments[name]

    def commit(self) -> None:
        """Wait: the hand-in is committed whole."""


def renew_penalties(course: Course, assignment: str, book: Any, config: Any) -> None:
    """Bring the penalties for handing in late in line with marks that were given by hand since.

    ``book`` is the shared gradebook: nbgrader's own step asks it.
    """
    from nbformat.notebooknode import NotebookNode
    from nbgrader.preprocessors import AssignLatePenalties

    step, about = AssignLatePenalties(config=config), {"notebook": assignment, "assignment": assignment}
    book.db.expire_all()
    late = [one.student_id for one in book.assignment_submissions(assignment) if one.total_seconds_late > 0]
    for number in late:
        at_hand = {**about, "student": number, "db_url": course.gradebook_url}
        step.preprocess(NotebookNode(cells=[], metadata={}), {"nbgrader": at_hand})


def standings(book: Any, assignment: str) -> dict[str, Standing]:
    """Return what the gradebook holds of every hand-in of an assignment, by the student's number."""
    from nbgrader.api import Assignment, BaseCell, Comment, Grade, GradeCell, SubmittedAssignment, SubmittedNotebook

    def read(*wanted: Any) -> Any:
        """Return rows of the student's number and what is wanted."""
        rows = book.db.query(SubmittedAssignment.student_id, *wanted).select_from(SubmittedAssignment)
        rows = rows.join(Assignment, Assignment.id == SubmittedAssignment.assignment_id)
        rows = rows.join(SubmittedNotebook, SubmittedNotebook.assignment_id == SubmittedAssignment.id)
        return rows.filter(Assignment.name == assignment)

    penalties = dict(read(SubmittedNotebook.late_submission_penalty).all())
    said = read(BaseCell.name, Comment.comment).join(Comment, Comment.notebook_id == SubmittedNotebook.id)
    comments = {
        (number, name): text or "" for number, name, text in said.join(BaseCell, BaseCell.id == Comment.cell_id)
    }
    cells: dict[str, dict[str, Given]] = {number: {} for number in penalties}
    for (number, name), text in comments.items():
        cells[number][name] = Given(comment=text)
    wanted = (GradeCell.name, Grade.score, GradeCell.max_score, Grade.needs_manual_grade, Grade.manual_score)
    marks = read(*wanted).join(Grade, Grade.notebook_id == SubmittedNotebook.id)
    for number, name, score, most, awaits, manual in marks.join(GradeCell, GradeCell.id == Grade.cell_id):
        comment = comments.get((number, name), "")
        cells[number][name] = Given(float(score), float(most), comment, bool(awaits and manual is None))
    return {number: Standing(cells[number], float(late or 0)) for number, late in penalties.items()}


def fits_release(notebook: Any, release: Json) -> bool:
    """Say whether the gradebook's copy of each cell is the one that was issued.

    It is not where nbgrader took something out of the release after it had saved it (hidden tests, mark schemes). Then
    the hand-in must go through nbgrader's own steps, which put it back.
    """
    issued = {
        name: (source_of(cell), cell["cell_type"], grader_of(cell).get("checksum"))
        for name, cell in cells_by_id(release).items()
    }
    return all(issued.get(cell.name) == (cell.source, cell.cell_type, cell.checksum) for cell in notebook.source_cells)


# Marks given by hand -----------------------------------------------------------------------------------------------


def hand_marks(grades: Mapping[str, Any], before: Json | None) -> dict[str, tuple[Any, bool, str]]:
    """Return, for each mark that a person gave: the automatic mark, whether it awaits a look, and the answer."""
    given = {name: grade for name, grade in grades.items() if grade.manual_score is not None}
    if not given or before is None:
        return {}
    answers = _answers(before)
    return {name: (grade.auto_score, grade.needs_manual_grade, answers.get(name, "")) for name, grade in given.items()}


def settle_hand_marks(
    grades: Mapping[str, Any], before: Mapping[str, tuple[Any, bool, str]], nb: Mapping[str, Any]
) -> None:
    """Where neither the answer nor the automatic mark changed, a mark given by hand needs no second look.

    nbgrader asks for one after every regrading.
    """
    if not before:
        return
    answers = _answers(nb)
    for name, (auto, awaits, answer) in before.items():
        if (auto, answer) == (grades[name].auto_score, answers.get(name, "")):
            grades[name].needs_manual_grade = awaits


def _answers(nb: Mapping[str, Any]) -> dict[str, str]:
    """Return what the student did for each graded cell: a mark cell's answer or bench record, or the cell itself."""
    texts = {name: written_text(cell) for name, cell in cells_by_id(nb).items() if is_answer_area(cell)}
    done = {name: (record_of(cell) or {}).get("done") for name, cell in cells_by_id(nb).items()}
    texts |= {name: str(found["sha256"]) for name, found in done.items() if found}
    texts |= {mark_id(answered_task(name)): text for name, text in texts.items() if answered_task(name)}
    papers = {name: str((record_of(cell) or {}).get("paper", "")) for name, cell in cells_by_id(nb).items()}
    return {name: f"{papers.get(name, '')} {text}" for name, text in texts.items()}
