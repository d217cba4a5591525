"""Turn what a student wrote into text that a browser can only show.

nbgrader's pages render Markdown with its HTML, and its raw cells as they are, so a ``<script>`` or a
``javascript:`` link in a hand-in would run in the instructor's browser. Switching on nbconvert's own cleaning
does not help there: scripts in Markdown still get through. So the stored copy itself holds no markup of a student.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pharmcalc.classroom.cells import OURS, Json, grade_id, source_of


def as_plain_text(text: str) -> str:
    """Return the text as one line of HTML in which every sign but letters, digits and blanks is a number code.

    Nothing is left that Markdown, HTML or a formula renderer could take for a command.

    >>> as_plain_text("<b>1\\n2</b>")
    '<pre class="student-text">&#60;b&#62;1&#10;2&#60;&#47;b&#62;</pre>'
    """
    coded = "".join(c if c == " " or c.isalnum() else f"&#{ord(c)};" for c in text)
    return f'<pre class="student-text">{coded}</pre>'


def escape_student_text(nb: Json, release: Mapping[str, Any]) -> None:
    """Escape, in place, every cell of ``nb`` that is shown as rich text and is not word for word as issued.

    The text as written stays in the cell's metadata under ``pharmcalc.text``: data, which no page renders.
    Code cells need nothing: they are shown as source, and never run.
    """
    issued = {(grade_id(cell), source_of(cell)) for cell in release["cells"]}
    for cell in nb["cells"]:
        if cell["cell_type"] == "code" or (grade_id(cell), source_of(cell)) in issued:
            continue
        text = source_of(cell)
        cell["cell_type"] = "markdown"
        cell["source"] = as_plain_text(text)
        cell["metadata"].setdefault(OURS, {})["text"] = text
        cell.pop("attachments", None)


def written_text(cell: Mapping[str, Any]) -> str:
    """Return what a student wrote in a cell of the marked copy, as written: escape it before any page shows it."""
    ours = cell["metadata"].get(OURS, {})
    return str(ours.get("text", source_of(cell)))
