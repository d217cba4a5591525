"""Tasks about old units, for reading old recipes only: grains, drams, ounces and fluid ounces into metric units."""

from fractions import Fraction

from pharmcalc.formula import Values
from pharmcalc.language import later, say
from pharmcalc.recipes import (
    grains_in_mass,
    mass_of_apothecary_drams,
    mass_of_apothecary_ounces,
    mass_of_grains,
    recipe_total,
    volume_of_fluid_ounces,
)
from pharmcalc.tasks.consequences import compared, first_wrong
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Asked, Drawn, Family, Proof, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import quantity

__all__: list[str] = []

_DRUGS = (
    later("camphor"),
    later("menthol"),
    later("borax"),
    later("benzoic acid"),
    later("sodium bicarbonate"),
    later("tannic acid"),
    later("thymol"),
    later("alum"),
)
_SECOND = (
    later("sulfur"),
    later("zinc oxide"),
    later("calamine"),
    later("starch"),
    later("salicylic acid"),
    later("resorcinol"),
)
_BASES = (
    later("lard"),
    later("wool fat"),
    later("yellow soft paraffin"),
    later("simple ointment"),
    later("white beeswax"),
)
_SYRUPS = (
    later("orange syrup"),
    later("simple syrup"),
    later("rose water"),
    later("glycerol"),
    later("lime water"),
    later("peppermint water"),
)
_EXACT_GRAIN = "64.79891 mg"


def _number(text: str) -> Fraction:
    """Return a number written as in old recipes: ``1 1/2``."""
    return sum((Fraction(part) for part in text.split()), Fraction(0))


def _read_consequence(task: Task, values: Values) -> str:
    """Say how far the first amount that was misread is from the one the recipe means."""
    name = first_wrong(task, values)
    what = task.drawn.words.get(name, "ointment")
    said = compared(values[name], task.values[name], what) if name else ""
    return say("Read like this, the recipe would get {said}.", said=said) if said else ""


# Grains --------------------------------------------------------------------------------------------------------------


def _draw_grains(dice: Dice, house: HouseRules) -> Drawn:
    written = dice.pick(("1/8", "1/3", "1/2", "3/4", "1 1/2", "3", "4", "5", "6", "7 1/2", "8", "10", "12", "15"))
    return Drawn({"grains": quantity(_number(written))}, {"written": written, "mass_of_grains": dice.pick(_DRUGS)})


register(
    Family(
        id="old-grains",
        title="Grains in an old recipe",
        subject="old units",
        text=(
            "In an old recipe stands: {mass_of_grains}, gr {written}. (The sign gr means grains.) Use the exact grain, "
            f"{_EXACT_GRAIN}, and no rule of thumb.\n\n"
            "How many milligrams are that?"
        ),
        draw=_draw_grains,
        asked=(
            Asked(mass_of_grains, metric=True, label="mass", aliases=("mass of grains", "milligrams", "mg", "grains")),
        ),
        proof=Proof(grains_in_mass, {"mass": "mass_of_grains"}),
        consequence=_read_consequence,
    )
)


# Fluid ounces --------------------------------------------------------------------------------------------------------


def _draw_fluid(dice: Dice, house: HouseRules) -> Drawn:
    written = dice.pick(("1 1/2", "2", "2 1/2", "3", "4", "5", "6", "8", "10", "12"))
    said = {"written": written, "volume_of_fluid_ounces": dice.pick(_SYRUPS)}
    return Drawn({"fluid_ounces": quantity(_number(written))}, said)


register(
    Family(
        id="old-fluid-ounces",
        title="Fluid ounces in an old recipe",
        subject="old units",
        text=(
            "An old American recipe asks for {written} fluid ounces of {volume_of_fluid_ounces}. A US fluid ounce is "
            "231/128 cubic inches, and an inch is 2.54 cm: that makes 29.57353 mL. Use no rule of thumb.\n\n"
            "How many millilitres are that?"
        ),
        draw=_draw_fluid,
        asked=(Asked(volume_of_fluid_ounces, metric=True, label="volume", aliases=("millilitres", "mL", "liquid")),),
        consequence=_read_consequence,
    )
)


# A whole recipe ------------------------------------------------------------------------------------------------------


def _draw_recipe(dice: Dice, house: HouseRules) -> Drawn:
    ounces = dice.pick(("1 1/2", "2", "2 1/2", "3", "4", "6"))
    return Drawn(
        {
            "grains": quantity(dice.pick((5, 6, 8, 10, 12, 15, 30, 40, 45))),
            "drams": quantity(dice.between(2, 7)),
            "ounces": quantity(_number(ounces)),
        },
        {
            "written": ounces,
            "first_ingredient": dice.pick(_DRUGS),
            "second_ingredient": dice.pick(_SECOND),
            "third_ingredient": dice.pick(_BASES),
        },
    )


register(
    Family(
        id="old-recipe",
        title="An old recipe in apothecaries' weight",
        subject="old units",
        level=2,
        text=(
            "An old ointment recipe, in apothecaries' weight, asks for {grains} grains of {first_ingredient}, {drams} "
            "drams of {second_ingredient} and {written} ounces of {third_ingredient}. Use the exact grain, "
            f"{_EXACT_GRAIN}, and no rule of thumb.\n\n"
            "What is each of the three in grams or milligrams? And what does the whole recipe weigh?"
        ),
        draw=_draw_recipe,
        asked=(
            Asked(
                mass_of_grains,
                metric=True,
                called="first_ingredient",
                label="mass of grains",
                aliases=("grains", "gr", "first ingredient"),
            ),
            Asked(
                mass_of_apothecary_drams,
                metric=True,
                called="second_ingredient",
                label="mass of drams",
                aliases=("drams", "dr", "second ingredient"),
            ),
            Asked(
                mass_of_apothecary_ounces,
                metric=True,
                called="third_ingredient",
                label="mass of ounces",
                aliases=("ounces", "oz", "third ingredient"),
            ),
            Asked(recipe_total, label="whole recipe", aliases=("total", "recipe total", "sum")),
        ),
        consequence=_read_consequence,
    )
)
