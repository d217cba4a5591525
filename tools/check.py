"""Run every check, the quickest first, and stop at the first that fails: for `make test`, and so for CI.

Each step is a plain command, printed before it runs, so that a step that fails can be run alone.
"""

import os
import shlex
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

from tools import get_browser
from tools.site import parts

PROJECT = Path(__file__).resolve().parent.parent
IN_PARALLEL = "--numprocesses=logical --maxprocesses=4 --dist=loadscope"


@dataclass(frozen=True)
class Step:
    """One command and what it shows."""

    name: str
    command: str

    def run(self) -> bool:
        """Run the command in the project's folder and say whether it succeeded."""
        print(f"\n== {self.name}: {self.command}", flush=True)
        start = time.monotonic()
        succeeded = subprocess.run(self.words(), cwd=PROJECT, check=False).returncode == 0
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
    Step("tests", f"python -m pytest -q -m 'not browser' {IN_PARALLEL}"),
    Step(
        "lessons",
        f"python -m pytest -q -p tests.nbval_stderr --nbval-lax --nbval-current-env {IN_PARALLEL} notebooks",
    ),
)
BROWSER_STEP = Step("browser", "python -m pytest -q -m browser tests")
SITE_TESTS = "tests/site"  # they build the browser edition first, and that needs npm
WITHOUT_SITE = Step("browser", f"{BROWSER_STEP.command} --ignore={SITE_TESTS}")


def main() -> int:
    """Run the steps; return 0 when all that ran have passed."""
    for step in STEPS:
        if not step.run():
            return 1
    if get_browser.problem():
        get_browser.install()
    problem = get_browser.problem()
    if problem:
        print(not_run(browser_tests(), problem, get_browser.how_to()))
        return 1 if in_ci() else 0
    no_site = parts.problem()
    if not (WITHOUT_SITE if no_site else BROWSER_STEP).run():
        return 1
    if no_site:
        print(not_run([test for test in browser_tests() if test.startswith(SITE_TESTS)], no_site, parts.HOW_TO_NPM))
        return 1 if in_ci() else 0
    print("\nEverything passed: " + ", ".join(step.name for step in (*STEPS, BROWSER_STEP)) + ".")
    return 0


def in_ci() -> bool:
    """Say whether this is a CI's run, in which nothing may be left out."""
    return os.environ.get("CI", "").lower() not in ("", "0", "false")


def browser_tests() -> list[str]:
    """Return the names of the tests that need a browser."""
    collect = [*BROWSER_STEP.words(), "--collect-only", "--continue-on-collection-errors"]
    told = subprocess.run(collect, cwd=PROJECT, capture_output=True, text=True, check=False).stdout
    return [line for line in told.splitlines() if "::" in line]


def not_run(tests: list[str], problem: str, cure: str) -> str:
    """Return the loud last line."""
    files = ", ".join(dict.fromkeys(test.partition("::")[0] for test in tests))
    return (
        f"!!! NOT RUN: {len(tests)} browser tests ({files}), because {problem}. "
        f"To run them too, type:  {cure if 'make test' in cure else cure + ' && make test'}"
    )


if __name__ == "__main__":
    sys.exit(main())
