"""Bring a handed-in notebook back to the shape that was issued, and keep what the student wrote.

JupyterLab copies nbgrader's metadata when a cell is split or copied; other programs drop it; students delete,
move and re-type cells. nbgrader then loses answers or stops. So before nbgrader sees a hand-in, it is laid
out again after the release: every issued cell once, in the issued order, with the issued settings and, in the answer
areas only, the student's text. Everything else that the student wrote stays beside it, for the instructor's eye.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from pharmcalc.classroom.cells import (
    OURS,
    Json,
    answered_task,
    cells_by_id,
    grade_id,
    is_answer_area,
    lead,
    source_of,
)
from pharmcalc.tasks.papers import answer_id

#: What is shown of a student's text; the whole hand-in stays in received/.
LONGEST_ANSWER = 20_000
LONGEST_SCRATCH = 5_000
MOST_SCRATCH = 60
_CUT = "\n... cut here: the rest stands in the hand-in itself."


@dataclass
class _Sorted:
    """The student's cells, sorted to the issued cell that they belong to or follow."""

    parts: dict[str, list[str]] = field(default_factory=dict)
    scratch: dict[str, list[Json]] = field(default_factory=dict)
    pictures: set[str] = field(default_factory=set)


@dataclass
class Remarks:
    """What was put right by itself (``notes``) and what an instructor should look at (``needs_eyes``)."""

    notes: list[str] = field(default_factory=list)
    needs_eyes: list[str] = field(default_factory=list)


def tidy(nb: Mapping[str, Any], release: Mapping[str, Any]) -> Json:
    """Return the hand-in laid out after the release.

    Parameters
    ----------
    nb
        The handed-in notebook (format 4). It is not changed.
    release
        The notebook that was issued.

    Returns
    -------
    Json
        A new notebook. Its metadata holds our remarks under ``pharmcalc``: ``notes`` and ``needs_eyes``.

    Notes
    -----
    Outputs are dropped. Text is not escaped here; see ``escaping``.
    """
    issued = cells_by_id(release)
    remarks = Remarks()
    plain = {source_of(cell).strip() for cell in release["cells"] if not grade_id(cell)}
    found = _sort(nb, issued, plain)
    _adopt(found, issued, remarks)
    cells = _numbered(found.scratch.get("", []), "")
    for cell in release["cells"]:
        name = grade_id(cell)
        fresh = copy.deepcopy(cell)
        if name:
            _fill(fresh, name, found, remarks)
        cells += [fresh, *_numbered(found.scratch.get(name, []) if name else [], name)]
    _limit_scratch(cells, remarks)
    for cell in cells:
        if cell["cell_type"] == "code":
            cell["outputs"], cell["execution_count"] = [], None
    metadata = {**copy.deepcopy(release["metadata"]), OURS: vars(remarks)}
    return {"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}


def clean_text(text: str) -> str:
    """Return the text without characters that no file or page can hold; line ends become plain ones."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").encode("utf-8", "replace").decode("utf-8")
    return "".join(c if c >= " " or c in "\n\t" else "\ufffd" for c in text)


def join_parts(parts: list[str]) -> str:
    """Join the parts of a split or copied answer cell: no line twice, and no empty line of a label that has a value.

    >>> print(join_parts(["%%answer q1\\nmultiple factor = 30\\naliquot =", "aliquot = 120 mg"]))
    %%answer q1
    multiple factor = 30
    aliquot = 120 mg
    """
    lines = list(dict.fromkeys(line.rstrip() for part in parts for line in part.split("\n")))
    answered = {label.strip() for label, _, value in (line.partition("=") for line in lines) if value.strip()}

    def superseded(line: str) -> bool:
        label, equals, value = line.partition("=")
        return bool(equals) and not value.strip() and label.strip() in answered

    return "\n".join(line for line in lines if not superseded(line))


def _sort(nb: Mapping[str, Any], issued: Mapping[str, Json], plain: set[str]) -> _Sorted:
    found, last = _Sorted(), ""
    for cell in nb["cells"]:
        text = clean_text(source_of(cell))
        name = grade_id(cell) if grade_id(cell) in issued else str(cell.get("id", ""))
        if name in issued:
            found.parts.setdefault(name, []).append(text)
            last = name
            if cell.get("attachments") or cell.get("metadata", {}).get(OURS):
                found.pictures.add(name)
        elif text.strip() and text.strip() not in plain:
            found.scratch.setdefault(last, []).append(_scratch(cell["cell_type"], text))
    return found


def _scratch(kind: str, text: str) -> Json:
    cell: Json = {"cell_type": kind if kind in ("code", "markdown") else "raw", "source": text}
    cell["metadata"] = {OURS: {"scratch": True}}
    return cell | ({"outputs": [], "execution_count": None} if kind == "code" else {})


def _adopt(found: _Sorted, issued: Mapping[str, Json], remarks: Remarks) -> None:
    """Take a cell that begins with ``%%answer q1`` for the answer to q1 if the issued cell is gone or still empty."""
    for cells in found.scratch.values():
        for cell in list(cells):
            magic, task = lead(cell["source"])
            name = answer_id(task)
            if magic != "answer" or name not in issued:
                continue
            if _untouched(found.parts.get(name, []), issued[name]):
                found.parts[name] = [cell["source"]]
                cells.remove(cell)
                remarks.notes.append(f"{task}: the answer stood in a new cell; it was taken from there")
            elif cell["source"].strip() not in (part.strip() for part in found.parts[name]):
                remarks.needs_eyes.append(f"{task}: a second cell begins with %%answer {task}; it was not marked")


def _untouched(parts: list[str], issued: Json) -> bool:
    blank = source_of(issued)
    return all(not part.strip() or part.split() == blank.split() for part in parts)


def _fill(cell: Json, name: str, found: _Sorted, remarks: Remarks) -> None:
    """Put the student's text into a fresh copy of an issued cell, or keep the issued text where it is locked."""
    parts, blank = found.parts.get(name, []), source_of(cell)
    if is_answer_area(cell):
        if not parts:
            _missing_answer(name, remarks)
            parts = [blank]
        elif len(parts) > 1:
            remarks.notes.append(f"{name}: the cell stood {len(parts)} times (split or copied); its parts were joined")
        text = parts[0] if len(parts) == 1 else join_parts(parts)
        if len(text) > LONGEST_ANSWER:
            text = text[:LONGEST_ANSWER] + _CUT
            remarks.needs_eyes.append(f"{name}: the text is longer than {LONGEST_ANSWER} characters and was cut")
        cell["source"] = text if text.strip() else blank
        if name in found.pictures:
            remarks.needs_eyes.append(f"{name}: the student added a picture; look at it in the hand-in itself")
        return
    cell["source"] = blank
    if not parts:
        remarks.notes.append(f"{name}: the cell was deleted; it was put back")
    changed = [part for part in dict.fromkeys(parts) if part.split() != blank.split() and part.strip()]
    if changed:
        remarks.notes.append(
            f"{name}: the locked cell was changed; the issued text was put back, theirs stands below it"
        )
        found.scratch.setdefault(name, [])[:0] = [_scratch(cell["cell_type"], part) for part in changed]


def _missing_answer(name: str, remarks: Remarks) -> None:
    if task := answered_task(name):
        remarks.needs_eyes.append(f"{task}: the answer cell was deleted, so nothing could be marked there")
    else:
        remarks.notes.append(f"{name}: the cell was deleted; it was put back empty")


def _numbered(scratch: list[Json], after: str) -> list[Json]:
    """Give scratch cells ids of our own: a student's could repeat or be made to break a page."""
    return [{"id": f"scratch-{after or 'top'}-{n}"[:64], **cell} for n, cell in enumerate(scratch, 1)]


def _limit_scratch(cells: list[Json], remarks: Remarks) -> None:
    scratch = [cell for cell in cells if not grade_id(cell) and cell["metadata"].get(OURS)]
    for cell in scratch:
        if len(cell["source"]) > LONGEST_SCRATCH:
            cell["source"] = cell["source"][:LONGEST_SCRATCH] + _CUT
    if len(scratch) > MOST_SCRATCH:
        dropped = {id(cell) for cell in scratch[MOST_SCRATCH:]}
        cells[:] = [cell for cell in cells if id(cell) not in dropped]
        remarks.notes.append(f"only the first {MOST_SCRATCH} of {len(scratch)} added cells are shown")
