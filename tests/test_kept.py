"""What libraries compiled is kept beside Python's own compiled modules, and is never needed."""

import os
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


def test_a_second_start_finds_what_the_first_compiled(tmp_path: Path) -> None:
    """The second start writes nothing."""
    assert shown(tmp_path) == "120 mg True"
    before = times(tmp_path)
    assert {path.suffix for path in before} == {".grammar", ".template"}
    assert shown(tmp_path) == "120 mg True"
    assert times(tmp_path) == before


@pytest.mark.parametrize("spoil", [lambda _: b"", lambda _: b"other", lambda data: data[: len(data) // 2]])
def test_a_spoilt_file_is_made_anew(tmp_path: Path, spoil: Callable[[bytes], bytes]) -> None:
    """A file that was emptied, overwritten or cut off is no error, and the next start is quick again."""
    shown(tmp_path)
    for path in kept(tmp_path):
        path.write_bytes(spoil(path.read_bytes()))
    spoilt = times(tmp_path)
    assert shown(tmp_path) == "120 mg True"
    mended = times(tmp_path)
    assert all(mended[path] != spoilt[path] for path in spoilt)
    assert shown(tmp_path) == "120 mg True"
    assert times(tmp_path) == mended


def test_nothing_is_kept_where_python_keeps_nothing(tmp_path: Path) -> None:
    """Where Python may keep nothing, neither do we."""
    assert shown(tmp_path, PYTHONDONTWRITEBYTECODE="1") == "120 mg True"
    assert not list(tmp_path.rglob("*"))
