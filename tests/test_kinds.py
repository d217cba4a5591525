"""Kinds of amounts: what may stand where a mass, a percentage or a ratio strength is asked for."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc import kinds
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import BasisError, Kind
from pharmcalc.reading import read
from pharmcalc.units import quantity, registry

mg = st.fractions(min_value="1/1000", max_value=100000, max_denominator=1000)


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (6, "it was 6, a number without a unit"),
        (0.5, "it was 0.5, a number without a unit"),
        (Fraction(1, 2), "it was 1/2, a number without a unit"),
        (float("nan"), "it was nan, a number without a unit"),
        (float("inf"), "it was inf, a number without a unit"),
        pytest.param(10**5000, "a very long number without a unit", id="a number of 5000 figures"),
        (None, "it was a NoneType"),
        ([6], "it was a list"),
        (quantity(6, "mL"), "it was 6 mL"),
        (quantity(6), "it was 6, a number without a unit"),
        (quantity(6, "percent"), "it was 6 %"),
        (quantity(0, "mg"), "more than zero; it was 0 mg"),
        (quantity(-6, "mg"), "more than zero; it was -6 mg"),
        ("6", "was read as 6"),
        ("6 mL", "was read as 6 mL"),
        ("0 mg", "more than zero"),
        ("-6 mg", "more than zero"),
        ("six mg", "could not be read"),
        ("", "nothing is written here"),
    ],
)
def test_what_is_no_mass_is_refused_with_the_cure(value: object, said: str) -> None:
    """A bare number for a mass is refused, never guessed; so is zero, a negative mass, a volume and a word."""
    with pytest.raises(RefusedError) as caught:
        kinds.MASS.check("drug weighed", value)
    assert str(caught.value).startswith("drug weighed: ")
    assert said in str(caught.value)
    assert "for example" in caught.value.cure


@pytest.mark.parametrize("number", [float("nan"), float("inf"), 0.1])
def test_an_amount_made_of_floats_is_refused(number: float) -> None:
    """Inside everything is exact; "not a number" and infinity would slip through every comparison."""
    with pytest.raises(RefusedError, match="must be an exact amount"):
        kinds.MASS.check("load", registry().Quantity(number, "mg"))


@pytest.mark.parametrize(
    ("kind", "text", "said"),
    [
        (kinds.PERCENT_WW, "101 %", "cannot be above 100 %"),
        (kinds.PERCENT_VV, "2:1", "cannot be above 100 %"),
        (kinds.COUNT, "2.5", "must be a whole number"),
        (kinds.COUNT, "0", "more than zero"),
        (kinds.NUMBER, "20 mg", "must be a plain number"),
        (kinds.NUMBER, "20 %", "must be a plain number"),
        (kinds.PERCENT, "-1 %", "must not be less than zero; it was -1 %"),
        (kinds.MASS_OR_NONE, "-1 mg", "must not be less than zero; it was -1 mg"),
        (kinds.MASS, "-1 mg", "must be more than zero; it was -1 mg"),
        (kinds.PERCENT, "0.05", "must be a percentage"),
        (kinds.VOLUME, "30 g", "must be a volume"),
        (kinds.PERCENT_WV, "0 % w/v", "it was 0 % w/v"),
        (kinds.RATIO, "200", "must be a ratio strength"),
        (kinds.RATIO, "1:0", "cannot end in 0"),
        (kinds.MASS_PER_VOLUME, "10 mg", "must be a strength in mg/mL"),
    ],
)
def test_each_kind_names_what_it_needs(kind: Kind, text: str, said: str) -> None:
    """The refusal says what is asked for, with an example to type."""
    with pytest.raises(RefusedError) as caught:
        kind.check("answer", text)
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        (kinds.PERCENT_WV, "5 % w/w"),
        (kinds.PERCENT_WW, "5 % w/v"),
        (kinds.PERCENT_VV, "5 % w/w"),
        (kinds.PPM, "5 ppm w/w"),
    ],
)
def test_a_percentage_of_another_kind_is_told_apart(kind: Kind, text: str) -> None:
    """5 % w/w is not 5 % w/v unless the density is 1 g/mL, so it is refused by name and not converted."""
    with pytest.raises(BasisError, match="is asked for"):
        kind.check("strength", text)


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        (kinds.PERCENT, "0.05 x 100"),
        (kinds.PERCENT, "6 mg / 120 mg x 100"),
        (kinds.PERCENT_WW, "1:20"),
        (kinds.PERCENT_WV, "200 mg / 90 mL"),
        (kinds.PERCENT_WV, "2.2 mg/mL"),
        (kinds.RATIO, "5 %"),
        (kinds.MASS_PER_VOLUME, "0.38 % w/v"),
        (kinds.MASS_PER_VOLUME, "380 mg%"),
        (kinds.MG_PERCENT, "3.8 mg/mL"),
        (kinds.MG_PERCENT, "0.38 % w/v"),
        (kinds.PPM, "0.38 %"),
        (kinds.PPM, "3.8 mg/mL"),
    ],
)
def test_an_answer_must_be_written_in_the_form_asked_for(kind: Kind, text: str) -> None:
    """Asked for a ratio strength, "5 %" is no answer; and 5 without a sign may be 5 % or 500 %."""
    with pytest.raises(RefusedError, match="such as"):
        kind.take("answer", read(text), as_answer=True)


# What counts ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "text", "number", "unit"),
    [
        (kinds.PERCENT, "5 %", "5", "percent"),
        (kinds.PERCENT, "0 %", "0", "percent"),
        (kinds.PERCENT, "6 mg / 120 mg x 100 %", "5", "percent"),
        (kinds.PERCENT_WW, "5 %", "5", "percent"),
        (kinds.PERCENT_WV, "5 %", "5", "percent_in_volume"),
        (kinds.PERCENT_WV, "5 % w/v", "5", "percent_in_volume"),
        (kinds.PPM, "40 ppm", "40", "part_per_million_in_volume"),
        (kinds.PPM, "40 ppm w/v", "40", "part_per_million_in_volume"),
        (kinds.RATIO, "1:20", "5", "percent"),
        (kinds.RATIO, "1/20", "5", "percent"),
        (kinds.RATIO, "1:20 w/v", "0.05", "gram / millilitre"),
        (kinds.MG_PERCENT, "125 mg%", "125", "milligram_percent"),
        (kinds.MASS_PER_VOLUME, "1 mg/5 mL", "0.2", "milligram / millilitre"),
        (kinds.MASS_OR_NONE, "0 mg", "0", "milligram"),
        (kinds.COUNT, "4/2", "2", ""),
        (kinds.NUMBER, "120 mg / 6 mg", "20", ""),
    ],
)
def test_an_answer_in_the_right_form_counts(kind: Kind, text: str, number: str, unit: str) -> None:
    """A percentage without its kind is taken for the kind asked for; a set-up counts as what it gives."""
    assert kind.take("answer", read(text), as_answer=True) == quantity(number, unit)


@pytest.mark.parametrize("text", ["1:20", "5 %", "5 % w/w"])
def test_a_formula_takes_a_strength_however_it_is_said(text: str) -> None:
    """As an argument, 1:20 and 5 % are the same strength; only an answer has a form to keep."""
    assert kinds.PERCENT_WW.check("strength", text) == quantity(5, "percent")


# Writing -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "number", "unit", "written"),
    [
        (kinds.MASS, "120", "milligram", "120 mg"),
        (kinds.MASS, "15000", "milligram", "15 g"),
        (kinds.MASS, "0.05", "gram", "0.05 g"),
        (kinds.MASS, "1/2000000", "gram", "0.5 microgram"),
        (kinds.MASS, "10/3", "milligram", "about 3.333 mg"),
        (kinds.PERCENT, "600/190", "percent", "about 3.158 %"),
        (kinds.PERCENT, "1/20", "", "5 %"),
        (kinds.PERCENT_WV, "2/900", "gram / millilitre", "about 0.2222 % w/v"),
        (kinds.PERCENT_WW, "0.18", "percent", "0.18 % w/w"),
        (kinds.RATIO, "1/28", "", "1:28"),
        (kinds.RATIO, "3/200", "", "about 1:66.67"),
        (kinds.RATIO, "0.05", "gram / millilitre", "1:20 w/v"),
        (kinds.NUMBER, "20", "", "20"),
        (kinds.PPM, "40", "part_per_million_in_volume", "40 ppm"),
    ],
)
def test_a_value_is_written_as_at_the_bench(kind: Kind, number: str, unit: str, written: str) -> None:
    """In the unit that gives a readable number, with "about" where it was rounded."""
    assert kind.show(quantity(number, unit)) == written


@given(mg)
def test_a_mass_that_is_written_exactly_reads_back_as_itself(number: Fraction) -> None:
    """What a paper prints is what it means."""
    text, exact = kinds.MASS.show_exactly(quantity(number, "mg"))
    assert not exact or kinds.MASS.check("mass", text) == quantity(number, "mg")


@pytest.mark.parametrize("kind", kinds.KINDS, ids=lambda kind: kind.name)
def test_the_example_of_a_kind_is_an_answer_to_it(kind: Kind) -> None:
    """What the refusal tells a student to type can be typed."""
    value = kind.take("answer", read(kind.example), as_answer=True)
    assert kind.fits(value)
