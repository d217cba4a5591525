"""Take hand-ins in: keep each as it came, find out whose it is, and lay it where nbgrader expects it.

A notebook belongs to the student whose number stands in its file's or its folder's name (where these are two students'
it is a question for a person), else to the one whose number is typed in its student cell. Whatever cannot be used is
one line with the reason; the rest of the class is taken in all the same.
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
from pharmcalc.classroom.inbox import Box, Entry, TakeIn, digest, named_in, stamp, taken_before, write_log, write_whole
from pharmcalc.classroom.naming import one_line
from pharmcalc.classroom.parcels import Item, open_parcel
from pharmcalc.classroom.release import issued_notebook
from pharmcalc.classroom.roster import Roster
from pharmcalc.classroom.takein_records import RecordSorter
from pharmcalc.errors import CourseError
from pharmcalc.tasks.papers import answer_id, mark_id, task_id_of


@dataclass(frozen=True)
class _Candidate:
    """A notebook that is somebody's. Its text is left in ``received/`` until it is chosen: a class fills no memory."""

    name: str
    when: datetime
    sha256: str
    kept: Path
    claim: int


#: How a notebook says whose it is: by a number typed in it, by a person's name in its path, by the number there.
TYPED, CALLED, NUMBERED = range(3)


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
    box = Box(course.received(assignment) / f"{datetime.now():%Y%m%d-%H%M%S-%f}")
    result, found = TakeIn(), dict[str, list[_Candidate]]()
    records = RecordSorter(course, release, issue, roster, result)
    for item in open_parcel(source):
        if item.refused:
            result.refused.append(Entry(item.name, _whose(item, roster)[0], False, item.refused))
        elif item.is_notebook:
            _sort(item, box.keep(item), assignment, release, roster, found, result)
        elif records.takes(item):
            box.keep(item)
            records.read(item)
        else:
            result.other_files += 1
    before = taken_before(course, assignment)
    for number, candidates in found.items():
        _settle(course, assignment, number, candidates, _claim(before.get(number, ""), number, roster), result)
    records.settle((one.name, number) for number, candidates in found.items() for one in candidates)
    write_log(course.received(assignment), [*result.taken, *result.records, *result.refused])
    return result


def _sort(
    item: Item,
    kept: Path,
    assignment: str,
    release: Json,
    roster: Roster,
    found: dict[str, list[_Candidate]],
    result: TakeIn,
) -> None:
    number, other = _whose(item, roster)
    try:
        if other:
            raise CourseError(
                f"it lies in {number}'s folder and is named for {other}; find out whose work it is, "
                "and put that student's number into its name"
            )
        notebook = read_handin(item.data)
        stated = assignment_of(notebook)
        if stated != assignment and (stated or not _resembles(notebook, release)):
            what = (
                f"it is the notebook of {one_line(stated, 40)}" if stated else "it was not made from an issued notebook"
            )
            raise CourseError(f"{what}, and {assignment} is taken in here; ask for the right one")
        typed = _typed(notebook)
        owner = number or _known(typed, roster)
        if not owner:
            raise CourseError(_stranger(typed))
    except CourseError as trouble:
        result.refused.append(Entry(item.name, number, False, str(trouble), digest(item)))
        return
    claim = _claim(item.name, owner, roster)
    found.setdefault(owner, []).append(_Candidate(item.name, item.when, digest(item), kept, claim))


def _settle(
    course: Course, assignment: str, number: str, candidates: list[_Candidate], before: int, result: TakeIn
) -> None:
    """Of one student's notebooks take the newest whose file is named for them; say what happens to the others.

    before: the claim of the notebook that was taken in last. One with a weaker claim does not push it out.
    """
    *others, chosen = sorted(candidates, key=lambda one: (one.claim, one.when))
    for other in others:
        if other.claim == chosen.claim:
            why = f"an earlier notebook of {number}; the newer {chosen.name} counts"
        else:
            why = f"{number} is typed in it, but {chosen.name} is theirs; find out whose this is, and rename it"
        result.refused.append(Entry(other.name, "", False, why, other.sha256))
    path = course.submitted(assignment, number)
    try:
        if chosen.claim < before and path.is_file():
            why = f"{number} is typed in it, and {number} handed in before; find out whose this is, and rename it"
            result.refused.append(Entry(chosen.name, "", False, why, chosen.sha256))
            return
        _lay(path, chosen, number, result)
    except (CourseError, OSError) as trouble:
        why = str(trouble) if isinstance(trouble, CourseError) else f"{path} cannot be written; remove what lies there"
        result.refused.append(Entry(chosen.name, number, False, why, chosen.sha256))


def _lay(path: Path, chosen: _Candidate, number: str, result: TakeIn) -> None:
    entry = Entry(chosen.name, number, True, "", chosen.sha256)
    data = (json.dumps(read_handin(chosen.kept.read_bytes()), indent=1, ensure_ascii=True) + "\n").encode()
    if path.parent.is_symlink() or path.parent.parent.is_symlink():
        raise CourseError(f"{path.parent} is a link; remove it")
    if path.is_file() and not path.is_symlink() and path.read_bytes() == data:
        result.unchanged.append(entry)
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    write_whole(path, data)
    stamp(path.parent, chosen.when)
    result.taken.append(entry)


def _whose(item: Item, roster: Roster) -> tuple[str, str]:
    """Return whose number stands in the name of the folder or file, and whose in the file's where that is another.

    The folder comes from the learning platform, the file's name from the student.
    """
    by_file, by_folder = named_in([item.stem], roster), named_in(_folders(item.name), roster)
    return (by_folder or by_file), (by_file if by_folder and by_file != by_folder else "")


def _folders(name: str) -> list[str]:
    return list(reversed(PurePosixPath(name).parts[:-1]))


def _claim(name: str, number: str, roster: Roster) -> int:
    """Say how strongly the path of a file says that it is this student's."""
    path, student = PurePosixPath(name), roster.find(number)
    if number in (named_in([path.name], roster), named_in([path.stem], roster), named_in(_folders(name), roster)):
        return NUMBERED
    names = (student.surname, student.given_name) if student else ()
    return CALLED if names and all(word and word.casefold() in name.casefold() for word in names) else TYPED


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
