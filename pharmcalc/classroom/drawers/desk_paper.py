"""The drawer for paper: print it, find a printed paper by its code, type in what was written on it."""

from __future__ import annotations

from typing import Any

import ipywidgets

from pharmcalc.classroom.desk import on_paper
from pharmcalc.classroom.drawers.desk_drawer import AtHand, Drawer
from pharmcalc.classroom.drawers.desk_parts import Place, field, listed_files
from pharmcalc.widgets.controls import button, buttons, page, text_area
from pharmcalc.widgets.markup import Shown, note

__all__ = ["Paper"]


class Paper(Drawer):
    """Pages to print, as pages for a browser and as PDF; a printed paper found again; answers typed in from paper."""

    title = "Paper"

    def __init__(self, at: AtHand) -> None:
        self.letter, self.large = _tick("Letter paper, not A4"), _tick("Large print for everybody")
        write = buttons(
            button("Write the pages to print", lambda: self._write(pdf=False), first=True),
            button("Write them as PDF", lambda: self._write(pdf=True)),
        )
        self.code = field("Paper code", short=True)
        find = buttons(
            button("Find the key", lambda: self._find(working=False)),
            button("With the working", lambda: self._find(working=True)),
        )
        found = note("Every sheet bears a code of seven signs. From it the student and the key are found.")
        self.lines, self.by = text_area("Answers from paper", "", 4), field("Your initials", short=True)
        take = buttons(
            button("Read the lines", lambda: self._type_in(look=True)),
            button("Take the lines in", lambda: self._type_in(look=False)),
        )
        typed = note(
            "Answers from paper: one line a student, `code; answer; answer`, in the order printed. An empty place is "
            "no answer. A correction is the line typed again. Typed after the deadline, it counts as handed in then."
        )
        how = ipywidgets.HBox([self.letter, self.large])
        told = (page(found.html), self.code, find, page(typed.html), self.lines, self.by, take)
        super().__init__(at, how, write, *told)

    def filled(self) -> Any:
        """Return the place for what is to be seen inside, with links."""
        return Place()

    def stands(self) -> str:
        """Say what is inside."""
        return "sheets for the lab, your key, the sign-off list"

    def fill(self) -> Shown:
        """Return links to the pages that are written, unless they have just been told."""
        if self.place.text:
            return Shown("", "")
        named = {
            "Students' sheets as PDF": on_paper.SHEETS,
            "Keys as PDF": on_paper.KEYS,
            "Sign-off list as PDF": on_paper.SIGN_OFF,
            "Students' sheets": "sheets.html",
            "In large print": "sheets-large.html",
            "Key": "key.html",
            "Sign-off list": "sign-off.html",
        }
        return listed_files({name: self.at.reports / file for name, file in named.items()})

    def put(self, made: Shown) -> None:
        """Show this inside."""
        self.inside.show(made)

    def _write(self, *, pdf: bool) -> None:
        self.press(
            lambda door: on_paper.sheets(
                self.at.course, self.at.assignment, door, pdf=pdf, letter=self.letter.value, large=self.large.value
            )
        )

    def _find(self, *, working: bool) -> None:
        self.press(lambda door: on_paper.paper(self.at.course, self.code.value, door, working=working))

    def _type_in(self, *, look: bool) -> None:
        lines = self.lines.value.splitlines()
        self.press(
            lambda door: on_paper.type_in(self.at.course, self.at.assignment, lines, self.by.value, door, look=look)
        )


def _tick(label: str) -> Any:
    made = ipywidgets.Checkbox(description=label, indent=False)
    made.add_class("pc-tick")
    return made
