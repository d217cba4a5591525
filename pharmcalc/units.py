"""Units and exact quantities: the ground that everything else stands on.

Only the units of a weighing lab are known here, each with its exact factor, so that a word such as
"dram" can never mean two things. Numbers inside quantities are fractions: 3 x 0.3 mg *is* 0.9 mg.

Sources of the factors: NIST SP 811 / Handbook 44 appendix C (grain = 64.79891 mg exactly; 20 grains a
scruple, 60 an apothecaries' dram, 480 an apothecaries' ounce, 437.5 an avoirdupois ounce).
"""

from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, cast

import pint

__all__ = ["Quantity", "number_text", "quantity", "ratio", "registry", "unit_name", "unit_text"]

if TYPE_CHECKING:

    class Quantity:
        """What this project uses of a pint quantity, with exact numbers; pint's own types give Any at every step."""

        magnitude: Fraction
        dimensionless: bool
        dimensionality: object

        def to(self, unit: str) -> "Quantity": ...
        def to_base_units(self) -> "Quantity": ...
        def check(self, dimension: str) -> bool: ...
        def is_compatible_with(self, unit: str) -> bool: ...
        def unit_items(self) -> list[tuple[str, Fraction]]: ...
        def __add__(self, other: "Quantity | int") -> "Quantity": ...
        def __sub__(self, other: "Quantity | int") -> "Quantity": ...
        def __mul__(self, other: "Quantity | Fraction | int") -> "Quantity": ...
        def __rmul__(self, other: Fraction | int) -> "Quantity": ...
        def __truediv__(self, other: "Quantity | Fraction | int") -> "Quantity": ...
        def __rtruediv__(self, other: Fraction | int) -> "Quantity": ...
        def __neg__(self) -> "Quantity": ...
        def __abs__(self) -> "Quantity": ...
        def __lt__(self, other: "Quantity") -> bool: ...
        def __le__(self, other: "Quantity") -> bool: ...
        def __gt__(self, other: "Quantity") -> bool: ...
        def __ge__(self, other: "Quantity") -> bool: ...

else:
    Quantity = pint.Quantity

_DEFINITIONS = """
gram = [mass] = g
kilogram = 1000 * gram = kg
milligram = gram / 1000 = mg
microgram = gram / 1000000 = mcg
nanogram = gram / 1000000000 = ng
grain = 64.79891 * milligram
scruple = 20 * grain
apothecary_dram = 60 * grain
apothecary_ounce = 480 * grain
avoirdupois_ounce = 437.5 * grain
avoirdupois_pound = 7000 * grain
litre = [volume] = L
decilitre = litre / 10 = dL
millilitre = litre / 1000 = mL
microlitre = litre / 1000000 = mcL
percent = 1 / 100
part_per_million = 1 / 1000000
percent_in_volume = gram / (100 * millilitre)
milligram_percent = milligram / (100 * millilitre)
part_per_million_in_volume = microgram / millilitre
"""

_LABELS = {
    "dimensionless": "",
    "gram": "g",
    "kilogram": "kg",
    "milligram": "mg",
    "microgram": "microgram",
    "nanogram": "nanogram",
    "grain": "grain",
    "scruple": "scruple",
    "apothecary_dram": "apothecaries' dram",
    "apothecary_ounce": "apothecaries' ounce",
    "avoirdupois_ounce": "avoirdupois ounce",
    "avoirdupois_pound": "avoirdupois pound",
    "litre": "L",
    "decilitre": "dL",
    "millilitre": "mL",
    "microlitre": "microlitre",
    "percent": "%",
    "part_per_million": "ppm",
    "percent_in_volume": "% w/v",
    "milligram_percent": "mg%",
    "part_per_million_in_volume": "ppm w/v",
}


@cache
def registry() -> "pint.UnitRegistry[Fraction]":
    """Return the one registry of units, built at its first use (a few milliseconds)."""
    units: pint.UnitRegistry[Fraction] = pint.UnitRegistry(None, non_int_type=Fraction)
    for line in _DEFINITIONS.strip().splitlines():
        units.define(line)
    return units


def quantity(number: int | str | Fraction, unit: str = "") -> Quantity:
    """Return an exact quantity, for example ``quantity("0.3", "mg")``.

    >>> print(quantity("0.3", "mg") * 3 == quantity("0.9", "mg"))
    True
    """
    return cast(Quantity, registry().Quantity(Fraction(number), unit))


def ratio(number: int | str | Fraction) -> Quantity:
    """Return a plain number as an exact quantity without a unit."""
    return quantity(number)


def unit_name(value: Quantity) -> str:
    """Return the unit as this registry names it, for example ``milligram / millilitre``."""
    above = [_power(word, power) for word, power in value.unit_items() if power > 0]
    below = [_power(word, -power) for word, power in value.unit_items() if power < 0]
    return " / ".join([" * ".join(above) or ("1" if below else "dimensionless"), *below])


def unit_text(value: Quantity) -> str:
    """Return the unit as it is written at the bench: mg, mL, microgram, mg/mL."""
    parts = [
        " x ".join(_LABELS.get(word, word) for word in part.split(" * ")) for part in unit_name(value).split(" / ")
    ]
    return "/".join(parts)


def _power(word: str, power: Fraction) -> str:
    return word if power == 1 else f"{word}**{power}"


def number_text(number: Fraction, figures: int = 4) -> tuple[str, bool]:
    """Return a number as a decimal text and whether that text is exact.

    A number that ends within seven significant figures is written whole; a longer one is rounded half-up to
    ``figures`` significant figures. There is always a zero before the point and never one left over behind it.

    >>> number_text(Fraction(120)), number_text(Fraction(10, 3)), number_text(Fraction(1, 20))
    (('120', True), ('3.333', False), ('0.05', True))
    """
    with localcontext() as context:
        context.prec = 7
        context.clear_flags()
        value = context.divide(Decimal(number.numerator), Decimal(number.denominator))
        exact = Fraction(value) == number
        if not exact:
            context.prec, context.rounding = 60, ROUND_HALF_UP
            long = Decimal(number.numerator) / Decimal(number.denominator)
            step = Decimal(1).scaleb(long.adjusted() - figures + 1)
            value = long.quantize(step) if long.adjusted() < 40 else long
    text = f"{value:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text, exact
