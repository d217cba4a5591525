"""The drawers after the marking: class picture, one student, change a mark, and the workshop."""

from __future__ import annotations

from typing import Any

import ipywidgets

from pharmcalc.classroom.desk import marking, over_the_term, second_look, setting_up
from pharmcalc.classroom.drawers.desk_drawer import AtHand, Drawer, choice, offer
from pharmcalc.classroom.drawers.desk_parts import PAGES_ANEW, TERM_ANEW, UPGRADE, Place, field, link, listed_files
from pharmcalc.classroom.drawers.desk_tables import class_picture, one_student, page_in_a_frame, said_of
from pharmcalc.classroom.pages import plain
from pharmcalc.classroom.results.overrides import changes_in_force
from pharmcalc.classroom.results.report import UPLOAD
from pharmcalc.classroom.results.scripts_page import SCRIPTS
from pharmcalc.classroom.term.term_page import FOLDER, PAGE
from pharmcalc.widgets.controls import button, buttons, live, page, write
from pharmcalc.widgets.markup import Shown, note

__all__ = ["ChangeAMark", "ClassPicture", "OneStudent", "Workshop"]

SURE = "Yes, make exercises anew"


class ClassPicture(Drawer):
    """Marks by student and task, frequent mistakes; report, mark sheets, scripts to check the marker by, the term."""

    title = "Class picture"

    def __init__(self, at: AtHand) -> None:
        told = note(
            "Before you trust the marker: ten scripts with the working, chosen so that each kind of case is seen."
        )
        scripts, term = button("Lay scripts side by side", self._scripts), button(TERM_ANEW, self._term)
        super().__init__(at, page(told.html), buttons(scripts, term))

    def filled(self) -> Any:
        """Return the place for what is to be seen inside, with links."""
        return Place()

    def stands(self) -> str:
        """Say what is inside."""
        return "marks by task, frequent mistakes, report"

    def fill(self) -> Shown:
        """Return links and tables."""
        named = {
            "Report": "report.html",
            "Mark sheet": "marks.csv",
            "For the learning platform": UPLOAD,
            "Scripts side by side": SCRIPTS,
        }
        written = {name: self.at.reports / file for name, file in named.items()}
        if not self.place.text:
            written["The class over the term"] = self.at.course.reports(FOLDER) / PAGE
        return listed_files(written) + class_picture(self.at.picture)

    def put(self, made: Shown) -> None:
        """Show this inside."""
        self.inside.show(made)

    def _scripts(self) -> None:
        self.press(lambda door: second_look.scripts(self.at.course, self.at.assignment, door))

    def _term(self) -> None:
        self.press(lambda door: over_the_term.term(self.at.course, door))


class OneStudent(Drawer):
    """One student: marks by task, clearance and why, and the feedback page as the student sees it."""

    title = "One student"

    def __init__(self, at: AtHand) -> None:
        self.said, self.frame, self.page = live(), page(), Place()
        super().__init__(at, at.students, self.said)
        self.body.children = (*self.body.children, self.page, self.frame)
        at.students.observe(lambda _: self.refresh(), "value")

    def stands(self) -> str:
        """Say what is inside."""
        return "marks, clearance and why, the feedback page"

    def fill(self) -> Shown:
        """Return the student's marks, and show the page below."""
        write(self.said, "")
        write(self.frame, "")
        self.page.show(Shown("", ""))
        if not self.at.students.value:
            return note("Nobody is on the class list yet.")
        row = self.at.row
        write(self.said, note(said_of(self.at.picture, row)).html)
        path = self.at.course.feedback(self.at.assignment, row.student.number)
        if path.is_file():
            self.page.show(Shown("Feedback page: ", '<p class="pc-told">Feedback page: ') + link(path))
            title = f"Feedback page of {row.student.number}"
            write(self.frame, page_in_a_frame(title, path.read_text(encoding="utf-8")))
        return one_student(self.at.picture, row)


class ChangeAMark(Drawer):
    """Change a mark by hand, with a reason that the student reads."""

    title = "Change a mark"

    def __init__(self, at: AtHand) -> None:
        self.task = choice("Task")
        self.marks, self.by = field("Marks", short=True), field("Your initials", short=True)
        self.reason = field("Reason, which the student reads")
        self.stand = live()
        row = ipywidgets.HBox([self.marks, self.by])
        row.add_class("pc-buttons")
        pressed = buttons(
            button("Change the mark", lambda: self._change(self.marks.value), first=True),
            button("Back to the marking's own", lambda: self._change(second_look.BACK)),
            button(PAGES_ANEW, self._pages),
        )
        super().__init__(at, at.students, self.task, self.stand, row, self.reason, pressed)
        at.students.observe(lambda _: self.refresh(), "value")
        self.task.observe(lambda _: self._stands_now(), "value")

    def stands(self) -> str:
        """Say how many marks are changed."""
        held = changes_in_force(self.at.course, self.at.assignment)
        return f"{sum(map(len, held.values()))} changed by hand"

    def fill(self) -> Shown:
        """Return the changes that hold."""
        parts = self.at.picture.parts
        offer(self.task, [(f"{part.name}: {part.title} ({plain(part.out_of)})", part.name) for part in parts])
        self._stands_now()
        made = Shown("", "")
        for number, changes in sorted(changes_in_force(self.at.course, self.at.assignment).items()):
            for change in changes:
                made += note(f"{number}: {change.says()}")
        return made

    def _stands_now(self) -> None:
        task = self.task.value
        if not (task and self.at.students.value):
            return
        scores = self.at.row.scores
        now = f"stands at {plain(scores[task])} marks" if task in scores else "has no marks yet"
        write(self.stand, note(f"{task} of {self.at.students.value} {now}.").html)

    def _change(self, marks: str) -> None:
        self.press(
            lambda door: second_look.change(
                self.at.course,
                self.at.assignment,
                self.at.students.value or "",
                self.task.value or "",
                marks,
                self.reason.value,
                self.by.value,
                door,
            )
        )

    def _pages(self) -> None:
        self.press(lambda door: marking.report(self.at.course, self.at.assignment, door))


class Workshop(Drawer):
    """The course's own files: bring them up to the pharmcalc that is installed, or make exercises anew."""

    title = "Workshop"

    def __init__(self, at: AtHand) -> None:
        self.make = button("Make exercises anew", self._make)
        told = note(
            "For whoever writes assignments in solutions/: makes exercises/ anew, and gives nothing to anybody. "
            "Marking follows exercises/, so do it before an assignment is issued, not after."
        )
        self.upgrade = button(UPGRADE, self._upgrade)
        newer = note(
            "After a newer pharmcalc was installed: brings lessons, assignments and this desk up to it. "
            "What you edited stays, and so does what is issued."
        )
        super().__init__(at, page(newer.html), buttons(self.upgrade), page(told.html), buttons(self.make))

    def stands(self) -> str:
        """Say what is inside."""
        return "upgrade the course's files; for whoever writes assignments"

    def refresh(self) -> None:
        """Forget a second question."""
        super().refresh()
        self.make.description = "Make exercises anew"

    def _upgrade(self) -> None:
        self.press(lambda door: setting_up.upgrade(self.at.course, door))

    def _make(self) -> None:
        if self.make.description != SURE:
            self.make.description = SURE
            self.place.show(note(f"Every assignment is made anew, those that are issued too. To do it, press {SURE}."))
            return
        self.press(lambda door: setting_up.exercises(self.at.course, door))
