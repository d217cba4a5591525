"""What a course folder is laid out with, and where it lies: the same from a clone of the project and from a wheel.

In a clone lessons, assignments and exercises are the project's own folders. A wheel carries copies of them, made when
it is built (``pyproject.toml``), inside the library: ``pharmcalc/course_files/``.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from hashlib import sha256
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

import pharmcalc
from pharmcalc.classroom.course import CONFIG
from pharmcalc.classroom.issuing.release import HOUSE_RULES
from pharmcalc.errors import CourseError
from pharmcalc.tasks.house import default_house_rules_text

__all__ = ["DESK", "LESSONS", "clone", "course_files", "fingerprint", "shelf"]

DESK = "desk.ipynb"
LESSONS = "lessons"
_KINDS = (".ipynb", ".md", ".png")
_CONFIG_TEXT = '''\
"""nbgrader's settings for this course. Your own lines may stand below."""

from pharmcalc.classroom.config import configure

c = get_config()  # noqa: F821  (nbgrader defines it)
configure(c)
'''
#: What Jupyter writes into a cell's settings by itself when a notebook is opened, run or folded.
_BY_ITSELF = {"ExecuteTime", "collapsed", "execution", "jupyter", "scrolled", "trusted"}


def clone() -> Path | None:
    """Return the folder of the project when the library is used from a clone; None when it is installed."""
    root = Path(pharmcalc.__file__).resolve().parents[1]
    return root if (root / "notebooks" / DESK).is_file() and (root / "solutions").is_dir() else None


def shelf() -> Traversable:
    """Return the place that holds ``notebooks/``, ``solutions/`` and ``exercises/``.

    Raises
    ------
    CourseError
        They are neither in the library nor beside it.
    """
    inside = files(pharmcalc) / "course_files"
    place = inside if inside.is_dir() else clone()
    if place is None:
        raise CourseError(
            f"The lessons and assignments are neither in {inside} nor beside the library: this copy of pharmcalc is "
            'not whole. Install it again: pip install --force-reinstall "pharmcalc[class,lab]"'
        )
    return place


def course_files(solutions: Path | None = None) -> dict[str, bytes]:
    """Return every file that a course folder is laid out with, by its path there.

    Parameters
    ----------
    solutions
        Another folder of assignments, in the place of the project's own.
    """
    place = shelf()
    made = {CONFIG: _CONFIG_TEXT.encode(), HOUSE_RULES: default_house_rules_text().encode()}
    for name, content in _walk(place / "notebooks"):
        if name == DESK:
            made[name] = content
        else:  # lessons lie together with the exercises for self-study, so that the folder can be handed on whole
            made[f"{LESSONS}/{name}"] = content.replace(b"](../exercises/", b"](exercises/")
    made |= {f"{LESSONS}/exercises/{name}": content for name, content in _walk(place / "exercises")}
    return made | {f"solutions/{name}": content for name, content in _walk(solutions or place / "solutions")}


def fingerprint(name: str, content: bytes) -> str:
    """Return a short text that is the same for two files in which people wrote the same.

    Line ends do not count; of a notebook neither outputs nor what Jupyter writes by itself, for whoever has only run a
    lesson has not edited it.
    """
    content = content.replace(b"\r\n", b"\n")
    if name.endswith(".ipynb"):
        content = _written(content)
    return sha256(content).hexdigest()


def _written(content: bytes) -> bytes:
    try:
        cells = [_cell(cell) for cell in json.loads(content)["cells"]]
    except (ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return content  # no notebook that anybody could open: every sign counts
    return json.dumps(cells, sort_keys=True).encode()


def _cell(cell: dict[str, Any]) -> dict[str, Any]:
    kept = {key: value for key, value in cell.items() if key not in ("outputs", "execution_count")}
    source = kept.get("source", "")
    settings = {key: value for key, value in kept.get("metadata", {}).items() if key not in _BY_ITSELF}
    return kept | {"source": source if isinstance(source, str) else "".join(source), "metadata": settings}


def _walk(place: Traversable, under: str = "") -> Iterator[tuple[str, bytes]]:
    for one in sorted(place.iterdir(), key=lambda one: one.name):
        if one.name.startswith("."):
            continue
        if one.is_dir():
            yield from _walk(one, f"{under}{one.name}/")
        elif one.name.endswith(_KINDS):
            yield under + one.name, one.read_bytes()
