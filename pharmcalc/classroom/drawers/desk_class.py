"""The drawers before and at the marking: class list, issue, take in, mark."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from typing import Any

from pharmcalc.classroom.desk import handing_out, marking, setting_up, taking_in
from pharmcalc.classroom.drawers.desk_drawer import AtHand, Drawer
from pharmcalc.classroom.drawers.desk_parts import (
    CLASS_LIST,
    ISSUE,
    ISSUE_AGAIN,
    MARK,
    PAGES_ANEW,
    TAKE_BACK,
    TAKE_IN,
    Clicks,
    field,
    typed_path,
    upload,
)
from pharmcalc.classroom.drawers.desk_tables import assignments, class_list, hand_ins, marked, students
from pharmcalc.classroom.issuing.issue import issued_assignments
from pharmcalc.widgets.controls import button, buttons, page
from pharmcalc.widgets.markup import Shown, note

__all__ = ["ClassList", "Issue", "Mark", "TakeIn"]

SURE = "Yes, issue it again"
SURE_TO_TAKE_BACK = "Yes, take it back"


class ClassList(Drawer):
    """Who is in the class: read a file, see the list."""

    title = CLASS_LIST

    def __init__(self, at: AtHand) -> None:
        self.file = field("File", "class.csv")
        self.read = button("Read the class list", self._read, first=True)
        self.upload = upload("Choose a file", ".csv,.txt", self._chosen)
        told = page(
            note("A table saved as CSV: `number,surname,given name,email`. Fill in class.csv, or choose another.").html
        )
        super().__init__(at, told, self.file, buttons(self.read, self.upload))

    def stands(self) -> str:
        """Say how many there are."""
        return students(len(self.at.roster))

    def fill(self) -> Shown:
        """Return the list."""
        return class_list(self.at.roster)

    def _read(self) -> None:
        self.press(
            lambda door: setting_up.class_list(
                self.at.course, typed_path(self.file.value, self.at.course.root, "the class list"), door
            )
        )

    def _chosen(self, chosen: Sequence[dict[str, Any]]) -> None:
        def read(door: Clicks) -> None:
            with _on_disk(chosen) as folder:
                for path in folder.iterdir():
                    setting_up.class_list(self.at.course, path, door)

        self.press(read)


class Issue(Drawer):
    """What students get: which assignments there are, which are issued, issue one."""

    title = ISSUE

    def __init__(self, at: AtHand) -> None:
        self.issue = button(ISSUE, lambda: self._issue(again=False), first=True)
        self.again = button(ISSUE_AGAIN, self._again)
        self.until = field("To be handed in by", short=True)
        self.only = field("Only for (a number, or empty)", short=True)
        self.set = button("Set the deadline", self._due)
        told = page(
            note('A date and time such as 2026-12-04 18:00, or "none". Empty: tell the deadlines that stand.').html
        )
        self.again_for = field("Resit for (numbers)", short=True)
        self.resit = button("Make a resit", self._resit)
        deadline, resit = (self.until, self.only, buttons(self.set)), (self.again_for, buttons(self.resit))
        fresh = page(note("A resit: the assignment once more with fresh numbers, for some, such as A-03,A-07.").html)
        super().__init__(at, buttons(self.issue, self.again), told, *deadline, fresh, *resit)

    def stands(self) -> str:
        """Say whether it is issued."""
        return "issued" if self.at.assignment in issued_assignments(self.at.course) else "not issued yet"

    def fill(self) -> Shown:
        """Return the assignments."""
        return assignments(self.at.course, self.at.roster)

    def refresh(self) -> None:
        """Name the assignment on the buttons; a second question is forgotten."""
        super().refresh()
        self.issue.description = f"{ISSUE} {self.at.assignments.value or ''}".strip()
        self.again.description = ISSUE_AGAIN

    def _again(self) -> None:
        if self.again.description == SURE:
            self._issue(again=True)
            return
        self.again.description = SURE
        self.place.show(
            note(
                f"{self.at.assignment}: whoever has the first copy would be marked by what is issued now. "
                f"To issue it all the same, press {SURE}.",
                "change",
            )
        )

    def _resit(self) -> None:
        self.press(lambda door: handing_out.resit(self.at.course, self.at.assignment, self.again_for.value, door))

    def _due(self) -> None:
        self.press(
            lambda door: handing_out.due(
                self.at.course, self.at.assignment, self.until.value, door, number=self.only.value
            )
        )

    def _issue(self, *, again: bool) -> None:
        self.press(lambda door: handing_out.issue(self.at.course, self.at.assignment, door, again=again))


class TakeIn(Drawer):
    """Hand-ins: take in a folder, a zip or notebooks; see who handed in and what was set aside."""

    title = TAKE_IN

    def __init__(self, at: AtHand) -> None:
        self.source = field("Folder, zip or notebook")
        self.take = button("Take them in", self._take, first=True)
        self.upload = upload("Choose files", ".zip,.ipynb,.txt,.json", self._chosen, multiple=True)
        told = page(
            note("As the learning platform hands them over. Of a zip above 8 MB write the path; do not choose it.").html
        )
        self.by = field("Taken back by (initials)", short=True)
        wrong = note("Taken in as somebody else's? Choose whose it is not, take it back, and take it in anew:").html
        self.back = button(TAKE_BACK, self._take_back)
        again = (page(wrong), at.students, self.by, buttons(self.back))
        super().__init__(at, told, self.source, buttons(self.take, self.upload), *again)
        at.students.observe(lambda _: self._ask_anew(), "value")

    def refresh(self) -> None:
        """Ask anew before a hand-in is taken back."""
        super().refresh()
        self._ask_anew()

    def stands(self) -> str:
        """Say how many handed in."""
        return f"{len(self.at.course.handed_in(self.at.assignment))} of {len(self.at.sitting)} taken in"

    def fill(self) -> Shown:
        """Return who handed in."""
        return hand_ins(self.at.picture)

    def _take(self) -> None:
        self.press(lambda door: self._take_in(typed_path(self.source.value, self.at.course.root, "the hand-ins"), door))

    def _ask_anew(self) -> None:
        self.back.description = TAKE_BACK

    def _take_back(self) -> None:
        number, by = self.at.students.value or "", self.by.value
        if self.back.description == SURE_TO_TAKE_BACK:
            self.press(lambda door: taking_in.take_back_handin(self.at.course, self.at.assignment, number, by, door))
            return
        self.back.description = SURE_TO_TAKE_BACK
        self.place.show(
            note(
                f"{self.at.assignment}: marks, feedback page and attempts of {number or 'the student'} go; "
                f"the file and a copy of the gradebook are kept. To do it, press {SURE_TO_TAKE_BACK}.",
                "change",
            )
        )

    def _chosen(self, chosen: Sequence[dict[str, Any]]) -> None:
        def take(door: Clicks) -> None:
            with _on_disk(chosen) as folder:
                zips = [path for path in sorted(folder.iterdir()) if path.suffix.lower() == ".zip"]
                for path in zips:
                    self._take_in(path, door)
                    path.unlink()
                if any(folder.iterdir()):
                    self._take_in(folder, door)

        self.press(take)

    def _take_in(self, source: Path, door: Clicks) -> None:
        taking_in.take_in_parcel(self.at.course, self.at.assignment, source, door)


class Mark(Drawer):
    """The marking, with its progress and then the class in a few lines."""

    title = MARK

    def __init__(self, at: AtHand) -> None:
        self.mark = button(MARK, lambda: self._mark(again=False), first=True)
        self.all = button("Mark all again", lambda: self._mark(again=True))
        self.pages = button(PAGES_ANEW, self._pages)
        told = page(
            note(
                "Marks what is new or has changed, and writes feedback pages, mark sheet and report. "
                f"Marks given by hand stay. After marking by hand elsewhere: {PAGES_ANEW}."
            ).html
        )
        super().__init__(at, told, buttons(self.mark, self.all, self.pages))

    def stands(self) -> str:
        """Say how many are marked."""
        handed = len(self.at.course.handed_in(self.at.assignment))
        done = marked(self.at.course, self.at.assignment, self.at.sitting)
        return f"{done} of {handed} marked"

    def refresh(self) -> None:
        """Name the assignment on the button."""
        super().refresh()
        self.mark.description = f"{MARK} {self.at.assignments.value or ''}".strip()

    def _mark(self, *, again: bool) -> None:
        self.press(lambda door: marking.mark(self.at.course, self.at.assignment, door, again=again))

    def _pages(self) -> None:
        self.press(lambda door: marking.report(self.at.course, self.at.assignment, door))


@contextmanager
def _on_disk(chosen: Sequence[dict[str, Any]]) -> Iterator[Path]:
    """Lay the files that were chosen in a browser into a folder, with their names and times, until the block ends."""
    with tempfile.TemporaryDirectory() as scratch:
        for number, file in enumerate(chosen, 1):
            name = PurePosixPath(str(file["name"]).replace("\\", "/")).name or "file"
            folder = Path(scratch)
            path = folder / name if not (folder / name).exists() else folder / f"{number}-{name}"
            path.write_bytes(bytes(file["content"]))
            when = file["last_modified"].timestamp()
            os.utime(path, (when, when))
        yield Path(scratch)
