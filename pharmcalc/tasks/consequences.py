"""What a wrong answer would have done, in words: how far a preparation is from what is wanted."""

from fractions import Fraction

from pharmcalc.formula import Values
from pharmcalc.language import say
from pharmcalc.tasks.family import Task
from pharmcalc.units import Quantity, quotient, rounded_text

__all__ = ["compared", "first_wrong"]

_NOTHING_TO_SAY = Fraction(5, 1000)


def compared(made: Quantity, wanted: Quantity, what: str) -> str:
    """Say how an amount compares with the one wanted; empty where nobody would notice (0.5 %).

    >>> from pharmcalc.units import quantity
    >>> [compared(quantity(made, "mg"), quantity(100, "mg"), "drug") for made in (2000, 108, 91, 3)]
    ['20 times the drug that is wanted', '8 % more drug than is wanted', '9 % less drug than is wanted', \
'only 3 % of the drug that is wanted']
    """
    times = quotient(made, wanted)
    if abs(times - 1) < _NOTHING_TO_SAY:
        return ""
    if times >= 2:
        return say("{times} times the {what} that is wanted", times=rounded_text(times), what=say(what))
    if times <= Fraction(1, 2):
        return say("only {times} % of the {what} that is wanted", times=rounded_text(times * 100), what=say(what))
    off, what = rounded_text(abs(times - 1) * 100, 2), say(what)
    if times > 1:
        return say("{off} % more {what} than is wanted", off=off, what=what)
    return say("{off} % less {what} than is wanted", off=off, what=what)


def first_wrong(task: Task, values: Values) -> str:
    """Return the name of the first answer that is not right, as closely as it was asked for; empty where all are."""
    wrong = (
        asked.name
        for asked in task.amounts
        if not task.precision(asked).accepts(values[asked.name], task.values[asked.name])
    )
    return next(wrong, "")
