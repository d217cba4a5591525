"""Take hand-ins in: keep each as it came, find out whose it is, and lay it where nbgrader expects it.

A notebook belongs to the student whose number stands in its file's or its folder's name (where these are two students'
it is a question for a person), else to the one whose number is typed in its student cell. Whatever cannot be used is
one line with the reason; the rest of the class is taken in all the same.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from pathlib import Path

from pharmcalc.answers import read_student_cell
from pharmcalc.classroom.cells import STUDENT, Json, cells_by_id, lead, source_of
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handed_in.handin import assignment_of, read_handin
from pharmcalc.classroom.handed_in.inbox import Box, Entry, TakeIn, digest, named_in, write_log
from pharmcalc.classroom.handed_in.naming import one_line
from pharmcalc.classroom.handed_in.parcels import Item, open_parcel
from pharmcalc.classroom.handed_in.takein_records import RecordSorter
from pharmcalc.classroom.handed_in.which import Candidate, Which, claim_of, folders
from pharmcalc.classroom.issuing.release import issued_notebook
from pharmcalc.classroom.roster import Roster
from pharmcalc.errors import CourseError
from pharmcalc.tasks.papers import answer_id, mark_id, task_id_of


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
        One entry a file. Of several notebooks of one student the last before the deadline counts (without a deadline,
        or when all are late, the newest), and so it is with bench records of one task; all are kept in ``received/``.
    """
    return take_items(course, assignment, open_parcel(source), roster)


def take_items(course: Course, assignment: str, items: Iterable[Item], roster: Roster) -> TakeIn:
    """Take in files that are at hand already, each with its name, time and bytes; else as ``take_in``."""
    course.require(assignment)
    if not course.release(assignment).is_file():
        raise CourseError(f"{assignment} was not issued yet. Issue it first: pharmcalc issue {assignment}")
    release, issue = issued_notebook(course.release(assignment))
    box = Box(course.received(assignment) / f"{datetime.now():%Y%m%d-%H%M%S-%f}")
    result, found = TakeIn(), dict[str, list[Candidate]]()
    records = RecordSorter(course, release, issue, roster, result)
    for item in items:
        if item.refused:
            result.refused.append(Entry(item.name, _whose(item, roster)[0], False, item.refused))
        elif item.is_notebook:
            _sort(item, box.keep(item), assignment, release, roster, found, result)
        elif records.takes(item):
            box.keep(item)
            records.read(item)
        else:
            result.other_files += 1
    which = Which(course, assignment, roster, result)
    for number, candidates in found.items():
        which.settle(number, candidates)
    records.settle((one.name, number) for number, candidates in found.items() for one in candidates)
    write_log(course.received(assignment), [*result.taken, *which.seen, *result.records, *result.refused])
    return result


def _sort(
    item: Item,
    kept: Path,
    assignment: str,
    release: Json,
    roster: Roster,
    found: dict[str, list[Candidate]],
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
    claim = claim_of(item.name, owner, roster)
    found.setdefault(owner, []).append(Candidate(item.name, item.when, digest(item), kept, claim))


def _whose(item: Item, roster: Roster) -> tuple[str, str]:
    """Return whose number stands in the name of the folder or file, and whose in the file's where that is another.

    The folder comes from the learning platform, the file's name from the student.
    """
    by_file, by_folder = named_in([item.stem], roster), named_in(folders(item.name), roster)
    return (by_folder or by_file), (by_file if by_folder and by_file != by_folder else "")


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
