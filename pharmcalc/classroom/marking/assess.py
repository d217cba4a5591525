"""From a hand-in as it came to the marked notebook: one pure step, the same in every process.

What plain ``nbgrader autograde`` does in its steps (``preprocessors``) is done here in one go; both use the same parts.
Nothing of nbgrader is needed, so that a process that only marks starts quickly.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime

from pharmcalc.classroom.cells import Json, grader_of, is_answer_area, is_graded
from pharmcalc.classroom.handed_in.handin import read_handin
from pharmcalc.classroom.handed_in.records import Beside
from pharmcalc.classroom.marking.escaping import escape_student_text
from pharmcalc.classroom.marking.marker import mark_notebook
from pharmcalc.classroom.marking.tidy import tidy
from pharmcalc.classroom.results.attempts import attempt_of
from pharmcalc.tasks.papers import read_issue

__all__ = ["Assessor", "HandIn", "Marked"]


@dataclass(frozen=True)
class HandIn:
    """One hand-in: whose, its bytes, what lies beside it, when it came, and what changes with any of it."""

    number: str
    data: bytes
    beside: Beside
    when: datetime | None = None
    fingerprint: str = ""


@dataclass(frozen=True)
class Marked:
    """A marked hand-in: the notebook as it is stored, and the cells that the gradebook wants to know of."""

    text: str
    cells: tuple[Json, ...]


class Assessor:
    """Marks hand-ins of one assignment: what was issued, and nothing else, is needed for it."""

    def __init__(self, release: Json) -> None:
        """Read what the released notebook issues."""
        self.release, self.issue = release, read_issue(release)

    def __reduce__(self) -> tuple[type[Assessor], tuple[Json]]:
        """Be sent to another process as the release alone: its quantities belong to that process's own units."""
        return Assessor, (self.release,)

    def __call__(self, handin: HandIn) -> Marked:
        """Return the marked notebook. Raises ``CourseError`` where the bytes are no notebook."""
        nb = tidy(read_handin(handin.data), self.release)
        escape_student_text(nb, self.release)
        attempt = attempt_of(nb, self.issue, self.release)
        mark_notebook(nb, self.issue, handin.number, attempt, handin.beside)
        wanted = tuple(cell for cell in nb["cells"] if _in_gradebook(cell))
        return Marked(json.dumps(nb, sort_keys=True, ensure_ascii=False) + "\n", wanted)


def _in_gradebook(cell: Json) -> bool:
    return is_graded(cell) or is_answer_area(cell) or grader_of(cell).get("task") is True
