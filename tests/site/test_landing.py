"""The first page of the browser edition: what it says, where it leads, and that everybody can use it."""

import re
from typing import TYPE_CHECKING
from urllib.parse import parse_qs, urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe

from pharmcalc.caution import CAUTION
from tools.notebooks import PROJECT
from tools.site import build

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = [pytest.mark.browser, pytest.mark.site]

NARROW = {"width": 390, "height": 800}


def test_the_caution_is_seen_without_scrolling(page: "Page") -> None:
    """On a desktop the whole caution and both ways in are in sight at once."""
    page.set_viewport_size({"width": 1280, "height": 720})
    page.goto("index.html")
    for place in (
        page.get_by_text(CAUTION),
        page.get_by_role("link", name="Start learning"),
        page.get_by_role("link", name="Practise aliquots now"),
    ):
        box = place.bounding_box()
        assert box is not None
        assert box["y"] + box["height"] <= 720


def test_it_leads_to_every_lesson_and_every_assignment(page: "Page") -> None:
    """What the project holds is what a visitor finds, and no link leads nowhere or elsewhere."""
    page.goto("index.html")
    links = [str(link.get_attribute("href")) for link in page.get_by_role("link").all()]
    paths = {parse_qs(urlsplit(link).query).get("path", [""])[0] for link in links if link.startswith("lab/")}
    assert all(link.startswith(("lab/index.html?", "#")) for link in links)
    lessons = {f"lessons/{path.name}" for path in (PROJECT / "notebooks").glob("[0-9]*.ipynb")}
    assignments = {f"lessons/{path.relative_to(PROJECT)}" for path in (PROJECT / "exercises").glob("*/*.ipynb")}
    assert lessons | assignments | {"lessons/practice.ipynb", "lessons/glossary.md"} <= paths
    assert [path for path in paths if not (build.SITE / "files" / path).is_file()] == []


def test_nothing_of_the_instructors_is_in_the_site(site: str) -> None:
    """No solution, no desk and no class: a student can read every file of it."""
    assert site
    inside = [path.relative_to(build.SITE).as_posix() for path in build.SITE.rglob("*")]
    assert [name for name in inside if re.search(r"solutions|desk\.ipynb|house_rules\.toml|class\.csv", name)] == []
    assert any(name.endswith(".whl") for name in inside)


def test_it_is_for_everybody(page: "Page") -> None:
    """No rule of axe is broken; nothing is wider than a narrow telephone; both ways in are reached with Tab."""
    page.goto("index.html")
    found = Axe().run(page).response
    assert [rule["id"] for rule in found["violations"]] == []
    assert {"color-contrast", "link-name", "html-has-lang", "svg-img-alt"} <= {rule["id"] for rule in found["passes"]}
    page.set_viewport_size(NARROW)
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROW["width"]
    reached = []
    for _ in range(3):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.textContent"))
    assert reached == ["Go to the content", "Start learning", "Practise aliquots now"]
