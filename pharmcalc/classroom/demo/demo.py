"""The demo: a whole week of an invented class, from the issue to the report, through the same doors as a real one."""

from __future__ import annotations

import shutil
from pathlib import Path

from pharmcalc.caution import CAUTION
from pharmcalc.classroom.demo.demo_handins import write_parcel
from pharmcalc.classroom.demo.demo_students import LABORATORY, MEMBERS, ROSTER
from pharmcalc.classroom.desk import handing_out, marking, on_paper, setting_up, taking_in
from pharmcalc.classroom.desk.door import Door
from pharmcalc.classroom.issuing.release import issued_notebook
from pharmcalc.classroom.roster import write_roster
from pharmcalc.errors import CourseError

ASSIGNMENT = "weighing-1"
"""What the demo class was given; without it, the first assignment that there is."""
_SIGN = "demo-class.txt"
_SAYS = (
    f"{LABORATORY}: an invented course with invented students, made by the command pharmcalc demo.\n"
    "The command removes this folder and makes it anew. Keep nothing of your own in it.\n"
)


def run_demo(folder: Path, door: Door, *, solutions: Path | None = None) -> None:
    """Run the demo class in ``folder``, which is made anew; a folder that is not a demo class is refused."""
    root = folder.resolve()
    if root.exists():
        if not (root / _SIGN).is_file() and (root.is_file() or any(root.iterdir())):
            raise CourseError(f"{folder} is in use and is no demo class. Give another folder: pharmcalc demo FOLDER")
        shutil.rmtree(root)
    door.begin(f"{LABORATORY} (invented) · {len(MEMBERS)} students")
    door.say(CAUTION)
    door.begin(f"$ pharmcalc start {folder.name}")
    course = setting_up.start(root, door, solutions=solutions)
    (root / _SIGN).write_text(_SAYS, encoding="utf-8")
    there = course.assignments()
    assignment = ASSIGNMENT if ASSIGNMENT in there else there[0]

    door.begin("$ pharmcalc class class.csv")
    write_roster(ROSTER, course.class_list)
    setting_up.class_list(course, course.class_list, door)
    door.begin(f"$ pharmcalc issue {assignment}")
    handing_out.issue(course, assignment, door)
    release, _ = issued_notebook(course.release(assignment))
    parcel = write_parcel(release, root / "handed-in.zip")
    door.begin(f"$ pharmcalc take-in {assignment} {parcel.name}")
    taking_in.take_in_parcel(course, assignment, parcel, door)
    door.begin(f"$ pharmcalc sheets {assignment}")
    on_paper.sheets(course, assignment, door)
    door.begin(f"$ pharmcalc mark {assignment}")
    marking.mark(course, assignment, door)
