"""Units and exact quantities: the ground that everything else stands on.

Only the units of a weighing lab are known here, each with its exact factor, so that a word such as
"dram" can never mean two things. Numbers inside quantities are fractions: 3 x 0.3 mg *is* 0.9 mg.

Sources of the factors: NIST SP 811 / Handbook 44 appendix C (grain = 64.79891 mg exactly; 20 grains a scruple, 60 an
apothecaries' dram, 480 an apothecaries' ounce, 437.5 an avoirdupois ounce; a US gallon = 231 cubic inches = 128 fluid
ounces). The imperial fluid ounce (28.4130625 mL) is known so that it can be told apart.
"""

import math
from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any, cast

import pint

from pharmcalc.language import DECIMAL_MARKS, LITRES, MICROGRAMS, habits, say

__all__ = [
    "Quantity",
    "dimension_of",
    "in_unit",
    "is_old",
    "is_plain",
    "number_in",
    "number_text",
    "quantity",
    "quotient",
    "ratio",
    "registry",
    "rounded_text",
    "unit_name",
    "unit_text",
]

if TYPE_CHECKING:

    class Quantity:
        """What this project uses of a pint quantity, with exact numbers; pint's own types give Any at every step."""

        magnitude: Fraction
        dimensionless: bool
        dimensionality: object
        units: object

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

Incompatible = pint.DimensionalityError
"""What pint raises where amounts of two kinds are added or compared."""

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
apothecary_pound = 5760 * grain
metre = [length]
[volume] = [length] ** 3
decimetre = metre / 10
centimetre = metre / 100 = cm
millimetre = metre / 1000 = mm
litre = decimetre ** 3 = L
decilitre = litre / 10 = dL
millilitre = litre / 1000 = mL
microlitre = litre / 1000000 = mcL
us_fluid_ounce = 29.5735295625 * millilitre
us_fluid_dram = us_fluid_ounce / 8
us_minim = us_fluid_ounce / 480
imperial_fluid_ounce = 28.4130625 * millilitre
mole = [substance] = mol
percent = 1 / 100
part_per_million = 1 / 1000000
percent_in_volume = gram / (100 * millilitre)
milligram_percent = milligram / (100 * millilitre)
part_per_million_in_volume = microgram / millilitre
part_per_billion_in_volume = nanogram / millilitre
"""

_MOST_KEPT = 1000  # of what is worked out once: a typed answer may have any unit

LABELS = {
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
    "apothecary_pound": "apothecaries' pound",
    "centimetre": "cm",
    "millimetre": "mm",
    "litre": "L",
    "decilitre": "dL",
    "millilitre": "mL",
    "microlitre": "microlitre",
    "us_fluid_ounce": "US fl oz",
    "us_fluid_dram": "US fl dr",
    "us_minim": "US minim",
    "imperial_fluid_ounce": "imperial fl oz",
    "mole": "mol",
    "percent": "%",
    "part_per_million": "ppm",
    "percent_in_volume": "% w/v",
    "milligram_percent": "mg%",
    "part_per_million_in_volume": "ppm w/v",
    "part_per_billion_in_volume": "ppb w/v",
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


@lru_cache(_MOST_KEPT)
def dimension_of(unit: str) -> object:
    """Return the dimension of a unit, to be compared with a quantity's ``dimensionality``; it is worked out once."""
    return quantity(1, unit).dimensionality


def quotient(value: Quantity, of: Quantity) -> Fraction:
    """Return how many times one amount goes into another of the same kind, exactly.

    >>> quotient(quantity(1, "gram"), quantity(120, "milligram"))
    Fraction(25, 3)
    """
    return number_in(value, of) / of.magnitude


def number_in(value: Quantity, like: Quantity) -> Fraction:
    """Return the number of an amount in the unit of another of the same kind, exactly.

    >>> number_in(quantity("0.12", "gram"), quantity(6, "milligram"))
    Fraction(120, 1)
    """
    units, wanted = value.units, like.units
    return value.magnitude if units == wanted else value.magnitude * _factor(units, wanted)


def in_unit(value: Quantity, unit: str) -> Quantity:
    """Return an amount in another unit of its kind: as ``value.to(unit)``, and quicker."""
    return value if unit_name(value) == unit else quantity(number_in(value, _one(unit)), unit)


@cache
def _one(unit: str) -> Quantity:
    return quantity(1, unit)


@lru_cache(_MOST_KEPT)
def _factor(units: Any, wanted: Any) -> Fraction:
    """Return how many of one unit another is; it is worked out once. pint refuses two kinds."""
    return cast(Quantity, registry().Quantity(Fraction(1), units)).to(wanted).magnitude


def is_old(value: Quantity) -> bool:
    """Say whether an amount is in a unit of old recipes: grain, dram, ounce, minim."""
    old = ("grain", "scruple", "apothecary", "avoirdupois", "fluid", "minim")
    return any(word in unit_name(value) for word in old)


def is_plain(value: Quantity) -> bool:
    """Say whether a value is a plain number, a percentage or a ratio: without a dimension."""
    return value.dimensionality == dimension_of("dimensionless")


def unit_name(value: Quantity) -> str:
    """Return the unit as this registry names it, for example ``milligram / millilitre``."""
    return _name(tuple(value.unit_items()))


@lru_cache(_MOST_KEPT)
def _name(items: tuple[tuple[str, Fraction], ...]) -> str:
    above = [_power(word, power) for word, power in items if power > 0]
    below = [_power(word, -power) for word, power in items if power < 0]
    return " / ".join([" * ".join(above) or ("1" if below else "dimensionless"), *below])


def unit_text(value: Quantity) -> str:
    """Return the unit as it is written at the bench, in the spelling in use: mg, mL, microgram, mg/mL."""
    parts = [" x ".join(_label(word) for word in part.split(" * ")) for part in unit_name(value).split(" / ")]
    return "/".join(parts)


def _label(unit: str) -> str:
    """Return how a unit is written here: two of them have several usual spellings, and old ones are words."""
    label, here = LABELS.get(unit, unit), habits()
    if label == MICROGRAMS[0]:
        return say(label) if here.microgram == label else here.microgram
    if here.litre != LITRES[0] and label.endswith(LITRES[0]):
        return label.removesuffix(LITRES[0]) + here.litre
    return say(label)


def _power(word: str, power: Fraction) -> str:
    return word if power == 1 else f"{word}**{power}"


def number_text(number: Fraction, figures: int = 4) -> tuple[str, bool]:
    """Return a number as a decimal text, with the decimal mark in use, and whether that text is exact.

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
    return text.replace(".", DECIMAL_MARKS[habits().decimal_mark]), exact


def rounded_text(number: Fraction, figures: int = 3) -> str:
    """Return a number rounded half-up to a few significant figures, for "about so many times".

    >>> rounded_text(Fraction(15, 32)), rounded_text(Fraction(10, 1000)), rounded_text(Fraction(1001, 1000))
    ('0.469', '0.01', '1')
    """
    if number == 0:
        return "0"
    exponent = (Decimal(number.numerator) / Decimal(number.denominator)).adjusted() - figures + 1
    steps = math.floor(abs(number) / Fraction(10) ** exponent + Fraction(1, 2))
    return number_text(Fraction(10) ** exponent * (steps if number > 0 else -steps))[0]
