"""Records of the simulated bench in the classroom: whose order one is of, where it lies, and what was done in it.

A record is a file beside the notebook. The code of its order tells whose it is and of which task; what it says of
readings is never believed, only replayed. A simulated weighing never counts as an observed one.
"""

from __future__ import annotations

import hashlib
import json
import stat
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from pharmcalc.bench import Session, file_name, read_record
from pharmcalc.bench.record import FORM, LONGEST_RECORD
from pharmcalc.classroom.cells import Json
from pharmcalc.classroom.handed_in.handin import decoded
from pharmcalc.classroom.marking.tidy import clean_text
from pharmcalc.classroom.roster import Roster
from pharmcalc.errors import CourseError, PharmcalcError
from pharmcalc.language import say
from pharmcalc.tasks.family import Task, family_called
from pharmcalc.tasks.papers import Issue

__all__ = [
    "Beside",
    "Orders",
    "Owner",
    "bench_tasks",
    "done_at_the_bench",
    "meant_as_record",
    "read_beside",
    "record_in",
]

ATTEMPTS = range(1, 10)
"""The attempts that are looked through where students take fresh numbers by themselves."""
MOST_BYTES = 4 * LONGEST_RECORD
MOST_SHOWN = 300
LONGEST_SHOWN = 240
_ANY_FORM = FORM.rstrip("0123456789 ")


def bench_tasks(issue: Issue) -> tuple[str, ...]:
    """Return the tasks whose answer is a record of the simulated bench."""
    return tuple(task for task, family in issue.tasks if family_called(family).recorded)


# Whose order -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Owner:
    """Who was given an order, as which task and in which attempt."""

    number: str
    task: str
    attempt: int


class Orders:
    """The orders that a class was given, by their codes. They are drawn once, and only as far as they are asked for."""

    def __init__(self, issue: Issue, roster: Roster, issued: int) -> None:
        """Prepare to look; ``issued`` is the attempt that was issued."""
        wanted = bench_tasks(issue)
        self._issue = replace(issue, tasks=tuple(pair for pair in issue.tasks if pair[0] in wanted))
        self._roster = roster
        others = [attempt for attempt in ATTEMPTS if attempt != issued] if issue.goes_on else []
        self._to_draw = [issued, *others] if wanted else []
        self._known: dict[str, Owner] = {}

    def owner_of(self, code: str) -> Owner | None:
        """Return whose order has this code; None where nobody in the class was given it."""
        while code not in self._known and self._to_draw:
            self._known |= dict(self._drawn(self._to_draw.pop(0)))
        return self._known.get(code)

    def _drawn(self, attempt: int) -> Iterator[tuple[str, Owner]]:
        for student in self._roster:
            try:
                tasks = self._issue.paper(student.number, attempt).tasks
            except PharmcalcError:  # no such paper was ever shown to anybody
                continue
            for task in tasks:
                if task.drawn.order is not None:
                    yield task.drawn.order.code, Owner(student.number, task.id, attempt)


def meant_as_record(name: str, data: bytes) -> bool:
    """Say whether a file is a bench record, or was meant as one: by what stands in it, else by its name."""
    if not name.lower().endswith((".json", ".json.txt")):
        return False
    inside = any(_ANY_FORM.encode(encoding) in data[:MOST_BYTES] for encoding in ("utf-8", "utf-16-le", "utf-16-be"))
    return inside or file_name("").partition(".")[0] in name.rpartition("/")[2].lower()


def record_in(data: bytes) -> tuple[str, str]:
    """Return the text of a bench record and the code of its order; CourseError says why it cannot be used."""
    text = _text(data)
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        raise CourseError("the bench record cannot be read; ask for the file as the bench wrote it") from None
    if not isinstance(found, dict) or not isinstance(found.get("order"), str):
        raise CourseError("it is named like a bench record and is none; ask for the file that the bench wrote")
    if found.get("form") != FORM:
        raise CourseError("the bench record was written by another version; ask for one made with this course")
    return text, found["order"]


def _text(data: bytes) -> str:
    if not data.strip():
        raise CourseError("the bench record is empty; ask for the file as the bench wrote it")
    try:
        text = decoded(data) if len(data) <= MOST_BYTES else ""
    except UnicodeDecodeError:
        raise CourseError("the bench record is not text in UTF-8; ask for the file as the bench wrote it") from None
    if not text or len(text) > LONGEST_RECORD:
        raise CourseError("the bench record is far too long; ask for the file as the bench wrote it")
    return text


# Beside the notebook ---------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Beside:
    """The bench records that lie beside a notebook, by task: their texts, and why some of them cannot be read."""

    texts: Mapping[str, str] = field(default_factory=dict)
    unread: Mapping[str, str] = field(default_factory=dict)

    @property
    def there(self) -> bool:
        """Whether there is any, be it readable or not."""
        return bool(self.texts or self.unread)

    def fingerprint(self) -> bytes:
        """Return what changes with every change of a record; nothing where there are none."""
        if not self.there:
            return b""
        return json.dumps([sorted(self.texts.items()), sorted(self.unread.items())]).encode()


def read_beside(folder: Path, issue: Issue) -> Beside:
    """Read the bench records of an assignment that lie in a folder. Never raises, and follows no link."""
    texts, unread = {}, {}
    for task in bench_tasks(issue):
        path = folder / file_name(task)
        try:
            if not stat.S_ISREG(path.lstat().st_mode):
                raise CourseError(f"{path.name} is a link or no file; ask for the record itself")
            with path.open("rb") as file:
                texts[task] = _text(file.read(MOST_BYTES + 1))
        except FileNotFoundError:
            continue
        except OSError as trouble:
            unread[task] = f"{path.name} cannot be opened ({trouble.strerror})"
        except CourseError as trouble:
            unread[task] = str(trouble)
    return Beside(texts, unread)


# What was done ---------------------------------------------------------------------------------------------------


def done_at_the_bench(task: Task, text: str | None) -> Json | None:
    """Return what a record holds, replayed, as plain data for pages; None where there is nothing to replay."""
    order = task.drawn.order
    if order is None or text is None:
        return None
    try:
        session = read_record(text, order)
    except CourseError:
        return None
    rows = [
        [moment.place, moment.event.action, _short(moment.event.what), moment.shown.written or say("off")]
        for moment in session.moments[:MOST_SHOWN]
    ]
    count = len(session.moments)
    return {
        "says": say("The record of the bench: {count} actions, {end}.", count=count, end=_end(session)),
        "rows": rows,
        "left_out": count - len(rows),
        "sha256": hashlib.sha256(text.encode("utf-8", "replace")).hexdigest(),
    }


def _end(session: Session) -> str:
    state = session.state
    if state.stopped:
        return say("stopped: {reason}", reason=say(state.stopped))
    return say("signed {initials}", initials=state.signed) if state.signed else say("neither signed nor stopped")


def _short(what: str) -> str:
    line = " ".join(clean_text("; ".join(part.strip() for part in what.splitlines() if part.strip())).split())
    return line if len(line) <= LONGEST_SHOWN else line[: LONGEST_SHOWN - 3] + "..."
