"""Run a course through nbgrader's exchange with three system users, as on a shared server: `make exchange`.

An instructor and two students, each a user of this machine with a home of their own, release, fetch, hand in, collect,
mark and get feedback. Each step is checked, and what one user must not reach is tried and must be refused. The
settings are those that README.md shows. Everything is removed at the end. Needs root.
"""

from __future__ import annotations

import sys
from time import perf_counter

from tools.exchange.campus import WrongError, campus
from tools.exchange.steps import STEPS
from tools.exchange.system_users import CannotRunError, problem


def main() -> int:
    """Run the steps, one line each; return 1 at the first that comes out wrong, 2 where this machine cannot do it."""
    if trouble := problem():
        print(trouble, file=sys.stderr)
        return 2
    begun = perf_counter()
    try:
        with campus() as on:
            print(f"{perf_counter() - begun:5.1f} s  users made: {on.teacher.name}, {on.first.name}, {on.second.name}")
            for step in STEPS:
                start = perf_counter()
                said = step(on)
                print(f"{perf_counter() - start:5.1f} s  {step.__name__.replace('_', ' ')}: {said}", flush=True)
    except (CannotRunError, WrongError) as trouble_:
        print(f"NOT RIGHT: {trouble_}", file=sys.stderr)
        return 1
    print(f"{perf_counter() - begun:5.1f} s  in all; users and files removed")
    return 0


if __name__ == "__main__":
    sys.exit(main())
