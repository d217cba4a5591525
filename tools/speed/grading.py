"""How much quicker a class is marked than by stock nbgrader, which runs every notebook."""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from rich.console import Console

from pharmcalc.classroom import desk
from pharmcalc.classroom.cells import cells_by_id
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.demo_handins import answers, plainly, with_steps
from pharmcalc.classroom.desk_door import Terminal
from pharmcalc.classroom.issue import copy_for, issue_assignment
from pharmcalc.classroom.release import issued_notebook
from pharmcalc.classroom.roster import Roster, Student, write_roster
from pharmcalc.tasks.papers import answer_id
from tests.classroom.building import gradebook_rows
from tools.speed import figure

ASSIGNMENT = "weighing-1"
# nbgrader as it comes: the notebook is run, its settings checked after each step. Our marking follows, so that both
# give the same marks.
STOCK = """
from nbgrader.preprocessors import CheckCellMetadata, Execute, IgnorePattern, LimitOutput
from nbconvert.preprocessors import ClearMetadataPreprocessor

after = c.Autograde.autograde_preprocessors
c.Autograde.autograde_preprocessors = [
    Execute, IgnorePattern, ClearMetadataPreprocessor, LimitOutput, *after, CheckCellMetadata
]
c.Autograde.sanitize_preprocessors = [*c.Autograde.sanitize_preprocessors, CheckCellMetadata]
c.Exporter.optimistic_validation = False
c.Application.log_level = "ERROR"
"""
OURS = """
import sys
from pathlib import Path
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.roster import read_roster
from pharmcalc.classroom.run import mark_class
course = Course.open(Path.cwd())
run = mark_class(course, sys.argv[1], read_roster(course.class_list))
assert run.count("marked") == len(run.outcomes), run.outcomes
"""


@figure("x")
def grading_speedup_20() -> float:
    """Mark the same 20 honest hand-ins by stock nbgrader and by ours, each in a process of its own."""
    return speedup(20)


def speedup(students: int) -> float:
    """Return stock's time over ours for as many hand-ins; both must fill the gradebook alike."""
    with tempfile.TemporaryDirectory() as folder:
        ours = class_with_handins(Path(folder) / "ours", students)
        assignment = ASSIGNMENT
        stock = Course(ours.root.with_name("stock"))
        shutil.copytree(ours.root, stock.root)
        with (stock.root / "nbgrader_config.py").open("a", encoding="utf-8") as settings:
            settings.write(STOCK)
        slow = seconds(stock.root, "-m", "nbgrader", "autograde", assignment)
        quick = seconds(ours.root, "-c", OURS, assignment)
        rows = gradebook_rows(ours.gradebook)
        if not rows or rows != gradebook_rows(stock.gradebook):
            raise RuntimeError(
                "stock nbgrader and ours gave other marks; the figure would compare two different things"
            )
    return slow / quick


def class_with_handins(root: Path, students: int) -> Course:
    """Lay out a course with an assignment of the project, issued and handed in; every second shows the steps."""
    course = desk.start(root, Terminal(Console(quiet=True)))
    roster = Roster(tuple(Student(f"S-{n:04}", f"Surname {n}", "Given") for n in range(1, students + 1)))
    write_roster(roster, course.class_list)
    assignment = ASSIGNMENT
    issue_assignment(course, assignment, roster)
    release, issue = issued_notebook(course.release(assignment))
    for place, student in enumerate(roster):
        nb = copy_for(release, student.number)
        cells = cells_by_id(nb)
        for task in issue.paper(student.number).tasks:
            lines = answers(task, with_steps if place % 2 else plainly)
            cells[answer_id(task.id)]["source"] = f"%%answer {task.id}\n{lines}"
        path = course.submitted(assignment, student.number)
        path.parent.mkdir(parents=True)
        path.write_text(json.dumps(nb), encoding="utf-8")
    return course


def seconds(folder: Path, *words: str) -> float:
    """Return how long a new Python takes for a command in a course folder."""
    env = {**os.environ, "PATH": os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])}
    env["PYTHONPATH"] = str(Path(__file__).resolve().parents[2])
    start = time.perf_counter()
    subprocess.run([sys.executable, *words], cwd=folder, env=env, check=True, capture_output=True)
    return time.perf_counter() - start
