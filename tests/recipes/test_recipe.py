"""A whole recipe: it adds up, or one ingredient fills it up; scaled, it still does."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import AMOUNT
from pharmcalc.recipes import FILLS_UP, Recipe, of_each
from pharmcalc.units import Quantity, quantity
from tests.published import exactly

PASTE = {
    "calamine": "12.5 g",
    "strong coal tar solution": "2.5 g",
    "zinc oxide": "12.5 g",
    "hydrous wool fat": "25 g",
    "white soft paraffin": "47.5 g",
}
"""Rees, Smith & Watson, Introduction to Pharmaceutical Calculations, 4th ed. (2015), p. 104, Q5 (seen)."""
names = st.sampled_from(["calamine", "zinc oxide", "starch", "talc", "wool fat"])
recipes = st.dictionaries(names, st.fractions(min_value="1/100", max_value=100, max_denominator=100), min_size=2)


def total_of(amounts: dict[str, Quantity]) -> Quantity:
    """Return what amounts of one kind add up to."""
    first, *others = amounts.values()
    return sum(others, first)


# Published values ----------------------------------------------------------------------------------------------------


def test_what_fills_up_is_not_scaled() -> None:
    """Potassium arsenite solution, 120 mL instead of 1000: 1.2 g, 0.912 g, 3.6 mL, and water to 120 mL."""
    # U.S. Navy, Hospital Corpsman, NAVEDTRA 10669-C (public domain), pharmacy mathematics (seen)
    recipe = Recipe.of(
        {"arsenic trioxide": "10 g", "potassium bicarbonate": "7.6 g", "alcohol": "30 mL", "water": FILLS_UP},
        total="1000 mL",
    )
    small = recipe.scaled_to("120 mL")
    assert small.lines() == [
        "arsenic trioxide: 1.2 g",
        "potassium bicarbonate: 0.912 g",
        "alcohol: 3.6 mL",
        "water: to 120 mL",
    ]
    assert small.amount_that_fills_up is None
    assert small.fills_up == "water"
    assert small.scaled_to("1000 mL") == recipe


def test_a_recipe_is_scaled_from_its_real_sum() -> None:
    """The paste adds up to 100 g; 25 g of it are 3.125, 0.625, 3.125, 6.25 and 11.875 g, which add up to 25."""
    # Rees, Smith & Watson, 4th ed. (2015), p. 104, Q5 (seen); exact
    recipe = Recipe.of(PASTE)
    assert exactly(recipe.total, "100", "gram")
    small = recipe.scaled_to("25 g")
    found = [amount.to("gram").magnitude for amount in small.amounts.values()]
    assert found == [Fraction(text) for text in ("3.125", "0.625", "3.125", "6.25", "11.875")]
    assert exactly(total_of(dict(small.amounts)), "25", "gram")


def test_rounding_changes_the_total() -> None:
    """To two decimals, half up, the same paste is 3.13 + 0.63 + 3.13 + 6.25 + 11.88 = 25.02 g; half even 24.99."""
    # the note of the same problem (25.02); half even derived: 3.12 + 0.62 + 3.12 + 6.25 + 11.88
    small = Recipe.of(PASTE).scaled_to("25 g")
    up, even = small.rounded("0.01 g"), small.rounded("0.01 g", ties="half even")
    assert exactly(total_of(up), "25.02", "gram")
    assert exactly(total_of(even), "24.99", "gram")


def test_of_each_stands_for_every_ingredient_named() -> None:
    """Zinc oxide and starch, of each 25 g, and paraffin to 100 g: 50 g are left for the paraffin."""
    # numbers chosen here; derived from the definition (ana, q.s.)
    recipe = Recipe.of({**of_each("25 g", "zinc oxide", "starch"), "paraffin": "q.s."}, total="100 g")
    rest = recipe.amount_that_fills_up
    assert rest is not None
    assert exactly(rest, "50", "gram")
    assert recipe.scaled_to("30 g").lines()[-1] == "paraffin: 15 g, to make 30 g"


def test_parts_and_percentages_say_the_same_recipe() -> None:
    """3 parts and 17 parts are 15 % and the rest."""
    # the proportion 3 : 17 is from Ansel & Stoklosa (secondary copies); derived
    by_parts = Recipe.by_parts({"ointment": 3, "petrolatum": "17"}, total="60 g")
    by_percentage = Recipe.by_percentage({"ointment": "15 %", "petrolatum": "85 %"}, total="60 g")
    filled = Recipe.by_percentage({"ointment": "15 %", "petrolatum": "q.s."}, total="60 g")
    assert by_parts.amounts == by_percentage.amounts
    assert filled.amount_that_fills_up == by_parts.amounts["petrolatum"] == quantity(51, "gram")
    assert by_parts.lines() == ["ointment: 9 g", "petrolatum: 51 g"]


# Laws ----------------------------------------------------------------------------------------------------------------


@given(recipes, st.fractions(min_value="1/10", max_value=1000, max_denominator=10))
def test_a_scaled_recipe_adds_up_to_what_is_made(grams: dict[str, Fraction], made: Fraction) -> None:
    """Whatever is made, the scaled ingredients add up to it, in the old proportions, and scale back."""
    recipe = Recipe.of({name: quantity(number, "gram") for name, number in grams.items()})
    scaled = recipe.scaled_to(quantity(made, "gram"))
    assert total_of(dict(scaled.amounts)) == scaled.total == quantity(made, "gram")
    first = next(iter(grams))
    for name, number in grams.items():
        assert scaled.amounts[name] * grams[first] == scaled.amounts[first] * number
    assert scaled.scaled_to(recipe.total) == recipe


@given(recipes, st.fractions(min_value="1/10", max_value=1000, max_denominator=10))
def test_parts_share_the_total(parts: dict[str, Fraction], made: Fraction) -> None:
    """A recipe in parts is the same recipe in any unit of mass, shared over the real sum of the parts."""
    by_parts = Recipe.by_parts({name: quantity(part) for name, part in parts.items()}, total=quantity(made, "gram"))
    by_mass = Recipe.of({name: quantity(part, "gram") for name, part in parts.items()})
    assert by_parts == by_mass.scaled_to(quantity(made, "gram"))


@given(recipes, st.fractions(min_value="1/100", max_value=50, max_denominator=100))
def test_what_fills_up_is_always_the_rest(grams: dict[str, Fraction], rest: Fraction) -> None:
    """The others and the one that fills up make the total, before and after scaling."""
    amounts: dict[str, Quantity | str] = {name: quantity(number, "gram") for name, number in grams.items()}
    total = quantity(sum(grams.values()) + rest, "gram")
    recipe = Recipe.of({**amounts, "base": FILLS_UP}, total=total)
    assert recipe.amount_that_fills_up == quantity(rest, "gram")
    assert recipe.scaled_to(total * 3).amount_that_fills_up == quantity(rest * 3, "gram")


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amounts", "total", "said"),
    [
        (PASTE, "1000 g", "must be what the ingredients add up to (100 g); it was 1000 g"),
        ({"a": "10 g", "b": "30 mL"}, None, "mixes masses and volumes, so it cannot be added up"),
        ({"a": "10 g", "b": "30 g"}, "50 mL", "mixes masses and volumes"),
        ({"a": "10 g", "water": "q.s."}, None, "water fills up, but the total is not said"),
        ({"a": "60 g", "base": "q.s."}, "60 g", "must be more than the other ingredients (60 g); it was 60 g"),
        ({"a": "q.s.", "b": "q.s."}, "60 g", "a and b cannot both fill up"),
        ({"base": "q.s."}, "60 g", "has no amounts"),
        ({}, None, "has no amounts"),
        ({"a": "0 g"}, None, "recipe: a: must be more than zero"),
        ({"a": "5 %"}, None, "recipe: a: must be a mass or a volume"),
        ({"a": "some"}, None, "recipe: a"),
    ],
)
def test_a_recipe_that_does_not_add_up_is_refused(amounts: dict[str, str], total: str | None, said: str) -> None:
    """A guessed total of 1000, two that fill up, no room for the base: refused before anything is scaled."""
    with pytest.raises(RefusedError) as caught:
        Recipe.of(amounts, total=total)
    assert said in str(caught.value)
    assert caught.value.cure


def test_percentages_and_parts_must_make_a_whole() -> None:
    """15 % and 80 % are no recipe; nothing is no recipe; of each needs names."""
    with pytest.raises(RefusedError, match=r"add up to \(57 g\); it was 60 g"):
        Recipe.by_percentage({"ointment": "15 %", "petrolatum": "80 %"}, total="60 g")
    with pytest.raises(RefusedError, match="must be more than zero"):
        Recipe.by_parts({"ointment": 0, "petrolatum": 17}, total="60 g")
    with pytest.raises(RefusedError, match="has no parts"):
        Recipe.by_parts({}, total="60 g")
    with pytest.raises(RefusedError, match="names no ingredient"):
        of_each("5 g")
    with pytest.raises(RefusedError, match='must be "half up" or "half even"'):
        Recipe.of(PASTE).rounded("0.01 g", ties="down")


def test_only_amounts_of_the_kind_of_the_step_are_rounded() -> None:
    """A step in grams leaves the millilitres alone."""
    recipe = Recipe.of({"solid": "1.234 g", "alcohol": "3.456 mL", "water": "q.s."}, total="100 mL")
    rounded = recipe.rounded("0.01 g")
    assert [AMOUNT.show(amount) for amount in rounded.values()] == ["1.23 g", "3.456 mL"]
