"""Slips that are seen from the number alone: a place, a unit, a power of ten, another basis."""

from dataclasses import replace
from fractions import Fraction

from pharmcalc.answers import AnswerLine
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import BasisError
from pharmcalc.language import say
from pharmcalc.marking.verdicts import Status, Verdict
from pharmcalc.rounding import TIES, Precision, round_to_step
from pharmcalc.tasks.asked import Asked
from pharmcalc.tasks.family import Task
from pharmcalc.units import Quantity, dimension_of, is_plain, number_in, quantity, unit_name, unit_text

__all__ = ["another_unit", "on_its_basis", "on_the_display", "power_of_ten", "same_as_typed", "slipped", "unsaid"]

_POWERS = tuple(Fraction(10) ** power for power in range(-9, 10) if power)
OTHER_UNITS = ("gram", "milligram", "microgram", "grain", "litre", "millilitre", "microlitre")


def on_its_basis(line: AnswerLine, asked: Asked, right: Quantity) -> AnswerLine:
    """Return an answer as it can be compared with the right one; refuse it in words where it cannot.

    A percentage without its basis is taken on the one asked for. A strength on another basis (g per mL for g per g, or
    the reverse) is refused as such, and so is a volume for a mass.
    """
    value = line.value
    if value is None or value.dimensionality == right.dimensionality:
        return line
    strengths = (dimension_of("dimensionless"), dimension_of("gram / millilitre"))
    if {value.dimensionality, right.dimensionality} != set(strengths):
        problem = RefusedError(
            asked.said, say('says "{text}", which is another kind of amount.', text=line.text), _like(asked, right)
        )
        return replace(line, value=None, problem=problem)
    reading = line.reading
    if is_plain(value) and reading is not None and reading.form == "percent" and not reading.basis:
        number = value.to_base_units().magnitude
        return replace(line, value=quantity(number, "gram / millilitre").to(unit_name(right)))
    basis = BasisError(
        asked.said,
        say('says "{text}", a strength on another basis (w/w, w/v, v/v) than is asked for.', text=line.text),
        _like(asked, right),
    )
    return replace(line, value=None, problem=basis)


def _like(asked: Asked, right: Quantity) -> str:
    """Return an example in the unit that is asked for."""
    if asked.kind.fits(right) and unit_text(right) not in asked.example:
        return say("Write an amount in {right}.", right=unit_text(right))
    return say('Write, for example, "{example}".', example=asked.example)


def unsaid(line: AnswerLine) -> Status:
    """Return the status of an answer that has no value."""
    if line.problem is None:
        return Status.MISSING
    return Status.BASIS if line.wrong_basis else Status.UNREADABLE


def slipped(verdict: Verdict, task: Task) -> bool:
    """Say whether an answer is a power of ten or a unit away from the right one, whatever else it was recognised as."""
    value = verdict.line.value
    if value is None or verdict.earned or verdict.asked.choice or verdict.asked.estimate:
        return False
    if verdict.status in (Status.UNIT, Status.POWER):
        return True
    return power_of_ten(value, verdict.right, task.precision(verdict.asked))


def same_as_typed(value: Quantity, wrong: Quantity, half_place: Quantity | None) -> bool:
    """Say whether a typed value is this wrong value, as closely as it was typed (never further than 2 %)."""
    size = abs(wrong.magnitude)
    distance = abs(number_in(value, wrong) - wrong.magnitude)
    allowed = size / 2000 if half_place is None else max(number_in(half_place, wrong), size / 2000)
    return distance <= allowed and distance * 50 <= size


def on_the_display(value: Quantity, wrong: Quantity, precision: Precision) -> bool:
    """Say whether a typed weight is this wrong value, rounded to the display step that was asked for."""
    near = abs(number_in(value, wrong) - wrong.magnitude) * 10 <= abs(wrong.magnitude)
    return (
        precision.step is not None
        and near
        and any(round_to_step(wrong, precision.step, ties) == value for ties in TIES)
    )


def another_unit(given: Quantity, right: Quantity, precision: Precision) -> bool:
    """Say whether the number is right and only its unit is not."""
    if is_plain(given):
        return False
    for unit in OTHER_UNITS:
        if right.dimensionality == dimension_of(unit):
            meant = quantity(given.magnitude, unit)
            if precision.accepts(meant, right):
                return True
    return False


def power_of_ten(value: Quantity, right: Quantity, precision: Precision) -> bool:
    """Say whether the digits are right and the decimal point is not."""
    if right.magnitude == 0:
        return False
    number = number_in(value, right)
    return any(precision.accepts_number(number * times, right) for times in _POWERS)
