"""One slip in a drawn task, the rest worked out from it, all by plain fractions and typed as a student would.

What is right and what is wrong is computed here from the numbers of the question; the library only marks it.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from pharmcalc.marking import TaskMark, Verdict, mark_task
from pharmcalc.tasks.family import Drawn, Task, family_called
from pharmcalc.units import Quantity
from tests.conftest import PROFILE
from tests.questions import HOUSE

DRAWS = 400 if PROFILE == "thorough" else 25
Plain = Mapping[str, Fraction]
Step = Callable[[Plain, Sequence[Fraction]], Fraction]
"""One answer from the numbers of the question (grams, mL, fractions) and the answers before it."""

_SCALES = {"g": 1, "mg": 1000, "mL": 1, "%": 100, "% w/w": 100, "% w/v": 100, "1:": 1}
_UNITS = ("gram", "millilitre", "gram / millilitre", "dimensionless")


@dataclass(frozen=True)
class Oracle:
    """How a family is answered: a step and a unit for each answer (``?``: g or mL, as the question is).

    ``places`` are the decimal places that a display step asks for; elsewhere four figures are typed.
    """

    steps: tuple[Step, ...]
    units: tuple[str, ...]
    places: int | None = None


@dataclass(frozen=True)
class Slip:
    """A known mistake at one answer; ``stops`` where nothing sensible can follow from it."""

    family: str
    place: int
    mistake: str
    wrong: Step
    stops: bool = False


def draws(family: str, count: int = DRAWS) -> list[Task]:
    """Return draws of a family."""
    return [family_called(family).task("q1", f"slip {number}", HOUSE) for number in range(count)]


def asked_with(family: str, said: Mapping[str, str] | None = None, **texts: str) -> Task:
    """Return a task of a family with given values, as texts such as ``"120 mL"``; ``said`` are its words."""
    kinds = family_called(family).kinds
    values: dict[str, Quantity] = {name: kinds[name].check(name, text) for name, text in texts.items()}
    return Task("q1", family_called(family), Drawn(values, dict(said or {})), HOUSE)


def plain(task: Task) -> dict[str, Fraction]:
    """Return the drawn numbers: masses in g, volumes in mL, strengths w/v in g per mL, the rest as they are."""
    found = {}
    for name, value in task.drawn.values.items():
        unit = next(unit for unit in _UNITS if value.is_compatible_with(unit))
        found[name] = value.to(unit).magnitude
    return found


def typed_with(task: Task, oracle: Oracle, slip: Slip | None = None) -> str:
    """Return the answers, worked out one after the other, with a slip at one of them."""
    numbers, lines = plain(task), list[str]()
    right, own = list[Fraction](), list[Fraction]()
    for place, (step, unit, asked) in enumerate(zip(oracle.steps, oracle.units, task.asked, strict=True)):
        right.append(step(numbers, right))
        if slip is not None and place == slip.place:
            own.append(slip.wrong(numbers, own))
        elif slip is not None and slip.stops and place > slip.place:
            own.append(right[-1])
        else:
            own.append(step(numbers, own))
        weighed = task.values[asked.name].is_compatible_with("gram")
        said = unit if unit != "?" else "g" if weighed else "mL"
        lines.append(f"{asked.said} = {_written(own[-1], said, oracle.places)}")
    return "\n".join(lines)


def _written(number: Fraction, unit: str, places: int | None) -> str:
    scaled = (1 / number if unit == "1:" else number) * _SCALES[unit]
    long = Decimal(scaled.numerator) / Decimal(scaled.denominator)
    place = Decimal(1).scaleb(-places if places is not None else long.adjusted() - 3)
    short = f"{long.quantize(place, ROUND_HALF_UP):f}"
    return f"1:{short}" if unit == "1:" else f"{short} {unit}"


def assert_worked_out(family: str, oracle: Oracle) -> None:
    """Check on many draws that the numbers worked out here have full marks and clearance."""
    for task in draws(family):
        mark = mark_task(task, typed_with(task, oracle))
        assert (mark.marks, mark.cleared) == (task.out_of, True), task.question_text()


def named_marks(slip: Slip, oracle: Oracle) -> list[TaskMark]:
    """Check that a slip is named on at least 98 of 100 papers where it gives a wrong number; return their marks."""
    marks = slipped_marks(slip, oracle)
    assert len(marks) >= DRAWS // 2
    assert sum(is_named(mark, slip) for mark in marks) * 100 >= len(marks) * 98
    return marks


def slipped_marks(slip: Slip, oracle: Oracle) -> list[TaskMark]:
    """Make a slip on many draws and return the marks of those where it gives a wrong number."""
    marks = [mark_task(task, typed_with(task, oracle, slip)) for task in draws(slip.family)]
    return [mark for mark in marks if not mark.verdicts[slip.place].earned]


def is_named(mark: TaskMark, slip: Slip) -> bool:
    """Say whether the slip was recognised by its name, or as another that gives the very same number."""
    verdict = mark.verdicts[slip.place]
    assert isinstance(verdict, Verdict)
    if verdict.mistake_id == slip.mistake:
        return True
    if verdict.mistake is None or verdict.line.value is None:
        return False
    same = verdict.mistake.evaluate(verdict.mistake_values or {})
    return bool(abs(same - verdict.line.value) * 1000 <= abs(same))


def lost(mark: TaskMark) -> list[str]:
    """Return the labels of the answers that lost marks."""
    return [verdict.label for verdict in mark.verdicts if not verdict.earned]
