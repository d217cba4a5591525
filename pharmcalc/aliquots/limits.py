"""What the balance and the house allow in an aliquot plan, and masses counted in display steps."""

from dataclasses import dataclass
from fractions import Fraction

from pharmcalc.units import Quantity, quotient

__all__ = ["Limits", "in_steps"]


@dataclass(frozen=True)
class Limits:
    """What the balance and the house allow.

    ``final_quantity`` is the whole preparation (``None``: not limited); ``display_step`` and ``capacity`` are those of
    the balance; ``largest_ratio`` is how far one mixing may thin, 100 for 1 in 100 (``None``: not limited).
    ``convention`` is the right plan that the house prefers to show, never a reason to refuse another.
    """

    least_weighable_quantity: Quantity
    display_step: Quantity
    capacity: Quantity
    diluent_checked: bool = True
    whole_multiple: bool = True
    final_quantity: Quantity | None = None
    largest_ratio: Quantity | None = None
    convention: str = "smallest whole"

    @property
    def least_diluent(self) -> Quantity:
        """The least diluent that may be weighed: the least weighable quantity, or one display step where unchecked."""
        return self.least_weighable_quantity if self.diluent_checked else self.display_step

    def room_for_finish(self, aliquot: Quantity) -> bool:
        """Say whether the diluent that finishes the preparation can be weighed, or none is needed."""
        if self.final_quantity is None or aliquot >= self.final_quantity:
            return True
        return bool(self.final_quantity - aliquot >= self.least_diluent)


def in_steps(value: Quantity, step: Quantity) -> Fraction:
    """Return a mass as a number of display steps."""
    steps: Fraction = quotient(value, step)
    return steps
