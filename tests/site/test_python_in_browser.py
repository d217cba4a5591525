"""The library inside the browser: the same numbers, marks and words as elsewhere."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.site import fingerprint
from tests.site.conftest import closed_page
from tests.site.pyodide import Python

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = [pytest.mark.browser, pytest.mark.site]


@pytest.fixture(scope="module")
def python(alone: "Browser", site: str) -> Iterator[Python]:
    """Python, started in a page, once for all tests."""
    with closed_page(alone, site) as page:
        yield Python(page, site)


def test_two_hundred_tasks_are_the_same_in_the_browser(python: Python) -> None:
    """Questions, numbers, marks, clearance and feedback of right and wrong answers agree to the last sign."""
    here = json.loads(fingerprint.everything())
    source = Path(fingerprint.__file__).read_text(encoding="utf-8")
    there = json.loads(python.run(f"{source}\neverything()"))
    assert [name for (name, mine), (_, theirs) in zip(here, there, strict=True) if mine != theirs] == []
    assert len(there) == fingerprint.TASKS
    assert {name for name, _ in there} == set(fingerprint.FAMILIES)
    wrong = [told for _, told in there if told[2] != told[5]]
    assert len(wrong) > len(there) / 2, "the wrong answers must be wrong"
