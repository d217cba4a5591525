"""What students get, made by nbgrader from what was written by hand."""

import json

from pharmcalc.classroom.cells import cells_by_id, source_of
from pharmcalc.classroom.issuing.issue import make_release
from pharmcalc.tasks.house import default_house_rules_text
from tests.classroom.building import gradebook_rows, nbgrader
from tests.classroom.conftest import NAME, Classroom


def texts(classroom: Classroom) -> dict[str, str]:
    """Return the release's cells by name."""
    return {name: source_of(cell) for name, cell in cells_by_id(classroom.release).items()}


def test_a_release_is_the_same_each_time(classroom: Classroom) -> None:
    """Made twice, by us and by nbgrader's own command, a release is the same to the byte."""
    ours = classroom.course.release(NAME).read_bytes()
    assert make_release(classroom.course, NAME) == ours
    said = nbgrader(classroom.course.root, "generate_assignment", NAME, "--force")
    assert classroom.course.release(NAME).read_bytes() == ours, said


def test_labels_stay_and_values_go(classroom: Classroom) -> None:
    """Students find the labels of the answers, and nothing behind them."""
    written = json.loads(classroom.course.solution(NAME).read_text(encoding="utf-8"))
    worked = {name: source_of(cell) for name, cell in cells_by_id(written).items()}
    for task in ("q1", "q2"):
        released = texts(classroom)[f"answer-{task}"].splitlines()
        labels = [line.partition("=")[0] for line in worked[f"answer-{task}"].splitlines()[1:]]
        assert released == [f"%%answer {task}", *(f"{label}= " for label in labels)]
        assert labels


def test_the_student_cell_is_empty_but_for_the_attempt(classroom: Classroom) -> None:
    """Nobody inherits a number; the first attempt is what everybody begins with."""
    assert texts(classroom)["student"] == "%%student\nstudent number = \nattempt = 1"


def test_no_solution_text_escapes(classroom: Classroom) -> None:
    """Neither a worked answer nor the model answer of a written question is in the release."""
    written = json.loads(classroom.course.solution(NAME).read_text(encoding="utf-8"))
    worked = {
        line
        for name, cell in cells_by_id(written).items()
        if name.startswith("answer-")
        for line in source_of(cell).splitlines()[1:]
    }
    assert len(worked) > 4
    assert not worked & {line for text in texts(classroom).values() for line in text.splitlines()}
    assert "share of what is weighed" not in json.dumps(classroom.release)


def test_a_script_beside_the_solution_stays_behind(classroom: Classroom) -> None:
    """A Python file in an assignment's folder may hold answers, so nbgrader does not copy it."""
    (classroom.course.solution(NAME).parent / "answers.py").write_text("answer = 120\n")
    nbgrader(classroom.course.root, "generate_assignment", NAME, "--force")
    assert [path.name for path in classroom.course.release(NAME).parent.iterdir()] == [f"{NAME}.ipynb"]


def test_the_release_carries_the_house_rules_it_is_marked_by(classroom: Classroom) -> None:
    """The course's own rules stand in the release, word for word."""
    assert texts(classroom)["house-rules"] == "%%house_rules\n" + default_house_rules_text().strip("\n")


def test_an_untouched_release_earns_nothing(classroom: Classroom) -> None:
    """Whoever hands in the notebook as it came gets no marks."""
    classroom.hand_in("A-01", classroom.release)
    assert classroom.mark().count("marked") == 1
    (row,) = [row for row in classroom.picture().rows if row.student.number == "A-01"]
    assert row.scores == {"q1": 0, "q2": 0, "explain-1": 0}
    assert not row.all_cleared


STOCK = """
c = get_config()
c.CourseDirectory.source_directory = "solutions"
c.CourseDirectory.release_directory = "exercises"
"""


def test_an_untouched_release_earns_nothing_under_stock_nbgrader(classroom: Classroom) -> None:
    """Even where nbgrader runs the notebook with its own list of steps, the mark cells give no marks away."""
    (classroom.course.root / "nbgrader_config.py").write_text(STOCK)
    classroom.hand_in("A-01", classroom.release)
    said = nbgrader(classroom.course.root, "autograde", NAME)
    scores = {row[2]: row[3] for row in gradebook_rows(classroom.course.gradebook) if len(row) == 7}
    assert scores == {"mark-q1": 0, "mark-q2": 0, "explain-1": 0}, said
