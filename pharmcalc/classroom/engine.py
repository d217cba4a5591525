"""nbgrader's own converters and gradebook, driven from one process.

Marking, releasing and feedback are nbgrader's ``Autograde``, ``GenerateAssignment`` and ``GenerateFeedback`` with the
course's ``nbgrader_config.py``, so its other tools see the same. Two things are added: one open gradebook for a whole
run (nbgrader opens and checks it some ten times a student), and one student at a time, so that one bad hand-in is one
failure.
"""

from __future__ import annotations

import glob
import logging
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from pharmcalc.classroom.course import CONFIG, Course
from pharmcalc.classroom.starting import leaving_out
from pharmcalc.errors import CourseError, PharmcalcError

#: Checks of dates, times and addresses in schemas, of which a notebook's has none, and a page server.
_UNUSED = ("rfc3987_syntax", "rfc3986_validator", "isoduration", "nbconvert.postprocessors.serve")
#: Called by nbgrader or nbconvert in what a marking run does not do: unpack, ask a hub, serve pages, draw Markdown,
#: make tests from a list, look for a file of a similar name.
_SELDOM_CALLED = (
    "setuptools",
    "setuptools.archive_util",
    "requests",
    "bs4",
    "yaml",
    "rapidfuzz",
    "rapidfuzz.fuzz",
    "nbconvert.filters.markdown_mistune",
    *(
        f"nbgrader.server_extensions.{name}"
        for name in ("assignment_list", "course_list", "formgrader", "validate_assignment")
    ),
)


def programs_on_path() -> None:
    """Put the environment's programs on the path.

    nbgrader starts ``alembic`` by name when it makes a gradebook; without the environment's folder on ``PATH`` it stops
    with a message that says nothing of it.
    """
    programs = str(Path(sys.executable).parent)
    if programs not in os.environ.get("PATH", "").split(os.pathsep):
        os.environ["PATH"] = os.pathsep.join([programs, os.environ.get("PATH", "")])


def ready() -> None:
    """Import nbgrader, without what is not needed."""
    programs_on_path()
    with leaving_out(absent=_UNUSED, later=_SELDOM_CALLED):
        import nbgrader.api
        import nbgrader.converters  # noqa: F401


def settings(course: Course) -> Any:
    """Return the course's nbgrader settings, read from its ``nbgrader_config.py``."""
    ready()
    from traitlets.config.loader import PyFileConfigLoader

    try:
        return PyFileConfigLoader(CONFIG, path=str(course.root)).load_config()
    except Exception as trouble:
        raise CourseError(f"{course.root / CONFIG} cannot be used: {trouble}") from trouble


@contextmanager
def gradebook(course: Course) -> Iterator[Any]:
    """Open the course's gradebook, and close it at the end."""
    ready()
    from nbgrader.api import Gradebook

    with Gradebook(course.gradebook_url) as book:
        yield book


@contextmanager
def shared_gradebook(course: Course) -> Iterator[Any]:
    """Open the gradebook once for everything that nbgrader does inside the block.

    nbgrader's converters and steps each open it by calling ``Gradebook(url)``. Inside the block they all get this one,
    and closing it is left to the block's end.
    """
    with gradebook(course) as book:

        def shared(url: str, *_: object, **__: object) -> Any:
            if url != course.gradebook_url:
                raise CourseError(f"{CONFIG} names another gradebook ({url}); remove the setting db_url there.")
            return book

        users = [
            vars(module)
            for name, module in list(sys.modules.items())
            if name.startswith(("nbgrader.converters.", "nbgrader.preprocessors.")) and hasattr(module, "Gradebook")
        ]
        original, close = users[0]["Gradebook"], book.close
        book.close = lambda: None
        for names in users:
            names["Gradebook"] = shared
        try:
            yield book
        finally:
            for names in users:
                names["Gradebook"] = original
            book.close = close


class Converter:
    """One of nbgrader's converters for one course and assignment; ``run`` converts one student."""

    def __init__(self, kind: str, course: Course, assignment: str, *, root: Path | None = None) -> None:
        """Prepare ``kind`` (``GenerateAssignment``, ``Autograde`` or ``GenerateFeedback``)."""
        config = settings(course)
        from nbgrader import converters
        from nbgrader.coursedir import CourseDirectory

        self._failure: BaseException | None = None
        self._folder = CourseDirectory(
            config=config, root=str(root or course.root), assignment_id=glob.escape(assignment), log=_log()
        )
        self._converter = getattr(converters, kind)(coursedir=self._folder, config=config, log=_log())
        self._converter.force = True
        convert = self._converter.convert_single_notebook

        def remember_failure(path: str) -> None:
            try:
                convert(path)
            except Exception as trouble:
                self._failure = trouble
                raise

        self._converter.convert_single_notebook = remember_failure

    def leave_gradebook_alone(self) -> None:
        """Make the release as a trial: nothing is written to any gradebook."""
        self._converter.no_database = True
        self._converter.config.SaveCells.enabled = False

    def run(self, student: str = ".") -> None:
        """Convert one student's notebook (``.`` for the release).

        Raises
        ------
        CourseError
            It failed; the message is the first cause, in plain words where it is one of ours.
        """
        self._failure = None
        self._folder.student_id = glob.escape(student)
        try:
            self._converter.start()
        except Exception as trouble:  # noqa: BLE001
            cause = self._failure or trouble
            if isinstance(cause, PharmcalcError):
                raise cause from None
            raise CourseError(f"nbgrader could not finish it: {type(cause).__name__}: {str(cause)[:200]}") from cause


def _log() -> logging.Logger:
    log = logging.getLogger("pharmcalc.nbgrader")
    log.propagate = False
    log.setLevel(logging.CRITICAL + 1)
    return log
