"""The inbox, ``received/``: what became of each file that came in, the files as they came, and whose name they bear."""

from __future__ import annotations

import hashlib
import json
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass, field
from datetime import UTC, datetime
from pathlib import Path, PurePosixPath

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handed_in.naming import file_part
from pharmcalc.classroom.handed_in.parcels import Item
from pharmcalc.classroom.handed_in.submitted import STAMP, stamped
from pharmcalc.classroom.lists import add_lines
from pharmcalc.classroom.roster import Roster

__all__ = [
    "Box",
    "Entry",
    "TakeIn",
    "digest",
    "kept_notebooks",
    "last_words",
    "moment",
    "named_in",
    "records_before",
    "set_aside",
    "stamp",
    "write_log",
    "write_whole",
]

LOG = "log.jsonl"
LONGEST_NUMBER = 60
_RUN = re.compile(r"[A-Za-z0-9_-]+")


@dataclass(frozen=True)
class Entry:
    """What became of one file: one line of the log in ``received/<assignment>/``.

    ``record``: for a record of the simulated bench, the task that it is of; empty for a notebook. ``owner``: whose
    notebook it is, also when another of theirs counts. ``came``: when the student saved or sent it. ``kept``: where it
    lies below ``received/<assignment>/``.
    """

    file: str
    number: str
    taken: bool
    reason: str
    sha256: str = ""
    when: str = ""
    record: str = ""
    owner: str = ""
    came: str = ""
    kept: str = ""


@dataclass
class TakeIn:
    """What became of a whole folder or zip. ``taken`` and ``unchanged`` are notebooks, ``records`` bench records.

    ``shared``: notebooks that counted for another student before, with that student's number.
    """

    taken: list[Entry] = field(default_factory=list)
    unchanged: list[Entry] = field(default_factory=list)
    records: list[Entry] = field(default_factory=list)
    records_unchanged: list[Entry] = field(default_factory=list)
    refused: list[Entry] = field(default_factory=list)
    other_files: int = 0
    shared: list[tuple[Entry, str]] = field(default_factory=list)


def last_words(course: Course, assignment: str) -> dict[str, list[Entry]]:
    """Return for each student the newest entry of the log on their notebook, and on each of their bench records."""
    newest = {(entry.number, entry.record): entry for entry in _log(course, assignment) if entry.number}
    found: dict[str, list[Entry]] = {}
    for (number, _), entry in newest.items():
        found.setdefault(number, []).append(entry)
    return found


def set_aside(course: Course, assignment: str) -> list[Entry]:
    """Return the files that were laid to no student, each once."""
    entries = list(_log(course, assignment))
    taken = {entry.sha256 for entry in entries if entry.taken}  # such as after a name was added to the class list
    found = {entry.sha256 or entry.file: entry for entry in entries if not entry.number}
    return [entry for entry in found.values() if entry.sha256 not in taken]


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
    numbers = {student.number.casefold(): student.number for student in roster}
    exact = numbers.get(texts[0].strip().casefold()) if texts else None
    if exact:
        return exact
    for text in texts:
        hits = {numbers[found] for found in _words(text) if found in numbers}
        hits = {hit for hit in hits if not any(hit != other and hit in other for other in hits)}
        if len(hits) == 1:
            return hits.pop()
    return ""


def _words(text: str) -> Iterator[str]:
    """Yield what may be a number in a text: every run of letters, digits, - and _ that no letter or digit extends."""
    for run in _RUN.finditer(text):
        word = run[0].casefold()
        starts = [n for n, c in enumerate(word) if c not in "-_" and (n == 0 or word[n - 1] in "-_")]
        ends = [n for n in range(1, len(word) + 1) if n == len(word) or word[n] in "-_"]
        for start in starts:
            yield from (word[start:end] for end in ends if start < end <= start + LONGEST_NUMBER)


class Box:
    """The folder in which the files of one take-in are kept as they came, under names that are safe on every system."""

    def __init__(self, folder: Path) -> None:
        """Prepare to keep files in ``folder``, which is made when there is a first one."""
        self._folder = folder
        self._kept: Counter[str] = Counter()

    def keep(self, item: Item) -> Path:
        """Keep a file; return where. Of files with one name the second is called ``2-...``."""
        *folders, name = (file_part(part) for part in PurePosixPath(item.name).parts[-3:])
        parent = self._folder.joinpath(*folders)
        try:
            parent.mkdir(parents=True, exist_ok=True)
        except OSError:  # another file has the folder's name
            parent, name = self._folder, file_part("_".join([*folders, name]), 120)
        place = str(parent / name).casefold()
        self._kept[place] += 1
        count = self._kept[place]
        path = parent / (name if count == 1 else f"{count}-{name}")
        while path.exists():
            path = path.with_name(f"_{path.name}")
        path.write_bytes(item.data)
        return path


def records_before(course: Course, assignment: str) -> dict[tuple[str, str], datetime]:
    """Return when the bench record came that was taken in last, by student and task."""
    taken = (entry for entry in _log(course, assignment) if entry.taken and entry.record and entry.came)
    return {(entry.number, entry.record): moment(entry.came) for entry in taken}


def moment(text: str) -> datetime:
    """Return a time as the log holds it; one that is none is long ago."""
    try:
        return datetime.fromisoformat(text).astimezone(UTC)
    except (ValueError, OverflowError):
        return datetime.fromtimestamp(0, UTC)


def kept_notebooks(course: Course, assignment: str) -> list[tuple[Entry, str]]:
    """Return each notebook that is kept and somebody's, with whose it is and every time at which it came.

    An entry with an owner and nothing kept says that the notebook was taken back from them.
    """
    found: dict[tuple[str, str, str], Entry] = {}
    for entry in _log(course, assignment):
        if entry.kept and entry.owner and not entry.record:
            found.setdefault((entry.owner, entry.sha256, entry.came), entry)
        elif entry.owner and not entry.record:
            found = {key: one for key, one in found.items() if key[:2] != (entry.owner, entry.sha256)}
    return [(entry, key[0]) for key, entry in found.items()]


def write_whole(path: Path, data: bytes) -> None:
    """Write a file whole or not at all, and never through a link that lies in its place."""
    draft = path.with_name(path.name + ".part")
    draft.unlink(missing_ok=True)
    draft.write_bytes(data)
    draft.replace(path)


def stamp(folder: Path, when: datetime, *, later_only: bool = False) -> None:
    """Write when a hand-in came, where nbgrader looks for it. later_only: never set it back."""
    path, line = folder / STAMP, f"{when:%Y-%m-%d %H:%M:%S.%f} UTC\n"
    if later_only and stamped(folder) >= line.strip():
        return
    write_whole(path, line.encode())
