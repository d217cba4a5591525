"""Take hand-ins in: keep each as it came, find out whose it is, and lay it where nbgrader expects it.

A notebook belongs to the student whose number stands in its file's name, else in its folder's name, else typed in its
student cell. Whatever cannot be used is one line with the reason; the rest of the class is taken in all the same.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path, PurePosixPath

from pharmcalc.answers import read_student_cell
from pharmcalc.classroom.cells import STUDENT, Json, cells_by_id, lead, source_of
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handin import assignment_of, read_handin
from pharmcalc.classroom.inbox import Entry, TakeIn, digest, keep, named_in, stamp, write_log, write_whole
from pharmcalc.classroom.parcels import Item, open_parcel
from pharmcalc.classroom.release import issued_notebook
from pharmcalc.classroom.roster import Roster
from pharmcalc.classroom.takein_records import RecordSorter
from pharmcalc.errors import CourseError
from pharmcalc.tasks.papers import answer_id, mark_id, task_id_of


@dataclass
class _Candidate:
    item: Item
    notebook: Json
    number: str
    by_name: bool


def take_in(course: Course, assignment: str, source: Path, roster: Roster) -> TakeIn:
    """Take in every notebook, and every bench record, in ``source`` for one assignment.

    Parameters
    ----------
    course, assignment, roster
        Where, which, and whose.
    source
        A folder, a zip, one notebook or one bench record. It is only read.

    Returns
    -------
    TakeIn
        One entry a file. Of several notebooks of one student the newest counts, and so it is with bench records of one
        task; all are kept in ``received/``.
    """
    course.require(assignment)
    if not course.release(assignment).is_file():
        raise CourseError(f"{assignment} was not issued yet. Issue it first: pharmcalc issue {assignment}")
    release, issue = issued_notebook(course.release(assignment))
    box = course.received(assignment) / f"{datetime.now():%Y%m%d-%H%M%S-%f}"
    result, found = TakeIn(), dict[str, list[_Candidate]]()
    records = RecordSorter(course, release, issue, roster, result)
    for item in open_parcel(source):
        if item.refused:
            result.refused.append(Entry(item.name, _whose(item, roster), False, item.refused))
        elif item.is_notebook:
            keep(box, item)
            _sort(item, assignment, release, roster, found, result)
        elif records.takes(item):
            keep(box, item)
            records.read(item)
        else:
            result.other_files += 1
    for number, candidates in found.items():
        _settle(course, assignment, number, candidates, result)
    records.settle((one.item.name, number) for number, candidates in found.items() for one in candidates)
    write_log(course.received(assignment), [*result.taken, *result.records, *result.refused])
    return result


def _sort(
    item: Item,
    assignment: str,
    release: Json,
    roster: Roster,
    found: dict[str, list[_Candidate]],
    result: TakeIn,
) -> None:
    number = _whose(item, roster)
    try:
        notebook = read_handin(item.data)
        stated = assignment_of(notebook)
        if stated != assignment and (stated or not _resembles(notebook, release)):
            what = f"it is the notebook of {stated[:40]}" if stated else "it was not made from an issued notebook"
            raise CourseError(f"{what}, and {assignment} is taken in here; ask for the right one")
        typed = _typed(notebook)
        owner = number or _known(typed, roster)
        if not owner:
            raise CourseError(_stranger(typed))
    except CourseError as trouble:
        result.refused.append(Entry(item.name, number, False, str(trouble), digest(item)))
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
        result.refused.append(Entry(other.item.name, "", False, why, digest(other.item)))
    entry = Entry(chosen.item.name, number, True, "", digest(chosen.item))
    data = (json.dumps(chosen.notebook, indent=1, ensure_ascii=True) + "\n").encode()
    path = course.submitted(assignment, number)
    if path.is_file() and not path.is_symlink() and path.read_bytes() == data:
        result.unchanged.append(entry)
        return
    if path.parent.is_symlink() or path.parent.parent.is_symlink():
        why = f"{path.parent} is a link; remove it"
        result.refused.append(Entry(chosen.item.name, number, False, why, entry.sha256))
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    write_whole(path, data)
    stamp(path.parent, chosen.item.when)
    result.taken.append(entry)


def _whose(item: Item, roster: Roster) -> str:
    return named_in([item.stem, *reversed(PurePosixPath(item.name).parts[:-1])], roster)


def _resembles(notebook: Json, release: Json) -> bool:
    """Say whether a notebook whose set-up cell is gone still holds an answer cell or a mark cell of the release."""
    tasks = {task_id_of(name) for name in cells_by_id(release)}
    ours = {name(task) for task in tasks if task for name in (answer_id, mark_id)} & cells_by_id(release).keys()
    magics = {
        answer_id(task) for magic, task in (lead(source_of(cell)) for cell in notebook["cells"]) if magic == "answer"
    }
    return bool(ours & (magics | set(cells_by_id(notebook)) | {cell["id"] for cell in notebook["cells"]}))


def _typed(notebook: Json) -> str:
    cell = cells_by_id(notebook).get(STUDENT)
    return (read_student_cell(source_of(cell))[0] or "") if cell else ""


def _known(typed: str, roster: Roster) -> str:
    student = roster.find(typed) if typed else None
    return student.number if student else ""


def _stranger(typed: str) -> str:
    says = (
        f"the sheet says {typed[:30]}, which is not on the class list" if typed else "no student number is typed in it"
    )
    return (
        f"nobody on the class list fits its name, and {says}; "
        "add the student to class.csv or put the student's number into the file's name, and take it in again"
    )
