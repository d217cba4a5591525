"""Tasks about recipes: hand-worked orders, slips by name, and a slip that costs only its own step."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from pharmcalc.feedback import feedback_text
from pharmcalc.tasks.family import Task
from pharmcalc.units import Quantity, quantity
from tests.slips import Numbers, drawn_tasks, given, marked, only_loses, plain, rounded, verdict_on


def grams(number: int | str) -> Quantity:
    """Return grams."""
    return quantity(number, "gram")


def reduced() -> Task:
    """Return 6, 24 and 50 g, so 80 g in all, of which 40 g are made."""
    values = {
        "first_ingredient": grams(6),
        "second_ingredient": grams(24),
        "third_ingredient": grams(50),
        "ingredient": grams(6),
        "amount_made": grams(40),
        "usual_total": grams(100),
    }
    return given("reduce-recipe", values, first="sulfur", second="talc", base="wool fat")


def of_each() -> Task:
    """Return three powders, of each 5 g, in a base to make 60 g."""
    values = {"each": grams(5), "number_of_ingredients": quantity(3), "total": grams(60)}
    return given("each-of-three", values, first="talc", second="starch", third="kaolin", base="wool fat")


# Worked by hand ------------------------------------------------------------------------------------------------------


def test_half_of_a_recipe_is_half_of_everything() -> None:
    """80 g halved: 6 g become 3 g."""
    task = reduced()
    assert task.answer_lines() == "whole recipe = 80 g\nfirst ingredient = 3 g"
    assert marked(task).cleared


def test_of_each_is_for_all_three() -> None:
    """5 g of each of three are 15 g, and 45 g of base make 60 g."""
    assert of_each().answer_lines() == "mass of the powders = 15 g\nbase = 45 g"


# A slip costs its own step -------------------------------------------------------------------------------------------


def test_a_guessed_total_is_followed_through() -> None:
    """100 g instead of 80 g: 2.4 g of the first follow from it, and the ointment would hold a fifth too little."""
    mark = marked(reduced(), whole_recipe="100 g", first_ingredient="2.4 g")
    assert verdict_on(mark, "whole recipe") == ("MISTAKE", "recipe-total-guessed")
    assert verdict_on(mark, "first ingredient") == ("FOLLOWS", "")
    assert only_loses(mark, "whole recipe")
    assert not mark.cleared
    assert "would hold 20 % less sulfur than is wanted" in feedback_text(mark)


def test_of_each_shared_out_is_followed_through() -> None:
    """5 g for all three together leave 55 g of base: one step is lost, and a third of the powder would be there."""
    mark = marked(of_each(), mass_of_the_powders="5 g", base="55 g")
    assert verdict_on(mark, "mass of the powders") == ("MISTAKE", "ana-shared-out")
    assert verdict_on(mark, "base") == ("FOLLOWS", "")
    assert only_loses(mark, "mass of the powders")
    assert mark.clearance.critical
    assert "only 33.3 % of the powder" in feedback_text(mark)


def test_a_base_taken_for_the_total_makes_too_much() -> None:
    """15 g of powders and 60 g of base are 75 g and not 60 g."""
    text = feedback_text(marked(of_each(), base="60 g"))
    assert "The recipe would make 75 g and not 60 g" in text


# Slips by name, on drawn numbers -------------------------------------------------------------------------------------

Slip = tuple[str, str, str, Callable[[Numbers], Fraction]]
SLIPS: list[Slip] = [
    ("reduce-recipe", "whole recipe", "recipe-total-guessed", lambda v: Fraction(100_000)),
    (
        "reduce-recipe",
        "whole recipe",
        "recipe-total-without-base",
        lambda v: v["first_ingredient"] + v["second_ingredient"],
    ),
    (
        "reduce-recipe",
        "first ingredient",
        "scaled-upside-down",
        lambda v: v["first_ingredient"] / v["amount_made"] * v["recipe_total"],
    ),
    (  # mistake 21: scaled from 100 instead of the real sum
        "reduce-recipe",
        "first ingredient",
        "scaled-from-guessed-total",
        lambda v: v["first_ingredient"] * v["amount_made"] / 100_000,
    ),
    ("recipe-in-parts", "first ingredient", "parts-taken-as-grams", lambda v: v["parts"] * 1000),  # as mistake 35
    ("recipe-in-parts", "first ingredient", "parts-base-of-thousand", lambda v: v["total"] * v["parts"] / 1000),
    ("recipe-in-parts", "first ingredient", "parts-as-percentage", lambda v: v["total"] * v["parts"] / 100),
    (
        "recipe-in-parts",
        "first ingredient",
        "parts-over-the-others",
        lambda v: v["total"] * v["parts"] / (v["second_parts"] + v["third_parts"]),
    ),
    ("each-of-three", "mass of the powders", "ana-shared-out", lambda v: v["each"]),
    ("each-of-three", "base", "fill-is-total", lambda v: v["total"]),  # as mistake 17
    ("each-of-three", "base", "fill-others-added", lambda v: v["total"] + 3 * v["each"]),
]


@pytest.mark.parametrize(
    ("family", "label", "mistake", "number"), SLIPS, ids=[f"{slip[0]}-{slip[2]}" for slip in SLIPS]
)
def test_a_slip_in_a_recipe_is_named(
    family: str, label: str, mistake: str, number: Callable[[Numbers], Fraction]
) -> None:
    """The wrong base, parts for grams, "of each" shared out: each is known by its number and costs its own step."""
    for task in drawn_tasks(family, 20):
        mark = marked(task, **{label.replace(" ", "_"): f"{rounded(number(plain(task)))} mg"})
        assert verdict_on(mark, label) == ("MISTAKE", mistake), task.question_text()
        assert only_loses(mark, label)
