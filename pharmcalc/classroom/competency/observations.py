"""Observations: what an assessor watched at a real balance, checked and then added to the list."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from pharmcalc.classroom.competency.entries import (
    OBSERVED,
    WITHDRAWN,
    Competency,
    Entry,
    competency_called,
    level_called,
    replacements,
)
from pharmcalc.classroom.competency.filed import LIST, MOMENT, add, alone, parsed
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.marking.tidy import clean_text
from pharmcalc.classroom.roster import Roster, Student
from pharmcalc.errors import CourseError

__all__ = ["LIST", "MARKING", "Noted", "observe", "read_observations"]

#: The assessor's name of what the marking knows by itself; nobody else can have it.
MARKING = "marking"
LONGEST = 300


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
    return parsed(path.read_bytes()) if path.is_file() else ([], [])


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
    written = f"{datetime.now():{MOMENT}}"
    with alone(course.root / LIST) as file:
        file.seek(0)
        data = file.read()
        kept, unread = parsed(data)
        asked = [
            Entry(0, day, one.number, what, attempt or 0, OBSERVED, how_well, by, note, instead_of or 0, because)
            for one in students
        ]
        replaced, alike = replacements(kept), _by_subject(kept)
        stands = {one.number: _stands(one, alike.get(_subject(one), []), replaced) for one in asked}
        new = [one for one in asked if not stands[one.number]]
        if new and instead_of is not None:
            _check_corrected(instead_of, kept, replaced)
        number = max([one.entry for one in kept] + [len(kept) + len(unread)])
        added = tuple(
            replace(
                one,
                entry=number + place,
                attempt=one.attempt or _attempt(one, alike.get(_subject(one), []), replaced),
                written=written,
            )
            for place, one in enumerate(new, 1)
        )
        if added:
            add(file, data, added)
    return Noted(added, tuple(number for number, stood in stands.items() if stood))


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


def _check_corrected(instead_of: int, kept: list[Entry], replaced: Mapping[int, Entry]) -> None:
    if all(one.entry != instead_of for one in kept):
        last = max((one.entry for one in kept), default=0)
        there = f"The entries are numbered 1 to {last}" if last else "There is no entry yet"
        raise CourseError(f"There is no entry {instead_of} to correct. {there}; see them with: pharmcalc record NUMBER")
    newer = replaced.get(instead_of)
    if newer:
        raise CourseError(f"Entry {instead_of} was corrected already, by entry {newer.entry}. Correct that one.")


def _subject(one: Entry) -> tuple[str, Competency]:
    """Return who and what an entry is about."""
    return one.number, one.competency


def _by_subject(kept: list[Entry]) -> dict[tuple[str, Competency], list[Entry]]:
    found: dict[tuple[str, Competency], list[Entry]] = {}
    for one in kept:
        found.setdefault(_subject(one), []).append(one)
    return found


def _stands(asked: Entry, alike: list[Entry], replaced: Mapping[int, Entry]) -> bool:
    """Say whether exactly this is written already, among the entries about the same, and was not corrected since."""

    def same(one: Entry) -> bool:
        attempt = asked.attempt or one.attempt
        return replace(asked, entry=one.entry, written=one.written, attempt=attempt) == one

    return any(one.entry not in replaced and same(one) for one in alike)


def _attempt(asked: Entry, alike: list[Entry], replaced: Mapping[int, Entry]) -> int:
    """Return the attempt that was meant: that of the entry corrected, else the student's next."""
    for one in alike:
        if one.entry == asked.instead_of:
            return one.attempt
    return 1 + max((one.attempt for one in alike if one.entry not in replaced and one.counts), default=0)
