"""A printed equation worked out again, by a reader of its own that shares nothing with the library's.

It knows the signs, brackets, the named steps ("round up", "larger of") and the constants with their units, and works
with fractions in grams, millilitres and centimetres.
"""

import math
import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

_IN_BASE = {
    "": Fraction(1),
    "%": Fraction(1, 100),
    "g": Fraction(1),
    "mg": Fraction(1, 1000),
    "microgram": Fraction(1, 10**6),
    "mL": Fraction(1),
    "L": Fraction(1000),
    "microlitre": Fraction(1, 1000),
    "cm": Fraction(1),
    "mm": Fraction(1, 10),
    "g/mL": Fraction(1),
    "mg/mL": Fraction(1, 1000),
    "microgram/mL": Fraction(1, 10**6),
    "% w/v": Fraction(1, 100),
    "mg%": Fraction(1, 100000),
    "ppm": Fraction(1, 10**6),
    "ppm w/v": Fraction(1, 10**6),
    "ppb w/v": Fraction(1, 10**9),
    "g/mol": Fraction(1),
}
"""What one of each unit is in grams, millilitres (cubic centimetres) and centimetres."""

_STEPS = {
    "round up": lambda values: Fraction(math.ceil(values[0])),
    "round down": lambda values: Fraction(math.floor(values[0])),
    "larger of": max,
    "smaller of": min,
    "size of": lambda values: abs(values[0]),
    "square root of": lambda values: Fraction(math.sqrt(values[0])),
    "1 in": lambda values: 1 / values[0],
}
_UNITS = "|".join(re.escape(unit) for unit in sorted(_IN_BASE, key=len, reverse=True) if unit)
_TOKEN = re.compile(
    rf"(?P<step>{'|'.join(_STEPS)}) (?=\()|(?P<name><[a-z_]+>)"
    rf"|(?P<number>\d+(?:\.\d+)?)(?: (?P<unit>{_UNITS})(?=$|[ );]))?|(?P<pi>\u03c0)|\u221a(?P<root>\d+)"
    r"|(?P<sign>[-+x\u00f7();])|\s+"
)


def in_base(number: Fraction, unit: str) -> Fraction:
    """Return an amount in grams, millilitres, centimetres or as a plain number."""
    return number * _IN_BASE[unit]


def work_out(equation: str, values: Mapping[str, Fraction]) -> Fraction:
    """Work out a printed equation; names stand in it as ``<name>``, values are in base units."""
    tokens, place = [], 0
    while place < len(equation):
        found = _TOKEN.match(equation, place)
        assert found, f"this cannot be worked out: {equation[place:]!r}"
        place = found.end()
        if found["step"]:
            tokens.append(("step", found["step"]))
        elif found["name"]:
            tokens.append(("value", values[found["name"][1:-1]]))
        elif found["number"]:
            tokens.append(("value", in_base(Fraction(found["number"]), found["unit"] or "")))
        elif found["pi"]:
            tokens.append(("value", Fraction("3.1415926535897932384626433832795")))
        elif found["root"]:
            tokens.append(("value", Fraction(Decimal(found["root"]).sqrt())))
        elif found["sign"]:
            tokens.append(("sign", found["sign"]))
    result, rest = _sum(tokens)
    assert not rest, rest
    return result


def _sum(tokens: list) -> tuple:
    value, tokens = _product(tokens)
    while tokens and tokens[0] in (("sign", "+"), ("sign", "-")):
        other, rest = _product(tokens[1:])
        value, tokens = (value + other if tokens[0][1] == "+" else value - other), rest
    return value, tokens


def _product(tokens: list) -> tuple:
    value, tokens = _piece(tokens)
    while tokens and tokens[0] in (("sign", "x"), ("sign", "\u00f7")):
        other, rest = _piece(tokens[1:])
        value, tokens = (value * other if tokens[0][1] == "x" else value / other), rest
    return value, tokens


def _piece(tokens: list) -> tuple:
    kind, what = tokens[0]
    if kind == "value":
        return what, tokens[1:]
    if kind == "step":
        values, rest = [], tokens[1:]
        while rest[0] in (("sign", "("), ("sign", ";")):
            value, rest = _sum(rest[1:])
            values.append(value)
        assert rest[0] == ("sign", ")")
        return _STEPS[what](values), rest[1:]
    assert (kind, what) == ("sign", "("), tokens
    value, rest = _sum(tokens[1:])
    assert rest[0] == ("sign", ")")
    return value, rest[1:]
