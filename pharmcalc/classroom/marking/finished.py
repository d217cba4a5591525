"""What a finished marking leaves: the marked notebook in ``autograded/``, and a completion marker that is written last.

Only the marker says that a hand-in was marked. Whatever is there without it was left by a run that was cut off.
"""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

from pharmcalc.bench import file_name
from pharmcalc.classroom.cells import Json
from pharmcalc.classroom.course import MARKED, Course
from pharmcalc.classroom.handed_in.inbox import write_whole
from pharmcalc.classroom.handed_in.records import Beside
from pharmcalc.classroom.handed_in.submitted import STAMP

__all__ = ["SECRET", "carry", "fingerprint_of", "finish", "forget", "is_marked", "lay_down", "read_marked"]

#: nbgrader's exchange names a feedback page by it.
SECRET = "submission_secret.txt"
_LONGEST_NOTE = 1000


def is_marked(course: Course, assignment: str, number: str) -> bool:
    """Say whether the marking of this hand-in was finished."""
    path = course.autograded(assignment, number)
    return path.is_file() and (path.parent / MARKED).is_file()


def read_marked(course: Course, assignment: str, number: str) -> Json:
    """Return a marked hand-in, as the instructor's own process wrote it."""
    found: Json = json.loads(course.autograded(assignment, number).read_text(encoding="utf-8"))
    return found


def fingerprint_of(course: Course, assignment: str, number: str) -> str:
    """Return what was marked, as the marker holds it; an empty text where no marking was finished."""
    path = course.autograded(assignment, number)
    try:
        return str(json.loads((path.parent / MARKED).read_text(encoding="utf-8"))["fingerprint"]) * path.is_file()
    except (OSError, ValueError, KeyError, TypeError):
        return ""


def lay_down(course: Course, assignment: str, number: str, text: str, beside: Beside) -> None:
    """Write a marked notebook where nbgrader's tools look for it, with the time and the bench records beside it."""
    path, source = course.autograded(assignment, number), course.submitted(assignment, number).parent
    path.parent.mkdir(parents=True, exist_ok=True)
    _writable(path)
    write_whole(path, text.encode("utf-8"))
    stale = {old.name for old in path.parent.glob(file_name("*"))}
    for task, record in beside.texts.items():
        _writable(path.parent / file_name(task))
        write_whole(path.parent / file_name(task), record.encode("utf-8", "replace"))
        stale.discard(file_name(task))
    carry(source, path.parent)
    for name in stale:
        (path.parent / name).unlink(missing_ok=True)


def carry(source: Path, target: Path) -> None:
    """Take on what nbgrader laid beside a hand-in: when it came, and the secret by which its feedback is fetched."""
    for name in (STAMP, SECRET):
        there, copy = source / name, target / name
        _writable(copy)
        if there.is_file() and not there.is_symlink() and there.stat().st_size <= _LONGEST_NOTE:
            write_whole(copy, there.read_bytes())
        else:
            copy.unlink(missing_ok=True)


def finish(course: Course, assignment: str, number: str, fingerprint: str) -> None:
    """Write the completion marker."""
    text = json.dumps({"fingerprint": fingerprint, "when": f"{datetime.now():%Y-%m-%d %H:%M:%S}"})
    write_whole(course.autograded(assignment, number).with_name(MARKED), text.encode())


def forget(course: Course, assignment: str, number: str) -> None:
    """Take the completion marker away, and the feedback page: they are of what was handed in before."""
    course.autograded(assignment, number).with_name(MARKED).unlink(missing_ok=True)
    course.feedback(assignment, number).unlink(missing_ok=True)


def _writable(path: Path) -> None:
    """Let a file be replaced that nbgrader's own command left read-only; some systems insist."""
    if path.is_file() and not path.is_symlink():
        path.chmod(0o644)
