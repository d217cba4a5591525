"""Which Python the environment is made with, and what a person is told when none will do."""

import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).resolve().parent.parent / "tools" / "make_environment.sh"

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="make and sh are not used on Windows")


class Machine:
    """A machine of shell scripts: nothing but these is on its PATH, and nothing real is started."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.log = folder / "log"
        self.log.touch()
        self.user(1000)

    def program(self, name: str, body: str) -> Path:
        """Put a program on the machine."""
        path = self.folder / name
        path.write_text(f"#!/bin/sh\n{body}\n", encoding="utf-8")
        path.chmod(0o755)
        return path

    def user(self, number: int) -> None:
        """Say who works there; 0 is root."""
        self.program("id", f"echo {number}")

    def python(self, name: str, *, complete: bool = True, recent: bool = True) -> Path:
        """Put a Python on the machine; Debian's, for one, is not complete: it lacks the venv module."""
        path = self.folder / name
        module = self.folder / f"{name}-venv"
        if complete:
            module.touch()
        return self.program(
            name,
            f"""case "$*" in
                *'>= (3, 11)'*) {f"echo {path}" if recent else "exit 0"} ;;
                *'import ensurepip'*) test -e {module} ;;
                *'-venv'*) echo python3.11-venv ;;
                --version) echo Python ;;
                '-m venv'*) echo "{name} $*" >> {self.log} ;;
            esac""",
        )

    def make_environment(self, **environ: str) -> "subprocess.CompletedProcess[str]":
        """Run the script there."""
        return subprocess.run(
            ["/bin/sh", str(SCRIPT), "folder"],
            env={"PATH": str(self.folder), **environ},
            capture_output=True,
            text=True,
            check=False,
        )


@pytest.fixture
def machine(tmp_path: Path) -> Machine:
    """Give a test an empty machine."""
    return Machine(tmp_path)


def test_the_newest_tested_python_is_taken(machine: Machine) -> None:
    """Of several, the newest that the project is tested with is taken, not the one that is called python3."""
    for name in ("python3", "python3.11", "python3.12"):
        machine.python(name)
    assert machine.make_environment().returncode == 0
    assert machine.log.read_text() == "python3.12 -m venv --clear folder\n"


def test_a_name_that_cannot_start_is_passed_over(machine: Machine) -> None:
    """Version managers leave stand-ins on the path for Pythons that are switched off."""
    machine.program("python3.13", "echo 'python3.13: command not found' >&2; exit 127")
    machine.python("python3")
    assert machine.make_environment().returncode == 0
    assert machine.log.read_text().startswith("python3 ")


def test_an_old_python_is_passed_over_and_the_cure_is_told(machine: Machine) -> None:
    """With nothing from 3.11 on, the message says what was looked for and what to do."""
    machine.python("python3", recent=False)
    run = machine.make_environment()
    assert run.returncode == 1
    assert "No Python 3.11 or newer was found" in run.stderr
    assert "make PYTHON=" in run.stderr
    assert machine.log.read_text() == ""


def test_a_named_python_is_the_only_candidate(machine: Machine) -> None:
    """Whoever names a Python gets that one or a message, never another."""
    machine.python("python3.13")
    machine.python("mine")
    assert machine.make_environment(PYTHON="mine").returncode == 0
    assert machine.log.read_text().startswith("mine ")
    run = machine.make_environment(PYTHON="/no/such/python")
    assert run.returncode == 1
    assert "/no/such/python" in run.stderr


def test_a_complete_python_comes_before_a_newer_incomplete_one(machine: Machine) -> None:
    """A Python that can make an environment is better than one that first needs a package."""
    machine.python("python3.13", complete=False)
    machine.python("python3.12")
    assert machine.make_environment().returncode == 0
    assert machine.log.read_text().startswith("python3.12 ")


def test_debians_missing_part_is_named(machine: Machine) -> None:
    """A person who may not install is told which package is missing and the command for it."""
    machine.python("python3", complete=False)
    run = machine.make_environment()
    assert run.returncode == 1
    assert "sudo apt-get install python3.11-venv" in run.stderr


def test_root_on_debian_gets_the_missing_part(machine: Machine) -> None:
    """On a fresh machine whose user is root, the missing package is installed without a question."""
    machine.python("python3", complete=False)
    machine.user(0)
    machine.program("apt-get", f'[ "$1" = update ] || : > {machine.folder / "python3-venv"}')
    run = machine.make_environment()
    assert run.returncode == 0, run.stderr
    assert machine.log.read_text() == "python3 -m venv --clear folder\n"


def test_an_installation_that_fails_is_not_called_done(machine: Machine) -> None:
    """Without a network the package does not come; the message still says what is missing."""
    machine.python("python3", complete=False)
    machine.user(0)
    machine.program("apt-get", '[ "$1" = update ] || exit 100')
    run = machine.make_environment()
    assert run.returncode == 1
    assert "sudo apt-get install python3.11-venv" in run.stderr
