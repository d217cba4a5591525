"""The drawer of the competency record: enter what was observed, correct an entry, see a student's term, write pages."""

from __future__ import annotations

from typing import Any

import ipywidgets

from pharmcalc.classroom.competency import LEVELS, NEVER_COUNTS, WITHDRAWN, Competency, student_page, term_record
from pharmcalc.classroom.desk import over_the_term
from pharmcalc.classroom.drawers.desk_drawer import AtHand, Drawer, choice, offer
from pharmcalc.classroom.drawers.desk_parts import COMPETENCIES, Clicks, Place, field, listed_files
from pharmcalc.classroom.drawers.desk_tables import one_record
from pharmcalc.widgets.controls import button, buttons, page
from pharmcalc.widgets.markup import Shown, note

__all__ = ["Competencies"]

_NEW = "a new entry"
_CHOOSE = ("choose one", "")  # nothing is entered by a press too many


class Competencies(Drawer):
    """What was observed at the bench, of one student or of several alike."""

    title = COMPETENCIES

    def __init__(self, at: AtHand) -> None:
        self.more = field("More students, observed alike (A-04,A-07)")
        self.what, self.level = choice("Competency"), choice("Level")
        offer(self.what, [_CHOOSE, *((one.value, one.value) for one in Competency)])
        levels = [_CHOOSE, *((level, level) for level in LEVELS)]
        offer(self.level, [*levels, (f"{WITHDRAWN}: nothing stands in its place", WITHDRAWN)])
        self.by, self.on = field("Assessor", short=True), field("Day (empty: today)", short=True)
        self.note = field("Note")
        self.entry, self.because = choice("This is"), field("If it corrects an entry: why")
        row = ipywidgets.HBox([self.by, self.on])
        row.add_class("pc-buttons")
        pressed = buttons(
            button("Write it down", self._observe, first=True), button("Write the pages of the term", self._pages)
        )
        told = page(note(f"Enter what you watched at a real balance. {NEVER_COUNTS}").html)
        rest = (row, self.note, self.entry, self.because, pressed)
        super().__init__(at, told, at.students, self.more, self.what, self.level, *rest)
        at.students.observe(lambda _: self.refresh(), "value")

    def filled(self) -> Any:
        """Return the place for what is to be seen inside, with links."""
        return Place()

    def stands(self) -> str:
        """Say what is inside."""
        return "observed at the bench, over the term"

    def fill(self) -> Shown:
        """Return the student's entries, and links to the pages that are written."""
        number = self.at.students.value
        student = self.at.roster.find(number) if number else None
        if student is None:
            return note("Nobody is on the class list yet.")
        found = term_record(self.at.course, self.at.roster).of(student)
        old = [one for one in found.entries if one.entry and one.entry not in found.replaced]
        said = {str(one.entry): f"{one.competency.value}, {one.level}, {one.on}" for one in old}
        corrects = [(f"instead of entry {entry}: {what}", entry) for entry, what in said.items()]
        offer(self.entry, [(_NEW, ""), *corrects])
        pages = {
            "The class": self.at.course.reports("term") / "competencies.html",
            f"The page of {number}": student_page(self.at.course, number),
        }
        return listed_files(pages) + one_record(found)

    def put(self, made: Shown) -> None:
        """Show this inside."""
        self.inside.show(made)

    def _observe(self) -> None:
        corrects = self.entry.value

        def do(door: Clicks) -> None:
            over_the_term.observe(
                self.at.course,
                ",".join([self.at.students.value or "", self.more.value]),
                self.what.value,
                self.level.value,
                door,
                by=self.by.value,
                on=self.on.value,
                note=self.note.value,
                instead_of=int(corrects) if corrects else None,
                because=self.because.value,
            )
            self.more.value = self.note.value = self.because.value = ""
            self.entry.value = self.level.value = ""

        self.press(do)

    def _pages(self) -> None:
        self.press(lambda door: over_the_term.record(self.at.course, door))
