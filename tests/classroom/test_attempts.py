"""Attempts: fresh numbers until it is cleared, and which attempt counts."""

import copy
import json
import os
import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from pharmcalc.classroom.cells import cells_by_id
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handed_in.takein import take_in
from pharmcalc.classroom.issuing.deadlines import set_deadline
from pharmcalc.classroom.issuing.issue import issue_assignment
from pharmcalc.classroom.results.attempts import Attempt, counted, read_attempts
from pharmcalc.classroom.roster import read_roster
from pharmcalc.errors import CourseError, RefusedError
from pharmcalc.tasks.papers import answer_id, read_issue
from tests.classroom.building import write_course
from tests.classroom.conftest import FAMILIES, NAME, NUMBERS, Classroom
from tests.classroom.test_marking import row_of
from tests.questions import house

PLAIN = 'notebook.begin("week-1", version=1)'
ON = 'notebook.begin("week-1", version=1, mode="clearance")'


@pytest.fixture(scope="session")
def course_that_goes_on(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Issue an assignment in which students may take fresh numbers; the best attempt counts, a later one 80 %."""
    root = write_course(tmp_path_factory.mktemp("attempts") / "issued", NAME, FAMILIES, NUMBERS)
    rules = root / "house_rules.toml"
    changes = {'= "last"': '= "best"', 'later-attempts-at-most = "100 %"': 'later-attempts-at-most = "80 %"'}
    text = rules.read_text()
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new)
    rules.write_text(text)
    course = Course.open(root)
    solution = course.solution(NAME)
    solution.write_text(solution.read_text().replace(json.dumps(PLAIN)[1:-1], json.dumps(ON)[1:-1]))
    issue_assignment(course, NAME, read_roster(course.class_list))
    return root


@pytest.fixture
def going_on(course_that_goes_on: Path, tmp_path: Path) -> Classroom:
    """Give a test its own copy of that course."""
    root = tmp_path / "course"
    shutil.copytree(course_that_goes_on, root)
    course = Course.open(root)
    release = json.loads(course.release(NAME).read_text(encoding="utf-8"))
    return Classroom(course, read_roster(course.class_list), release)


def attempt(classroom: Classroom, number: int, *, without: str = "") -> dict[str, Any]:
    """Return A-01's hand-in for an attempt, all right but for one task left out."""
    nb: dict[str, Any] = copy.deepcopy(dict(classroom.release))
    cells = cells_by_id(nb)
    cells["student"]["source"] = f"%%student\nstudent number = A-01\nattempt = {number}"
    for task in read_issue(nb).paper("A-01", number).tasks:
        cells[answer_id(task.id)]["source"] = f"%%answer {task.id}\n{'' if task.id == without else task.answer_lines()}"
    return nb


def test_the_attempt_typed_is_marked_on_its_own_numbers(going_on: Classroom) -> None:
    """The third attempt, all right, is cleared, and its feedback shows the third paper."""
    going_on.hand_in("A-01", attempt(going_on, 3))
    going_on.mark()
    row = row_of(going_on, "A-01")
    assert row.all_cleared
    assert sum(row.scores[task] for task in ("q1", "q2")) == 14
    question = read_issue(going_on.release).paper("A-01", 3).task("q1").question_text()
    assert question.split("\n")[0] in going_on.feedback("A-01")


def test_the_best_attempt_counts_and_a_later_one_up_to_its_cap(going_on: Classroom) -> None:
    """12 of 14 at first, then everything: 80 % of 14 are 11.2, so the first counts; both are told."""
    for number, without in ((1, "q1"), (2, "")):
        going_on.hand_in("A-01", attempt(going_on, number, without=without))
        going_on.mark()
    row = row_of(going_on, "A-01")
    assert [(one.attempt, one.marks) for one in read_attempts(going_on.course, NAME)["A-01"]] == [(1, 12), (2, 14)]
    assert row.total == 12
    assert any(
        "attempt 1: 12 of 14, not cleared; attempt 2: 14 of 14, cleared; 12 count (best)" in n for n in row.notes
    )


def came(folder: Path, classroom: Classroom, *handins: dict[str, Any]) -> None:
    """Take hand-ins of A-01 in, one parcel for each, an hour after another."""
    for hour, nb in enumerate(handins):
        file = folder / str(hour) / f"A-01 {NAME}.ipynb"
        file.parent.mkdir(parents=True)
        file.write_text(json.dumps(nb), encoding="utf-8")
        os.utime(file, (1_700_000_000 + 3600 * hour,) * 2)
        take_in(classroom.course, NAME, file.parent, classroom.roster)


def test_attempts_that_came_before_the_first_marking_all_count(going_on: Classroom, tmp_path: Path) -> None:
    """Of two notebooks of the first attempt the newer is marked; the second attempt is in the gradebook."""
    first, same, second = attempt(going_on, 1, without="q2"), attempt(going_on, 1, without="q1"), attempt(going_on, 2)
    came(tmp_path / "in", going_on, first, same, second)
    for _ in range(2):
        going_on.mark(again=True)
        held = read_attempts(going_on.course, NAME)["A-01"]
        assert [(one.attempt, one.marks) for one in held] == [(1, 12), (2, 14)]
        assert row_of(going_on, "A-01").total == 12
    written = (going_on.course.root / "attempts.csv").read_text(encoding="utf-8").splitlines()
    assert len(written) == 1 + 3  # the first attempt is marked once, the second with every run


def test_an_attempt_that_came_too_late_does_not_count_beside_one_in_time(going_on: Classroom, tmp_path: Path) -> None:
    """The deadline lies between the two."""
    set_deadline(going_on.course, NAME, datetime.fromtimestamp(1_700_000_000 + 1800, UTC), going_on.roster)
    came(tmp_path / "in", going_on, attempt(going_on, 1, without="q1"), attempt(going_on, 2))
    going_on.mark()
    assert [one.attempt for one in read_attempts(going_on.course, NAME)["A-01"]] == [1]


def test_in_a_test_an_older_notebook_is_no_attempt(classroom: Classroom, tmp_path: Path) -> None:
    """What a student types as the attempt changes nothing there."""
    came(tmp_path / "in", classroom, attempt(classroom, 2), attempt(classroom, 1))
    classroom.mark()
    assert [one.attempt for one in read_attempts(classroom.course, NAME)["A-01"]] == [1]


def test_an_earlier_attempt_that_is_marked_again_counts_once(going_on: Classroom) -> None:
    """Back at the first attempt after the second, the total is never more than can be had."""
    for number, without in ((1, ""), (2, "q2"), (1, "")):
        going_on.hand_in("A-01", attempt(going_on, number, without=without))
        going_on.mark()
    (row,) = [row for row in going_on.picture().rows if row.student.number == "A-01"]
    assert row.total <= going_on.picture().out_of


def test_marked_again_an_attempt_is_written_anew_and_counts_once(going_on: Classroom) -> None:
    """The list is only added to; the newest line of an attempt holds."""
    going_on.hand_in("A-01", attempt(going_on, 1))
    going_on.mark()
    going_on.mark(again=True)
    assert [one.attempt for one in read_attempts(going_on.course, NAME)["A-01"]] == [1]
    assert row_of(going_on, "A-01").notes == []


def test_in_a_test_the_attempt_that_was_issued_is_marked(classroom: Classroom) -> None:
    """A student cannot shop for easier numbers; the sheet is put before the instructor."""
    classroom.hand_in("A-01", attempt(classroom, 2))
    classroom.mark()
    row = row_of(classroom, "A-01")
    assert sum(row.scores[task] for task in ("q1", "q2")) < 14
    assert any("attempt on the sheet is 2, not 1" in reason for reason in row.needs_eyes)


def made(number: int, marks: float) -> Attempt:
    """Return an attempt of ten marks."""
    return Attempt("", NAME, "A-01", number, marks, 10, "yes")


@pytest.mark.parametrize(
    ("counts", "cap", "expected"),
    [("last", "100 %", 7), ("best", "100 %", 9), ("best", "60 %", 6), ("last", "50 %", 5)],
)
def test_which_attempt_counts_is_a_house_rule(counts: str, cap: str, expected: float) -> None:
    """4, 9 and 7 of ten: last or best, a later one capped or not."""
    rules = house(attempt_that_counts=f'"{counts}"', later_attempts_at_most=f'"{cap}"')
    counting = counted([made(1, 4), made(2, 9), made(3, 7)], rules)
    assert counting is not None
    assert counting.marks == expected
    assert counted([], rules) is None


def test_a_mode_or_a_rule_that_is_none_is_refused(classroom: Classroom) -> None:
    """The modes and what may count are listed."""
    nb = copy.deepcopy(dict(classroom.release))
    cells_by_id(nb)["setup"]["source"] = ON.replace("clearance", "exam")
    with pytest.raises(CourseError, match="test, practice, clearance"):
        read_issue(nb)
    with pytest.raises(RefusedError, match='"last" or "best"'):
        house(attempt_that_counts='"worst"')
    with pytest.raises(RefusedError, match="up to"):
        house(later_attempts_at_most='"120 %"')
