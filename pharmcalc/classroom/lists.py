"""Lists that are only ever added to: a line is written whole, and never onto what a crash left of another.

Each is a table in CSV that a person may look at, and a spreadsheet may have saved anew: in another order, with
semicolons. What is added then is added in the same way. A line that a crash cut off is passed over; one that is whole
and cannot be read was changed by somebody, and is told.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import NamedTuple, TypeVar

from pharmcalc.errors import CourseError

T = TypeVar("T")

#: Stands at the end of a line that a crash had cut off, once another one follows.
_CUT_OFF = "(cut off)"

__all__ = ["add_lines", "add_row", "read_as", "read_rows"]


class _Head(NamedTuple):
    """The first line of a table: its columns, what stands between them, and the file's text."""

    columns: list[str]
    separator: str
    text: str


def add_lines(path: Path, lines: str, close: str = "") -> None:
    """Add whole lines to a text file in one go; a line that a crash cut off is closed first, with ``close``."""
    with path.open("a+b", buffering=0) as file:
        if file.seek(0, io.SEEK_END):
            file.seek(-1, io.SEEK_END)
            if file.read(1) != b"\n":
                lines = f"{close}\n{lines}"
        file.write(lines.encode("utf-8"))


def add_row(path: Path, row: Mapping[str, object]) -> None:
    """Add a row to a table in CSV; the first one brings the header with it."""
    head, text = _head(path, row), io.StringIO(newline="")
    writer = csv.DictWriter(text, head.columns or list(row), delimiter=head.separator)
    if not head.columns:
        path.unlink(missing_ok=True)
        writer.writeheader()
    writer.writerow(row)
    last = head.text.rpartition("\n")[2]
    add_lines(path, text.getvalue(), '"' * (last.count('"') % 2) + head.separator * len(head.columns) + _CUT_OFF)


def read_rows(path: Path, *columns: str) -> Iterator[dict[str, str]]:
    """Yield the rows of a table in CSV, a missing field as an empty text; nothing where there is no such file.

    Raises CourseError where the table does not have these columns, or is no text in UTF-8.
    """
    yield from ({name: text or "" for name, text in row.items()} for _, row, _ in _rows(path, columns))


def read_as(path: Path, make: Callable[[dict[str, str]], T], *columns: str) -> Iterator[T]:
    """Yield what ``make`` makes of each row; it raises ``ValueError`` for one that it cannot read.

    Raises CourseError, besides as ``read_rows``, for a row that is whole and cannot be read.
    """
    for line, row, cut in _rows(path, columns):
        try:
            yield make({name: text or "" for name, text in row.items()})
        except ValueError:
            if cut:
                continue
            shown = ", ".join(text or "" for text in row.values())[:120]
            raise CourseError(
                f'{path.name}, line {line}: "{shown}" is not as pharmcalc wrote it (a spreadsheet may have changed '
                "dates or numbers). Write it as the lines around it, or remove the line."
            ) from None


def _rows(path: Path, columns: tuple[str, ...]) -> Iterator[tuple[int, dict[str, str | None], bool]]:
    """Yield each row with the number of its line, and whether a crash may have cut it off."""
    head = _head(path, columns)
    lines = head.text.count("\n")
    reader = csv.DictReader(io.StringIO(head.text, newline=""), delimiter=head.separator, restkey=_CUT_OFF)
    try:
        for row in reader:
            closed = _CUT_OFF in (row.pop(_CUT_OFF, None) or ())
            cut = closed or None in row.values() or reader.line_num > lines
            yield reader.line_num, {name: text for name, text in row.items() if name}, cut
    except csv.Error as trouble:
        raise CourseError(f"{path.name}, line {reader.line_num}: {trouble}. Mend that line by hand.") from None


def _head(path: Path, columns: Mapping[str, object] | tuple[str, ...]) -> _Head:
    """Return the head of a table, which has at least these columns; without any where there is nothing yet."""
    try:
        text = path.read_text(encoding="utf-8-sig") if path.is_file() else ""
    except UnicodeDecodeError:
        raise CourseError(
            f"{path.name} was saved in another encoding. Open it in a spreadsheet and save it as CSV UTF-8."
        ) from None
    first = text.partition("\n")[0].strip("\r")
    if not text or (first == text and ",".join(columns).startswith(first)):  # a crash cut it off: nothing was listed
        return _Head([], ",", "")
    separator = max(",;\t", key=first.count)
    found = next(csv.reader([first], delimiter=separator), [])
    if missing := [name for name in columns if name not in found]:
        raise CourseError(
            f'{path.name}: the first line must name the columns, and there is no "{missing[0]}" in "{first[:80]}". '
            "Put the first line back as it was; nothing below it was changed."
        )
    return _Head(found, separator, text)
