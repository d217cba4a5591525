"""The admissible plans of one aliquot, in whole display steps.

For each weight of drug the aliquots that keep the rules form a ladder: two ends and a step. The smallest plan is the
foot of the first ladder; counting all plans needs no more than the ladders.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, gcd
from typing import NamedTuple

from pharmcalc.aliquots.limits import Limits, in_steps
from pharmcalc.units import Quantity

__all__ = ["Grid", "Ladder"]


class Ladder(NamedTuple):
    """The aliquots that go with one weight of drug: from ``low`` to ``high`` in steps of ``rung``, in display steps."""

    drug: int
    low: int
    high: int
    rung: int


@dataclass(frozen=True)
class Grid:
    """The problem in display steps: whole numbers wherever something is weighed.

    An aliquot is at most ``largest_aliquot``; where ``part`` is given, it is at most that, so that the finishing
    diluent can be weighed, or else the whole preparation, ``largest_aliquot`` itself.
    """

    wanted: Fraction
    least: int
    least_diluent: int
    capacity: int
    largest_aliquot: int
    part: int | None
    whole_multiple: bool

    @classmethod
    def of(cls, wanted: Quantity, limits: Limits, *, whole_multiple: bool | None = None) -> "Grid":
        """Return the problem of one amount; ``whole_multiple`` takes the place of what the limits say."""
        step = limits.display_step
        need, capacity = in_steps(wanted, step), int(in_steps(limits.capacity, step))
        least, below = (ceil(in_steps(one, step)) for one in (limits.least_weighable_quantity, limits.least_diluent))
        largest, part = capacity, None
        if limits.largest_ratio is not None:
            largest = min(largest, floor(need * limits.largest_ratio.to_base_units().magnitude))
        if limits.final_quantity is not None:
            final = in_steps(limits.final_quantity, step)
            part = floor(final - in_steps(limits.least_diluent, step))
            whole = int(final) if final.denominator == 1 else part
            largest, part = (whole, part) if whole <= largest else (min(part, largest), None)
        whole_only = limits.whole_multiple if whole_multiple is None else whole_multiple
        return cls(need, least, below, capacity, largest, part, whole_only)

    def ladders(self) -> Iterator[Ladder]:
        """Return, for each weight of drug from the smallest up, the aliquots that go with it."""
        first, every = self.least, 1
        if self.whole_multiple:  # the drug is a whole multiple of what is wanted, and a weight on the display
            every = self.wanted.numerator
            first = -(-self.least // every) * every
        last = min(self.capacity, floor(self.capacity * self.wanted / self.least))
        for drug in range(first, last + 1, every):
            yield from self.ladders_of(drug)

    def ladders_of(self, drug: int) -> Iterator[Ladder]:
        """Return the aliquots that go with one weight of drug: one ladder, or two, or none."""
        if drug < self.least:
            return
        above, below = self.wanted.numerator, self.wanted.denominator
        rung = above // gcd(drug * below, above)
        low = max(self.least, -(-above * (drug + self.least_diluent) // (drug * below)))
        low = -(-low // rung) * rung
        most = high = min(self.largest_aliquot, self.capacity * above // (drug * below))
        if self.part is not None:
            high = min(most, self.part)
            if max(low, self.part + 1) <= self.largest_aliquot <= most and self.largest_aliquot % rung == 0:
                whole = Ladder(drug, self.largest_aliquot, self.largest_aliquot, rung)
                yield from (Ladder(drug, low, high // rung * rung, rung), whole) if low <= high else (whole,)
                return
        if low <= high:
            yield Ladder(drug, low, high // rung * rung, rung)
