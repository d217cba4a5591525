"""The instructor's desk in JupyterLab, worked with the keyboard alone, and seen by a checker of accessibility."""

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from rich.console import Console

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.desk import handing_out, marking, on_paper, second_look, taking_in
from pharmcalc.classroom.desk.door import Terminal
from tests.classroom.building import PROJECT, answered, write_course
from tests.classroom.conftest import FAMILIES, NAME
from tests.lab_server import LabServer, lab_server
from tests.widgets.lab_page import accessibility, change_theme, open_and_run

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

NUMBERS = ("A-01", "A-02")
MOST_TABS = 80
FOCUSED = "element => element === document.activeElement"


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Lay a course that is still to be issued beside one that is marked, and a desk that lies in neither."""
    shelf = tmp_path_factory.mktemp("shelf")
    for name in ("fresh", "marked"):
        write_course(shelf / name, NAME, FAMILIES, NUMBERS)
    (shelf / "elsewhere").mkdir()
    for folder in shelf.iterdir():
        shutil.copy(PROJECT / "notebooks" / "desk.ipynb", folder)
    course, door = Course.open(shelf / "marked"), Terminal(Console(quiet=True))
    handing_out.issue(course, NAME, door)
    hand_ins(course.root, course.root / "in")
    taking_in.take_in_parcel(course, NAME, course.root / "in", door)
    marking.mark(course, NAME, door)
    second_look.change(course, NAME, "A-02", "q1", "1", "a unit", "MK", door)
    on_paper.sheets(course, NAME, door)
    return shelf


@pytest.fixture(scope="module")
def lab(shelf: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[LabServer]:
    """Serve the three."""
    with lab_server(shelf, tmp_path_factory.mktemp("jupyter")) as server:
        yield server


def hand_ins(root: Path, folder: Path) -> None:
    """Write what the two students hand in: all right, and one slip."""
    release = json.loads((root / "exercises" / NAME / f"{NAME}.ipynb").read_text(encoding="utf-8"))
    folder.mkdir()
    for number, typed in zip(NUMBERS, ({}, {"q1": "least weighable quantity = 1 mg"}), strict=True):
        (folder / f"{number}.ipynb").write_text(json.dumps(answered(release, number, typed)), encoding="utf-8")


def go_to(page: "Page", place: "Locator") -> None:
    """Press Tab until the keyboard is at a place."""
    place.wait_for()
    for _ in range(MOST_TABS):
        if place.evaluate(FOCUSED):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"{place} was not reached with {MOST_TABS} tabs")


def press(page: "Page", name: str) -> "Locator":
    """Go to a button and press it with Enter; return it."""
    found = page.locator(".pc-desk").get_by_role("button", name=name, exact=True)
    go_to(page, found)
    page.keyboard.press("Enter")
    return found


def write(page: "Page", label: str, text: str) -> None:
    """Go to a line and type."""
    go_to(page, page.get_by_role("textbox", name=label, exact=True))
    page.keyboard.type(text)


def told(page: "Page", words: str) -> None:
    """Wait until words stand in a region whose changes are read aloud."""
    page.get_by_role("status").get_by_text(words).first.wait_for()


def start(page: "Page") -> None:
    """Put the keyboard at the top of the desk."""
    page.get_by_role("textbox", name="Course folder").focus()


def test_a_week_is_worked_with_the_keyboard_alone(page: "Page", lab: LabServer, shelf: Path) -> None:
    """From the class list to the report: each press is answered in a live region, and focus stays."""
    open_and_run(page, lab, "fresh/desk.ipynb")
    mine = page.get_by_role("group", name="The instructor's desk")
    mine.get_by_role("button", name="Class list", exact=True).wait_for()
    start(page)
    handle = press(page, "Class list")
    page.wait_for_function("handle => handle.ariaExpanded === 'true'", arg=handle.element_handle())
    pressed = press(page, "Read the class list")
    told(page, "2 students · 2 new")
    assert pressed.evaluate(FOCUSED)

    press(page, "Issue")
    pressed = press(page, f"Issue {NAME}")
    told(page, "· issued ·")
    assert pressed.evaluate(FOCUSED)

    hand_ins(shelf / "fresh", shelf / "fresh" / "in")
    press(page, "Take in")
    press(page, "Take them in")
    told(page, "Nothing is written in the line")
    page.keyboard.press("Shift+Tab")
    write(page, "Folder, zip or notebook", "in")
    press(page, "Take them in")
    told(page, "2 taken in")

    press(page, "Mark")
    pressed = press(page, f"Mark {NAME}")
    told(page, "marked 2/2")
    assert pressed.evaluate(FOCUSED)
    press(page, "Class picture")
    mine.get_by_role("cell", name="not yet: q1", exact=True).wait_for()

    press(page, "One student")
    students = mine.get_by_role("combobox", name="Student").first
    go_to(page, students)
    told(page, "A-01 SurnameA-01, GivenA-01")
    page.keyboard.press("ArrowDown")
    told(page, "A-02 SurnameA-02, GivenA-02: 13 of 16 marks, not cleared yet in q1")
    assert students.evaluate(FOCUSED)
    sheet = page.frame_locator("iframe[title='Feedback page of A-02']")
    sheet.get_by_text("Feedback for student A-02").wait_for()

    press(page, "Change a mark")
    write(page, "Marks", "2")
    write(page, "Your initials", "MK")
    press(page, "Change the mark")
    told(page, "A changed mark needs a reason")
    assert page.get_by_role("textbox", name="Marks").input_value() == "2"
    page.keyboard.press("Shift+Tab")
    write(page, "Reason, which the student reads", "a unit")
    press(page, "Change the mark")
    told(page, "A-02 q1: 2 marks, not 1 (MK: a unit)")

    press(page, "Paper")
    press(page, "Write the pages to print")
    told(page, "open in a browser and print")
    start(page)
    go_to(page, mine.get_by_role("link", name=f"reports/{NAME}/report.html").last)
    page.keyboard.press("Enter")
    page.frame_locator(".jp-HTMLViewer iframe").get_by_role("heading", name="Class report").wait_for()
    assert len(page.get_by_role("tab", name="desk.ipynb").all()) == 1


@pytest.mark.parametrize("theme", ["JupyterLab Light", "JupyterLab Dark"])
def test_the_desk_is_for_everybody(page: "Page", lab: LabServer, theme: str) -> None:
    """No rule of axe is broken in light or in dark, with every drawer open and a sentence of refusal in sight."""
    open_and_run(page, lab, "marked/desk.ipynb")
    page.locator(".pc-handle").nth(8).wait_for()
    change_theme(page, theme)
    start(page)
    names = page.locator(".pc-handle").all_text_contents()
    for name in names:
        press(page, name)
    press(page, "Make exercises anew")
    told(page, "Every assignment is made anew")
    page.get_by_role("rowheader", name="A-02 SurnameA-02, GivenA-02").wait_for()
    found = accessibility(page)
    assert found["broken"] == []
    assert {"color-contrast", "label", "select-name", "button-name", "frame-title", "link-name"} <= found["held"]


def test_without_a_course_the_desk_asks(page: "Page", lab: LabServer) -> None:
    """A wrong folder is a sentence and the line stays; a right one brings the drawers, and the keyboard stays."""
    open_and_run(page, lab, "elsewhere/desk.ipynb")
    line = page.get_by_role("textbox", name="Course folder")
    line.wait_for()
    assert page.locator(".pc-handle").count() == 0
    line.focus()
    page.keyboard.press("Control+a")
    page.keyboard.type("nowhere")
    press(page, "Open this course")
    told(page, "is not a course folder")
    assert line.input_value() == "nowhere"
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Control+a")
    page.keyboard.type("../fresh")
    pressed = press(page, "Open this course")
    page.locator(".pc-handle").nth(8).wait_for()
    assert pressed.evaluate(FOCUSED)
    assert accessibility(page)["broken"] == []
