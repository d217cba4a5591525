"""Records of the simulated bench travel with a hand-in: each finds its owner and is replayed; lies gain nothing."""

import csv
import json
import os
import shutil
import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from pharmcalc.bench import Session, file_name, record_text
from pharmcalc.bench.record import FORM, LONGEST_RECORD
from pharmcalc.classroom.cells import cells_by_id
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.demo.demo_bench import FAULTS, bench_record, half_done
from pharmcalc.classroom.demo.demo_handins import WAYS, write_parcel
from pharmcalc.classroom.demo.demo_students import MEMBERS, ROSTER
from pharmcalc.classroom.engine import Converter
from pharmcalc.classroom.handed_in.inbox import TakeIn
from pharmcalc.classroom.handed_in.records import read_beside
from pharmcalc.classroom.handed_in.takein import take_in
from pharmcalc.classroom.issuing.deadlines import set_deadline
from pharmcalc.classroom.issuing.issue import check_release, issue_assignment
from pharmcalc.classroom.results.overrides import change_mark
from pharmcalc.classroom.results.picture import MARKED, NOT_MARKED, Row
from pharmcalc.classroom.results.report import write_all
from pharmcalc.classroom.results.scripts_page import write_scripts
from pharmcalc.classroom.roster import Roster, Student, read_roster
from pharmcalc.errors import CourseError
from pharmcalc.marking import mark_task
from pharmcalc.sheets import instructor_key, sign_off_list, student_sheets
from pharmcalc.tasks.family import Task
from pharmcalc.tasks.papers import answer_id, mark_id, read_issue
from tests.classroom.building import answered, cell, gradebook_rows, nbgrader, write_course
from tests.classroom.conftest import NAME, Classroom

FAMILIES = ("least-weighable-quantity", "bench-weighing")
NUMBERS = tuple(f"A-{n:02}" for n in range(1, 16))
MOMENT = 1_800_000_000
Q, RECORD = "q2", file_name("q2")


@pytest.fixture(scope="module")
def bench_course(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Issue a course with one ordinary task and one at the simulated bench, once."""
    root = write_course(tmp_path_factory.mktemp("bench") / "issued", NAME, FAMILIES, NUMBERS, by_hand=False)
    issue_assignment(Course.open(root), NAME, read_roster(root / "class.csv"))
    return root


@pytest.fixture
def room(bench_course: Path, tmp_path: Path) -> Classroom:
    """Give a test its own copy of the course."""
    shutil.copytree(bench_course, tmp_path / "course")
    return room_in(tmp_path / "course")


def room_in(root: Path) -> Classroom:
    """Return the classroom in a course folder."""
    course = Course.open(root)
    return Classroom(course, read_roster(course.class_list), json.loads(course.release(NAME).read_text()))


def task_of(room: Classroom, number: str, attempt: int = 1) -> Task:
    """Return a student's task at the bench."""
    return read_issue(room.release).paper(number, attempt).task(Q)


def by_the_book(room: Classroom, number: str, attempt: int = 1) -> str:
    """Return the record of a student who works by the book."""
    return task_of(room, number, attempt).answer_lines()


def beside(room: Classroom, number: str, text: str | bytes) -> Path:
    """Lay a record beside a hand-in, as nbgrader's own exchange does."""
    path = room.course.record(NAME, number, Q)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def foldered(folder: Path, files: dict[str, str | bytes], when: int = 0) -> Path:
    """Lay files into a folder, all of the same time; ``when`` in seconds from some moment."""
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        os.utime(path, (MOMENT + when, MOMENT + when))
    return folder


def take(room: Classroom, folder: Path, files: dict[str, str | bytes], when: int = 0) -> TakeIn:
    """Take a folder in, with some files more."""
    return take_in(room.course, NAME, foldered(folder, files, when), room.roster)


def stamped(room: Classroom, number: str) -> str:
    """Return when a hand-in came, as nbgrader is told."""
    return (room.course.submitted(NAME, number).parent / "timestamp.txt").read_text()


def moment(when: int) -> str:
    """Return a time as it stands there."""
    return f"{datetime.fromtimestamp(MOMENT + when, UTC):%Y-%m-%d %H:%M:%S.%f} UTC\n"


def notebook(room: Classroom, number: str, **options: Any) -> str:
    """Return a hand-in as text."""
    return json.dumps(answered(room.release, number, **options))


def row(room: Classroom, number: str) -> Row:
    """Return a student's line of the class."""
    return next(row for row in room.picture().rows if row.student.number == number)


def reasons(result: TakeIn) -> dict[str, str]:
    """Return why files were set aside."""
    return {entry.file: entry.reason for entry in result.refused}


# Issue ---------------------------------------------------------------------------------------------------------------


def test_a_task_at_the_bench_has_a_mark_cell_and_no_answer_cell(room: Classroom) -> None:
    """The release asks for it, and an answer cell beside it is refused with the cure."""
    assert answer_id(Q) not in cells_by_id(room.release)
    assert mark_id(Q) in cells_by_id(room.release)
    wrong = {**room.release, "cells": [*room.release["cells"], cell("code", answer_id(Q), f"%%answer {Q}")]}
    with pytest.raises(CourseError, match="remove answer-q2"):
        check_release(wrong, NAME)
    missing = [c for c in room.release["cells"] if c["id"] != answer_id("q1")]
    with pytest.raises(CourseError, match="answer-q1 is missing"):
        check_release({**room.release, "cells": missing}, NAME)


def test_a_record_of_whoever_wrote_the_assignment_is_not_handed_out(room: Classroom) -> None:
    """Trying the bench out beside the solution leaves a file there, and the release is the same without it."""
    before = room.course.release(NAME).read_bytes()
    (room.course.solution(NAME).parent / RECORD).write_text(by_the_book(room, "A-01"))
    Converter("GenerateAssignment", room.course, NAME).run()
    assert room.course.release(NAME).read_bytes() == before
    assert [path.name for path in room.course.release(NAME).parent.iterdir()] == [f"{NAME}.ipynb"]


# Take-in -------------------------------------------------------------------------------------------------------------


def test_a_record_finds_its_owner_by_the_order_in_it(room: Classroom, tmp_path: Path) -> None:
    """Whatever platform or browser named it; another JSON file is left alone."""
    names = {
        "A-01": f"A-01/{RECORD}",
        "A-02": f"Surname Given_4711_file/{RECORD}",
        "A-03": "week-1_bench-record-q2 (1).json",
        "A-04": f"surname_A-04_{RECORD}.txt",
        "A-05": "record.json",
    }
    files: dict[str, str | bytes] = {name: by_the_book(room, number) for number, name in names.items()}
    files |= {f"{number}.ipynb": notebook(room, number) for number in names}
    result = take(room, tmp_path / "in", {**files, "settings.json": '{"order": "abc"}'})
    assert (len(result.taken), len(result.records), result.refused, result.other_files) == (5, 5, [], 1)
    for number in names:
        assert room.course.record(NAME, number, Q).read_text() == by_the_book(room, number)
    assert room.mark().count("marked") == 5
    assert [row.scores[Q] for row in room.picture().having(MARKED)] == [20.0] * 5
    again = take(room, tmp_path / "in", {})
    assert (len(again.records), len(again.records_unchanged), len(again.unchanged)) == (0, 5, 5)
    kept = [path for path in room.course.received(NAME).rglob("*.json*") if path.name != "log.jsonl"]
    assert len(kept) == 10


def test_a_plain_number_is_not_mistaken_for_the_copy_number_of_a_browser(room: Classroom, tmp_path: Path) -> None:
    """In a class whose numbers are 1, 2, 3, the file "bench-record-q2 (1).json" of student 3 is student 3's."""
    room = replace(room, roster=Roster(tuple(Student(number, "Surname", "") for number in ("1", "2", "3"))))
    result = take(room, tmp_path / "in", {"week-1/bench-record-q2 (1).json": by_the_book(room, "3")})
    assert [entry.number for entry in result.records] == ["3"]


def test_records_that_are_nobodys_or_somebody_elses_are_set_aside(room: Classroom, tmp_path: Path) -> None:
    """Each with what was read and what to do; the student in whose folder it lay is told of in the class."""
    foreign = replace(read_issue(room.release), assignment="week-9").paper("A-02").task(Q).answer_lines()
    files: dict[str, str | bytes] = {
        f"A-01/{RECORD}": by_the_book(room, "A-05"),
        f"A-02/{RECORD}": foreign,
        f"A-03/{RECORD}": by_the_book(room, "A-03", 2),
        RECORD: by_the_book(room, "SELF-STUDY"),
    }
    result = take(room, tmp_path / "in", files)
    told = reasons(result)
    assert "it came as A-01's, and the order in it is A-05's (q2)" in told[f"A-01/{RECORD}"]
    for name in (f"A-02/{RECORD}", f"A-03/{RECORD}", RECORD):
        assert "given to nobody in this class" in told[name]
    assert result.records == []
    assert not (room.course.root / "submitted").exists()
    picture = room.picture()
    assert [row.student.number for row in picture.to_look_at()] == ["A-01", "A-02", "A-03"]
    assert [entry.file for entry in picture.set_aside] == [RECORD]
    take(
        room,
        tmp_path / "later",
        {f"A-02 new {RECORD}": by_the_book(room, "A-02"), "A-02.ipynb": notebook(room, "A-02")},
    )
    room.mark()
    assert row(room, "A-02").needs_eyes == []


def test_the_newest_record_counts_and_a_file_in_the_owners_name_before_all(room: Classroom, tmp_path: Path) -> None:
    """All are kept in received/; a nameless file made for A-02's order does not push out what A-02 handed in."""
    order = task_of(room, "A-01").drawn.order
    assert order is not None
    first, last = record_text(half_done(order)), by_the_book(room, "A-01")
    folder = tmp_path / "in"
    take(room, folder, {"A-01/bench-record-q2-before-1.json": first, f"A-02/{RECORD}": by_the_book(room, "A-02")})
    other = task_of(room, "A-02").drawn.order
    assert other is not None
    result = take(room, folder, {f"A-01/{RECORD}": last, "x.json": record_text(Session(other))}, when=60)
    assert room.course.record(NAME, "A-01", Q).read_text() == last
    assert room.course.record(NAME, "A-02", Q).read_text() == by_the_book(room, "A-02")
    assert sorted(reasons(result)) == ["A-01/bench-record-q2-before-1.json", "x.json"]
    kept = {path.name for path in room.course.received(NAME).rglob("*.json")}
    assert kept == {RECORD, "bench-record-q2-before-1.json", "x.json"}


def test_a_record_may_come_alone_first_or_later(room: Classroom, tmp_path: Path) -> None:
    """One file is a parcel too; without a notebook the student is told of, and with it all is marked."""
    alone = tmp_path / RECORD
    alone.write_text(by_the_book(room, "A-01"))
    assert len(take_in(room.course, NAME, alone, room.roster).records) == 1
    (outcome,) = room.mark().outcomes
    assert "there is a bench record, but no week-1.ipynb" in outcome.reason
    assert row(room, "A-01").state == NOT_MARKED
    take(room, tmp_path / "in", {"A-01.ipynb": notebook(room, "A-01")}, when=-500)
    assert room.mark().count("marked") == 1
    assert row(room, "A-01").scores[Q] == 20
    take(room, tmp_path / "two", {"A-02.ipynb": notebook(room, "A-02")})
    assert room.mark().count("marked", "unchanged") == 2
    assert row(room, "A-02").scores[Q] == 0
    take(room, tmp_path / "three", {f"A-02/{RECORD}": by_the_book(room, "A-02")}, when=86_400)
    run = room.mark()
    assert {outcome.number: outcome.state for outcome in run.outcomes} == {"A-01": "unchanged", "A-02": "marked"}
    assert (row(room, "A-02").scores[Q], row(room, "A-02").needs_eyes) == (20, [])
    assert stamped(room, "A-02") == moment(86_400)


def test_a_record_from_before_the_deadline_counts_before_a_later_one(room: Classroom, tmp_path: Path) -> None:
    """Whether both come at once or one after the other: the late one is told of, and the hand-in stays in time."""
    order = task_of(room, "A-01").drawn.order
    assert order is not None
    set_deadline(room.course, NAME, datetime.fromtimestamp(MOMENT + 30, UTC), room.roster)
    in_time, late = by_the_book(room, "A-01"), record_text(half_done(order))
    take(room, tmp_path / "one", {f"A-01/{RECORD}": in_time, "A-01/A-01.ipynb": notebook(room, "A-01")})
    result = take(room, tmp_path / "two", {f"A-01/{RECORD}": late}, when=7230)
    assert "2 hours after the deadline" in reasons(result)[f"A-01/{RECORD}"]
    assert room.course.record(NAME, "A-01", Q).read_text() == in_time
    assert stamped(room, "A-01") == moment(0)
    both = foldered(tmp_path / "both", {"A-02/z bench-record-q2.json": by_the_book(room, "A-02")})
    take(
        room, both, {"A-02/a bench-record-q2.json": record_text(half_done(task_of(room, "A-02").drawn.order))}, when=60
    )
    assert room.course.record(NAME, "A-02", Q).read_text() == by_the_book(room, "A-02")


def test_a_hand_in_is_as_late_as_its_latest_file(room: Classroom, tmp_path: Path) -> None:
    """A record that is older than the notebook does not make the hand-in look earlier than it was."""
    folder = foldered(tmp_path / "in", {f"A-01/{RECORD}": by_the_book(room, "A-01")})
    take(room, folder, {"A-01/mine.ipynb": notebook(room, "A-01")}, when=3600)
    assert stamped(room, "A-01") == moment(3600)


def test_of_two_records_the_newer_counts_whatever_they_are_called(room: Classroom, tmp_path: Path) -> None:
    """Neither the order of the names nor that of the files in the parcel decides."""
    order = task_of(room, "A-01").drawn.order
    assert order is not None
    folder = foldered(tmp_path / "in", {"A-01/z bench-record-q2.json": record_text(half_done(order))})
    take(room, folder, {"A-01/a bench-record-q2.json": by_the_book(room, "A-01")}, when=60)
    assert room.course.record(NAME, "A-01", Q).read_text() == by_the_book(room, "A-01")


def test_a_record_is_never_written_through_a_link(room: Classroom, tmp_path: Path) -> None:
    """A link in the record's place is replaced, a linked folder refused, and what they point to stays as it was."""
    target, place = tmp_path / "target.json", room.course.record(NAME, "A-01", Q)
    target.write_text("mine")
    place.parent.mkdir(parents=True)
    place.symlink_to(target)
    (tmp_path / "elsewhere").mkdir()
    (room.course.root / "submitted" / "A-02").symlink_to(tmp_path / "elsewhere")
    files: dict[str, str | bytes] = {f"{n}/{RECORD}": by_the_book(room, n) for n in ("A-01", "A-02")}
    result = take(room, tmp_path / "in", files)
    assert target.read_text() == "mine"
    assert not place.is_symlink()
    assert "is a link" in reasons(result)[f"A-02/{RECORD}"]
    assert list((tmp_path / "elsewhere").iterdir()) == []


# Marking -------------------------------------------------------------------------------------------------------------


def test_plain_nbgrader_marks_records_as_the_course_does(room: Classroom, tmp_path: Path) -> None:
    """The same hand-ins give the same gradebook, by ``nbgrader autograde`` and by our own run."""
    for number in ("A-01", "A-02", "A-03"):
        room.hand_in(number)
    beside(room, "A-01", by_the_book(room, "A-01"))
    beside(room, "A-02", by_the_book(room, "A-01"))
    beside(room, "A-04", by_the_book(room, "A-04"))  # without a notebook
    shutil.copytree(room.course.root, tmp_path / "other")
    assert room.mark().count("marked") == 3
    said = nbgrader(tmp_path / "other", "autograde", NAME, "--create")
    assert gradebook_rows(room.course.gradebook) == gradebook_rows(tmp_path / "other" / "gradebook.db"), said
    assert [row(room, number).scores[Q] for number in ("A-01", "A-02", "A-03")] == [20, 0, 0]
    assert (row(room, "A-01").all_cleared, row(room, "A-02").all_cleared) == (True, False)
    assert "another order: another student's" in row(room, "A-02").needs_eyes[0]
    assert f"{RECORD} is not there" in row(room, "A-03").needs_eyes[0]


def changed_reading(text: str) -> str:
    """Say that the display showed something nicer."""
    data = json.loads(text)
    data["done"][-1][2] = "0.000 g"
    return json.dumps(data)


def with_lines(*lines: Any) -> Callable[[str], str]:
    """Put lines of one's own in the place of what was done."""
    return lambda text: json.dumps({**json.loads(text), "done": [*lines]})


LIES: dict[str, tuple[Callable[[str], str | bytes], str]] = {
    "a changed reading": (changed_reading, "says that the display showed"),
    "marks of its own": (lambda text: json.dumps({**json.loads(text), "done": [], "marks": 20, "cleared": True}), ""),
    "far too long": (lambda text: text + " " * LONGEST_RECORD, "far too long"),
    "megabytes": (lambda text: b'"' + b"x" * 5_000_000, "far too long"),
    "deep": (lambda text: "[" * 100_000, "cannot be read"),
    "a giant number": (lambda text: '{"form": ' + "9" * 50_000 + "}", "cannot be read"),
    "not UTF-8": (lambda text: text.encode() + b"\xff\xfe", "not text in UTF-8"),
    "empty": (lambda text: "", "empty"),
    "what cannot be done": (with_lines(["sign", "AB", ""], ["sign", "AB", ""]), "cannot have been done"),
    "no such action": (with_lines(["fly", "", ""]), "there is no action"),
    "signs that no page can hold": (with_lines(["\ud800\x00<script>", "", ""]), "there is no action"),
    "no lines": (with_lines(7, None), "not readable"),
    "another form": (lambda text: text.replace(FORM, "something else"), "no bench record"),
}


def test_lies_gain_nothing_and_are_told(room: Classroom) -> None:
    """A record is replayed, never believed; each lie is one line in the class, and the honest are marked as always."""
    *liars, honest = NUMBERS[: len(LIES) + 1]
    room.hand_in(honest)
    beside(room, honest, by_the_book(room, honest))
    for number, (lie, _) in zip(liars, LIES.values(), strict=True):
        room.hand_in(number)
        beside(room, number, lie(by_the_book(room, number)))
    assert room.mark().count("marked") == len(LIES) + 1
    rows = {row.student.number: row for row in room.picture().rows}
    for number, (what, (_, told)) in zip(liars, LIES.items(), strict=True):
        found = rows[number]
        assert (found.scores, found.all_cleared) == ({"q1": 2, Q: 0}, False), what
        assert told in " ".join(found.needs_eyes), what
    assert rows[honest].scores == {"q1": 2, Q: 20}
    assert "&lt;script&gt;" in room.feedback(liars[list(LIES).index("signs that no page can hold")])


def test_lies_are_told_at_the_take_in_where_they_can_be_seen_there(room: Classroom, tmp_path: Path) -> None:
    """A file that is no record at all is set aside in its student's name; nothing is laid beside the notebook."""
    seen = ("far too long", "megabytes", "deep", "a giant number", "not UTF-8", "empty")
    for place, what in enumerate(seen):
        lie, told = LIES[what]
        result = take(room, tmp_path / f"in{place}", {f"A-01/{RECORD}": lie(by_the_book(room, "A-01"))})
        assert told in reasons(result)[f"A-01/{RECORD}"], what
        assert result.refused[0].number == "A-01"
    assert not room.course.record(NAME, "A-01", Q).exists()


def test_a_link_in_the_place_of_a_record_is_not_followed(room: Classroom, tmp_path: Path) -> None:
    """A hand-in with a link in its folder waits for a person; with a folder in the place the rest is marked."""
    (tmp_path / "real.json").write_text(by_the_book(room, "A-01"))
    for number in ("A-01", "A-02"):
        room.hand_in(number)
    room.course.record(NAME, "A-01", Q).symlink_to(tmp_path / "real.json")
    room.course.record(NAME, "A-02", Q).mkdir()
    assert room.mark().count("marked") == 1
    assert f"{RECORD} in its folder is a link" in row(room, "A-01").needs_eyes[0]
    found = row(room, "A-02")
    assert (found.scores["q1"] > 0, found.scores[Q]) == (True, 0)
    assert "is a link or no file" in found.needs_eyes[0]
    assert read_beside(tmp_path / "nothing", read_issue(room.release)).there is False


def test_a_missing_record_is_a_question_only_where_work_was_done(room: Classroom) -> None:
    """An untouched notebook without a record is no puzzle; one with answers is."""
    room.hand_in("A-01", answers={"q1": ""})
    room.hand_in("A-02")
    room.mark()
    assert (row(room, "A-01").scores[Q], row(room, "A-01").needs_eyes) == (0, [])
    assert "is not there" in row(room, "A-02").needs_eyes[0]
    assert f"The bench record {RECORD} is not there" in room.feedback("A-01")


def test_another_students_number_on_the_sheet_is_compared_with_the_record_too(room: Classroom) -> None:
    """A notebook and a record that were both made for A-02 fit A-02's paper, and earn nothing for A-01."""
    room.hand_in("A-01", answered(room.release, "A-02"))
    beside(room, "A-01", by_the_book(room, "A-02"))
    room.mark()
    found = row(room, "A-01")
    assert found.scores[Q] == 0
    assert "the answers fit the paper of A-02, attempt 1 (22 of 22 marks there)" in found.needs_eyes[0]


def test_where_students_go_on_the_record_of_each_attempt_is_known(room: Classroom, tmp_path: Path) -> None:
    """A record of attempt 2 is laid and counts with the notebook of attempt 2; one of attempt 1 earns nothing then."""
    release, begun = room.course.release(NAME), "version=1"
    release.write_text(release.read_text().replace(begun, f'{begun}, mode=\\"practice\\"'))
    room = room_in(room.course.root)
    assert read_issue(room.release).goes_on
    nb = answered(room.release, "A-01")
    cells_by_id(nb)["student"]["source"] = "%%student\nstudent number = A-01\nattempt = 2"
    files: dict[str, str | bytes] = {
        "A-01.ipynb": json.dumps(nb),
        f"A-01/{RECORD}": by_the_book(room, "A-01", 2),
    }
    folder = foldered(tmp_path / "in", files)
    take(room, folder, {"A-01/bench-record-q2-before-1.json": by_the_book(room, "A-01", 1)}, when=60)
    room.mark()
    assert row(room, "A-01").scores[Q] == 20
    take(room, tmp_path / "again", {f"A-01/{RECORD}": by_the_book(room, "A-01", 1)})
    room.mark()
    assert row(room, "A-01").scores[Q] == 0
    assert "another student's, attempt's or task's" in " ".join(row(room, "A-01").needs_eyes)


def test_a_mark_given_by_hand_stays_and_its_reason_is_read(room: Classroom) -> None:
    """It asks for a second look when the record changes, and not before."""
    room.hand_in("A-01")
    beside(room, "A-01", by_the_book(room, "A-02"))
    room.mark()
    change_mark(room.course, NAME, "A-01", Q, 12, reason="Watched it myself <b>", by="MK")
    assert "Watched it myself &lt;b&gt;" in room.feedback("A-01")
    room.mark(again=True)
    assert (row(room, "A-01").scores[Q], row(room, "A-01").to_mark) == (12, [])
    order = task_of(room, "A-01").drawn.order
    assert order is not None
    beside(room, "A-01", record_text(Session(order)))
    room.mark()
    assert (row(room, "A-01").scores[Q], row(room, "A-01").to_mark) == (12, [Q])


# Told ----------------------------------------------------------------------------------------------------------------


def test_the_feedback_page_lists_what_was_done(room: Classroom) -> None:
    """Folded, line by line, with what the display showed; a student's own words stand there as plain text."""
    order = task_of(room, "A-01").drawn.order
    assert order is not None
    session = Session(order)
    session.act("use balance", order.balances[0].name)
    session.act("switch on")
    session.act("write", "lot = <script>alert(1)</script> \ud800")
    session.act("sign", "MK")
    room.hand_in("A-01")
    beside(room, "A-01", record_text(session))
    room.mark()
    page = room.feedback("A-01")
    assert "The record of the bench: 4 actions, signed MK." in page
    assert "<details" in page
    for moment in session.moments[:2]:
        assert f"<td>{moment.event.action}</td>" in page
        assert f"<td>{moment.shown.text or 'off'}</td>" in page
    assert "<script>" not in page
    assert "lot = &lt;script&gt;alert(1)&lt;/script&gt;" in page
    assert "Not yet right at the simulated bench" in page
    assert "never counts as an observed one" in page


def test_report_and_mark_sheet_say_that_the_bench_is_simulated(room: Classroom) -> None:
    """Wherever its marks stand; what was never reached is not counted as a mistake of its own."""
    room.hand_in("A-01")
    beside(room, "A-01", by_the_book(room, "A-01"))
    order = task_of(room, "A-02").drawn.order
    assert order is not None
    room.hand_in("A-02")
    beside(room, "A-02", record_text(FAULTS["stopped wrongly"](order)))
    room.mark()
    report, sheet = write_all(room.course, room.picture())
    text = report.read_text()
    assert "q2 (simulated) of 20" in text
    assert "It never counts as an observed weighing." in text
    assert next(csv.reader(sheet.read_text(encoding="utf-8-sig").splitlines()))[3:5] == ["q1", "q2 (simulated)"]
    assert row(room, "A-02").mistakes[Q] == ["outcome-stopped-hazardous-drug"]


def test_scripts_side_by_side_show_what_the_bench_record_was_found_to_hold(room: Classroom) -> None:
    """Each step with its finding, how long the record is, and that it is simulated."""
    room.hand_in("A-01")
    beside(room, "A-01", by_the_book(room, "A-01"))
    room.hand_in("A-02")
    room.mark()
    path, _ = write_scripts(room.course, room.picture())
    text = " ".join(path.read_text(encoding="utf-8").split())
    assert "It never counts as an observed weighing." in text
    for finding in task_of(room, "A-01").asked:
        assert f'<p class="label">{finding.said} <span class="tag">{finding.marks} of {finding.marks}</span>' in text
    assert "actions, signed" in text
    assert f"the bench record {RECORD} is not there" in text


def test_a_simulated_weighing_ticks_nothing_on_the_sign_off_list(room: Classroom) -> None:
    """It may stand in the way of going to the balance; it never takes anybody there by itself."""
    student = Student("A-01", "Surname", "Given")
    alone = Row(student, MARKED, cleared={Q: True}, simulated={Q})
    assert not alone.all_cleared
    assert Row(student, MARKED, cleared={"q1": True, Q: True}, simulated={Q}).all_cleared
    assert not Row(student, MARKED, cleared={"q1": True, Q: False}, simulated={Q}).all_cleared
    issue = read_issue(room.release)
    page = sign_off_list(issue, Roster((student,)), {"A-01": True})
    assert page.count('<td class="tick-here"><span class="box"') == 5
    assert "a good one ticks nothing on this page" in page
    assert "ticks nothing" not in sign_off_list(replace(issue, tasks=issue.tasks[:1]), Roster((student,)))


def test_on_paper_a_task_at_the_bench_is_its_order_and_no_more(room: Classroom) -> None:
    """No place for answers, and no weighing record that could be taken for an observed one; the key says it too."""
    issue, roster = read_issue(room.release), Roster((Student("A-01", "Surname", "Given"),))
    bench_only = replace(issue, tasks=issue.tasks[1:])
    page, task = student_sheets(bench_only, roster), task_of(room, "A-01")
    assert task.drawn.words["product"] in page
    assert "Done at the simulated bench, not on paper." in page
    for words in ('<table class="answers">', "Working", "Weighing record", "Tick one box"):
        assert words not in page
    key = instructor_key(bench_only, roster)
    assert task.drawn.order is not None
    assert task.drawn.order.right_jar is not None
    assert f"Right jar: {task.drawn.order.right_jar.letter}" in key
    assert "Done at the simulated bench" in key
    assert "How closely" not in key


# The demo class ------------------------------------------------------------------------------------------------------


def test_the_demo_class_can_work_at_the_bench(tmp_path: Path) -> None:
    """Each way of working hands in its record, each fault loses marks, and what is found fits what was done."""
    root = write_course(tmp_path / "course", NAME, FAMILIES, [s.number for s in ROSTER], by_hand=False)
    course = Course.open(root)
    issue_assignment(course, NAME, ROSTER)
    room = Classroom(course, ROSTER, json.loads(course.release(NAME).read_text()))
    parcel = write_parcel(room.release, tmp_path / "a.zip")
    with zipfile.ZipFile(parcel) as archive:
        names = [name for name in archive.namelist() if name.endswith(".json")]
    assert len(names) == 21  # all but those without a file, with an empty one, and the one who forgets it
    result = take_in(course, NAME, parcel, ROSTER)
    assert len(result.records) == 20
    (strange,) = (entry for entry in result.refused if entry.record)
    assert "HH-01's (q2)" in strange.reason
    room.mark()
    by_way = {member.way: row for member in MEMBERS for row in room.picture().rows if row.student == member.student}
    assert set(by_way) == set(WAYS)
    assert by_way["careful"].scores[Q] == by_way["left a loop running"].scores[Q] == 20
    for way in ("careless", "stops half-way", "writes without units"):
        assert by_way[way].scores[Q] < 20, way


@pytest.mark.parametrize(
    ("fault", "found"),
    [
        ("not level", "level-not-level"),
        ("not tared", "tare-not-tared"),
        ("wrong jar", "product-"),
        ("read too soon", "reading-read-too-soon"),
        ("stopped wrongly", "outcome-stopped"),
    ],
)
def test_a_fault_of_the_demo_class_is_found_by_its_name(room: Classroom, fault: str, found: str) -> None:
    """In the record of some student of the class, where the work went far enough."""
    marks = []
    for number in NUMBERS:
        task = task_of(room, number)
        assert task.drawn.order is not None
        marks.append(mark_task(task, record_text(FAULTS[fault](task.drawn.order))))
    assert all(mark.marks < mark.out_of for mark in marks)
    assert any(verdict.mistake_id.startswith(found) for mark in marks for verdict in mark.verdicts)
    assert bench_record(MEMBERS[0], task_of(room, "A-01"), read_issue(room.release)) == by_the_book(room, "A-01")
