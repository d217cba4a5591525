"""What is taken away of the record: a page for each student, the class as one page, the same as a sheet, and lines."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import date
from pathlib import Path

from pharmcalc.classroom.competency.entries import HOW, LEVELS, NEVER_COUNTS, SIMULATED, Competency
from pharmcalc.classroom.competency.records import NOT_OBSERVED, StudentRecord, TermRecord
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.pages import page
from pharmcalc.classroom.results.report import cell_text

__all__ = ["TERM", "student_lines", "student_page", "write_record"]

#: The folder in ``reports/`` with what is about the whole term.
TERM = "term"
_WORDS = {
    "NEVER_COUNTS": NEVER_COUNTS,
    "HOW": HOW,
    "LEVELS": LEVELS,
    "SIMULATED": SIMULATED,
    "NOT_OBSERVED": NOT_OBSERVED,
    "COMPETENCIES": tuple(Competency),
}


def student_page(course: Course, number: str) -> Path:
    """Return where a student's page lies."""
    return course.reports(TERM) / "students" / f"{number}.html"


def write_record(course: Course, term: TermRecord) -> tuple[Path, Path]:
    """Write every student's page, the class as a page, and as a sheet; return (class page, sheet)."""
    overview, sheet = (course.reports(TERM) / f"competencies.{kind}" for kind in ("html", "csv"))
    today = date.today().isoformat()
    for one in term.students:
        path = student_page(course, one.student.number)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(page("competency_student", record=one, today=today, **_WORDS), encoding="utf-8")
    overview.parent.mkdir(parents=True, exist_ok=True)
    overview.write_text(page("competencies", term=term, today=today, **_WORDS), encoding="utf-8")
    _write_sheet(term, sheet)
    return overview, sheet


def _write_sheet(term: TermRecord, path: Path) -> None:
    """Write the class as a sheet: for each competency what holds, since when, and how often it was simulated."""
    header = ["number", "surname", "given name"]
    for competency in Competency:
        header += [competency.value, f"{competency.value}: date", f"{competency.value}: simulated, ticks nothing"]
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        sheet = csv.writer(file)
        sheet.writerow(header)
        for one in term.students:
            sheet.writerow(map(cell_text, _cells(one)))


def _cells(one: StudentRecord) -> Iterator[str]:
    yield from (one.student.number, one.student.surname, one.student.given_name)
    for competency in Competency:
        held = one.held.get(competency)
        yield from (one.stands(competency), held.on if held else "", str(one.practised(competency)))


def student_lines(one: StudentRecord) -> list[str]:
    """Return a student's record as lines: for each competency what holds, and below it every entry."""
    lines = [f"{one.student.number} {one.student.name}"]
    for competency in Competency:
        lines.append(f"{competency.value}: {one.stands(competency)}")
        for entry in one.of(competency):
            corrected = one.correction(entry)
            lines.append(f"  {entry.says()}{f'. {corrected}' if corrected else ''}")
    return [*lines, NEVER_COUNTS]
