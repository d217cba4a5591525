"""Tasks about old units: exact conversions, the ounce that is another, and rules of thumb by name."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from pharmcalc.feedback import feedback_text
from pharmcalc.tasks.family import Task
from pharmcalc.units import quantity
from tests.slips import Numbers, drawn_tasks, given, marked, only_loses, plain, rounded, verdict_on

GRAIN = Fraction("64.79891")  # milligrams, exactly (NIST SP 811)
FLUID_OUNCE = Fraction("29.5735295625")  # millilitres, exactly (NIST Handbook 44, appendix C)


def recipe() -> Task:
    """Return 10 grains of menthol, 2 drams of sulfur and 1 ounce of lard."""
    values = {"grains": quantity(10), "drams": quantity(2), "ounces": quantity(1)}
    words = {"first_ingredient": "menthol", "second_ingredient": "sulfur", "third_ingredient": "lard"}
    return given("old-recipe", values, written="1", **words)


# Exact ---------------------------------------------------------------------------------------------------------------


def test_five_grains_are_324_mg() -> None:
    """5 grains are 323.99 mg exactly; 325 mg is the rule of thumb of 65 mg, 300 mg the one of 60 mg."""
    # NIST SP 811 (exact); U.S. Navy, Hospital Corpsman, pharmacy mathematics (the rules of thumb)
    task = given("old-grains", {"grains": quantity(5)}, written="5", mass_of_grains="menthol")
    assert marked(task, mass="324 mg").cleared
    assert verdict_on(marked(task, mass="325 mg"), "mass") == ("MISTAKE", "grain-as-65-mg")
    assert verdict_on(marked(task, mass="300 mg"), "mass") == ("MISTAKE", "grain-as-60-mg")


def test_a_grain_read_as_a_gram_is_critical() -> None:
    """Grams for grains weigh 15.4 times too much, and the student is not cleared."""
    task = given("old-grains", {"grains": quantity(5)}, written="5", mass_of_grains="menthol")
    mark = marked(task, mass="5 g")
    assert verdict_on(mark, "mass") == ("MISTAKE", "grain-as-gram")
    assert mark.clearance.critical
    assert "15.4 times the menthol that is wanted" in feedback_text(mark)


def test_an_old_recipe_in_metric_units() -> None:
    """648 mg, 7.776 g and 31.10 g: 39.53 g together."""
    lines = {"mass_of_grains": "648 mg", "mass_of_drams": "7.776 g", "mass_of_ounces": "31.10 g"}
    mark = marked(recipe(), **lines, whole_recipe="39.53 g")
    assert (mark.marks, mark.out_of, mark.cleared) == (8, 8, True)


# A slip costs its own step -------------------------------------------------------------------------------------------


def test_the_wrong_ounce_is_followed_through() -> None:
    """28.35 g for 31.1 g is 8.9 % too little; the total of 36.77 g follows, and one step is lost."""
    mark = marked(recipe(), mass_of_ounces="28.35 g", whole_recipe="36.77 g")
    assert verdict_on(mark, "mass of ounces") == ("MISTAKE", "ounce-avoirdupois")
    assert verdict_on(mark, "whole recipe") == ("FOLLOWS", "")
    assert only_loses(mark, "mass of ounces")
    assert not mark.cleared
    assert "8.9 % less lard than is wanted" in feedback_text(mark)


# Slips by name, on drawn numbers -------------------------------------------------------------------------------------

Slip = tuple[str, str, str, str, Callable[[Numbers], Fraction]]
SLIPS: list[Slip] = [
    ("old-grains", "mass", "mg", "grain-as-gram", lambda v: v["grains"] * 1000),
    ("old-grains", "mass", "mg", "grain-as-60-mg", lambda v: v["grains"] * 60),  # mistake 24
    ("old-grains", "mass", "mg", "grain-as-65-mg", lambda v: v["grains"] * 65),
    ("old-recipe", "mass of grains", "g", "grain-as-gram", lambda v: v["grains"]),
    ("old-recipe", "mass of grains", "mg", "grain-as-60-mg", lambda v: v["grains"] * 60),
    ("old-recipe", "mass of grains", "mg", "grain-as-65-mg", lambda v: v["grains"] * 65),
    ("old-recipe", "mass of drams", "g", "dram-avoirdupois", lambda v: v["drams"] * Fraction("1.7718451953125")),
    ("old-recipe", "mass of drams", "g", "dram-as-4-g", lambda v: v["drams"] * 4),
    ("old-recipe", "mass of drams", "mg", "dram-as-ounce", lambda v: v["drams"] * 480 * GRAIN),
    ("old-recipe", "mass of ounces", "g", "ounce-avoirdupois", lambda v: v["ounces"] * Fraction("28.35")),  # 24
    ("old-recipe", "mass of ounces", "g", "ounce-as-30-g", lambda v: v["ounces"] * 30),
    ("old-recipe", "mass of ounces", "mg", "ounce-as-dram", lambda v: v["ounces"] * 60 * GRAIN),
    (
        "old-recipe",
        "whole recipe",
        "mg",
        "recipe-total-without-base",
        lambda v: (v["grains"] + v["drams"] * 60) * GRAIN,
    ),
    (  # mistake 21: fluid drams for fluid ounces
        "old-fluid-ounces",
        "volume",
        "mL",
        "fluid-dram-for-ounce",
        lambda v: v["fluid_ounces"] * FLUID_OUNCE / 8,
    ),
    ("old-fluid-ounces", "volume", "mL", "fluid-ounce-as-30-ml", lambda v: v["fluid_ounces"] * 30),
    (
        "old-fluid-ounces",
        "volume",
        "mL",
        "fluid-ounce-imperial",
        lambda v: v["fluid_ounces"] * Fraction("28.4130625"),
    ),
]


@pytest.mark.parametrize(
    ("family", "label", "unit", "mistake", "number"), SLIPS, ids=[f"{slip[0]}-{slip[3]}" for slip in SLIPS]
)
def test_a_slip_in_old_units_is_named(
    family: str, label: str, unit: str, mistake: str, number: Callable[[Numbers], Fraction]
) -> None:
    """The wrong ounce, a grain read as a gram, a rule of thumb where the exact value is asked: each has its name."""
    for task in drawn_tasks(family, 25):
        mark = marked(task, **{label.replace(" ", "_"): f"{rounded(number(plain(task)))} {unit}"})
        assert verdict_on(mark, label) == ("MISTAKE", mistake), task.question_text()
        assert only_loses(mark, label)


@pytest.mark.parametrize("family", ["old-grains", "old-recipe"])
def test_the_question_says_that_the_exact_grain_is_meant(family: str) -> None:
    """Exact or rule of thumb is never left open."""
    for task in drawn_tasks(family, 10):
        assert "exact grain, 64.79891 mg, and no rule of thumb" in task.question_text()
