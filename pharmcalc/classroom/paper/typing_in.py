"""Taking typed papers in: each becomes a hand-in like any other, and every line that was typed is kept.

``typed_in.csv`` in the course folder has one row for every line: who typed it and when, and what became of it. It is
only ever added to; a correction is the student's line typed again, and the last one counts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, datetime

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handed_in.parcels import Item
from pharmcalc.classroom.handed_in.takein import take_items
from pharmcalc.classroom.issuing.deadlines import read_deadlines
from pharmcalc.classroom.lists import add_row, read_rows
from pharmcalc.classroom.paper.origin import COLUMNS, LIST, TAKEN, remark_of
from pharmcalc.classroom.paper.typed import Reader, TypedPaper
from pharmcalc.classroom.roster import Roster
from pharmcalc.errors import CourseError

__all__ = ["LIST", "Session", "name_of", "read_lines", "shown", "take_typed"]

REPLACED, LEFT = "typed again before it was taken", "not taken"
_FILE = "typed-in-from-paper.ipynb"


def take_typed(
    course: Course, reader: Reader, papers: Sequence[TypedPaper], roster: Roster, by: str
) -> tuple[list[str], list[str], list[str]]:
    """Hand typed papers in; return whose were taken, whose were there already, and whose were refused and why.

    A paper typed after its student's deadline counts as handed in at the deadline: that is when it was collected. The
    same line typed once more changes nothing, so a file may be read again after it was stopped or corrected.
    """
    assignment, now = reader.issue.assignment, datetime.now(UTC)
    deadlines, before = read_deadlines(course, assignment), _taken_before(course, assignment)
    fresh: dict[str, TypedPaper] = {}
    there = []
    for paper in papers:
        number = paper.student.number
        if number in fresh:
            _note(course, assignment, fresh[number], by, REPLACED)
        if before.get(number) == _said(paper) and course.submitted(assignment, number).is_file():
            fresh.pop(number, None)
            there.append(number)
        else:
            fresh[number] = paper
    items, remarks = [], {}
    for number, paper in fresh.items():
        deadline = deadlines.of(paper.student)
        counts = now if deadline is None else min(now, deadline)
        remarks[number] = remark_of(by, now, counts)
        items.append(Item(f"{number}/{_FILE}", counts, paper.notebook(reader.release, remarks[number], now)))
    with course.only_run():
        result = take_items(course, assignment, items, roster)
        refused = {entry.file.partition("/")[0]: entry.reason for entry in result.refused}
        for number, paper in fresh.items():
            _note(course, assignment, paper, by, refused.get(number, TAKEN), remarks[number])
    taken = [number for number in fresh if number not in refused]
    return taken, [n for n in dict.fromkeys(there) if n not in fresh], [f"{n}: {why}" for n, why in refused.items()]


class Session:
    """Typing at the keyboard: a line is shown as it was read, and waits until it is taken.

    It is taken by an empty line, or when another student's line comes. The same student's line typed again takes its
    place. ``tell`` gets each sentence.
    """

    def __init__(self, course: Course, assignment: str, roster: Roster, by: str, tell: Callable[[str], None]) -> None:
        """Prepare, and tell in which order the answers are typed."""
        self.by = name_of(by)
        self._course, self._roster, self._tell = course, roster, tell
        self.reader = Reader(course, assignment, roster)
        self.waiting: TypedPaper | None = None
        self.taken: set[str] = set()

    def hear(self, text: str) -> bool:
        """Read a line; return False when typing is at its end: an empty line, and nothing waits."""
        try:
            paper = self.reader.read(text)
        except CourseError as trouble:
            self._refuse(text, str(trouble))
            return True
        if paper is None:
            if self.waiting is None:
                return bool(text.strip())
            self.take()
            return True
        if self.waiting is not None:
            if self.waiting.student == paper.student:
                _note(self._course, self.reader.issue.assignment, self.waiting, self.by, REPLACED)
            else:
                self.take()
        self.waiting = paper
        for line in shown(paper):
            self._tell(line)
        return True

    def take(self) -> None:
        """Hand the waiting paper in."""
        paper, self.waiting = self.waiting, None
        if paper is None:
            return
        taken, there, refused = take_typed(self._course, self.reader, [paper], self._roster, self.by)
        self.taken.update(taken, there)
        for number in taken:
            self._tell(f"{number}: taken")
        for number in there:
            self._tell(f"{number}: the same line was taken before; nothing was changed")
        for reason in refused:
            self._tell(reason)

    def leave(self) -> None:
        """Stop before the waiting line is taken; it is kept in the list, and said."""
        if self.waiting is not None:
            _note(self._course, self.reader.issue.assignment, self.waiting, self.by, LEFT)
            self._tell(f"{self.waiting.student.number}: the last line was not taken. Type it again.")
            self.waiting = None

    def _refuse(self, text: str, why: str) -> None:
        _add(self._course, self.reader.issue.assignment, "", self.by, why, text)
        self._tell(f"Not read: {why}")


def read_lines(course: Course, reader: Reader, lines: Iterable[str], by: str) -> tuple[list[TypedPaper], list[str]]:
    """Read many lines, and return the papers and a sentence for each line that cannot be used."""
    papers, wrong = [], []
    for place, line in enumerate(lines, 1):
        try:
            paper = reader.read(line)
        except CourseError as trouble:
            wrong.append(f"line {place}: {trouble}")
            _add(course, reader.issue.assignment, "", by, str(trouble), line)
            continue
        if paper is not None:
            papers.append(paper)
    return papers, wrong


def shown(paper: TypedPaper) -> list[str]:
    """Return the lines in which a paper is shown as it was read."""
    return [f"{paper.student.number} {paper.student.name}, attempt {paper.attempt}:", *paper.echo()]


def name_of(by: str) -> str:
    """Return who types, on one line; it stands on the hand-in."""
    name = " ".join(by.split())[:60]
    if not name or set(name) & set("<>&"):
        raise CourseError("Who types? Give a name or initials, without <, > and &: it stands on what is handed in.")
    return name


def _taken_before(course: Course, assignment: str) -> dict[str, str]:
    """Return what each student's last taken line said."""
    rows = [row for row in read_rows(course.root / LIST, *COLUMNS) if row["assignment"] == assignment]
    return {row["number"]: row["read"] for row in rows if row["result"] == TAKEN}


def _said(paper: TypedPaper) -> str:
    return " ; ".join([str(paper.attempt), *paper.answers])


def _note(course: Course, assignment: str, paper: TypedPaper, by: str, result: str, origin: str = "") -> None:
    _add(course, assignment, paper.student.number, by, result, paper.line, _said(paper), origin)


def _add(
    course: Course, assignment: str, number: str, by: str, result: str, line: str, read: str = "", origin: str = ""
) -> None:
    when, line = f"{datetime.now():%Y-%m-%d %H:%M:%S}", " ".join(line.split("\n"))[:5000].strip()
    row = dict(zip(COLUMNS, (when, assignment, number, by, result, line, read, origin), strict=True))
    add_row(course.root / LIST, row)
