"""The command line: short words, one page of output, one plain message when something is wrong."""

import json
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner

from pharmcalc.__main__ import pharmcalc, run
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.issuing.release import issued_notebook
from pharmcalc.errors import CourseError
from tests.classroom.building import CONFIG, PROJECT, answered
from tests.classroom.conftest import NAME, Classroom


def said(*words: str) -> str:
    """Run a command in this process and return what it printed; it must succeed."""
    done = CliRunner().invoke(pharmcalc, words, catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return done.output


def failed(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """Run a command that must fail and return what it said."""
    assert run(list(words)) == 1
    out, err = capsys.readouterr()
    assert "Traceback" not in out + err
    return err


def parcel(classroom: Classroom, path: Path) -> Path:
    """Write a zip with three hand-ins, one of them empty."""
    with zipfile.ZipFile(path, "w") as archive:
        for number in ("A-01", "A-02"):
            archive.writestr(f"{number}.ipynb", json.dumps(answered(classroom.release, number)))
        archive.writestr("A-03.ipynb", "")
    return path


def test_a_week_in_order(classroom: Classroom, tmp_path: Path) -> None:
    """Class list, issue, take in, mark, report, sheets: each says what it did and where things lie."""
    at = ("--course", str(classroom.course.root))
    assert "6 students · 6 new" in said(*at, "class", str(classroom.course.class_list))
    assert "issued before, unchanged · 2 tasks" in said(*at, "issue", NAME)
    told = said(*at, "take-in", NAME, str(parcel(classroom, tmp_path / "a.zip")))
    assert told.startswith("2 taken in · 1 set aside")
    assert "A-03.ipynb: the file is empty" in told
    told = said(*at, "mark", NAME)
    assert "3 handed in of 6 · marked 2/3" in told
    assert "2 cleared for the bench" in told
    assert "Undo: the gradebook before this run is kept as" in told
    assert "Feedback pages written: 2" in said(*at, "report", NAME)
    assert "key.html" in said(*at, "sheets", NAME)
    told = said(*at, "scripts", NAME)
    assert told.startswith("2 scripts, chosen for:\n  A-0")
    assert "scripts.html" in told
    reports = classroom.course.reports(NAME)
    made = {path.name for path in reports.iterdir()}
    assert {
        "report.html",
        "marks.csv",
        "upload.csv",
        "scripts.html",
        "sheets.html",
        "key.html",
        "sign-off.html",
    } <= made
    assert classroom.course.feedback(NAME, "A-02").is_file()


def test_every_command_fits_on_a_page(classroom: Classroom, tmp_path: Path) -> None:
    """Even with a whole parcel of rubbish, the answer is a page and names how many more there are."""
    with zipfile.ZipFile(tmp_path / "a.zip", "w") as archive:
        for n in range(300):
            archive.writestr(f"{n}.ipynb", "")
    told = said("--course", str(classroom.course.root), "take-in", NAME, str(tmp_path / "a.zip"))
    assert len(told.splitlines()) < 20
    assert "290 more" in told


def test_signs_in_file_names_are_shown_as_they_are(classroom: Classroom, tmp_path: Path) -> None:
    """A file name with brackets is text, not a style for the terminal."""
    with zipfile.ZipFile(tmp_path / "a.zip", "w") as archive:
        archive.writestr("[bold]x[/red].ipynb", "")
    told = said("--course", str(classroom.course.root), "take-in", NAME, str(tmp_path / "a.zip"))
    assert "[bold]x[/red].ipynb: the file is empty" in told


@pytest.mark.parametrize(
    ("words", "cure"),
    [
        (("mark", "week-9"), "There are: week-1"),
        (("take-in", NAME, "nothing-here"), "Give the folder or the zip"),
        (("class", "nothing-here.csv"), "Give the class list"),
        (("report", NAME, "more"), "more"),
        (("marc", NAME), "marc"),
    ],
)
def test_a_slip_is_one_plain_message(
    classroom: Classroom, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], cure: str
) -> None:
    """What was wrong and what to do; no trace of Python, and the exit code says that it failed."""
    assert cure in failed(capsys, "--course", str(classroom.course.root), *words)


def test_outside_a_course_the_way_is_shown(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In a folder that is no course, the message says how to get to one."""
    told = failed(capsys, "--course", str(tmp_path), "mark", NAME)
    assert "pharmcalc start FOLDER" in told


def test_before_the_class_list_the_next_step_is_named(classroom: Classroom, capsys: pytest.CaptureFixture[str]) -> None:
    """Without a class list nothing can be issued, and the message names the command."""
    classroom.course.class_list.unlink()
    assert "pharmcalc class FILE.csv" in failed(capsys, "--course", str(classroom.course.root), "issue", NAME)


def test_an_error_nobody_expected_is_one_sentence(
    classroom: Classroom, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The details go to a file that can be sent along; the screen stays readable."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("pharmcalc.classroom.desk.handing_out.issue", lambda *_, **__: 1 / 0)
    told = failed(capsys, "--course", str(classroom.course.root), "issue", NAME)
    assert "pharmcalc-error.txt" in told
    assert "ZeroDivisionError" in (tmp_path / "pharmcalc-error.txt").read_text(encoding="utf-8")


def test_start_lays_out_a_course_and_overwrites_nothing(classroom: Classroom, tmp_path: Path) -> None:
    """A second start leaves an edited file alone."""
    from rich.console import Console

    from pharmcalc.classroom.desk import members, setting_up
    from pharmcalc.classroom.desk.door import Terminal

    folder, quiet = tmp_path / "new", Terminal(Console(quiet=True))
    course = setting_up.start(folder, quiet, solutions=classroom.course.root / "solutions")
    assert course.assignments() == [NAME]
    with pytest.raises(CourseError, match="no student below the first line"):
        members.the_class(course)
    (folder / "house_rules.toml").write_text("# mine", encoding="utf-8")
    setting_up.start(folder, quiet, solutions=classroom.course.root / "solutions")
    assert (folder / "house_rules.toml").read_text(encoding="utf-8") == "# mine"
    assert Course.open(folder) == course


def test_a_new_class_list_keeps_the_old_one(classroom: Classroom, tmp_path: Path) -> None:
    """A list with a late joiner is taken over; whoever left stays in the gradebook, and the joiner gets a copy."""
    at = ("--course", str(classroom.course.root))
    said(*at, "class", str(classroom.course.class_list))
    new = tmp_path / "new.csv"
    new.write_text("number;surname;given name\nA-01;One;Ann\nA-77;Late;Lee\n", encoding="utf-8")
    told = said(*at, "class", str(new))
    assert "2 students · 1 new" in told
    assert "kept in the gradebook: A-02" in told
    assert (classroom.course.issued(NAME) / "A-77.ipynb").is_file()
    assert (classroom.course.root / "backups" / "class-before.csv").is_file()


def test_exercises_are_made_anew(classroom: Classroom) -> None:
    """Whoever writes assignments makes exercises/ with one command, and a second time there is nothing to do."""
    course = classroom.course
    shutil.rmtree(course.root / "exercises")
    assert NAME in said("--course", str(course.root), "exercises")
    assert json.loads(course.release(NAME).read_text(encoding="utf-8")) == classroom.release
    assert "up to date" in said("--course", str(course.root), "exercises")


def test_the_help_lists_a_week_in_order() -> None:
    """Whoever types pharmcalc alone or asks for help sees the commands in the order of a week."""
    told = said("--help")
    places = [told.index(f"pharmcalc {word}") for word in ("start", "class", "issue", "take-in", "mark")]
    assert places == sorted(places)


def test_the_course_works_without_its_environment_on_the_path(tmp_path: Path, classroom: Classroom) -> None:
    """nbgrader starts a helper by name; the command finds it although nobody activated the environment."""
    root = tmp_path / "fresh"
    shutil.copytree(classroom.course.root / "solutions", root / "solutions")
    shutil.copyfile(classroom.course.class_list, root / "class.csv")
    (root / "nbgrader_config.py").write_text(CONFIG, encoding="utf-8")
    env = {**os.environ, "PATH": "/usr/bin:/bin", "PYTHONPATH": str(PROJECT)}
    command = [sys.executable, "-m", "pharmcalc", "issue", NAME]
    done = subprocess.run(command, cwd=root, env=env, capture_output=True, text=True, check=False, timeout=120)
    assert (done.returncode, done.stderr) == (0, ""), done.stderr
    assert "· issued ·" in done.stdout
    (root / "gradebook.db").unlink()
    command = [sys.executable, "-m", "nbgrader", "generate_assignment", NAME, "--force"]
    done = subprocess.run(command, cwd=root, env=env, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    "words",
    [
        ["class", "class.csv"],
        ["issue", NAME],
        ["due", NAME, "2026-12-04"],
        ["take-in", NAME, "parcel.zip"],
        ["mark", NAME],
        ["change", NAME, "A-01", "q1", "0", "--reason", "x", "--by", "MK"],
        ["report", NAME],
        ["type-in", NAME, "lines.txt", "--by", "MK"],
    ],
    ids=lambda words: words[0],
)
def test_while_one_command_is_at_work_no_other_changes_the_course(
    classroom: Classroom,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    words: list[str],
) -> None:
    """Each says so and leaves every file as it is; afterwards it does its work."""
    monkeypatch.chdir(classroom.course.root)
    classroom.hand_in("A-01")
    classroom.mark()
    parcel(classroom, Path("parcel.zip"))
    paper = issued_notebook(classroom.course.release(NAME))[1].paper("A-02")
    Path("lines.txt").write_text(f"{paper.code}; 1 mg\n", encoding="utf-8")

    def everything() -> dict[Path, bytes]:
        return {path: path.read_bytes() for path in Path().rglob("*") if path.is_file() and "lock.db" not in path.name}

    before = everything()
    with classroom.course.only_run():
        assert "Another run is at work" in failed(capsys, *words)
        assert everything() == before
    assert run(words) == 0


def test_a_mark_is_changed_only_of_whoever_sits_the_resit(
    classroom: Classroom, capsys: pytest.CaptureFixture[str]
) -> None:
    """A student of the class who does not sit it is told apart from a stranger."""
    at = ("--course", str(classroom.course.root))
    said(*at, "resit", NAME, "A-01")
    change = ("change", f"{NAME}-resit")
    by_hand = ("q1", "0", "--reason", "x", "--by", "MK")
    assert "A-02 does not sit week-1-resit" in failed(capsys, *at, *change, "a-02", *by_hand)
    assert "X-9 is not on the class list" in failed(capsys, *at, *change, "X-9", *by_hand)
