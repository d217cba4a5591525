"""Where a typed-in hand-in comes from: a remark in the notebook itself, and the same in the list of typed lines."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from pharmcalc.classroom.cells import grade_id
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.lists import read_rows
from pharmcalc.classroom.marking.escaping import written_text

__all__ = ["COLUMNS", "LIST", "TAKEN", "origin_in", "origins", "remark_of"]

LIST = "typed_in.csv"
COLUMNS = ("when", "assignment", "number", "by", "result", "line", "read", "origin")
TAKEN = "taken"
_REMARK = re.compile(r"Typed in from paper by [^\n]{1,200}\Z")


def remark_of(by: str, typed: datetime, counts: datetime) -> str:
    """Say where a hand-in comes from and when it counts as handed in, in this computer's time zone.

    >>> remark_of("MK", datetime(2026, 12, 4, 21, 0).astimezone(), datetime(2026, 12, 4, 18, 0).astimezone())
    'Typed in from paper by MK on 2026-12-04 21:00:00. It counts as handed in at the deadline, 2026-12-04 18:00.'
    """
    said = f"Typed in from paper by {by} on {typed.astimezone():%Y-%m-%d %H:%M:%S}."
    if counts >= typed:
        return said
    return f"{said} It counts as handed in at the deadline, {counts.astimezone():%Y-%m-%d %H:%M}."


def origin_in(nb: Mapping[str, Any]) -> str:
    """Return what a notebook says of its origin on paper, or an empty text. A student can write this too."""
    found = (written_text(cell) for cell in nb["cells"] if not grade_id(cell))
    return next((text for text in found if _REMARK.match(text)), "")


def origins(course: Course, assignment: str) -> dict[str, set[str]]:
    """Return for each student the remarks that were really written when papers were typed in."""
    made: dict[str, set[str]] = {}
    for row in read_rows(course.root / LIST, *COLUMNS):
        if row["assignment"] == assignment and row["result"] == TAKEN:
            made.setdefault(row["number"], set()).add(row["origin"])
    return made
