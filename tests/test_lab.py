"""`make lab` shows a student the lessons, and nothing that belongs to the marking."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

import nbformat
import pytest

from tests.lab_server import LabServer, lab_server

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def lab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LabServer]:
    """Serve a folder with one assignment-like notebook in it."""
    folder = tmp_path_factory.mktemp("course")
    mark = nbformat.v4.new_code_cell("0")
    grading = {"schema_version": 3, "grade_id": "mark-q1", "points": 1, "cell_type": "code", "grade": True}
    mark.metadata.nbgrader = grading | {"solution": False, "locked": True, "task": False}
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    notebook = nbformat.v4.new_notebook(cells=[mark], metadata={"kernelspec": kernel})
    nbformat.write(notebook, folder / "paper.ipynb")
    with lab_server(folder, tmp_path_factory.mktemp("jupyter")) as server:
        yield server


def open_notebook(page: "Page", lab: LabServer) -> None:
    """Open the notebook and wait until its tools stand above it."""
    page.goto(lab.page("paper.ipynb"))
    page.locator(".jp-NotebookPanel-toolbar [data-jp-item-name='cellType']").wait_for()
    page.wait_for_function("window.jupyterapp.restored.then(() => true)")


def test_no_nbgrader_button_is_in_sight(page: "Page", lab: LabServer) -> None:
    """Validate would call every unmarked paper failed, so no part of nbgrader is on a student's screen."""
    open_notebook(page, lab)
    plugins = page.evaluate("window.jupyterapp.listPlugins()")
    assert "@jupyterlab/notebook-extension:tracker" in plugins
    assert [name for name in plugins if "nbgrader" in name] == []
    assert "validate" not in page.locator(".jp-NotebookPanel-toolbar").inner_text().lower()
    assert "nbgrader" not in page.locator("#jp-menu-panel").inner_text().lower()


def test_no_news_is_offered(page: "Page", lab: LabServer) -> None:
    """A first start asks no question about news, and looks for no newer version."""
    plugin = "@jupyterlab/apputils-extension:notification"
    answer = page.request.get(f"{lab.address}lab/api/settings/{plugin}?token={lab.token}").json()
    settings = {name: entry["default"] for name, entry in answer["schema"]["properties"].items()}
    assert settings["fetchNews"] == "false"
    assert settings["checkForUpdates"] is False
