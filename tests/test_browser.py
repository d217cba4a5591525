"""Which browser the tests take."""

from collections.abc import Mapping
from pathlib import Path

import pytest

from tests.browser import IN_FOLDERS, ON_PATH, VARIABLE, find_browser


def find(
    platform: str = "linux",
    environ: Mapping[str, str] | None = None,
    on_path: Mapping[str, str] | None = None,
    files: tuple[str, ...] = (),
) -> Path | None:
    """Look for a browser on a machine that is described, not on this one."""
    return find_browser(environ or {}, platform, (on_path or {}).get, files.__contains__)


def test_a_machine_without_a_browser_is_told_apart() -> None:
    """Where there is no browser the answer is None, and the caller decides what that means."""
    assert find() is None
    assert find("darwin") is None
    assert find("win32") is None
    assert find("an unknown system") is None


@pytest.mark.parametrize("name", ON_PATH)
def test_a_program_on_the_path_is_taken(name: str) -> None:
    """Chromium, Chrome and Edge are found under each name that their packages give them."""
    assert find(on_path={name: f"/usr/bin/{name}"}) == Path("/usr/bin", name)


def test_chromium_comes_before_chrome_and_chrome_before_edge() -> None:
    """With several at hand, the choice is the same on every run."""
    several = {"microsoft-edge": "/e", "google-chrome": "/g", "chromium": "/c"}
    assert find(on_path=several) == Path("/c")
    del several["chromium"]
    assert find(on_path=several) == Path("/g")


@pytest.mark.parametrize("place", IN_FOLDERS["darwin"])
def test_a_mac_keeps_applications_in_two_folders(place: str) -> None:
    """On a Mac a browser is installed for all users or for one person, and is never on the path."""
    assert find("darwin", files=(f"/Applications/{place}",)) == Path(f"/Applications/{place}")
    home = {"HOME": "/Users/somebody"}
    own = f"/Users/somebody/Applications/{place}"
    assert find("darwin", home, files=(own,)) == Path(own)


@pytest.mark.parametrize("place", IN_FOLDERS["win32"])
@pytest.mark.parametrize("variable", ["PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA"])
def test_windows_names_its_folders_in_variables(place: str, variable: str) -> None:
    """On Windows the drive and the folder come from the system's variables, not from a guess."""
    root = {variable: r"D:\Programs"}
    assert find("win32", root, files=(rf"D:\Programs\{place}",)) == Path(rf"D:\Programs\{place}")
    assert find("win32", {}, files=(rf"D:\Programs\{place}",)) is None


@pytest.mark.parametrize("place", IN_FOLDERS["linux"])
def test_linux_packages_may_stay_off_the_path(place: str) -> None:
    """Some Linux packages live in a folder of their own."""
    assert find("linux", files=(place,)) == Path(place)


def test_the_variable_wins() -> None:
    """Whoever names a browser gets that one, whatever else is installed."""
    there = {"chromium": "/usr/bin/chromium", "/opt/mine": "/opt/mine"}
    assert find(environ={VARIABLE: "/opt/mine"}, on_path=there) == Path("/opt/mine")


def test_a_variable_that_points_nowhere_is_an_error() -> None:
    """A misspelt path is reported with what to do; no other browser is taken in silence."""
    with pytest.raises(FileNotFoundError, match=r"/no/such.*Set it to"):
        find(environ={VARIABLE: "/no/such"}, on_path={"chromium": "/usr/bin/chromium"})


def test_an_empty_variable_counts_as_unset() -> None:
    """An empty value, as a shell script may leave it, asks for nothing."""
    assert find(environ={VARIABLE: ""}, on_path={"chromium": "/usr/bin/chromium"}) == Path("/usr/bin/chromium")
