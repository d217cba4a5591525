"""Deadlines: until when an assignment is to be handed in, for everybody and for those who were given longer.

They stand in a list that is only ever added to; of several lines for the same the newest holds. The deadline for
everybody is nbgrader's due date too, and what somebody has longer is nbgrader's extension.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, field, fields
from datetime import UTC, datetime, timedelta

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.lists import add_row, read_as
from pharmcalc.classroom.roster import Roster, Student
from pharmcalc.errors import CourseError

__all__ = [
    "Deadlines",
    "deadline_lines",
    "read_deadlines",
    "read_moment",
    "said_late",
    "set_deadline",
]

LIST = "deadlines.csv"
_NONE = "none"
_FORMS = ("%Y-%m-%d %H:%M", "%Y-%m-%d %H.%M", "%Y-%m-%dT%H:%M", "%Y-%m-%d")


@dataclass(frozen=True)
class _Line:
    """One line of the list; ``number`` is empty for everybody, ``until`` is "none" where it was taken back."""

    when: str
    assignment: str
    number: str
    until: str


@dataclass(frozen=True)
class Deadlines:
    """The deadlines of one assignment, in UTC; ``set`` says whether everybody's is what the list says of it."""

    everybody: datetime | None = None
    own: Mapping[str, datetime] = field(default_factory=dict)
    set: bool = False

    def of(self, student: Student) -> datetime | None:
        """Return a student's deadline: their own, else everybody's and what the class list allows them longer."""
        if student.number in self.own:
            return self.own[student.number]
        if self.everybody is None or student.longer % timedelta(days=1):
            return self.everybody and self.everybody + student.longer
        by_the_clock = self.everybody.astimezone().replace(tzinfo=None) + student.longer  # a day may have 25 hours
        return by_the_clock.astimezone(UTC)


def read_moment(text: str) -> datetime:
    """Return a date and time as typed, in this computer's time zone; a date alone means the end of that day.

    >>> read_moment("2026-12-04 18:00").strftime("%H:%M"), read_moment("2026-12-04").strftime("%H:%M")
    ('18:00', '23:59')
    """
    said = " ".join(text.split())
    for form in _FORMS:
        try:
            moment = datetime.strptime(said, form)
        except ValueError:
            continue
        return (moment if "%H" in form else moment.replace(hour=23, minute=59, second=59)).astimezone()
    raise CourseError(f'"{said[:40]}" is no date and time. Write, for example, 2026-12-04 18:00.')


def deadline_lines(deadlines: Deadlines, roster: Roster) -> list[str]:
    """Say the deadlines in lines, in this computer's time zone: everybody's, then those who have another."""
    lines = [f"to be handed in by {_said(deadlines.everybody)}" if deadlines.everybody else "no deadline for everybody"]
    if deadlines.own and not deadlines.everybody:
        lines.append("until there is one for everybody, nothing is marked as late: these say only which hand-in counts")
    for student in roster:
        own = deadlines.of(student)
        if own is not None and own != deadlines.everybody:
            lines.append(f"{student.number} {student.name}: by {_said(own)}")
    return lines


def said_late(seconds: float) -> str:
    """Say how long something is late.

    >>> said_late(90), said_late(3 * 3600), said_late(50 * 3600)
    ('2 minutes', '3 hours', '2 days 2 hours')
    """
    hours, rest = divmod(round(seconds), 3600)
    days, hours = divmod(hours, 24)
    parts = [(days, "day"), (hours, "hour")] if days or hours else [(max(1, round(rest / 60)), "minute")]
    return " ".join(f"{count} {word}{'' if count == 1 else 's'}" for count, word in parts if count)


def _said(moment: datetime) -> str:
    return f"{moment.astimezone():%A %Y-%m-%d %H:%M}"


def set_deadline(
    course: Course, assignment: str, until: datetime | None, roster: Roster, number: str = ""
) -> Student | None:
    """Write a deadline down, for everybody or for one student; ``until=None`` takes it back.

    Returns the student. Raises CourseError where there is no such student or assignment.
    """
    course.require(assignment)
    student = roster.find(number) if number else None
    if number and student is None:
        raise CourseError(f"{number[:40]} is not on the class list. Give a student's number, such as A-07.")
    now = f"{datetime.now():%Y-%m-%d %H:%M:%S}"
    moment = until.isoformat(timespec="seconds") if until else _NONE
    add_row(course.root / LIST, asdict(_Line(now, assignment, student.number if student else "", moment)))
    return student


def read_deadlines(course: Course, assignment: str) -> Deadlines:
    """Return the deadlines of an assignment; where the list has none for everybody, nbgrader's due date is that."""
    found = {one.number: one.until for one in _lines(course) if one.assignment == assignment}
    given = {number: until for number, until in found.items() if until != _NONE}
    moments = {number: datetime.fromisoformat(until).astimezone(UTC) for number, until in given.items()}
    if "" in found:
        return Deadlines(moments.pop("", None), moments, set=True)
    return Deadlines(course.due_date(assignment), moments)


def _lines(course: Course) -> Iterator[_Line]:
    names = [one.name for one in fields(_Line)]

    def line(row: dict[str, str]) -> _Line:
        if row["until"] != _NONE:
            datetime.fromisoformat(row["until"]).astimezone(UTC)
        return _Line(*(row[name] for name in names))

    return read_as(course.root / LIST, line, *names)
