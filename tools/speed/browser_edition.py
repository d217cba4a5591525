"""The browser edition: how large it is, and how long a visitor waits for the first judged answer."""

import time
from contextlib import ExitStack

from tests.browser import launch_options
from tools.site import build
from tools.site.serve import CLOSED, served
from tools.speed import figure


@figure("MB")
def site_size() -> float:
    """Return the size of all files of the site."""
    return build.size(build.fresh())


@figure("s")
def site_first_task() -> float:
    """Return the time from the address of the site to a verdict, in a browser that has never been there."""
    from playwright.sync_api import sync_playwright  # here: the other figures need no browser

    with ExitStack() as stack:
        address = stack.enter_context(served(build.fresh()))
        driver = stack.enter_context(sync_playwright())
        options = launch_options()
        browser = driver.chromium.launch(**options | {"args": [*options["args"], CLOSED]})
        stack.callback(browser.close)
        page = browser.new_page()
        page.set_default_timeout(120_000)
        begun = time.perf_counter()
        page.goto(address)
        page.get_by_role("link", name="Practise aliquots now").click()
        page.get_by_role("textbox", name="Your answer").fill("multiple factor = 20")
        page.get_by_role("button", name="Check my working").click()
        page.get_by_text("Marks:").wait_for()
        return time.perf_counter() - begun
