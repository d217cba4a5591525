"""The demo class goes through the same doors as a real one."""

from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.demo.demo import run_demo
from pharmcalc.classroom.demo.demo_handins import WAYS, hand_in, slips, write_parcel
from pharmcalc.classroom.demo.demo_students import MEMBERS, ROSTER
from pharmcalc.classroom.desk.door import Terminal
from pharmcalc.classroom.issuing.issue import issued_assignments
from pharmcalc.classroom.marking.run import mark_class
from pharmcalc.classroom.results.picture import ABSENT, MARKED, NOT_MARKED, Picture, take_picture
from pharmcalc.errors import CourseError
from pharmcalc.marking import Status, mark_task
from pharmcalc.tasks.family import FAMILIES
from pharmcalc.tasks.house import read_house_rules


@pytest.fixture(scope="module")
def told() -> StringIO:
    """Hold what the demo prints."""
    return StringIO()


@pytest.fixture(scope="module")
def course(tmp_path_factory: pytest.TempPathFactory, told: StringIO) -> Course:
    """Run the demo once."""
    folder = tmp_path_factory.mktemp("demo") / "demo-class"
    run_demo(folder, Terminal(Console(file=told, soft_wrap=True)))
    return Course.open(folder)


@pytest.fixture(scope="module")
def assignment(course: Course) -> str:
    """Return the one assignment that the demo class was given, of all that the course has."""
    (issued,) = issued_assignments(course)
    return issued


@pytest.fixture(scope="module")
def picture(course: Course, assignment: str) -> Picture:
    """Return the demo class after marking."""
    return take_picture(course, assignment, ROSTER)


def test_the_class_has_every_kind_of_student() -> None:
    """24 students; every way of working occurs."""
    assert len(MEMBERS) == len(ROSTER) == 24
    assert {member.way for member in MEMBERS} == set(WAYS)


def test_the_demo_ends_with_the_class_in_a_few_lines(told: StringIO, course: Course, assignment: str) -> None:
    """The last lines say how many are cleared, who needs a look, where the report lies, and how to undo."""
    end = told.getvalue().rpartition("pharmcalc mark")[2]
    for words in ("23 handed in of 24", "cleared for the bench", "HH-10", "Report: ", "Mark sheet: ", "Undo: "):
        assert words in end
    assert course.reports(assignment).joinpath("report.html").is_file()


def test_each_student_is_where_their_work_belongs(picture: Picture) -> None:
    """Cut-off and empty files are not marked, one student is absent, everybody else has marks."""
    ways = {member.student.number: member.way for member in MEMBERS}
    for row in picture.rows:
        wanted = {"file cut off": NOT_MARKED, "empty file": NOT_MARKED, "not handed in": ABSENT}
        assert row.state == wanted.get(ways[row.student.number], MARKED)


def test_careful_students_are_cleared_however_they_write(picture: Picture) -> None:
    """Plain values, whole steps, grams, split and deleted cells, a loop, a script: right is right."""
    fine = {
        "careful", "shows every step", "types in grams", "split a cell", "deleted locked cells",
        "left a loop running", "script in the text",
    }  # fmt: skip
    ways = {member.student.number: member.way for member in MEMBERS}
    cleared = {row.student.number for row in picture.rows if row.all_cleared}
    assert {number for number, way in ways.items() if way in fine} <= cleared
    assert {ways[number] for number in cleared} <= fine | {"careless"}


def test_slips_are_known_by_name(picture: Picture) -> None:
    """Every careless student made a mistake that the report names or a rule that it names."""
    careless = {member.student.number for member in MEMBERS if member.way == "careless"}
    named = {row.student.number for _, cases in picture.mistakes() for row, _ in cases}
    assert careless <= named


def test_what_needs_a_look_is_told_with_the_reason(picture: Picture) -> None:
    """The broken files, the other student's sheet and the stranger's file, and nobody else."""
    ways = {member.student.number: member.way for member in MEMBERS}
    look = {ways[row.student.number] for row in picture.to_look_at()}
    assert look == {"file cut off", "empty file", "another student's sheet"}
    (stranger,) = picture.set_aside
    assert "ZZ-77" in stranger.reason


def test_the_same_class_hands_in_the_same_files(course: Course, assignment: str, tmp_path: Path) -> None:
    """The demo is the same each time, to the byte."""
    from pharmcalc.classroom.issuing.release import issued_notebook

    release, issue = issued_notebook(course.release(assignment))
    first, second = (write_parcel(release, tmp_path / name).read_bytes() for name in ("a.zip", "b.zip"))
    assert first == second
    assert [hand_in(member, release, issue) for member in MEMBERS].count(None) == 1


def test_marking_the_demo_again_changes_nothing(course: Course, assignment: str) -> None:
    """What is marked is marked."""
    run = mark_class(course, assignment, ROSTER)
    assert run.count("unchanged") == len(run.outcomes) == 21


def test_a_folder_in_use_is_refused(tmp_path: Path) -> None:
    """The demo removes nobody's work."""
    (tmp_path / "thesis.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(CourseError, match="in use"):
        run_demo(tmp_path, Terminal(Console(quiet=True)))
    assert (tmp_path / "thesis.txt").is_file()


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_a_slip_in_any_kind_of_task_is_seen_by_name(family: str) -> None:
    """A careless student can be played in every kind of task: most slips typed are recognised by their name."""
    task = FAMILIES[family].task("q1", "demo", read_house_rules())
    marks = [mark_task(task, text) for text in slips(task)]
    assert marks
    unknown = [mark for mark in marks if any(verdict.status is Status.UNRECOGNISED for verdict in mark.verdicts)]
    assert len(unknown) < len(marks) / 2
