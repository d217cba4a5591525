"""Mark copies of a course, each killed at a moment of its own; say how many moments a whole run has.

``python killing.py FOLDER ASSIGNMENT SEED COUNT``: FOLDER/course is marked in FOLDER/whole without harm, and in
FOLDER/killed-1 ... by processes that kill themselves (signal 9) when they come to their moment. A moment is a call into
the system or the database: writing, renaming, committing. They are drawn from all that a whole run has.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.engine import ready
from pharmcalc.classroom.marking.run import mark_class
from pharmcalc.classroom.roster import read_roster

WATCHED = {
    *("commit", "execute", "executemany"),
    *("rename", "replace", "write", "unlink", "open", "close", "mkdir", "chmod"),
}


def watched(moment: Callable[[], None]) -> Callable[[FrameType, str, Any], None]:
    """Return a profile function that calls ``moment`` before and after each call that changes something."""

    def look(_: FrameType, event: str, what: Any) -> None:
        if event in ("c_call", "c_return") and getattr(what, "__name__", "") in WATCHED:
            moment()

    return look


def mark(root: Path, assignment: str, moment: Callable[[], None]) -> None:
    """Mark the class in ``root``, and watch it."""
    course = Course.open(root)
    roster = read_roster(course.class_list)
    sys.setprofile(watched(moment))
    try:
        mark_class(course, assignment, roster)
    finally:
        sys.setprofile(None)


def in_a_child(work: Callable[[], None]) -> int:
    """Do work in a process of its own and return how it ended: 0, or the signal as a negative number."""
    child = os.fork()
    if child == 0:
        try:
            work()
        except BaseException:  # noqa: BLE001  # the parent sees the code
            os._exit(1)
        os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def main(folder: Path, assignment: str, seed: str, count: int) -> None:
    """Do what the module says."""
    ready()
    moments = 0

    def tell() -> None:
        nonlocal moments
        moments += 1

    for name in ("warm", "whole"):  # a first run loads what every later one finds there
        shutil.copytree(folder / "course", folder / name)
        moments = 0
        mark(folder / name, assignment, tell)
    dice = random.Random(seed)
    for number in range(1, count + 1):
        root, left = folder / f"killed-{number}", dice.randrange(1, moments)
        shutil.copytree(folder / "course", root)

        def kill() -> None:
            nonlocal left
            left -= 1
            if left == 0:
                os.kill(os.getpid(), signal.SIGKILL)

        ended = in_a_child(lambda root=root, kill=kill: mark(root, assignment, kill))  # type: ignore[misc]
        assert ended == -signal.SIGKILL, f"{root.name} was to be killed and ended with {ended}"
    sys.stdout.write(f"{moments}\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2], sys.argv[3], int(sys.argv[4]))
