"""Hostile names and places: of students, of files, and of what lies in the way when a class is taken in."""

import csv
import io
import json
import os
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from pharmcalc.classroom.handed_in.parcels import _moment
from pharmcalc.classroom.handed_in.takein import take_in
from pharmcalc.classroom.results.report import write_all
from pharmcalc.classroom.roster import Roster, Student, parse_roster
from pharmcalc.errors import CourseError
from tests.classroom.building import answered
from tests.classroom.conftest import NAME, Classroom
from tests.classroom.hostile_parts import HACK
from tests.classroom.test_escaping import Parsed

MOMENT = 1_800_000_000


@pytest.mark.parametrize(
    "number", ["..", "A-01/../A-02", "/etc", "A-01.", "A 01", "<b>", "=1+1", "A-01\u202e", "\x1b[2J", "a" * 31]
)
def test_a_class_list_gives_no_number_that_leads_elsewhere(number: str) -> None:
    """A number becomes a folder's name, so only letters, digits, - and _ are taken; the line is named."""
    with pytest.raises(CourseError, match="line 2: the number is") as told:
        parse_roster(f"number,surname,given name\n{number},Brook,Ines")
    assert "such as A-07" in str(told.value)


def test_hostile_names_of_students_are_only_shown(classroom: Classroom) -> None:
    """A surname with a script or a formula is text in the report and in the mark sheet."""
    names = (f"<script>{HACK}</script>", '=HYPERLINK("https://evil.example")', "x;=1+1", "\u202eOlleh", "[red]{{7*7}}")
    students = [Student(f"A-{place:02}", name, name) for place, name in enumerate(names, 1)]
    room = replace(classroom, roster=Roster(tuple(students)))
    report, sheet = write_all(room.course, room.picture())
    page = Parsed(report.read_text(encoding="utf-8"))
    assert "script" not in page.elements
    assert "49" not in report.read_text(encoding="utf-8").split("[red]")[1][:20]
    text = sheet.read_text(encoding="utf-8-sig")
    for splitter in ",;":
        cells = [cell for row in csv.reader(io.StringIO(text), delimiter=splitter) for cell in row]
        assert [cell for cell in cells if cell.startswith("=")] == []


def test_a_folder_named_almost_like_a_student_is_nobodys(classroom: Classroom) -> None:
    """Dots, blanks, links and signs after a number make another name; each is told, and none is marked."""
    top = classroom.course.root / "submitted"
    for name in ("A-01..", "A-01 ", "...", "A-01\u202e", "A-01\x1b[2J", "A-01\udcff", "a-02"):
        (top / name / NAME).mkdir(parents=True)
        (top / name / NAME / f"{NAME}.ipynb").write_text(json.dumps(answered(classroom.release, "A-01")))
    (top / "A-03").symlink_to(top / "A-01..")
    (top / "A-04").mkdir()
    (top / "A-04" / NAME).symlink_to(top / "A-01.." / NAME)
    run = classroom.mark()
    assert run.count("marked") == 0
    picture = classroom.picture()
    write_all(classroom.course, picture)
    assert len(picture.set_aside) == 7
    assert {row.student.number for row in picture.to_look_at()} == {"A-03", "A-04"}
    assert {entry.reason for entry in picture.set_aside} == {"this folder's name is not on the class list"}
    assert not [entry.file for entry in picture.set_aside if not entry.file.isprintable()]


def test_many_files_set_aside_leave_the_report_short(classroom: Classroom, tmp_path: Path) -> None:
    """Of thousands of files the report shows the first and counts the rest; the sheet has them all."""
    (tmp_path / "in").mkdir()
    for place in range(230):
        (tmp_path / "in" / f"{place:03}.ipynb").write_text(f"no notebook {place}")
    take_in(classroom.course, NAME, tmp_path / "in", classroom.roster)
    classroom.mark()
    report, sheet = write_all(classroom.course, classroom.picture())
    assert "30 more files were set aside" in report.read_text(encoding="utf-8")
    assert "229.ipynb" in sheet.read_text(encoding="utf-8-sig")


# The take-in, where a hand-in meets what came before -----------------------------------------------------------------


def test_a_number_typed_by_somebody_does_not_push_out_what_came_before(classroom: Classroom, tmp_path: Path) -> None:
    """A later file that only has A-02's number typed in it leaves A-02's own hand-in where it is, and is told."""
    good, bad = (answered(classroom.release, "A-02", answers) for answers in ({}, {"q1": "", "q2": ""}))
    for folder, name, nb in (("one", "A-02.ipynb", good), ("two", "mine.ipynb", bad)):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / name).write_text(json.dumps(nb))
    take_in(classroom.course, NAME, tmp_path / "one", classroom.roster)
    before = classroom.course.submitted(NAME, "A-02").read_bytes()
    (entry,) = take_in(classroom.course, NAME, tmp_path / "two", classroom.roster).refused
    assert "A-02 is typed in it, but A-02.ipynb is theirs; find out whose this is" in entry.reason
    assert classroom.course.submitted(NAME, "A-02").read_bytes() == before


def test_a_persons_name_in_the_path_counts_more_than_a_number_that_anybody_can_type(
    classroom: Classroom, tmp_path: Path
) -> None:
    """Of two files with A-02 typed in them the one in the folder with A-02's names counts, although it is older."""
    room = replace(classroom, roster=Roster((Student("A-01", "Brook", "Ines"), Student("A-02", "Fern", "Ola"))))
    good, bad = (answered(classroom.release, "A-02", answers) for answers in ({}, {"q1": "", "q2": ""}))
    for folder, nb, when in (("Fern Ola_4711_file", good, MOMENT), ("Brook Ines_4712_file", bad, MOMENT + 60)):
        path = tmp_path / "in" / folder / "week-1.ipynb"
        path.parent.mkdir(parents=True)
        path.write_text(json.dumps(nb))
        os.utime(path, (when, when))
    result = take_in(room.course, NAME, tmp_path / "in", room.roster)
    assert [entry.file for entry in result.taken] == ["Fern Ola_4711_file/week-1.ipynb"]
    assert "find out whose this is" in result.refused[0].reason


def test_what_lies_in_the_way_in_submitted_stops_nobody_else(classroom: Classroom, tmp_path: Path) -> None:
    """A file in the place of a folder, or a folder in the place of the notebook, is one line; the rest is taken in."""
    root = classroom.course.root / "submitted"
    root.mkdir()
    (root / "A-01").write_text("in the way")
    (root / "A-02" / NAME / f"{NAME}.ipynb" / "x").mkdir(parents=True)
    (tmp_path / "in").mkdir()
    for number in ("A-01", "A-02", "A-03"):
        (tmp_path / "in" / f"{number}.ipynb").write_text(json.dumps(answered(classroom.release, number)))
    result = take_in(classroom.course, NAME, tmp_path / "in", classroom.roster)
    assert [entry.number for entry in result.taken] == ["A-03"]
    assert all("remove what lies there" in entry.reason for entry in result.refused)


def test_a_file_from_a_year_of_no_calendar_is_of_now(tmp_path: Path) -> None:
    """A time that no calendar holds stops no take-in."""
    assert abs((_moment(1e18) - datetime.now(UTC)).total_seconds()) < 3600
    assert _moment(MOMENT).year == 2027
