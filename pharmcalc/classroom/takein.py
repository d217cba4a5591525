"""Take hand-ins in: keep each as it came, find out whose it is, and lay it where nbgrader expects it.

A notebook belongs to the student whose number stands in its file's name, else in its folder's name, else typed in its
student cell. Whatever cannot be used is one line with the reason; the rest of the class is taken in all the same.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, field
from datetime import datetime
from pathlib import Path, PurePosixPath

from pharmcalc.answers import read_student_cell
from pharmcalc.classroom.cells import STUDENT, Json, answered_task, cells_by_id, lead, source_of
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handin import assignment_of, read_handin
from pharmcalc.classroom.parcels import Item, open_parcel
from pharmcalc.classroom.roster import Roster
from pharmcalc.errors import CourseError
from pharmcalc.tasks.papers import answer_id

_UNSAFE = re.compile(r"[^A-Za-z0-9._ ()-]")
LOG = "log.jsonl"


@dataclass(frozen=True)
class Entry:
    """What became of one file: one line of the log in ``received/<assignment>/``."""

    file: str
    number: str
    taken: bool
    reason: str
    sha256: str = ""
    when: str = ""


@dataclass
class TakeIn:
    """What became of a whole folder or zip."""

    taken: list[Entry] = field(default_factory=list)
    unchanged: list[Entry] = field(default_factory=list)
    refused: list[Entry] = field(default_factory=list)
    other_files: int = 0


@dataclass
class _Candidate:
    item: Item
    notebook: Json
    number: str
    by_name: bool


def take_in(course: Course, assignment: str, source: Path, roster: Roster) -> TakeIn:
    """Take in every notebook in ``source`` for one assignment.

    Parameters
    ----------
    course, assignment, roster
        Where, which, and whose.
    source
        A folder, a zip or one notebook. It is only read.

    Returns
    -------
    TakeIn
        One entry a file. Of several notebooks of one student the newest counts; all are kept in ``received/``.
    """
    course.require(assignment)
    if not course.release(assignment).is_file():
        raise CourseError(f"{assignment} was not issued yet. Issue it first: pharmcalc issue {assignment}")
    release: Json = json.loads(course.release(assignment).read_text(encoding="utf-8"))
    box = course.received(assignment) / f"{datetime.now():%Y%m%d-%H%M%S-%f}"
    result, found = TakeIn(), dict[str, list[_Candidate]]()
    for item in open_parcel(source):
        if item.refused:
            result.refused.append(Entry(item.name, _whose(item, roster), False, item.refused))
        elif not item.is_notebook:
            result.other_files += 1
        else:
            _keep(box, item)
            _sort(item, assignment, release, roster, found, result)
    for number, candidates in found.items():
        _settle(course, assignment, number, candidates, result)
    _write_log(course.received(assignment), [*result.taken, *result.refused])
    return result


def last_word(course: Course, assignment: str) -> dict[str, Entry]:
    """Return, for each student, the newest entry of the take-in log."""
    return {entry.number: entry for entry in _log(course, assignment) if entry.number}


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


def _sort(
    item: Item,
    assignment: str,
    release: Json,
    roster: Roster,
    found: dict[str, list[_Candidate]],
    result: TakeIn,
) -> None:
    number = _whose(item, roster)
    digest = hashlib.sha256(item.data).hexdigest()
    try:
        notebook = read_handin(item.data)
        stated = assignment_of(notebook)
        if stated != assignment and (stated or not _resembles(notebook, release)):
            what = f"it is the notebook of {stated[:40]}" if stated else "it was not made from an issued notebook"
            raise CourseError(f"{what}, and {assignment} is taken in here; ask for the right one")
        typed = _typed(notebook)
        owner = number or _known(typed, roster)
        if not owner:
            raise CourseError(_stranger(item, typed))
    except CourseError as trouble:
        result.refused.append(Entry(item.name, number, False, str(trouble), digest))
        return
    found.setdefault(owner, []).append(_Candidate(item, notebook, typed, bool(number)))


def _settle(course: Course, assignment: str, number: str, candidates: list[_Candidate], result: TakeIn) -> None:
    """Of one student's notebooks take the newest whose file is named for them; say what happens to the others."""
    ranked = sorted(candidates, key=lambda c: (c.by_name, c.item.when))
    *others, chosen = ranked
    for other in others:
        if other.by_name:
            why = f"an earlier notebook of {number}; the newer {chosen.item.name} counts"
        else:
            why = f"{number} is typed in it, but {chosen.item.name} is theirs; find out whose this is, and rename it"
        result.refused.append(Entry(other.item.name, "", False, why, hashlib.sha256(other.item.data).hexdigest()))
    digest = hashlib.sha256(chosen.item.data).hexdigest()
    entry = Entry(chosen.item.name, number, True, "", digest)
    text = json.dumps(chosen.notebook, indent=1, ensure_ascii=True) + "\n"
    path = course.submitted(assignment, number)
    if path.is_file() and not path.is_symlink() and path.read_text(encoding="utf-8") == text:
        result.unchanged.append(entry)
        return
    if path.parent.is_symlink() or path.parent.parent.is_symlink():
        result.refused.append(Entry(chosen.item.name, number, False, f"{path.parent} is a link; remove it", digest))
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    _write(path, text)
    _write(path.parent / "timestamp.txt", f"{chosen.item.when:%Y-%m-%d %H:%M:%S.%f} UTC\n")
    result.taken.append(entry)


def _whose(item: Item, roster: Roster) -> str:
    """Return the number in the file's name, else in its folders' names; nothing when several fit."""
    exact = roster.find(item.stem)
    if exact:
        return exact.number
    for text in [item.stem, *reversed(PurePosixPath(item.name).parts[:-1])]:
        hits = {
            s.number for s in roster if re.search(rf"(?<![A-Za-z0-9]){re.escape(s.number)}(?![A-Za-z0-9])", text, re.I)
        }
        hits = {hit for hit in hits if not any(hit != other and hit in other for other in hits)}
        if len(hits) == 1:
            return hits.pop()
    return ""


def _resembles(notebook: Json, release: Json) -> bool:
    """Say whether a notebook whose set-up cell is gone still holds an answer cell of the release."""
    answers = {name for name in cells_by_id(release) if answered_task(name)}
    magics = {
        answer_id(task) for magic, task in (lead(source_of(cell)) for cell in notebook["cells"]) if magic == "answer"
    }
    return bool(answers & (magics | set(cells_by_id(notebook)) | {cell["id"] for cell in notebook["cells"]}))


def _typed(notebook: Json) -> str:
    cell = cells_by_id(notebook).get(STUDENT)
    return (read_student_cell(source_of(cell))[0] or "") if cell else ""


def _known(typed: str, roster: Roster) -> str:
    student = roster.find(typed) if typed else None
    return student.number if student else ""


def _stranger(item: Item, typed: str) -> str:
    says = (
        f"the sheet says {typed[:30]}, which is not on the class list" if typed else "no student number is typed in it"
    )
    return (
        f"nobody on the class list fits its name, and {says}; "
        "add the student to class.csv or put the student's number into the file's name, and take it in again"
    )


def _keep(box: Path, item: Item) -> None:
    """Keep a file as it came, under a name that is safe on every system."""
    parts = [_UNSAFE.sub("_", part)[:80] or "_" for part in PurePosixPath(item.name).parts[-3:]]
    path = box.joinpath(*parts)
    number = 1
    while path.exists():
        number += 1
        path = path.with_name(f"{number}-{parts[-1]}")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(item.data)


def _write(path: Path, text: str) -> None:
    """Write a file whole or not at all, and never through a link that lies in its place."""
    draft = path.with_name(path.name + ".part")
    draft.unlink(missing_ok=True)
    draft.write_text(text, encoding="utf-8")
    draft.replace(path)


def _write_log(folder: Path, entries: Iterable[Entry]) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    now = f"{datetime.now():%Y-%m-%d %H:%M:%S}"
    with (folder / LOG).open("a", encoding="utf-8") as file:
        for entry in entries:
            file.write(json.dumps({**asdict(entry), "when": now}, ensure_ascii=True) + "\n")
