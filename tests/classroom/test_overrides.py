"""Marks changed by hand: with a reason, held through every regrading, and withdrawn again."""

import pytest

from pharmcalc.classroom.results.overrides import change_mark, changes_in_force, read_changes
from pharmcalc.errors import CourseError
from tests.classroom.building import gradebook_rows, nbgrader
from tests.classroom.conftest import NAME, Classroom
from tests.classroom.test_marking import row_of


@pytest.fixture
def marked(classroom: Classroom) -> Classroom:
    """Return a class with one marked hand-in."""
    classroom.hand_in("A-01")
    classroom.mark()
    return classroom


def change(classroom: Classroom, marks: float | None = 1, **options: str) -> None:
    """Change the first task of A-01."""
    said = {"reason": "Wrote the unit in the margin.", "by": "M. K.", **options}
    change_mark(classroom.course, NAME, "A-01", "q1", marks, **said)


def test_a_changed_mark_counts_and_says_why(marked: Classroom) -> None:
    """In the picture, in the student's feedback, and in the list."""
    change(marked)
    row = row_of(marked, "A-01")
    assert row.scores["q1"] == 1
    assert any("q1 changed by hand from 2 to 1 (M. K.): Wrote the unit" in note for note in row.notes)
    assert "Wrote the unit in the margin." in marked.feedback("A-01")
    assert [(one.before, one.marks) for one in read_changes(marked.course)] == [("2", "1")]


def test_it_survives_our_regrading_and_nbgraders_own(marked: Classroom) -> None:
    """Marked again by both, the changed mark stands and asks for no second look."""
    change(marked)
    assert marked.mark(again=True).count("marked") == 1
    assert row_of(marked, "A-01").scores["q1"] == 1
    nbgrader(marked.course.root, "autograde", NAME, "--force")
    assert [row[4] for row in gradebook_rows(marked.course.gradebook) if row[4] is not None] == [1]
    marked.mark()
    row = row_of(marked, "A-01")
    assert row.scores["q1"] == 1
    assert any("changed by hand" in note for note in row.notes)


def test_withdrawn_it_is_the_markings_again_and_the_list_keeps_both(marked: Classroom) -> None:
    """Corrections are added, never overwritten."""
    change(marked)
    change(marked, None, reason="It was another student's margin.")
    assert row_of(marked, "A-01").scores["q1"] == 2
    assert changes_in_force(marked.course, NAME) == {}
    assert [one.marks for one in read_changes(marked.course)] == ["1", ""]
    assert "Wrote the unit" not in marked.feedback("A-01")


@pytest.mark.parametrize(
    ("number", "task", "marks", "options", "said"),
    [
        ("A-01", "q1", 3, {}, "give 0 to 2"),
        ("A-01", "q1", -1, {}, "give 0 to 2"),
        ("A-01", "q9", 1, {}, "There are: explain-1, q1, q2"),
        ("A-02", "q1", 1, {}, "no marked hand-in"),
        ("A-01", "q1", 1, {"reason": "  "}, "needs a reason"),
        ("A-01", "q1", 1, {"by": ""}, "who decided"),
    ],
)
def test_a_change_that_cannot_be_is_refused_and_changes_nothing(
    marked: Classroom, number: str, task: str, marks: float, options: dict[str, str], said: str
) -> None:
    """More marks than there are, another task, nobody's hand-in, no reason, nobody's name."""
    arguments = {"reason": "a reason", "by": "M. K.", **options}
    with pytest.raises(CourseError, match=said):
        change_mark(marked.course, NAME, number, task, marks, **arguments)
    assert row_of(marked, "A-01").scores["q1"] == 2
    assert list(read_changes(marked.course)) == []
