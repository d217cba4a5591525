"""The pages in a real browser: for everybody on screen, and laid out on paper."""

import re
from typing import TYPE_CHECKING

import pytest

from pharmcalc.sheets import instructor_key, student_sheets
from tests.sheets.building import CLASS, issue

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser

MILLIMETRE = 96 / 25.4
PAPER = {"A4": (210, 297), "Letter": (215.9, 279.4)}
MARGINS = 24


def pages_of(page: "Page", html: str, paper: str) -> int:
    """Print to PDF and count the pages."""
    page.set_content(html)
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper)))


def heights(page: "Page", html: str, paper: str, selector: str) -> list[float]:
    """Return the heights, in millimetres, of parts as they are laid out for a paper."""
    width, height = PAPER[paper]
    page.set_viewport_size({"width": int((width - MARGINS) * MILLIMETRE), "height": int(height * MILLIMETRE)})
    page.emulate_media(media="print")
    page.set_content(html)
    found = page.eval_on_selector_all(selector, "parts => parts.map(part => part.getBoundingClientRect().height)")
    assert found
    return [pixels / MILLIMETRE for pixels in found]


def room(page: "Page", html: str, paper: str) -> float:
    """Return the height, in millimetres, that the head and the foot of a sheet leave on a page."""
    return PAPER[paper][1] - MARGINS - sum(max(heights(page, html, paper, part)) for part in (".strip", ".foot"))


@pytest.mark.parametrize("width", [400, 1200])
def test_nobody_is_shut_out_on_screen(page: "Page", any_page: str, width: int) -> None:
    """Axe finds no fault in any page: contrast, landmarks, headings, tables, names; on a telephone and on a desk."""
    from axe_playwright_python.sync_playwright import Axe

    page.set_viewport_size({"width": width, "height": 900})
    page.set_content(any_page)
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("paper", PAPER)
def test_every_student_begins_on_a_new_page(page: "Page", paper: str) -> None:
    """A class takes as many pages as its students take alone: nobody shares a page, and none is empty."""
    assert pages_of(page, student_sheets(issue(["percentage-of-error"]), CLASS), paper) == len(CLASS)
    alone = [pages_of(page, student_sheets(issue(), [student]), paper) for student in CLASS]
    assert pages_of(page, student_sheets(issue(), CLASS), paper) == sum(alone)
    assert alone == [8] * len(CLASS)  # two for the short tasks, one for each plan, two for each record


@pytest.mark.parametrize("paper", PAPER)
def test_the_key_has_one_page_before_the_first_student(page: "Page", paper: str) -> None:
    """Each student's key begins on a new page, behind one page on how to mark."""
    alone = [pages_of(page, instructor_key(issue(), [student]), paper) - 1 for student in CLASS]
    assert pages_of(page, instructor_key(issue(), CLASS), paper) == sum(alone) + 1
    assert all(3 <= count <= 4 for count in alone)


@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("which", ["sheets", "key"])
def test_no_task_is_taller_than_a_page(page: "Page", request: pytest.FixtureRequest, paper: str, which: str) -> None:
    """A task and a table of the record fit on one page, so that none of them is ever torn."""
    html = request.getfixturevalue(which)
    parts = ".task, .record" if which == "sheets" else ".task"
    assert max(heights(page, html, paper, parts)) <= room(page, html, paper)


@pytest.mark.parametrize("paper", PAPER)
def test_large_print_tears_no_table(page: "Page", large_sheets: str, paper: str) -> None:
    """In large print, too, every table to write in fits on one page."""
    assert max(heights(page, large_sheets, paper, ".answers, .record")) <= room(page, large_sheets, paper)


@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("which", ["sheets", "large_sheets", "key"])
def test_head_and_foot_are_repeated(page: "Page", request: pytest.FixtureRequest, paper: str, which: str) -> None:
    """Head and foot stand on every page of a sheet: a browser repeats a group that may not break and is low enough."""
    html = request.getfixturevalue(which)
    for part, display in ((".strip", "table-header-group"), (".foot", "table-footer-group")):
        assert max(heights(page, html, paper, part)) < (PAPER[paper][1] - MARGINS) / 4
        style = page.eval_on_selector(
            part, "part => [getComputedStyle(part).display, getComputedStyle(part).breakInside]"
        )
        assert style == [display, "avoid"]


def test_large_print_is_large(page: "Page", large_sheets: str) -> None:
    """In large print no letter is smaller than 16 points."""
    heights(page, large_sheets, "A4", "article")
    sizes = page.eval_on_selector_all(
        "article *",
        """parts => parts.filter(part => [...part.childNodes].some(node => node.nodeType === 3 && node.data.trim()))
            .map(part => parseFloat(getComputedStyle(part).fontSize) * 0.75)""",
    )
    assert sizes
    assert round(min(sizes), 2) >= 16


def test_paper_is_safe_in_black_and_white(page: "Page", sheets: str) -> None:
    """On paper everything is written in black or dark grey on white: no meaning rests on a colour."""
    heights(page, sheets, "A4", "article")
    colours = page.eval_on_selector_all(
        "article, article *", "parts => [...new Set(parts.map(part => getComputedStyle(part).color))]"
    )
    backgrounds = page.eval_on_selector_all(
        "article *", "parts => [...new Set(parts.map(part => getComputedStyle(part).backgroundColor))]"
    )
    assert set(colours) <= {"rgb(0, 0, 0)", "rgb(51, 51, 51)"}
    assert set(backgrounds) <= {"rgba(0, 0, 0, 0)", "rgb(255, 255, 255)"}
