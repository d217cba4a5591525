"""What libraries compiled is kept beside Python's own compiled modules, and is never needed."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

READS_AND_DRAWS = """
from pharmcalc.pages import render
from pharmcalc.reading import read
print(read("20 x 6 mg").shown, "<html" in render("pharmcalc.pages", "page", title="A page"))
"""


def kept(folder: Path) -> list[Path]:
    """Return the kept files below a folder."""
    return sorted(path for path in folder.rglob("*") if path.suffix in (".grammar", ".template"))


def shown(folder: Path, **told: str) -> str:
    """Read an answer and draw a page in a Python that keeps compiled files in a folder, and return what it printed."""
    kept_as_ever = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return subprocess.run(
        [sys.executable, "-c", READS_AND_DRAWS],
        env=kept_as_ever | {"PYTHONPYCACHEPREFIX": str(folder)} | told,
        check=True,
        capture_output=True,
        text=True,
    ).stdout.strip()


def times(folder: Path) -> dict[Path, int]:
    """Return when each of them was written."""
    return {path: path.stat().st_mtime_ns for path in kept(folder)}


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Start once with nothing kept."""
    folder = tmp_path_factory.mktemp("first")
    assert shown(folder) == "120 mg True"
    return folder


@pytest.fixture
def started(first: Path, tmp_path: Path) -> Path:
    """Give a test its own copy of what that start left."""
    shutil.copytree(first, tmp_path / "kept")
    return tmp_path / "kept"


def test_a_second_start_finds_what_the_first_compiled(first: Path) -> None:
    """The second start writes nothing."""
    before = times(first)
    assert {path.suffix for path in before} == {".grammar", ".template"}
    assert shown(first) == "120 mg True"
    assert times(first) == before


@pytest.mark.parametrize("spoil", [lambda _: b"", lambda _: b"other", lambda data: data[: len(data) // 2]])
def test_a_spoilt_file_is_made_anew(started: Path, spoil: Callable[[bytes], bytes]) -> None:
    """A file that was emptied, overwritten or cut off is no error, and the next start is quick again."""
    for path in kept(started):
        path.write_bytes(spoil(path.read_bytes()))
    spoilt = times(started)
    assert shown(started) == "120 mg True"
    mended = times(started)
    assert all(mended[path] != spoilt[path] for path in spoilt)
    assert shown(started) == "120 mg True"
    assert times(started) == mended


def test_nothing_is_kept_where_python_keeps_nothing(tmp_path: Path) -> None:
    """Where Python may keep nothing, neither do we."""
    assert shown(tmp_path, PYTHONDONTWRITEBYTECODE="1") == "120 mg True"
    assert not list(tmp_path.rglob("*"))
