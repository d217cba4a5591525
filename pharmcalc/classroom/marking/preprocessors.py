"""The steps that this course adds to nbgrader's own.

========================  =========================================================================================
``ReleaseClear``          generate_assignment: empties answers but keeps their labels; fills in the house rules
``Tidy``                  autograde, first of all: lays a hand-in out again after the release
``EscapeStudentText``     autograde, before anything is stored: a student's markup becomes plain text
``MarkAnswers``           autograde, in the place of ``Execute``: puts the points and the feedback into the mark cells
``KnowDeadlines``         autograde, before the penalties: tells nbgrader how much longer this student has
========================  =========================================================================================

``nbgrader_config.py`` names them, so plain ``nbgrader autograde`` and ``pharmcalc mark`` do the same.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from nbformat.notebooknode import NotebookNode, from_dict
from nbgrader.preprocessors import ClearSolutions, GetGrades, NbGraderPreprocessor, latesubmissions
from traitlets import List

from pharmcalc.bench import file_name
from pharmcalc.classroom.cells import Json, cells_by_id, grade_id, grader_of, lead
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handed_in.records import Beside, read_beside
from pharmcalc.classroom.issuing.deadlines import read_deadlines
from pharmcalc.classroom.issuing.release import (
    emptied,
    house_rules_text,
    in_words,
    issued_notebook,
    with_house_rules,
)
from pharmcalc.classroom.marking.escaping import escape_student_text
from pharmcalc.classroom.marking.feedback_page import Given, PageWriter, Returned, Standing
from pharmcalc.classroom.marking.ledger import extensions
from pharmcalc.classroom.marking.marker import mark_notebook
from pharmcalc.classroom.marking.tidy import tidy
from pharmcalc.classroom.results.attempts import attempt_of
from pharmcalc.classroom.results.overrides import changes_in_force
from pharmcalc.classroom.roster import read_roster
from pharmcalc.errors import CourseError
from pharmcalc.language import using
from pharmcalc.tasks.house import read_house_rules
from pharmcalc.tasks.papers import Issue

Step = tuple[NotebookNode, Any]


class InCourse(NbGraderPreprocessor):  # type: ignore[misc]  # nbgrader has no types
    """A step that knows the course folder it works in."""

    def course_folder(self) -> Any:
        """Return nbgrader's course directory, which the converter above this step holds."""
        above = self.parent
        while above is not None and getattr(above, "coursedir", None) is None:
            above = above.parent
        if above is None:
            raise CourseError(f"{type(self).__name__} works only inside nbgrader's own commands.")
        return above.coursedir

    def issued(self, resources: Any) -> tuple[Json, Issue]:
        """Return the release of the notebook at hand, and what it issues."""
        course, at_hand = self.course_folder(), resources["nbgrader"]
        folder = course.format_path(course.release_directory, ".", at_hand["assignment"])
        return issued_notebook(Path(folder) / f"{at_hand['notebook']}.ipynb")


class Tidy(InCourse):
    """Lay a hand-in out again after the release, so that every later step meets the shape that was issued."""

    def preprocess(self, nb: NotebookNode, resources: Any) -> Step:
        """Return the tidied notebook."""
        return from_dict(tidy(nb, self.issued(resources)[0])), resources


class EscapeStudentText(InCourse):
    """Make plain text of everything a student wrote that a page would render."""

    def preprocess(self, nb: NotebookNode, resources: Any) -> Step:
        """Return the notebook with a student's Markdown and raw text escaped."""
        escape_student_text(nb, self.issued(resources)[0])
        return from_dict(nb), resources


class MarkAnswers(InCourse):
    """Give every mark cell the points that the answers, or the record of the bench, earn. No cell is run."""

    def preprocess(self, nb: NotebookNode, resources: Any) -> Step:
        """Return the notebook with one output in each mark cell: points, feedback and record."""
        release, issue = self.issued(resources)
        student, beside = resources["nbgrader"]["student"], self.beside(resources, issue)
        mark_notebook(nb, issue, student, attempt_of(nb, issue, release), beside)
        return from_dict(nb), resources

    def beside(self, resources: Any, issue: Issue) -> Beside:
        """Return the bench records that lie beside the hand-in."""
        course, at_hand = self.course_folder(), resources["nbgrader"]
        folder = course.format_path(course.submitted_directory, at_hand["student"], at_hand["assignment"])
        return read_beside(Path(folder), issue)


class KnowDeadlines(InCourse):
    """Give nbgrader the due date, and how much longer a student has by the class list and the list of deadlines."""

    def preprocess(self, nb: NotebookNode, resources: Any) -> Step:
        """Return the notebook unchanged."""
        course, at_hand = Course(Path(self.course_folder().root)), resources["nbgrader"]
        assignment, number = at_hand["assignment"], at_hand["student"]
        if course.class_list.is_file():
            roster = read_roster(course.class_list)
            with latesubmissions.Gradebook(at_hand["db_url"]) as book:  # the one that is shared during a run
                longer = extensions(book.find_assignment(assignment), read_deadlines(course, assignment), roster)
                book.find_submission(assignment, number).extension = longer.get(number)
                book.db.commit()
        return nb, resources


class Grades(GetGrades):  # type: ignore[misc]  # nbgrader has no types
    """nbgrader's ``GetGrades``, which also notes the marks that a person has still to give."""

    def _get_score(self, cell: NotebookNode, resources: Any) -> None:
        super()._get_score(cell, resources)
        where = (self.notebook_id, self.assignment_id, self.student_id)
        grade = self.gradebook.find_grade(grade_id(cell), *where)
        cell.metadata.nbgrader["awaits"] = bool(grade.needs_manual_grade and grade.manual_score is None)


class FeedbackPage(InCourse):
    """Draw a student's feedback page; our nbconvert template writes it out as it is."""

    # The HTML exporter sets this for every step and warns of a step that does not take it.
    display_data_priority = List(["text/html", "text/plain"]).tag(config=True)

    def preprocess(self, nb: NotebookNode, resources: Any) -> Step:
        """Return the notebook unchanged, with the page in the resources."""
        release, issue = self.issued(resources)
        at_hand = resources["nbgrader"]
        given = {
            name: Given(
                float(grader_of(cell).get("score", 0)),
                float(grader_of(cell).get("points", 0)),
                str(grader_of(cell).get("comment") or ""),
                bool(grader_of(cell).get("awaits")),
            )
            for name, cell in cells_by_id(nb).items()
        }
        changes = changes_in_force(Course(Path(self.course_folder().root)), issue.assignment)
        number, standing = at_hand["student"], Standing(given, float(at_hand["late_penalty"]))
        returned = Returned(number, json.dumps(nb), standing, tuple(changes.get(number, ())))
        resources["pharmcalc_page"] = PageWriter(release)(returned)
        return nb, resources


class ReleaseClear(InCourse, ClearSolutions):  # type: ignore[misc]  # nbgrader has no types
    """nbgrader's ``ClearSolutions``, and three cells of ours: answers, the student's cell and the house rules.

    Everything else, such as a manually marked question with its model answer, is nbgrader's to clear. A bench record of
    whoever wrote the assignment stays out of the release.
    """

    def preprocess(self, nb: NotebookNode, resources: Any) -> Step:
        """Return the notebook as students get it."""
        course = self.course_folder()
        folder = Path(course.format_path(course.release_directory, ".", resources["nbgrader"]["assignment"]))
        for record in folder.glob(file_name("*")):
            record.unlink()
        self.rules = house_rules_text(Path(course.root))
        with using(read_house_rules(self.rules).habits):
            cleared: Step = super().preprocess(nb, resources)
        return cleared

    def preprocess_cell(self, cell: NotebookNode, resources: Any, cell_index: int) -> Step:
        """Return the cell as students get it."""
        magic, _ = lead(cell.source)
        if magic in ("answer", "student") and cell.cell_type == "code":
            cell.source = emptied(cell.source)
        elif magic == "house_rules" and cell.cell_type == "code":
            cell.source = with_house_rules(self.rules)
        else:
            cell, resources = super().preprocess_cell(cell, resources, cell_index)
            if cell.cell_type == "markdown":
                cell.source = in_words(cell.source)
        return cell, resources
