"""The competency record of the term: what was observed and what the marking knows, on pages, as a sheet, by desk."""

import csv
import json
import shutil
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from pharmcalc.bench import record_text
from pharmcalc.bench.inspection import STEPS
from pharmcalc.caution import CAUTION
from pharmcalc.classroom.competency import (
    LIST,
    NEVER_COUNTS,
    Competency,
    StudentRecord,
    observe,
    student_page,
    term_record,
    write_record,
)
from pharmcalc.classroom.competency.entries import HOW, SIMULATED
from pharmcalc.classroom.competency.known import STEPS_OF
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.demo.demo_bench import FAULTS, half_done
from pharmcalc.classroom.drawers.desk_view import open_desk
from pharmcalc.classroom.issuing.issue import issue_assignment
from pharmcalc.classroom.results.attempts import read_attempts
from pharmcalc.classroom.roster import read_roster
from pharmcalc.tasks.papers import read_issue
from tests.classroom.building import write_course
from tests.classroom.conftest import NAME, Classroom
from tests.classroom.test_commands import failed, said
from tests.classroom.test_desk import HOSTILE, html_of, opened, press

if TYPE_CHECKING:
    from playwright.sync_api import Page

NUMBERS = tuple(f"A-{n:02}" for n in range(1, 6))
DAY = "2026-01-20"


@pytest.fixture(scope="module")
def issued(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Issue an assignment with a calculation and a task at the simulated bench."""
    families = ("least-weighable-quantity", "bench-weighing")
    root = write_course(tmp_path_factory.mktemp("record") / "issued", NAME, families, NUMBERS, by_hand=False)
    issue_assignment(Course.open(root), NAME, read_roster(root / "class.csv"))
    return root


@pytest.fixture(scope="module")
def marked(issued: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same, with four hand-ins marked: by the book, not tared, half done, and a calculation left out."""
    root = tmp_path_factory.mktemp("marked") / "course"
    shutil.copytree(issued, root)
    room = room_in(root)
    for number in NUMBERS[:4]:
        room.hand_in(number, answers={"q1": ""} if number == "A-04" else {})
        task = read_issue(room.release).paper(number).task("q2")
        order = task.drawn.order
        assert order is not None
        ways = {"A-02": FAULTS["not tared"], "A-03": half_done}
        text = record_text(ways[number](order)) if number in ways else task.answer_lines()
        room.course.record(NAME, number, "q2").write_text(text, encoding="utf-8")
    assert room.mark().count("marked") == 4
    return root


@pytest.fixture
def room(marked: Path, tmp_path: Path) -> Classroom:
    """Give a test its own copy."""
    shutil.copytree(marked, tmp_path / "course")
    return room_in(tmp_path / "course")


def room_in(root: Path) -> Classroom:
    """Return the classroom in a course folder."""
    course = Course.open(root)
    return Classroom(course, read_roster(course.class_list), json.loads(course.release(NAME).read_text("utf-8")))


def see(room: Classroom, numbers: str, what: str, level: str, **options: Any) -> None:
    """Write an observation down."""
    options = {"by": "R. Okafor", "on": DAY, **options}
    observe(room.course, room.roster, numbers.split(","), what, level, **options)


def record(room: Classroom, number: str) -> StudentRecord:
    """Return a student's record."""
    student = room.roster.find(number)
    assert student is not None
    return term_record(room.course, room.roster).of(student)


def notes(found: StudentRecord) -> dict[str, str]:
    """Return what was practised at the simulated bench, by competency."""
    return {one.competency.value: one.note for one in found.entries if one.how == SIMULATED}


# What the marking knows ----------------------------------------------------------------------------------------------


def test_every_step_of_the_bench_practises_one_competency() -> None:
    """No step is forgotten, and none is counted twice."""
    steps = [step for steps in STEPS_OF.values() for step in steps]
    assert sorted(steps) == sorted(step.name for step in STEPS)


def test_a_bench_record_shows_what_was_practised_and_ticks_nothing(room: Classroom) -> None:
    """By the book, every step is done well; and nothing is observed by it."""
    found = record(room, "A-01")
    assert notes(found) == {
        "set-up and tare": "week-1 q2: 6 of 6 steps done well",
        "direct weighing": "week-1 q2: 7 of 7 steps done well",
        "record": "week-1 q2: 1 of 1 steps done well",
        "second check received": "week-1 q2: 1 of 1 steps done well",
    }
    assert found.held == {}
    for competency in list(Competency)[1:]:
        assert found.stands(competency) == "not observed"
    simulated = next(one for one in found.entries if one.how == SIMULATED)
    assert (simulated.entry, simulated.attempt, simulated.by) == (0, 1, "marking")
    assert "SIMULATED: practice only, ticks nothing · practised, no level" in simulated.says()
    assert (
        simulated.on
        == json.loads((room.course.autograded(NAME, "A-01").parent / "marked.json").read_text())["when"].partition(" ")[
            0
        ]
    )


def test_what_was_not_done_well_at_the_bench_is_named(room: Classroom) -> None:
    """And where no step was done, nothing was practised."""
    assert notes(record(room, "A-02"))["set-up and tare"] == "week-1 q2: 5 of 6 steps done well; not: tare (not tared)"
    half = notes(record(room, "A-03"))
    assert sorted(half) == ["direct weighing", "set-up and tare"]
    assert "go ahead or stop (not finished)" in half["direct weighing"]
    assert half["direct weighing"].endswith("; not reached: amount")
    assert notes(record(room, "A-05")) == {}


def test_to_stop_rightly_is_no_weighing(room: Classroom) -> None:
    """Where nothing may be weighed and the student stops, neither set-up nor weighing was practised."""
    root = write_course(room.course.root.parent / "other", NAME, ("bench-doubtful",), NUMBERS, by_hand=False)
    course = Course.open(root)
    issue_assignment(course, NAME, read_roster(root / "class.csv"))
    doubtful = room_in(root)
    tasks = {number: read_issue(doubtful.release).paper(number).task("q1") for number in NUMBERS}
    halting = {number for number, task in tasks.items() if task.drawn.order is not None and task.drawn.order.halts}
    assert 0 < len(halting) < len(NUMBERS)
    for number, task in tasks.items():
        doubtful.hand_in(number)
        course.record(NAME, number, "q1").write_text(task.answer_lines(), encoding="utf-8")
    assert doubtful.mark().count("marked") == len(NUMBERS)
    assert {number for number in NUMBERS if not notes(record(doubtful, number))} == halting


def test_a_bench_alone_clears_no_calculation(issued: Path, tmp_path: Path) -> None:
    """An assignment with nothing but the simulated bench is marked and cleared, and is no calculation all the same."""
    root = write_course(tmp_path / "bench", NAME, ("bench-weighing",), ("A-01",), by_hand=False)
    issue_assignment(Course.open(root), NAME, read_roster(root / "class.csv"))
    room = room_in(root)
    room.hand_in("A-01")
    text = read_issue(room.release).paper("A-01").task("q1").answer_lines()
    room.course.record(NAME, "A-01", "q1").write_text(text, encoding="utf-8")
    room.mark()
    assert [one.cleared for one in read_attempts(room.course, NAME)["A-01"]] == ["yes"]
    found = record(room, "A-01")
    assert found.of(Competency.CALCULATION) == []
    assert found.stands(Competency.CALCULATION) == "none marked"


def test_a_calculation_is_cleared_by_the_marking(room: Classroom) -> None:
    """It is neither observed nor simulated, and where the simulated bench may hold it back that is said."""
    (entry,) = record(room, "A-01").of(Competency.CALCULATION)
    assert "marked calculation: neither observed nor simulated · cleared · marking: week-1: 22 of 22" in entry.says()
    assert record(room, "A-01").stands(Competency.CALCULATION) == "1 of 1 assignments cleared"
    (entry,) = record(room, "A-04").of(Competency.CALCULATION)
    assert entry.note == "week-1: 20 of 22 marks; its tasks at the simulated bench (q2) may hold this back"
    assert record(room, "A-04").stands(Competency.CALCULATION) == "0 of 1 assignments cleared"
    assert record(room, "A-05").stands(Competency.CALCULATION) == "none marked"
    see(room, "A-05", "calc", "ind")
    assert record(room, "A-05").stands(Competency.CALCULATION) == "on paper: independent"


def test_of_several_attempts_each_is_an_entry_and_the_latest_holds(room: Classroom) -> None:
    """A later attempt that is not cleared takes the clearance away."""
    with (room.course.root / "attempts.csv").open("a", encoding="utf-8") as file:
        file.write(f"2026-02-01 10:00:00,{NAME},A-01,2,4.0,22.0,no\n")
    found = record(room, "A-01")
    assert [(one.attempt, one.level) for one in found.of(Competency.CALCULATION)] == [
        (2, "not cleared"),
        (1, "cleared"),
    ]
    assert found.stands(Competency.CALCULATION) == "0 of 1 assignments cleared"


def test_a_marked_hand_in_that_cannot_be_read_is_told(room: Classroom) -> None:
    """One damaged file is one line; everybody else's practice is there."""
    room.course.autograded(NAME, "A-01").write_text("{", encoding="utf-8")
    term = term_record(room.course, room.roster)
    assert term.trouble == (
        "A-01: the marked hand-in of week-1 cannot be read. Mark it again: pharmcalc mark week-1 --again",
    )
    assert notes(record(room, "A-02"))


# Pages ---------------------------------------------------------------------------------------------------------------


@pytest.fixture
def seen(room: Classroom) -> Classroom:
    """The class with some observations: one corrected, one moved to another student, one with markup in it."""
    see(room, "A-01,A-02", "set-up", "ind")
    see(room, "A-01", "direct", "ind", note="second scoop was late")
    see(room, "A-01", "direct", "prompted", instead_of=3, because="the range was read out to her")
    see(room, "A-01", "given", "ind")
    see(room, "A-02", "given", "ind", instead_of=5, because="wrong number")
    see(room, "A-03", "liquid", "not yet", note=HOSTILE, by=HOSTILE)
    return room


def page_of(room: Classroom, number: str) -> str:
    """Return a student's page."""
    return student_page(room.course, number).read_text(encoding="utf-8")


def test_a_students_page_shows_every_entry_and_what_holds(seen: Classroom) -> None:
    """Both of a correction with the reason; simulated in words; cautions, and lines to sign."""
    write_record(seen.course, term_record(seen.course, seen.roster))
    text = page_of(seen, "A-01")
    for words in (
        "No longer holds: corrected by entry 4, because: the range was read out to her",
        "Instead of entry 3, because: the range was read out to her",
        "second scoop was late",
        "No longer holds: corrected by entry 6, another student&#39;s, because: wrong number",
        HOW[SIMULATED],
        NEVER_COUNTS,
        CAUTION,
        "Signature",
    ):
        assert words in text
    assert text.count(HOW[SIMULATED]) == 4
    assert "A-02" not in text
    assert HOSTILE not in page_of(seen, "A-03")
    assert page_of(seen, "A-03").count("&lt;img src=x") >= 2
    assert "There is none yet" in page_of(seen, "A-05")


def test_the_class_page_and_the_sheet_say_the_same(seen: Classroom) -> None:
    """A line for every student; a number leads to the student's page; simulated practice is named and is no tick."""
    page, sheet = write_record(seen.course, term_record(seen.course, seen.roster))
    text = page.read_text(encoding="utf-8")
    assert all(f'<a href="students/{number}.html">{number}</a>' in text for number in NUMBERS)
    assert CAUTION in text
    assert NEVER_COUNTS in text
    rows = list(csv.DictReader(sheet.read_text(encoding="utf-8-sig").splitlines()))
    first, second, third, *_ = rows
    assert [row["number"] for row in rows] == list(NUMBERS)
    assert (first["direct weighing"], first["direct weighing: date"]) == ("prompted", DAY)
    assert (first["second check given"], second["second check given"]) == ("not observed", "independent")
    assert (second["direct weighing"], second["direct weighing: simulated, ticks nothing"]) == ("not observed", "1")
    assert (third["liquid aliquot"], third["calculation cleared"]) == ("not yet", "0 of 1 assignments cleared")
    for row in rows:
        for competency in Competency:
            assert row[competency.value] in text
    assert text.count("simulated only") == sum(
        row[one.value] == "not observed" and row[f"{one.value}: simulated, ticks nothing"] != "0"
        for row in rows
        for one in Competency
    )


def test_a_spreadsheet_computes_nothing_from_the_sheet(seen: Classroom) -> None:
    """A name that begins like a formula is shown as text."""
    seen.course.class_list.write_text('number,surname,given name\nA-01,"=1+1",+2\n', encoding="utf-8")
    _, sheet = write_record(seen.course, term_record(seen.course, read_roster(seen.course.class_list)))
    (row,) = csv.DictReader(sheet.read_text(encoding="utf-8-sig").splitlines())
    assert (row["surname"], row["given name"]) == ("'=1+1", "'+2")


def test_what_cannot_be_counted_is_told_on_the_class_page(seen: Classroom) -> None:
    """A line that cannot be read, and entries of a student who left the class."""
    with (seen.course.root / LIST).open("a", encoding="utf-8") as file:
        file.write("8,2026-01-2")
    seen.course.class_list.write_text("number,surname,given name\nA-01,One,Ann\n", encoding="utf-8")
    term = term_record(seen.course, read_roster(seen.course.class_list))
    assert [line.partition(".")[0] for line in term.trouble] == ["observations", "observations"]
    page, _ = write_record(seen.course, term)
    text = page.read_text(encoding="utf-8")
    assert "line 9 cannot be read and does not count" in text
    assert "who are not on the class list: A-02, A-03" in text


@pytest.mark.browser
def test_the_pages_are_accessible_and_fit_a_phone(seen: Classroom, page: "Page") -> None:
    """No rule of the accessibility checker is broken on any width; on a phone each entry is read without scrolling."""
    from axe_playwright_python.sync_playwright import Axe

    overview, _ = write_record(seen.course, term_record(seen.course, seen.roster))
    for path in (overview, *(student_page(seen.course, number) for number in ("A-01", "A-05"))):
        for width in (360, 1280):
            page.set_viewport_size({"width": width, "height": 740})
            page.goto(path.as_uri())
            result = Axe().run(page)
            assert result.violations_count == 0, result.generate_report()
            assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(student_page(seen.course, "A-01").as_uri())
    wide = "[...document.querySelectorAll('.wide')].filter(one => one.scrollWidth > one.clientWidth).length"
    assert page.evaluate(wide) == 0
    page.goto(overview.as_uri())
    page.get_by_role("link", name="A-03").click()
    assert page.get_by_role("heading", level=1).inner_text().startswith("Competency record: A-03")
    assert page.get_by_role("rowheader", name="Liquid aliquot").is_visible()


# Doors ---------------------------------------------------------------------------------------------------------------


def test_at_the_command_line_a_group_is_one_line(room: Classroom, capsys: pytest.CaptureFixture[str]) -> None:
    """What was understood is said in full; a correction names its entry; the record is written and shown."""
    at = ("--course", str(room.course.root))
    told = said(*at, "observe", "A-01,a-04,A-05", "set-up", "ind", "--by", "RO", "--on", DAY)
    assert told == "set-up and tare: independent · A-01, A-04, A-05 (3 students) · 2026-01-20 · RO · entries 1 to 3\n"
    assert "stood already" in said(*at, "observe", "A-01", "set", "i", "--by", "RO", "--on", DAY)
    told = said(*at, "observe", "A-01", "set", "p", "--by", "RO", "--instead-of", "1", "--because", "prompted twice")
    assert told.endswith("· RO · entry 4 · instead of entry 1\n")
    assert "nobody assesses themselves" in failed(capsys, *at, "observe", "A-01", "set", "p", "--by", "A-01")
    assert "5 students · 3 observed entries hold" in said(*at, "record")
    told = said(*at, "record", "a-01")
    assert "set-up and tare: prompted\n" in told
    assert (
        "entry 1 · 2026-01-20 · attempt 1 · observed · independent · RO. No longer holds: corrected by entry 4" in told
    )
    assert HOW[SIMULATED] in told
    assert NEVER_COUNTS in told
    assert "B-7 is not on the class list" in failed(capsys, *at, "record", "B-7")


def test_at_the_desk_it_is_clicked(room: Classroom, monkeypatch: pytest.MonkeyPatch) -> None:
    """A group, a slip that loses nothing typed, a correction chosen from the student's entries, and the pages."""
    monkeypatch.chdir(room.course.root)
    drawer: Any = opened(open_desk(), "Competencies")
    assert NEVER_COUNTS in html_of(drawer)
    assert "No competency is written" in press(drawer, "Write it down")
    drawer.more.value, drawer.what.value, drawer.level.value = "A-02, A-09", "direct weighing", "prompted"
    drawer.by.value, drawer.note.value = "R. Okafor", "shield left open"
    assert "Not on the class list: A-09" in press(drawer, "Write it down")
    assert (drawer.more.value, drawer.note.value) == ("A-02, A-09", "shield left open")
    drawer.more.value = "A-02"
    assert "direct weighing: prompted · A-01, A-02 (2 students)" in press(drawer, "Write it down")
    assert (drawer.more.value, drawer.note.value, drawer.by.value) == ("", "", "R. Okafor")
    assert "No level is written" in press(drawer, "Write it down")
    assert "shield left open" in html_of(drawer.inside)
    drawer.entry.value, drawer.level.value, drawer.because.value = "1", "withdrawn", "another group's sheet"
    assert "instead of entry 1" in press(drawer, "Write it down")
    assert drawer.entry.value == ""
    assert "No longer holds: corrected by entry 3" in html_of(drawer.inside)
    assert "1 observed entry holds" in press(drawer, "Write the pages of the term")
    assert '<a href="reports/term/students/A-01.html">' in html_of(drawer.inside)
