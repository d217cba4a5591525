"""Dilution: the same drug in a larger amount."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.dilutions import (
    amount_from_stock,
    diluent_to_add,
    diluent_to_weaken,
    diluted_strength,
    drug_for_stock,
    stock_strength_needed,
    stock_to_take,
)
from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.units import quantity
from pharmcalc.volumes import smallest_volume_in_cylinder
from tests.published import as_printed, exactly

strengths = st.fractions(min_value="1/1000", max_value=100, max_denominator=1000)
shares = st.fractions(min_value="1/1000", max_value="999/1000", max_denominator=1000)
amounts = st.fractions(min_value="1/10", max_value=10000, max_denominator=10)
units = st.sampled_from(["millilitre", "gram", "litre"])


# Published values ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("stock", "taken", "final", "printed"),
    [
        ("5 %", "45 mL", "60 mL", "3.75"),  # published pharmacy-calculations review set (secondary copy), derived
        ("25 % v/v", "500 mL", "1.2 L", "10.42"),  # the same review set, derived (10.41666...)
        ("25 % v/v", "500 mL", "1.2 L", "10.4"),  # the same, as closely as others would print it
        ("10 %", "120 mL", "240 mL", "5"),  # Comprehensive Pharmacy Review, 8th ed., ch. 1 (seen)
    ],
)
def test_a_diluted_strength(stock: str, taken: str, final: str, printed: str) -> None:
    """45 mL of 5 % made up to 60 mL are 3.75 %."""
    strength = diluted_strength(stock_strength=stock, stock_amount=taken, final_amount=final)
    assert as_printed(strength, printed, "percent")


def test_direct_proportion_is_the_warning_of_the_book() -> None:
    """120 mL of 10 % made up to 240 mL are 5 %; direct proportion would make it 20 %, stronger than the stock."""
    # Comprehensive Pharmacy Review, 8th ed., ch. 1 (seen): the book shows 20 % as the warning
    values = {
        "stock_strength": quantity(10, "percent"),
        "stock_amount": quantity(120, "mL"),
        "final_amount": quantity(240, "mL"),
    }
    assert exactly(MISTAKES["dilution-direct-proportion"].evaluate(values), "20", "percent")


@pytest.mark.parametrize(
    ("stock", "wanted", "final", "millilitres"),
    [
        # U.S. Army Medical Department, subcourse MD0802 (public domain, seen); all exact
        ("2 %", "0.02 %", "120 mL", "1.2"),  # potassium permanganate
        ("10 %", "1:2000", "4 L", "20"),  # povidone-iodine
        ("1:200", "1:4000", "2000 mL", "100"),  # silver nitrate
    ],
)
def test_stock_to_take(stock: str, wanted: str, final: str, millilitres: str) -> None:
    """Ratio strengths are used as fractions, without turning them into percentages."""
    taken = stock_to_take(stock_strength=stock, wanted_strength=wanted, final_amount=final)
    assert exactly(taken, millilitres, "millilitre")


def test_a_small_volume_of_stock_asks_for_a_small_measure() -> None:
    """1.2 mL of the permanganate stock is less than the 2 mL that a 10 mL cylinder may measure."""
    # U.S. Army Medical Department, MD0802 (1.2 mL, seen); 20 % of a cylinder: USP <1176>, from memory
    taken = stock_to_take(stock_strength="2 %", wanted_strength="0.02 %", final_amount="120 mL")
    assert taken < smallest_volume_in_cylinder(capacity="10 mL")


@pytest.mark.parametrize(
    ("pound", "whole", "rest"),
    [
        ("454 g", "648.57", "194.57"),  # U.S. Army Medical Department, MD0802 (seen), with 454 g as the pound
        ("453.59237 g", "647.99", "194.40"),  # the exact pound; derived
    ],
)
def test_an_ointment_made_weaker_is_more(pound: str, whole: str, rest: str) -> None:
    """1 lb of 20 % zinc oxide ointment makes 648.57 g of 14 %: the whole, of which 194.57 g is base."""
    strengths_of = {"stock_strength": "20 %", "wanted_strength": "14 %"}
    made = amount_from_stock(stock_amount=pound, **strengths_of)
    assert as_printed(made, whole, "gram")
    assert as_printed(diluent_to_add(stock_amount=pound, final_amount=made), rest, "gram")
    assert as_printed(MISTAKES["made-is-diluent"].evaluate(_values(stock_amount=pound, **strengths_of)), rest, "gram")


def test_the_water_to_add_is_not_the_final_volume() -> None:
    """500 mL of 1:200 become 10 000 mL of 1:4000, so 9500 mL of water are added."""
    # U.S. Army Medical Department, MD0802 (set-up seen)
    water = diluent_to_weaken(preparation="500 mL", strength="1:200", wanted_strength="1:4000")
    final = amount_from_stock(stock_strength="1:200", stock_amount="500 mL", wanted_strength="1:4000")
    assert exactly(water, "9500", "millilitre")
    assert exactly(final, "10000", "millilitre")
    assert diluent_to_add(stock_amount="500 mL", final_amount=final) == water
    values = {"preparation": "500 mL", "strength": "1:200", "wanted_strength": "1:4000"}
    wrong = MISTAKES["weaken-whole-as-diluent"].evaluate(
        {name: diluent_to_weaken.kinds[name].check(name, value) for name, value in values.items()}
    )
    assert exactly(wrong, "10000", "millilitre")


def test_a_stock_holds_the_drug_of_every_portion() -> None:
    """250 mL of stock, 20 mL of it made up to 1 L of 1:5000: each portion holds 0.2 g, so the stock holds 2.5 g."""
    # common classroom practice; numbers chosen here, value derived: 1000 mL / 5000 = 0.2 g, times 250 / 20
    values = {
        "wanted_strength": "1:5000",
        "final_volume": "1 L",
        "portion": "20 mL",
        "stock_volume": "250 mL",
    }
    drug = drug_for_stock(**values)
    assert exactly(drug, "2.5", "gram")
    checked = {name: drug_for_stock.kinds[name].check(name, value) for name, value in values.items()}
    assert exactly(MISTAKES["stock-drug-for-one-portion"].evaluate(checked), "0.2", "gram")
    assert exactly(MISTAKES["stock-at-final-strength"].evaluate(checked), "0.05", "gram")
    assert exactly(MISTAKES["stock-portion-upside-down"].evaluate(checked), "0.001", "gram")  # 20 mL / 5000 x 250/1000


def _values(**typed: str) -> dict:
    return {name: amount_from_stock.kinds[name].check(name, value) for name, value in typed.items()}


# Mistakes ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mistake", "values", "number", "unit"),
    [
        # 120 mL of 10 % made up to 240 mL, and 500 mL to 10 000 mL; derived from the definitions of the slips
        (
            "dilution-over-diluent",
            {"stock_strength": "10 %", "stock_amount": 120, "final_amount": 240},
            "10",
            "percent",
        ),
        (
            "dilution-final-taken-as-added",
            {"stock_strength": "10 %", "stock_amount": 120, "final_amount": 240},
            "10/3",
            "percent",
        ),
        ("diluent-is-final-amount", {"final_amount": 10000}, "10000", "millilitre"),
        ("diluent-stock-added", {"stock_amount": 500, "final_amount": 10000}, "10500", "millilitre"),
        (
            "stock-upside-down",
            {"stock_strength": "2 %", "wanted_strength": "1 %", "final_amount": 120},
            "240",
            "millilitre",
        ),
        (
            "stock-is-diluent",
            {"stock_strength": "2 %", "wanted_strength": "0.5 %", "final_amount": 120},
            "90",
            "millilitre",
        ),
        (
            "weaken-over-first-strength",
            {"preparation": 500, "strength": "2 %", "wanted_strength": "0.5 %"},
            "375",
            "millilitre",
        ),
        (
            "stock-strength-upside-down",
            {"stock_amount": 5, "wanted_strength": "1 %", "final_amount": 100},
            "1/20",
            "percent",
        ),
        (
            "made-upside-down",
            {"stock_strength": "20 %", "stock_amount": 400, "wanted_strength": "5 %"},
            "100",
            "millilitre",
        ),
    ],
)
def test_each_known_slip_gives_its_number(mistake: str, values: dict, number: str, unit: str) -> None:
    """Strengths the wrong way round, the final amount as diluent, the difference over the wrong strength."""
    kinds = MISTAKES[mistake].kinds
    taken = {
        name: kinds[name].check(name, value) if isinstance(value, str) else quantity(value, "mL")
        for name, value in values.items()
    }
    assert exactly(MISTAKES[mistake].evaluate(taken), number, unit)


# Laws ----------------------------------------------------------------------------------------------------------------


@given(strengths, shares, amounts, units)
def test_the_four_questions_of_a_dilution_answer_each_other(
    percent: Fraction, share: Fraction, amount: Fraction, unit: str
) -> None:
    """Whichever of the four is asked for, putting the answer back gives what was known."""
    stock, wanted = quantity(percent, "percent"), quantity(percent * share, "percent")
    final = quantity(amount, unit)
    taken = stock_to_take(stock_strength=stock, wanted_strength=wanted, final_amount=final)
    assert diluted_strength(stock_strength=stock, stock_amount=taken, final_amount=final) == wanted
    assert amount_from_stock(stock_strength=stock, stock_amount=taken, wanted_strength=wanted) == final
    assert stock_strength_needed(stock_amount=taken, wanted_strength=wanted, final_amount=final) == stock


@given(strengths, shares, amounts)
def test_the_drug_stays_the_same(percent: Fraction, share: Fraction, amount: Fraction) -> None:
    """Strength times amount is the drug, before and after; the diluent brings none."""
    strength, wanted = quantity(percent, "percent_in_volume"), quantity(percent * share, "percent_in_volume")
    before = quantity(amount, "mL")
    added = diluent_to_weaken(preparation=before, strength=strength, wanted_strength=wanted)
    assert (before + added) * wanted == before * strength
    assert before + added == amount_from_stock(stock_strength=strength, stock_amount=before, wanted_strength=wanted)


@given(strengths, shares, amounts, st.integers(min_value=2, max_value=50))
def test_twice_the_batch_takes_twice_the_stock(
    percent: Fraction, share: Fraction, amount: Fraction, times: int
) -> None:
    """Every amount of a dilution grows with the batch, and no strength does."""
    stock, wanted = quantity(percent, "percent"), quantity(percent * share, "percent")
    final = quantity(amount, "gram")
    once = stock_to_take(stock_strength=stock, wanted_strength=wanted, final_amount=final)
    assert stock_to_take(stock_strength=stock, wanted_strength=wanted, final_amount=final * times) == once * times


@given(shares, shares, amounts, amounts)
def test_a_portion_of_the_stock_made_up_has_the_wanted_strength(
    percent: Fraction, share: Fraction, final: Fraction, stock: Fraction
) -> None:
    """Dissolve, take the portion, make up: what comes out is what was asked for."""
    wanted, whole, made = quantity(percent, "percent_in_volume"), quantity(final, "mL"), quantity(stock, "mL")
    portion = min(whole, made) * share
    drug = drug_for_stock(wanted_strength=wanted, final_volume=whole, portion=portion, stock_volume=made)
    stock_strength = (drug / made).to("percent_in_volume")
    assert diluted_strength(stock_strength=stock_strength, stock_amount=portion, final_amount=whole) == wanted


def test_a_basis_that_is_not_stated_or_stated_alike_is_no_obstacle() -> None:
    """One strength may leave its basis out; both may state the same; a ratio may state it too."""
    for stock, wanted in (("10 %", "5 % v/v"), ("10 % v/v", "5 % v/v"), ("1:10 v/v", "5 % v/v")):
        taken = stock_to_take(stock_strength=stock, wanted_strength=wanted, final_amount="120 mL")
        assert exactly(taken, "60", "millilitre")


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        (
            "stock_to_take",
            {"stock_strength": "2 %", "wanted_strength": "5 %", "final_amount": "120 mL"},
            "stock_to_take: wanted_strength: must be at most stock strength (2 %); it was 5 %. Diluting only makes",
        ),
        (
            "stock_to_take",
            {"stock_strength": "2 %", "wanted_strength": "1 % w/v", "final_amount": "120 mL"},
            "cannot be compared with",
        ),
        (
            "stock_to_take",
            {"stock_strength": "10 % w/w", "wanted_strength": "5 % v/v", "final_amount": "120 mL"},
            'wanted_strength: says "5 % v/v", a v/v strength, but stock strength says "10 % w/w", a w/w one. Write',
        ),
        (
            "stock_to_take",
            {"stock_strength": "2 % w/v", "wanted_strength": "1 % w/v", "final_amount": "120 g"},
            "final_amount: must be a volume, because stock strength is 2 % w/v; it was 120 g",
        ),
        (
            "stock_to_take",
            {"stock_strength": "120 %", "wanted_strength": "1 %", "final_amount": "5 mL"},
            "stock_strength: cannot be above 100 %; it was 120 %",
        ),
        (
            "diluted_strength",
            {"stock_strength": "2 %", "stock_amount": "50 mL", "final_amount": "20 mL"},
            "final_amount: must be at least stock amount (50 mL); it was 20 mL. Diluting makes more, never less",
        ),
        (
            "diluted_strength",
            {"stock_strength": "2 %", "stock_amount": "50 mL", "final_amount": "120 g"},
            "cannot be compared with",
        ),
        (
            "amount_from_stock",
            {"stock_strength": "2 %", "stock_amount": "50 mL", "wanted_strength": "3 %"},
            "wanted_strength: must be at most stock strength (2 %)",
        ),
        (
            "stock_strength_needed",
            {"stock_amount": "1 mL", "wanted_strength": "5 %", "final_amount": "100 mL"},
            "the result cannot be above 100 %; it was 500 %",
        ),
        (
            "diluent_to_add",
            {"stock_amount": "50 mL", "final_amount": "50 mL"},
            "must be more than stock amount (50 mL)",
        ),
        (
            "diluent_to_weaken",
            {"preparation": "50 mL", "strength": "2 %", "wanted_strength": "2 %"},
            "wanted_strength: must be less than strength (2 %); it was 2 %",
        ),
        (
            "drug_for_stock",
            {"wanted_strength": "1:5000", "final_volume": "10 mL", "portion": "20 mL", "stock_volume": "250 mL"},
            "portion: must be at most final volume (10 mL); it was 20 mL",
        ),
        (
            "drug_for_stock",
            {"wanted_strength": "1:5000", "final_volume": "1 L", "portion": "300 mL", "stock_volume": "250 mL"},
            "portion: must be at most stock volume (250 mL); it was 300 mL",
        ),
    ],
)
def test_what_diluting_cannot_do_is_refused(name: str, values: dict[str, str], said: str) -> None:
    """Diluting makes weaker and more; strengths must be on one basis; w/v goes with volumes."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert str(caught.value).startswith(name)
    assert said in str(caught.value)
    assert caught.value.cure
