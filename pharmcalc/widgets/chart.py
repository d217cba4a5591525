"""A small chart: two scales with words and numbers, and places on it for points and lines."""

from dataclasses import dataclass
from fractions import Fraction

from pharmcalc.units import number_text
from pharmcalc.widgets.drawing import LEFT, RIGHT, WIDTH, Drawing, nice_step

__all__ = ["Chart", "Scale"]

FOOT, TOP, INSET = 54, 34, 52


@dataclass(frozen=True)
class Scale:
    """One scale of a chart: what it measures, with its unit, and from where to where."""

    words: str
    first: Fraction
    last: Fraction

    def part(self, value: Fraction | float) -> float:
        """Return how far along the scale a value stands, from 0 to 1; what lies outside stands at its end."""
        return min(max(float((value - self.first) / (self.last - self.first)), 0.0), 1.0)

    def ticks(self, most: int = 6) -> list[Fraction]:
        """Return the values that are written along the scale."""
        step = nice_step(self.last - self.first, most)
        first = -(-self.first // step) * step
        return [first + step * n for n in range(int((self.last - first) / step) + 1)]


class Chart:
    """A drawing with two scales. ``x`` and ``y`` give the place of a value, for whatever is drawn in it."""

    def __init__(self, across: Scale, up: Scale, *, height: int = 330) -> None:
        self.across, self.up = across, up
        self.drawing = Drawing(WIDTH, height)
        self.left, self.right, self.top, self.foot = LEFT + INSET, RIGHT, TOP, height - FOOT
        self._scales()

    def x(self, value: Fraction | float) -> float:
        """Return how far to the right a value stands."""
        return self.left + self.across.part(value) * (self.right - self.left)

    def y(self, value: Fraction | float) -> float:
        """Return how far down a value stands."""
        return self.foot - self.up.part(value) * (self.foot - self.top)

    def upright(self, kind: str, value: Fraction | float) -> None:
        """Draw a line through the whole chart at a value of the scale across."""
        self.drawing.line(kind, self.x(value), self.top, self.x(value), self.foot)

    def level(self, kind: str, value: Fraction | float) -> None:
        """Draw a line through the whole chart at a value of the scale upwards."""
        self.drawing.line(kind, self.left, self.y(value), self.right, self.y(value))

    def _scales(self) -> None:
        drawing = self.drawing
        drawing.line("axis", self.left, self.foot, self.right, self.foot)
        drawing.line("axis", self.left, self.top, self.left, self.foot)
        for tick in self.across.ticks():
            x = self.x(tick)
            drawing.line("axis", x, self.foot, x, self.foot + 6)
            drawing.words(number_text(tick)[0], x, self.foot + 22, "soft", "middle")
        for tick in self.up.ticks(5):
            y = self.y(tick)
            drawing.line("axis", self.left - 6, y, self.left, y)
            drawing.words(number_text(tick)[0], self.left - 10, y + 5, "soft", "end")
        drawing.words(self.up.words, LEFT, 18, "soft")
        drawing.words(self.across.words, self.right, self.foot + 44, "soft", "end")
