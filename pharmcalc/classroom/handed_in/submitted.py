"""Check a hand-in's folder in ``submitted/`` before anything is copied from it or read in it.

Hand-ins that nbgrader's own exchange collects never pass the take-in. nbgrader copies what lies beside a notebook, and
follows links there: a link to the gradebook would come back with the feedback, one to a device would never end.
"""

from __future__ import annotations

import os
import re
import stat
import time
from datetime import datetime
from pathlib import Path

from pharmcalc.classroom.handed_in.naming import one_line
from pharmcalc.errors import CourseError

__all__ = ["STAMP", "check_folder", "stamped", "time_of"]

STAMP = "timestamp.txt"
"""Where nbgrader keeps when a hand-in came."""

_CURE = "write one there, such as 2025-01-31 09:30:00 UTC, or remove the file"
_NO_TIME = f"{STAMP} in its folder says no time; {_CURE}"
_NO_ZONE = f"{STAMP} in its folder gives a time of which nobody knows here how far from UTC it is; {_CURE}"
MOST_THINGS = 1000
LARGEST_FOLDER = 100 * 2**20
LONGEST_STAMP = 60
_STAMP = re.compile(r"(19|20)\d\d-\d\d-\d\d[ T]\d\d:\d\d(:\d\d(\.\d{1,6})?)?(\s?([A-Za-z]{1,5}|[+-]\d\d:?\d\d))?\s*\Z")
#: What nbgrader reads rightly of what may follow the time; any other name it takes for UTC, a space and +01:00 as well.
_ZONE = re.compile(r"|[+-]\d\d:?\d\d|\s?(?i:utc|gmt|z)")


def check_folder(folder: Path) -> None:
    """Raise ``CourseError`` with the cure where a hand-in's folder holds a link, a device, far too much, or no time.

    folder: ``submitted/<number>/<assignment>``. Nothing in it is opened but a short time stamp.
    """
    count = size = 0
    for path in _everything(folder):
        facts = path.lstat()
        count, size = count + 1, size + facts.st_size
        name = path.relative_to(folder).as_posix()
        if stat.S_ISLNK(facts.st_mode):
            raise CourseError(f"{one_line(name)} in its folder is a link; remove it and ask for the file itself")
        if not (stat.S_ISREG(facts.st_mode) or stat.S_ISDIR(facts.st_mode)):
            raise CourseError(f"{one_line(name)} in its folder is no file and no folder; remove it")
        if count > MOST_THINGS or size > LARGEST_FOLDER:
            raise CourseError("its folder holds far too much; keep the notebook and the bench record in it")
    _check_stamp(stamped(folder))


def _everything(folder: Path) -> list[Path]:
    """Return all that lies in a folder, as far as there may be in it; links are not followed."""
    found: list[Path] = []
    for here, folders, names in os.walk(folder, followlinks=False):
        found += [Path(here) / name for name in (*folders, *names)]
        if len(found) > MOST_THINGS + 1:
            break
    return sorted(found[: MOST_THINGS + 1])


def stamped(folder: Path) -> str:
    """Return the first characters of a hand-in's time stamp; nothing where there is none, or a link."""
    path = folder / STAMP
    if path.is_symlink() or not path.is_file():
        return ""
    with path.open("rb") as file:
        return file.read(LONGEST_STAMP + 1).decode("utf-8", "replace").strip()


def time_of(folder: Path) -> datetime | None:
    """Return when a hand-in came, in UTC, by its time stamp; None where there is none."""
    from nbgrader.utils import parse_utc

    text = stamped(folder)
    if not text:
        return None
    _check_stamp(text)
    try:
        when: datetime | None = parse_utc(text)
    except (ValueError, OverflowError):
        raise CourseError(_NO_TIME) from None
    return when


def _check_stamp(text: str) -> None:
    if not text:
        return
    found = _STAMP.match(text) if len(text) <= LONGEST_STAMP else None
    if found is None:
        raise CourseError(_NO_TIME)
    zone = found[4] or ""
    if not _ZONE.fullmatch(zone) and zone.strip() not in time.tzname:
        raise CourseError(_NO_ZONE)
