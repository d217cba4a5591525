"""The instructor's desk, setting up: lay out a course folder, keep it up to date, give the class list."""

from __future__ import annotations

import shutil
from pathlib import Path

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.course_files import DESK, LESSONS, course_files
from pharmcalc.classroom.desk.door import Door
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.issuing.issue import issued_assignments, refresh_exercises, write_copies
from pharmcalc.classroom.issuing.release import HOUSE_RULES
from pharmcalc.classroom.issuing.resit import asked
from pharmcalc.classroom.roster import COLUMNS, Roster, read_roster, write_roster
from pharmcalc.classroom.upgrade import lay_out, upgrade_course
from pharmcalc.errors import CourseError

NOTEBOOK = DESK


def start(folder: Path, door: Door, *, solutions: Path | None = None) -> Course:
    """Lay out a course folder with lessons, assignments and a desk; nothing that is there is overwritten.

    A new folder is shut to other users of the machine: it will hold marks.
    """
    laid = course_files(solutions)
    root = folder.resolve()
    if root.is_file():
        raise CourseError(f"{folder} is a file. Give the name of a folder.")
    root.parent.mkdir(parents=True, exist_ok=True)
    root.mkdir(mode=0o700, exist_ok=True)
    _unless_there(root / "class.csv", ",".join(COLUMNS) + "\n")
    lay_out(root, laid)
    course = Course.open(root)
    door.say("Course folder: ", root)
    door.say(f"Assignments: {', '.join(course.assignments())}")
    door.say("Lessons for your students, to hand on as a whole: ", root / LESSONS)
    door.say(f"Next: edit {HOUSE_RULES} if your laboratory's rules differ, go to the folder, fill in class.csv, then:")
    door.say("  pharmcalc class class.csv")
    door.say("Or click instead of typing: open in JupyterLab ", root / NOTEBOOK)
    return course


def upgrade(course: Course, door: Door) -> None:
    """Bring the files of the course up to the pharmcalc that is installed; what the instructor wrote stays."""
    for line in upgrade_course(course, course_files()).says():
        door.say(*line)


def class_list(course: Course, path: Path, door: Door) -> Roster:
    """Take the class list over into the course and the gradebook; nobody is ever removed from the gradebook."""
    roster = read_roster(path)
    with course.only_run():
        new, gone = _enrol(course, path, roster)
    door.say(f"{len(roster)} students · {len(new)} new")
    if gone:
        door.say(f"No longer on the list, kept in the gradebook: {', '.join(gone)}")
    for assignment in issued_assignments(course):
        write_copies(course, assignment, asked(course, assignment, roster))
        door.say(f"{assignment}: every student has a copy in ", course.issued(assignment))
    return roster


def _enrol(course: Course, path: Path, roster: Roster) -> tuple[list[str], list[str]]:
    """Write the class list and the gradebook's students; return the new ones, and those who are on it no longer."""
    if path.resolve() != course.class_list:
        if course.class_list.is_file():
            backups = course.root / "backups"
            backups.mkdir(exist_ok=True)
            shutil.copyfile(course.class_list, backups / "class-before.csv")
        write_roster(roster, course.class_list)
    course.backup("class")
    with gradebook(course) as book:
        known = {student.id for student in book.students}
        for s in roster:
            book.update_or_create_student(s.number, first_name=s.given_name, last_name=s.surname, email=s.email or None)
    return [s.number for s in roster if s.number not in known], sorted(known - {s.number for s in roster})


def exercises(course: Course, door: Door) -> None:
    """Make ``exercises/`` anew; for whoever writes assignments."""
    changed = refresh_exercises(course)
    door.say(f"Made anew: {', '.join(changed)}" if changed else "exercises/ is up to date")


def _unless_there(path: Path, text: str) -> None:
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
