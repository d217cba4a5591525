"""What the instructor takes away: the mark sheet, the class report, and a few lines."""

import csv
import io
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from pharmcalc.caution import CAUTION
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.handed_in.inbox import Entry
from pharmcalc.classroom.results.overrides import change_mark
from pharmcalc.classroom.results.picture import ABSENT, MARKED, NOT_MARKED, Part, Picture, Row
from pharmcalc.classroom.results.report import (
    LONGEST_COMMENT,
    UPLOAD,
    cell_text,
    headline,
    help_lines,
    task_lines,
    write_all,
    write_mark_sheet,
    write_upload,
)
from pharmcalc.classroom.roster import Student
from pharmcalc.tasks.papers import read_issue
from tests.classroom.conftest import NAME, Classroom

if TYPE_CHECKING:
    from playwright.sync_api import Page


def lines(sheet: str) -> list[dict[str, str]]:
    """Return a mark sheet's lines by column."""
    return list(csv.DictReader(io.StringIO(sheet)))


@pytest.fixture
def mixed(classroom: Classroom) -> Classroom:
    """Return a small class: one right, one with a known mistake, one empty file, three absent."""
    task = read_issue(classroom.release).paper("A-02").task("q1")
    (asked,) = task.asked
    wrong = task.typed(asked, task.mistakes_of(asked)[0].evaluate(task.values))
    classroom.hand_in("A-01")
    classroom.hand_in("A-02", answers={"q1": f"{asked.said} = {wrong}"})
    classroom.hand_in("A-03", b"")
    classroom.mark()
    return classroom


def test_the_mark_sheet_has_a_line_for_every_student(mixed: Classroom) -> None:
    """Marks, total, clearance, and who needs a look and why; absent students are on it too."""
    _, path = write_all(mixed.course, mixed.picture())
    rows = lines(path.read_text(encoding="utf-8-sig"))
    assert [row["number"] for row in rows] == [student.number for student in mixed.roster]
    right, wrong, empty, absent = rows[:4]
    assert (right["q1"], right["cleared"], right["needs a look"], right["reason"]) == ("2", "yes", "no", "")
    assert float(right["total"]) == sum(float(right[part.name]) for part in mixed.picture().parts)
    assert (wrong["q1"], wrong["cleared"]) == ("0", "no")
    assert (empty["total"], empty["needs a look"]) == ("", "yes")
    assert "empty" in empty["reason"]
    assert (absent["total"], absent["needs a look"], absent["reason"]) == ("", "no", "not handed in")


def test_a_spreadsheet_computes_nothing_from_the_mark_sheet(classroom: Classroom) -> None:
    """Names and file names that begin like a formula are shown as text."""
    evil = '=HYPERLINK("http://example.org","marks")'
    row = Row(Student("A-01", evil, "+1", "@x"), notes=["-2"])
    aside = (Entry("=cmd|' /C calc'!A0.ipynb", "", False, "\t=1"),)
    picture = Picture("w", "W", (Part("q1", "t", 2, False),), (row,), {}, aside)
    path = classroom.course.root / "marks.csv"
    write_mark_sheet(picture, path)
    cells = [cell for line in csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"))) for cell in line]
    assert not [cell for cell in cells if cell[:1] in tuple("=+-@\t\r")]
    assert "'" + evil in cells


def upload(picture: Picture, path: Path) -> list[dict[str, str]]:
    """Write the mark sheet for a learning platform, and return its lines by column."""
    write_upload(picture, path)
    return lines(path.read_text(encoding="utf-8"))


def test_the_sheet_for_a_platform_has_one_line_for_each_student(mixed: Classroom) -> None:
    """Plain UTF-8 without a mark at its head, the columns that a platform matches by, and nobody but the class."""
    _, sheet = write_all(mixed.course, mixed.picture())
    data = sheet.with_name(UPLOAD).read_bytes()
    assert data.startswith(b"number,email,surname,given name,total,out of,comment\r\n")
    rows = lines(data.decode("utf-8"))
    assert [row["number"] for row in rows] == [student.number for student in mixed.roster]
    assert rows[0]["email"] == "A-01@example.org"
    assert {row["out of"] for row in rows} == {"16"}


def test_a_total_that_waits_for_marks_by_hand_is_empty_until_they_are_given(mixed: Classroom) -> None:
    """Only a final total goes to the platform; it is then the gradebook's, the mark by hand with it."""
    with gradebook(mixed.course) as book:
        for number in ("A-01", "A-02"):
            for grade in book.find_submission_notebook(NAME, NAME, number).grades:
                grade.needs_manual_grade = grade.name == "explain-1"
        book.db.commit()
    path = mixed.course.root / UPLOAD
    first = upload(mixed.picture(), path)[0]
    assert first["total"] == ""
    assert first["comment"].startswith("Still to be marked by hand: explain-1. Cleared for the bench")
    for number, marks in (("A-01", 1.5), ("A-02", 0)):
        change_mark(mixed.course, NAME, number, "explain-1", marks, reason="read", by="MK")
    right, wrong, empty, absent, *_ = upload(mixed.picture(), path)
    assert right["total"] == "15.5"
    assert wrong["total"] == "12"
    assert "Not cleared for the bench yet. q1: " in wrong["comment"]
    assert (empty["total"], empty["comment"]) == ("", "Handed in, not marked yet.")
    assert (absent["total"], absent["comment"]) == ("", "Not handed in.")


def test_nobody_without_a_mark_gets_a_nought_from_a_platform(tmp_path: Path) -> None:
    """A nought is a mark; where nothing was earned by answers that were marked, it is written as one."""
    rows = [Row(Student(f"A-{n}", "S", "G"), state) for n, state in enumerate((ABSENT, NOT_MARKED, MARKED))]
    rows[2].scores = {"q1": 0.0}
    written = upload(Picture("w", "W", (Part("q1", "t", 2, False),), tuple(rows), {}, ()), tmp_path / UPLOAD)
    assert [row["total"] for row in written] == ["", "", "0"]


def test_the_comment_is_one_short_line_and_no_formula(tmp_path: Path) -> None:
    """Names, addresses and reasons are shown as text, and what is for the instructor's eyes stays away."""
    row = Row(Student("A-01", "=1+1", "@x", "+a@example.org"), MARKED, {"q1": 1.0}, penalty=0.5)
    row.lost, row.cleared = {"q1": ["one\nline", "x" * 400], "q2": ["b"]}, {"q1": False, "q2": False}
    row.needs_eyes = ["the answers fit the paper of A-05"]
    parts = tuple(Part(name, "t", 2, False) for name in ("q1", "q2"))
    (line,) = upload(Picture("w", "W", parts, (row,), {}, ()), tmp_path / UPLOAD)
    assert (line["surname"], line["given name"], line["email"]) == ("'=1+1", "'@x", "'+a@example.org")
    assert line["total"] == "0.5"
    assert line["comment"].startswith(
        "0.5 marks off for handing in late. Not cleared for the bench yet. q1: one line; x"
    )
    assert "\n" not in line["comment"]
    assert "A-05" not in line["comment"]
    assert len(line["comment"]) == LONGEST_COMMENT
    assert line["comment"].endswith("...")


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@a", "\t1", "\r1"])
def test_only_risky_text_is_marked(text: str) -> None:
    """An ordinary name stays as it is."""
    assert cell_text(text) == "'" + text
    assert cell_text("O'Neill-Brook = x") == "O'Neill-Brook = x"


def test_the_report_answers_what_an_instructor_asks(mixed: Classroom) -> None:
    """Marks for each task, which mistakes and whose, who needs help with what, and what needs a look."""
    picture = mixed.picture()
    path, _ = write_all(mixed.course, picture)
    text = path.read_text(encoding="utf-8")
    ((mistake, _),) = picture.mistakes()
    for words in (mistake, "A-02 (q1)", "the file is empty", "Not handed in (3)", picture.tasks[0].title, CAUTION):
        assert words.replace("'", "&#39;") in text
    ((row, needs),) = help_lines(picture)
    assert row.student.number == "A-02"
    assert needs == [f"{picture.tasks[0].title}: {mistake}"]


def test_the_whole_class_is_shaded_by_marks(mixed: Classroom) -> None:
    """All marks are white, none nearly black, half of them between; what is not marked is hatched and said in words."""
    text = write_all(mixed.course, mixed.picture())[0].read_text(encoding="utf-8").partition('id="all"')[2]
    rows = dict(re.findall(r'<th scope="row">(A-\d+) .*?</th>(.*?)</tr>', text, re.DOTALL))
    assert re.findall(r'<td class="n (m\d|open)">([\d.]+)', rows["A-01"]) == [
        ("m4", "2"),
        ("m4", "12"),
        ("m0", "0"),
        ("m3", "14"),
    ]
    assert re.findall(r'<td class="n (m\d|open)">([\d.]+)', rows["A-02"])[0] == ("m0", "0")
    assert re.findall(r'<td class="open" colspan="4">(.*?)</td>', rows["A-04"]) == ["not handed in"]


def test_a_task_line_counts_the_class() -> None:
    """The average is over those who were marked, and all, some and none add up to them."""
    parts = (Part("q1", "t", 2, False),)
    rows = [
        Row(Student(f"A-{n}", "S", "G"), MARKED, {"q1": score}, cleared={"q1": score == 2})
        for n, score in enumerate((2.0, 2.0, 1.0, 0.0))
    ]
    rows.append(Row(Student("A-9", "S", "G")))
    (line,) = task_lines(Picture("w", "W", parts, tuple(rows), {}, ()))
    assert (line.average, line.right, line.partly, line.none, line.cleared) == (1.25, 2, 1, 1, 2)


def test_mistakes_are_ranked_by_students() -> None:
    """Two students with one mistake weigh more than one student who makes another three times."""
    one = Row(Student("A-1", "S", "G"), MARKED, mistakes={"q1": ["rare"], "q2": ["rare"], "q3": ["rare", "often"]})
    two = Row(Student("A-2", "S", "G"), MARKED, mistakes={"q1": ["often"]})
    picture = Picture("w", "W", (), (one, two), {"rare": "Rare", "often": "Often"}, ())
    assert [(name, len(cases)) for name, cases in picture.mistakes()] == [("Often", 2), ("Rare", 3)]


def test_the_headline_says_the_answer_first(mixed: Classroom) -> None:
    """How many are cleared comes first, then the exceptions by number, then what to teach."""
    told = headline(mixed.picture())
    assert told[0].split() == ["1", "cleared", "for", "the", "bench", "1", "not", "yet", "1", "need", "your", "eyes"]
    assert told[1].strip().startswith("A-03: the file is empty")
    assert told[-1].startswith("Most frequent: ")
    assert told[-1].endswith("(1 student)")


@pytest.mark.browser
def test_report_and_feedback_are_accessible_and_fit_a_phone(mixed: Classroom, page: "Page") -> None:
    """No rule of the accessibility checker is broken, and nothing hangs over the edge of a narrow screen."""
    from axe_playwright_python.sync_playwright import Axe

    report, _ = write_all(mixed.course, mixed.picture())
    mixed.feedback("A-02")
    for path in (report, mixed.course.feedback("week-1", "A-02")):
        page.set_viewport_size({"width": 360, "height": 740})
        page.goto(path.as_uri())
        result = Axe().run(page)
        assert result.violations_count == 0, result.generate_report()
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
