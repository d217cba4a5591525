"""What `make test` says and does where there is no browser."""

from pathlib import Path

import pytest

from tests.browser import find_browser
from tools import check, get_browser
from tools.site import parts

TESTS = ["tests/test_lab.py::test_a", "tests/test_lab.py::test_b", "tests/lessons/test_screen.py::test_c"]


def test_the_last_line_says_what_was_not_run_and_what_to_type() -> None:
    """One line tells how many tests of which files were left out, and the command that runs them."""
    line = check.not_run(TESTS, "no browser was found", "sudo apt-get install chromium")
    assert "\n" not in line
    told = "NOT RUN: 3 browser tests (tests/test_lab.py, tests/lessons/test_screen.py), because no browser was found"
    assert told in line
    assert line.endswith("sudo apt-get install chromium && make test")


def test_a_command_that_runs_the_tests_is_not_doubled() -> None:
    """Where no package is known, the cure names the variable and runs the tests itself."""
    line = check.not_run(TESTS, "no browser was found", "PHARMCALC_BROWSER=/x make test")
    assert line.endswith("type:  PHARMCALC_BROWSER=/x make test")


@pytest.mark.parametrize(
    ("system", "programs", "distribution", "typed"),
    [
        ("darwin", (), "", "brew install --cask google-chrome"),
        ("win32", (), "", "winget install Google.Chrome"),
        ("linux", ("apt-get",), "debian", "sudo apt-get install chromium fonts-dejavu-core libatomic1"),
        ("linux", ("apt-get",), "ubuntu", "sudo apt-get install chromium-browser fonts-dejavu-core libatomic1"),
        ("linux", ("dnf",), "fedora", "sudo dnf install chromium libatomic"),
        ("linux", (), "other", "PHARMCALC_BROWSER=/path/to/chromium make test"),
    ],
)
def test_each_system_has_its_command(system: str, programs: tuple[str, ...], distribution: str, typed: str) -> None:
    """The command to type is the one of the reader's own system."""
    which = {program: f"/usr/bin/{program}" for program in programs}.get
    assert get_browser.how_to(system, which, lambda: {"ID": distribution}) == typed


def test_nothing_is_installed_without_being_allowed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Only root on a system of the Debian family has a browser installed for it; others are told how."""
    started: list[object] = []
    monkeypatch.setattr(get_browser, "may_install", lambda: False)
    monkeypatch.setattr(get_browser.subprocess, "run", lambda *words, **_: started.append(words))
    get_browser.install()
    assert started == []


def test_a_browser_without_its_driver_is_no_browser(monkeypatch: pytest.MonkeyPatch) -> None:
    """A bare Debian has no libatomic, and without it Playwright cannot steer the browser that is there."""
    monkeypatch.setattr(get_browser, "find_browser", lambda: Path("/usr/bin/chromium"))
    monkeypatch.setattr(get_browser, "driver_starts", lambda: False)
    assert "libatomic" in get_browser.problem()
    monkeypatch.setattr(get_browser, "driver_starts", lambda: True)
    assert get_browser.problem() == ""


@pytest.mark.parametrize(("ci", "result"), [("true", 1), ("1", 1), ("false", 0), ("", 0)])
def test_a_missing_browser_fails_in_ci_only(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], ci: str, result: int
) -> None:
    """A person may go on without a browser and is told so; in CI nothing is left out."""
    monkeypatch.setenv("CI", ci)
    monkeypatch.setattr(check, "STEPS", ())
    monkeypatch.setattr(get_browser, "find_browser", lambda: None)
    monkeypatch.setattr(check, "browser_tests", lambda: TESTS)
    monkeypatch.setattr(get_browser, "may_install", lambda: False)
    assert check.main() == result
    assert "NOT RUN" in capsys.readouterr().out.splitlines()[-1]


def test_a_step_that_fails_ends_the_run(monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> None:
    """The first failure stops the run, so that the last thing on the screen is its reason."""
    steps = (
        check.Step("first", "python -m this"),
        check.Step("second", "python -m no_such_module"),
        check.Step("third", "python -m this"),
    )
    monkeypatch.setattr(check, "STEPS", steps)
    assert check.main() == 1
    told = capfd.readouterr().out
    assert "first: passed" in told
    assert told.splitlines()[-1].startswith("== second: FAILED")


def test_the_browser_tests_are_known_by_name() -> None:
    """The list of what was left out is asked of pytest, not kept by hand."""
    assert "tests/test_lab.py::test_no_nbgrader_button_is_in_sight" in check.browser_tests()
    assert not any("test_check" in name for name in check.browser_tests())


def test_this_machine_is_looked_at() -> None:
    """The finder answers for the real machine too: nothing, or a program that is there."""
    found = find_browser()
    assert found is None or found.is_file()


@pytest.mark.parametrize(("ci", "result"), [("true", 1), ("", 0)])
def test_a_missing_npm_leaves_out_the_browser_edition_and_says_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], ci: str, result: int
) -> None:
    """Only the browser edition needs npm; without it the other browser tests still run, and in CI that is a failure."""
    ran: list[check.Step] = []
    monkeypatch.setenv("CI", ci)
    monkeypatch.setattr(check, "STEPS", ())
    monkeypatch.setattr(get_browser, "problem", lambda: "")
    monkeypatch.setattr(parts, "problem", lambda: parts.NO_NPM)
    monkeypatch.setattr(check, "browser_tests", lambda: ["tests/site/test_landing.py::test_a", *TESTS])
    monkeypatch.setattr(check.Step, "run", lambda step: not ran.append(step))
    assert check.main() == result
    assert ran == [check.WITHOUT_SITE]
    told = capsys.readouterr().out.splitlines()[-1]
    assert told.startswith("!!! NOT RUN: 1 browser tests (tests/site/test_landing.py), because npm, which")
    assert told.endswith("sudo apt-get install npm && make test")


def test_the_parts_of_the_browser_edition_are_missed_only_where_they_are_needed(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Without npm the site cannot be built, unless what npm fetches is there from an earlier time."""
    monkeypatch.setattr(parts.shutil, "which", lambda name: None)
    monkeypatch.setattr(parts, "PARTS", tmp_path)
    assert "npm" in parts.problem()
    with pytest.raises(parts.PartError, match="sudo apt-get install npm"):
        parts.pyodide()
    (tmp_path / "npm.made-from").write_text("", encoding="utf-8")
    assert parts.problem() == ""
