"""A hand-in that was laid to the wrong student is taken back, and everything that came of it."""

import json
import os
from pathlib import Path

import pytest
from rich.console import Console

from pharmcalc.__main__ import run as command
from pharmcalc.classroom.desk.door import Terminal
from pharmcalc.classroom.desk.taking_in import take_in_parcel
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.handed_in.takein import take_in
from pharmcalc.classroom.handed_in.which import count_anew
from pharmcalc.classroom.issuing.deadlines import read_moment, set_deadline
from pharmcalc.classroom.marking.taking_back import take_back
from pharmcalc.classroom.results.attempts import read_attempts
from pharmcalc.classroom.results.overrides import change_mark, changes_in_force
from pharmcalc.classroom.results.picture import ABSENT, MARKED
from pharmcalc.classroom.roster import Student
from pharmcalc.errors import CourseError
from tests.classroom.building import answered, gradebook_rows
from tests.classroom.conftest import NAME, Classroom


def student(number: str) -> Student:
    """Return a student of the class."""
    return Student(number, f"Surname{number}", f"Given{number}")


@pytest.fixture
def mixed_up(classroom: Classroom, tmp_path: Path) -> Classroom:
    """A-05 typed A-01's number; the file bears no name, so it was taken for A-01's, and marked."""
    laid(classroom, tmp_path / "unnamed.ipynb")
    classroom.hand_in("A-02")
    classroom.mark()
    classroom.feedback("A-01")
    return classroom


def laid(room: Classroom, path: Path) -> None:
    """Take a file in that is A-05's work with A-01's number typed in it."""
    path.write_text(json.dumps(answered(room.release, "A-01")), encoding="utf-8")
    take_in(room.course, NAME, path, room.roster)


def states(room: Classroom) -> dict[str, str]:
    """Return how each student stands."""
    return {row.student.number: row.state for row in room.picture().rows}


def test_nothing_of_it_counts_any_longer(mixed_up: Classroom) -> None:
    """No mark in the gradebook, no attempt, no page, no change of a mark; the others keep theirs."""
    course = mixed_up.course
    change_mark(course, NAME, "A-01", "q1", 0, reason="copied", by="RO")
    rows = [row for row in gradebook_rows(course.gradebook) if "A-01" not in row]
    kept = take_back(course, NAME, student("A-01"), by="RO")
    assert json.loads((kept / f"{NAME}.ipynb").read_text(encoding="utf-8"))["cells"]
    assert gradebook_rows(course.gradebook) == rows
    assert "A-01" not in read_attempts(course, NAME)
    assert "A-01" not in changes_in_force(course, NAME)
    assert not course.feedback(NAME, "A-01").exists()
    assert not course.autograded(NAME, "A-01").exists()
    assert states(mixed_up)["A-01"] == ABSENT
    assert states(mixed_up)["A-02"] == MARKED
    assert mixed_up.mark().count("marked") == 0


def test_the_lists_keep_every_line(mixed_up: Classroom) -> None:
    """What was believed, and when it was taken back, can be read later; the gradebook before is kept."""
    attempts = mixed_up.course.root / "attempts.csv"
    before = attempts.read_text(encoding="utf-8")
    take_back(mixed_up.course, NAME, student("A-01"), by="RO")
    assert attempts.read_text(encoding="utf-8").startswith(before)
    assert "taken back" in attempts.read_text(encoding="utf-8")
    assert "taken back from A-01 (RO)" in (mixed_up.course.received(NAME) / "log.jsonl").read_text(encoding="utf-8")
    assert list((mixed_up.course.root / "backups").glob("*-before-take-back-*"))


def test_it_is_never_laid_to_the_same_student_again(mixed_up: Classroom, tmp_path: Path) -> None:
    """Not by a new deadline, and not by their own hand-in, which counts although it is older."""
    take_back(mixed_up.course, NAME, student("A-01"), by="RO")
    set_deadline(mixed_up.course, NAME, read_moment("2099-01-01"), mixed_up.roster)
    assert count_anew(mixed_up.course, NAME, mixed_up.roster) == []
    assert not mixed_up.course.submitted(NAME, "A-01").exists()
    own = tmp_path / "mine.ipynb"  # no stronger claim than the other file had, and older
    own.write_text(json.dumps(answered(mixed_up.release, "A-01", answers={"q1": ""})), encoding="utf-8")
    os.utime(own, (0, 1_700_000_000))
    result = take_in(mixed_up.course, NAME, own, mixed_up.roster)
    assert [(entry.file, entry.number) for entry in result.taken] == [("mine.ipynb", "A-01")]
    mixed_up.mark()
    (row,) = [row for row in mixed_up.picture().rows if row.student.number == "A-01"]
    assert row.scores["q1"] == 0, "their own, in which q1 is not answered"


def test_it_is_taken_in_as_whose_it_is(mixed_up: Classroom, tmp_path: Path) -> None:
    """With the right number in its name it is that student's; until it is taken back, both are told."""
    (tmp_path / "unnamed.ipynb").rename(tmp_path / "A-05.ipynb")
    with (console := Console(width=10_000, soft_wrap=True)).capture() as told:
        take_in_parcel(mixed_up.course, NAME, tmp_path / "A-05.ipynb", Terminal(console))
    assert "A-05 and A-01 handed in the very same file" in told.get()
    assert f"pharmcalc take-back {NAME} A-01" in told.get()
    take_back(mixed_up.course, NAME, student("A-01"), by="RO")
    mixed_up.mark()
    assert (states(mixed_up)["A-01"], states(mixed_up)["A-05"]) == (ABSENT, MARKED)


def test_a_student_may_hand_the_same_file_in_after_all(mixed_up: Classroom, tmp_path: Path) -> None:
    """Taken back by mistake, it is taken in once more, and counts."""
    take_back(mixed_up.course, NAME, student("A-01"), by="RO")
    laid(mixed_up, tmp_path / "A-01.ipynb")
    mixed_up.mark()
    assert states(mixed_up)["A-01"] == MARKED
    assert read_attempts(mixed_up.course, NAME)["A-01"][-1].cleared == "yes"


@pytest.mark.parametrize("stop_at", ["remove_submission", "take_attempts_back", "withdraw_changes", "forget"])
def test_stopped_on_the_way_it_is_done_by_running_it_again(
    mixed_up: Classroom, monkeypatch: pytest.MonkeyPatch, stop_at: str
) -> None:
    """Whatever was done before, the second run brings the same end."""

    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    where = "nbgrader.api.Gradebook" if stop_at == "remove_submission" else "pharmcalc.classroom.marking.taking_back"
    with gradebook(mixed_up.course), monkeypatch.context() as patched:
        patched.setattr(f"{where}.{stop_at}", stop)
        with pytest.raises(KeyboardInterrupt):
            take_back(mixed_up.course, NAME, student("A-01"), by="RO")
    take_back(mixed_up.course, NAME, student("A-01"), by="RO")
    assert not any("A-01" in row for row in gradebook_rows(mixed_up.course.gradebook))
    assert "A-01" not in read_attempts(mixed_up.course, NAME)
    assert states(mixed_up)["A-01"] == ABSENT


def test_a_hand_in_that_is_not_there_is_not_taken_back(classroom: Classroom) -> None:
    """The message says so, and nothing is written."""
    with pytest.raises(CourseError, match="A-03 has handed in nothing"):
        take_back(classroom.course, NAME, student("A-03"), by="RO")
    with pytest.raises(CourseError, match="name or initials"):
        take_back(classroom.course, NAME, student("A-03"), by=" ")
    assert not classroom.course.received(NAME).exists()


def test_it_is_one_short_command(mixed_up: Classroom, capsys: pytest.CaptureFixture[str]) -> None:
    """It says what was taken back, where it is kept, and what comes next."""
    at = ["--course", str(mixed_up.course.root)]
    assert command([*at, "take-back", NAME, "a-01", "--by", "RO"]) == 0
    told = capsys.readouterr().out
    assert told.startswith("Taken back from A-01, with its marks, feedback page and attempts")
    assert f"pharmcalc take-in {NAME} FILE" in told
    assert command([*at, "take-back", NAME, "Z-9", "--by", "RO"]) == 1
    assert "Z-9 is not on the class list" in capsys.readouterr().err
