"""The marks of a vessel: the volumes that can really be set, and those that fall between two marks."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from pharmcalc.kinds import VOLUME
from pharmcalc.language import say
from pharmcalc.units import Quantity, quotient

__all__ = ["MeasuringRange", "marks_around", "on_a_mark"]


@dataclass(frozen=True)
class MeasuringRange:
    """What a vessel can really measure: every mark from ``least`` to ``capacity``, one ``graduation`` apart.

    ``least`` is the smallest volume that may be measured in it: the smallest mark, or more where a rule says so. All
    three are volumes above zero. Written, it reads ``every 0.1 mL from 2 mL to 10 mL``.

    >>> pipette = MeasuringRange("2 mL", "0.1 mL", "10 mL")
    >>> pipette.holds("5.3 mL"), pipette.holds("5.35 mL"), pipette.holds("1.9 mL")
    (True, False, False)
    """

    least: Quantity
    graduation: Quantity
    capacity: Quantity

    def __post_init__(self) -> None:
        """Check every amount; amounts handed in as text are read once."""
        for field in ("least", "graduation", "capacity"):
            object.__setattr__(self, field, VOLUME.check(f"measuring range: {field}", getattr(self, field)))

    def holds(self, volume: Quantity | str) -> bool:
        """Say whether a volume can be measured: it stands on a mark within the range."""
        wanted = VOLUME.check("measuring range: volume", volume)
        within = self.least <= wanted <= self.capacity
        return within and on_a_mark(volume=wanted, graduation=self.graduation)

    def volumes(self) -> Iterator[Quantity]:
        """Return every volume that can be measured, the smallest first."""
        first, last = _marks(self.least, self.graduation), _marks(self.capacity, self.graduation)
        for marks in range(ceil(first), int(last) + 1):
            yield self.graduation * marks

    def __str__(self) -> str:
        """Write the range in words."""
        capacity = VOLUME.show(self.capacity)
        if self.least == self.capacity:
            return say("{capacity} and nothing else", capacity=capacity)
        return say(
            "every {graduation} from {least} to {capacity}",
            graduation=VOLUME.show(self.graduation),
            least=VOLUME.show(self.least),
            capacity=capacity,
        )


def on_a_mark(*, volume: Quantity | str, graduation: Quantity | str) -> bool:
    """Say whether a volume can really be set: it lies on a mark, not between two.

    volume: what is to be measured. graduation: from one mark to the next. Both above zero.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative volume.

    >>> on_a_mark(volume="3.4 mL", graduation="0.2 mL"), on_a_mark(volume="3.5 mL", graduation="0.2 mL")
    (True, False)
    """
    wanted, step = _checked("on_a_mark", volume, graduation)
    return _marks(wanted, step).denominator == 1


def marks_around(*, volume: Quantity | str, graduation: Quantity | str) -> tuple[Quantity, Quantity]:
    """Return the mark at or below a volume and the mark at or above it (the same mark twice when it lies on one).

    volume: what is to be measured. graduation: from one mark to the next. Both above zero. The lower mark may be 0 mL.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative volume.

    >>> [VOLUME.show(mark) for mark in marks_around(volume="3.5 mL", graduation="0.2 mL")]
    ['3.4 mL', '3.6 mL']
    """
    wanted, step = _checked("marks_around", volume, graduation)
    marks = _marks(wanted, step)
    return step * (marks.numerator // marks.denominator), step * -(-marks.numerator // marks.denominator)


def _checked(where: str, volume: Quantity | str, graduation: Quantity | str) -> tuple[Quantity, Quantity]:
    return VOLUME.check(f"{where}: volume", volume), VOLUME.check(f"{where}: graduation", graduation)


def _marks(volume: Quantity, graduation: Quantity) -> Fraction:
    """Return how many graduations a volume is."""
    return quotient(volume, graduation)
