"""How a PDF is laid out: paper size, size of the letters, room to write, and how high the foot must be."""

from dataclasses import dataclass, replace
from math import ceil

from pharmcalc.caution import CAUTION

__all__ = ["A4", "LETTER", "Layout"]

A4, LETTER = "A4", "letter"
LONGEST_FOOT = 700
"""Up to this many characters the house rules fit into the foot of every page; longer ones stand before the tasks."""
_CAUTIONS = len(CAUTION) + len("Cautions. ")
_LETTERS_A_LINE = 970
"""About how many letters of one point, in a wide typeface, fit across the page."""


@dataclass(frozen=True)
class Layout:
    """The measures of one kind of page, in millimetres and points; see ``templates/pdf.css.j2``.

    kind: ``sheets`` or ``keys``. rules: how many characters the house rules have.
    """

    paper: str = A4
    large: bool = False
    kind: str = "sheets"
    rules: int = 0

    @property
    def points(self) -> float:
        """The size of the letters. Large print is 16 points everywhere, in the foot too."""
        return 16 if self.large else 9 if self.kind == "keys" else 10.5

    @property
    def foot_points(self) -> float:
        """The size of the letters in the foot."""
        return 16 if self.large else 7.5

    @property
    def small(self) -> str:
        """The size of what is less important."""
        return "1em" if self.large else "0.85em"

    @property
    def rules_in_foot(self) -> bool:
        """Whether the house rules stand in the foot of every page."""
        return self.kind == "sheets" and not self.large and self.rules <= LONGEST_FOOT

    @property
    def head(self) -> float:
        """The height of the head, with the margin above it."""
        return 36 if self.large else 21

    @property
    def foot(self) -> float:
        """The height of the foot, with the margin below it, where the house rules stand in it."""
        return self._foot_of(self.rules if self.rules_in_foot else 0)

    @property
    def short_foot(self) -> float:
        """The height of a foot with the cautions alone."""
        return self._foot_of(0)

    def _foot_of(self, rules: int) -> float:
        across = _LETTERS_A_LINE / self.foot_points
        lines = ceil(_CAUTIONS / across) + ceil(rules and (rules + 20) / across)
        return round(lines * self.foot_points * 1.2 * 0.353 + 9, 1)

    @property
    def gap(self) -> float:
        """The room between two paragraphs."""
        return 1.5 if self.large else 0.7 if self.kind == "keys" else 1.2

    @property
    def row(self) -> float:
        """The height of a line to answer on."""
        return 12 if self.large else 8.5

    @property
    def record_row(self) -> float:
        """The height of a line of the weighing record."""
        return 11 if self.large else 6.8 if self.paper == A4 else 6.35

    @property
    def columns(self) -> int:
        """How many weighings stand side by side in the record."""
        return 3 if self.large else 4

    def room(self, answers: int) -> str:
        """Return the style of the room for the working of as many answers."""
        return f"height: {24 + 3 * answers if self.large else 31 + 6 * answers}mm"

    def of(self, kind: str) -> "Layout":
        """Return the layout of another kind of page on the same paper."""
        return replace(self, kind=kind)
