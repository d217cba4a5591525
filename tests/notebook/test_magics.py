"""The magic lines in a real IPython."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import RichOutput, capture_output
from traitlets.config import Config

from pharmcalc import notebook
from pharmcalc.caution import CAUTION
from pharmcalc.errors import CourseError

BEGIN = 'from pharmcalc import notebook\nnotebook.begin("weighing-1", version=1)'
STUDENT = "%%student\nstudent number = A-07\nattempt = 1"
TASK = "%task q1 least-weighable-quantity"


class Notebook:
    """A running IPython, used cell by cell."""

    def __init__(self, shell: InteractiveShell) -> None:
        self.shell = shell
        self.succeeded = True
        self.printed = ""

    def run(self, source: str, cell_id: str = "") -> list[RichOutput]:
        """Run a cell as JupyterLab does, and return what it showed."""
        self.shell.get_parent = lambda: {"metadata": {"cellId": cell_id}}
        with capture_output() as captured:
            self.succeeded = self.shell.run_cell(source, store_history=True).success
        self.printed = captured.stdout + captured.stderr
        return list(captured.outputs)

    def text(self, source: str, cell_id: str = "") -> str:
        """Run a cell and return what it showed, as plain text."""
        return "\n".join(text for output in self.run(source, cell_id) for text in [output.data["text/plain"]])

    def result(self, source: str) -> dict[str, str]:
        """Run a cell and return how its last value is written, by mime type."""
        with capture_output():
            value = self.shell.run_cell(source).result
        data: dict[str, str] = self.shell.display_formatter.format(value)[0]
        return data


@pytest.fixture
def cells(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Notebook]:
    """A fresh IPython that keeps no history."""
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path))
    config = Config()
    config.HistoryManager.enabled = False
    InteractiveShell.clear_instance()
    yield Notebook(InteractiveShell.instance(config=config, colors="nocolor"))
    InteractiveShell.clear_instance()


@pytest.fixture
def begun(cells: Notebook) -> Notebook:
    """The same, after the set-up cell and the house rules."""
    cells.run(BEGIN)
    cells.run("%%house_rules")
    return cells


def magics(cells: Notebook) -> set[str]:
    """Return the names of our magic lines that IPython knows."""
    known: dict[str, dict[str, Any]] = cells.shell.magics_manager.magics
    return {"house_rules", "student", "answer"} & known["cell"].keys() | {"task"} & known["line"].keys()


def test_importing_changes_nothing(cells: Notebook) -> None:
    """Only begin gives the notebook its magic lines."""
    cells.run("from pharmcalc import notebook")
    assert magics(cells) == set()
    cells.run(BEGIN)
    assert magics(cells) == {"house_rules", "student", "answer", "task"}


def test_beginning_shows_the_caution_and_what_to_do(cells: Notebook) -> None:
    """The first thing a student reads."""
    text = cells.text(BEGIN)
    assert CAUTION in text
    assert "Run All Cells" in text
    assert "student number" in text


def test_a_lesson_begins_with_the_caution(cells: Notebook) -> None:
    """A lesson needs no magic lines."""
    assert cells.text("from pharmcalc import notebook\nnotebook.lesson()") == CAUTION
    assert magics(cells) == set()


def test_every_output_has_html_with_its_style_and_plain_text(begun: Notebook) -> None:
    """Each piece looks the same wherever it stands, and can be read where there is no HTML."""
    outputs = [*begun.run(STUDENT), *begun.run(TASK), *begun.run("%%answer q1\nlwq = 120 mg")]
    assert len(outputs) == 4, "the first question also changes what the student cell says"
    for output in outputs:
        assert set(output.data) == {"text/html", "text/plain"}
        assert output.data["text/html"].startswith('<div class="pc"><style>')


def test_a_notebook_is_filled_in_from_top_to_bottom(begun: Notebook) -> None:
    """Number, question, answer: each cell shows what it read."""
    assert "Student number: A-07" in begun.text(STUDENT)
    assert "sensitivity requirement of" in begun.text(TASK)
    assert "read as 120 mg" in begun.text("%%answer q1\nleast weighable quantity = 6 mg / 5 % = 120 mg")


def test_questions_on_show_follow_the_student(begun: Notebook) -> None:
    """Once the number is typed, the questions below change without being run again."""
    assert "type your student number above" in begun.text(TASK)
    student, question = begun.run(STUDENT)
    assert "Student number" in student.data["text/plain"]
    assert question.update
    assert "sensitivity requirement of" in question.data["text/plain"]


def test_after_a_run_of_all_cells_the_student_cell_speaks_of_the_questions_that_stand_below(begun: Notebook) -> None:
    """It runs before them and says that they come; the first question puts that right, and later ones leave it."""
    (student,) = begun.run(STUDENT)
    assert "Your own questions come when the cells below are run" in student.data["text/plain"]
    _, told = begun.run(TASK)
    assert told.update
    assert told.transient == student.transient
    assert "The questions below now have the numbers of A-07." in told.data["text/plain"]
    assert "come when" not in told.data["text/plain"]
    assert len(begun.run("%task q2 aliquot-plan")) == 1
    assert "come when" not in begun.text(STUDENT)


def test_a_student_cell_that_ran_before_the_house_rules_does_not_go_on_missing_them(cells: Notebook) -> None:
    """Whoever runs the cells out of order reads what is missing now, and not what was missing then."""
    cells.run(BEGIN)
    assert "house rules have not been read yet" in cells.text(STUDENT)
    _, steps, told = cells.run("%%house_rules")
    assert steps.update
    assert told.update
    assert "Code of this paper" in told.data["text/plain"]


def test_running_the_set_up_cell_again_loses_nothing(begun: Notebook) -> None:
    """A student who runs every cell twice keeps number and questions."""
    begun.run(STUDENT)
    begun.run(TASK)
    begun.run(BEGIN)
    assert "read as 120 mg" in begun.text("%%answer q1\nlwq = 120 mg")
    assert "still missing" not in begun.text("%%answer q1\nlwq = 120 mg")


def test_another_assignment_in_the_same_notebook_starts_anew(begun: Notebook) -> None:
    """Numbers of one assignment never stand under another; the old magic lines leave nothing behind."""
    begun.run(STUDENT)
    begun.run(TASK)
    before = len(begun.shell.input_transformers_cleanup)
    begun.run('notebook.begin("weighing-2", version=1)')
    assert len(begun.shell.input_transformers_cleanup) == before
    assert "questions have not been shown yet" in begun.text("%%answer q1\nlwq = 120 mg")


@pytest.mark.parametrize("source", ["# a note\n%%answer q1\nlwq = 120 mg", "\n\n%%answer q1\nlwq = 120 mg"])
def test_a_note_above_the_first_line_does_no_harm(begun: Notebook, source: str) -> None:
    """The marking reads such a cell, so the notebook does too."""
    begun.run(TASK)
    assert "read as 120 mg" in begun.text(source)
    assert begun.succeeded


def test_an_empty_answer_cell_does_no_harm(begun: Notebook) -> None:
    """IPython would call it a usage error."""
    begun.run(TASK)
    assert "not answered yet" in begun.text("%%answer q1")
    assert begun.succeeded


@pytest.mark.parametrize("typed", ["least weighable quantity = 120 mg", "lwq = 120"])
def test_a_deleted_first_line_is_put_back_and_told(begun: Notebook, typed: str) -> None:
    """The cell's id says which answer it is; also where the rest happens to be valid Python."""
    begun.run(TASK)
    text = begun.text(typed, "answer-q1")
    assert "You typed" in begun.run(typed, "answer-q1")[0].data["text/html"]
    assert "The first line of this cell is gone" in text
    assert "%%answer q1" in text
    assert "lwq" not in begun.shell.user_ns


@pytest.mark.parametrize(
    ("source", "line"),
    [
        ("least weighable quantity = 120 mg", "%%answer q1"),
        ("%%anwser q1\nleast weighable quantity = 120 mg", "%%answer q1"),
        ("a word\n%%answer q1\nlwq = 120 mg", "%%answer q1"),
    ],
)
def test_where_the_cell_is_not_known_the_cure_stands_in_place_of_a_traceback(
    begun: Notebook, source: str, line: str
) -> None:
    """A split cell, a misspelt line, words above it: the student reads what to type, and nothing red."""
    begun.run(TASK)
    text = begun.text(source)
    assert text.endswith(line)
    assert "What you typed is still there." in text
    assert begun.printed == ""


def test_other_errors_are_shown_as_ever(begun: Notebook) -> None:
    """Only what looks like an answer gone wrong is ours; a division by zero is Python's."""
    assert begun.run("1 / 0") == []
    assert "ZeroDivisionError" in begun.printed


def test_the_place_for_marks_shows_words_and_keeps_its_number(begun: Notebook) -> None:
    """A student does not read the bare 0 as a mark; nbgrader still finds it in the plain text."""
    shown = begun.result("0")
    assert "after the marking" in shown["text/html"]
    assert shown["text/plain"] == "0"


def test_a_student_s_own_arithmetic_is_shown_as_ever(begun: Notebook) -> None:
    """Only the mark cell's own 0 speaks of marks."""
    for source, value in (("3 - 3", "0"), ("20 * 6", "120")):
        shown = begun.result(source)
        assert (shown["text/plain"], "text/html" in shown) == (value, False)


def test_what_is_typed_is_never_run(begun: Notebook) -> None:
    """An answer that is Python stays text."""
    begun.run(TASK)
    begun.run("%%answer q1\nlwq = __import__('builtins').setattr(__import__('builtins'), 'ran', 1)\nran = 1")
    assert "ran" not in begun.shell.user_ns
    assert not hasattr(__import__("builtins"), "ran")


def test_beginning_outside_a_notebook_says_where_to_go() -> None:
    """In plain Python there is nothing to begin."""
    InteractiveShell.clear_instance()
    with pytest.raises(CourseError, match="Open the assignment in JupyterLab"):
        notebook.begin("weighing-1")
