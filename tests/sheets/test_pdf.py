"""The sheets as PDF: complete on every page, on both papers, in large print, in black and white."""

import builtins
import io
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pypdf import PageObject, PdfReader
from pypdf.generic import ContentStream

from pharmcalc.caution import CAUTION
from pharmcalc.errors import CourseError
from pharmcalc.sheets import pdf
from pharmcalc.sheets.booklet import Entry, cover_pages, key_pages, layout_for, student_pages
from pharmcalc.sheets.layout import A4, LETTER
from pharmcalc.sheets.papers import Sheet, sheets_for
from pharmcalc.sheets.record import AFTER, BEFORE, GROUPS
from pharmcalc.tasks.family import Task
from tests.sheets.building import CLASS, issue, plain

needs_pango = pytest.mark.pdf
POINTS = {A4: (595.28, 841.89), LETTER: (612, 792)}
LAYOUTS = [(A4, False), (LETTER, False), (A4, True)]


def sheet() -> Sheet:
    """Return the sheet of one student."""
    return sheets_for(issue(), CLASS[:1])[0]


@cache
def printed(paper: str = A4, *, large: bool = False, key: bool = False) -> PdfReader:
    """Return one student's pages, or the key to them."""
    layout = layout_for(issue(), paper, large=large, kind="keys" if key else "sheets")
    return PdfReader(io.BytesIO(pdf.put_together([(key_pages if key else student_pages)(issue(), sheet(), layout)])))


def text_of(page: PageObject) -> str:
    """Return what stands on a page, on one line, with plain blanks and without breaks at hyphens."""
    return plain(page.extract_text()).replace("- ", "-")


def sizes_on(page: PageObject) -> set[float]:
    """Return the sizes, in points, in which letters stand on a page."""
    found: set[float] = set()

    def visit(text: str, cm: list[float], tm: list[float], font: object, size: float) -> None:
        if text.strip():
            found.add(round(size * abs(tm[3]) * abs(cm[3]), 1))

    page.extract_text(visitor_text=visit)
    return found


def colours_on(reader: PdfReader, page: PageObject) -> set[tuple[float, ...]]:
    """Return every colour that is painted on a page; one without red, green and blue would be listed as it stands."""
    stream = ContentStream(page.get_contents(), reader)
    setting = (b"rg", b"RG", b"g", b"G", b"k", b"K", b"sc", b"SC", b"scn", b"SCN")
    return {tuple(map(float, values)) for values, operator in stream.operations if operator in setting}


@needs_pango
@pytest.mark.parametrize(("paper", "large"), LAYOUTS)
def test_every_page_says_whose_it_is(paper: str, large: bool) -> None:
    """Number, paper code, page number and cautions stand on each page: one that falls out of the pile is found."""
    pages = printed(paper, large=large).pages
    for place, page in enumerate(pages, 1):
        text = text_of(page)
        assert "A-01" in text
        assert f"Paper {sheet().paper.code}" in text
        assert f"Page {place} of {len(pages)}" in text
        assert CAUTION in text
        assert [round(float(side), 2) for side in page.mediabox[2:]] == pytest.approx(POINTS[paper], abs=0.5)


@needs_pango
@pytest.mark.parametrize(("paper", "large"), LAYOUTS)
def test_every_task_and_the_whole_record_are_printed(paper: str, large: bool) -> None:
    """The questions, a line for each answer, every line of the weighing record, and the house rules."""
    text = " ".join(text_of(page) for page in printed(paper, large=large).pages)
    for task in sheet().paper.tasks:
        for paragraph in task.question_text().split("\n\n"):
            assert plain(paragraph) in text
        for asked in task.asked:
            assert asked.said in text
    groups = [line for group in GROUPS for line in group.lines]
    words = [word for line in (*groups, *AFTER) for word in (line.label, *line.boxes, *line.blanks)]
    for word in (*words, *BEFORE, *(plain(value) for _, value in issue().house.summary())):
        assert word in text


@needs_pango
def test_large_print_is_large_and_still_lean() -> None:
    """Nothing in large print is smaller than 16 points, and it takes no more than three times the pages."""
    normal, large = printed(), printed(large=True)
    assert min(size for page in large.pages for size in sizes_on(page)) >= 16
    assert max(size for size in sizes_on(normal.pages[0])) < 16
    assert len(normal.pages) < len(large.pages) <= 3 * len(normal.pages)


@needs_pango
@pytest.mark.parametrize("key", [False, True])
def test_nothing_is_said_by_colour(key: bool) -> None:
    """Every mark on the paper is black, or a grey dark enough for any copier."""
    reader = printed(key=key)
    colours = set().union(*(colours_on(reader, page) for page in reader.pages))
    assert colours
    assert all(len(set(colour)) == 1 and colour[0] < 0.5 for colour in colours)


@needs_pango
def test_the_key_has_answers_and_full_working() -> None:
    """On the key stand each answer, each step and the proof, and on every page that it is the key and whose."""
    pages = printed(key=True).pages
    text = " ".join(text_of(page) for page in pages)
    for task in sheet().paper.tasks:
        assert all(task.typed(asked) in text for asked in task.asked)
        assert all(plain(step.line).replace("- ", "-") in text for step in task.working().steps)
    assert all("KEY A-01 Brook, Ines" in text_of(page) for page in pages)


@needs_pango
def test_a_sheet_is_laid_out_without_solving(monkeypatch: pytest.MonkeyPatch) -> None:
    """No working and no worked answer is even asked for while a student's pages are laid out."""

    def refuse(*_: object) -> None:
        raise AssertionError("the answers were looked at")

    for name in ("working", "answer_lines", "typed"):
        monkeypatch.setattr(Task, name, refuse)
    short = issue(["percentage-ww", "second-check"])
    assert student_pages(short, sheets_for(short, CLASS[:1])[0], layout_for(short, A4)).pages


@needs_pango
def test_pages_are_numbered_for_each_student_and_joined_in_order() -> None:
    """Each student's pages are counted from 1; the joined file has a title, a language and a list of contents."""
    short = issue(["percentage-ww"])
    laid = [student_pages(short, one, layout_for(short, A4)) for one in sheets_for(short, CLASS)]
    parts = [pdf.put_together(laid[:2]), pdf.put_together(laid[2:])]
    joined = PdfReader(io.BytesIO(pdf.join(parts, title="A test", outline=[("A-01", 0), ("A-02", 1), ("A-03", 2)])))
    assert all(student.number in text_of(page) for student, page in zip(CLASS, joined.pages, strict=True))
    assert all("Page 1 of 1" in text_of(page) for page in joined.pages)
    assert joined.metadata
    assert (joined.metadata.title, joined.root_object["/Lang"]) == ("A test", "en")
    assert [entry["/Title"] for entry in joined.outline] == ["A-01", "A-02", "A-03"]


@needs_pango
def test_the_keys_begin_with_a_list_of_their_pages() -> None:
    """By its code the key to a sheet is found on paper too: the list says on which page it begins."""
    entries = [Entry(one, page) for one, page in zip(sheets_for(issue([]), CLASS), (2, 5, 8), strict=True)]
    laid = cover_pages(issue(), entries, layout_for(issue(), A4, kind="keys"))
    text = " ".join(text_of(page) for page in PdfReader(io.BytesIO(pdf.put_together([laid]))).pages)
    assert all(f"{entry.sheet.paper.code} {entry.sheet.number} {entry.page}" in text for entry in entries)
    assert "How to mark from this key" in text


@needs_pango
def test_nothing_is_loaded_from_anywhere() -> None:
    """A page to print holds all it needs: an address in it is refused."""
    with pytest.raises(ValueError, match="loads nothing"):
        pdf._fetch_nothing("http://example.org/x.png")


def without(name: str, trouble: Exception, real: Callable[..., Any] = builtins.__import__) -> Callable[..., Any]:
    """Return an import that fails for one package."""

    def load(module: str, *rest: Any, **named: Any) -> Any:
        if module.partition(".")[0] == name:
            raise trouble
        return real(module, *rest, **named)

    return load


def test_without_pango_it_is_said_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    """A system without Pango is told in plain words, for each system; no traceback, and printing by browser remains."""
    monkeypatch.setattr(builtins, "__import__", without("weasyprint", OSError("cannot load library 'libpango'")))
    told = pdf.missing()
    for words in ("Pango", "sudo apt install libpango-1.0-0", "brew install pango", "MSYS2", "open the HTML pages"):
        assert words in told
    with pytest.raises(CourseError, match="Pango"):
        pdf.pages_of("<p>A page</p>")


def test_without_the_package_it_is_said_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where only the library was installed, the instructor's extra is named."""
    monkeypatch.setattr(builtins, "__import__", without("pypdf", ModuleNotFoundError("no", name="pypdf")))
    assert pdf.missing() == 'A PDF needs the Python package pypdf. Install it: pip install "pharmcalc[class]"'


@pytest.mark.parametrize("content", [None, b"", b"%PDF-1.7 cut off", b"no PDF at all"])
def test_a_damaged_file_names_no_page(tmp_path: Path, content: bytes | None) -> None:
    """Where the keys are not printed, or cut off, no page is named."""
    path = tmp_path / "keys.pdf"
    if content is not None:
        path.write_bytes(content)
    assert pdf.page_of(path, "YM6BR37") == 0
