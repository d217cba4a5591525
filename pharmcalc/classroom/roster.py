"""The class list: a CSV file with the columns number, surname, given name and (if you like) email.

Further columns say what was arranged with a student: extension (how much longer each assignment may take), extra time
(how much), large print and paper (yes or no). They are told where the class is told; an extension moves the deadlines,
and large print chooses the sheets that are printed.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from pharmcalc.errors import CourseError

COLUMNS = ("number", "surname", "given name", "email")
ARRANGEMENTS = ("extension", "extra time", "large print", "paper")
_YES_OR_NO = ("large print", "paper")
_NEEDED = COLUMNS[:3]
_NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,29}\Z")
_MOST_ERRORS = 10
_LENGTH = re.compile(r"(\d{1,3}) ?(hour|day|week)s?", re.I)


@dataclass(frozen=True)
class Student:
    """One line of the class list. ``number`` is what nbgrader calls the student id."""

    number: str
    surname: str
    given_name: str
    email: str = ""
    arrangements: tuple[tuple[str, str], ...] = ()

    @property
    def longer(self) -> timedelta:
        """How much longer than everybody this student has for each assignment."""
        return length(dict(self.arrangements).get("extension", "")) or timedelta(0)

    @property
    def large_print(self) -> bool:
        """Whether this student's sheets are printed large."""
        return ("large print", "yes") in self.arrangements

    @property
    def name(self) -> str:
        """The name as a list shows it: surname first."""
        return f"{self.surname}, {self.given_name}".strip(", ")


@dataclass(frozen=True)
class Roster:
    """The class list, in its order."""

    students: tuple[Student, ...]

    def __iter__(self) -> Iterator[Student]:
        return iter(self.students)

    def __len__(self) -> int:
        return len(self.students)

    def find(self, number: str) -> Student | None:
        """Return the student with this number (small and capital letters are the same), or None."""
        wanted = number.strip().casefold()
        return next((s for s in self.students if s.number.casefold() == wanted), None)


def read_roster(path: Path) -> Roster:
    """Return the class list in ``path``.

    Commas, semicolons and tabs are all taken as separators, and the text may be in UTF-8, UTF-16 or Windows' own
    encoding, so that a list saved by any spreadsheet is read.

    Raises
    ------
    CourseError
        Every line that cannot be used is named, with what was read and what to write instead.
    """
    if not path.is_file():
        raise CourseError(f"{path}: there is no such file. Give the class list, a CSV file with {', '.join(_NEEDED)}.")
    return parse_roster(text_of(path.read_bytes()), path.name)


def parse_roster(text: str, name: str = "class list") -> Roster:
    """Return the class list in ``text``; ``name`` is how messages call it.

    >>> parse_roster("number;surname;given name\\nA-07;Brook;Ines").find("a-07").name
    'Brook, Ines'
    """
    lines = text.splitlines()
    first = next((line for line in lines if line.strip()), "")
    if not first:
        raise CourseError(f"{name}: the file is empty. Its first line must be: {','.join(COLUMNS)}")
    separator = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text.lstrip("\ufeff")), delimiter=separator)
    try:
        rows = [(reader.line_num, [field.strip() for field in row]) for row in reader]
    except csv.Error as trouble:
        raise CourseError(f"{name}, line {reader.line_num}: {trouble}. Save the list again as CSV.") from None
    rows = [(line, row) for line, row in rows if any(row)]
    header = [" ".join(field.lower().replace("_", " ").split()) for field in rows[0][1]]
    missing = [column for column in _NEEDED if column not in header]
    if missing:
        raise CourseError(
            f'{name}, line {rows[0][0]}: no column "{missing[0]}" in "{first.strip()[:80]}". '
            f"The first line must name the columns: {','.join(COLUMNS)}"
        )
    return _checked(name, [(line, _fields(header, row)) for line, row in rows[1:]])


def length(text: str) -> timedelta | None:
    """Return a length of time, or None where the text is none.

    >>> length("2 days"), length("36 hours"), length("Friday")
    (datetime.timedelta(days=2), datetime.timedelta(days=1, seconds=43200), None)
    """
    found = _LENGTH.fullmatch(" ".join(text.split()))
    return timedelta(**{f"{found[2].lower()}s": int(found[1])}) if found else None


def write_roster(roster: Roster, path: Path) -> None:
    """Write the class list as this course keeps it: UTF-8 with commas."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        arranged = [column for column in ARRANGEMENTS if any(column in dict(s.arrangements) for s in roster)]
        writer.writerow((*COLUMNS, *arranged))
        for s in roster:
            said = dict(s.arrangements)
            writer.writerow(
                (s.number, s.surname, s.given_name, s.email, *(said.get(column, "") for column in arranged))
            )


def _fields(header: list[str], row: list[str]) -> dict[str, str]:
    return dict(zip(header, row, strict=False))


def _checked(name: str, rows: list[tuple[int, dict[str, str]]]) -> Roster:
    students: dict[str, tuple[int, Student]] = {}
    wrong: list[str] = []
    for line, row in rows:
        number = row.get("number", "")
        if not _NUMBER.match(number):
            read = f'the number is "{number[:40]}"' if number else "there is no number"
            wrong.append(f"{name}, line {line}: {read}. Write letters, digits, - or _, such as A-07.")
        elif not row.get("surname"):
            wrong.append(f"{name}, line {line}: {number} has no surname. Write it in the column surname.")
        elif number.casefold() in students:
            other = students[number.casefold()][0]
            wrong.append(f"{name}, line {line}: {number} stands in line {other} too. Each number must be one student.")
        elif trouble := _unclear(row):
            wrong.append(f"{name}, line {line}: {number}: {trouble}")
        else:
            given_name, email = row.get("given name", ""), row.get("email", "")
            student = Student(number, row["surname"], given_name, email, _arranged(row))
            students[number.casefold()] = (line, student)
    if wrong:
        more = [f"... and {len(wrong) - _MOST_ERRORS} more lines."] if len(wrong) > _MOST_ERRORS else []
        raise CourseError("\n".join(wrong[:_MOST_ERRORS] + more))
    if not students:
        raise CourseError(f"{name}: there is no student below the first line. Write one line a student.")
    return Roster(tuple(student for _, student in students.values()))


def _unclear(row: dict[str, str]) -> str:
    for column in _YES_OR_NO:
        said = row.get(column, "")
        if said.casefold() not in ("", "yes", "no"):
            return f'{column} is "{said[:40]}". Write yes or no.'
    longer = row.get("extension", "")
    if longer and length(longer) is None:
        return (
            f'extension is "{longer[:40]}". Write how much longer each assignment may take, such as 2 days, 36 hours '
            "or 1 week. For one assignment only: pharmcalc due ASSIGNMENT WHEN --student NUMBER"
        )
    return ""


def _arranged(row: dict[str, str]) -> tuple[tuple[str, str], ...]:
    said = ((column, row.get(column, "")[:80]) for column in ARRANGEMENTS)
    return tuple(
        (column, text.casefold() if column in _YES_OR_NO else text)
        for column, text in said
        if text and not (column in _YES_OR_NO and text.casefold() == "no")
    )


def text_of(data: bytes) -> str:
    """Return a text as a spreadsheet or an editor saved it: UTF-8, UTF-16 or Windows' own encoding."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")
