"""Where every rule and number comes from, and how well we know it.

``seen`` says how the source was met: ``"seen"`` (read), ``"second-hand"`` (read in a copy or quotation that may differ
from the edition named), ``"memory"`` (recalled; read the original before quoting it) or ``"practice"`` (what is commonly
taught; there is no single source).
"""

from dataclasses import dataclass
from typing import Literal

__all__ = ["SOURCES", "Source", "source"]

Seen = Literal["seen", "second-hand", "memory", "practice"]


@dataclass(frozen=True)
class Source:
    """One source: a short key, how it is cited, and how it was met."""

    key: str
    citation: str
    seen: Seen

    def __str__(self) -> str:
        note = {
            "seen": "",
            "second-hand": " (numbers met second-hand; editions differ)",
            "memory": " (from memory; check the original)",
            "practice": " (common practice, no single source)",
        }
        return self.citation + note[self.seen]


SOURCES = {
    entry.key: entry
    for entry in (
        Source(
            "ansel-measurement",
            "Ansel & Stoklosa, Pharmaceutical Calculations, chapter on measurement",
            "second-hand",
        ),
        Source("unc-weighing", "UNC, Pharmaceutics and Compounding Laboratory, Weighing", "seen"),
        Source("unc-trituration", "UNC, Pharmaceutics and Compounding Laboratory, Trituration Method", "seen"),
        Source("unc-powders", "UNC, Pharmaceutics and Compounding Laboratory, powders laboratory", "seen"),
        Source(
            "usp-1176",
            "USP 29, general chapter <1176> Prescription balances and volumetric apparatus",
            "seen",
        ),
        Source(
            "usp-41",
            "USP general chapter <41> Balances, in force since December 2013 (2 s, 0.10 %, 820 d)",
            "second-hand",
        ),
        Source("usp-41-floor", "USP general chapter <41> Balances, the floor s >= 0.41 d", "memory"),
        Source("usp-41-old", "USP 35 general chapter <41>, the rule before December 2013 (3 s)", "seen"),
        Source(
            "rounding-of-two-readings",
            "Two roundings to the step d, each rectangular: sqrt(2) d / (2 sqrt 3) = 0.408 d",
            "practice",
        ),
        Source(
            "rees-smith-watson",
            "Rees, Smith & Watson, Introduction to Pharmaceutical Calculations, 4th ed. (2015)",
            "seen",
        ),
        Source("kent-strengths", "University of Kent, student learning leaflet Converting strengths", "seen"),
        Source("review-set", "A published review set of pharmacy calculations", "second-hand"),
        Source("textbook-chapter", "A textbook chapter on accurate weighing for prescriptions", "second-hand"),
        Source("classroom", "Common classroom practice", "practice"),
        Source("definition", "The definition of the quantity itself", "practice"),
    )
}


def source(key: str) -> Source:
    """Return the source with this key; a key that is not listed is an error of the programmer (KeyError)."""
    return SOURCES[key]
