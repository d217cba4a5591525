"""The lock installs what pyproject.toml asks for, the same everywhere, from wherever the reader installs."""

import re
import tomllib
from itertools import groupby
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

PROJECT = Path(__file__).resolve().parent.parent
LOCK = (PROJECT / "requirements.lock").read_text(encoding="utf-8")
INSTALLER = (PROJECT / "tools" / "installer.lock").read_text(encoding="utf-8")
PYPROJECT = tomllib.loads((PROJECT / "pyproject.toml").read_text(encoding="utf-8"))

# What a supported machine may be; a locked line may be meant for some of them only.
MACHINES = [
    {
        "python_version": f"3.{minor}",
        "python_full_version": f"3.{minor}.9",
        "sys_platform": system,
        "os_name": name,
    }
    for minor in (11, 12, 13)
    for system, name in (("linux", "posix"), ("darwin", "posix"), ("win32", "nt"))
]


def asked_for() -> list[Requirement]:
    """Return the project's own requirements, with those of all its extras and of its build."""
    project = PYPROJECT["project"]
    lines = [*project["dependencies"], *PYPROJECT["build-system"]["requires"]]
    for extra in project["optional-dependencies"].values():
        lines += extra
    return [Requirement(line) for line in dict.fromkeys(lines)]


def locked(lock: str = LOCK) -> list[tuple[Requirement, list[str]]]:
    """Return each locked package with its hashes."""
    entries = re.sub(r"#.*", "", lock).replace("\\\n", " ").splitlines()
    split = [entry.split("--hash=") for entry in entries if entry.strip()]
    return [(Requirement(package), [text.strip() for text in hashes]) for package, *hashes in split]


def pinned(requirement: Requirement) -> str:
    """Return the one version that a locked line names."""
    (specifier,) = requirement.specifier
    assert specifier.operator == "=="
    assert "*" not in specifier.version
    return specifier.version


@pytest.mark.parametrize("requirement", asked_for(), ids=str)
def test_every_requirement_is_locked_at_a_version_that_satisfies_it(requirement: Requirement) -> None:
    """On each supported Python and system, one version stands in the lock; after a change run `make lock`."""
    name = canonicalize_name(requirement.name)
    lines = [package for package, _ in locked() if canonicalize_name(package.name) == name]
    for machine in MACHINES:
        versions = [pinned(line) for line in lines if line.marker is None or line.marker.evaluate(machine)]
        assert len(versions) == 1, f"{name} is locked {len(versions)} times for {machine}; run `make lock`"
        assert requirement.specifier.contains(versions[0], prereleases=True), "run `make lock`"


@pytest.mark.parametrize("lock", [LOCK, INSTALLER], ids=["the course", "the installer"])
def test_every_package_carries_its_hashes(lock: str) -> None:
    """Without a SHA-256 for each package, somebody else's upload could be installed in its place."""
    for package, hashes in locked(lock):
        pinned(package)
        assert hashes, f"{package} has no hash"
        assert all(re.fullmatch(r"sha256:[0-9a-f]{64}", entry) for entry in hashes), package


def test_the_installer_is_the_one_that_is_asked_for() -> None:
    """After a change run `make lock`."""
    asked = re.sub(r"#.*", "", (PROJECT / "tools" / "installer.in").read_text(encoding="utf-8")).split()
    assert [str(package) for package, _ in locked(INSTALLER)] == asked


def test_one_pint_serves_every_python() -> None:
    """Units mean the same in every copy of the course, so pint is held to one version without conditions."""
    (pint,) = [package for package, _ in locked() if package.name == "pint"]
    assert pint.marker is None
    (asked,) = [requirement for requirement in asked_for() if requirement.name == "pint"]
    assert pinned(asked) == pinned(pint)


def test_nbgraders_setuptools_is_locked() -> None:
    """nbgrader needs setuptools, which newer Pythons no longer bring with them."""
    assert [package.name for package, _ in locked() if package.name == "setuptools"] == ["setuptools"]


def test_the_lock_names_no_address_and_no_path() -> None:
    """The reader's own settings say where packages come from; the lock says only which."""
    assert not re.search(r"[a-z]+://|\bwww\.|@ ", LOCK)
    assert not re.search(r"(^|\s)(/|~|\.\.?/|[A-Za-z]:\\)", LOCK, re.MULTILINE)
    options = {line.split()[0] for line in LOCK.splitlines() if line.startswith("-")}
    assert options == set(), "only --hash may stand in the lock"


def test_the_lock_is_sorted_and_says_how_it_is_made() -> None:
    """A sorted file shows in a diff what has changed; its first lines tell which command writes it."""
    names = [name for name, _ in groupby(package.name for package, _ in locked())]
    assert names == sorted(names)
    assert "make lock" in LOCK.splitlines()[1]
