"""How much quicker a class is marked than by stock nbgrader, which runs every notebook."""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from functools import cache
from pathlib import Path

from rich.console import Console

from pharmcalc.classroom.cells import cells_by_id
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.demo.demo_handins import answers, plainly, with_steps
from pharmcalc.classroom.desk import setting_up
from pharmcalc.classroom.desk.door import Terminal
from pharmcalc.classroom.issuing.issue import copy_for, issue_assignment
from pharmcalc.classroom.issuing.release import issued_notebook
from pharmcalc.classroom.roster import Roster, Student, write_roster
from pharmcalc.tasks.papers import answer_id
from tests.classroom.building import gradebook_rows
from tools.speed import figure

ASSIGNMENT, EIGHT_TASKS = "weighing-1", "strengths-1"
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
from pharmcalc.classroom.marking.run import mark_class
course = Course.open(Path.cwd())
run = mark_class(course, sys.argv[1], read_roster(course.class_list))
assert run.count("marked") == len(run.outcomes), run.outcomes
"""
# Says when each hand-in was done, and the memory held after 200 and after 1000 of them, in kB.
WATCHED = """
import sys, time, resource
from pathlib import Path
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.roster import read_roster
from pharmcalc.classroom.marking.run import mark_class
moments, memory = [], []
def watch(outcome):
    assert outcome.state == "marked", outcome
    moments.append(time.perf_counter())
    if len(moments) in (200, 1000):
        memory.append(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
course = Course.open(Path.cwd())
mark_class(course, sys.argv[1], read_roster(course.class_list), watch=watch)
print(*moments, *memory)
"""
REPEATED = """
import sys, time, statistics
from pathlib import Path
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.roster import read_roster
from pharmcalc.classroom.marking.run import mark_class
course = Course.open(Path.cwd())
roster, times = read_roster(course.class_list), []
for _ in range(10):
    start = time.perf_counter()
    run = mark_class(course, sys.argv[1], roster, again=True)
    times.append(time.perf_counter() - start)
    assert run.count("marked") == 1, run.outcomes
print(statistics.median(times[1:]))
"""


@figure("x")
def grading_speedup_20() -> float:
    """Mark the same 20 honest hand-ins by stock nbgrader and by ours, each in a process of its own."""
    return speedup(20)


@figure("x")
def grading_speedup_100() -> float:
    """The same with 100 hand-ins of eight tasks."""
    return speedup(100, EIGHT_TASKS)


@figure("x")
def grading_growth() -> float:
    """Mark 1000 hand-ins: the time for the last hundred over that for the first hundred, start-up left out."""
    with tempfile.TemporaryDirectory() as folder:
        course = class_with_handins(Path(folder) / "large", 1000)
        told = python(course.root, "-c", WATCHED, ASSIGNMENT)
    *moments, memory_before, memory_after = map(float, told.split())
    if memory_after > 1.1 * memory_before:
        raise RuntimeError(f"memory grew from {memory_before:.0f} to {memory_after:.0f} kB after 200 hand-ins")
    # The first hand-in of all carries the start of the processes.
    return (moments[999] - moments[899]) / ((moments[99] - moments[0]) * 100 / 99)


@figure("s")
def grading_one() -> float:
    """Mark one student's notebook, as the desk notebook does it, where everything is loaded: the middle of nine."""
    with tempfile.TemporaryDirectory() as folder:
        course = class_with_handins(Path(folder) / "one", 1)
        told = python(course.root, "-c", REPEATED, ASSIGNMENT)
    return float(told)


@figure("s")
def grading_one_command() -> float:
    """The command ``pharmcalc mark`` for one student's notebook, with its start and all pages: the best of three."""
    with tempfile.TemporaryDirectory() as folder:
        course = class_with_handins(Path(folder) / "one", 1)
        return min(seconds(course.root, "-m", "pharmcalc", "mark", ASSIGNMENT, "--again") for _ in range(3))


def speedup(students: int, assignment: str = ASSIGNMENT) -> float:
    """Return stock's time over ours for as many hand-ins; both must fill the gradebook alike."""
    with tempfile.TemporaryDirectory() as folder:
        ours = class_with_handins(Path(folder) / "ours", students, assignment)
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


def class_with_handins(root: Path, students: int, assignment: str = ASSIGNMENT) -> Course:
    """Lay out a course with an assignment of the project, issued and handed in; every second shows the steps."""
    course = setting_up.start(root, Terminal(Console(quiet=True)))
    roster = Roster(tuple(Student(f"S-{n:04}", f"Surname {n}", "Given") for n in range(1, students + 1)))
    write_roster(roster, course.class_list)
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
    start = time.perf_counter()
    python(folder, *words)
    return time.perf_counter() - start


def python(folder: Path, *words: str) -> str:
    """Run a new Python in a course folder and return what it printed."""
    words = (sys.executable, *words)
    done = subprocess.run(words, cwd=folder, env=environment(), check=True, capture_output=True, text=True)
    return done.stdout


def environment() -> dict[str, str]:
    """Return the environment of a new Python that finds the project and its programs.

    It keeps what it has compiled, as every installed Python does, whatever this one was told.
    """
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])
    project = str(Path(__file__).resolve().parents[2])
    return {**kept, "PATH": path, "PYTHONPATH": project, "PYTHONPYCACHEPREFIX": _compiled().name}


@cache
def _compiled() -> "tempfile.TemporaryDirectory[str]":
    return tempfile.TemporaryDirectory(prefix="compiled-")
