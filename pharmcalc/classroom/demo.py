"""The demo: a whole week of an invented class, from the issue to the report, through the same doors as a real one."""

from __future__ import annotations

import shutil
from pathlib import Path

from rich.console import Console

from pharmcalc.caution import CAUTION
from pharmcalc.classroom import desk
from pharmcalc.classroom.demo_handins import write_parcel
from pharmcalc.classroom.demo_students import LABORATORY, MEMBERS, ROSTER
from pharmcalc.classroom.release import issued_notebook
from pharmcalc.classroom.roster import write_roster
from pharmcalc.errors import CourseError

_SIGN = "demo-class.txt"
_SAYS = (
    f"{LABORATORY}: an invented course with invented students, made by the command pharmcalc demo.\n"
    "The command removes this folder and makes it anew. Keep nothing of your own in it.\n"
)


def run_demo(folder: Path, console: Console, *, solutions: Path | None = None) -> None:
    """Run the demo class in ``folder``, which is made anew; a folder that is not a demo class is refused."""
    root = folder.resolve()
    if root.exists():
        if not (root / _SIGN).is_file() and (root.is_file() or any(root.iterdir())):
            raise CourseError(f"{folder} is in use and is no demo class. Give another folder: pharmcalc demo FOLDER")
        shutil.rmtree(root)
    console.print(f"[bold]{LABORATORY}[/bold] (invented) · {len(MEMBERS)} students")
    console.print(CAUTION, style="italic")
    _step(console, f"pharmcalc start {folder.name}")
    course = desk.start(root, console, solutions=solutions)
    (root / _SIGN).write_text(_SAYS, encoding="utf-8")
    assignment = course.assignments()[0]

    _step(console, "pharmcalc class class.csv")
    write_roster(ROSTER, course.class_list)
    desk.class_list(course, course.class_list, console)
    _step(console, f"pharmcalc issue {assignment}")
    desk.issue(course, assignment, console)
    release, _ = issued_notebook(course.release(assignment))
    parcel = write_parcel(release, root / "handed-in.zip")
    _step(console, f"pharmcalc take-in {assignment} {parcel.name}")
    desk.take_in_parcel(course, assignment, parcel, console)
    _step(console, f"pharmcalc sheets {assignment}")
    desk.sheets(course, assignment, console)
    _step(console, f"pharmcalc mark {assignment}")
    desk.mark(course, assignment, console)


def _step(console: Console, command: str) -> None:
    console.print()
    console.print(f"[bold]$ {command}[/bold]", highlight=False)
