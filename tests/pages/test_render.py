"""The base page of reports, feedback and sheets."""

import pytest
from jinja2 import UndefinedError

from pharmcalc.caution import CAUTION
from pharmcalc.pages import render


@pytest.fixture
def sign_off() -> str:
    """Return the smallest page there is: a sign-off list of nobody."""
    page = {"title": "<b>1 & 2</b>", "attempt": 1, "rows": [], "steps": (), "simulated": [], "large_print": False}
    return render("pharmcalc.sheets", "sign-off", **page)


def test_what_is_put_in_is_escaped(sign_off: str) -> None:
    """A text put into a page is shown as it was written and is never taken for markup."""
    assert "&lt;b&gt;1 &amp; 2&lt;/b&gt;" in sign_off
    assert "<b>1" not in sign_off


def test_every_page_can_say_the_caution(sign_off: str) -> None:
    """The caution comes from its one place, in the same words on every page."""
    assert CAUTION in sign_off


def test_a_page_forbids_scripts_and_other_hosts(sign_off: str) -> None:
    """The page itself tells the browser to load nothing and to run nothing."""
    assert "default-src 'none'" in sign_off
    assert "<script" not in sign_off


def test_a_forgotten_value_is_an_error() -> None:
    """A page with a hole in it is never written: a value that is missing stops it."""
    with pytest.raises(UndefinedError, match="undefined"):
        render("pharmcalc.sheets", "sign-off")
