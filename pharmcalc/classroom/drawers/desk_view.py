"""The instructor's desk in a notebook: everything that the command line does, to click.

``open_desk()`` opens the course that the notebook lies in, else it asks for a folder. The desk only shows: each button
calls the same function of ``desk`` as a command does.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from importlib.resources import files
from pathlib import Path

import ipywidgets

from pharmcalc.classroom.course import CONFIG, Course
from pharmcalc.classroom.course_files import clone
from pharmcalc.classroom.desk import setting_up
from pharmcalc.classroom.drawers.desk_class import ClassList, Issue, Mark, TakeIn
from pharmcalc.classroom.drawers.desk_competency import Competencies
from pharmcalc.classroom.drawers.desk_drawer import AtHand, Drawer
from pharmcalc.classroom.drawers.desk_paper import Paper
from pharmcalc.classroom.drawers.desk_parts import LAY_OUT, Acting, Clicks, Place, field, typed_path
from pharmcalc.classroom.drawers.desk_results import ChangeAMark, ClassPicture, OneStudent, Workshop
from pharmcalc.widgets.controls import Card, button, buttons, page, write
from pharmcalc.widgets.markup import Shown, heading, note

__all__ = ["DeskView", "open_desk"]

DRAWERS = (ClassList, Issue, TakeIn, Mark, ClassPicture, OneStudent, ChangeAMark, Competencies, Paper, Workshop)
TITLE = "The instructor's desk"
ASKS = (
    "Which course? Write its folder below and open it. Is there none yet, write where it is to lie and lay it out; "
    "nothing that is there is overwritten. To look around first, try an invented class of 24, issued and marked."
)


def open_desk(folder: str | Path | None = None) -> DeskView:
    """Return the desk of the course in ``folder``; without one, of the course that the notebook lies in.

    Where there is no course, the desk asks for one.
    """
    here = Path.cwd()
    if folder is None:
        folder = here if (here / CONFIG).is_file() else Path.home() / "my-class"
    return DeskView(Path(folder).expanduser())


class DeskView(Card):
    """The desk: which course, which assignment, and the drawers."""

    def __init__(self, folder: Path) -> None:
        self.which = CourseFolder(folder, self.take)
        self.drawers: tuple[Drawer, ...] = ()
        self.asks, self.chest = page(), ipywidgets.VBox([])
        style = page(f"<style>{_text('desk.css')}</style>")
        script = Place()
        script.add_class("pc-page")
        script.show(Shown("", f"<script>{_text('desk.js')}</script>"))
        parts = [style, page(heading(TITLE).html), self.asks, self.which, self.chest, script]
        super().__init__(parts, lambda: f"{TITLE}. Open this notebook in JupyterLab to work at it.")
        self.add_class("pc-desk")
        if (folder / CONFIG).is_file():
            self.take(Course.open(folder))
        else:
            write(self.asks, note(ASKS).html)

    def take(self, course: Course) -> None:
        """Work on a course from now on."""
        at = AtHand(course, self._refresh)
        self.drawers = tuple(drawer(at) for drawer in DRAWERS)
        at.changed()
        at.assignments.observe(lambda _: self._another(at), "value")
        write(self.asks, "" if course.root.is_relative_to(Path.cwd()) else note(_elsewhere(course)).html)
        self.chest.children = (at.assignments, *self.drawers)

    def drawer(self, title: str) -> Drawer:
        """Return the drawer with this name."""
        return next(drawer for drawer in self.drawers if drawer.title == title)

    def _another(self, at: AtHand) -> None:
        """Turn to another assignment: what was told of the one before goes."""
        for drawer in self.drawers:
            drawer.place.show(Shown("", ""))
        at.changed()

    def _refresh(self) -> None:
        for drawer in self.drawers:
            drawer.refresh()


class CourseFolder(Acting):
    """Which course it is: open one, lay out a new one, or try an invented class."""

    def __init__(self, folder: Path, take: Callable[[Course], None]) -> None:
        super().__init__()
        self._take = take
        self.folder = field("Course folder", str(folder))
        self.open = button("Open this course", partial(self._act, self._open), first=True)
        self.lay_out = button(LAY_OUT, partial(self._act, self._lay_out))
        self.demo = button("Try an invented class", partial(self._act, self._demo))
        self.children = (self.folder, buttons(self.open, self.lay_out, self.demo), *self.answer)

    def _act(self, do: Callable[[Clicks], Course]) -> None:
        self.act(lambda door: self._take(do(door)), lambda: None, Path.cwd())

    def _open(self, door: Clicks) -> Course:
        course = Course.open(self._path())
        door.say("Open: ", course.root)
        return course

    def _lay_out(self, door: Clicks) -> Course:
        return setting_up.start(self._path(), door)

    def _demo(self, door: Clicks) -> Course:
        from pharmcalc.classroom.demo.demo import run_demo  # here: only this button needs it

        root = (clone() or Path.cwd()) / "demo-class"
        run_demo(root, door)
        self.folder.value = str(root)
        return Course.open(root)

    def _path(self) -> Path:
        return typed_path(self.folder.value, Path.cwd(), "the course folder")


def _elsewhere(course: Course) -> str:
    own = course.root / setting_up.NOTEBOOK
    return f"Pages open with a click at the course's own desk, `{own}`. At this one their paths are named."


def _text(name: str) -> str:
    return files("pharmcalc.classroom.drawers").joinpath(name).read_text(encoding="utf-8")
