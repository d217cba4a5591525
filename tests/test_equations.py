"""Printed equations: what is printed is what is computed."""

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pharmcalc.equations import PI, ROOT_OF_SIX, ROOT_OF_THREE, Name, larger, one_in, round_down, round_up, size_of
from pharmcalc.units import quantity
from tests.arithmetic import work_out

A, B, C = Name("a"), Name("b"), Name("c")


def written(piece: object) -> str:
    """Return a traced piece as it is printed, with its names as they are."""
    return piece.text(lambda name: f"<{name}>")


# Brackets ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("piece", "printed"),
    [
        (A - (B - C), "<a> - (<b> - <c>)"),
        (A - B - C, "<a> - <b> - <c>"),
        (A / (B / C), "<a> \u00f7 (<b> \u00f7 <c>)"),
        (A / B / C, "<a> \u00f7 <b> \u00f7 <c>"),
        (A / (B * C), "<a> \u00f7 (<b> x <c>)"),
        (A * (B + C), "<a> x (<b> + <c>)"),
        ((A + B) * C, "(<a> + <b>) x <c>"),
        (A + B * C, "<a> + <b> x <c>"),
        (2 * A, "2 x <a>"),
        (1 - A, "1 - <a>"),
        (1 / A, "1 \u00f7 <a>"),
        (A * Fraction(41, 100), "<a> x 0.41"),
        (A / quantity("0.1", "percent"), "<a> \u00f7 0.1 %"),
        (A * quantity(10, "milligram / millilitre"), "<a> x 10 mg/mL"),
    ],
)
def test_brackets_stand_where_they_are_needed_and_nowhere_else(piece: object, printed: str) -> None:
    """a - (b - c) is not a - b - c; a + b x c needs no brackets."""
    assert written(piece) == printed


def test_named_steps_are_printed_as_words() -> None:
    """Rounding up, the larger of two and 1 in R are said, not coded."""
    assert written(round_up(A / B)) == "round up (<a> \u00f7 <b>)"
    assert written(larger(A, B)) == "larger of (<a>; <b>)"
    assert written(one_in(A)) == "1 in (<a>)"
    assert written(size_of(A - B)) == "size of (<a> - <b>)"


@pytest.mark.parametrize(
    ("number", "letter", "latex"),
    [(PI, "\u03c0", r"\pi"), (ROOT_OF_THREE, "\u221a3", r"\sqrt{3}"), (ROOT_OF_SIX, "\u221a6", r"\sqrt{6}")],
)
def test_a_number_with_a_name_is_written_by_it(number: Fraction, letter: str, latex: str) -> None:
    """\u221a3 says more than 1.732: where it comes from."""
    assert (A / number).text(str) == f"a \u00f7 {letter}"
    assert (A / number).latex(str) == rf"\frac{{\text{{a}}}}{{{latex}}}"
    square = {"\u221a3": 3, "\u221a6": 6}.get(letter)
    assert square is None or abs(number * number - square) < Fraction(1, 10**35)


def test_latex_writes_a_division_as_a_fraction() -> None:
    """In notebooks a division stands as a fraction and needs no brackets; a per cent sign is escaped."""
    equation = ((A - B) / C * quantity(100, "percent")).latex(str)
    assert equation == r"\frac{\text{a} - \text{b}}{\text{c}} \times \text{100 \%}"


# Laws ----------------------------------------------------------------------------------------------------------------

whole = st.integers(1, 9).map(Fraction)
trees = st.recursive(
    st.sampled_from("abc"), lambda inner: st.tuples(st.sampled_from("+-*/"), inner, inner), max_leaves=8
)


def built(tree: object, values: dict[str, object]) -> object:
    """Build a tree of names and signs with ordinary arithmetic."""
    if isinstance(tree, str):
        return values[tree]
    sign, left, right = tree
    first, second = built(left, values), built(right, values)
    if sign == "+":
        return first + second
    if sign == "-":
        return first - second
    return first * second if sign == "*" else first / second


@given(trees, whole, whole, whole)
def test_any_equation_says_on_paper_what_it_computes(tree: object, a: Fraction, b: Fraction, c: Fraction) -> None:
    """Whatever the signs and brackets: worked out from its print, an equation gives the value of its body."""
    values: dict[str, object] = {"a": a, "b": b, "c": c}
    try:
        value = built(tree, values)
    except ZeroDivisionError:
        assume(False)
    printed = written(built(tree, {"a": A, "b": B, "c": C}))
    assert work_out(printed, {"a": a, "b": b, "c": c}) == value


@given(st.fractions(min_value=0, max_value=1000, max_denominator=100))
def test_rounding_up_and_down_enclose_the_number(number: Fraction) -> None:
    """A whole number is itself; any other lies between the two."""
    below, above = round_down(quantity(number)).magnitude, round_up(quantity(number)).magnitude
    assert below <= number <= above
    assert above - below == (0 if number.denominator == 1 else 1)


@given(st.fractions(min_value=-5, max_value=5), st.fractions(min_value=-5, max_value=5))
def test_the_larger_and_the_size_are_what_they_say(first: Fraction, second: Fraction) -> None:
    """The larger of two is one of them, and the size of a difference does not mind its order."""
    one, other = quantity(first, "mg"), quantity(second, "mg")
    assert larger(one, other).magnitude == max(first, second)
    assert size_of(one - other) == size_of(other - one)
