"""The molar mass of a substance from its chemical formula: the sum of the atoms, the water of hydration included.

The atomic weights are the abridged standard ones, to five figures. Two forms of one drug differ by what comes with it
(an acid, water), and that difference is what the salt and hydrate factors are made of.
"""

import re
from collections import Counter
from fractions import Fraction

from pharmcalc.errors import RefusedError
from pharmcalc.units import Quantity, quantity

__all__ = ["ATOMIC_WEIGHTS", "WATER", "molar_mass"]

_WEIGHTS = """
H 1.008   Li 6.94   B 10.81   C 12.011  N 14.007  O 15.999  F 18.998  Na 22.990 Mg 24.305 Al 26.982 Si 28.085 P 30.974
S 32.06   Cl 35.45  K 39.098  Ca 40.078 Ti 47.867 Cr 51.996 Mn 54.938 Fe 55.845 Co 58.933 Cu 63.546 Zn 65.38  As 74.922
Se 78.971 Br 79.904 Ag 107.87 Sn 118.71 Sb 121.76 I 126.90  Ba 137.33 Au 196.97 Hg 200.59 Bi 208.98
"""
_WORDS = _WEIGHTS.split()
ATOMIC_WEIGHTS = {symbol: Fraction(weight) for symbol, weight in zip(_WORDS[0::2], _WORDS[1::2], strict=True)}
"""Standard atomic weights, abridged to five figures (source "atomic-weights", from memory)."""
LONGEST_FORMULA = 100
MOST_ATOMS = 9999
_PIECE = re.compile(r"(?P<open>\()|(?P<close>\))(?P<times>\d*)|(?P<element>[A-Z][a-z]?)(?P<count>\d*)")
_DOTS = re.compile(r"\s*[.·⋅•*]\s*")


def molar_mass(formula: str) -> Quantity:
    """Return the molar mass of a chemical formula, such as ``C6H8O7.H2O`` or ``MgSO4.7H2O``.

    Formula: sum over the elements of (atomic weight × number of atoms). A dot adds water or an acid, with its number.

    formula: symbols, numbers and brackets, at most 100 characters. Returns a molar mass in g/mol.
    Raises RefusedError for an unknown element, brackets that do not match, or anything that is no formula.
    Does not look at isotopes or charges; atomic weights have five figures, so trust four or five.

    >>> from pharmcalc.kinds import MOLAR_MASS
    >>> MOLAR_MASS.show(molar_mass("MgSO4.7H2O"))
    '246.466 g/mol'

    Source: IUPAC, abridged standard atomic weights, from memory.
    """
    text = str(formula).strip()
    if not text or len(text) > LONGEST_FORMULA:
        raise _refused(text, "is empty or too long")
    total = Fraction(0)
    for part in _DOTS.split(text):
        number, rest = _leading_number(part, text)
        for element, count in _atoms(rest, text).items():
            total += ATOMIC_WEIGHTS[element] * count * number
    return quantity(total, "gram / mole")


def _leading_number(part: str, text: str) -> tuple[int, str]:
    """Split the number before a part (the 7 of 7H2O) from the part."""
    digits = re.match(r"\d*", part)
    number = digits.group() if digits else ""
    return (_count(number, text), part[len(number) :])


def _atoms(part: str, text: str) -> Counter[str]:
    """Count the atoms of one part of a formula, brackets opened."""
    levels: list[Counter[str]] = [Counter()]
    place = 0
    while place < len(part):
        piece = _PIECE.match(part, place)
        if piece is None:
            raise _refused(text, f'has "{part[place]}", which is no element, number or bracket')
        place = piece.end()
        if piece["open"]:
            levels.append(Counter())
        elif piece["close"]:
            if len(levels) == 1:
                raise _refused(text, "closes a bracket that was not opened")
            inside = levels.pop()
            for element, count in inside.items():
                levels[-1][element] += count * _count(piece["times"], text)
        else:
            if piece["element"] not in ATOMIC_WEIGHTS:
                raise _refused(text, f'has "{piece["element"]}", which is not an element known here')
            levels[-1][piece["element"]] += _count(piece["count"], text)
    if len(levels) > 1:
        raise _refused(text, "has a bracket that is not closed")
    if not levels[0]:
        raise _refused(text, "has a part without an element")
    return levels[0]


def _count(digits: str, text: str) -> int:
    number = int(digits or 1) if len(digits) <= 4 else MOST_ATOMS + 1
    if not 0 < number <= MOST_ATOMS:
        raise _refused(text, f"counts {digits[:12]} atoms, which cannot be")
    return number


def _refused(text: str, problem: str) -> RefusedError:
    shown = text if len(text) <= 60 else text[:57] + "..."
    return RefusedError("molar mass", f'"{shown}" {problem}.', "Write, for example, C6H8O7.H2O or Ca(OH)2.")


WATER = molar_mass("H2O")
"""One mole of water of hydration weighs 18.015 g."""
