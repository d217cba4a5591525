"""Tasks about recipes: making one smaller, a recipe in parts, and one that says "of each"."""

from pharmcalc.formula import Values
from pharmcalc.kinds import MASS
from pharmcalc.language import later, say
from pharmcalc.recipes import amount_by_parts, amount_of_each_together, amount_to_fill, recipe_total, scaled_ingredient
from pharmcalc.tasks.consequences import compared, first_wrong
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import Asked, Drawn, Family, Proof, Task, register
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import quantity

__all__: list[str] = []

_ACTIVES = (
    later("salicylic acid"),
    later("sulfur"),
    later("coal tar"),
    later("resorcinol"),
    later("menthol"),
    later("camphor"),
    later("urea"),
    later("benzoic acid"),
)
_POWDERS = (
    later("zinc oxide"),
    later("starch"),
    later("talc"),
    later("calamine"),
    later("kaolin"),
    later("magnesium oxide"),
    later("bentonite"),
    later("rice powder"),
)
_BASES = (
    later("white soft paraffin"),
    later("yellow soft paraffin"),
    later("wool fat"),
    later("emulsifying ointment"),
    later("simple ointment"),
)


# Reducing a recipe ---------------------------------------------------------------------------------------------------


def _draw_reduce(dice: Dice, house: HouseRules) -> Drawn:
    first, second = quantity(dice.between(3, 18), "g"), quantity(dice.between(10, 40, 2), "g")
    base = quantity(dice.pick((42, 48, 55, 64, 72, 90, 110, 125)), "g")
    return Drawn(
        {
            "first_ingredient": first,
            "second_ingredient": second,
            "third_ingredient": base,
            "ingredient": first,
            "amount_made": quantity(dice.pick((15, 20, 25, 30, 40, 50)), "g"),
            "usual_total": quantity(100, "g"),
        },
        {"first": dice.pick(_ACTIVES), "second": dice.pick(_POWDERS), "base": dice.pick(_BASES)},
    )


def _holds_consequence(task: Task, values: Values) -> str:
    name = task.amounts[-1].name
    said = compared(values[name], task.values[name], task.drawn.words["first"])
    return say("What you make would hold {said}.", said=said) if said else ""


register(
    Family(
        id="reduce-recipe",
        title="A recipe made smaller",
        subject="recipes",
        level=2,
        text=(
            "A recipe says: {first_ingredient} of {first}, {second_ingredient} of {second} and {third_ingredient} of "
            "{base}. You are to make only {amount_made} of this ointment.\n\n"
            "How much does the whole recipe make? And how much {first} goes into your {amount_made}?"
        ),
        draw=_draw_reduce,
        asked=(
            Asked(recipe_total, label="whole recipe", aliases=("total", "recipe total", "sum")),
            Asked(
                scaled_ingredient,
                label="first ingredient",
                aliases=("ingredient", "first", "scaled ingredient", *_ACTIVES),
            ),
        ),
        proof=Proof(
            scaled_ingredient,
            {"ingredient": "scaled_ingredient", "amount_made": "recipe_total", "recipe_total": "amount_made"},
        ),
        consequence=_holds_consequence,
    )
)


def _draw_parts(dice: Dice, house: HouseRules) -> Drawn:
    parts, second = dice.between(2, 8), dice.between(2, 12)
    base = dice.between(10, 45)
    return Drawn(
        {
            "parts": quantity(parts),
            "second_parts": quantity(second),
            "third_parts": quantity(base),
            "all_parts": quantity(parts + second + base),
            "total": quantity(dice.pick((20, 25, 30, 50, 60, 75, 80, 120, 150, 200, 250)), "g"),
        },
        {"first": dice.pick(_ACTIVES), "second": dice.pick(_POWDERS), "base": dice.pick(_BASES)},
    )


register(
    Family(
        id="recipe-in-parts",
        title="A recipe in parts",
        subject="recipes",
        text=(
            "An ointment is made of {parts} parts of {first}, {second_parts} parts of {second} and {third_parts} parts "
            "of {base}, all by weight. You are to make {total} of it.\n\n"
            "How much {first} do you weigh?"
        ),
        draw=_draw_parts,
        asked=(
            Asked(
                amount_by_parts,
                label="first ingredient",
                aliases=("ingredient", "first", *_ACTIVES),
            ),
        ),
        consequence=_holds_consequence,
    )
)


# Of each -------------------------------------------------------------------------------------------------------------


def _draw_each(dice: Dice, house: HouseRules) -> Drawn:
    each = dice.between(4, 25)
    total = quantity(dice.pick([whole for whole in (50, 60, 75, 80, 100, 120, 150) if whole > 4 * each]), "g")
    names = dice.shuffled(_POWDERS)
    return Drawn(
        {"each": quantity(each, "g"), "number_of_ingredients": quantity(3), "total": total},
        {"first": names[0], "second": names[1], "third": names[2], "base": dice.pick(_BASES)},
    )


def _each_consequence(task: Task, values: Values) -> str:
    if first_wrong(task, values) == "all_others":
        said = compared(values["all_others"], task.values["all_others"], later("powder"))
        return say("The preparation would hold {said}.", said=said) if said else ""
    made = values["all_others"] + values["amount_to_fill"]
    if not compared(made, task.values["total"], later("ointment")):
        return ""
    return say(
        "The recipe would make {made} and not {total}, so every strength would be wrong.",
        made=MASS.show(made),
        total=task.shown("total"),
    )


register(
    Family(
        id="each-of-three",
        title='A recipe that says "of each"',
        subject="recipes",
        level=2,
        text=(
            "A recipe says: {first}, {second}, {third}, of each {each}; {base} to make {total}.\n\n"
            "What do the three powders weigh together? And how much {base} makes it up to {total}?"
        ),
        draw=_draw_each,
        asked=(
            Asked(
                amount_of_each_together,
                called="all_others",
                label="mass of the powders",
                aliases=("powders", "together", "powders together", "three powders", "sum"),
            ),
            Asked(amount_to_fill, label="base", aliases=("base to fill up", "rest", "fill", *_BASES)),
        ),
        proof=Proof(amount_to_fill, {"all_others": "amount_to_fill"}),
        consequence=_each_consequence,
    )
)
