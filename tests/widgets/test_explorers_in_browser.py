"""Every explorer of the lessons in a real browser: for everybody, in both themes; one explored by click and keys."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from tests.lab_server import LabServer, lab_server
from tests.widgets.lab_page import accessibility, change_theme, open_and_run, write_notebook

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser

PAGES = {
    "first": ("type_and_see", "unit_ladder", "readings", "strength_parts", "measuring_vessels"),
    "second": ("plan_chooser", "alligation_beam", "powder_explorer", "dose_cloud", "order_chain"),
}


@pytest.fixture(scope="module")
def lab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LabServer]:
    """Serve two notebooks with the explorers in them."""
    folder = tmp_path_factory.mktemp("course")
    for name, explorers in PAGES.items():
        cells = {f"cell-{place}": f"widgets.{explorer}()" for place, explorer in enumerate(explorers)}
        write_notebook(folder / f"{name}.ipynb", {"set-up": "from pharmcalc import widgets", **cells})
    with lab_server(folder, tmp_path_factory.mktemp("jupyter")) as server:
        yield server


@pytest.mark.parametrize("name", PAGES)
def test_every_explorer_is_for_everybody(page: "Page", lab: LabServer, name: str) -> None:
    """No rule of axe is broken by any of them, in light or in dark; each has a name and a picture with words."""
    open_and_run(page, lab, f"{name}.ipynb")
    page.set_viewport_size({"width": 1024, "height": 6000})
    page.wait_for_function(f"document.querySelectorAll('.pc h3').length === {len(PAGES[name])}")
    for theme in ("JupyterLab Light", "JupyterLab Dark"):
        change_theme(page, theme)
        found = accessibility(page)
        assert found["broken"] == []
        assert {"color-contrast", "svg-img-alt"} <= found["held"]


def test_a_plan_is_explored_with_a_click_and_with_the_keys(page: "Page", lab: LabServer) -> None:
    """A point that is clicked is the plan that is worked below; the arrows of the list choose the next."""
    open_and_run(page, lab, "second.ipynb")
    card = page.get_by_role("group", name="6 mg by one aliquot: 42 right plans", exact=True)
    card.wait_for()
    said = card.get_by_role("status")
    said.get_by_text("multiple 80, aliquot 120 mg").wait_for()
    card.locator("[data-pick='41']").click()  # the one that leaves most over stands by itself
    said.get_by_text("The cross: multiple 80, aliquot 480 mg").wait_for()
    chooser = card.get_by_role("combobox", name="Plan", exact=True)
    chooser.focus()
    before = said.inner_text()
    page.keyboard.press("ArrowUp")
    page.wait_for_function("([region, words]) => region.innerText !== words", arg=[said.element_handle(), before])
    assert chooser.evaluate("list => list === document.activeElement && list.selectedIndex") == 40
