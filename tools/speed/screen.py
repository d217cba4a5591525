"""How long a student waits: for a lesson to be there, and for a verdict after a key was pressed."""

import shutil
import statistics
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from tests.browser import launch_options
from tests.lab_server import LabServer, lab_server
from tests.widgets.lab_page import open_and_run, write_notebook
from tools.notebooks import PROJECT
from tools.speed import figure

if TYPE_CHECKING:
    from playwright.sync_api import Page

PRESSES = 60
CARD = {"set-up": "from pharmcalc import widgets", "card": 'widgets.practise("aliquot-plan")'}
ANSWERS = ("drug to weigh = 1 mg", "drug to weigh = 2 mg")
# In the page itself, so that the time of the driver does not count: from the key to the changed text.
TIMED = """([button, verdict]) => new Promise((done) => {
    let pressed = 0;
    button.addEventListener("keydown", () => { pressed = performance.now(); }, { once: true, capture: true });
    new MutationObserver((_, watcher) => {
        if (!pressed || !verdict.textContent.includes("Marks:")) return;
        watcher.disconnect();
        requestAnimationFrame(() => done(performance.now() - pressed));
    }).observe(verdict, { childList: true, subtree: true, characterData: true });
    window.pcTimed = true;
})"""


@figure("ms")
def widget_response() -> float:
    """Return the median time from a key press on a card's button to its changed verdict."""
    return statistics.median(_responses())


@figure("ms")
def widget_response_95() -> float:
    """Return the time from key press to changed verdict that 95 of 100 presses stay below."""
    return statistics.quantiles(_responses(), n=20)[-1]


@figure("s")
def lesson_ready() -> float:
    """Return the time from opening a lesson to its first usable widget or working, for the slowest lesson."""
    return max(ready for ready, _ in _lessons())


@figure("s")
def lesson_run() -> float:
    """Return the time from opening a lesson until all of it has run, for the slowest lesson."""
    return max(whole for _, whole in _lessons())


@cache
def _responses() -> tuple[float, ...]:
    """Measure each press; every second one types another wrong answer, so that the verdict must change."""
    times = []
    with tempfile.TemporaryDirectory() as name:
        write_notebook(Path(name) / "card.ipynb", CARD)
        with _page(Path(name)) as (page, lab):
            open_and_run(page, lab, "card.ipynb")
            box = page.get_by_role("textbox", name="Your answer")
            box.wait_for()
            button = page.get_by_role("button", name="Check my working")
            verdict = page.get_by_role("status").first
            for number in range(PRESSES):
                box.fill(ANSWERS[number % 2])
                button.focus()
                handles = [button.element_handle(), verdict.element_handle()]
                page.evaluate(f"elements => {{ window.pcWaits = ({TIMED})(elements); }}", handles)
                page.keyboard.press("Enter")
                times.append(float(page.evaluate("window.pcWaits")))
    return tuple(times)


@cache
def _lessons() -> tuple[tuple[float, float], ...]:
    """Measure, for each lesson, the seconds until its first card is there and until it has run as a whole."""
    times = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "notebooks"
        shutil.copytree(PROJECT / "notebooks", folder, ignore=shutil.ignore_patterns("practice-record*"))
        for lesson in sorted(folder.glob("[0-9]*.ipynb")):
            with _page(folder) as (page, lab):
                begun = time.perf_counter()
                open_and_run(page, lab, lesson.name)
                page.locator(".jp-OutputArea .pc").first.wait_for()
                ready = time.perf_counter() - begun
                page.wait_for_function("""() => {
                    const panel = window.jupyterapp.shell.currentWidget;
                    const cells = panel.content.widgets.filter((cell) => cell.model.type === "code");
                    return cells.every((cell) => cell.model.executionCount !== null);
                }""")
                times.append((ready, time.perf_counter() - begun))
    return tuple(times)


@contextmanager
def _page(folder: Path) -> Iterator[tuple["Page", LabServer]]:
    """Open a browser on a JupyterLab of its own."""
    from playwright.sync_api import sync_playwright  # here: the other figures need no browser

    with (
        tempfile.TemporaryDirectory() as private,
        lab_server(folder, Path(private)) as lab,
        sync_playwright() as driver,
    ):
        browser = driver.chromium.launch(**launch_options())
        page = browser.new_page()
        page.set_default_timeout(60_000)
        yield page, lab
        browser.close()
