"""The record of the term, gathered: for each student the entries, which of them were corrected, and what holds now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pharmcalc.classroom.competency.entries import SIMULATED, Competency, Entry, replacements, standing
from pharmcalc.classroom.competency.known import CLEARED, known_by_marking
from pharmcalc.classroom.competency.observations import LIST, read_observations
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.roster import Roster, Student

__all__ = ["NOT_OBSERVED", "StudentRecord", "TermRecord", "term_record"]

NOT_OBSERVED = "not observed"


@dataclass(frozen=True)
class StudentRecord:
    """One student over the term.

    ``replaced`` are the entries that were corrected, each with the entry in its place (which may be another student's).
    """

    student: Student
    entries: tuple[Entry, ...]
    replaced: Mapping[int, Entry]
    held: Mapping[Competency, Entry]

    def of(self, competency: Competency) -> list[Entry]:
        """Return everything about a competency, the oldest first; what the marking knows stands at its day."""
        found = [one for one in self.entries if one.competency is competency]
        return sorted(found, key=lambda one: (one.on, one.entry, one.attempt))

    def cleared(self) -> tuple[int, int]:
        """Return in how many assignments the latest marked attempt is cleared, and in how many there is one."""
        latest: dict[str, Entry] = {}
        for one in self.of(Competency.CALCULATION):
            if one.assignment and one.attempt >= latest.get(one.assignment, one).attempt:
                latest[one.assignment] = one
        return sum(one.level == CLEARED for one in latest.values()), len(latest)

    def stands(self, competency: Competency) -> str:
        """Say what holds now: the level observed last, and for calculations what the marking says."""
        held = self.held.get(competency)
        said = [held.level] if held else []
        if competency is Competency.CALCULATION:
            cleared, of = self.cleared()
            said = [f"{cleared} of {of} assignments cleared"] * bool(of) + [f"on paper: {level}" for level in said]
            return "; ".join(said) or "none marked"
        return said[0] if said else NOT_OBSERVED

    def practised(self, competency: Competency) -> int:
        """Return how many simulated entries there are; they change nothing of what holds."""
        return sum(one.how == SIMULATED for one in self.of(competency))

    def correction(self, entry: Entry) -> str:
        """Say which entry this one corrects, and by which it was corrected, each with the reason."""
        said = []
        if entry.instead_of:
            said.append(f"Instead of entry {entry.instead_of}, because: {entry.because}")
        newer = self.replaced.get(entry.entry)
        if newer:
            whose = "" if newer.number == entry.number else ", another student's"
            said.append(f"No longer holds: corrected by entry {newer.entry}{whose}, because: {newer.because}")
        return ". ".join(said)


@dataclass(frozen=True)
class TermRecord:
    """The class over the term, what could not be read, and whose entries stand in the list without being on it."""

    students: tuple[StudentRecord, ...]
    trouble: tuple[str, ...]

    @property
    def observed(self) -> int:
        """How many of the competencies of all students have something observed that holds."""
        return sum(len(one.held) for one in self.students)

    def of(self, student: Student) -> StudentRecord:
        """Return the record of a student of this class."""
        return next(one for one in self.students if one.student == student)


def term_record(course: Course, roster: Roster) -> TermRecord:
    """Gather everything that is known about the class."""
    written, unread = read_observations(course)
    known, trouble = known_by_marking(course, roster)
    entries = [*written, *known]
    replaced = replacements(entries)
    held: dict[str, dict[Competency, Entry]] = {}
    for (number, what), one in standing(entries).items():
        held.setdefault(number, {})[what] = one
    by_student: dict[str, list[Entry]] = {}
    for one in entries:
        by_student.setdefault(one.number, []).append(one)
    students = tuple(
        StudentRecord(
            student,
            tuple(by_student.pop(student.number, [])),
            replaced,
            held.get(student.number, {}),
        )
        for student in roster
    )
    if unread:
        lines = ", ".join(map(str, unread))
        trouble.append(
            f"{LIST}: line {lines} cannot be read and does not count. Where a spreadsheet changed the days or times, "
            "write them back as in the other lines (2026-11-20, 2026-11-20 16:05:09); else enter again what it held."
        )
    gone = sorted(number for number in by_student if any(one.entry for one in by_student[number]))
    if gone:
        trouble.append(f"{LIST} holds entries of students who are not on the class list: {', '.join(gone)}.")
    return TermRecord(students, tuple(trouble))
