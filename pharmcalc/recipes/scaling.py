"""Reducing and enlarging a recipe: by its total, by parts, by percentage, to volume (q.s.), and "of each" (ana).

The factor is always what is made over what the recipe *really* makes: add the recipe up, do not guess that it is 100
or 1000. The ingredient that fills up (q.s.) is not scaled; it is the rest.
"""

from pharmcalc.conditions import alike, in_order
from pharmcalc.formula import Amount, Count, Mass, Number, Percent, Volume, formula, mistake_of
from pharmcalc.units import quantity

__all__ = [
    "amount_by_parts",
    "amount_by_percentage",
    "amount_of_each_together",
    "amount_to_fill",
    "recipe_total",
    "scaled_ingredient",
    "scaling_factor",
]


@formula(source="definition", symbol="total")
def recipe_total(*, first_ingredient: Mass, second_ingredient: Mass, third_ingredient: Mass) -> Mass:
    """Return what a recipe of three ingredients makes: their sum.

    Formula: first ingredient + second ingredient + third ingredient.

    first_ingredient, second_ingredient, third_ingredient: masses above zero; the third is mostly the base. Returns a
    mass. Raises RefusedError for a bare number, another kind of amount, zero or a negative mass. Does not add volumes:
    they may contract. For more ingredients see :class:`pharmcalc.recipes.Recipe`.

    >>> total = recipe_total(first_ingredient="6 g", second_ingredient="24 g", third_ingredient="50 g")
    >>> print(recipe_total.kind.show(total))
    80 g

    Source: the definition.
    """
    return first_ingredient + second_ingredient + third_ingredient


@mistake_of(recipe_total, id="recipe-total-guessed")
def round_total_guessed(*, usual_total: Mass) -> Mass:
    """The recipe was taken to make a round number.

    Not every recipe adds up to 100 or 1000. Add its ingredients up; their sum is what it makes.
    """
    return usual_total


@mistake_of(recipe_total, id="recipe-total-without-base")
def base_left_out_of_the_total(*, first_ingredient: Mass, second_ingredient: Mass) -> Mass:
    """The base was left out of the total.

    The base is an ingredient too, mostly the largest. The recipe makes all of them together.
    """
    return first_ingredient + second_ingredient


@formula(source="navy-pharmacy-mathematics", symbol="factor", checks=(alike("amount_made", "recipe_total"),))
def scaling_factor(*, amount_made: Amount, recipe_total: Amount) -> Number:
    """Return the factor by which every scaled ingredient of a recipe is multiplied.

    Formula: amount made ÷ recipe total. Below 1 the recipe is reduced, above 1 it is enlarged.

    amount_made, recipe_total: two masses or two volumes above zero. Returns a plain number.
    Raises RefusedError for a bare number, unlike amounts, zero or a negative value.
    Does not add the recipe up: the total is the real sum, or the volume it is made up to.

    >>> print(scaling_factor.kind.show(scaling_factor(amount_made="120 mL", recipe_total="1000 mL")))
    0.12

    Source: U.S. Navy, Hospital Corpsman, pharmacy mathematics (0.12).
    """
    return amount_made / recipe_total


@mistake_of(scaling_factor, id="factor-upside-down")
def total_over_made(*, amount_made: Amount, recipe_total: Amount) -> Number:
    """The factor is upside down.

    To make less than the recipe does, the factor is below 1: what you make stands above the line.
    """
    return recipe_total / amount_made


@formula(
    source="navy-pharmacy-mathematics rees-smith-watson",
    symbol="ingredient",
    checks=(alike("amount_made", "recipe_total"),),
)
def scaled_ingredient(*, ingredient: Amount, amount_made: Amount, recipe_total: Amount) -> Amount:
    """Return how much of an ingredient goes into a reduced or enlarged recipe.

    Formula: ingredient × (amount made ÷ recipe total).

    ingredient: in the whole recipe, a mass or a volume above zero. amount_made, recipe_total: two masses or two
    volumes, each above zero. Returns a mass or a volume, as the ingredient is. Raises RefusedError for a bare number,
    unlike amounts, or zero. Does not look at whether the balance may weigh it.

    >>> scaled = scaled_ingredient(ingredient="7.6 g", amount_made="120 mL", recipe_total="1000 mL")
    >>> print(scaled_ingredient.kind.show(scaled))
    0.912 g

    Source: U.S. Navy, Hospital Corpsman, pharmacy mathematics (0.912 g); Rees, Smith & Watson p. 104 (3.125 g).
    """
    return ingredient * (amount_made / recipe_total)


@mistake_of(scaled_ingredient, id="scaled-upside-down")
def scaled_the_wrong_way(*, ingredient: Amount, amount_made: Amount, recipe_total: Amount) -> Amount:
    """The recipe was enlarged instead of reduced, or reduced instead of enlarged.

    What you make stands above the line, what the recipe makes below it.
    """
    return ingredient * (recipe_total / amount_made)


@mistake_of(scaled_ingredient, id="scaled-from-guessed-total")
def scaled_from_a_round_total(*, ingredient: Amount, amount_made: Amount, usual_total: Amount) -> Amount:
    """The recipe was taken to make a round number.

    Not every recipe adds up to 100 or 1000. What it really makes stands below the line.
    """
    return ingredient * (amount_made / usual_total)


@formula(
    source="classroom definition",
    symbol="ingredient",
    checks=(
        in_order(
            "parts <= all_parts",
            blame="parts",
            cure="All the parts together are the sum of every ingredient's parts, this one included.",
        ),
    ),
)
def amount_by_parts(*, total: Amount, parts: Number, all_parts: Number) -> Amount:
    """Return the amount of one ingredient of a recipe in parts.

    Formula: total × (parts ÷ all parts). All the parts are the sum over every ingredient.

    total: a mass (parts by weight) or a volume (parts by volume) above zero. parts, all_parts: plain numbers above
    zero. Returns a mass or a volume, as the total is. Raises RefusedError for a bare number as total, or more parts
    than all.

    >>> print(amount_by_parts.kind.show(amount_by_parts(total="60 g", parts="3", all_parts="20")))
    9 g

    Source: the definition.
    """
    return total * (parts / all_parts)


@mistake_of(amount_by_parts, id="parts-taken-as-grams")
def parts_as_grams(*, parts: Number) -> Mass:
    """The parts were taken as grams.

    Parts only say how the total is shared. Multiply the total by these parts and divide by all the parts.
    """
    return parts * quantity(1, "gram")


@mistake_of(amount_by_parts, id="parts-taken-as-millilitres")
def parts_as_millilitres(*, parts: Number) -> Volume:
    """The parts were taken as millilitres.

    Parts only say how the total is shared. Multiply the total by these parts and divide by all the parts.
    """
    return parts * quantity(1, "millilitre")


@mistake_of(amount_by_parts, id="parts-base-of-thousand")
def parts_of_a_thousand(*, total: Amount, parts: Number) -> Amount:
    """The parts were taken to add up to 1000.

    Add up the parts that the recipe really has; that sum stands below the line.
    """
    return total * (parts / 1000)


@mistake_of(amount_by_parts, id="parts-over-the-others")
def parts_over_the_other_parts(*, total: Amount, parts: Number, all_parts: Number) -> Amount:
    """The total was divided by the parts of the other ingredients only.

    The total is shared by all the parts, this ingredient's own included.
    """
    return total * (parts / (all_parts - parts))


@mistake_of(amount_by_parts, id="parts-as-percentage")
def parts_as_a_percentage(*, total: Amount, parts: Number) -> Amount:
    """The parts were taken as a percentage.

    They are a percentage only when all the parts add up to 100.
    """
    return total * (parts / 100)


@formula(
    source="definition",
    symbol="ingredient",
    checks=(
        in_order(
            "0 % < percentage <= 100 %", blame="percentage", cure="An ingredient is a part of the whole, 100 % at most."
        ),
    ),
)
def amount_by_percentage(*, total: Amount, percentage: Percent) -> Amount:
    """Return the amount of one ingredient of a recipe in percentages (w/w of a mass, v/v of a volume).

    Formula: total × percentage. For grams in a volume (w/v) use :func:`pharmcalc.strengths.drug_for_percentage_wv`.

    total: a mass or a volume above zero. percentage: of the whole, above zero and at most 100 %. Returns a mass or a
    volume, as the total is. Raises RefusedError for a bare number, a percentage above 100 %, or one that is said to be
    w/v.

    >>> print(amount_by_percentage.kind.show(amount_by_percentage(total="60 g", percentage="12.5 %")))
    7.5 g

    Source: the definition.
    """
    return total * percentage


@mistake_of(amount_by_percentage, id="ingredient-percent-as-number")
def percentage_as_a_number(*, total: Amount, percentage: Percent) -> Amount:
    """The percentage was used as a plain number.

    5 % means 5 in 100, so it is 0.05 and not 5.
    """
    return total * percentage * 100


@formula(
    source="definition",
    symbol="q.s.",
    checks=(
        in_order(
            "all_others < total",
            blame="all_others",
            cure="The other ingredients leave no room for the one that fills up. Check the total and the recipe.",
        ),
    ),
)
def amount_to_fill(*, total: Amount, all_others: Amount) -> Amount:
    """Return the amount of the ingredient that fills a recipe up (q.s. to the total).

    Formula: total - all others. Only where all are weighed, or all volumes add up; otherwise make up *to* the volume.

    total, all_others: two masses or two volumes, the first the larger. Returns a mass or a volume, as they are.
    Raises RefusedError for a bare number, unlike amounts, or others that leave no room.
    Does not look at contraction, or at the room that dissolved solids take.

    >>> print(amount_to_fill.kind.show(amount_to_fill(total="60 g", all_others="16.5 g")))
    43.5 g

    Source: the definition.
    """
    return total - all_others


@mistake_of(amount_to_fill, id="fill-is-total")
def whole_as_the_filler(*, total: Amount) -> Amount:
    """The total was given as the amount that fills up.

    "To make" and "q.s. to" name the whole. The other ingredients are part of it; take them off.
    """
    return total


@mistake_of(amount_to_fill, id="fill-others-added")
def others_added_to_total(*, total: Amount, all_others: Amount) -> Amount:
    """The other ingredients were added to the total.

    They are inside the total, so take them off.
    """
    return total + all_others


@formula(source="definition", symbol="together", label="all of them together")
def amount_of_each_together(*, each: Amount, number_of_ingredients: Count) -> Amount:
    """Return what ingredients marked "of each" (ana, aa) weigh together.

    Formula: each × number of ingredients. "Zinc oxide, starch, of each 5 g" means 5 g of the one and 5 g of the
    other.

    each: a mass or a volume above zero. number_of_ingredients: a whole number. Returns a mass or a volume.
    Raises RefusedError for a bare number as amount, zero, or a number that is not whole.

    >>> print(amount_of_each_together.kind.show(amount_of_each_together(each="5 g", number_of_ingredients="2")))
    10 g

    Source: the definition (ana: of each).
    """
    return each * number_of_ingredients


@mistake_of(amount_of_each_together, id="ana-shared-out")
def shared_between_them(*, each: Amount) -> Amount:
    """The words "of each" were read as one amount shared between the ingredients.

    Each ingredient has the whole amount that stands behind "of each".
    """
    return each
