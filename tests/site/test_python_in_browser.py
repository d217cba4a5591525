"""The library inside the browser: the same numbers, marks and words as elsewhere, and its own tests."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.site import fingerprint
from tests.site.conftest import closed_page
from tests.site.pyodide import LIBRARIES, Python, joined, zipped
from tools.notebooks import PROJECT
from tools.site import parts

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = [pytest.mark.browser, pytest.mark.site]

HERE = Path(__file__).resolve().parent
BESIDE = "/lib/python3.14/site-packages"  # beside the library, as in the project
FOLDERS = ("aliquots", "balances", "dilutions", "potency", "recipes", "strengths", "uncertainty", "volumes")
FILES = (
    "answers", "common_mistakes", "conditions", "definite_values", "display", "equations", "errors", "kinds", "marking",
    "marking_basis", "metric", "other_books", "reading", "rounding", "rounding_figures", "sources", "units", "working",
)  # fmt: skip
ELSEWHERE = ("potency/test_molar_mass.py", "recipes/test_old_units.py", "uncertainty/test_against_uncertainties.py")
WITH_NUMPY = ("simulation", "same_seed", "drawn_evenly", "at_the_limit_often", "without_numpy")
RUN = """
import contextlib, io, json, os, sys
sys.path.insert(0, {libraries!r})
os.chdir({beside!r})
os.environ["PHARMCALC_PROFILE"] = "browser"
import pytest
out = io.StringIO()
with contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
    code = pytest.main([{options}, *{names!r}])
json.dumps([int(code), out.getvalue()])
"""


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


def test_the_librarys_own_tests_pass_in_the_browser(python: Python) -> None:
    """The tests of floors 0 to 2 run inside the browser, with fewer random examples.

    Not run there: what compares with scipy, periodictable, uncertainties or numpy, which a browser does not have; what
    starts a second Python; and, because they take minutes there, the tests of tasks, bench, feedback and formulas as a
    whole. Their numbers, marks and words are compared task by task above.
    """
    names = [f"tests/{name}" for name in FOLDERS] + [f"tests/test_{name}.py" for name in FILES]
    options = ["-q", "--no-header", "-p", "no:cacheprovider", "--import-mode=importlib", "-W", "error"]
    options += [f"--ignore=tests/{name}" for name in ELSEWHERE] + ["-k", f"not ({' or '.join(WITH_NUMPY)})"]
    archives = {
        LIBRARIES: joined(parts.wheels(HERE / "wheels.lock")),
        BESIDE: zipped(PROJECT, ["tests", "pyproject.toml"]),
    }
    run = RUN.format(libraries=LIBRARIES, beside=BESIDE, options=", ".join(map(repr, options)), names=names)
    code, told = json.loads(python.run(run, archives))
    assert code == 0, told[-6000:]
    assert int(told.rpartition(" passed")[0].split()[-1]) > 1000, "the tests were not found"
