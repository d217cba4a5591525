"""Deadlines: until when, for whom longer, and what handing in late costs."""

import json
import os
import shutil
import sqlite3
import struct
import time
import zipfile
from contextlib import closing
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.__main__ import run as command
from pharmcalc.answers import answer_body
from pharmcalc.classroom.cells import cells_by_id, source_of
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.handed_in.inbox import set_aside, stamp
from pharmcalc.classroom.handed_in.parcels import open_parcel
from pharmcalc.classroom.handed_in.submitted import check_folder, time_of
from pharmcalc.classroom.handed_in.takein import take_in
from pharmcalc.classroom.issuing.deadlines import Deadlines, read_deadlines, read_moment, set_deadline
from pharmcalc.classroom.issuing.issue import issue_assignment
from pharmcalc.classroom.issuing.release import HOUSE_RULES
from pharmcalc.classroom.results.picture import Row
from pharmcalc.classroom.roster import Student
from pharmcalc.errors import CourseError, PharmcalcError
from pharmcalc.tasks.house import default_house_rules_text, read_house_rules
from pharmcalc.tasks.late import LateRule
from pharmcalc.units import quantity
from tests.classroom.building import answered, gradebook_rows, nbgrader
from tests.classroom.conftest import NAME, Classroom

LONGER = ("2 days", "36 hours")
DUE = datetime(2026, 3, 2, 12, tzinfo=UTC)
RULES = default_house_rules_text().replace('late-penalty-per-day = "0 %"', 'late-penalty-per-day = "10 %"')
RULES = RULES.replace('late-days-at-most = "none"', "late-days-at-most = 3")


@pytest.fixture
def strict(classroom: Classroom) -> Classroom:
    """A course in which each day late costs a tenth, and nothing counts after three."""
    (classroom.course.root / HOUSE_RULES).write_text(RULES, encoding="utf-8")
    issue_assignment(classroom.course, NAME, classroom.roster, again=True)
    return Classroom.at(classroom.course.root)


def handed_in(room: Classroom, number: str, late: timedelta) -> None:
    """Hand right answers in, so long after the deadline."""
    stamp(room.hand_in(number).parent, DUE + late)


def row(room: Classroom, number: str) -> Row:
    """Return a student's row of the class picture."""
    return next(row for row in room.picture().rows if row.student.number == number)


def test_each_day_begun_costs_its_share(strict: Classroom) -> None:
    """In time costs nothing, a minute late a tenth, a day and an hour two tenths, four days everything."""
    set_deadline(strict.course, NAME, DUE, strict.roster)
    lates = {"A-01": timedelta(0), "A-02": timedelta(minutes=1), "A-03": timedelta(hours=25), "A-04": timedelta(days=4)}
    for number, late in lates.items():
        handed_in(strict, number, late)
    strict.mark()
    full = sum(row(strict, "A-01").scores.values())
    lost = {number: row(strict, number).penalty for number in lates}
    assert lost == pytest.approx({"A-01": 0, "A-02": full / 10, "A-03": full / 5, "A-04": full})
    assert "handed in 1 day 1 hour late" in " ".join(row(strict, "A-03").notes)
    assert "late" not in " ".join(row(strict, "A-01").notes)


@pytest.fixture
def some_have_longer(strict: Classroom) -> Classroom:
    """All three handed in 20 hours late: A-01 has a deadline of their own, A-02 two days more by the class list."""
    text = strict.course.class_list.read_text(encoding="utf-8").splitlines()
    lines = [f"{text[0]},extension", *(f"{line},{'2 days' if line.startswith('A-02') else ''}" for line in text[1:])]
    strict.course.class_list.write_text("\n".join(lines), encoding="utf-8")
    room = Classroom.at(strict.course.root)
    set_deadline(room.course, NAME, DUE, room.roster)
    set_deadline(room.course, NAME, DUE + timedelta(days=1), room.roster, "a-01")
    for number in ("A-01", "A-02", "A-03"):
        handed_in(room, number, timedelta(hours=20))
    return room


def test_whoever_has_longer_loses_nothing(some_have_longer: Classroom) -> None:
    """A deadline of one's own and an extension in the class list both count; the others' deadline stays."""
    room = some_have_longer
    room.mark()
    assert [bool(row(room, number).penalty) for number in ("A-01", "A-02", "A-03")] == [False, False, True]
    with gradebook(room.course) as book:  # where nbgrader's own tools look
        assert book.find_assignment(NAME).duedate == DUE.replace(tzinfo=None)
        assert book.find_submission(NAME, "A-02").extension == timedelta(days=2)


def test_a_deadline_that_moves_is_marked_anew_by_itself(strict: Classroom) -> None:
    """Moved, given to one student, or taken back: the next run puts the penalty right and nothing else."""
    handed_in(strict, "A-01", timedelta(hours=1))
    handed_in(strict, "A-02", timedelta(hours=-1))
    set_deadline(strict.course, NAME, DUE, strict.roster)
    strict.mark()
    assert row(strict, "A-01").penalty > 0
    set_deadline(strict.course, NAME, DUE + timedelta(hours=2), strict.roster, "A-01")
    run = strict.mark()
    assert {o.number: o.state for o in run.outcomes} == {"A-01": "marked", "A-02": "unchanged"}
    assert row(strict, "A-01").penalty == 0
    set_deadline(strict.course, NAME, DUE - timedelta(hours=2), strict.roster)
    assert strict.mark().count("marked") == 2
    assert row(strict, "A-02").penalty > 0
    set_deadline(strict.course, NAME, None, strict.roster)
    strict.mark()
    assert row(strict, "A-02").penalty == 0


def test_plain_nbgrader_takes_the_same_marks_off(strict: Classroom) -> None:
    """nbgrader's own command asks the same house rules."""
    set_deadline(strict.course, NAME, DUE, strict.roster)
    for hours, number in enumerate(("A-01", "A-02", "A-03")):
        handed_in(strict, number, timedelta(hours=30 * hours - 10))
    strict.mark()
    ours = gradebook_rows(strict.course.gradebook)
    said = nbgrader(strict.course.root, "autograde", NAME, "--force")
    assert gradebook_rows(strict.course.gradebook) == ours, said
    assert "Handing in late" in strict.feedback("A-02"), "the paper's rules say it"


def test_plain_nbgrader_gives_more_time_already_when_it_marks_first(some_have_longer: Classroom) -> None:
    """It learns the due date, one's own deadline and the extensions of the class list without a run of ours before."""
    room = some_have_longer
    said = nbgrader(room.course.root, "autograde", NAME)
    penalties = {number: row(room, number).penalty for number in ("A-01", "A-02", "A-03")}
    assert (penalties["A-01"], penalties["A-02"]) == (0, 0), said
    assert penalties["A-03"] == pytest.approx(sum(row(room, "A-03").scores.values()) / 10)
    theirs = gradebook_rows(room.course.gradebook)
    room.mark()
    assert gradebook_rows(room.course.gradebook) == theirs


@pytest.fixture
def set_in_nbgrader(strict: Classroom) -> Classroom:
    """Where the list says nothing, and the due date was set in nbgrader's own pages."""
    with gradebook(strict.course) as book:
        book.find_assignment(NAME).duedate = DUE.replace(tzinfo=None)
        book.db.commit()
    return strict


def test_a_due_date_set_in_nbgraders_own_pages_stays(set_in_nbgrader: Classroom) -> None:
    """It is the deadline until the list has one, or takes it back."""
    room = set_in_nbgrader
    handed_in(room, "A-01", timedelta(hours=1))
    room.mark()
    assert row(room, "A-01").penalty > 0
    assert read_deadlines(room.course, NAME) == Deadlines(DUE)
    set_deadline(room.course, NAME, None, room.roster)
    assert read_deadlines(room.course, NAME) == Deadlines(set=True)


def test_a_due_date_of_nbgraders_chooses_the_hand_in(set_in_nbgrader: Classroom, tmp_path: Path) -> None:
    """The last before it counts, as it would by the list."""
    room = set_in_nbgrader
    files = {"A-01.ipynb": ("last", timedelta(hours=-1)), "A-01 (1).ipynb": ("late", timedelta(hours=5))}
    take_in(room.course, NAME, parcel(room, tmp_path / "in", files), room.roster)
    assert counts(room) == "last"


def test_a_gradebook_in_use_is_said_where_its_due_date_is_asked(set_in_nbgrader: Classroom) -> None:
    """To take no due date for granted would let the wrong hand-in count."""
    course = set_in_nbgrader.course
    with closing(sqlite3.connect(course.gradebook, timeout=0, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(CourseError, match="in use by another program"):
            read_deadlines(course, NAME)
    course.gradebook.write_bytes(b"no database at all" * 100)
    with pytest.raises(CourseError, match="cannot be read"):
        read_deadlines(course, NAME)


def test_by_default_lateness_is_told_and_costs_nothing(classroom: Classroom) -> None:
    """Without a rule a late hand-in keeps all its marks, and the picture says how late it was."""
    set_deadline(classroom.course, NAME, DUE, classroom.roster)
    handed_in(classroom, "A-01", timedelta(hours=3))
    classroom.mark()
    assert row(classroom, "A-01").penalty == 0
    assert "handed in 3 hours late" in row(classroom, "A-01").notes


def test_a_deadline_is_set_by_one_short_command(strict: Classroom, capsys: pytest.CaptureFixture[str]) -> None:
    """Set for all, for one, asked for, taken back; each time the deadlines that stand are told."""
    folder = ["--course", str(strict.course.root)]
    assert command([*folder, "due", NAME, "2026-12-04 18:00"]) == 0
    assert "to be handed in by Friday 2026-12-04 18:00" in capsys.readouterr().out
    assert command([*folder, "due", NAME, "2026-12-07", "--student", "a-03"]) == 0
    assert "A-03 SurnameA-03, GivenA-03: by Monday 2026-12-07 23:59" in capsys.readouterr().out
    assert command([*folder, "due", NAME]) == 0
    assert capsys.readouterr().out.count("by ") == 2
    assert command([*folder, "due", NAME, "none"]) == 0
    assert "no deadline for everybody" in capsys.readouterr().out
    kept = (strict.course.root / "deadlines.csv").read_text(encoding="utf-8")
    assert len(kept.splitlines()) == 4, "a header and three lines; nothing is overwritten"


def test_an_own_deadline_alone_is_told_to_cost_nothing(strict: Classroom, capsys: pytest.CaptureFixture[str]) -> None:
    """nbgrader knows a longer time only as longer than everybody's."""
    command(["--course", str(strict.course.root), "due", NAME, "2026-12-07", "--student", "A-03"])
    told = capsys.readouterr().out
    assert "no deadline for everybody" in told
    assert "nothing is marked as late" in told


def test_the_end_of_a_day_is_its_last_second(classroom: Classroom) -> None:
    """Handed in half a minute before midnight is in time."""
    set_deadline(classroom.course, NAME, read_moment("2026-12-07"), classroom.roster)
    until = read_deadlines(classroom.course, NAME).everybody
    assert until is not None
    assert until.astimezone().strftime("%d %H:%M:%S") == "07 23:59:59"


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="the time zone cannot be set for a test")
def test_days_longer_end_at_the_same_time_by_the_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two days more over the night in which the clocks go back are 49 hours; 36 hours more are 36 hours."""
    monkeypatch.setenv("TZ", "CET-1CEST,M3.5.0,M10.5.0/3")
    time.tzset()
    try:
        due = datetime(2026, 10, 24, 16, tzinfo=UTC)  # 18:00 by the clock
        two_days, hours = (Student("A-01", "S", "G", arrangements=(("extension", said),)) for said in LONGER)
        until = Deadlines(due).of(two_days)
        assert until is not None
        assert until.astimezone().strftime("%d %H:%M") == "26 18:00"
        assert until - due == timedelta(hours=49)
        assert Deadlines(due).of(hours) == due + timedelta(hours=36)
    finally:
        monkeypatch.undo()
        time.tzset()


@pytest.mark.parametrize("typed", ["tomorrow", "2026-13-01", "4.12.2026", "2026-12-04 25:00", ""])
def test_what_is_no_moment_is_asked_back(typed: str) -> None:
    """The message shows what was read and how to write it."""
    with pytest.raises(CourseError, match=r"no date and time\. Write, for example, 2026-12-04 18:00"):
        read_moment(typed)


def test_a_stranger_gets_no_deadline(classroom: Classroom) -> None:
    """A number that is not on the class list is refused, and nothing is written."""
    with pytest.raises(CourseError, match="not on the class list"):
        set_deadline(classroom.course, NAME, DUE, classroom.roster, "X-99")
    assert read_deadlines(classroom.course, NAME) == Deadlines()


def test_a_line_cut_off_by_a_crash_is_passed_over(classroom: Classroom) -> None:
    """The list is read without it, and the next line does not grow onto it."""
    set_deadline(classroom.course, NAME, DUE, classroom.roster)
    with (classroom.course.root / "deadlines.csv").open("a", encoding="utf-8") as file:
        file.write(f"2026-03-01 10:00:00,{NAME},,2026-03-")
    assert read_deadlines(classroom.course, NAME).everybody == DUE
    set_deadline(classroom.course, NAME, DUE + timedelta(days=1), classroom.roster)
    assert read_deadlines(classroom.course, NAME).everybody == DUE + timedelta(days=1)


@given(st.integers(0, 100), st.one_of(st.none(), st.integers(0, 100)), st.integers(-100, 10**8), st.integers(0, 10**7))
def test_later_never_costs_less(per_day: int, days: int | None, seconds: int, more: int) -> None:
    """The share lost lies between nothing and everything, grows with time, and is nothing in time."""
    rule = LateRule(quantity(per_day, "percent"), days)
    assert 0 <= rule.lost(seconds) <= rule.lost(seconds + more) <= 1
    assert rule.lost(min(seconds, 0)) == 0
    if days is None and 0 < seconds <= 86400:
        assert rule.lost(seconds) == Fraction(per_day, 100)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ('late-penalty-per-day = "120 %"', "Write a percentage up to"),
        ("late-penalty-per-day = 10", "Write a number and a unit"),
        ('late-days-at-most = "two"', "Write a whole number from 0 to 100"),
    ],
)
def test_a_rule_that_cannot_be_is_refused(line: str, told: str) -> None:
    """The message says what may stand there."""
    key = line.partition(" ")[0]
    lines = [line if old.startswith(key) else old for old in default_house_rules_text().splitlines()]
    with pytest.raises(PharmcalcError, match=told):
        read_house_rules("\n".join(lines))


def test_house_rules_of_an_older_release_cost_nothing() -> None:
    """A paper that was issued before there were these rules is marked as it was."""
    lines = [line for line in default_house_rules_text().splitlines() if not line.startswith("late-")]
    house = read_house_rules("\n".join(lines))
    assert not house.late.costs
    assert "Handing in late" not in dict(house.summary())


def test_a_students_deadline_is_their_own_first() -> None:
    """One's own goes before everybody's, and everybody's is moved by what the class list says."""
    plain = Student("A-01", "Brook", "Ines")
    longer = Student("A-02", "Marsh", "Ola", arrangements=(("extension", "1 week"),))
    deadlines = Deadlines(DUE, {"A-01": DUE - timedelta(days=1)}, set=True)
    assert deadlines.of(plain) == DUE - timedelta(days=1)
    assert deadlines.of(longer) == DUE + timedelta(weeks=1)
    assert Deadlines().of(longer) is None


@pytest.mark.parametrize("zone", [" UTC", "Z", " gmt", "", "+0100", "-05:00"])
def test_a_time_written_by_hand_is_read_as_it_is_meant(classroom: Classroom, zone: str) -> None:
    """A time without a zone is in UTC, as nbgrader takes it."""
    folder = classroom.hand_in("A-01").parent
    (folder / "timestamp.txt").write_text(f"2026-03-02 12:00:00{zone}\n", encoding="utf-8")
    check_folder(folder)
    offset = {"+0100": timedelta(hours=1), "-05:00": timedelta(hours=-5)}.get(zone, timedelta(0))
    assert time_of(folder) == (DUE - offset).replace(tzinfo=None)


@pytest.mark.parametrize("zone", [" +0100", " -05:00", " PST", " EASTX", "MSK"])
def test_a_time_of_an_unknown_zone_is_asked_back(classroom: Classroom, zone: str) -> None:
    """nbgrader would take it for UTC, hours from what was meant."""
    folder = classroom.hand_in("A-01").parent
    (folder / "timestamp.txt").write_text(f"2026-03-02 12:00:00{zone}", encoding="utf-8")
    for reads in (check_folder, time_of):
        with pytest.raises(CourseError, match=r"how far from UTC it is; write one there, such as"):
            reads(folder)


# Several hand-ins ----------------------------------------------------------------------------------------------------


def parcel(room: Classroom, folder: Path, files: dict[str, tuple[str, timedelta]]) -> Path:
    """Write a folder of notebooks of A-01: name -> the answer to q1, and how long after the deadline it was saved."""
    folder.mkdir()
    for name, (answer, late) in files.items():
        path = folder / name
        path.write_text(json.dumps(answered(room.release, "A-01", {"q1": answer})), encoding="utf-8")
        os.utime(path, ((DUE + late).timestamp(),) * 2)
    return folder


def counts(room: Classroom) -> str:
    """Return the answer to q1 in the hand-in of A-01 that counts."""
    nb = json.loads(room.course.submitted(NAME, "A-01").read_text(encoding="utf-8"))
    return answer_body(source_of(cells_by_id(nb)["answer-q1"])).strip()


EARLY, LAST, LATE, LATER = ("early", -9), ("last", -1), ("late", 5), ("later", 9)


@pytest.mark.parametrize("order", list(permutations([EARLY, LAST, LATE, LATER])))
def test_the_last_before_the_deadline_counts_in_whatever_order_they_come(
    classroom: Classroom, tmp_path: Path, order: list[tuple[str, int]]
) -> None:
    """Of four hand-ins the last in time counts, all are kept, and the others are told with their reasons."""
    set_deadline(classroom.course, NAME, DUE, classroom.roster)
    reasons = []
    for place, (answer, hours) in enumerate(order):
        made = parcel(classroom, tmp_path / str(place), {"A-01.ipynb": (answer, timedelta(hours=hours))})
        reasons += [entry.reason for entry in take_in(classroom.course, NAME, made, classroom.roster).refused]
    assert counts(classroom) == "last"
    kept = list(classroom.course.received(NAME).rglob("*.ipynb"))
    assert len(kept) == 4
    assert len(set_aside(classroom.course, NAME)) == len(reasons)
    for reason in reasons:
        assert "A-01" in reason
        assert "counts" in reason


def test_when_all_are_late_the_newest_counts(classroom: Classroom, tmp_path: Path) -> None:
    """A late hand-in is better than none."""
    set_deadline(classroom.course, NAME, DUE, classroom.roster)
    files = {"A-01.ipynb": ("late", timedelta(hours=5)), "A-01 (1).ipynb": ("later", timedelta(hours=9))}
    result = take_in(classroom.course, NAME, parcel(classroom, tmp_path / "in", files), classroom.roster)
    assert counts(classroom) == "later"
    assert "an earlier notebook of A-01" in result.refused[0].reason


def test_when_the_deadline_moves_the_choice_is_made_anew(
    classroom: Classroom, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """More time for one student: the later hand-in counts, and it is said. The time stamp goes with it."""
    set_deadline(classroom.course, NAME, DUE, classroom.roster)
    files = {"A-01.ipynb": ("last", timedelta(hours=-1)), "A-01 (1).ipynb": ("late", timedelta(hours=5))}
    result = take_in(classroom.course, NAME, parcel(classroom, tmp_path / "in", files), classroom.roster)
    assert counts(classroom) == "last"
    assert "5 hours after the deadline" in result.refused[0].reason
    until = f"{(DUE + timedelta(hours=6)).astimezone():%Y-%m-%d %H:%M}"
    assert command(["--course", str(classroom.course.root), "due", NAME, until, "--student", "A-01"]) == 0
    assert "another hand-in counts of: A-01" in capsys.readouterr().out
    assert counts(classroom) == "late"
    assert time_of(classroom.course.submitted(NAME, "A-01").parent) == (DUE + timedelta(hours=5)).replace(tzinfo=None)
    classroom.mark()
    assert row(classroom, "A-01").penalty == 0
    assert command(["--course", str(classroom.course.root), "due", NAME, until, "--student", "A-01"]) == 0
    assert "another hand-in" not in capsys.readouterr().out


def test_the_same_file_taken_in_later_does_not_become_late(classroom: Classroom, tmp_path: Path) -> None:
    """What came in time and is loaded once more keeps the time at which it first came."""
    set_deadline(classroom.course, NAME, DUE, classroom.roster)
    for place, hours in enumerate((-1, 30)):
        made = parcel(classroom, tmp_path / str(place), {"A-01.ipynb": ("same", timedelta(hours=hours))})
        result = take_in(classroom.course, NAME, made, classroom.roster)
    assert len(result.unchanged) == 1
    assert time_of(classroom.course.submitted(NAME, "A-01").parent) == (DUE - timedelta(hours=1)).replace(tzinfo=None)


def test_an_earlier_hand_in_that_was_lost_comes_back(classroom: Classroom, tmp_path: Path) -> None:
    """A folder in submitted/ that was removed by mistake is laid again from what was received."""
    made = parcel(classroom, tmp_path / "in", {"A-01.ipynb": ("mine", timedelta(0))})
    take_in(classroom.course, NAME, made, classroom.roster)
    shutil.rmtree(classroom.course.submitted(NAME, "A-01").parent)
    assert len(take_in(classroom.course, NAME, made, classroom.roster).taken) == 1
    assert counts(classroom) == "mine"


def test_a_zip_says_when_a_file_was_saved(tmp_path: Path) -> None:
    """The exact time in a zip goes before the one without a time zone."""
    plain, exact = zipfile.ZipInfo("A-01.ipynb", (2026, 3, 2, 8, 30, 0)), zipfile.ZipInfo("A-02.ipynb")
    exact.extra = struct.pack("<HHBi", 0x5455, 5, 1, int(DUE.timestamp()))
    with zipfile.ZipFile(tmp_path / "in.zip", "w") as archive:
        for one in (plain, exact):
            archive.writestr(one, "{}")
    first, second = open_parcel(tmp_path / "in.zip")
    assert first.when == datetime(2026, 3, 2, 8, 30).astimezone(UTC)
    assert second.when == DUE
