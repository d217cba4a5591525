"""Comparing a value with a printed number, as closely as its source prints it."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from pharmcalc.units import Quantity


def as_printed(value: Quantity, printed: str, unit: str) -> bool:
    """Say whether a value, in a unit and rounded half-up to the places that a source prints, is the printed number."""
    number = value.to(unit).magnitude
    long = Decimal(number.numerator) / Decimal(number.denominator)
    return long.quantize(Decimal(printed), ROUND_HALF_UP) == Decimal(printed)


def exactly(value: Quantity, number: str, unit: str) -> bool:
    """Say whether a value in a unit is exactly a number; the source's answer is exact."""
    return value.to(unit).magnitude == Fraction(number)
