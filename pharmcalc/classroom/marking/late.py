"""The penalty for handing in late, for nbgrader: it asks the house rules that were issued with the assignment."""

from __future__ import annotations

from pathlib import Path

from nbgrader.plugins import LateSubmissionPlugin

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.issuing.release import issued_notebook

__all__ = ["LatePolicy"]

_SQLITE = "sqlite:///"


class LatePolicy(LateSubmissionPlugin):  # type: ignore[misc]  # nbgrader has no types
    """nbgrader's late penalties by the house rules; its own setting ``penalty_method = "zero"`` goes before them."""

    def late_submission_penalty(self, student_id: str, score: float, total_seconds_late: float) -> float | None:
        """Return the marks that are lost."""
        if self.penalty_method != "none":
            lost: float | None = super().late_submission_penalty(student_id, score, total_seconds_late)
            return lost
        step = self.parent  # nbgrader's AssignLatePenalties, which knows the assignment and the gradebook
        root = Path(step.db_url.removeprefix(_SQLITE)).parent if step.db_url.startswith(_SQLITE) else Path.cwd()
        _, issue = issued_notebook(Course(root).release(step.assignment_id))
        return round(float(issue.house.late.lost(total_seconds_late)) * score, 2)
