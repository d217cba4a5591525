"""What tasks say and how they are marked, as text: run by CPython and by Python in the browser, and compared.

It uses nothing but the three lower floors.
"""

import json
import re

from pharmcalc.feedback import feedback_text
from pharmcalc.marking import mark_task
from pharmcalc.tasks.family import FAMILIES, Task
from pharmcalc.tasks.house import read_house_rules

TASKS = 200


def tasks() -> list[Task]:
    """Draw 200 tasks, of every family in turn."""
    house = read_house_rules()
    families = sorted(FAMILIES.values(), key=lambda family: family.id)
    return [families[n % len(families)].task(f"q{n}", f"student {n}", house) for n in range(TASKS)]


def told(task: Task) -> list[str]:
    """Return the question, and marks, clearance and feedback of a right answer and of a wrong one."""
    right = task.answer_lines()
    said = [task.question_text()]
    for answer in (right, slipped(right)):
        mark = mark_task(task, answer)
        said += [answer, f"{mark.marks} of {mark.out_of}, {mark.cleared}", feedback_text(mark)]
    return said


def everything() -> str:
    """Return all of it as JSON: for each task its family and what was told."""
    return json.dumps([[task.family.id, told(task)] for task in tasks()])


def slipped(answer: str) -> str:
    """Return an answer with a wrong first digit in its last line; where no number stands there, without that line."""
    before, equals, value = answer.rpartition("= ")
    first = re.search("[1-9]", value)
    if not (equals and first):
        return answer.rpartition("\n")[0]
    other = str(int(first.group()) % 9 + 1)
    return before + equals + value.replace(first.group(), other, 1)
