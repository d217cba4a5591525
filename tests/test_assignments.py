"""The assignments that come with the course: what a student finds in them, what they are worth, and what stays behind.

That exercises/ is made from solutions/ as they are now is tests/classroom/test_issue.py; that the notebooks are stored
clean is tests/test_notebooks.py.
"""

import copy
import json
import re
from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from pharmcalc.answers import answer_body, read_student_cell
from pharmcalc.classroom.marking.marker import mark_script
from pharmcalc.marking import mark_task
from pharmcalc.tasks.family import Task, family_called
from pharmcalc.tasks.papers import HOUSE_RULES_LINE, Paper, answer_id, mark_id, read_issue
from tools.notebooks import PROJECT

SOLUTIONS = sorted((PROJECT / "solutions").glob("*/*.ipynb"))
SOLVER = "A-00"  # whose paper the worked answers belong to
NUMBERS = ("A-01", "A-77", "hh-24", "100412", "Åse 3")  # as different as classes number their students

assignments = pytest.mark.parametrize("path", SOLUTIONS, ids=lambda path: path.stem)
Cell = dict[str, Any]


def notebook(path: Path) -> dict[str, Any]:
    """Return a notebook with each cell's source as one text."""
    found: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    for cell in found["cells"]:
        cell["source"] = "".join(cell["source"])
    return found


def release_of(path: Path) -> Path:
    """Return what students get of a worked assignment."""
    return PROJECT / "exercises" / path.parent.name / path.name


def named(nb: Mapping[str, Any]) -> dict[str, Cell]:
    """Return a notebook's cells by nbgrader's name for them."""
    return {cell["metadata"]["nbgrader"]["grade_id"]: cell for cell in nb["cells"]}


def solver_paper(path: Path) -> Paper:
    """Return the paper that the worked answers are for, under the house rules of the release."""
    return read_issue(notebook(release_of(path))).paper(SOLVER, 1)


def typed_tasks(paper: Paper) -> list[Task]:
    """Return the tasks that are answered by typing; the others are answered at the simulated bench."""
    return [task for task in paper.tasks if not task.family.recorded]


def bench_tasks(paper: Paper) -> list[Task]:
    """Return the tasks whose answer is a record of the simulated bench."""
    return [task for task in paper.tasks if task.family.recorded]


def is_folded(cell: Cell) -> bool:
    """Say whether a cell's text is out of sight."""
    return bool(cell["metadata"].get("jupyter", {}).get("source_hidden"))


def model_answer(cell: Cell) -> str:
    """Return what stands between nbgrader's marks for a model answer."""
    found = re.search(r"### BEGIN SOLUTION\n(.+)\n### END SOLUTION", cell["source"], re.DOTALL)
    assert found is not None
    return found[1]


def by_hand(nb: Mapping[str, Any]) -> dict[str, Cell]:
    """Return the cells that the instructor marks by reading them."""
    return {
        name: cell
        for name, cell in named(nb).items()
        if cell["metadata"]["nbgrader"]["grade"] and cell["metadata"]["nbgrader"]["solution"]
    }


@assignments
def test_every_cell_is_called_by_its_grade_id(path: Path) -> None:
    """A cell's id is nbgrader's name for it, so that an answer is found wherever it stands."""
    cells = notebook(path)["cells"]
    assert [cell["id"] for cell in cells] == [cell["metadata"]["nbgrader"]["grade_id"] for cell in cells]


@assignments
def test_an_assignment_begins_with_what_to_do_the_rules_and_the_student(path: Path) -> None:
    """First the words, then set-up, house rules and the student's number; then the tasks."""
    nb = notebook(path)
    assert [cell["id"] for cell in nb["cells"]][:4] == ["intro", "setup", "house-rules", "student"]
    issue = read_issue(nb)
    assert issue.assignment == path.stem == path.parent.name
    assert named(nb)["house-rules"]["source"] == HOUSE_RULES_LINE


@assignments
def test_each_task_is_asked_answered_and_marked_in_this_order(path: Path) -> None:
    """The question, the answer and the place of the marks follow each other, and only the answer is open to change.

    A task at the simulated bench has no answer cell.
    """
    nb = notebook(path)
    ids, cells = [cell["id"] for cell in nb["cells"]], named(nb)
    for task, family in read_issue(nb).tasks:
        at, answers = ids.index(f"task-{task}"), [] if family_called(family).recorded else [answer_id(task)]
        wanted = [f"task-{task}", *answers, mark_id(task)]
        assert ids[at : at + len(wanted)] == wanted
        assert [name for name in wanted if not cells[name]["metadata"]["nbgrader"]["locked"]] == answers
        assert [name for name in wanted if not is_folded(cells[name])] == answers
        assert cells[mark_id(task)]["source"] == "0"


@assignments
def test_a_task_is_worth_what_its_family_says(path: Path) -> None:
    """The marks of a task stand in the library, and the cell that carries them says the same."""
    cells = named(notebook(path))
    for task in solver_paper(path).tasks:
        assert cells[mark_id(task.id)]["metadata"]["nbgrader"]["points"] == task.out_of


@assignments
def test_the_worked_answers_earn_full_marks_and_are_cleared(path: Path) -> None:
    """Whoever hands in the worked solution, under its own number, gets every mark that can be given without reading."""
    cells = named(notebook(path))
    assert read_student_cell(cells["student"]["source"]) == (SOLVER, 1, [])
    paper = solver_paper(path)
    worked = {task: cells[answer_id(task.id)]["source"] for task in typed_tasks(paper)}
    worked |= {task: task.answer_lines() for task in bench_tasks(paper)}
    for task, text in worked.items():
        mark = mark_task(task, text)
        assert (mark.marks, mark.cleared) == (Fraction(task.out_of), True), task.id


@assignments
def test_the_release_as_it_comes_earns_nothing_and_shows_its_labels(path: Path) -> None:
    """An answer cell of the release has every label of its task, nothing behind them, and no mark."""
    cells = named(notebook(release_of(path)))
    for task in typed_tasks(solver_paper(path)):
        source = cells[answer_id(task.id)]["source"]
        assert answer_body(source).splitlines() == [f"{asked.said} =" for asked in task.asked]
        assert mark_task(task, source).marks == 0


@assignments
def test_no_worked_answer_and_no_word_of_a_model_answer_is_in_the_release(path: Path) -> None:
    """Neither a value, nor a sentence of a model answer, nor the marking guide reaches a student."""
    worked, released = notebook(path), release_of(path).read_text(encoding="utf-8")
    secret = [line for cell in by_hand(worked).values() for line in model_answer(cell).splitlines() if line]
    tasks = typed_tasks(solver_paper(path))
    for task in tasks:
        secret += answer_body(named(worked)[answer_id(task.id)]["source"]).splitlines()
    assert len(secret) >= sum(len(task.asked) for task in tasks)
    for line in secret:
        assert json.dumps(line, ensure_ascii=False)[1:-1] not in released
    assert SOLVER not in released


@assignments
def test_nothing_but_the_notebook_lies_beside_it(path: Path) -> None:
    """A second file in the folder would be copied into the release."""
    for folder in (path.parent, release_of(path).parent):
        assert [entry.name for entry in folder.iterdir() if entry.name != ".ipynb_checkpoints"] == [path.name]


@assignments
def test_a_written_question_has_a_model_answer_and_a_guide_that_adds_up(path: Path) -> None:
    """The guide names as many points as the question has marks, and the question tells how many these are."""
    nb = notebook(path)
    for name, cell in by_hand(nb).items():
        points = cell["metadata"]["nbgrader"]["points"]
        answer, _, guide = model_answer(cell).partition("**Marking guide")
        assert len(answer.split()) > 40
        assert len(re.findall(r"^\d+\. ", guide, re.MULTILINE)) == points
        assert f"{points} marks" in named(nb)[f"{name}-question"]["source"]


# What the tasks are ---------------------------------------------------------------------------------------------------


@assignments
def test_an_assignment_is_five_to_eight_tasks_no_kind_twice(path: Path) -> None:
    """Enough for an hour or so, and every kind of task once."""
    nb = notebook(path)
    kinds = Counter(family for _, family in read_issue(nb).tasks)
    assert 5 <= len(kinds) <= 8
    assert set(kinds.values()) == {1}
    assert sum(cell["metadata"]["nbgrader"].get("points", 0) for cell in nb["cells"]) >= 20


@assignments
def test_the_tasks_go_from_easy_to_hard(path: Path) -> None:
    """Single steps first; whole orders last."""
    levels = [task.family.level for task in solver_paper(path).tasks]
    assert levels[0] < 3
    assert [level == 3 for level in levels] == sorted(level == 3 for level in levels)
    assert levels[-1] == max(levels)


@assignments
@pytest.mark.parametrize("number", NUMBERS)
def test_the_worked_answers_of_any_student_earn_everything(path: Path, number: str) -> None:
    """Marked as a hand-in is marked: every mark, cleared, and nothing for the instructor to look at."""
    nb = copy.deepcopy(notebook(release_of(path)))
    cells, issue = named(nb), read_issue(nb)
    paper = issue.paper(number)
    cells["student"]["source"] = f"%%student\nstudent number = {number}\nattempt = 1"
    for task in typed_tasks(paper):
        cells[answer_id(task.id)]["source"] = f"%%answer {task.id}\n{task.answer_lines()}"
    script = mark_script(nb, issue, number, records={task.id: task.answer_lines() for task in bench_tasks(paper)})
    assert script.total == paper.out_of
    assert [task for task, mark in script.marks.items() if not mark.cleared] == []
    assert script.needs_eyes == ()
