"""Alligation medial: the strength of a mixture is all the drug over all the amounts."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.dilutions import diluted_strength, medial, strength_of_three, strength_of_two
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.units import quantity
from tests.published import as_printed, exactly

percents = st.fractions(min_value=0, max_value=100, max_denominator=100)
amounts = st.fractions(min_value="1/10", max_value=1000, max_denominator=10)
mixtures = st.lists(st.tuples(percents, amounts), min_size=1, max_size=6)


@pytest.mark.parametrize(
    ("parts", "printed"),
    [
        # common classroom practice, no source (numbers seen); alcohol volumes taken as additive
        ([("35 %", "110 mL"), ("25 %", "220 mL"), ("20 %", "330 mL")], "24.17"),
        ([("12 %", "200 mL"), ("18 %", "150 mL"), ("25 %", "250 mL")], "18.92"),
        ([("2 %", "5 mL"), ("4 %", "10 mL")], "3.33"),
    ],
)
def test_the_strength_of_a_mixture(parts: list[tuple[str, str]], printed: str) -> None:
    """110 mL of 35 %, 220 mL of 25 % and 330 mL of 20 % make 24.17 %."""
    assert as_printed(medial(parts), printed, "percent")


def test_two_and_three_parts_are_the_same_rule() -> None:
    """The formulas for two and for three parts agree with the general rule."""
    # common classroom practice, no source (numbers seen)
    two = strength_of_two(first_strength="2 %", first_amount="5 mL", second_strength="4 %", second_amount="10 mL")
    assert as_printed(two, "3.33", "percent")
    three = strength_of_three(
        first_strength="12 %",
        first_amount="200 mL",
        second_strength="18 %",
        second_amount="150 mL",
        third_strength="25 %",
        third_amount="250 mL",
    )
    assert as_printed(three, "18.92", "percent")


@pytest.mark.parametrize(
    ("mistake", "printed"),
    [
        ("medial-plain-mean-of-three", "26.67"),  # the published note of the 24.17 % problem: 80 / 3
        ("medial-vehicle-left-out", "48.33"),  # derived: 15950 / 330
    ],
)
def test_a_plain_mean_is_not_the_strength(mistake: str, printed: str) -> None:
    """The mean of 35, 25 and 20 is 26.67: it forgets that there is three times as much of the weakest."""
    values = {
        "first_strength": quantity(35, "percent"),
        "first_amount": quantity(110, "mL"),
        "second_strength": quantity(25, "percent"),
        "second_amount": quantity(220, "mL"),
        "third_strength": quantity(20, "percent"),
        "third_amount": quantity(330, "mL"),
    }
    assert as_printed(MISTAKES[mistake].evaluate(values), printed, "percent")


def test_a_vehicle_brings_no_drug_but_counts() -> None:
    """10 g of 6 %, 20 g of 3 % and 30 g of plain base make 2 %; with the base left out it would be 4 %."""
    # numbers chosen here; derived: 1.2 g of drug in 60 g, or in 30 g
    values = {
        "first_strength": "6 %",
        "first_amount": "10 g",
        "second_strength": "3 %",
        "second_amount": "20 g",
        "third_strength": "0 %",
        "third_amount": "30 g",
    }
    assert exactly(strength_of_three(**values), "2", "percent")
    checked = {name: strength_of_three.kinds[name].check(name, value) for name, value in values.items()}
    assert exactly(MISTAKES["medial-vehicle-left-out"].evaluate(checked), "4", "percent")
    pair = {"first_strength": quantity(2, "percent"), "second_strength": quantity(4, "percent")}
    assert exactly(MISTAKES["medial-plain-mean"].evaluate(pair), "3", "percent")
    assert exactly(MISTAKES["medial-strengths-added"].evaluate(pair), "6", "percent")


@given(mixtures)
def test_a_mixture_lies_between_its_weakest_and_its_strongest_part(parts: list[tuple[Fraction, Fraction]]) -> None:
    """No mixing makes a preparation stronger than its strongest part; the drug adds up."""
    mixed = medial([(quantity(percent, "percent"), quantity(grams, "gram")) for percent, grams in parts])
    number = mixed.to("percent").magnitude
    assert min(percent for percent, _ in parts) <= number <= max(percent for percent, _ in parts)
    assert number * sum(grams for _, grams in parts) == sum(percent * grams for percent, grams in parts)


@given(mixtures, st.integers(min_value=2, max_value=9))
def test_a_larger_batch_of_the_same_mixture_has_the_same_strength(
    parts: list[tuple[Fraction, Fraction]], times: int
) -> None:
    """Only the proportions count, and the order of mixing does not."""
    made = [(quantity(percent, "percent"), quantity(grams, "gram")) for percent, grams in parts]
    assert medial([(strength, amount * times) for strength, amount in made]) == medial(made) == medial(made[::-1])


@given(percents, amounts, amounts)
def test_mixing_with_a_plain_diluent_is_dilution(percent: Fraction, first: Fraction, second: Fraction) -> None:
    """C1 V1 = C2 V2 is alligation medial with 0 %."""
    strength, stock = quantity(percent + Fraction(1, 100), "percent_in_volume"), quantity(first, "mL")
    diluted = medial([(strength, stock), ("0 % w/v", quantity(second, "mL"))])
    final = stock + quantity(second, "mL")
    assert diluted == diluted_strength(stock_strength=strength, stock_amount=stock, final_amount=final)


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ([], "nothing to mix"),
        ([("5 %", "3 mL"), ("2 %", "4 g")], "amount_2: it was 4 g, which cannot be compared with amount 1 (3 mL)"),
        ([("5 %", "3 mL"), ("2 % w/v", "4 mL")], "strength_2"),
        ([("5 % w/w", "3 g"), ("0 %", "9 g"), ("2 % v/v", "4 g")], 'strength_3: says "2 % v/v", a v/v strength'),
        ([("5 % w/v", "3 g"), ("2 % w/v", "4 g")], "amount_1: must be a volume, because strength 1 is 5 % w/v"),
        ([("5 %", "0 mL")], "amount 1: must be more than zero"),
        ([("101 %", "3 mL")], "strength 1: cannot be above 100 %"),
        ([("-5 %", "3 mL")], "strength 1: must not be less than zero"),
        ([("nan %", "3 mL")], "could not be read"),
        ([("5", "3 mL")], "strength 1: must be a strength"),
    ],
)
def test_what_cannot_be_mixed_is_refused(parts: list[tuple[str, str]], said: str) -> None:
    """Grams with millilitres, w/w with w/v, nothing at all: each refusal names the part."""
    with pytest.raises(RefusedError) as caught:
        medial(parts)
    assert str(caught.value).startswith("medial")
    assert said in str(caught.value)
