"""A small SVG picture made of simple shapes and words. Its looks come from the class names (see ``style.css``)."""

from collections.abc import Iterable
from fractions import Fraction
from html import escape

from pharmcalc.units import number_text

__all__ = ["LEFT", "RIGHT", "WIDTH", "Drawing", "anchor", "nice_step", "scale"]

Number = int | float | Fraction
WIDTH, LEFT, RIGHT = 660, 24, 636
"""How wide a picture is, and between which x it is drawn."""
WIDEST_LETTER = 8.0  # pixels a letter, on average, in any font


class Drawing:
    """A picture that grows shape by shape; ``kind`` is a class name, never a colour."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self._shapes: list[str] = []

    def box(self, kind: str, x: Number, y: Number, width: Number, height: Number) -> None:
        """Draw a rectangle from its upper left corner."""
        self._shapes.append(
            f'<rect class="{kind}" x="{_at(x)}" y="{_at(y)}" width="{_at(width)}" height="{_at(height)}"/>'
        )

    def line(self, kind: str, x1: Number, y1: Number, x2: Number, y2: Number) -> None:
        """Draw a straight line."""
        self._shapes.append(f'<line class="{kind}" x1="{_at(x1)}" y1="{_at(y1)}" x2="{_at(x2)}" y2="{_at(y2)}"/>')

    def stripes(self, kind: str, x: Number, y: Number, width: Number, height: Number) -> None:
        """Fill a rectangle with stripes: a broad line whose dashes stand side by side."""
        middle = float(y) + float(height) / 2
        self._shapes.append(
            f'<line class="{kind}" x1="{_at(x)}" y1="{_at(middle)}" x2="{_at(float(x) + float(width))}" '
            f'y2="{_at(middle)}" stroke-width="{_at(height)}"/>'
        )

    def dot(self, kind: str, x: Number, y: Number, radius: Number = 5, pick: int | None = None) -> None:
        """Draw a disc. ``pick``: a click on it chooses that entry, counted from 0, of the explorer's list."""
        picks = "" if pick is None else f' data-pick="{pick}"'
        self._shapes.append(f'<circle class="{kind}" cx="{_at(x)}" cy="{_at(y)}" r="{_at(radius)}"{picks}/>')

    def outline(self, kind: str, points: Iterable[tuple[Number, Number]], *, closed: bool = False) -> None:
        """Draw straight lines from point to point; ``closed`` joins the last to the first."""
        shape = "polygon" if closed else "polyline"
        along = " ".join(f"{_at(x)},{_at(y)}" for x, y in points)
        self._shapes.append(f'<{shape} class="{kind}" points="{along}"/>')

    def words(self, text: str, x: Number, y: Number, kind: str = "", anchor: str = "start") -> None:
        """Write words; ``anchor`` says which part of them stands at x: start, middle or end."""
        self._shapes.append(
            f'<text class="{kind}" x="{_at(x)}" y="{_at(y)}" text-anchor="{anchor}">{escape(text)}</text>'
        )

    def svg(self, title: str, description: str) -> str:
        """Return the picture, with a title and a description for those who do not see it."""
        return (
            f'<svg class="pc-picture" role="img" viewBox="0 0 {self.width} {self.height}" '
            f'xmlns="http://www.w3.org/2000/svg"><title>{escape(title)}</title><desc>{escape(description)}</desc>'
            f"{''.join(self._shapes)}</svg>"
        )


def nice_step(range_: Fraction, ticks: int = 6) -> Fraction:
    """Return a step of 1, 2 or 5 times a power of ten that divides a range into at most so many parts.

    >>> nice_step(Fraction(240)), nice_step(Fraction(3)), nice_step(Fraction(1, 20))
    (Fraction(50, 1), Fraction(1, 2), Fraction(1, 100))
    """
    step = Fraction(1)
    while step * ticks >= range_:
        step /= 10
    for factor in (1, 2, 5, 10):
        if step * factor * ticks >= range_:
            return step * factor
    return nice_step(range_ / 10, ticks) * 10


def anchor(x: float, words: str) -> str:
    """Return how words stand at x, so that they stay inside the picture."""
    half = len(words) * WIDEST_LETTER / 2
    if x - half < 0:
        return "start"
    return "end" if x + half > WIDTH else "middle"


def scale(drawing: Drawing, top: Fraction, y: int, unit: str = "mg") -> None:
    """Draw a scale across the picture from nothing to a top value."""
    drawing.line("axis", LEFT, y, RIGHT, y)
    step, tick = nice_step(top), Fraction(0)
    while tick <= top:
        x = LEFT + float(tick / top) * (RIGHT - LEFT)
        drawing.line("axis", x, y, x, y + 6)
        drawing.words(
            number_text(tick)[0] + ("" if tick else f" {unit}"), x, y + 21, "soft", "middle" if tick else "start"
        )
        tick += step


def _at(number: Number) -> str:
    return f"{float(number):.1f}".removesuffix(".0")
