"""A share of the marks as one of five shades, from all marks (white) to none (nearly black).

The shades differ in lightness alone, so they stay apart on a black-and-white print and for every kind of sight, and
the number stands on each of them with good contrast. Figures and tables take them from here.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["AWAITS", "INK", "NO_MARK", "SHADES", "Shade", "css", "shade_of"]

INK = "#1b2430"
AWAITS = "hand"
"""What stands in a cell that awaits a mark by hand."""
NO_MARK = "–"


@dataclass(frozen=True)
class Shade:
    """One shade: its class in a page, what it means, its colour, and the colour of the number on it."""

    name: str
    says: str
    colour: str
    ink: str


SHADES = (
    Shade("m4", "all marks", "#ffffff", INK),
    Shade("m3", "80 % and more", "#d5e3f0", INK),
    Shade("m2", "50 % and more", "#94b8d9", INK),
    Shade("m1", "less than 50 %", "#2f6ba3", "#ffffff"),
    Shade("m0", "no marks", "#0a2547", "#ffffff"),
)


def shade_of(share: float) -> Shade:
    """Return the shade of a share of the marks.

    >>> shade_of(1).says, shade_of(0.8).says, shade_of(0.5).says, shade_of(0.01).says, shade_of(0).says
    ('all marks', '80 % and more', '50 % and more', 'less than 50 %', 'no marks')
    """
    share = round(share, 6)  # marks are fractions that the gradebook holds as floats
    place = 0 if share >= 1 else 1 if share >= 0.8 else 2 if share >= 0.5 else 3 if share > 0 else 4
    return SHADES[place]


def css() -> str:
    """Return the rules for cells of a table; they are printed as well."""
    rules = "".join(f"td.{one.name} {{ background: {one.colour}; color: {one.ink}; }}\n" for one in SHADES)
    hatched = "repeating-linear-gradient(135deg, #fff 0 5px, #d7dde4 5px 6px)"
    swatch = ".swatch { display: inline-block; border: 1px solid #4a5666; padding: 0 0.4rem; }"
    printed = "td, .swatch { print-color-adjust: exact; }"
    return f"{rules}td.open, .swatch.open {{ background: {hatched}; }}\n{swatch}\n{printed}\n"
