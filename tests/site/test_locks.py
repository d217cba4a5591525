"""The browser edition is built from what its locks name and from nothing else."""

import json
import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tools.notebooks import PROJECT
from tools.site import parts

TESTS = Path(__file__).resolve().parent
PAIRS = [
    (parts.HERE / "requirements.in", parts.HERE / "requirements.lock"),
    (parts.HERE / "wheels.in", parts.HERE / "wheels.lock"),
    (TESTS / "wheels.in", TESTS / "wheels.lock"),
]


def entries(path: Path) -> list[tuple[Requirement, int]]:
    """Return what a list of requirements names, each with the number of its hashes."""
    lines = re.sub(r"(^|\s)#.*", "", path.read_text(encoding="utf-8")).replace("\\\n", " ").splitlines()
    split = [line.split("--hash=sha256:") for line in lines if line.strip()]
    return [(Requirement(package), len(hashes)) for package, *hashes in split]


@pytest.mark.parametrize(("asked", "lock"), PAIRS, ids=lambda path: f"{path.parent.name}-{path.name}")
def test_each_lock_holds_what_is_asked_for_with_its_hashes(asked: Path, lock: Path) -> None:
    """Each package has one version that satisfies what is asked, and a hash for each of its files."""
    locked = entries(lock)
    assert all(hashes for _, hashes in locked)
    for wanted, _ in entries(asked):
        (found,) = [one for one, _ in locked if canonicalize_name(one.name) == canonicalize_name(wanted.name)]
        (pin,) = found.specifier
        assert wanted.specifier.contains(pin.version), "run `make lock`"


def test_npms_lock_holds_python_for_the_browser_to_one_file() -> None:
    """The version is the one that JupyterLite's kernel was made for, and the file is known by its digest."""
    asked = json.loads((parts.HERE / "package.json").read_text(encoding="utf-8"))["dependencies"]["pyodide"]
    lock = json.loads((parts.HERE / "package-lock.json").read_text(encoding="utf-8"))
    found = lock["packages"]["node_modules/pyodide"]
    assert found["version"] == asked
    assert all(one["integrity"].startswith("sha512-") for name, one in lock["packages"].items() if name)


def test_no_lock_names_a_place() -> None:
    """The reader's own settings say where packages come from."""
    files = [path for pair in PAIRS for path in pair] + [parts.HERE / "package-lock.json"]
    assert [path.name for path in files if re.search(r"[a-z]+://|\bwww\.|\"resolved\"", path.read_text())] == []


def test_the_browser_uses_the_courses_own_pint_and_lark() -> None:
    """A unit must mean the same in the browser, and an answer must be read the same."""
    asked = tomllib.loads((PROJECT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["dependencies"]
    locked = {one.name: one for one, _ in entries(parts.HERE / "wheels.lock")}
    for wanted in map(Requirement, asked):
        (pin,) = locked[wanted.name].specifier
        assert wanted.specifier.contains(pin.version)
