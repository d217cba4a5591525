"""Reducing and enlarging: every ingredient by the same factor, parts of the real sum, and what fills up."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.recipes import (
    amount_by_parts,
    amount_by_percentage,
    amount_of_each_together,
    amount_to_fill,
    recipe_total,
    scaled_ingredient,
    scaling_factor,
)
from pharmcalc.units import quantity
from tests.published import exactly

amounts = st.fractions(min_value="1/100", max_value=1000, max_denominator=100)


# Published values ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ingredient", "made", "unit"),
    [
        # U.S. Navy, Hospital Corpsman, NAVEDTRA 10669-C (public domain, seen): 120 mL of a recipe for 1000 mL
        ("10 g", "1.2", "gram"),  # arsenic trioxide
        ("7.6 g", "0.912", "gram"),  # potassium bicarbonate
        ("30 mL", "3.6", "millilitre"),  # alcohol
    ],
)
def test_a_recipe_reduced_from_1000_ml_to_120_ml(ingredient: str, made: str, unit: str) -> None:
    """The factor is 0.12, for every ingredient that is scaled."""
    assert exactly(scaling_factor(amount_made="120 mL", recipe_total="1000 mL"), "0.12", "")
    scaled = scaled_ingredient(ingredient=ingredient, amount_made="120 mL", recipe_total="1000 mL")
    assert exactly(scaled, made, unit)


@pytest.mark.parametrize(
    ("per_hundred", "made"),
    [
        # Rees, Smith & Watson, 4th ed. (2015), p. 104, Q5 (seen): 25 g of a paste given per 100 g; exact
        ("12.5 g", "3.125"),
        ("2.5 g", "0.625"),
        ("25 g", "6.25"),
        ("47.5 g", "11.875"),
    ],
)
def test_a_quarter_of_a_paste(per_hundred: str, made: str) -> None:
    """12.5 g in 100 g are 3.125 g in 25 g, by the factor or by the percentage."""
    assert exactly(scaled_ingredient(ingredient=per_hundred, amount_made="25 g", recipe_total="100 g"), made, "gram")
    percentage = per_hundred.replace("g", "%")
    assert exactly(amount_by_percentage(total="25 g", percentage=percentage), made, "gram")


@pytest.mark.parametrize(
    ("mistake", "number", "unit"),
    [
        # 3 parts of 20 in a total of 60 g; 7.6 g for 1000 mL, 120 mL made; derived from the slips
        ("factor-upside-down", "25/3", ""),
        ("scaled-upside-down", "190/3", "gram"),
        ("parts-taken-as-grams", "3", "gram"),
        ("parts-taken-as-millilitres", "3", "millilitre"),
        ("parts-over-the-others", "180/17", "gram"),
        ("parts-as-percentage", "1.8", "gram"),
        ("parts-base-of-thousand", "0.18", "gram"),
        ("ingredient-percent-as-number", "750", "gram"),
        ("fill-is-total", "60", "gram"),
        ("fill-others-added", "76.5", "gram"),
        ("ana-shared-out", "5", "gram"),
        ("scaled-from-guessed-total", "9.12", "gram"),  # 7.6 g x 120 mL / 100 mL
        ("recipe-total-guessed", "100", "gram"),
        ("recipe-total-without-base", "30", "gram"),
    ],
)
def test_each_known_slip_gives_its_number(mistake: str, number: str, unit: str) -> None:
    """The wrong base, parts taken as grams, the total taken as the filler."""
    values = {
        "ingredient": quantity("7.6", "gram"),
        "amount_made": quantity(120, "mL"),
        "recipe_total": quantity(1000, "mL"),
        "total": quantity(60, "gram"),
        "parts": quantity(3),
        "all_parts": quantity(20),
        "percentage": quantity("12.5", "percent"),
        "all_others": quantity("16.5", "gram"),
        "each": quantity(5, "gram"),
        "usual_total": quantity(100, "gram" if mistake == "recipe-total-guessed" else "mL"),
        "first_ingredient": quantity(6, "gram"),
        "second_ingredient": quantity(24, "gram"),
    }
    assert exactly(MISTAKES[mistake].evaluate(values), number, unit)


def test_of_each_is_for_every_one_of_them() -> None:
    """Zinc oxide, starch, of each 5 g: 10 g together."""
    # the definition (ana)
    assert exactly(amount_of_each_together(each="5 g", number_of_ingredients="2"), "10", "gram")
    assert exactly(amount_to_fill(total="60 g", all_others="16.5 g"), "43.5", "gram")


def test_a_recipe_makes_what_its_ingredients_weigh() -> None:
    """6, 24 and 50 g make 80 g, whatever the order."""
    # numbers chosen here
    first, second, base = (quantity(number, "gram") for number in (6, 24, 50))
    total = recipe_total(first_ingredient=first, second_ingredient=second, third_ingredient=base)
    assert exactly(total, "80", "gram")
    assert total == recipe_total(first_ingredient=base, second_ingredient=first, third_ingredient=second)
    assert amount_to_fill(total=total, all_others=first + second) == base


# Laws ----------------------------------------------------------------------------------------------------------------


@given(amounts, amounts, amounts)
def test_reducing_and_enlarging_lead_there_and_back(ingredient: Fraction, made: Fraction, total: Fraction) -> None:
    """Scaled and scaled back, an ingredient is what it was; the factor is the same for all."""
    amount, new, old = quantity(ingredient, "mg"), quantity(made, "gram"), quantity(total, "gram")
    scaled = scaled_ingredient(ingredient=amount, amount_made=new, recipe_total=old)
    assert scaled_ingredient(ingredient=scaled, amount_made=old, recipe_total=new) == amount
    assert scaled == amount * scaling_factor(amount_made=new, recipe_total=old)


@given(st.lists(amounts, min_size=2, max_size=6), amounts)
def test_all_the_parts_make_the_total(parts: list[Fraction], grams: Fraction) -> None:
    """However a recipe is cut into parts, they add up to the whole, and the last one is what fills up."""
    total, all_parts = quantity(grams, "gram"), quantity(sum(parts))
    shares = [amount_by_parts(total=total, parts=quantity(part), all_parts=all_parts) for part in parts]
    first, *others = shares
    assert sum(others, first) == total
    assert amount_to_fill(total=total, all_others=total - shares[-1]) == shares[-1]


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        ("scaling_factor", {"amount_made": "120 mL", "recipe_total": "1000 g"}, "cannot be compared with"),
        (
            "scaled_ingredient",
            {"ingredient": "10 g", "amount_made": "120 mL", "recipe_total": "100 g"},
            "recipe_total: it was 100 g, which cannot be compared with amount made (120 mL)",
        ),
        (
            "amount_by_parts",
            {"total": "60 g", "parts": "30", "all_parts": "20"},
            "parts: must be at most all parts (20); it was 30",
        ),
        ("amount_by_percentage", {"total": "60 g", "percentage": "120 %"}, "percentage: must be at most 100 %"),
        ("amount_by_percentage", {"total": "60 g", "percentage": "0 %"}, "percentage: must be more than 0 %"),
        ("amount_by_percentage", {"total": "60 g", "percentage": "5 % w/v"}, "percentage: must be a percentage"),
        ("amount_to_fill", {"total": "60 g", "all_others": "60 g"}, "all_others: must be less than total (60 g)"),
        ("amount_of_each_together", {"each": "5 g", "number_of_ingredients": "2.5"}, "must be a whole number"),
    ],
)
def test_what_cannot_be_scaled_is_refused(name: str, values: dict[str, str], said: str) -> None:
    """Grams against millilitres, more parts than there are, others that fill the whole."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert str(caught.value).startswith(name)
    assert said in str(caught.value)
