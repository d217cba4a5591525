"""The list of observations as a file: ``observations.csv`` in the course folder, a line an entry, only ever added to.

What is added is written in one go: whole, or not at all. A line that a crash cut off is left as it is, never takes the
next one with it, and is told.
"""

from __future__ import annotations

import csv
import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import fields
from datetime import date, datetime
from pathlib import Path
from typing import Any

from pharmcalc.classroom.competency.entries import LEVELS, OBSERVED, WITHDRAWN, Competency, Entry
from pharmcalc.errors import CourseError

if sys.platform != "win32":
    import fcntl

__all__ = ["LIST", "MOMENT", "add", "alone", "parsed"]

LIST = "observations.csv"
MOMENT = "%Y-%m-%d %H:%M:%S"
_COLUMNS = tuple(field.name for field in fields(Entry) if field.name != "assignment")


@contextmanager
def alone(path: Path) -> Iterator[Any]:
    """Open the list to read and to add to; whoever else wants to add waits, where the system can do that."""
    with path.open("a+b", buffering=0) as file:
        if sys.platform != "win32":
            with suppress(OSError):  # some shared drives know no locks
                fcntl.flock(file, fcntl.LOCK_EX)
        yield file


def add(file: Any, data: bytes, added: tuple[Entry, ...]) -> None:
    """Add entries to the list, which holds ``data`` now: all of them or none."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    if not data:
        writer.writerow(_COLUMNS)
    elif not data.endswith(b"\n"):
        text.write("\n")  # the line before was cut off: it must not take this one with it
    writer.writerows([getattr(entry, name) or "" for name in _COLUMNS] for entry in added)
    lines = text.getvalue().encode()
    try:
        whole = file.write(lines) == len(lines)
        os.fsync(file.fileno())
    except OSError:
        whole = False
    if not whole:
        os.ftruncate(file.fileno(), len(data))
        raise CourseError(f"{LIST} cannot be written: is the disk full? Nothing was written; make room and try again.")


def parsed(data: bytes) -> tuple[list[Entry], list[int]]:
    """Return the entries of a list, and the numbers of the lines that cannot be read."""
    lines = data.decode("utf-8", "replace").removeprefix("\ufeff").split("\n")
    entries, unread = [], []
    for place, line in enumerate(lines, 1):
        row = _fields(line.rstrip("\r"))
        if not row or tuple(row) == _COLUMNS:
            continue
        entry = _entry(row)
        if entry is None:
            unread.append(place)
        else:
            entries.append(entry)
    return entries, unread


def _fields(line: str) -> list[str]:
    """Return what stands in a line; a spreadsheet may have put semicolons or tabs between it."""
    found = [next(csv.reader([line], delimiter=separator), []) for separator in ",;\t"]
    return next((row for row in found if len(row) == len(_COLUMNS)), found[0])


def _entry(row: list[str]) -> Entry | None:
    """Return the entry in a line; None where it is not whole. The time at its end shows whether it is."""
    if len(row) != len(_COLUMNS):
        return None
    said: dict[str, Any] = dict(zip(_COLUMNS, row, strict=True))
    try:
        if f"{datetime.strptime(said['written'], MOMENT):{MOMENT}}" != said["written"]:
            return None
        said["on"] = date.fromisoformat(said["on"]).isoformat()
        said["competency"] = Competency(said["competency"])
        for name in ("entry", "attempt", "instead_of"):
            said[name] = int(said[name] or 0)
    except ValueError:
        return None
    known = said["how"] == OBSERVED and said["level"] in (*LEVELS, WITHDRAWN)
    return Entry(**said) if known and said["entry"] > 0 and said["number"] and said["by"] else None
