"""Read a file that somebody handed in, and say in plain words what is wrong with it.

Nothing is trusted: a hand-in may be empty, cut off, in a wrong encoding, not a notebook, or made to do harm.
The text is parsed as JSON and brought to today's notebook format; nothing in it is run.
"""

from __future__ import annotations

import codecs
import json
import re
from collections.abc import Mapping
from typing import Any

from pharmcalc.classroom.cells import OURS, Json, cells_by_id, source_of
from pharmcalc.errors import CourseError

#: No honest hand-in comes near this: an assignment without pictures has some tens of kilobytes.
LARGEST_FILE = 20 * 1024 * 1024
MOST_CELLS = 2000
#: Of one cell's text; more than is ever marked or shown, so that a cut is noticed and told there.
LONGEST_TEXT = 50_000
LONGEST_SETTING = 100
_SETTINGS = ("schema_version", "grade_id", "grade", "solution", "locked", "task", "points", "cell_type")

_BEGIN = re.compile(r"""notebook\.begin\(\s*["']([^"']+)["']""")
_ID = re.compile(r"[A-Za-z0-9_-]{1,64}\Z")
_BOMS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))


def read_handin(data: bytes) -> Json:
    """Return the notebook in ``data``, in notebook format 4.

    Parameters
    ----------
    data
        The file's bytes, at most ``LARGEST_FILE`` of them.

    Raises
    ------
    CourseError
        One sentence for the instructor, such as "the file is empty; ask for it again".
    """
    if len(data) > LARGEST_FILE:
        raise CourseError(
            f"the file is larger than {LARGEST_FILE // 2**20} MB; ask for it again with all outputs cleared"
        )
    if not data.strip():
        raise CourseError("the file is empty; ask the student to save the notebook and hand it in again")
    raw = _parse(_decode(data))
    if not isinstance(raw, dict) or "nbformat" not in raw:
        raise CourseError("the file is not a notebook; ask the student for the .ipynb file")
    return _current(raw)


def assignment_of(nb: Mapping[str, Any]) -> str:
    """Return the name of the assignment that the set-up cell states, or an empty text."""
    setup = cells_by_id(nb).get("setup")
    cells = [setup] if setup else nb["cells"]
    for cell in cells:
        if found := _BEGIN.search(source_of(cell)):
            return found[1]
    return ""


def decoded(data: bytes) -> str:
    """Return bytes as text: UTF-8, or what the first bytes say. Raises UnicodeDecodeError."""
    return data.decode(next((name for bom, name in _BOMS if data.startswith(bom)), "utf-8"))


def _decode(data: bytes) -> str:
    try:
        return decoded(data)
    except UnicodeDecodeError:
        raise CourseError(
            "the file is not text in UTF-8, so it is not a notebook or it was damaged on the way; ask for it again"
        ) from None


def _parse(text: str) -> Any:
    try:
        return json.loads(text)
    except json.JSONDecodeError as trouble:
        if trouble.pos >= len(text.rstrip()) - 1 or "Unterminated" in trouble.msg:
            raise CourseError(
                f"the file breaks off in line {trouble.lineno}, so a part is missing; "
                "ask the student to save the notebook and hand it in again"
            ) from None
        raise CourseError(
            f"the file is not a notebook: line {trouble.lineno} cannot be read; ask for the .ipynb file again"
        ) from None
    except (RecursionError, ValueError):
        raise CourseError("the file is not a notebook that JupyterLab made; ask for it again") from None


def _current(raw: Json) -> Json:
    major = raw.get("nbformat")
    if not isinstance(major, int) or isinstance(major, bool) or not 1 <= major <= 4:
        raise CourseError(
            f"the notebook says it has format {str(major)[:12]}, which this course cannot read; "
            "ask the student to save it with the course's JupyterLab"
        )
    try:
        cells = raw["cells"] if major == 4 else _old_cells(raw)
        if not isinstance(cells, list):
            raise TypeError
        if len(cells) <= MOST_CELLS:
            made = [_cell(cell, number) for number, cell in enumerate(cells, 1)]
            _tell_apart(made)
            return {"cells": made, "metadata": {}, "nbformat": 4, "nbformat_minor": 5}
    except (KeyError, TypeError, AttributeError, ValueError, RecursionError):
        raise CourseError("the notebook's cells cannot be read; ask the student to hand it in again") from None
    raise CourseError(f"the notebook has {len(cells)} cells; look at it by hand, or ask for it again")


def _cell(cell: Any, number: int) -> Json:
    """Copy what marking needs of one cell; outputs, pictures' data and foreign metadata stay in ``received/``."""
    kind = cell["cell_type"]
    if kind not in ("code", "markdown", "raw"):
        kind = "raw"
    metadata = cell.get("metadata")
    nbgrader = metadata.get("nbgrader") if isinstance(metadata, dict) else None
    name = cell.get("id")
    clean: Json = {
        "cell_type": kind,
        "id": name if isinstance(name, str) and _ID.match(name) else f"cell-{number}",
        "metadata": {"nbgrader": _settings(nbgrader)} if isinstance(nbgrader, dict) else {},
        "source": source_of(cell)[:LONGEST_TEXT],
    }
    if cell.get("attachments"):
        clean["metadata"][OURS] = {"picture": True}
    if kind == "code":
        clean |= {"outputs": [], "execution_count": None}
    return clean


def _tell_apart(cells: list[Json]) -> None:
    """Give a cell whose id stood before another one, as nbformat asks; its grade id, which binds it, stays."""
    seen: set[str] = set()
    for number, cell in enumerate(cells, 1):
        while cell["id"] in seen:
            number += len(cells)
            cell["id"] = f"cell-{number}"
        seen.add(cell["id"])


def _settings(nbgrader: Json) -> Json:
    """Return nbgrader's settings of a cell as far as they are plain values; only ``grade_id`` is ever used."""
    found = {name: nbgrader[name] for name in _SETTINGS if name in nbgrader}
    return {name: value for name, value in found.items() if isinstance(value, bool | int) or _is_short(value)}


def _is_short(value: Any) -> bool:
    return isinstance(value, str) and len(value) <= LONGEST_SETTING


def _old_cells(raw: Json) -> list[Json]:
    """Return the cells of a notebook of format 1, 2 or 3 with today's names for what marking needs of them."""
    sheets = [raw] if raw["nbformat"] == 1 else raw["worksheets"]
    cells = [cell for sheet in sheets for cell in sheet["cells"]]
    for cell in cells:
        if cell["cell_type"] == "code":
            cell["source"] = cell.get("input", cell.get("code", ""))
        elif cell["cell_type"] in ("heading", "html", "text"):
            cell["cell_type"] = "markdown"
            cell.setdefault("source", cell.get("text", ""))
    return cells
