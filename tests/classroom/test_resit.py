"""Resits: an assignment once more, with fresh numbers, for some students."""

import json

import pytest

from pharmcalc.__main__ import run as command
from pharmcalc.classroom.cells import STUDENT, cells_by_id, source_of
from pharmcalc.classroom.desk.members import the_class
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.issuing.resit import first_sitting, make_resit, those_who_sit
from pharmcalc.classroom.marking.marker import mark_script
from pharmcalc.classroom.marking.run import mark_class
from pharmcalc.classroom.marking.tidy import tidy
from pharmcalc.classroom.results.picture import ABSENT, NOT_ASKED, take_picture
from pharmcalc.classroom.term.gather import take_term
from pharmcalc.errors import CourseError
from pharmcalc.tasks.papers import read_issue
from tests.classroom.building import SOLVER, answered, hand_in
from tests.classroom.conftest import NAME, NUMBERS, Classroom

AGAIN = f"{NAME}-resit"


@pytest.fixture
def sat_again(classroom: Classroom) -> Classroom:
    """Two students sit the assignment again; one of them did it right at last."""
    for number in NUMBERS[:3]:
        classroom.hand_in(number, answers={"q1": "least weighable quantity = 1 mg"})
    classroom.mark()
    assert command(["--course", str(classroom.course.root), "resit", NAME, "A-02,a-03"]) == 0
    release = json.loads(classroom.course.release(AGAIN).read_text(encoding="utf-8"))
    hand_in(classroom.course.root, AGAIN, "A-02", answered(release, "A-02"))
    mark_class(classroom.course, AGAIN, the_class(classroom.course, AGAIN))
    return classroom


def test_the_numbers_are_fresh_and_the_first_marks_stay(sat_again: Classroom) -> None:
    """The resit has tasks of the same families with other numbers, and marks of its own beside the first."""
    course = sat_again.course
    first = read_issue(sat_again.release)
    again = read_issue(json.loads(course.release(AGAIN).read_text(encoding="utf-8")))
    assert again.tasks == first.tasks
    assert again.title == f"Resit: {first.title}"
    for number in ("A-02", "A-03"):
        assert again.paper(number).code != first.paper(number).code
        assert again.paper(number).task("q1").question_text() != first.paper(number).task("q1").question_text()
    with gradebook(course) as book:
        assert book.find_submission(AGAIN, "A-02").score > book.find_submission(NAME, "A-02").score > 0


def test_only_those_who_sit_again_are_asked(sat_again: Classroom) -> None:
    """Copies, class picture and absentees are of two students; over the term the others are said to have no resit."""
    course = sat_again.course
    assert [student.number for student in the_class(course, AGAIN)] == ["A-02", "A-03"]
    assert sorted(path.stem for path in course.issued(AGAIN).glob("*.ipynb")) == ["A-02", "A-03"]
    picture = take_picture(course, AGAIN, the_class(course, AGAIN))
    assert [row.student.number for row in picture.having(ABSENT)] == ["A-03"]
    assert any(note.startswith(f"in {NAME}: ") for note in picture.rows[0].notes), "the first marks are told"
    term = take_term(course, sat_again.roster)
    states = {row.student.number: row.state for row in next(p for p in term.pictures if p.assignment == AGAIN).rows}
    assert [states[number] for number in ("A-01", "A-03")] == [NOT_ASKED, ABSENT]
    assert command(["--course", str(course.root), "term"]) == 0
    page = (course.root / "reports" / "term" / "class.html").read_text(encoding="utf-8")
    assert NOT_ASKED in page


def test_the_worked_answers_are_those_of_the_new_numbers(sat_again: Classroom) -> None:
    """The solution of the resit earns full marks on its own numbers."""
    course = sat_again.course
    written = json.loads(course.solution(AGAIN).read_text(encoding="utf-8"))
    release = json.loads(course.release(AGAIN).read_text(encoding="utf-8"))
    assert SOLVER in source_of(cells_by_id(written)[STUDENT])
    script = mark_script(tidy(written, release), read_issue(release), SOLVER)
    assert script.total == script.paper.out_of


def test_students_are_added_until_somebody_hands_in(sat_again: Classroom) -> None:
    """After the first hand-in a further resit is one of its own."""
    course, roster = sat_again.course, sat_again.roster
    other = make_resit(course, NAME, ["A-01"], roster)
    assert other == f"{AGAIN}-2"
    assert make_resit(course, NAME, ["A-05", "A-01"], roster) == other
    assert those_who_sit(course, other) == ["A-01", "A-05"]
    assert those_who_sit(course, AGAIN) == ["A-02", "A-03"]
    assert (first_sitting(course, other), first_sitting(course, NAME)) == (NAME, "")


@pytest.mark.parametrize(
    ("numbers", "told"), [("X-99", "X-99 is not on the class list"), (" , ", "no student was named")]
)
def test_a_resit_of_nobody_is_refused(classroom: Classroom, numbers: str, told: str) -> None:
    """The message says what was read, and nothing is written."""
    with pytest.raises(CourseError, match=told):
        make_resit(classroom.course, NAME, numbers.split(","), classroom.roster)
    assert classroom.course.assignments() == [NAME]
