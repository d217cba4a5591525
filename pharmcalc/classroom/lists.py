"""Lists that are only ever added to: a line is written whole, and never onto what a crash left of another.

Whoever reads one checks each row: the last may have been cut off.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from pathlib import Path

__all__ = ["add_lines", "add_row", "read_rows"]


def add_lines(path: Path, lines: str) -> None:
    """Add whole lines to a text file in one go; a line that was cut off by a crash is closed first."""
    with path.open("a+b", buffering=0) as file:
        if file.seek(0, io.SEEK_END):
            file.seek(-1, io.SEEK_END)
            if file.read(1) != b"\n":
                lines = "\n" + lines
        file.write(lines.encode("utf-8"))


def add_row(path: Path, row: Mapping[str, object]) -> None:
    """Add a row to a table in CSV; the first one brings the header with it."""
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, list(row))
    if not path.is_file() or not path.stat().st_size:
        writer.writeheader()
    writer.writerow(row)
    add_lines(path, text.getvalue())


def read_rows(path: Path) -> Iterator[dict[str, str]]:
    """Yield the rows of a table in CSV, a missing field as an empty text; nothing where there is no such file."""
    if not path.is_file():
        return
    with path.open(encoding="utf-8-sig", newline="") as file:
        first = file.readline()
        file.seek(0)
        separator = max(",;\t", key=first.count)  # a spreadsheet may have saved it
        for row in csv.DictReader(file, delimiter=separator):
            yield {name: value or "" for name, value in row.items() if name}
