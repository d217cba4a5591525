"""The printed equation, drawn from the body of a formula by sending names through it instead of numbers.

A formula's body is ordinary arithmetic. Called with :class:`Name` objects it gives back a small tree, and the tree
can be written with words, with numbers or as LaTeX. So what is printed is what is computed.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction
from typing import cast

from pharmcalc.language import later, say
from pharmcalc.units import Quantity, number_text, quantity, unit_text

__all__ = [
    "PI", "ROOT_OF_SIX", "ROOT_OF_THREE", "Name", "Node", "all_but", "larger", "one_in", "root", "round_down",
    "round_up", "rounds_up", "size_of",
]  # fmt: skip

_SUM, _PRODUCT, _ATOM = 1, 2, 3
_ROUND_UP = later("round up ")
_SIGNS = {
    "+": ("+", "+", _SUM),
    "-": ("-", "-", _SUM),
    "*": ("x", r"\times", _PRODUCT),
    "/": ("\u00f7", "/", _PRODUCT),
}

Show = Callable[[str], str]


class _NamedNumber(Fraction):
    """A number that is written by its name, such as the letter pi."""

    written: str
    in_latex: str


def _named(number: str, written: str, in_latex: str) -> _NamedNumber:
    made = _NamedNumber(number)
    made.written, made.in_latex = written, in_latex
    return made


PI = _named("3.1415926535897932384626433832795", "\u03c0", r"\pi")
"""The number pi, to more places than any diameter is measured; printed as the letter."""
ROOT_OF_THREE = _named("1.732050807568877293527446341505872366943", "\u221a3", r"\sqrt{3}")
ROOT_OF_SIX = _named("2.449489742783178098197284074705891391966", "\u221a6", r"\sqrt{6}")


class Node:
    """A piece of an equation; arithmetic on it builds a larger piece."""

    level = _ATOM

    def __add__(self, other: object) -> "Node":
        return _Operation("+", self, _node(other))

    def __sub__(self, other: object) -> "Node":
        return _Operation("-", self, _node(other))

    def __rsub__(self, other: object) -> "Node":
        return _Operation("-", _node(other), self)

    def __mul__(self, other: object) -> "Node":
        return _Operation("*", self, _node(other))

    def __rmul__(self, other: object) -> "Node":
        return _Operation("*", _node(other), self)

    def __truediv__(self, other: object) -> "Node":
        return _Operation("/", self, _node(other))

    def __rtruediv__(self, other: object) -> "Node":
        return _Operation("/", _node(other), self)

    def text(self, show: Show) -> str:
        """Write this piece on one line, each name written by ``show``."""
        raise TypeError("a piece of an equation is a name, a number, an operation or a call")

    def latex(self, show: Show) -> str:
        """Write this piece as LaTeX, each name written by ``show``."""
        raise TypeError("a piece of an equation is a name, a number, an operation or a call")


@dataclass(frozen=True)
class Name(Node):
    """A named value, such as the sensitivity requirement."""

    name: str

    def text(self, show: Show) -> str:
        """Write the name."""
        return show(self.name)

    def latex(self, show: Show) -> str:
        """Write the name as LaTeX text."""
        return rf"\text{{{show(self.name)}}}".replace("%", r"\%")


@dataclass(frozen=True)
class _Constant(Node):
    value: Quantity | Fraction

    def text(self, show: Show) -> str:
        if isinstance(self.value, _NamedNumber):
            return self.value.written
        if isinstance(self.value, Fraction):
            return number_text(self.value)[0]
        return f"{number_text(self.value.magnitude)[0]} {unit_text(self.value)}".strip()

    def latex(self, show: Show) -> str:
        if isinstance(self.value, _NamedNumber):
            return self.value.in_latex
        return rf"\text{{{self.text(show)}}}".replace("%", r"\%")


@dataclass(frozen=True)
class _Operation(Node):
    sign: str
    left: Node
    right: Node

    @property
    def level(self) -> int:  # type: ignore[override]  # a property here, a constant for the leaves
        return _SIGNS[self.sign][2]

    def text(self, show: Show) -> str:
        left, right = self.left.text(show), self.right.text(show)
        if self.left.level < self.level:
            left = f"({left})"
        if self.right.level < self.level or (self.right.level == self.level and self.sign in "-/"):
            right = f"({right})"
        return f"{left} {_SIGNS[self.sign][0]} {right}"

    def latex(self, show: Show) -> str:
        left, right = self.left.latex(show), self.right.latex(show)
        if self.sign == "/":
            return rf"\frac{{{left}}}{{{right}}}"
        if self.left.level < self.level:
            left = rf"\left({left}\right)"
        if self.right.level < self.level or (self.right.level == self.level and self.sign == "-"):
            right = rf"\left({right}\right)"
        return f"{left} {_SIGNS[self.sign][1]} {right}"


@dataclass(frozen=True)
class _Call(Node):
    words: str
    parts: tuple[Node, ...]

    def text(self, show: Show) -> str:
        return f"{say(self.words)}({'; '.join(part.text(show) for part in self.parts)})"

    def latex(self, show: Show) -> str:
        inside = r";\ ".join(part.latex(show) for part in self.parts)
        return rf"\text{{{say(self.words)}}}\left({inside}\right)"


def _node(value: object) -> Node:
    if isinstance(value, Node):
        return value
    return _Constant(value if isinstance(value, Quantity | _NamedNumber) else Fraction(str(value)))


def _drawn(words: str, *values: object) -> Quantity | None:
    """While an equation is being drawn, return the call as a piece of it; otherwise None."""
    if not any(isinstance(value, Node) for value in values):
        return None
    return cast(Quantity, _Call(words, tuple(_node(value) for value in values)))


def rounds_up(tree: Node) -> bool:
    """Say whether an equation ends in rounding up, so that its value is a whole number."""
    return isinstance(tree, _Call) and tree.words == _ROUND_UP


def round_up(value: Quantity) -> Quantity:
    """Return the next whole number (the value itself if it is whole)."""
    return _drawn(_ROUND_UP, value) or quantity(math.ceil(value.to_base_units().magnitude))


def round_down(value: Quantity) -> Quantity:
    """Return the whole number below (the value itself if it is whole)."""
    return _drawn(later("round down "), value) or quantity(math.floor(value.to_base_units().magnitude))


def larger(first: Quantity, second: Quantity) -> Quantity:
    """Return the larger of two values."""
    return _drawn(later("larger of "), first, second) or max(first, second)


def size_of(value: Quantity) -> Quantity:
    """Return a difference without its sign."""
    return _drawn(later("size of "), value) or abs(value)


def root(value: Quantity) -> Quantity:
    """Return the square root: exact where it is a fraction, otherwise to 40 figures."""
    if drawn := _drawn(later("square root of "), value):
        return drawn
    if any(power % 2 for _, power in value.unit_items()):
        value = value.to_base_units()
    above, below = math.isqrt(value.magnitude.numerator), math.isqrt(value.magnitude.denominator)
    number = Fraction(above, below)
    if number * number != value.magnitude:
        with localcontext() as context:
            context.prec = 40
            number = Fraction((Decimal(value.magnitude.numerator) / Decimal(value.magnitude.denominator)).sqrt())
    return quantity(number, " * ".join(f"{word} ** {power / 2}" for word, power in value.unit_items()))


def one_in(parts: Quantity) -> Quantity:
    """Return 1 part in this many parts, as a strength."""
    return _drawn(later("1 in "), parts) or 1 / parts


def all_but(part: Quantity) -> Quantity:
    """Return what is left of the whole: 100 % less a part, such as a strength or a loss."""
    piece: object = part
    if isinstance(piece, Node):
        return cast(Quantity, _Operation("-", _Constant(quantity(100, "percent")), piece))
    return -(part - 1)
