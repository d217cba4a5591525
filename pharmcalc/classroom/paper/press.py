"""The PDFs of a whole class: a few students at a time, in as many processes as there are processors, then joined."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from pharmcalc.classroom.issuing.release import issued_notebook
from pharmcalc.classroom.marking.workers import spread
from pharmcalc.classroom.roster import Student
from pharmcalc.sheets.booklet import Entry, cover_pages, key_pages, layout_for, student_pages
from pharmcalc.sheets.papers import sheets_for
from pharmcalc.sheets.pdf import join, put_together
from pharmcalc.tasks.papers import Issue

__all__ = ["KEYS", "SHEETS", "Press", "print_class"]

SHEETS, KEYS = "students.pdf", "keys.pdf"
AT_A_TIME = 6
"""So many students are laid out before their pages are written: each such part holds its typefaces once."""


@dataclass(frozen=True)
class Printed:
    """The pages of a few students: both PDFs, and how many pages each student has in them."""

    students: bytes
    keys: bytes
    pages: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Press:
    """Prints the sheets and keys of a few students; it can be sent to another process."""

    release: Path
    attempt: int
    paper: str
    large: bool

    def __call__(self, students: Sequence[Student]) -> Printed:
        """Return the pages of these students, large where the press or the student's arrangement says so."""
        issue = self.issue
        sheets, keys = [], []
        for sheet, student in zip(sheets_for(issue, students, self.attempt), students, strict=True):
            large = self.large or student.large_print
            sheets.append(student_pages(issue, sheet, layout_for(issue, self.paper, large=large)))
            keys.append(key_pages(issue, sheet, layout_for(issue, self.paper, large=self.large, kind="keys")))
        pages = tuple((len(one.pages), len(other.pages)) for one, other in zip(sheets, keys, strict=True))
        return Printed(put_together(sheets), put_together(keys), pages)

    @property
    def issue(self) -> Issue:
        """The assignment as it was issued."""
        return issued_notebook(self.release)[1]

    def cover(self, entries: Sequence[Entry]) -> tuple[bytes, int]:
        """Return the first pages of the keys, and how many they are."""
        laid = cover_pages(self.issue, entries, layout_for(self.issue, self.paper, large=self.large, kind="keys"))
        return put_together([laid]), len(laid.pages)


def print_class(press: Press, students: Sequence[Student], watch: Callable[[Student], None]) -> dict[str, bytes]:
    """Return the two PDFs of a class by name.

    watch: called for each student whose pages are laid out. What goes wrong with one student is raised: a class's
    paper with a sheet missing would not be noticed before the lab.
    """
    printed = list(_few_by_few(press, students, watch))
    counts = [count for few in printed for count in few.pages]
    bare = replace(press.issue, tasks=())  # a paper's code is known before its numbers are drawn
    sheets = sheets_for(bare, students, press.attempt)
    names = [f"{sheet.number} {sheet.name}, paper {sheet.paper.code}" for sheet in sheets]
    starts = list(_starts(own for own, _ in counts))
    key_starts = list(_starts(key for _, key in counts))
    cover, before = press.cover([])
    for _ in range(2):  # the list of pages may need another page itself, which moves them all
        entries = [Entry(sheet, before + start + 1) for sheet, start in zip(sheets, key_starts, strict=True)]
        cover, before = press.cover(entries)
    title = press.issue.title
    return {
        SHEETS: join((few.students for few in printed), title=title, outline=zip(names, starts, strict=True)),
        KEYS: join(
            [cover, *(few.keys for few in printed)],
            title=f"Key, for the instructor only: {title}",
            outline=[(name, before + start) for name, start in zip(names, key_starts, strict=True)],
        ),
    }


def _few_by_few(press: Press, students: Sequence[Student], watch: Callable[[Student], None]) -> Iterator[Printed]:
    parts = [students[first : first + AT_A_TIME] for first in range(0, len(students), AT_A_TIME)]
    for few, made in spread(press, parts, expected=len(students)):
        if isinstance(made, Exception):
            raise made
        yield made
        for student in few:
            watch(student)


def _starts(counts: Iterable[int]) -> Iterator[int]:
    """Yield the page, counted from 0, on which each begins."""
    page = 0
    for count in counts:
        yield page
        page += count
