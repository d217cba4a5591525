"""Cards, explorers and assignment cells in a real browser, used as a student uses them."""

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from pharmcalc.widgets import PracticeCard
from tests.lab_server import LabServer, lab_server
from tests.widgets.lab_page import accessibility, change_theme, open_and_run, write_notebook

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

LESSON = {
    "set-up": "from pharmcalc import notebook, widgets\nnotebook.lesson()",
    "band": 'widgets.error_band("6 mg", "5 %")',
    "aliquot": 'widgets.aliquot_explorer("6 mg", "120 mg")',
    "card": 'widgets.practise("least-weighable-quantity")',
    "plan": 'widgets.practise("aliquot-plan")',
}
TRAINING = {
    "set-up": "from pharmcalc import notebook, widgets\nnotebook.lesson()",
    "training": "widgets.train()",
}
PAPER = {
    "setup": 'from pharmcalc import notebook\nnotebook.begin("weighing-1", version=1)',
    "house-rules": "%%house_rules",
    "student": "%%student\nstudent number = \nattempt = 1",
    "task-q1": "%task q1 least-weighable-quantity",
    "answer-q1": "least weighable quantity = 6 mg / 5 % = 120 mg",
    "task-q2": "%task q2 aliquot-plan",
    "answer-q2": "# a note above\n%%answer q2\nmultiple factor = 20\ndrug = <b>x</b>\n",
}
BAND, ALIQUOT = "A balance with a sensitivity requirement of 6 mg", "An aliquot plan for 6 mg of drug"
CARD, PLAN = "The smallest amount this balance may weigh", "An aliquot plan for one amount"


@pytest.fixture(scope="module")
def lab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LabServer]:
    """Serve a folder with a small lesson and a small assignment."""
    folder = tmp_path_factory.mktemp("course")
    write_notebook(folder / "lesson.ipynb", LESSON)
    write_notebook(folder / "training.ipynb", TRAINING)
    write_notebook(folder / "paper.ipynb", PAPER)
    with lab_server(folder, tmp_path_factory.mktemp("jupyter")) as server:
        yield server


@pytest.fixture
def lesson(page: "Page", lab: LabServer) -> "Page":
    """The lesson, run, with every card on the screen."""
    open_and_run(page, lab, "lesson.ipynb")
    for title in (BAND, ALIQUOT, CARD, PLAN):
        see(card(page, title))
    return page


def card(page: "Page", title: str) -> "Locator":
    """Return a card by the name under which a screen reader finds it."""
    return page.get_by_role("group", name=title, exact=True)


def see(place: "Locator") -> None:
    """Wait until something is there, and scroll to it: JupyterLab draws only what is in sight."""
    place.evaluate("place => place.scrollIntoView()")
    place.wait_for()


def has_focus(place: "Locator") -> bool:
    """Say whether the keyboard is at a place."""
    return bool(place.evaluate("element => element === document.activeElement"))


def test_a_card_is_worked_with_the_keyboard_alone(lesson: "Page") -> None:
    """Wrong, then right, then fresh numbers: the verdict changes, what was typed stays until fresh numbers come."""
    right = PracticeCard("least-weighable-quantity").task.answer_lines()
    mine, keys = card(lesson, CARD), lesson.keyboard
    box, verdict = mine.get_by_role("textbox", name="Your answer"), mine.get_by_role("status").first
    check = mine.get_by_role("button", name="Check my working")
    verdict.evaluate("element => { element.dataset.before = 'yes'; }")

    box.focus()
    keys.press("Control+End")
    keys.type("1 mg")
    keys.press("Tab")
    assert has_focus(check)
    keys.press("Enter")
    verdict.get_by_text("Not cleared for the bench yet").wait_for()
    verdict.get_by_text("Marks: 0 of 2").wait_for()
    assert box.input_value() == "least weighable quantity = 1 mg"

    keys.press("Shift+Tab")
    assert has_focus(box)
    keys.press("Control+a")
    keys.type(right)
    keys.press("Tab")
    keys.press("Space")
    verdict.get_by_text("Cleared for the bench").wait_for()
    verdict.get_by_text("Marks: 2 of 2").wait_for()

    keys.press("Tab")
    keys.press("Enter")
    mine.get_by_text("Proof:").wait_for()
    keys.press("Tab")
    keys.press("Enter")
    verdict.get_by_text("Fresh numbers").wait_for()
    assert mine.get_by_text("Proof:").count() == 0
    assert mine.get_by_text("Marks:").count() == 0
    lesson.wait_for_function("box => box.value === 'least weighable quantity = '", arg=box.element_handle())
    assert verdict.get_attribute("data-before") == "yes", "a region that is replaced is not read aloud"
    assert verdict.get_attribute("aria-live") == "polite"


def test_letters_typed_into_a_card_reach_only_the_card(lesson: "Page") -> None:
    """JupyterLab has commands on single letters: two of d would delete the cell."""
    box = card(lesson, CARD).get_by_role("textbox", name="Your answer")
    cells = lesson.locator(".jp-Notebook .jp-CodeCell").count()
    box.focus()
    lesson.keyboard.press("Control+a")
    lesson.keyboard.type("ddabxcvzmy0011")
    assert box.input_value() == "ddabxcvzmy0011"
    assert lesson.locator(".jp-Notebook .jp-CodeCell").count() == cells == len(LESSON)


def test_a_subject_is_chosen_with_the_keyboard_alone(page: "Page", lab: LabServer) -> None:
    """Arrows and letters choose in the list; they move no cell, and two of d delete none."""
    open_and_run(page, lab, "training.ipynb")
    subject = card(page, "Practice without end").get_by_role("combobox", name="Practise")
    see(subject)
    subject.focus()
    assert subject.evaluate("element => getComputedStyle(element).outlineWidth") == "3px"
    for key, chosen in (("ArrowDown", "aliquots"), ("d", "decisions"), ("d", "dilutions")):
        page.keyboard.press(key)
        page.wait_for_function("([list, value]) => list.value === value", arg=[subject.element_handle(), chosen])
        assert has_focus(subject)
    assert page.locator(".jp-Notebook .jp-CodeCell").count() == len(TRAINING)


def test_a_plan_is_put_right_with_the_arrow_keys(lesson: "Page") -> None:
    """Both sliders have names; picture, sentence and rules follow them."""
    mine, keys = card(lesson, ALIQUOT), lesson.keyboard
    said = mine.get_by_role("status")
    said.get_by_text("2 rules are broken").wait_for()
    mine.get_by_role("slider", name="Multiple factor").focus()
    for _ in range(10):
        keys.press("ArrowRight")
    said.get_by_text("One rule is broken").wait_for()
    mine.get_by_role("slider", name="Aliquot, in mg").focus()
    for _ in range(66):
        keys.press("ArrowRight")
    said.get_by_text("Every rule holds").wait_for()
    mine.get_by_role("img").get_by_text("The mixture: 20 parts of 126 mg").wait_for()
    mine.get_by_role("cell", name="kept").first.wait_for()
    assert mine.get_by_role("cell", name="broken").count() == 0


def test_the_band_follows_a_click_on_its_slider(lesson: "Page") -> None:
    """At the far end of the slider the load may be weighed."""
    mine = card(lesson, BAND)
    said = mine.get_by_role("status")
    said.get_by_text("do not weigh this amount here").wait_for()
    base = mine.locator(".noUi-base")
    size = base.bounding_box()
    assert size is not None
    base.click(position={"x": size["width"] - 2, "y": size["height"] / 2})
    said.get_by_text("this amount may be weighed here").wait_for()


@pytest.mark.parametrize("theme", ["JupyterLab Light", "JupyterLab Dark"])
def test_cards_are_for_everybody(lesson: "Page", theme: str) -> None:
    """No rule of axe is broken in light or in dark, with verdict, working and house rules in sight."""
    change_theme(lesson, theme)
    plan = card(lesson, PLAN)
    box = plan.get_by_role("textbox", name="Your answer")
    box.fill("least weighable quantity = 1 mg\nmultiple factor = 20\ndrug = 12 pounds\nhello")
    plan.get_by_role("button", name="Check my working").click()
    plan.get_by_text("Marks:").wait_for()
    plan.get_by_role("button", name="Show the working").click()
    plan.get_by_text("Proof:").wait_for()
    plan.get_by_text("House rules", exact=True).click()
    found = accessibility(lesson)
    assert found["broken"] == []
    assert {"color-contrast", "label", "button-name", "aria-input-field-name", "svg-img-alt"} <= found["held"]


def test_an_assignment_is_filled_in(page: "Page", lab: LabServer) -> None:
    """All cells run before the number is typed; then the questions come by themselves, and answers are read back."""
    open_and_run(page, lab, "paper.ipynb")
    cells = page.locator(".jp-Notebook .jp-CodeCell")
    outputs = [cells.nth(place).locator(".jp-OutputArea") for place in range(len(PAPER))]
    see(outputs[2].get_by_text("Your student number is not there yet"))
    see(outputs[3].get_by_text("Self-study: these are not the numbers of a student"))
    see(outputs[4].get_by_text("read as 120 mg"))
    see(outputs[4].get_by_text("The first line of this cell is gone"))
    see(outputs[6].get_by_role("row", name=re.compile("multiple factor 20 read as 20")))
    see(outputs[6].get_by_role("cell", name="<b>x</b>", exact=True))

    cells.nth(2).locator(".cm-line").nth(1).click()
    page.keyboard.press("End")
    page.keyboard.type("A-07")
    page.keyboard.press("Shift+Enter")
    see(outputs[2].get_by_text("Code of this paper"))
    see(outputs[3].get_by_text("sensitivity requirement of"))
    see(outputs[5].get_by_text("are wanted"))
    found = accessibility(page)
    assert found["broken"] == []
    assert {"color-contrast", "th-has-data-cells"} <= found["held"]
