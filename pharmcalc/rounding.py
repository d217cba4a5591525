"""How closely an answer is asked for: to a step of the display, or to significant figures; and ties by name."""

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from fractions import Fraction

from pharmcalc.units import Quantity, number_text, quantity, unit_text

__all__ = ["Precision", "round_to_step"]

_TIES = {"half up": ROUND_HALF_UP, "half even": ROUND_HALF_EVEN}


def round_to_step(value: Quantity, step: Quantity, ties: str = "half up") -> Quantity:
    """Return the multiple of a step that is nearest to a value; ``ties`` is ``"half up"`` or ``"half even"``.

    >>> half = quantity("62.5", "mg")
    >>> [int(round_to_step(half, quantity(1, "mg"), ties).magnitude) for ties in ("half up", "half even")]
    [63, 62]
    """
    steps = (value / step).to_base_units().magnitude
    whole, rest = divmod(steps, 1)
    if rest != Fraction(1, 2):
        return step * (whole + (1 if rest > Fraction(1, 2) else 0))
    return step * Fraction(Decimal(f"{whole}.5").quantize(Decimal(1), _TIES[ties]))


@dataclass(frozen=True)
class Precision:
    """What an answer is asked to: the display step of the balance, or a number of significant figures."""

    step: Quantity | None = None
    figures: int = 3
    ties: str = "half up"

    def step_at(self, value: Quantity) -> Quantity:
        """Return the step that this precision means at a value."""
        if self.step is not None:
            return self.step
        base = abs(value.magnitude) or Fraction(1)
        exponent = (Decimal(base.numerator) / Decimal(base.denominator)).adjusted()
        return value / value.magnitude * Fraction(10) ** (exponent - self.figures + 1)

    def accepts(self, given: Quantity, right: Quantity) -> bool:
        """Say whether a given answer is the right value, as closely as it was asked for."""
        step = self.step_at(right)
        distance = abs(given - right)
        if distance * 2 < step:
            return True
        return bool(distance * 2 == step and given == round_to_step(right, step, self.ties))

    def too_coarse(self, given: Quantity, right: Quantity, half_place: Quantity | None) -> bool:
        """Say whether a given answer is the right value rounded more than was asked for (but within 10 %)."""
        if half_place is None or half_place * 2 <= self.step_at(right):
            return False
        distance = abs(given - right)
        return bool(distance <= half_place and distance * 10 <= abs(right))

    def says(self) -> str:
        """Return how this is said in a task: ``to the nearest 1 mg``."""
        if self.step is not None:
            return f"to the nearest {number_text(self.step.magnitude)[0]} {unit_text(self.step)}"
        return f"to {self.figures} significant figures"
