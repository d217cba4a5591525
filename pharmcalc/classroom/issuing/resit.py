"""Resits: an assignment once more, with fresh numbers, for some students.

A resit is an assignment of its own (``weighing-1-resit``): its name alone gives other numbers, and nbgrader keeps its
marks beside the first ones. Who sits it stands in a list that is only ever added to.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import datetime

from pharmcalc.answers import read_student_cell
from pharmcalc.classroom.cells import STUDENT, Json, cells_by_id, source_of
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.issuing.release import house_rules_text, with_house_rules
from pharmcalc.classroom.lists import add_row, read_rows
from pharmcalc.classroom.roster import Roster
from pharmcalc.errors import CourseError
from pharmcalc.tasks.papers import HOUSE_RULES_LINE, answer_id, read_issue

__all__ = ["asked", "first_sitting", "make_resit", "those_who_sit"]

LIST = "resits.csv"
_COLUMNS = ("when", "assignment", "of", "number")
_ENDING = "-resit"


def make_resit(course: Course, of: str, numbers: Sequence[str], roster: Roster) -> str:
    """Write a resit of an assignment for some students, and return its name.

    Students are added to the newest resit as long as nobody has handed it in; then another one is made.
    Raises CourseError where a student or the assignment is not known.
    """
    course.require(of)
    students = [(number, roster.find(number)) for number in dict.fromkeys(n.strip() for n in numbers if n.strip())]
    strangers = [number for number, student in students if student is None]
    if strangers or not students:
        who = f"{strangers[0][:40]} is not on the class list" if strangers else "no student was named"
        raise CourseError(f"{who}. Give the numbers of those who sit again, such as A-03,A-07.")
    name, count = f"{of}{_ENDING}", 1
    while course.handed_in(name):
        count += 1
        name = f"{of}{_ENDING}-{count}"
    if not course.solution(name).is_file():
        nb = _once_more(course, of, name)
        course.solution(name).parent.mkdir(parents=True, exist_ok=True)
        course.solution(name).write_text(json.dumps(nb, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    already = set(those_who_sit(course, name))
    for _, student in students:
        if student is not None and student.number not in already:
            when = f"{datetime.now():%Y-%m-%d %H:%M:%S}"
            add_row(course.root / LIST, dict(zip(_COLUMNS, (when, name, of, student.number), strict=True)))
    return name


def those_who_sit(course: Course, assignment: str) -> list[str]:
    """Return the numbers of those who sit a resit; nothing for an assignment that everybody sits."""
    return [row["number"] for row in _rows(course) if row["assignment"] == assignment]


def first_sitting(course: Course, assignment: str) -> str:
    """Return the assignment that this is a resit of, or an empty text."""
    return next((row["of"] for row in _rows(course) if row["assignment"] == assignment), "")


def asked(course: Course, assignment: str, roster: Roster) -> Roster:
    """Return those of the class list who are asked to hand an assignment in: everybody, or those who sit a resit."""
    sitting = set(those_who_sit(course, assignment))
    return Roster(tuple(student for student in roster if student.number in sitting)) if sitting else roster


def _once_more(course: Course, of: str, name: str) -> Json:
    """Return the solution of an assignment under another name, with the worked answers of its new numbers."""
    nb: Json = json.loads(course.solution(of).read_text(encoding="utf-8"))
    titled = False
    for cell in nb["cells"]:
        text = source_of(cell).replace(f'begin("{of}"', f'begin("{name}"')
        if cell["cell_type"] == "markdown" and not titled and text.startswith("# "):
            text, titled = f"# Resit: {text[2:]}", True
        cell["source"] = text
    cells = cells_by_id(nb)
    rules = with_house_rules(house_rules_text(course.root))
    issued = {
        "cells": [
            cell | {"source": rules} if source_of(cell).startswith(HOUSE_RULES_LINE) else cell for cell in nb["cells"]
        ]
    }
    number, attempt, _ = read_student_cell(source_of(cells[STUDENT]))
    for task in read_issue(issued).paper(number or "A-00", attempt or 1).tasks:
        if answer_id(task.id) in cells:
            cells[answer_id(task.id)]["source"] = f"%%answer {task.id}\n{task.answer_lines()}"
    return nb


def _rows(course: Course) -> list[dict[str, str]]:
    rows = read_rows(course.root / LIST, *_COLUMNS)
    return [row for row in rows if row["assignment"] and row["of"] and row["number"]]
