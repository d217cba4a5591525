"""Issue an assignment: check it, make the release through nbgrader, and write one copy for each student."""

from __future__ import annotations

import copy
import json
import shutil
import tempfile
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pharmcalc.answers import answer_body
from pharmcalc.classroom.cells import (
    STUDENT,
    Json,
    cells_by_id,
    grader_of,
    is_answer_area,
    is_graded,
    mark_cells,
    source_of,
)
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.engine import Converter, gradebook
from pharmcalc.classroom.issuing.release import HOUSE_RULES
from pharmcalc.classroom.marking.marker import issued_attempt
from pharmcalc.classroom.roster import Roster
from pharmcalc.errors import CourseError, PharmcalcError
from pharmcalc.language import in_every_language, using
from pharmcalc.tasks.family import Task
from pharmcalc.tasks.papers import Issue, answer_id, mark_id, read_issue


@dataclass(frozen=True)
class Alike:
    """Who has the same paper as somebody else, and by task how many students share their numbers with somebody."""

    papers: tuple[tuple[str, ...], ...]
    tasks: Mapping[str, int]

    def says(self) -> list[str]:
        """Say it in a few lines; nothing where no two students have anything in common."""
        lines = [
            f"The same paper: {', '.join(numbers)}. Give the assignment one more task, or another name."
            for numbers in self.papers
        ]
        shared = [f"{task} {count}" for task, count in self.tasks.items() if count]
        if shared:
            lines.append(f"Students who share the numbers of one task with somebody: {', '.join(shared)}")
        return lines


@dataclass(frozen=True)
class Issued:
    """What was issued: the release, what it holds, how many copies, and whether it was there before."""

    release: Path
    issue: Issue
    marks: int
    copies: int
    unchanged: bool
    alike: Alike


def issue_assignment(course: Course, assignment: str, roster: Roster, *, again: bool = False) -> Issued:
    """Make the release and the students' copies.

    Parameters
    ----------
    course, assignment
        Where, and which.
    roster
        The class list; each student gets a copy with their number filled in.
    again
        Issue although something else was issued before under this name.

    Raises
    ------
    CourseError
        The assignment has a fault that would harm the marking, or it would change what students already have.
    """
    course.require(assignment)
    fresh = make_release(course, assignment)
    issue = check_release(json.loads(fresh), assignment)
    alike = check_papers(issue, roster, issued_attempt(json.loads(fresh)))
    release = course.release(assignment)
    before = release.read_bytes() if release.is_file() else None
    known, marked = _in_gradebook(course, assignment)
    if marked and before is not None and (changed := _come_or_gone(before, fresh)):
        raise CourseError(
            f"{assignment} cannot be issued with other cells ({', '.join(changed)}): {marked} hand-in(s) are in the "
            "gradebook, and their marks hang on the cells that were issued. Undo the change in solutions/, or give the "
            f'new one another name: a folder of its own in solutions/, and notebook.begin("{assignment}-b", ...) in it.'
        )
    if known and before is not None and before != fresh and not again:
        raise CourseError(
            f"{assignment} was issued before and would change now ({_difference(before, fresh)}). "
            "Students who have the first copy would be marked by other rules. "
            f"Undo the change in solutions/ or {HOUSE_RULES}, or give the new one another name. "
            f"To issue it all the same: pharmcalc issue {assignment} --again"
        )
    if not (known and before == fresh):
        course.backup(f"issue-{assignment}")
        try:
            Converter("GenerateAssignment", course, assignment).run()
        except CourseError:
            if before is not None:  # nbgrader removes the old release first
                release.parent.mkdir(parents=True, exist_ok=True)
                release.write_bytes(before)
            raise
    copies = write_copies(course, assignment, roster)
    marks = sum(int(grader_of(cell)["points"]) for cell in json.loads(fresh)["cells"] if is_graded(cell))
    return Issued(release, issue, marks, copies, known and before == fresh, alike)


def make_release(course: Course, assignment: str) -> bytes:
    """Return the release that nbgrader makes of the course's solution now, without touching the course."""
    with tempfile.TemporaryDirectory() as scratch:
        trial = Course(Path(scratch).resolve())
        shutil.copytree(course.solution(assignment).parent, trial.solution(assignment).parent)
        if (course.root / HOUSE_RULES).is_file():
            shutil.copyfile(course.root / HOUSE_RULES, trial.root / HOUSE_RULES)
        maker = Converter("GenerateAssignment", course, assignment, root=trial.root)
        maker.leave_gradebook_alone()
        maker.run()
        return trial.release(assignment).read_bytes()


def refresh_exercises(course: Course) -> list[str]:
    """Make ``exercises/`` anew from ``solutions/`` and no more: for whoever writes assignments. Return the changed."""
    changed = []
    for assignment in course.assignments():
        fresh, release = make_release(course, assignment), course.release(assignment)
        check_release(json.loads(fresh), assignment)
        if not release.is_file() or release.read_bytes() != fresh:
            release.parent.mkdir(parents=True, exist_ok=True)
            release.write_bytes(fresh)
            changed.append(assignment)
    return changed


def check_release(nb: Mapping[str, Any], assignment: str) -> Issue:
    """Return what a release issues, after checking that it can be marked.

    Raises
    ------
    CourseError
        The first fault, with the cell and the cure.
    """
    issue = read_issue(nb)
    if issue.assignment != assignment:
        raise CourseError(
            f'{assignment}: the set-up cell begins "{issue.assignment}". '
            f'Write notebook.begin("{assignment}", ...) there.'
        )
    cells, paper = cells_by_id(nb), issue.paper("check", issued_attempt(nb))
    tasks = [name for name, _ in issue.tasks]
    if sorted(mark_cells(nb)) != sorted(map(mark_id, tasks)):
        raise CourseError(
            f"{assignment}: the tasks are {', '.join(tasks)}, but the graded code cells are "
            f"{', '.join(mark_cells(nb))}. Every task needs one mark cell, and no other code cell may carry marks."
        )
    for name in tasks:
        task, mark = paper.task(name), cells[mark_id(name)]
        if float(grader_of(mark)["points"]) != task.out_of:
            raise CourseError(
                f"{assignment}, {mark_id(name)}: the cell gives {grader_of(mark)['points']} marks, "
                f"the task has {task.out_of}. Set the cell's points to {task.out_of}."
            )
        if source_of(mark).strip() != "0":
            raise CourseError(
                f"{assignment}, {mark_id(name)}: the cell must hold 0 and nothing else, or it could give marks away."
            )
        _check_answer_cell(assignment, task, cells.get(answer_id(name)))
    return issue


def _check_answer_cell(assignment: str, task: Task, answer: Json | None) -> None:
    """Raise CourseError unless there is the right place for an answer; at the simulated bench that is no cell."""
    name = answer_id(task.id)
    if task.family.recorded:
        if answer is not None:
            raise CourseError(f"{assignment}: remove {name}. The answer to {task.id} is the record of the bench.")
        return
    if answer is None or not is_answer_area(answer):
        raise CourseError(f"{assignment}: {name} is missing or is not marked as an answer cell in nbgrader.")
    labels = [line.partition("=")[0].strip() for line in answer_body(source_of(answer)).splitlines() if line.strip()]
    with using(task.house.habits):
        asked = [one.said for one in task.asked]
    if labels != asked:
        raise CourseError(
            f"{assignment}, {name}: the labels are {', '.join(labels) or 'missing'}; "
            f"the task asks for {', '.join(asked)}. Write these, in this order."
        )


def check_papers(issue: Issue, roster: Roster, attempt: int) -> Alike:
    """Draw every student's paper once, so that numbers which cannot be drawn are told now and not to a student.

    Returns which papers and tasks turn out alike.
    """
    drawn: dict[str, tuple[str, ...]] = {}
    for student in roster:
        try:
            paper = issue.paper(student.number, attempt)
        except PharmcalcError as trouble:
            raise CourseError(f"{issue.assignment}: no paper can be drawn for {student.number}: {trouble}") from None
        drawn[student.number] = tuple(task.question_text() for task in paper.tasks)
    owners: dict[tuple[str, ...], list[str]] = {}
    for number, questions in drawn.items():
        owners.setdefault(questions, []).append(number)
    shared = {}
    for place, (task, _) in enumerate(issue.tasks):
        seen = Counter(questions[place] for questions in drawn.values())
        shared[task] = sum(count for count in seen.values() if count > 1)
    return Alike(tuple(tuple(numbers) for numbers in owners.values() if len(numbers) > 1), shared)


def write_copies(course: Course, assignment: str, roster: Roster) -> int:
    """Write ``issued/<assignment>/<number>.ipynb`` for each student, with the number filled in; return how many."""
    folder = course.issued(assignment)
    folder.mkdir(parents=True, exist_ok=True)
    release: Json = json.loads(course.release(assignment).read_text(encoding="utf-8"))
    written = 0
    for student in roster:
        text = json.dumps(copy_for(release, student.number), indent=1, ensure_ascii=False) + "\n"
        path = folder / f"{student.number}.ipynb"
        if not path.is_file() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8")
        written += 1
    return written


def copy_for(release: Json, number: str) -> Json:
    """Return the release with this student's number in the student cell."""
    nb = copy.deepcopy(release)
    cell = cells_by_id(nb).get(STUDENT)
    if cell is not None:
        lines = source_of(cell).split("\n")
        cell["source"] = "\n".join(
            f"{label.rstrip()} = {number}" if label.strip().casefold() in in_every_language("student number") else line
            for line, label in ((line, line.partition("=")[0]) for line in lines)
        )
    return nb


def issued_assignments(course: Course) -> list[str]:
    """Return the assignments that were issued: those with a folder of students' copies."""
    return [name for name in course.assignments() if course.issued(name).is_dir() and course.release(name).is_file()]


def _in_gradebook(course: Course, assignment: str) -> tuple[bool, int]:
    """Say whether the gradebook knows an assignment, and of how many students it holds hand-ins."""
    if not course.gradebook.is_file():
        return False, 0
    with gradebook(course) as book:
        known = any(a.name == assignment and a.notebooks for a in book.assignments)
        return known, len(book.assignment_submissions(assignment)) if known else 0


def _come_or_gone(old: bytes, new: bytes) -> list[str]:
    """Return the cells that nbgrader keeps in its gradebook for one release only, or keeps as something else."""
    before, after = _kept_cells(old), _kept_cells(new)
    return sorted(name for name in before.keys() | after.keys() if before.get(name) != after.get(name))


def _kept_cells(release: bytes) -> dict[str, tuple[bool, ...]]:
    kept = {}
    for name, cell in cells_by_id(json.loads(release)).items():
        about = grader_of(cell)
        kept_as = tuple(bool(about.get(role)) for role in ("grade", "solution", "task"))
        if any(kept_as) or about.get("locked"):
            kept[name] = kept_as
    return kept


def _difference(old: bytes, new: bytes) -> str:
    before = {name: source_of(cell) for name, cell in cells_by_id(json.loads(old)).items()}
    after = {name: source_of(cell) for name, cell in cells_by_id(json.loads(new)).items()}
    changed = sorted(name for name in before.keys() | after.keys() if before.get(name) != after.get(name))
    return "changed cells: " + ", ".join(changed) if changed else "settings of cells"
