"""The lessons' runner fails where a student would see red."""

import os
import re
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

PROJECT = Path(__file__).resolve().parent.parent
RED = {
    "stderr": ("import sys\nprint('careful', file=sys.stderr)", [], "wrote to stderr"),
    "warning": ("import warnings\nwarnings.warn('old')", [], "wrote to stderr"),
    "wrong-value-in-a-check-cell": ("assert 120 / 0.4 == 301", [], "AssertionError"),
    "promised-error-does-not-come": ("1 + 1", ["raises-exception"], "raised nothing"),
}
SOUND = {
    "true-check": ("assert 120 / 0.4 == 300", []),
    "promised-error-comes": ("1 / 0", ["raises-exception"]),
}


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Run a lesson of one cell for each case, in the way that `make test` runs the lessons: what was told of each.

    A lesson that passed is told of in one word.
    """
    folder = tmp_path_factory.mktemp("lessons")
    for name, (source, tags, *_) in {**RED, **SOUND}.items():
        cell = nbformat.v4.new_code_cell(source, metadata={"tags": tags})
        kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
        lesson = nbformat.v4.new_notebook(cells=[cell], metadata={"kernelspec": kernel})
        nbformat.write(lesson, folder / f"{name}.ipynb")
    options = ["-p", "tests.nbval_stderr", "--nbval-lax", "--nbval-current-env", "-p", "no:cacheprovider", "-v"]
    here = ["--rootdir", str(folder), "--config-file", os.devnull]
    run = subprocess.run(
        [sys.executable, "-m", "pytest", *here, *options, str(folder)],
        cwd=PROJECT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 1, run.stdout + run.stderr
    passed = re.findall(r"([\w-]+)\W+ipynb::Cell 0 PASSED", run.stdout)
    details, _, _ = run.stdout.partition("short test summary info")
    failures = re.split(r"^_+ .*?([\w-]+)\.ipynb.*? _+$", details, flags=re.MULTILINE)[1:]
    return dict.fromkeys(passed, "passed") | dict(zip(failures[::2], failures[1::2], strict=True))


@pytest.mark.parametrize("name", RED)
def test_a_lesson_that_shows_red_fails(told: dict[str, str], name: str) -> None:
    """A wrong value, a warning, or an error that is announced and does not come is a fault of the lesson."""
    assert RED[name][2] in told[name]


@pytest.mark.parametrize("name", SOUND)
def test_a_sound_lesson_passes(told: dict[str, str], name: str) -> None:
    """A true check, and an error that is announced and comes, are what a lesson may hold."""
    assert told[name] == "passed"
