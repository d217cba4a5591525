"""Small words about notebook cells that the whole room uses: which cell is it, whose text stands in it.

A cell is bound by nbgrader's grade id (``answer-q1``, ``mark-q1`` ...), never by its place or its first line:
students move cells, delete the ``%%answer`` line, and write comments above it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pharmcalc.tasks.papers import answer_id, task_id_of

#: A notebook or a cell as JSON. nbformat's ``NotebookNode`` is such a dict.
Json = dict[str, Any]

STUDENT = "student"

#: The key under which this room writes its own remarks into a cell's or a notebook's metadata.
OURS = "pharmcalc"

_LEAD = re.compile(r"^\s*%%(\w+)[ \t]*(\S*)")


def source_of(cell: Mapping[str, Any]) -> str:
    """Return a cell's text as one string; notebook files may hold it as a list of lines."""
    source = cell.get("source", "")
    return "".join(map(str, source)) if isinstance(source, list) else str(source)


def grader_of(cell: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return nbgrader's metadata of a cell, or an empty mapping where there is none that can be read."""
    metadata = cell.get("metadata")
    found = metadata.get("nbgrader") if isinstance(metadata, Mapping) else None
    return found if isinstance(found, Mapping) else {}


def grade_id(cell: Mapping[str, Any]) -> str:
    """Return a cell's grade id, or an empty text."""
    found = grader_of(cell).get("grade_id", "")
    return found if isinstance(found, str) else ""


def is_answer_area(cell: Mapping[str, Any]) -> bool:
    """Say whether students write in this cell (nbgrader calls it a solution cell)."""
    return grader_of(cell).get("solution") is True


def is_graded(cell: Mapping[str, Any]) -> bool:
    """Say whether this cell carries marks."""
    return grader_of(cell).get("grade") is True


def answered_task(name: str) -> str:
    """Return the task whose answer cell has this grade id, or an empty text.

    >>> answered_task("answer-q1"), answered_task("mark-q1")
    ('q1', '')
    """
    task = task_id_of(name)
    return task if task and name == answer_id(task) else ""


def part_name(name: str) -> str:
    """Return what people call a graded cell: the task's id, or the cell's own name.

    >>> part_name("mark-q1"), part_name("explain-1")
    ('q1', 'explain-1')
    """
    return task_id_of(name) or name


def is_marked_by_hand(cell: Mapping[str, Any]) -> bool:
    """Say whether the instructor marks this cell by reading it."""
    return is_graded(cell) and is_answer_area(cell)


def lead(text: str) -> tuple[str, str]:
    """Return the cell magic that opens a cell and its first word.

    >>> lead("%%answer q1\\nmultiple factor = 30")
    ('answer', 'q1')
    >>> lead("multiple factor = 30")
    ('', '')
    """
    found = _LEAD.match(text)
    return (found[1], found[2]) if found else ("", "")


def cells_by_id(nb: Mapping[str, Any]) -> dict[str, Json]:
    """Return the notebook's cells that have a grade id, in order, by that id."""
    return {grade_id(cell): cell for cell in nb["cells"] if grade_id(cell)}


def mark_cells(nb: Mapping[str, Any]) -> dict[str, Json]:
    """Return the graded code cells, by grade id: a task's mark cell, or one that belongs to no task."""
    return {
        name: cell
        for name, cell in cells_by_id(nb).items()
        if is_graded(cell) and not is_answer_area(cell) and cell["cell_type"] == "code"
    }


def remarks_of(nb: Mapping[str, Any]) -> Json:
    """Return our remarks in a notebook's metadata: ``notes`` (put right by itself) and ``needs_eyes``."""
    found = nb["metadata"].get(OURS, {})
    return {"notes": list(found.get("notes", [])), "needs_eyes": list(found.get("needs_eyes", [])), **found}
