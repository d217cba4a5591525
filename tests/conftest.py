"""What all tests share: how many random examples are tried, and the browser."""

import os
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

from tests.browser import launch_options

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PROFILE = os.environ.get("PHARMCALC_PROFILE", "quick")

# No deadlines: a slow machine is not a wrong result. The quick profile tries the same examples at every run,
# so that it says the same of the same code; the thorough one looks for new ones (`make thorough`).
settings.register_profile("quick", deadline=None, max_examples=50, derandomize=True)
settings.register_profile("thorough", deadline=None, max_examples=2000, print_blob=True)
settings.register_profile("browser", deadline=None, max_examples=3, derandomize=True, database=None)  # tests/site/
settings.load_profile(PROFILE)


@pytest.fixture(scope="session")
def thorough() -> bool:
    """Tell a test with its own counts whether `make thorough` runs it."""
    return PROFILE == "thorough"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with the modules that need a browser: they take longest, and the processors share the others evenly."""
    long = {item.path for item in items if item.get_closest_marker("browser")}
    items.sort(key=lambda item: item.path not in long)


@pytest.fixture(scope="module")
def browser() -> "Iterator[Browser]":
    """Start the browser of this machine, once for the tests of a module; other modules have their own event loops."""
    from playwright.sync_api import sync_playwright  # here: only these tests need it

    with sync_playwright() as playwright:
        running = playwright.chromium.launch(**launch_options())
        yield running
        running.close()


@pytest.fixture
def page(browser: "Browser") -> "Iterator[Page]":
    """Give a test a page of its own; a script error on it fails the test."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    yield page
    context.close()
    assert not errors, f"the page's scripts failed: {errors}"
