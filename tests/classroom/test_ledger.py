"""What a run enters into the gradebook is what nbgrader's own command enters, whatever happened before."""

import csv
import json
import shutil
import subprocess
import sys
from datetime import datetime, timedelta
from pathlib import Path

import nbformat
import pytest

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.handed_in.inbox import stamp
from pharmcalc.classroom.marking.feedback_run import write_feedback
from pharmcalc.classroom.marking.finished import is_marked
from pharmcalc.classroom.marking.run import mark_class
from pharmcalc.classroom.marking.workers import WORTH_IT
from pharmcalc.errors import CourseError
from tests.classroom.building import PROJECT, gradebook_rows, nbgrader
from tests.classroom.conftest import NAME, NUMBERS, Classroom

DUE = datetime(2026, 3, 2, 12)
PENALTY = "\nc.LateSubmissionPlugin.penalty_method = 'zero'\n"
ANOTHER_STEP = """
from nbgrader.preprocessors import NbGraderPreprocessor

class Sign(NbGraderPreprocessor):
    def preprocess(self, nb, resources):
        nb.metadata["seen by"] = "our own step"
        return nb, resources

c.Autograde.autograde_preprocessors.append(Sign)
"""


def twin_of(classroom: Classroom, tmp_path: Path) -> Path:
    """Return a copy of the course as it is now."""
    twin = tmp_path / "twin"
    shutil.copytree(classroom.course.root, twin)
    return twin


def stored(root: Path, number: str) -> nbformat.NotebookNode:
    """Return a marked notebook as nbgrader's pages read it."""
    return nbformat.read(Course(root).autograded(NAME, number), as_version=4)


def by_hand(classroom: Classroom, number: str, name: str, marks: float) -> None:
    """Give marks by hand, as nbgrader's own page does."""
    with gradebook(classroom.course) as book:
        for grade in book.find_submission_notebook(NAME, NAME, number).grades:
            if grade.name == name:
                grade.manual_score, grade.needs_manual_grade = marks, False
        book.db.commit()


def test_after_anything_that_happens_in_a_term_the_rows_are_nbgraders(classroom: Classroom, tmp_path: Path) -> None:
    """Late and in time, by hand and corrected, again and for the first time: rows and notebooks are the same."""
    with (classroom.course.root / "nbgrader_config.py").open("a", encoding="utf-8") as config:
        config.write(PENALTY)
    with gradebook(classroom.course) as book:
        book.find_assignment(NAME).duedate = DUE
        book.db.commit()
    for place, number in enumerate(NUMBERS[:4]):
        path = classroom.hand_in(number)
        stamp(path.parent, DUE + timedelta(hours=2 * place - 3))
    assert classroom.mark().count("marked") == 4
    by_hand(classroom, NUMBERS[0], "explain-1", 1.5)
    by_hand(classroom, NUMBERS[2], "mark-q1", 1)
    classroom.hand_in(NUMBERS[0], answers={"q1": ""})
    classroom.hand_in(NUMBERS[4], classroom.release)
    twin = twin_of(classroom, tmp_path)
    assert classroom.mark(again=True).count("marked") == 5
    said = nbgrader(twin, "autograde", NAME, "--force")
    ours = gradebook_rows(classroom.course.gradebook)
    penalties = {row[0]: row[4] for row in ours if len(row) == 5}
    assert [bool(penalties[number]) for number in NUMBERS[:5]] == [False, False, True, True, False]
    theirs = [without_second_look(row) for row in gradebook_rows(twin / "gradebook.db")]
    assert [without_second_look(row) for row in ours] == theirs, said
    for number in NUMBERS[:5]:
        assert stored(classroom.course.root, number) == stored(twin, number)


def without_second_look(row: tuple[object, ...]) -> tuple[object, ...]:
    """Return a row without the flag that nbgrader sets on every mark by hand, and we only where something changed."""
    return row[:6] if len(row) == 7 and row[4] is not None else row


def test_in_several_processes_the_rows_are_the_same(tmp_path: Path, issued_course: Path) -> None:
    """A class that is marked by several processes gets what nbgrader's command gives it."""
    root = tmp_path / "course"
    shutil.copytree(issued_course, root)
    room = Classroom.at(root)
    numbers = [f"Z-{n:02}" for n in range(WORTH_IT + 3)]
    with room.course.class_list.open("a", encoding="utf-8") as file:
        file.writelines(f"{number},Surname,Given,\n" for number in numbers)
    room = Classroom.at(root)
    for place, number in enumerate(numbers):
        room.hand_in(number, answers={"q1": "nonsense"} if place % 3 else None)
    twin = twin_of(room, tmp_path)
    # A program of its own: its processes must find everything by themselves.
    program = (
        "from pathlib import Path\n"
        "from pharmcalc.classroom.course import Course\n"
        "from pharmcalc.classroom.roster import read_roster\n"
        "from pharmcalc.classroom.marking.run import mark_class\n"
        "course = Course.open(Path.cwd())\n"
        f"run = mark_class(course, {NAME!r}, read_roster(course.class_list))\n"
        "assert [o.state for o in run.outcomes] == ['marked'] * len(run.outcomes), run.outcomes\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=root, env={"PYTHONPATH": str(PROJECT)}, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    nbgrader(twin, "autograde", NAME)
    assert gradebook_rows(room.course.gradebook) == gradebook_rows(twin / "gradebook.db")
    run = write_feedback(room.course, NAME, [*numbers, "A-01"])
    assert run.count("written") == len(numbers)
    assert [(o.number, "not marked" in o.reason) for o in run.outcomes if o.state == "failed"] == [("A-01", True)]


def test_steps_of_the_instructors_own_are_taken(classroom: Classroom) -> None:
    """Whoever adds a step to nbgrader's settings finds it in the marked notebooks, and the same marks."""
    classroom.hand_in("A-01")
    with (classroom.course.root / "nbgrader_config.py").open("a", encoding="utf-8") as config:
        config.write(ANOTHER_STEP)
    assert classroom.mark().count("marked") == 1
    assert stored(classroom.course.root, "A-01").metadata["seen by"] == "our own step"
    rows = gradebook_rows(classroom.course.gradebook)
    (classroom.course.root / "nbgrader_config.py").write_text(
        "from pharmcalc.classroom.config import configure\nc = get_config()\nconfigure(c)\n", encoding="utf-8"
    )
    assert classroom.mark(again=True).count("marked") == 1
    assert "seen by" not in stored(classroom.course.root, "A-01").metadata
    assert gradebook_rows(classroom.course.gradebook) == rows


def test_a_time_that_is_none_is_one_failure(classroom: Classroom) -> None:
    """A file of time that holds no time stops nobody else, and the line says what to do."""
    for number in ("A-01", "A-02"):
        classroom.hand_in(number)
    (classroom.course.submitted(NAME, "A-01").parent / "timestamp.txt").write_text("soon" * 1000, encoding="utf-8")
    run = classroom.mark()
    assert [o.state for o in run.outcomes] == ["failed", "marked"]
    assert "timestamp.txt" in run.outcomes[0].reason
    assert len(run.outcomes[0].reason) < 200


def test_what_cannot_be_marked_any_more_does_not_stay_marked(classroom: Classroom) -> None:
    """When a student's newer file is no notebook, the older marking does not stand for it in silence."""
    classroom.hand_in("A-01")
    classroom.mark()
    classroom.feedback("A-01")
    classroom.hand_in("A-01", b"nothing")
    assert classroom.mark().count("failed") == 1
    assert not is_marked(classroom.course, NAME, "A-01")
    assert not classroom.course.feedback(NAME, "A-01").exists(), "it was of another hand-in"
    (row,) = [row for row in classroom.picture().rows if row.student.number == "A-01"]
    assert row.needs_eyes


def test_two_runs_at_once_are_one_run_and_one_message(classroom: Classroom) -> None:
    """While one run writes marks a second one says so and does nothing."""
    classroom.hand_in("A-01")
    with classroom.course.only_run(), pytest.raises(CourseError, match="Another run"):
        mark_class(classroom.course, NAME, classroom.roster)
    assert classroom.mark().count("marked") == 1


def test_a_marked_notebook_holds_whole_lines_of_json(classroom: Classroom) -> None:
    """The stored notebook is valid by the notebook format."""
    classroom.hand_in("A-01")
    classroom.mark()
    text = classroom.course.autograded(NAME, "A-01").read_text(encoding="utf-8")
    nbformat.validate(json.loads(text))


def test_nbgraders_export_lists_the_same_marks(classroom: Classroom) -> None:
    """nbgrader's own mark sheet has what our mark sheet has, for whoever handed in."""
    classroom.hand_in("A-01")
    classroom.hand_in("A-02", answers={"q1": ""})
    classroom.mark()
    said = nbgrader(classroom.course.root, "export")
    with (classroom.course.root / "grades.csv").open(encoding="utf-8", newline="") as file:
        exported = {row["student_id"]: float(row["score"]) for row in csv.DictReader(file)}
    ours = {row.student.number: row.total for row in classroom.picture().rows}
    assert sorted(exported) == ["A-01", "A-02"], said
    assert exported == {number: ours[number] for number in exported}
