"""The simulated bench in a real browser: a weighing from the level to the signature, by keyboard alone."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from pharmcalc.bench import VESSELS, Event, weigh_by_the_book
from pharmcalc.tasks.house import read_house_rules
from pharmcalc.widgets.bench import BenchCard, practice_task
from tests.lab_server import LabServer, lab_server
from tests.widgets.lab_page import accessibility, change_theme, open_and_run, write_notebook

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser

BENCH = {"set-up": "from pharmcalc import widgets", "bench": 'widgets.bench("bench-weighing", key="browser")'}
TITLE = "The simulated bench"
BUTTONS = {
    "switch on": "Switch on",
    "wait half an hour": "Wait half an hour",
    "zero": "Zero",
    "open shield": "Open shield",
    "close shield": "Close shield",
    "tare": "Tare",
    "wait": "Wait a few seconds",
    "read": "Read and note",
    "take off": "Take it off",
    "read label": "Read the label",
    "open jar": "Open jar",
    "close jar": "Close jar",
    "put jar back": "Put it back",
    "write": "Write the record",
    "wipe": "Wipe down",
    "second check": "Ask for the second check",
    "sign": "Sign",
}
CHOOSERS = {
    "use balance": ("Balance", "Go to {}"),
    "put on": ("Vessel", "Put on the {}"),
    "take jar": ("Jar on the shelf", "Take jar {}"),
}
BACK_OR_ON = """place =>
    place === document.activeElement ? ''
    : place.compareDocumentPosition(document.activeElement) & Node.DOCUMENT_POSITION_FOLLOWING ? 'Shift+Tab' : 'Tab'
"""
WHOLE_CARD = 80  # no control is further away than so many presses of Tab


@pytest.fixture(scope="module")
def lab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LabServer]:
    """Serve a folder with a bench in it."""
    folder = tmp_path_factory.mktemp("course")
    write_notebook(folder / "bench.ipynb", BENCH)
    with lab_server(folder, tmp_path_factory.mktemp("jupyter")) as server:
        yield server


@pytest.fixture
def bench(page: "Page", lab: LabServer) -> "Locator":
    """The bench, run."""
    open_and_run(page, lab, "bench.ipynb")
    card = page.get_by_role("group", name=TITLE, exact=True)
    card.evaluate("card => card.scrollIntoView()")
    card.wait_for()
    return card


def go_to(page: "Page", place: "Locator") -> None:
    """Press Tab, or Shift and Tab, until the keyboard is at a place."""
    found = place.element_handle()
    for _ in range(WHOLE_CARD):
        key = found.evaluate(BACK_OR_ON)
        if not key:
            return
        page.keyboard.press(key)
    raise AssertionError(f"the keyboard does not reach {place}")


def do(page: "Page", bench: "Locator", event: Event) -> None:
    """Do one thing at the bench with the keyboard."""
    if event.action in CHOOSERS:
        label, name = CHOOSERS[event.action]
        name = name.format(event.what)
        choose(page, bench.get_by_role("combobox", name=label, exact=True), event.what)
        bench.get_by_role("button", name=name, exact=True).wait_for()  # the button says what was chosen
    elif event.action == "turn":
        name = event.what.capitalize()
    elif event.action == "add":
        name = f"Add a {event.what}"
    elif event.action == "take out":
        name = f"Take out a {event.what}"
    elif event.action == "excess":
        name = "Discard it"
    else:
        name = BUTTONS[event.action]
    if event.action in ("write", "sign"):
        label = "Weighing record" if event.action == "write" else "Your initials"
        go_to(page, bench.get_by_role("textbox", name=label, exact=True))
        page.keyboard.press("Control+a")
        page.keyboard.type(event.what)
    go_to(page, bench.get_by_role("button", name=name, exact=True))
    page.keyboard.press("Enter")


def choose(page: "Page", chooser: "Locator", what: str) -> None:
    """Choose an entry of a list with the arrow keys."""
    go_to(page, chooser)
    entries = [" ".join(entry.split()) for entry in chooser.locator("option").all_text_contents()]
    said = {vessel.name: vessel.said() for vessel in VESSELS} | {letter: f"Jar {letter}" for letter in "ABCD"}
    page.keyboard.press("Home")
    for _ in range(entries.index(said.get(what, what))):
        page.keyboard.press("ArrowDown")


def test_a_whole_weighing_is_done_with_the_keyboard_alone(page: "Page", bench: "Locator") -> None:
    """Each action answers in the live region; at the end stands the verdict, and everything was well done."""
    card = BenchCard(practice_task("bench-weighing", "browser", 1, read_house_rules()))
    said = bench.get_by_role("status").first
    bench.get_by_role("combobox", name="Balance", exact=True).focus()
    for event in weigh_by_the_book(card.order).events:
        card.act(event.action, event.what)
        do(page, bench, event)
        expected = " ".join(card.said.split())
        page.wait_for_function(
            "([region, words]) => region.textContent.replace(/\\s+/g, ' ').trim() === words",
            arg=[said.element_handle(), expected],
        )
    go_to(page, bench.get_by_role("button", name="How did I do?", exact=True))
    page.keyboard.press("Enter")
    bench.get_by_text("Marks: 20 of 20").wait_for()
    assert said.get_attribute("aria-live") == "polite"


def test_letters_pressed_on_a_button_delete_no_cell(page: "Page", bench: "Locator") -> None:
    """JupyterLab has commands on single letters; at the bench they do nothing."""
    cells = page.locator(".jp-Notebook .jp-CodeCell").count()
    button = bench.get_by_role("button", name="Switch on", exact=True)
    button.focus()
    for key in ("d", "d", "x", "a", "m"):
        page.keyboard.press(key)
    button.click()
    bench.get_by_role("status").first.get_by_text("no balance is chosen").wait_for()
    assert page.locator(".jp-Notebook .jp-CodeCell").count() == cells == len(BENCH)


@pytest.mark.parametrize("theme", ["JupyterLab Light", "JupyterLab Dark"])
def test_the_bench_is_for_everybody(page: "Page", bench: "Locator", theme: str) -> None:
    """No rule of axe is broken in light or in dark, with jar, vessel, powder, record and refusal in sight."""
    change_theme(page, theme)
    said = bench.get_by_role("status").first
    steps = {
        "Go to Balance 1": "You stand at",
        "Switch on": "lights up",
        "Open shield": "is open",
        "Put on the weighing paper": "on the pan",
        "Take jar A": "stands on the bench",
        "Open jar": "is open",
        "Add a small scoop": "goes in",
        "Zero": "Not done",
    }
    for name, answer in steps.items():
        bench.get_by_role("button", name=name, exact=True).click()
        said.get_by_text(answer).wait_for()
    bench.get_by_role("button", name="Show what was done", exact=True).click()
    bench.get_by_text("The record so far").wait_for()
    found = accessibility(page)
    assert found["broken"] == []
    assert {"color-contrast", "label", "select-name", "button-name", "svg-img-alt"} <= found["held"]
