"""Units and exact numbers: what every other number stands on."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.units import number_text, quantity, ratio, registry, rounded_text, unit_name, unit_text

amounts = st.fractions(min_value="1/1000000", max_value=1000000, max_denominator=1000000)


# Published values ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("number", "unit", "other", "expected"),
    [
        ("1", "grain", "milligram", "64.79891"),  # NIST SP 811, Handbook 44 App. C: exact
        ("5", "grain", "milligram", "323.99455"),  # the same factor; often rounded to 323.99 mg
        ("0.01", "grain", "milligram", "0.6479891"),  # the same factor; tables print 0.6 mg
        ("1", "scruple", "grain", "20"),  # Handbook 44 App. C
        ("1", "apothecary_dram", "grain", "60"),  # Handbook 44 App. C
        ("1", "apothecary_ounce", "grain", "480"),  # Handbook 44 App. C
        ("2", "avoirdupois_ounce", "grain", "875"),  # Handbook 44 App. C: 437.5 grains an ounce
        ("1", "avoirdupois_pound", "gram", "453.59237"),  # Handbook 44 App. C: exact
        ("0.5", "apothecary_ounce", "gram", "15.5517384"),  # half an apothecaries' ounce, the 15.5 g of USP 29 <1176>
    ],
)
def test_old_units_have_their_exact_factors(number: str, unit: str, other: str, expected: str) -> None:
    """A grain is 64.79891 mg exactly, and every older unit of mass is a number of grains."""
    assert quantity(number, unit).to(other).magnitude == Fraction(expected)


def test_a_gram_is_15_432_grains() -> None:
    """1 g is 15.432 gr (NIST SP 811, to the places it prints)."""
    grains = quantity(1, "gram").to("grain").magnitude
    assert number_text(grains, 5) == ("15.432", False)


# Laws ----------------------------------------------------------------------------------------------------------------


def test_three_times_0_3_mg_is_0_9_mg() -> None:
    """With ordinary floats 3 x 0.3 is not 0.9, and a limit would fail at equality; here it holds."""
    assert quantity("0.3", "mg") * 3 == quantity("0.9", "mg")
    assert 0.3 * 3 != 0.9


@given(amounts, st.sampled_from(["gram", "kilogram", "microgram", "nanogram", "grain", "avoirdupois_ounce"]))
def test_a_change_of_unit_leads_there_and_back(number: Fraction, unit: str) -> None:
    """Milligrams turned into another unit and back are the same milligrams, exactly."""
    assert quantity(number, "milligram").to(unit).to("milligram").magnitude == number


@given(amounts)
def test_one_per_cent_in_volume_is_ten_milligrams_per_millilitre(number: Fraction) -> None:
    """1 % w/v is 10 mg/mL, 1000 mg% and 10 000 ppm, whatever the number in front."""
    strength = quantity(number, "percent_in_volume")
    assert strength.to("milligram / millilitre").magnitude == 10 * number
    assert strength.to("milligram_percent").magnitude == 1000 * number
    assert strength.to("part_per_million_in_volume").magnitude == 10000 * number


@given(st.fractions(max_denominator=10**6), st.integers(1, 6))
def test_a_written_number_is_as_near_as_it_says(number: Fraction, figures: int) -> None:
    """An exact text is the number itself; a rounded one is the nearest with so many figures, ties upwards."""
    text, exact = number_text(number, figures)
    if exact:
        assert Fraction(text) == number
    else:
        long = Decimal(number.numerator) / Decimal(number.denominator)
        step = Decimal(1).scaleb(long.adjusted() - figures + 1)
        assert Decimal(text) == long.quantize(step, ROUND_HALF_UP)


@given(st.fractions(max_denominator=10**6))
def test_a_written_number_is_safe_to_read_at_the_bench(number: Fraction) -> None:
    """There is a zero before every point and no lone zero behind it: 0.5, never .5 and never 5.0."""
    text, _ = number_text(number)
    assert not text.removeprefix("-").startswith(".")
    assert "." not in text or not text.endswith(("0", "."))


@given(st.fractions(min_value="1/10000", max_value=10000, max_denominator=10000))
def test_about_so_many_times_has_three_figures(number: Fraction) -> None:
    """A number rounded to three figures is at most half a unit of the third figure away."""
    rounded = Fraction(rounded_text(number))
    assert abs(rounded - number) * 200 <= number
    assert len(rounded_text(number).replace(".", "").strip("0")) <= 3


def test_a_negative_number_is_rounded_like_its_size() -> None:
    """-0.4688 is about -0.469, and nothing is 0."""
    assert (rounded_text(Fraction(-15, 32)), rounded_text(Fraction(0))) == ("-0.469", "0")


# Names ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("unit", "written"),
    [
        ("milligram", "mg"),
        ("microgram", "microgram"),
        ("milligram / millilitre", "mg/mL"),
        ("percent_in_volume", "% w/v"),
        ("milligram_percent", "mg%"),
        ("part_per_million_in_volume", "ppm w/v"),
        ("apothecary_ounce", "apothecaries' ounce"),
        ("", ""),
    ],
)
def test_units_are_written_as_at_the_bench(unit: str, written: str) -> None:
    """mg, mL and mg/mL are written short; microgram is written out, because mcg and mg are mistaken for each other."""
    assert unit_text(quantity(1, unit)) == written


def test_a_unit_can_be_named_and_made_again() -> None:
    """The name of a compound unit makes the same unit again."""
    value = quantity(6, "mg") / quantity(2, "mL")
    assert unit_name(value) == "milligram / millilitre"
    assert quantity(value.magnitude, unit_name(value)) == value
    assert unit_name(1 / quantity(2, "mL")) == "1 / millilitre"
    assert unit_name(ratio(3)) == "dimensionless"


def test_there_is_one_registry() -> None:
    """Quantities made anywhere can be added, because they come from the same registry."""
    assert registry() is registry()


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("word", ["dram", "ounce", "pound", "inch", "second", "kelvin"])
def test_a_word_that_could_mean_two_things_is_no_unit(word: str) -> None:
    """ "dram", "ounce" and "pound" are apothecaries' or avoirdupois; without saying which they are not known here."""
    with pytest.raises(AttributeError):
        quantity(1, word)


@pytest.mark.parametrize("number", ["nan", "inf", "one", ""])
def test_what_is_no_number_makes_no_quantity(number: str) -> None:
    """Neither "nan" nor "inf" is an amount."""
    with pytest.raises(ValueError, match="Fraction"):
        quantity(number, "mg")
