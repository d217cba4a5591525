"""The inbox, ``received/``: what became of each file that came in, the files as they came, and whose name they bear."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass, field
from datetime import datetime
from pathlib import Path, PurePosixPath

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.lists import add_lines
from pharmcalc.classroom.parcels import Item
from pharmcalc.classroom.roster import Roster

__all__ = [
    "Entry",
    "TakeIn",
    "digest",
    "keep",
    "last_words",
    "named_in",
    "set_aside",
    "stamp",
    "write_log",
    "write_whole",
]

LOG = "log.jsonl"
_UNSAFE = re.compile(r"[^A-Za-z0-9._ ()-]")


@dataclass(frozen=True)
class Entry:
    """What became of one file: one line of the log in ``received/<assignment>/``.

    ``record``: for a record of the simulated bench, the task that it is of; empty for a notebook.
    """

    file: str
    number: str
    taken: bool
    reason: str
    sha256: str = ""
    when: str = ""
    record: str = ""


@dataclass
class TakeIn:
    """What became of a whole folder or zip. ``taken`` and ``unchanged`` are notebooks, ``records`` bench records."""

    taken: list[Entry] = field(default_factory=list)
    unchanged: list[Entry] = field(default_factory=list)
    records: list[Entry] = field(default_factory=list)
    records_unchanged: list[Entry] = field(default_factory=list)
    refused: list[Entry] = field(default_factory=list)
    other_files: int = 0


def last_words(course: Course, assignment: str) -> dict[str, list[Entry]]:
    """Return for each student the newest entry of the log on their notebook, and on each of their bench records."""
    newest = {(entry.number, entry.record): entry for entry in _log(course, assignment) if entry.number}
    found: dict[str, list[Entry]] = {}
    for (number, _), entry in newest.items():
        found.setdefault(number, []).append(entry)
    return found


def set_aside(course: Course, assignment: str) -> list[Entry]:
    """Return the files that were laid to no student, each once."""
    found = {entry.sha256 or entry.file: entry for entry in _log(course, assignment) if not entry.number}
    return list(found.values())


def _log(course: Course, assignment: str) -> Iterator[Entry]:
    log = course.received(assignment) / LOG
    for line in log.read_text(encoding="utf-8").splitlines() if log.is_file() else []:
        try:
            yield Entry(**json.loads(line))
        except (ValueError, TypeError):  # a line cut off by a crash
            continue


def write_log(folder: Path, entries: Iterable[Entry]) -> None:
    """Add entries to the log of a ``received/<assignment>/``."""
    folder.mkdir(parents=True, exist_ok=True)
    now = f"{datetime.now():%Y-%m-%d %H:%M:%S}"
    lines = [json.dumps({**asdict(entry), "when": now}, ensure_ascii=True) for entry in entries]
    add_lines(folder / LOG, "".join(f"{line}\n" for line in lines))


def digest(item: Item) -> str:
    """Return what tells a file's content from any other."""
    return hashlib.sha256(item.data).hexdigest()


def named_in(texts: Sequence[str], roster: Roster) -> str:
    """Return the student's number in a file's name, else in its folders' names; nothing when several fit.

    texts: the file's name without its ending, then the names of its folders, the innermost first.
    """
    exact = roster.find(texts[0])
    if exact:
        return exact.number
    for text in texts:
        hits = {
            s.number for s in roster if re.search(rf"(?<![A-Za-z0-9]){re.escape(s.number)}(?![A-Za-z0-9])", text, re.I)
        }
        hits = {hit for hit in hits if not any(hit != other and hit in other for other in hits)}
        if len(hits) == 1:
            return hits.pop()
    return ""


def keep(box: Path, item: Item) -> None:
    """Keep a file as it came, under a name that is safe on every system."""
    parts = [_UNSAFE.sub("_", part)[:80] or "_" for part in PurePosixPath(item.name).parts[-3:]]
    path = box.joinpath(*parts)
    number = 1
    while path.exists():
        number += 1
        path = path.with_name(f"{number}-{parts[-1]}")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(item.data)


def write_whole(path: Path, data: bytes) -> None:
    """Write a file whole or not at all, and never through a link that lies in its place."""
    draft = path.with_name(path.name + ".part")
    draft.unlink(missing_ok=True)
    draft.write_bytes(data)
    draft.replace(path)


def stamp(folder: Path, when: datetime, *, later_only: bool = False) -> None:
    """Write when a hand-in came, where nbgrader looks for it. later_only: never set it back."""
    path, line = folder / "timestamp.txt", f"{when:%Y-%m-%d %H:%M:%S.%f} UTC\n"
    if later_only and path.is_file() and path.read_text(encoding="utf-8", errors="replace") >= line:
        return
    write_whole(path, line.encode())
