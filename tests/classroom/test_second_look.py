"""What a second reader of the marking tried: crashes between two steps, other programs, second thoughts."""

import json
import os
import signal
import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from pharmcalc.__main__ import run as command
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.handed_in import takein as takein_module
from pharmcalc.classroom.handed_in import which as which_module
from pharmcalc.classroom.handed_in.inbox import set_aside, stamp
from pharmcalc.classroom.handed_in.submitted import time_of
from pharmcalc.classroom.handed_in.takein import take_in
from pharmcalc.classroom.issuing.deadlines import read_deadlines, set_deadline
from pharmcalc.classroom.marking import workers
from pharmcalc.classroom.marking.finished import is_marked
from pharmcalc.classroom.marking.run import mark_class
from pharmcalc.classroom.results.overrides import change_mark
from pharmcalc.errors import CourseError
from tests.classroom.building import answered
from tests.classroom.conftest import NAME, NUMBERS, Classroom
from tests.classroom.test_deadlines import DUE, counts, handed_in, parcel, row, strict

__all__ = ["strict"]


def explained(nb: dict[str, Any]) -> None:
    """Answer the written question."""
    (cell,) = [cell for cell in nb["cells"] if cell["id"] == "explain-1"]
    cell["source"] = "Because it is a share."


# Which hand-in counts ------------------------------------------------------------------------------------------------


def test_going_back_to_an_earlier_text_is_the_newest_word(classroom: Classroom, tmp_path: Path) -> None:
    """Handed in as before after another try: that counts, with the time at which it came again."""
    set_deadline(classroom.course, NAME, DUE, classroom.roster)
    for place, (answer, hours) in enumerate((("one", -9), ("two", -5), ("one", -1))):
        made = parcel(classroom, tmp_path / str(place), {"A-01.ipynb": (answer, timedelta(hours=hours))})
        take_in(classroom.course, NAME, made, classroom.roster)
    assert counts(classroom) == "one"
    assert time_of(classroom.course.submitted(NAME, "A-01").parent) == (DUE - timedelta(hours=1)).replace(tzinfo=None)


def test_a_crash_before_the_time_was_written_hides_no_lateness(
    strict: Classroom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Taken in again, the notebook that lies there already gets its time."""
    set_deadline(strict.course, NAME, DUE, strict.roster)
    made = parcel(strict, tmp_path / "in", {"A-01.ipynb": ("x", timedelta(days=2))})
    with monkeypatch.context() as crash:
        crash.setattr(which_module, "stamp", interrupted)
        with pytest.raises(KeyboardInterrupt):
            take_in(strict.course, NAME, made, strict.roster)
    assert len(take_in(strict.course, NAME, made, strict.roster).unchanged) == 1
    strict.mark()
    assert any("2 days late" in note for note in row(strict, "A-01").notes)


def test_a_crash_before_the_log_was_written_forgets_no_hand_in(
    classroom: Classroom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Taken in again it is written down, and an older file does not push it out."""
    new = parcel(classroom, tmp_path / "new", {"A-01.ipynb": ("newer", timedelta(hours=-1))})
    old = parcel(classroom, tmp_path / "old", {"A-01.ipynb": ("older", timedelta(hours=-9))})
    with monkeypatch.context() as crash:
        crash.setattr(takein_module, "write_log", interrupted)
        with pytest.raises(KeyboardInterrupt):
            take_in(classroom.course, NAME, new, classroom.roster)
    take_in(classroom.course, NAME, new, classroom.roster)
    take_in(classroom.course, NAME, old, classroom.roster)
    assert counts(classroom) == "newer"


def interrupted(*_: object, **__: object) -> None:
    """Stop here, as a crash would."""
    raise KeyboardInterrupt


def test_a_deadline_that_moves_leaves_what_the_exchange_brought(classroom: Classroom, tmp_path: Path) -> None:
    """A hand-in that did not come through the take-in is not replaced by an older one that did, nor a gap filled."""
    made = parcel(classroom, tmp_path / "in", {"A-01.ipynb": ("old", timedelta(hours=-9))})
    take_in(classroom.course, NAME, made, classroom.roster)
    path = classroom.hand_in("A-01", answers={"q1": "from the exchange"})
    stamp(path.parent, DUE - timedelta(hours=1))
    due = ["--course", str(classroom.course.root), "due", NAME]
    assert command([*due, "2026-03-05"]) == 0
    assert counts(classroom) == "from the exchange"
    path.unlink()
    assert command([*due, "2026-03-06"]) == 0
    assert not path.exists()


def test_who_is_put_on_the_list_later_is_no_longer_set_aside(classroom: Classroom, tmp_path: Path) -> None:
    """A file that was nobody's and is taken in now leaves the list of those to look at."""
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "Z-99.ipynb").write_text(json.dumps(answered(classroom.release, "Z-99")), encoding="utf-8")
    take_in(classroom.course, NAME, tmp_path / "in", classroom.roster)
    assert len(set_aside(classroom.course, NAME)) == 1
    with classroom.course.class_list.open("a", encoding="utf-8") as file:
        file.write("Z-99,Zeller,Zoe,\n")
    room = Classroom.at(classroom.course.root)
    assert len(take_in(room.course, NAME, tmp_path / "in", room.roster).taken) == 1
    assert set_aside(room.course, NAME) == []


# Marks given by hand -------------------------------------------------------------------------------------------------


def test_a_written_answer_whose_mark_is_taken_back_awaits_a_person(classroom: Classroom) -> None:
    """It is not left with no marks as if somebody had read it."""
    classroom.hand_in("A-01", change=explained)
    classroom.mark()
    change_mark(classroom.course, NAME, "A-01", "explain-1", 2, reason="good", by="MK")
    assert row(classroom, "A-01").to_mark == []
    change_mark(classroom.course, NAME, "A-01", "explain-1", None, reason="another student's", by="MK")
    assert row(classroom, "A-01").to_mark == ["explain-1"]


def test_a_penalty_follows_the_marks_that_are_given_later(strict: Classroom) -> None:
    """What is lost is a share of the marks that stand now, and never more than these."""
    set_deadline(strict.course, NAME, DUE, strict.roster)
    for number, late in (("A-01", timedelta(days=9)), ("A-02", timedelta(hours=1))):
        handed_in(strict, number, late)
    strict.mark()
    change = ["--course", str(strict.course.root), "change", NAME]
    because = ["--reason", "read again", "--by", "MK"]
    assert command([*change, "A-01", "explain-1", "2", *because]) == 0
    assert row(strict, "A-01").total == 0, "after three days nothing counts, marks by hand neither"
    assert command([*change, "A-01", "q2", "0", *because]) == 0
    assert row(strict, "A-01").total == 0
    assert command([*change, "A-02", "explain-1", "2", *because]) == 0
    late = row(strict, "A-02")
    assert late.penalty == pytest.approx(sum(late.scores.values()) / 10)
    with gradebook(strict.course) as book:  # as nbgrader's own pages do it; then the report is written
        for grade in book.find_submission_notebook(NAME, NAME, "A-02").grades:
            if grade.name == "explain-1":
                grade.manual_score = 0
        book.db.commit()
    assert command(["--course", str(strict.course.root), "report", NAME]) == 0
    late = row(strict, "A-02")
    assert late.penalty == pytest.approx(sum(late.scores.values()) / 10)


# Other programs ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("held", ["EXCLUSIVE", "IMMEDIATE"])
def test_a_gradebook_that_another_program_holds_is_nobodys_fault(
    classroom: Classroom, held: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The run stops with one sentence; nobody's marks change, nobody is blamed, and the next run does it."""
    classroom.hand_in("A-01")
    classroom.mark()
    classroom.hand_in("A-01", answers={"q1": ""})
    classroom.hand_in("A-02")
    mark = ["--course", str(classroom.course.root), "mark", NAME]
    with closing(sqlite3.connect(classroom.course.gradebook, isolation_level=None)) as other:
        other.execute(f"BEGIN {held}")
        assert command(mark) == 1
    told = capsys.readouterr().err
    assert "in use by another program" in told
    assert "backups" not in told
    assert is_marked(classroom.course, NAME, "A-01")
    assert command(mark) == 0
    assert classroom.mark().count("unchanged") == 2


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="processes are stopped by a signal")
def test_a_process_that_the_system_stops_between_two_hand_ins_stops_nothing(
    classroom: Classroom, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Everybody is marked all the same."""
    numbers = [f"Z-{n:02}" for n in range(20)]
    with classroom.course.class_list.open("a", encoding="utf-8") as file:
        file.writelines(f"{number},Surname,Given,\n" for number in numbers)
    room = Classroom.at(classroom.course.root)
    for number in numbers:
        room.hand_in(number)
    submit, pools = workers._submit, []

    def noted(pool: Any, thing: Any) -> Any:
        pools.append(pool)
        return submit(pool, thing)

    def stop_one(outcome: Any) -> None:
        if outcome.number == "Z-03":
            os.kill(next(iter(pools[-1]._processes)), signal.SIGKILL)

    monkeypatch.setattr(workers, "_submit", noted)
    monkeypatch.setattr(workers, "processors", lambda: 2)
    run = mark_class(room.course, NAME, room.roster, watch=stop_one)
    assert pools
    assert run.count("marked") == len(numbers)


def test_a_list_that_a_spreadsheet_saved_is_still_read(classroom: Classroom) -> None:
    """With its own mark at the beginning, and with semicolons."""
    set_deadline(classroom.course, NAME, DUE, classroom.roster)
    path = classroom.course.root / "deadlines.csv"
    path.write_text("\ufeff" + path.read_text(encoding="utf-8").replace(",", ";"), encoding="utf-8")
    assert read_deadlines(classroom.course, NAME).everybody == DUE


def test_why_a_hand_in_failed_is_told_though_no_page_knows_it(
    classroom: Classroom, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What the run said of it stands in the lines at the end, and so does a feedback page that cannot be written."""
    for number in NUMBERS[:2]:
        classroom.hand_in(number)
    (classroom.course.root / "feedback").mkdir()
    (classroom.course.root / "feedback" / "A-01").write_text("in the way", encoding="utf-8")
    monkeypatch.setattr("pharmcalc.classroom.marking.run.add_attempt", failing_for("A-02"))
    command(["--course", str(classroom.course.root), "mark", NAME])
    told = capsys.readouterr().out
    assert "A-02: it could not be marked (CourseError: no room" in told or "A-02: no room" in told
    assert "A-01: no feedback page" in told


def failing_for(number: str) -> Any:
    """Return a step that fails for one student."""

    def step(course: object, assignment: str, student: str, marked: object) -> None:
        if student == number:
            raise CourseError("no room on the disk; make some and try again")

    return step
