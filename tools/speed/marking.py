"""How quickly tasks are drawn, answered and marked."""

import time

from pharmcalc.errors import PharmcalcError
from pharmcalc.marking import mark_task
from pharmcalc.tasks.asked import Asked
from pharmcalc.tasks.family import Task, typed_families
from pharmcalc.tasks.house import read_house_rules
from tools.speed import figure

ROUNDS = 12


@figure("1/s")
def tasks_per_second() -> float:
    """Draw a task of every typed family in turn, answer every other one with a known mistake, and mark it: one core."""
    house = read_house_rules()
    families = typed_families()
    for family in families:  # the equations are traced once, whatever is marked afterwards
        mark_task(task := family.task("q1", "warm", house), _answered(task, 1))
    start = time.perf_counter()
    for number in range(ROUNDS):
        for place, family in enumerate(families):
            task = family.task("q1", f"speed {number}", house)
            mark_task(task, _answered(task, number + place))
    return ROUNDS * len(families) / (time.perf_counter() - start)


def _answered(task: Task, number: int) -> str:
    """Return the worked answers; with an odd number one of them is a known mistake, or a number from nowhere."""
    lines = task.answer_lines().splitlines()
    if number % 2:
        place = number // 2 % len(task.asked)
        asked = task.asked[place]
        lines[place] = f"{asked.said} = {_wrong(task, asked) if isinstance(asked, Asked) else 'nothing of that'}"
    return "\n".join(lines)


def _wrong(task: Task, asked: Asked) -> str:
    for mistake in task.mistakes_of(asked):
        try:
            return task.typed(asked, mistake.evaluate(task.values))
        except (PharmcalcError, ZeroDivisionError):
            continue
    return task.typed(asked, task.values[asked.name] * 7)
