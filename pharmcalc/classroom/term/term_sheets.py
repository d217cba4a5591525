"""The term as two CSV sheets: a line for each student and task, and a line for each mistake that somebody made."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from pharmcalc.classroom.pages import plain
from pharmcalc.classroom.results.picture import MARKED, Part, Picture, Row
from pharmcalc.classroom.results.report import cell_text
from pharmcalc.classroom.roster import Student
from pharmcalc.classroom.term.gather import Term
from pharmcalc.classroom.term.lookings import frequent_mistakes

__all__ = ["write_marks", "write_mistakes"]

_WHO = ("number", "surname", "given name")
_MARKS = (
    *_WHO, "assignment", "assignment title", "task", "task title", "marks", "out of", "state", "cleared", "simulated"
)  # fmt: skip
_MISTAKES = (*_WHO, "mistake", "what was done", "assignment", "task", "in how many assignments")


def write_marks(term: Term, path: Path) -> None:
    """Write the marks: a line for each student and task, absent students too. What is not marked has no marks."""
    _write(path, _MARKS, (_marks(*at) for at in _everywhere(term)))


def write_mistakes(term: Term, path: Path) -> None:
    """Write the mistakes: a line for each student, mistake, assignment and task, and how often it comes again."""
    times = {
        (one.name, number): sum(number in made for made in one.by_assignment.values())
        for one in frequent_mistakes(term)
        for number in one.students
    }
    _write(path, _MISTAKES, _mistakes(term, times))


def _mistakes(term: Term, times: Mapping[tuple[str, str], int]) -> Iterator[list[str]]:
    for picture in term.pictures:
        for row in picture.rows:
            for task, found in row.mistakes.items():
                for mistake in dict.fromkeys(found):
                    name = picture.names.get(mistake, mistake)
                    often = str(times[name, row.student.number])
                    yield [*_who(row.student), mistake, name, picture.assignment, task, often]


def _everywhere(term: Term) -> Iterator[tuple[Picture, Row, Part]]:
    for picture in (*term.pictures, *term.waiting):
        for row in picture.rows:
            for part in picture.parts:
                yield picture, row, part


def _marks(picture: Picture, row: Row, part: Part) -> list[str]:
    awaits, marked = part.name in row.to_mark, row.state == MARKED
    cleared = {True: "yes", False: "no"}.get(row.cleared.get(part.name, False)) if marked and not part.by_hand else ""
    return [
        *_who(row.student),
        picture.assignment,
        picture.title,
        part.name,
        part.title,
        "" if awaits or part.name not in row.scores else plain(row.scores[part.name]),
        plain(part.out_of),
        "to mark by hand" if awaits else row.state,
        cleared or "",
        "yes" if part.simulated else "no",
    ]


def _who(student: Student) -> list[str]:
    return [student.number, student.surname, student.given_name]


def _write(path: Path, header: Sequence[str], lines: Iterable[Sequence[str]]) -> None:
    """Write UTF-8 with a mark that spreadsheets know, and nothing that a spreadsheet would compute."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        sheet = csv.writer(file)
        sheet.writerow(header)
        sheet.writerows([cell_text(text) for text in line] for line in lines)
