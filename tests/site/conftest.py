"""The browser edition, built and served, and a browser for which there is no other host."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import pytest

from tests.browser import launch_options
from tools.site import build
from tools.site.serve import CLOSED, served

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

WIDE = {"width": 1280, "height": 900}
PATIENCE = 60_000  # milliseconds; Python starts in ten seconds on a machine that does nothing else


@pytest.fixture(scope="session")
def site() -> Iterator[str]:
    """Build the site unless it is fresh, and serve it; the address ends in a slash."""
    with served(build.fresh()) as address:
        yield address


@pytest.fixture(scope="module")
def alone(browser: "Browser") -> "Iterator[Browser]":
    """Start a browser that can reach this machine and no other."""
    options = launch_options()
    running = browser.browser_type.launch(**options | {"args": [*options["args"], CLOSED]})
    yield running
    running.close()


@pytest.fixture
def page(alone: "Browser", site: str) -> "Iterator[Page]":
    """Give a test a browser profile of its own, with a page that reaches nothing else."""
    with closed_page(alone, site) as page:
        yield page


@contextmanager
def closed_page(alone: "Browser", site: str) -> "Iterator[Page]":
    """Open a page in a profile of its own. At the end a script error is a failure, and so is a word to another host."""
    context = alone.new_context(viewport=WIDE, base_url=site, accept_downloads=True)
    context.set_default_timeout(PATIENCE)
    asked: list[str] = []
    errors: list[str] = []
    context.on("request", lambda request: asked.append(request.url))
    context.on("weberror", lambda error: errors.append(str(error.error)))
    try:
        yield context.new_page()
    finally:
        context.close()
    assert asked, "nothing was loaded at all"
    assert [url for url in asked if not url.startswith((site, "blob:", "data:"))] == []
    assert errors == []
