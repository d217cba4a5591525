"""The lessons' runner fails where a student would see red."""

import os
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

PROJECT = Path(__file__).resolve().parent.parent


def run_as_lesson(folder: Path, source: str, tags: list[str]) -> "subprocess.CompletedProcess[str]":
    """Run a notebook with one cell in the way that `make test` runs the lessons."""
    cell = nbformat.v4.new_code_cell(source, metadata={"tags": tags})
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(nbformat.v4.new_notebook(cells=[cell], metadata={"kernelspec": kernel}), folder / "lesson.ipynb")
    options = ["-p", "tests.nbval_stderr", "--nbval-lax", "--nbval-current-env", "-p", "no:cacheprovider"]
    return subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "--rootdir",
            str(folder),
            "--config-file",
            os.devnull,
            *options,
            str(folder),
        ],
        cwd=PROJECT,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize(
    ("source", "tags", "said"),
    [
        pytest.param("import sys\nprint('careful', file=sys.stderr)", [], "wrote to stderr", id="stderr"),
        pytest.param("import warnings\nwarnings.warn('old')", [], "wrote to stderr", id="warning"),
        pytest.param("assert 120 / 0.4 == 301", [], "AssertionError", id="wrong value in a check cell"),
        pytest.param("1 + 1", ["raises-exception"], "raised nothing", id="promised error does not come"),
    ],
)
def test_a_lesson_that_shows_red_fails(tmp_path: Path, source: str, tags: list[str], said: str) -> None:
    """A wrong value, a warning, or an error that is announced and does not come is a fault of the lesson."""
    run = run_as_lesson(tmp_path, source, tags)
    assert run.returncode == 1, run.stdout + run.stderr
    assert said in run.stdout


@pytest.mark.parametrize(("source", "tags"), [("assert 120 / 0.4 == 300", []), ("1 / 0", ["raises-exception"])])
def test_a_sound_lesson_passes(tmp_path: Path, source: str, tags: list[str]) -> None:
    """A true check, and an error that is announced and comes, are what a lesson may hold."""
    run = run_as_lesson(tmp_path, source, tags)
    assert run.returncode == 0, run.stdout + run.stderr
