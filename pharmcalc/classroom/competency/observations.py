"""The list of what was observed: ``observations.csv`` in the course folder, a line an entry, only ever added to.

All the lines of one command are written in one go: whole, or not at all. A line that a crash cut off is left as it is,
never takes the next one with it, and is told.
"""

from __future__ import annotations

import csv
import io
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, fields, replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

from pharmcalc.classroom.competency.entries import (
    LEVELS,
    OBSERVED,
    WITHDRAWN,
    Competency,
    Entry,
    competency_called,
    level_called,
    replacements,
)
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.roster import Roster, Student
from pharmcalc.classroom.tidy import clean_text
from pharmcalc.errors import CourseError

if sys.platform != "win32":
    import fcntl

__all__ = ["LIST", "MARKING", "Noted", "observe", "read_observations"]

LIST = "observations.csv"
#: The assessor's name of what the marking knows by itself; nobody else can have it.
MARKING = "marking"
LONGEST = 300
_COLUMNS = tuple(field.name for field in fields(Entry) if field.name != "assignment")
_MOMENT = "%Y-%m-%d %H:%M:%S"


@dataclass(frozen=True)
class Noted:
    """What became of a command: the entries that were added, and the students for whom the same stood already."""

    added: tuple[Entry, ...]
    stood: tuple[str, ...] = ()

    def says(self) -> str:
        """Say it in one line."""
        said = []
        if self.added:
            first, last = self.added[0], self.added[-1]
            who = ", ".join(one.number for one in self.added)
            count = f" ({len(self.added)} students)" if len(self.added) > 1 else ""
            entries = f"entry {first.entry}" if first is last else f"entries {first.entry} to {last.entry}"
            said += [f"{first.competency.value}: {first.level} · {who}{count} · {first.on} · {first.by} · {entries}"]
            said += [f"instead of entry {first.instead_of}"] if first.instead_of else []
        if self.stood:
            said.append(f"stood already, nothing added: {', '.join(self.stood)}")
        return " · ".join(said)


def read_observations(course: Course) -> tuple[list[Entry], list[int]]:
    """Return every entry ever made, the oldest first, and the numbers of the lines that cannot be read."""
    path = course.root / LIST
    return _parsed(path.read_bytes()) if path.is_file() else ([], [])


def observe(
    course: Course,
    roster: Roster,
    numbers: Sequence[str],
    competency: str,
    level: str,
    *,
    by: str,
    on: str = "",
    attempt: int | None = None,
    note: str = "",
    instead_of: int | None = None,
    because: str = "",
) -> Noted:
    """Write down what an assessor observed, of one student or of several alike.

    Parameters
    ----------
    course, roster, numbers
        Where, who is in the class, and who was observed.
    competency, level
        Their names, or beginnings of them. ``withdrawn`` only corrects.
    by, on
        The assessor; the day as ``2026-11-20``, without one today.
    attempt
        Which of the student's attempts it was; without one, the next.
    note
        What else is worth knowing.
    instead_of, because
        The number of the entry that this one corrects, of whatever student, and why.

    Raises
    ------
    CourseError
        Something is wrong with one of them; then nothing is written for anybody.
    """
    students = _students(roster, numbers)
    what, how_well = competency_called(competency), level_called(level)
    by, note, because = _line("assessor", by), _line("note", note), _line("reason", because)
    _check_assessor(by, students)
    day = _day(on)
    _check_correction(students, how_well, instead_of, because)
    if attempt is not None and attempt < 1:
        raise CourseError(f"Attempt {attempt}: attempts are counted from 1.")
    written = f"{datetime.now():{_MOMENT}}"
    with _alone(course.root / LIST) as file:
        file.seek(0)
        data = file.read()
        kept, unread = _parsed(data)
        asked = [
            Entry(0, day, one.number, what, attempt or 0, OBSERVED, how_well, by, note, instead_of or 0, because)
            for one in students
        ]
        new = [one for one in asked if not _stands(one, kept)]
        if new and instead_of is not None:
            _check_corrected(instead_of, kept)
        number = max([one.entry for one in kept] + [len(kept) + len(unread)])
        added = tuple(
            replace(one, entry=number + place, attempt=one.attempt or _attempt(one, kept), written=written)
            for place, one in enumerate(new, 1)
        )
        if added:
            _add(file, data, added)
    return Noted(added, tuple(one.number for one in asked if one not in new))


# What is asked for ---------------------------------------------------------------------------------------------------


def _students(roster: Roster, numbers: Sequence[str]) -> list[Student]:
    found = {number: roster.find(number) for number in numbers if number.strip()}
    unknown = [number.strip()[:40] for number, student in found.items() if student is None]
    if unknown:
        raise CourseError(
            f"Not on the class list: {', '.join(unknown)}. Give numbers of the list, such as A-07. Nothing was written."
        )
    if not found:
        raise CourseError("No student is named. Give a number such as A-07, or several: A-01,A-04,A-07.")
    return list(dict.fromkeys(student for student in found.values() if student is not None))


def _line(what: str, text: str) -> str:
    """Return a text on one line."""
    line = " ".join(clean_text(text).split())
    if len(line) > LONGEST:
        raise CourseError(f"The {what} is {len(line)} letters long. Say it in {LONGEST}.")
    return line


def _check_assessor(by: str, students: list[Student]) -> None:
    if not by:
        raise CourseError("An entry needs its assessor: a name or initials. Who observed it?")
    if by.casefold() == MARKING:
        raise CourseError(f'"{by}" is what the marking knows by itself. Give the name of who observed it.')
    for student in students:
        own = (student.number, student.name, f"{student.given_name} {student.surname}")
        if by.casefold() in {name.casefold() for name in own}:
            raise CourseError(f"{student.number} cannot be assessed by {by}: nobody assesses themselves.")


def _day(text: str) -> str:
    today = date.today()
    if not text.strip():
        return today.isoformat()
    try:
        day = date.fromisoformat(text.strip())
    except ValueError:
        raise CourseError(f'"{text[:40]}" is no day. Write year-month-day, such as {today}.') from None
    if day > today:
        raise CourseError(f"{day} is in the future; today is {today}. Only what was observed is written down.")
    return day.isoformat()


def _check_correction(students: list[Student], level: str, instead_of: int | None, because: str) -> None:
    if instead_of is None:
        if because:
            raise CourseError("A reason is given and no entry. Name the entry that is corrected (instead of which?).")
        if level == WITHDRAWN:
            raise CourseError(f'"{WITHDRAWN}" takes an entry back. Name that entry, and why.')
        return
    if not because:
        raise CourseError("A correction needs its reason (because ...); it stays visible beside both entries.")
    if len(students) > 1:
        raise CourseError("A correction is about one student. Correct one entry at a time.")


def _check_corrected(instead_of: int, kept: list[Entry]) -> None:
    if all(one.entry != instead_of for one in kept):
        last = max((one.entry for one in kept), default=0)
        there = f"The entries are numbered 1 to {last}" if last else "There is no entry yet"
        raise CourseError(f"There is no entry {instead_of} to correct. {there}; see them with: pharmcalc record NUMBER")
    newer = replacements(kept).get(instead_of)
    if newer:
        raise CourseError(f"Entry {instead_of} was corrected already, by entry {newer.entry}. Correct that one.")


def _stands(asked: Entry, kept: list[Entry]) -> bool:
    """Say whether exactly this is written already and was not corrected since."""
    replaced = replacements(kept)

    def same(one: Entry) -> bool:
        attempt = asked.attempt or one.attempt
        return replace(asked, entry=one.entry, written=one.written, attempt=attempt) == one

    return any(one.entry not in replaced and same(one) for one in kept)


def _attempt(asked: Entry, kept: list[Entry]) -> int:
    """Return the attempt that was meant: that of the entry corrected, else the student's next."""
    replaced = replacements(kept)
    alike = [one for one in kept if (one.number, one.competency) == (asked.number, asked.competency)]
    for one in alike:
        if one.entry == asked.instead_of:
            return one.attempt
    return 1 + max((one.attempt for one in alike if one.entry not in replaced and one.counts), default=0)


# The file ------------------------------------------------------------------------------------------------------------


@contextmanager
def _alone(path: Path) -> Iterator[Any]:
    """Open the list to read and to add to; whoever else wants to add waits, where the system can do that."""
    with path.open("a+b", buffering=0) as file:
        if sys.platform != "win32":
            with suppress(OSError):  # some shared drives know no locks
                fcntl.flock(file, fcntl.LOCK_EX)
        yield file


def _add(file: Any, data: bytes, added: tuple[Entry, ...]) -> None:
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


def _parsed(data: bytes) -> tuple[list[Entry], list[int]]:
    lines = data.decode("utf-8", "replace").removeprefix("\ufeff").split("\n")
    entries, unread = [], []
    for place, line in enumerate(lines, 1):
        row = next(csv.reader([line.rstrip("\r")]), [])
        if not row or tuple(row) == _COLUMNS:
            continue
        entry = _entry(row)
        if entry is None:
            unread.append(place)
        else:
            entries.append(entry)
    return entries, unread


def _entry(row: list[str]) -> Entry | None:
    """Return the entry in a line; None where it is not whole. The time at its end shows whether it is."""
    if len(row) != len(_COLUMNS):
        return None
    said: dict[str, Any] = dict(zip(_COLUMNS, row, strict=True))
    try:
        if f"{datetime.strptime(said['written'], _MOMENT):{_MOMENT}}" != said["written"]:
            return None
        said["on"] = date.fromisoformat(said["on"]).isoformat()
        said["competency"] = Competency(said["competency"])
        for name in ("entry", "attempt", "instead_of"):
            said[name] = int(said[name] or 0)
    except ValueError:
        return None
    known = said["how"] == OBSERVED and said["level"] in (*LEVELS, WITHDRAWN)
    return Entry(**said) if known and said["entry"] > 0 and said["number"] and said["by"] else None
