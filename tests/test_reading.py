"""The reader: amounts as people write them, with every trap that a typed amount holds."""

import sys
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import ReadingError
from pharmcalc.reading import LONGEST_TEXT, read, read_text
from pharmcalc.units import quantity

# As people write them ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ("120 mg", "120", "milligram"),
        ("120mg", "120", "milligram"),
        ("120mg.", "120", "milligram"),
        ("120 mg .", "120", "milligram"),
        ("120 milligrams", "120", "milligram"),
        ("120 MG", "120", "milligram"),
        ("0.12 g", "0.12", "gram"),
        (".12 g", "0.12", "gram"),
        ("0,12 g", "0.12", "gram"),
        ("12. mg", "12", "milligram"),
        ("1.2e2 mg", "120", "milligram"),
        ("1.2 x 10^2 mg", "120", "milligram"),
        ("3*10**-3 g", "0.003", "gram"),
        ("10^3 mg", "1000", "milligram"),
        ("6 mg x 10^3", "6000", "milligram"),
        ("120 \u00b5g", "120", "microgram"),  # micro sign
        ("120 \u03bcg", "120", "microgram"),  # Greek mu
        ("120 mcg", "120", "microgram"),
        ("120\u202fmg", "120", "milligram"),  # narrow space
        ("120\u2009mg", "120", "milligram"),  # thin space
        ("120\u00a0mg", "120", "milligram"),  # space that does not break
        ("1/10 gr", "0.1", "grain"),
        ("1/20 g", "0.05", "gram"),
        ("\u00bd gr", "0.5", "grain"),
        ("1\u00bd gr", "1.5", "grain"),
        ("1 1/2 oz", "1.5", "avoirdupois_ounce"),
        ("5 cc", "5", "millilitre"),
        ("5 mls", "5", "millilitre"),
        ("2 kg", "2", "kilogram"),
        ("-5 mg", "-5", "milligram"),
        ("\u22125 mg", "-5", "milligram"),  # minus sign
        ("5 %", "5", "percent"),
        ("5%", "5", "percent"),
        ("5 percent", "5", "percent"),
        ("5 per cent", "5", "percent"),
        ("5 % w/w", "5", "percent"),
        ("5 %w/v", "5", "percent_in_volume"),
        ("5% (w/v)", "5", "percent_in_volume"),
        ("5 % W / V", "5", "percent_in_volume"),
        ("1/2 %", "0.5", "percent"),
        ("6/5 %", "1.2", "percent"),
        ("125 mg%", "125", "milligram_percent"),
        ("125 mg %", "125", "milligram_percent"),
        ("40 ppm", "40", "part_per_million"),
        ("40 ppm w/v", "40", "part_per_million_in_volume"),
        ("1:200", "0.005", ""),
        ("1 : 200", "0.005", ""),
        ("1 in 200", "0.005", ""),
        ("1in200", "0.005", ""),
        ("1\u2236200", "0.005", ""),  # ratio sign
        ("1:200 w/v", "0.005", "gram / millilitre"),
        ("20", "20", ""),
        ("3/4", "0.75", ""),
    ],
)
def test_an_amount_is_read_as_people_write_it(text: str, number: str, unit: str) -> None:
    """Spaces, capitals, plurals, commas, fractions, powers of ten and look-alike signs change nothing."""
    assert read_text(text) == quantity(number, unit)


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ("20 x 6 mg", "120", "milligram"),
        ("20x6mg", "120", "milligram"),
        ("20 \u00d7 6 mg", "120", "milligram"),
        ("20 \u00b7 6 mg", "120", "milligram"),
        ("6 mg / 5 %", "120", "milligram"),
        ("6mg/5%", "120", "milligram"),
        ("6 mg \u00f7 0.05", "120", "milligram"),
        ("6 mg x 100 / 5", "120", "milligram"),
        ("2400 mg - 120 mg", "2280", "milligram"),
        ("2.4 g - 120 mg", "2280", "milligram"),
        ("(2 + 3) x 4 mg", "20", "milligram"),
        ("20 x [4 mg + 2 mg]", "120", "milligram"),
        ("2 + 3 x 4", "14", ""),
        ("10 - 3 - 2", "5", ""),
        ("-(2 mg - 5 mg)", "3", "milligram"),
        ("3/4 x 8 mg", "6", "milligram"),
        ("120 mg / 6 mg", "20", ""),
        ("20 mg per 5 mL", "4", "milligram / millilitre"),
        ("1 mg/5 mL", "0.2", "milligram / millilitre"),
        ("10 mg/mL x 3 mL", "30", "milligram"),
        ("1:20 x 1000 mg", "50", "milligram"),
        ("6 mg / 120 mg x 100 %", "5", "percent"),
        ("6/120*100%", "5", "percent"),
        ("0.2 g / 90 mL x 100 %", "2/9", "percent_in_volume"),
        ("0.125 x 1000 mg%", "125", "milligram_percent"),
        ("2 x 20 ppm", "40", "part_per_million"),
    ],
)
def test_arithmetic_with_units_is_worked_out(text: str, number: str, unit: str) -> None:
    """A student may type the set-up; it is worked out exactly, with its units."""
    reading = read(text)
    assert reading.value == quantity(number, unit)
    assert reading.worked_out


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("0,12 g", "0.12 g"),
        ("6 mg / 5 %", "120 mg"),
        ("5%w/v", "5 % w/v"),
        ("1 in 200", "1:200"),
        ("1:200 w/v", "1:200 w/v"),
        ("2:3 w/w", "1:1.5 w/w"),
        ("40 ppm w/v", "40 ppm w/v"),
        ("125 mg %", "125 mg%"),
        ("20 mg per 5 mL", "4 mg/mL"),
        ("10 mg / 3", "about 3.333 mg"),
        ("1/3", "about 0.3333"),
    ],
)
def test_what_was_read_is_written_back(text: str, shown: str) -> None:
    """A student sees how a line was read, in the words of the bench, and "about" where it was rounded."""
    assert read(text).shown == shown


@pytest.mark.parametrize(
    ("text", "form"),
    [
        ("5 %", "percent"),
        ("5 % w/v", "percent"),
        ("1:200", "ratio"),
        ("40 ppm", "ppm"),
        ("40 ppm w/v", "ppm"),
        ("125 mg%", "mg%"),
        ("1.25 mg/mL", "amount"),
        ("120 mg", "amount"),
        ("1/20", "number"),
        ("6 mg / 120 mg", "number"),
        ("6 mg / 120 mg x 100", "number"),
        ("100 x 6 / 50 %", "percent"),
        ("1:20 x 2", "number"),
    ],
)
def test_the_way_of_writing_is_remembered(text: str, form: str) -> None:
    """0.05, 5 % and 1:20 are the same value written in three ways, and a task may ask for one of them."""
    assert read(text).form == form


@pytest.mark.parametrize(
    ("text", "half"),
    [
        ("120 mg", "1/2"),
        ("120.5 mg", "1/20"),
        ("1.20 mg", "1/200"),
        ("1.2e2 mg", "5"),
        ("1.2 x 10^2 mg", "5"),
        ("20 x 6 mg", None),
        ("1/3 mg", None),
        ("1:200", None),
    ],
)
def test_the_last_typed_place_is_remembered(text: str, half: str | None) -> None:
    """Half a unit in the last place says how closely a number was typed; a sum has no last place."""
    place = read(text).half_place
    assert (place is None and half is None) or place == quantity(half or 0, "milligram")


@pytest.mark.parametrize(
    ("text", "half"),
    [
        ("4 mg/mL", "1/2"),
        ("1.36 mg per mL", "1/200"),
        ("20 mg / 5 mL", None),
        ("4 x 5 mg/mL", None),
        ("4 mg/mL x 5 mL", None),
        ("6 mg / mg", None),
    ],
)
def test_a_strength_written_with_two_units_is_one_amount(text: str, half: str | None) -> None:
    """4 mg/mL was typed to its last place and was not worked out; 20 mg / 5 mL is a sum."""
    reading = read(text)
    assert reading.worked_out is (half is None)
    assert reading.half_place == (None if half is None else quantity(half, "milligram / millilitre"))


def test_a_decilitre_is_a_hundred_millilitres() -> None:
    """5 mg/dL is 0.05 mg/mL, because a decilitre is 100 mL."""
    assert read_text("5 mg/dL") == quantity("0.05", "milligram / millilitre")


# Remarks -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0,12 g", "comma was read as a decimal point"),
        (".12 g", "zero before the point: 0.12"),
        ("5.0 mg", "5.0 is safer written 5"),
        ("5 gr", "read as grain (64.79891 mg). If you meant gram, write g"),
        ("1 oz", "avoirdupois ounce (28.35 g)"),
    ],
)
def test_a_dangerous_way_of_writing_is_read_with_a_remark(text: str, said: str) -> None:
    """A lone point, a trailing zero and "gr" for gram have hurt people; the reader says so."""
    assert any(said in remark for remark in read(text).remarks)


@pytest.mark.parametrize("text", ["120 mg", "0.12 g", "1:200", "5 % w/v", "20 x 6 mg"])
def test_a_safe_way_of_writing_needs_no_remark(text: str) -> None:
    """Nothing is remarked where there is nothing to say."""
    assert read(text).remarks == ()


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1,200 mg", "can mean 1200 or 1.200"),
        ("1:10,000", "can mean 10000 or 10.000"),
        ("0\u00b75 mg", "decimal point or a times sign"),
        ("6 mg / 5 / 100", "two divisions follow each other"),
        ("120 mg / 6/2", "two divisions follow each other"),
        ("1,200.5 mg", "more than one point or comma"),
        ("20 6/2 mg", "no mixed number"),
        ("1.5 1/2 mg", "no mixed number"),
    ],
)
def test_what_can_mean_two_things_is_asked_back(text: str, said: str) -> None:
    """1,200 mg may be 1200 mg or 1.2 mg: a thousandfold difference is never guessed."""
    with pytest.raises(ReadingError, match=said):
        read(text)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "nothing is written here"),
        (" . ", "nothing is written here"),
        ("mg", "a unit here but no number"),
        ("mg x g", "a unit here but no number"),
        ("120mgs drug", 'I understood "120mgs" and then met "drug"'),
        ("120 mg of drug", 'then met "of"'),
        ("1 000 mg", 'I understood "1" and then met "000"'),
        ("about 120 mg", 'begins with "about"'),
        ("nan mg", 'begins with "nan"'),
        ("infinity", '"infinity" is not a number or a unit'),
        ("1e400 mg", "too large or too long"),
        ("1" * 31 + " mg", "too large or too long"),
        ("10^400", "far outside any amount in a lab"),
        ("9**9**9 mg", "only powers of ten"),
        ("10^10^10 mg", "only powers of ten"),
        ("2^3", "only powers of ten"),
        ("1:0", "cannot end in 0"),
        ("0:1", "cannot begin with 0"),
        ("1:-5", 'then met ":"'),
        ("1/0 mg", "divides by zero"),
        ("6 mg / 0", "divides by zero"),
        ("6 mg + 5 mL", "two things of different kinds"),
        ("6 mg + 6", "two things of different kinds"),
        ("5 % v/w", "v/w is not a kind of percentage"),
        ("1 dram", '"dram" is not a unit that is used here'),
        ("20 x", "stops in the middle"),
        ("(20 mg", "stops in the middle"),
        ("__import__('os')", 'begins with "__import__"'),
        ("<b>120 mg</b>", 'begins with "<"'),
        ("5 mg " * 100, "too long for one answer"),
    ],
)
def test_what_cannot_be_read_is_refused_with_the_cure(text: str, said: str) -> None:
    """The message quotes the text, says what is wrong and what to type instead."""
    with pytest.raises(ReadingError) as caught:
        read(text)
    assert said in str(caught.value)
    assert caught.value.cure.endswith((".", "?"))


# Laws ----------------------------------------------------------------------------------------------------------------

numbers = st.decimals(min_value=0, max_value=99999, places=3, allow_nan=False, allow_infinity=False)


@given(numbers, st.sampled_from(["mg", "g", "mL", "%", "% w/v", "mg%", "ppm w/v", "mg/mL"]))
def test_what_is_shown_reads_back_as_itself(number: Any, unit: str) -> None:
    """An exact reading, written back and read again, is the same value."""
    reading = read(f"{number} {unit}")
    if not reading.shown.startswith("about"):
        assert read(reading.shown).value == reading.value


@given(numbers, st.sampled_from(["mg", "g", "mL"]))
def test_a_decimal_comma_means_what_a_point_means(number: Any, unit: str) -> None:
    """0,12 g is 0.12 g, wherever the comma cannot be a thousands sign."""
    plain = f"{number:f}"
    if plain.startswith("0."):
        assert read_text(f"{plain.replace('.', ',')} {unit}") == read_text(f"{plain} {unit}")


@given(st.integers(1, 500), st.integers(1, 500), st.integers(1, 500))
def test_the_reader_calculates_like_arithmetic(first: int, second: int, third: int) -> None:
    """Products come before sums, and from left to right."""
    assert read_text(f"{first} mg + {second} x {third} mg") == quantity(first + second * third, "mg")
    assert read_text(f"{first} x {second} mg / {third}") == quantity(Fraction(first * second, third), "mg")
    assert read_text(f"{first} mg - {second} mg - {third} mg") == quantity(first - second - third, "mg")


# Any text at all -----------------------------------------------------------------------------------------------------

PIECES = [
    "1", "2", "10", "0.5", ".5", "0,5", "1,200", "1e9", "mg", "g", "gr", "mL", "L", "%", "w/v", "w/w",
    "(w/v)", "ppm", "mg%", ":", "in", "x", "*", "/", "per", "+", "-", "(", ")", "^", "**", "10^3", "1/2",
    "\xbd", "\xb7", "=", "\u2248", "percent", "oz.ap", "drug", "nan", "\xb5g", "\u0663", "e", ".", ",", ";",
    "#", "\u202f", "[", "]", "{", "<", "&", "'", "\"", "\\", "\u2603",
]  # fmt: skip


def read_or_refuse(text: str) -> None:
    """Read a text; nothing but a ReadingError may come out, and no number may grow out of bounds."""
    try:
        reading = read(text)
    except ReadingError:
        return
    value = reading.value.magnitude
    assert reading.shown
    assert max(abs(value.numerator), value.denominator) < 10**4000


@given(st.lists(st.sampled_from(PIECES), max_size=25), st.sampled_from(["", " "]))
def test_pieces_of_amounts_in_any_order_are_read_or_refused(pieces: list[str], between: str) -> None:
    """Whatever pieces follow each other: an amount or a plain refusal, nothing else."""
    read_or_refuse(between.join(pieces))


@given(st.text(max_size=LONGEST_TEXT + 20))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Any letters and signs of any script: an amount or a plain refusal, nothing else."""
    read_or_refuse(text)


@pytest.mark.parametrize(
    "text",
    [
        "(" * 200,
        "(" * 99 + "1" + ")" * 99,
        "-" * 199 + "1",
        "1+" * 99 + "1",
        "1 " * 99,
        "1/" * 99,
        "9," * 99,
        "10^" * 66,
        "1e30x" * 39 + "1",
        " " * 199,
        "1" * 200,
        "mg" * 100,
        "5 % w/v x" * 22,
        "1 mg " * 10**5,
    ],
)
def test_no_text_makes_the_reader_work_without_bound(text: str) -> None:
    """The steps taken are counted: two hundred signs never need more than two hundred thousand calls."""
    steps = 0

    def count(frame: Any, event: str, argument: Any) -> None:
        nonlocal steps
        steps += event == "call"

    read_or_refuse("1 mg")  # the grammar is built once
    before = sys.getprofile()
    sys.setprofile(count)
    try:
        read_or_refuse(text)
    finally:
        sys.setprofile(before)
    assert steps < 200_000
