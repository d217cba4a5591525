"""Build small courses for the tests: an assignment written by hand, a class list, hand-ins as students make them."""

from __future__ import annotations

import copy
import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterable, Mapping
from contextlib import closing
from pathlib import Path
from typing import Any

from pharmcalc.classroom.cells import cells_by_id
from pharmcalc.tasks.house import default_house_rules_text
from pharmcalc.tasks.papers import answer_id, mark_id, read_issue
from tests.programs import program

CONFIG = "from pharmcalc.classroom.config import configure\n\nc = get_config()\nconfigure(c)\n"
PROJECT = Path(__file__).resolve().parents[2]
SOLVER = "A-00"  # the number that the worked solution is written for


def cell(kind: str, name: str, source: str, **grader: Any) -> dict[str, Any]:
    """Return a cell with nbgrader's settings; locked and read-only unless said otherwise."""
    settings = {
        "schema_version": 3,
        "grade_id": name,
        "locked": True,
        "grade": False,
        "solution": False,
        **grader,
    }
    made: dict[str, Any] = {
        "cell_type": kind,
        "id": name,
        "metadata": {"nbgrader": settings},
        "source": source,
    }
    return made | ({"outputs": [], "execution_count": None} if kind == "code" else {})


def assignment(name: str, families: Iterable[str], rules: str, *, by_hand: bool = True) -> dict[str, Any]:
    """Return a worked assignment with one task for each family, and a written question if ``by_hand``.

    A task at the simulated bench has no answer cell.
    """
    tasks = [(f"q{n}", family) for n, family in enumerate(families, 1)]
    begin = f'from pharmcalc import notebook\nnotebook.begin("{name}", version=1)'
    cells = [
        cell("markdown", "intro", "# A test assignment"),
        cell("code", "setup", begin),
        cell("code", "house-rules", f"%%house_rules\n{rules}"),
        cell(
            "code",
            "student",
            f"%%student\nstudent number = {SOLVER}\nattempt = 1",
            locked=False,
            solution=True,
        ),
    ]
    cells += [cell("code", f"task-{task}", f"%task {task} {family}") for task, family in tasks]
    paper = read_issue({"cells": cells}).paper(SOLVER, 1)
    for name_, _ in tasks:
        task = paper.task(name_)
        if not task.family.recorded:
            worked = f"%%answer {name_}\n{task.answer_lines()}"
            cells.append(cell("code", answer_id(name_), worked, locked=False, solution=True))
        cells.append(cell("code", mark_id(name_), "0", grade=True, points=task.out_of))
    if by_hand:
        model = "### BEGIN SOLUTION\nBecause the error is a share of what is weighed.\n### END SOLUTION"
        cells.append(cell("markdown", "explain-1", model, locked=False, solution=True, grade=True, points=2))
    kernel = {"display_name": "Python 3", "language": "python", "name": "python3"}
    return {"cells": cells, "metadata": {"kernelspec": kernel}, "nbformat": 4, "nbformat_minor": 5}


def write_course(root: Path, name: str, families: Iterable[str], numbers: Iterable[str], **options: Any) -> Path:
    """Write a course folder with one assignment and a class list; return it."""
    rules = default_house_rules_text()
    root.mkdir(parents=True, exist_ok=True)
    (root / "nbgrader_config.py").write_text(CONFIG, encoding="utf-8")
    (root / "house_rules.toml").write_text(rules, encoding="utf-8")
    lines = [
        "number,surname,given name,email",
        *(f"{n},Surname{n},Given{n},{n}@example.org" for n in numbers),
    ]
    (root / "class.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    nb = assignment(name, families, rules, **options)
    bare = copy.deepcopy(nb)
    cells_by_id(bare)["house-rules"]["source"] = "%%house_rules"
    folder = root / "solutions" / name
    folder.mkdir(parents=True)
    (folder / f"{name}.ipynb").write_text(json.dumps(bare, indent=1), encoding="utf-8")
    return root


def answered(
    release: Mapping[str, Any],
    number: str,
    answers: Mapping[str, str] | None = None,
    *,
    typed: str | None = None,
    change: Callable[[dict[str, Any]], None] | None = None,
) -> dict[str, Any]:
    """Return a hand-in made from the release: every task answered rightly unless ``answers`` says otherwise.

    Parameters
    ----------
    release, number
        What was issued, and whose paper is answered.
    answers
        Lines for some tasks, by task id.
    typed
        The number that stands in the student cell, where it is not ``number``.
    change
        What else the student did to the notebook.
    """
    nb: dict[str, Any] = copy.deepcopy(dict(release))
    cells, paper = cells_by_id(nb), read_issue(release).paper(number, 1)
    cells["student"]["source"] = f"%%student\nstudent number = {number if typed is None else typed}\nattempt = 1"
    for task in (task for task in paper.tasks if not task.family.recorded):
        lines = (answers or {}).get(task.id, task.answer_lines())
        cells[answer_id(task.id)]["source"] = f"%%answer {task.id}\n{lines}"
    if change:
        change(nb)
    return nb


def hand_in(root: Path, name: str, number: str, content: Mapping[str, Any] | bytes) -> Path:
    """Lay a hand-in where nbgrader expects it."""
    path = root / "submitted" / number / name / f"{name}.ipynb"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content if isinstance(content, bytes) else json.dumps(content).encode())
    return path


def gradebook_rows(gradebook: Path) -> list[tuple[Any, ...]]:
    """Return everything about marks and comments that stands in a gradebook, without ids and times."""
    marks = """
        select s.id, a.name, b.name, g.auto_score, g.manual_score, g.extra_credit, g.needs_manual_grade
        from grade g join base_cell b on b.id = g.cell_id join submitted_notebook n on n.id = g.notebook_id
        join submitted_assignment sa on sa.id = n.assignment_id join student s on s.id = sa.student_id
        join assignment a on a.id = sa.assignment_id order by 1, 2, 3"""
    comments = """
        select s.id, b.name, c.auto_comment, c.manual_comment, n.late_submission_penalty
        from comment c join base_cell b on b.id = c.cell_id join submitted_notebook n on n.id = c.notebook_id
        join submitted_assignment sa on sa.id = n.assignment_id join student s on s.id = sa.student_id
        order by 1, 2"""
    with closing(sqlite3.connect(gradebook)) as book:
        return [*book.execute(marks), *book.execute(comments)]


def nbgrader(root: Path, *words: str) -> str:
    """Run one of nbgrader's own commands in a course folder and return everything it said."""
    programs = str(Path(sys.executable).parent)
    env = {**os.environ, "PATH": os.pathsep.join([programs, os.environ["PATH"]]), "PYTHONPATH": str(PROJECT)}
    command = [*program("nbgrader.apps.nbgraderapp"), *words]
    done = subprocess.run(command, cwd=root, env=env, capture_output=True, text=True, check=False, timeout=120)
    return done.stdout + done.stderr
