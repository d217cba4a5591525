"""How quickly paper is printed for a class: students' sheets with weighing records, and their keys, as PDF."""

import sys
import tempfile
import time
from pathlib import Path

from rich.console import Console

from pharmcalc.classroom.desk import setting_up
from pharmcalc.classroom.desk.door import Terminal
from pharmcalc.classroom.issuing.issue import issue_assignment
from pharmcalc.classroom.paper.press import KEYS, SHEETS, Press, print_class
from pharmcalc.classroom.roster import Roster, Student
from pharmcalc.sheets.layout import A4
from pharmcalc.sheets.pdf import missing
from tools.speed import figure

STUDENTS = 300
ASSIGNMENT = "weighing-1"


@figure("1/s")
def sheets_per_second() -> float:
    """Print A4 sheets and keys for 300 students; one sheet is one student's pages together with the key to them."""
    if why := missing():
        raise RuntimeError(why)
    roster = Roster(tuple(Student(f"S-{n:04}", f"Surname {n}", "Given") for n in range(1, STUDENTS + 1)))
    with tempfile.TemporaryDirectory() as folder:
        course = setting_up.start(Path(folder) / "class", Terminal(Console(quiet=True)))
        issue_assignment(course, ASSIGNMENT, roster)
        press = Press(course.release(ASSIGNMENT), 1, A4, large=False)
        start = time.perf_counter()
        made = print_class(press, roster.students, lambda _: None)
        seconds = time.perf_counter() - start
    if not all(made[name].startswith(b"%PDF") for name in (SHEETS, KEYS)):
        raise RuntimeError("no PDF was made; the figure would be of something else")
    print(f"{len(made[SHEETS])} and {len(made[KEYS])} bytes in {seconds:.0f} s", file=sys.stderr)
    return STUDENTS / seconds
