"""Rules of thumb are named and never silent; the old words are traps."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.dilutions import amount_from_stock
from pharmcalc.errors import RefusedError
from pharmcalc.reading import read
from pharmcalc.recipes import RULES_OF_THUMB, TRAPS, by_rule_of_thumb
from pharmcalc.units import quantity
from tests.published import as_printed, exactly


@pytest.mark.parametrize(
    ("rule", "milligrams"),
    [
        # U.S. Navy, Hospital Corpsman, NAVEDTRA 10669-C (public domain), pharmacy mathematics
        ("65 mg a grain", "325"),
        ("60 mg a grain", "300"),
    ],
)
def test_five_grains_by_two_rules(rule: str, milligrams: str) -> None:
    """5 grains are 325 mg by one rule and 300 mg by the other, and 323.99 mg exactly."""
    found = by_rule_of_thumb("5 gr", rule)
    assert exactly(found.amount, milligrams, "milligram")
    assert as_printed(found.exact, "323.99", "milligram")
    assert rule in found.says()
    assert "exactly it is about 324 mg" in found.says()


def test_the_rule_is_always_named_with_its_distance() -> None:
    """A hundredth of a grain is 0.6 mg by the rule, 7.4 % less than it is."""
    # tables of the old kind print 0.6 mg; the distance is derived
    found = by_rule_of_thumb("1/100 gr", "60 mg a grain")
    assert exactly(found.amount, "0.6", "milligram")
    assert found.says() == (
        "0.6 mg by the rule of thumb 60 mg a grain; exactly it is 0.6479891 mg, so the rule gives about 7.406 % less."
    )


@pytest.mark.parametrize(
    ("rule", "amount", "number", "unit"),
    [
        ("454 g a pound", "1 lb", "454", "gram"),  # U.S. Army Medical Department, MD0802 (seen)
        ("30 mL a fluid ounce", "4 fl oz", "120", "millilitre"),  # common classroom practice
        ("30 g an ounce", "1 oz.ap", "30", "gram"),  # common classroom practice
        ("4 g a dram", "2 dr.ap", "8", "gram"),  # common classroom practice
        ("4 mL a fluid dram", "1 fl dr", "4", "millilitre"),  # common classroom practice
    ],
)
def test_each_rule_counts_its_unit(rule: str, amount: str, number: str, unit: str) -> None:
    """A rule of thumb turns one old unit into a round metric number."""
    assert exactly(by_rule_of_thumb(amount, rule).amount, number, unit)


def test_the_pound_decides_the_answer() -> None:
    """1 lb of 20 % ointment makes 648.57 g of 14 % by the rule of 454 g, 647.99 g exactly."""
    # U.S. Army Medical Department, MD0802 (seen): 648.57 g
    pound = by_rule_of_thumb("1 lb", "454 g a pound")
    strengths = {"stock_strength": "20 %", "wanted_strength": "14 %"}
    assert as_printed(amount_from_stock(stock_amount=pound.amount, **strengths), "648.57", "gram")
    assert as_printed(amount_from_stock(stock_amount=pound.exact, **strengths), "647.99", "gram")


@given(st.sampled_from(sorted(RULES_OF_THUMB)), st.fractions(min_value="1/100", max_value=100, max_denominator=100))
def test_a_rule_is_off_by_the_same_part_of_any_amount(name: str, number: Fraction) -> None:
    """The distance in per cent belongs to the rule, not to the amount; no rule is off by more than 8.5 %."""
    rule = RULES_OF_THUMB[name]
    found = by_rule_of_thumb(rule.unit * number, name)
    assert found.amount == rule.counts_as * number
    assert found.exact == rule.unit * number
    assert found.deviation == by_rule_of_thumb(rule.unit, name).deviation
    assert abs(found.deviation.magnitude) < Fraction("8.5")


@pytest.mark.parametrize(
    ("amount", "rule", "said"),
    [
        ("5 gr", "about 65", '"about 65" is not one. There are: 60 mg a grain, 65 mg a grain'),
        ("4 fl oz", "30 g an ounce", "amount: must be a mass for 30 g an ounce; it was"),
        ("1 oz", "30 mL a fluid ounce", "amount: must be a volume for 30 mL a fluid ounce; it was"),
        ("5", "60 mg a grain", "amount: must be a mass or a volume"),
        ("0 gr", "60 mg a grain", "amount: must be more than zero"),
    ],
)
def test_no_rule_is_guessed(amount: str, rule: str, said: str) -> None:
    """An unknown rule is refused with the list of those there are; a weight is not measured."""
    with pytest.raises(RefusedError) as caught:
        by_rule_of_thumb(amount, rule)
    assert said in str(caught.value)


# Traps ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "times"),
    [
        ("gr", "15.432"),  # 1000 / 64.79891
        ("pound", "1.215"),  # 7000 / 5760
        ("fluid ounce", "1.041"),  # 29.5735 / 28.4131
        ("the signs of dram and ounce", "8.000"),
        ("minim", "1.232"),  # 0.0616 / 0.05
        ("dram", "1.000"),  # masses and a volume: no number can be said
    ],
)
def test_each_trap_says_how_dangerous_it_is(written: str, times: str) -> None:
    """A gram for a grain is more than fifteen times too much."""
    # derived from the exact factors
    trap = next(trap for trap in TRAPS if trap.written == written)
    assert as_printed(quantity(trap.times), times, "")
    assert len(trap.meanings) > 1
    assert trap.advice.endswith(".")


def test_the_reader_never_takes_a_dram_for_granted() -> None:
    """The word dram alone is refused when typed; gr and oz are read with a remark that says which one was meant."""
    with pytest.raises(ValueError, match="dram"):
        read("1 dram")
    assert "grain" in read("5 gr").remarks[0]
    assert "avoirdupois" in read("1 oz").remarks[0]
    assert "imperial" in read("1 fl oz").remarks[0]
