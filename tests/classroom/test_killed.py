"""A run that is killed at any moment is simply run again: nothing lost, nothing twice, nobody silently ungraded."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.marking.finished import is_marked, read_marked
from pharmcalc.classroom.marking.run import mark_class
from pharmcalc.classroom.results.attempts import read_attempts
from pharmcalc.classroom.results.picture import MARKED, take_picture
from pharmcalc.classroom.roster import read_roster
from tests.classroom.building import PROJECT, gradebook_rows
from tests.classroom.conftest import NAME, NUMBERS, Classroom

MOMENTS = 25
pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are killed by a signal")


def first_time(classroom: Classroom) -> None:
    """Everybody hands in for the first time."""
    for number in NUMBERS:
        classroom.hand_in(number)


def second_time(classroom: Classroom) -> None:
    """Marked before, a mark given by hand; then some hand in again, one of them something that is no notebook."""
    first_time(classroom)
    classroom.mark()
    with gradebook(classroom.course) as book:
        for number in NUMBERS[:2]:
            for grade in book.find_submission_notebook(NAME, NAME, number).grades:
                if grade.name == "explain-1":
                    grade.manual_score, grade.needs_manual_grade = 1.5, False
        book.db.commit()
    classroom.hand_in(NUMBERS[0], answers={"q1": ""})
    classroom.hand_in(NUMBERS[2], answers={"q2": "multiple factor = 2"})
    classroom.hand_in(NUMBERS[3], b'{"cells": [')


@pytest.mark.parametrize("prepare", [first_time, second_time])
def test_whenever_it_is_killed_the_next_run_makes_it_whole(
    classroom: Classroom, tmp_path: Path, prepare: Callable[[Classroom], None]
) -> None:
    """Killed at 25 moments and run again, a class has the marks, files and attempts of a run that nobody disturbed."""
    prepare(classroom)
    folder = tmp_path / "killing"
    shutil.copytree(classroom.course.root, folder / "course")
    program = [sys.executable, "-m", "tests.classroom.killing", str(folder), NAME, prepare.__name__, str(MOMENTS)]
    done = subprocess.run(program, cwd=PROJECT, capture_output=True, text=True, check=False, timeout=400)
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) > 10 * MOMENTS, "there are many more moments than were tried"
    whole = left_in(folder / "whole")
    for number in range(1, MOMENTS + 1):
        root = folder / f"killed-{number}"
        course = Course.open(root)
        assert_nobody_seems_marked_who_is_not(course)
        again = mark_class(course, NAME, read_roster(course.class_list))
        assert len(again.outcomes) == len(NUMBERS)
        assert left_in(root) == whole, f"killed-{number}"


def left_in(root: Path) -> dict[str, object]:
    """Return all that a run leaves of the class."""
    course = Course.open(root)
    roster = read_roster(course.class_list)
    picture = take_picture(course, NAME, roster)
    return {
        "gradebook": gradebook_rows(course.gradebook),
        "notebooks": {n: read_marked(course, NAME, n) for n in NUMBERS if is_marked(course, NAME, n)},
        "marked": {n: is_marked(course, NAME, n) for n in NUMBERS},
        "attempts": {n: [one.says() for one in made] for n, made in read_attempts(course, NAME).items()},
        "picture": [(row.student.number, row.state, row.total, row.needs_eyes, row.to_mark) for row in picture.rows],
        "drafts": sorted(path.name for path in root.rglob("*.part")),
    }


def assert_nobody_seems_marked_who_is_not(course: Course) -> None:
    """Check that whoever looks marked after a kill has a whole notebook and marks in the gradebook."""
    picture = take_picture(course, NAME, read_roster(course.class_list))
    for row in picture.having(MARKED):
        path = course.autograded(NAME, row.student.number)
        assert json.loads(path.read_text(encoding="utf-8"))["cells"]
        assert len(row.scores) == 3
