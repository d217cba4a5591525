"""A drawer of the desk, and what all drawers share: the course, the assignment and the student at hand."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from pathlib import Path
from typing import Any

import ipywidgets

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.desk.door import unexpected
from pharmcalc.classroom.desk.members import the_class
from pharmcalc.classroom.drawers.desk_parts import Acting, Clicks, in_clicks
from pharmcalc.classroom.results.picture import Picture, Row, take_picture
from pharmcalc.classroom.roster import Roster
from pharmcalc.errors import CourseError, PharmcalcError
from pharmcalc.widgets.controls import button, page, write
from pharmcalc.widgets.markup import Shown, note

__all__ = ["AtHand", "Drawer", "choice"]


def choice(label: str) -> Any:
    """Return a list to choose from, still empty."""
    made = ipywidgets.Dropdown(options=[], description=label)
    made.add_class("pc-choice")
    return made


def offer(made: Any, entries: list[tuple[str, str]]) -> None:
    """Put these entries into a list, and keep what is chosen where it is still among them."""
    if list(made.options) == entries:
        return
    chosen = made.value
    made.options = entries
    made.value = chosen if chosen in [value for _, value in entries] else (entries[0][1] if entries else None)


class AtHand:
    """What the desk works on now. Class list and class picture are read anew after each change."""

    def __init__(self, course: Course, changed: Callable[[], None]) -> None:
        self.course, self._changed = course, changed
        self.assignments, self.students = choice("Assignment"), choice("Student")
        offer(self.assignments, [(name, name) for name in course.assignments()])

    @property
    def assignment(self) -> str:
        """The assignment that is chosen."""
        if not self.assignments.value:
            raise CourseError(f"There is no assignment in {self.course.root / 'solutions'} yet. Copy one into it.")
        return str(self.assignments.value)

    @cached_property
    def roster(self) -> Roster:
        """The class list."""
        return the_class(self.course)

    @property
    def sitting(self) -> Roster:
        """Those who are asked to hand the assignment in."""
        return the_class(self.course, self.assignment)

    @cached_property
    def picture(self) -> Picture:
        """The class in this assignment."""
        return take_picture(self.course, self.assignment, self.sitting)

    @property
    def row(self) -> Row:
        """The student who is chosen, in this assignment."""
        found = [row for row in self.picture.rows if row.student.number == self.students.value]
        if not found:
            raise CourseError(
                f"{self.students.value} does not sit {self.assignment}. Choose another student or assignment."
            )
        return found[0]

    @property
    def reports(self) -> Path:
        """The folder with this assignment's pages."""
        return self.course.reports(self.assignment)

    def forget(self) -> None:
        """Read everything anew when it is next asked for."""
        for name in ("roster", "picture"):
            self.__dict__.pop(name, None)

    def changed(self) -> None:
        """Bring the whole desk up to date."""
        self.forget()
        offer(self.assignments, [(name, name) for name in self.course.assignments()])
        try:
            offer(self.students, [(f"{s.number} {s.name}", s.number) for s in self.roster])
        except PharmcalcError:
            offer(self.students, [])
        self._changed()


class Drawer(Acting):
    """One drawer: a handle with its name, how things stand, and inside it what can be done.

    A drawer of its own gives ``title``, says in ``stands`` what its front tells, and in ``fill`` puts into ``inside``
    what is to be seen when it is open.
    """

    title = ""

    def __init__(self, at: AtHand, *controls: Any) -> None:
        super().__init__()
        self.at = at
        self.handle = button(self.title, self.pull)
        self.handle.add_class("pc-handle")
        self.front, self.inside = page(), self.filled()
        front = ipywidgets.HBox([self.handle, self.front])
        front.add_class("pc-front")
        self.body = ipywidgets.VBox([*controls, *self.answer, self.inside])
        self.body.add_class("pc-inside")
        self.is_open = False
        self._show_body()
        self.children = (front, self.body)
        self.add_class("pc-drawer")

    def filled(self) -> Any:
        """Return the place for what is to be seen inside."""
        return page()

    def stands(self) -> str:
        """Say how things stand, on the front."""
        return ""

    def fill(self) -> Shown:
        """Return what is to be seen inside."""
        return Shown("", "")

    def pull(self) -> None:
        """Open the drawer, or close it."""
        self.is_open = not self.is_open
        self._show_body()
        self.refresh()

    def refresh(self) -> None:
        """Bring front and inside up to date."""
        write(self.front, note(self._said(self.stands).text, "soft").html)
        if self.is_open:
            self.put(self._said(self.fill))

    def put(self, made: Shown) -> None:
        """Show this inside."""
        write(self.inside, made.html)

    def press(self, do: Callable[[Clicks], object]) -> None:
        """Do what a button stands for, and bring the desk up to date."""
        self.act(do, self.at.changed, self.at.course.root)

    def _said(self, tell: Callable[[], Shown | str]) -> Shown:
        try:
            told = tell()
        except PharmcalcError as trouble:
            return note(in_clicks(str(trouble)))
        except Exception:  # noqa: BLE001  # told in one sentence; the details go to a file
            return note(unexpected(self.at.course.root))
        return told if isinstance(told, Shown) else Shown(told, "")

    def _show_body(self) -> None:
        self.body.layout.display = None if self.is_open else "none"
        (self.handle.add_class if self.is_open else self.handle.remove_class)("pc-out")
