"""Run every check, the quickest first, and stop at the first that fails: for `make test`, and so for CI.

Each step is a plain command, printed before it runs, so that a step that fails can be run alone.
"""

import os
import shlex
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tools import get_system
from tools.get_system import NEEDS, Need

PROJECT = Path(__file__).resolve().parent.parent
IN_PARALLEL = "--numprocesses=logical --maxprocesses=4 --dist=loadscope --no-loadscope-reorder"


@dataclass(frozen=True)
class Step:
    """One command and what it shows. ``needs``: markers of tests in it that need something of the system's."""

    name: str
    command: str
    needs: tuple[str, ...] = ()

    def run(self) -> bool:
        """Run the command in the project's folder and say whether it succeeded."""
        print(f"\n== {self.name}: {self.command}", flush=True)
        start = time.monotonic()
        succeeded = subprocess.run(self.words(), cwd=PROJECT, env=environment(), check=False).returncode == 0
        outcome = "passed" if succeeded else "FAILED"
        print(f"== {self.name}: {outcome} after {time.monotonic() - start:.0f} s", flush=True)
        return succeeded

    def words(self) -> list[str]:
        """Return the command, with this environment's Python in the place of `python`."""
        return [sys.executable, *shlex.split(self.command)[1:]]


STEPS = (
    Step("style", "python -m ruff check --quiet"),
    Step("layout", "python -m ruff format --check"),
    Step("types", "python -m mypy"),
    Step(
        "lessons",
        f"python -m pytest -q -p tests.nbval_stderr --nbval-lax --nbval-current-env {IN_PARALLEL} notebooks",
    ),
    Step("tests", f"python -m pytest -q {IN_PARALLEL}", needs=("browser", "pdf", "site")),
)
"""What is run. A step with tests that need what this machine lacks leaves these out."""


def main() -> int:
    """Get what the tests need, then run the steps; return 0 when all that ran have passed and CI leaves nothing out."""
    get_system.install(need for need, _ in get_system.lacking(NEEDS))
    lacking = get_system.lacking(NEEDS)
    for step in STEPS:
        if not without(step, [need for need, _ in lacking]).run():
            return 1
    if not lacking:
        print("\nEverything passed: " + ", ".join(step.name for step in STEPS) + ".")
    for need, problem in lacking:
        print(not_run(need, those_that_need(need), problem, get_system.how_to(need)))
    return 1 if lacking and in_ci() else 0


def environment() -> dict[str, str]:
    """Return what a step's Python finds around it: what it compiles is kept for the hundreds that follow."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def without(step: Step, lacking: Sequence[Need]) -> Step:
    """Return a step without the tests that need something."""
    left_out = " and ".join(f"not {need.marker}" for need in lacking if need.marker in step.needs)
    return replace(step, command=f"{step.command} -m '{left_out}'") if left_out else step


def in_ci() -> bool:
    """Say whether this is a CI's run, in which nothing may be left out."""
    return os.environ.get("CI", "").lower() not in ("", "0", "false")


def those_that_need(need: Need, where: str = "tests") -> list[str]:
    """Return the names of the tests, in some files or folders, that need something of the system's."""
    collect = Step("collect", f"python -m pytest -q -m {need.marker} {where} --collect-only").words()
    collect.append("--continue-on-collection-errors")
    told = subprocess.run(collect, cwd=PROJECT, env=environment(), capture_output=True, text=True, check=False).stdout
    return [line for line in told.splitlines() if "::" in line]


def not_run(need: Need, tests: list[str], problem: str, cure: str) -> str:
    """Return a loud last line."""
    files = ", ".join(dict.fromkeys(test.partition("::")[0] for test in tests))
    return (
        f"!!! NOT RUN: {len(tests)} {need.marker} tests ({files}), because {problem}. "
        f"To run them too, type:  {cure if 'make test' in cure else cure + ' && make test'}"
    )


if __name__ == "__main__":
    sys.exit(main())
