"""What `make test` says and does where there is no browser, or no Pango for the printed sheets."""

import subprocess
from pathlib import Path

import pytest

from tests.browser import find_browser
from tools import check, get_system
from tools.get_system import BROWSER, NEEDS, NPM, PANGO, Need
from tools.site import parts

TESTS = ["tests/test_lab.py::test_a", "tests/test_lab.py::test_b", "tests/lessons/test_screen.py::test_c"]


def test_the_last_line_says_what_was_not_run_and_what_to_type() -> None:
    """One line tells how many tests of which files were left out, and the command that runs them."""
    line = check.not_run(BROWSER, TESTS, "no browser was found", "sudo apt-get install chromium")
    assert "\n" not in line
    told = "NOT RUN: 3 browser tests (tests/test_lab.py, tests/lessons/test_screen.py), because no browser was found"
    assert told in line
    assert line.endswith("sudo apt-get install chromium && make test")


def test_a_command_that_runs_the_tests_is_not_doubled() -> None:
    """Where no package is known, the cure names the variable and runs the tests itself."""
    line = check.not_run(BROWSER, TESTS, "no browser was found", "PHARMCALC_BROWSER=/x make test")
    assert line.endswith("type:  PHARMCALC_BROWSER=/x make test")


@pytest.mark.parametrize(
    ("need", "system", "programs", "distribution", "typed"),
    [
        (BROWSER, "darwin", (), "", "brew install --cask google-chrome"),
        (BROWSER, "win32", (), "", "winget install Google.Chrome"),
        (BROWSER, "linux", ("apt-get",), "debian", "sudo apt-get install chromium fonts-dejavu-core libatomic1"),
        (
            BROWSER,
            "linux",
            ("apt-get",),
            "ubuntu",
            "sudo apt-get install chromium-browser fonts-dejavu-core libatomic1",
        ),
        (BROWSER, "linux", ("dnf",), "fedora", "sudo dnf install chromium libatomic"),
        (BROWSER, "linux", (), "other", "PHARMCALC_BROWSER=/path/to/chromium make test"),
        (PANGO, "darwin", (), "", "brew install pango"),
        (PANGO, "win32", (), "", "pacman -S mingw-w64-x86_64-pango"),
        (PANGO, "linux", ("dnf",), "fedora", "sudo dnf install pango dejavu-sans-fonts"),
        (
            PANGO,
            "linux",
            ("apt-get",),
            "ubuntu",
            "sudo apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core",
        ),
    ],
)
def test_each_system_has_its_command(
    need: Need, system: str, programs: tuple[str, ...], distribution: str, typed: str
) -> None:
    """The command to type is the one of the reader's own system."""
    which = {program: f"/usr/bin/{program}" for program in programs}.get
    assert get_system.how_to(need, system, which, lambda: {"ID": distribution}) == typed


def test_nothing_is_installed_without_being_allowed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Only root on a system of the Debian family has anything installed for it; others are told how."""
    started: list[object] = []
    monkeypatch.setattr(get_system.subprocess, "run", lambda *words, **_: started.append(words))
    monkeypatch.setattr(get_system, "may_install", lambda: False)
    get_system.install(NEEDS)
    monkeypatch.setattr(get_system, "may_install", lambda: True)
    get_system.install([])
    assert started == []


def test_what_is_missing_is_installed_before_any_test(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each need's packages are asked for, and Ubuntu's names where Debian's are not known."""
    asked: list[str] = []

    def refuse_debian(words: list[str], **_: object) -> object:
        asked.append(" ".join(words[3:]))
        return subprocess.CompletedProcess(words, 100 if "chromium" in words else 0)

    monkeypatch.setattr(get_system.subprocess, "run", refuse_debian)
    monkeypatch.setattr(get_system, "may_install", lambda: True)
    get_system.install(NEEDS)
    assert [line.split()[-4:] for line in asked[1:]] == [
        ["libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0", "fonts-dejavu-core"],
        ["--no-install-recommends", "chromium", "fonts-dejavu-core", "libatomic1"],
        ["--no-install-recommends", "chromium-browser", "fonts-dejavu-core", "libatomic1"],
        ["install", "--yes", "--no-install-recommends", "npm"],
    ]


def test_a_browser_without_its_driver_is_no_browser(monkeypatch: pytest.MonkeyPatch) -> None:
    """A bare Debian has no libatomic, and without it Playwright cannot steer the browser that is there."""
    monkeypatch.setattr(get_system, "find_browser", lambda: Path("/usr/bin/chromium"))
    monkeypatch.setattr(get_system, "driver_starts", lambda: False)
    assert "libatomic" in get_system.no_browser()
    monkeypatch.setattr(get_system, "driver_starts", lambda: True)
    assert get_system.no_browser() == ""


def test_without_pango_its_name_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """A library that cannot be loaded is told by its name, and one that can be loaded is no problem."""
    monkeypatch.setattr(get_system.subprocess, "run", lambda *_, **__: subprocess.CompletedProcess([], 1))
    monkeypatch.setattr(get_system, "missing", lambda: "A PDF needs the library Pango.\nMore lines.")
    assert get_system.no_pango() == "A PDF needs the library Pango"
    monkeypatch.setattr(get_system.subprocess, "run", lambda *_, **__: subprocess.CompletedProcess([], 0))
    assert get_system.no_pango() == ""


@pytest.mark.parametrize(("ci", "result"), [("true", 1), ("1", 1), ("false", 0), ("", 0)])
@pytest.mark.parametrize("need", NEEDS, ids=lambda need: need.marker)
def test_what_is_missing_fails_in_ci_only(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], need: Need, ci: str, result: int
) -> None:
    """A person may go on without a browser or Pango and is told so; in CI nothing is left out."""
    monkeypatch.setenv("CI", ci)
    monkeypatch.setattr(check, "STEPS", ())
    monkeypatch.setattr(get_system, "lacking", lambda _: [(need, "it was not found")])
    monkeypatch.setattr(check, "those_that_need", lambda _: TESTS)
    monkeypatch.setattr(get_system, "may_install", lambda: False)
    assert check.main() == result
    told = capsys.readouterr().out.splitlines()
    assert told[-1].startswith(f"!!! NOT RUN: 3 {need.marker} tests")
    assert not any("Everything passed" in line for line in told)


def test_the_other_tests_run_all_the_same() -> None:
    """Without Pango, a browser or both, the tests that need them are left out, and only where there are such."""
    tests = next(step for step in check.STEPS if step.name == "tests")
    assert check.without(tests, []) == tests
    assert check.without(tests, [PANGO]).command == f"{tests.command} -m 'not pdf'"
    assert check.without(tests, [BROWSER, PANGO]).command == f"{tests.command} -m 'not browser and not pdf'"
    style = next(step for step in check.STEPS if step.name == "style")
    assert check.without(style, NEEDS) == style


def test_a_step_that_fails_ends_the_run(monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> None:
    """The first failure stops the run, so that the last thing on the screen is its reason."""
    steps = (
        check.Step("first", "python -m this"),
        check.Step("second", "python -m no_such_module"),
        check.Step("third", "python -m this"),
    )
    monkeypatch.setattr(check, "STEPS", steps)
    monkeypatch.setattr(get_system, "lacking", lambda _: [])
    assert check.main() == 1
    told = capfd.readouterr().out
    assert "first: passed" in told
    assert told.splitlines()[-1].startswith("== second: FAILED")


def test_the_tests_left_out_are_known_by_name() -> None:
    """The list of what was left out is asked of pytest, not kept by hand."""
    found = check.those_that_need(PANGO, "tests/sheets/test_pdf.py tests/test_check.py")
    assert any("tests/sheets/test_pdf.py" in name for name in found)
    assert not any("test_check" in name for name in found)


def test_what_python_compiles_is_kept(monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> None:
    """Hundreds of Pythons are started by the tests; only the first compiles."""
    monkeypatch.setenv("PYTHONDONTWRITEBYTECODE", "1")
    monkeypatch.setenv("PHARMCALC_PROFILE", "quick")
    assert "PHARMCALC_PROFILE" in check.environment()
    assert check.Step("look", "python -c 'import sys; print(sys.dont_write_bytecode)'").run()
    assert "False" in capfd.readouterr().out


def test_this_machine_is_looked_at() -> None:
    """The finder answers for the real machine too: nothing, or a program that is there."""
    found = find_browser()
    assert found is None or found.is_file()


def test_without_npm_only_the_browser_edition_is_left_out() -> None:
    """Without npm the tests of the browser edition are left out, and the other browser tests run."""
    tests = next(step for step in check.STEPS if step.name == "tests")
    assert check.without(tests, [NPM]).command.endswith("-m 'not site'")
    found = check.those_that_need(NPM, "tests/site tests/test_lab.py")
    assert found
    assert all("tests/site/" in name for name in found)


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
