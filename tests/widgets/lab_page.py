"""Open a small notebook in JupyterLab, run it, and ask a checker of accessibility about what it shows."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import nbformat

from tests.lab_server import LabServer

if TYPE_CHECKING:
    from playwright.sync_api import Page

KERNEL = {"name": "python3", "display_name": "Python 3", "language": "python"}
TOOLS = ".jp-NotebookPanel-toolbar [data-jp-item-name='cellType']"
IDLE = """() => {
    const panel = window.jupyterapp?.shell.currentWidget;
    return panel?.sessionContext?.session?.kernel?.status === "idle";
}"""
ALL_SEEN = """() => {
    for (const scroller of document.querySelectorAll(".jp-WindowedPanel-outer")) scroller.scrollTop = 0;
    return [...document.querySelectorAll(".pc")].every((card) => {
        const { top, bottom } = card.getBoundingClientRect();
        return card.checkVisibility({ contentVisibilityAuto: true }) && top >= 0 && bottom < innerHeight;
    });
}"""
RUN_ALL = "() => { window.jupyterapp.commands.execute('notebook:run-all-cells'); }"  # and do not wait for its end
THEME = "name => window.jupyterapp.commands.execute('apputils:change-theme', { theme: name })"


def write_notebook(path: Path, cells: dict[str, str]) -> None:
    """Write a notebook of code cells, each with its id."""
    made = [nbformat.v4.new_code_cell(source, id=name) for name, source in cells.items()]
    nbformat.write(nbformat.v4.new_notebook(cells=made, metadata={"kernelspec": KERNEL}), path)


def open_and_run(page: "Page", lab: LabServer, name: str) -> None:
    """Open a notebook, wait until its kernel is idle, and run all cells."""
    page.goto(f"{lab.page(name)}&reset")  # reset: without the notebooks that were open before
    page.wait_for_function("window.jupyterapp?.restored.then(() => true)")
    page.locator(TOOLS).wait_for()
    page.wait_for_function(IDLE)
    page.evaluate(RUN_ALL)


def change_theme(page: "Page", name: str) -> None:
    """Change JupyterLab's theme and wait until it is there."""
    page.evaluate(THEME, name)
    light = "true" if "Light" in name else "false"
    page.wait_for_function("light => document.body.dataset.jpThemeLight === light", arg=light)
    page.locator("#jupyterlab-splash").wait_for(state="detached")


def accessibility(page: "Page") -> dict[str, Any]:
    """Return axe's findings about our own outputs: the rules that are broken, and the names of those that hold.

    axe looks only at what can be seen. So the window is made long enough for the whole notebook; and the body, which
    has no height in JupyterLab and hides what lies over it, is told to hide nothing (axe would see no words at all).
    """
    from axe_playwright_python.sync_playwright import Axe  # here: only these tests need it

    page.set_viewport_size({"width": 1024, "height": 9000})
    page.wait_for_function(ALL_SEEN)
    page.add_style_tag(content="html, body { overflow: visible !important }")
    found = Axe().run(page, context={"include": [".pc"]}).response
    broken = [(rule["id"], [node["html"][:200] for node in rule["nodes"]]) for rule in found["violations"]]
    return {"broken": broken, "held": {rule["id"] for rule in found["passes"]}}
