"""The first line of a cell: what is mended, and what is told."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.notebook.first_lines import PUT_BACK, cure, mended, owner_of
from pharmcalc.tasks.family import FAMILIES
from pharmcalc.tasks.papers import answer_id

TASKS = {"q1": FAMILIES["least-weighable-quantity"], "q2": FAMILIES["aliquot-plan"], "q3": FAMILIES["error-found"]}


def test_the_answer_cell_of_a_task_is_known_by_its_id() -> None:
    """Question, answer and mark cells name the same task; only one of them is the answer."""
    assert owner_of(answer_id("q1")) == "q1"
    assert owner_of("mark-q1") == ""
    assert owner_of("") == ""


@pytest.mark.parametrize("above", ["# a note\n", "\n", "\n# a note\n\n"])
def test_a_note_or_an_empty_line_above_our_line_is_moved_below_it(above: str) -> None:
    """IPython wants our line on top; a student need not know."""
    lines = [*above.splitlines(keepends=True), "  %%answer q1\n", "lwq = 120 mg\n"]
    assert mended(lines, "")[0] == "%%answer q1\n"
    assert sorted(line.strip() for line in mended(lines, "")) == sorted([*(line.strip() for line in lines), ""])


@pytest.mark.parametrize("line", ["%%answer q1", "%%student", "%%house_rules"])
def test_a_cell_that_holds_our_line_alone_gets_an_empty_body(line: str) -> None:
    """IPython refuses a cell magic with nothing below it; for us an empty cell is an answer like any other."""
    assert mended([line], "") == [f"{line}\n", "\n"]


@pytest.mark.parametrize(
    ("cell_id", "line"), [("answer-q1", "%%answer q1"), ("student", "%%student"), ("house-rules", "%%house_rules")]
)
def test_a_first_line_that_is_gone_is_put_back(cell_id: str, line: str) -> None:
    """The cell's id says what stood there."""
    assert mended(["lwq = 120 mg\n"], cell_id) == [f"{line} {PUT_BACK}\n", "lwq = 120 mg\n"]


@given(st.lists(st.text(alphabet="ab =12%#\n", max_size=12)))
def test_other_cells_stay_as_they_are(lines: list[str]) -> None:
    """A cell that is none of ours is never changed."""
    assert mended(lines, "scratch") == lines


@pytest.mark.parametrize("source", ["x = 1\n%%answer q1\n", "import os\n%%student\n"])
def test_code_above_our_line_is_left_to_the_cure(source: str) -> None:
    """Only notes and empty lines may be moved."""
    lines = source.splitlines(keepends=True)
    assert mended(lines, "") == lines


def test_a_line_of_another_magic_is_not_replaced() -> None:
    """A misspelt first line is told, not hidden under ours."""
    assert mended(["%%anwser q1\n"], "answer-q1") == ["%%anwser q1\n"]


@pytest.mark.parametrize(
    ("source", "cell_id", "line"),
    [
        ("least weighable quantity = 120 mg", "answer-q1", "%%answer q1"),
        ("%%anwser q1\nlwq = 120 mg", "answer-q1", "%%answer q1"),
        ("drug to weigh = 120 mg\ndiluent = 2280 mg", "", "%%answer q2"),
        ("percentage of error = 6.25 %", "", "%%answer q3"),
        ("lwq = 120 mg", "", "%%answer q1 or %%answer q2"),
        ("x = 1\n%%answer q3\n", "", "%%answer q3"),
        ("student number = A-07", "", "%%student"),
    ],
)
def test_the_cure_names_the_line_to_type(source: str, cell_id: str, line: str) -> None:
    """By the cell's id, else by the labels in it; where two tasks ask for the same label, both are named."""
    assert cure(source, cell_id, TASKS, "invalid syntax").text.endswith(line)


def test_a_cell_that_is_nothing_of_ours_says_what_jupyter_said() -> None:
    """A note of the student's own, typed without a sign before it."""
    text = cure("remember to ask <b>Ilse</b>", "", TASKS, "invalid syntax").text
    assert "(invalid syntax)" in text
    assert "begin each line of it with #" in text


@given(st.text(max_size=200), st.text(max_size=40))
def test_the_cure_never_fails_and_never_shows_markup(source: str, problem: str) -> None:
    """Whatever was typed, the cure is words."""
    html = cure(source + "<i>x</i>", "", TASKS, problem + "<i>y</i>").html
    assert "<i>" not in html
