"""Paper for a whole class from one command, and each sheet found again by its code."""

import json
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader
from rich.console import Console

from pharmcalc.__main__ import pharmcalc
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.desk import on_paper
from pharmcalc.classroom.desk.door import Terminal
from pharmcalc.classroom.paper.finding import find_paper
from pharmcalc.classroom.paper.press import AT_A_TIME, Press, print_class
from pharmcalc.classroom.roster import read_roster
from pharmcalc.errors import CourseError
from pharmcalc.sheets.layout import A4
from pharmcalc.sheets.pdf import page_of
from pharmcalc.tasks.papers import Issue, read_issue
from tests.classroom.conftest import NAME, Classroom

needs_pango = pytest.mark.pdf
CLASS = """number,surname,given name,email,large print
A-01,Brook,Ines,,
A-02,Lind,Ove,,
A-03,Reed,Mia,,yes
"""


@pytest.fixture(scope="module")
def printed(issued_course: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Course, str]:
    """Print the sheets of a class of three, one in large print, and keep what was told."""
    root = tmp_path_factory.mktemp("paper") / "course"
    shutil.copytree(issued_course, root)
    (root / "class.csv").write_text(CLASS, encoding="utf-8")
    course = Course.open(root)
    with (console := Console(width=10_000, soft_wrap=True)).capture() as told:
        on_paper.sheets(course, NAME, Terminal(console), pdf=True)
    return course, told.get()


def issue_of(course: Course) -> Issue:
    """Return what was issued."""
    return read_issue(json.loads(course.release(NAME).read_text(encoding="utf-8")))


def texts(course: Course, name: str) -> list[str]:
    """Return what stands on each page of one of the PDFs."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(course.reports(NAME) / name).pages]


@needs_pango
def test_one_command_prints_a_whole_class(printed: tuple[Course, str]) -> None:
    """Each student starts on a page 1 of their own, in the order of the class list; the pages for a browser stay."""
    course, told = printed
    heads = [re.search(r"(A-0\d) .*Paper (\w+).*Page (\d+) of (\d+)", text) for text in texts(course, "students.pdf")]
    pages = [found.groups() for found in heads if found]
    assert len(pages) == len(heads)
    for number in ("A-01", "A-02", "A-03"):
        own = [(code, int(page), int(of)) for who, code, page, of in pages if who == number]
        code = issue_of(course).paper(number).code
        assert own == [(code, place, len(own)) for place in range(1, len(own) + 1)]
    assert [who for who, *_ in pages] == sorted(who for who, *_ in pages)
    assert "(large print: A-03)" in told
    for name in ("sheets.html", "sheets-large.html", "key.html", "sign-off.html"):
        assert (course.reports(NAME) / name).is_file()


@needs_pango
def test_large_print_comes_by_itself(printed: tuple[Course, str]) -> None:
    """Whoever has large print in the class list gets more pages with larger letters in the same file."""
    starts = [text for text in texts(printed[0], "students.pdf") if "Page 1 of" in text]
    counts = [int(found[1]) for text in starts if (found := re.search(r"Page 1 of (\d+)", text))]
    assert counts[0] == counts[1] < counts[2]


@needs_pango
def test_the_key_is_found_by_the_code(printed: tuple[Course, str]) -> None:
    """The command names the page of the keys on which this student's begins, and shows the answers."""
    course, _ = printed
    keys = texts(course, "keys.pdf")
    for number in ("A-01", "A-03"):
        paper = issue_of(course).paper(number)
        page = page_of(course.reports(NAME) / "keys.pdf", paper.code)
        assert f"KEY {number}" in keys[page - 1]
        assert f"Paper {paper.code} " in keys[page - 1]
        assert "Page 1 of" in keys[page - 1]
        assert f"{paper.code} {number} {page}" in keys[0]
        done = CliRunner().invoke(pharmcalc, ["--course", str(course.root), "paper", paper.code.lower()])
        assert f"page {page} of" in done.output
        assert f"least weighable quantity = {paper.tasks[0].typed(paper.tasks[0].asked[0])}" in done.output


@needs_pango
def test_the_sign_off_list_has_everybody(printed: tuple[Course, str]) -> None:
    """One line a student with number and code, and a tagged file for whoever has it read aloud."""
    course, _ = printed
    text = " ".join(texts(course, "sign-off.pdf"))
    for number in ("A-01", "A-02", "A-03"):
        assert number in text
        assert issue_of(course).paper(number).code in text
    root = PdfReader(course.reports(NAME) / "sign-off.pdf").root_object
    assert "/StructTreeRoot" in root
    assert root["/Lang"] == "en"


@needs_pango
def test_several_processes_print_the_same(printed: tuple[Course, str], monkeypatch: pytest.MonkeyPatch) -> None:
    """A class is laid out a few students at a time; the parts join to the same pages, each student's together."""
    course, _ = printed
    monkeypatch.setattr("pharmcalc.classroom.paper.press.AT_A_TIME", 2)
    assert AT_A_TIME > 2
    seen: list[str] = []
    press = Press(course.release(NAME), 1, A4, large=False)
    made = print_class(press, read_roster(course.class_list).students, lambda student: seen.append(student.number))
    (course.reports(NAME) / "again.pdf").write_bytes(made["students.pdf"])
    assert texts(course, "again.pdf") == texts(course, "students.pdf")
    assert seen == ["A-01", "A-02", "A-03"]


def test_without_pango_the_pages_for_a_browser_are_written(
    classroom: Classroom, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where no PDF can be made, the plain message is the end of the command, not of the paper."""
    monkeypatch.setattr(on_paper, "missing", lambda: "A PDF needs the library Pango.")
    done = CliRunner().invoke(pharmcalc, ["--course", str(classroom.course.root), "sheets", NAME, "--pdf"])
    assert isinstance(done.exception, CourseError)
    assert "needs the library Pango" in str(done.exception)
    assert (classroom.course.reports(NAME) / "sheets.html").is_file()
    assert not (classroom.course.reports(NAME) / "students.pdf").exists()


def test_a_code_finds_student_assignment_and_attempt(classroom: Classroom) -> None:
    """Nothing is kept for it: the code of every paper that was issued is worked out again."""
    code = issue_of(classroom.course).paper("A-05").code
    found = find_paper(classroom.course, f" {code.lower()} ")
    assert (found.issue.assignment, found.number, found.attempt) == (NAME, "A-05", 1)
    assert found.says() == f"{NAME}, A-05, attempt 1"
    assert found.paper().code == code


def test_a_mistyped_code_is_refused_and_near_ones_are_named(classroom: Classroom) -> None:
    """Two signs exchanged are noticed, and the paper that was meant is told."""
    code = issue_of(classroom.course).paper("A-05").code
    typed = code[0] + code[2] + code[1] + code[3:]
    with pytest.raises(CourseError, match=rf"is mistyped.*Near it: {code} \({NAME}, A-05, attempt 1\)"):
        find_paper(classroom.course, typed)


def test_a_student_who_left_is_still_found(classroom: Classroom) -> None:
    """The copies that were issued tell who had a paper, whatever the class list says now."""
    code = issue_of(classroom.course).paper("A-06").code
    rows = classroom.course.class_list.read_text(encoding="utf-8").splitlines()
    classroom.course.class_list.write_text("\n".join(rows[:-1]), encoding="utf-8")
    with (console := Console()).capture() as told:
        on_paper.paper(classroom.course, code, Terminal(console))
    assert "A-06 no longer on the class list" in told.get()
    assert f"pharmcalc sheets {NAME} --pdf" in told.get()
