"""Known mistakes in drawn tasks: worked out as plain numbers from the subject, typed as a student would, and marked."""

from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.tasks.family import Drawn, Task, family_called
from pharmcalc.units import Quantity
from tests.questions import HOUSE

Numbers = Mapping[str, Fraction]

_UNITS = ("milligram", "millilitre", "gram / millilitre", "gram / mole", "milligram / millilitre")


def drawn_tasks(family: str, count: int) -> list[Task]:
    """Return tasks of a family, drawn with different keys."""
    return [family_called(family).task("q1", f"slip {number}", HOUSE) for number in range(count)]


def given(family: str, values: Mapping[str, Quantity], **words: str) -> Task:
    """Return a task of a family with numbers and words of our own."""
    return Task("q1", family_called(family), Drawn(values, words), HOUSE)


def plain(task: Task) -> dict[str, Fraction]:
    """Return a task's values as plain numbers: mg, mL, g/mL and g/mol; a percentage as its part of one."""
    numbers = {}
    for name, value in task.values.items():
        unit = next((unit for unit in _UNITS if value.is_compatible_with(unit)), "")
        numbers[name] = value.to(unit).magnitude if unit else value.to_base_units().magnitude
    return numbers


def rounded(number: Fraction, figures: int = 4) -> str:
    """Round half-up to figures, as a student reads it off a calculator."""
    long = Decimal(number.numerator) / Decimal(number.denominator)
    return f"{long.quantize(Decimal(1).scaleb(long.adjusted() - figures + 1), ROUND_HALF_UP):f}"


def marked(task: Task, **changed: str) -> TaskMark:
    """Mark the worked answers of a task with some changed, by their labels with low lines for spaces."""
    lines = {asked.said: task.typed(asked) for asked in task.asked}
    for label, text in changed.items():
        assert label.replace("_", " ") in lines, f"{label} is not one of {list(lines)}"
        lines[label.replace("_", " ")] = text
    return mark_task(task, "\n".join(f"{label} = {text}" for label, text in lines.items()))


def verdict_on(mark: TaskMark, label: str) -> tuple[str, str]:
    """Return the status of an answer and the mistake named for it."""
    verdict = next(verdict for verdict in mark.verdicts if verdict.label == label.replace("_", " "))
    return verdict.status.name, verdict.mistake_id


def only_loses(mark: TaskMark, label: str) -> bool:
    """Say whether this answer is all that was lost."""
    verdict = next(verdict for verdict in mark.verdicts if verdict.label == label.replace("_", " "))
    return verdict.marks == 0 and mark.marks == mark.out_of - verdict.out_of
