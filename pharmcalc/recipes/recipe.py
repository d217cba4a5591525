"""A whole recipe, made larger or smaller at once, with every ingredient accounted for.

A recipe states what it makes. Either its ingredients add up to that, or one of them fills up (q.s.). A recipe that
adds up to something else is refused: scaling from a guessed total (100 or 1000) is a common mistake.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import AMOUNT, NUMBER, PERCENT
from pharmcalc.recipes.scaling import amount_by_parts, amount_by_percentage, scaled_ingredient
from pharmcalc.rounding import round_to_step
from pharmcalc.units import Quantity, quantity

__all__ = ["FILLS_UP", "Recipe", "of_each"]

FILLS_UP = "q.s."
"""Written instead of an amount: this ingredient fills the recipe up to its total."""
Amounts = Mapping[str, Quantity | str]


def of_each(amount: Quantity | str, *names: str) -> dict[str, Quantity]:
    """Return the same amount for each of several ingredients ("of each", ana).

    >>> {name: AMOUNT.show(amount) for name, amount in of_each("5 g", "zinc oxide", "starch").items()}
    {'zinc oxide': '5 g', 'starch': '5 g'}
    """
    if not names:
        raise RefusedError(
            "of each", "names no ingredient.", 'Write, for example, of_each("5 g", "zinc oxide", "starch").'
        )
    return dict.fromkeys(names, AMOUNT.check("of each", amount))


@dataclass(frozen=True)
class Recipe:
    """What a recipe makes, what goes into it, and which ingredient fills up (``fills_up`` is empty where none does).

    Make one with :meth:`of`, :meth:`by_parts` or :meth:`by_percentage`.
    """

    total: Quantity
    amounts: Mapping[str, Quantity]
    fills_up: str = ""

    @classmethod
    def of(cls, amounts: Amounts, *, total: Quantity | str | None = None) -> "Recipe":
        """Return a recipe from amounts; ``"q.s."`` marks the ingredient that fills up to ``total``.

        Without a total the amounts are added up. Raises RefusedError where they do not add up to the total, or where
        masses and volumes are mixed and nothing fills up.

        >>> recipe = Recipe.of({"calamine": "4 g", "zinc oxide": "4 g", "paraffin": "q.s."}, total="50 g")
        >>> recipe.lines()
        ['calamine: 4 g', 'zinc oxide: 4 g', 'paraffin: 42 g, to make 50 g']
        """
        filling = [name for name, amount in amounts.items() if _fills_up(amount)]
        if len(filling) > 1:
            raise RefusedError("recipe", f"{' and '.join(filling)} cannot both fill up.", "Say all amounts but one.")
        known = {name: AMOUNT.check(f"recipe: {name}", value) for name, value in amounts.items() if name not in filling}
        if not known:
            raise RefusedError("recipe", "has no amounts.", 'Write, for example, {"zinc oxide": "5 g", "base": "q.s."}')
        whole = None if total is None else AMOUNT.check("recipe: total", total)
        together = _sum_of([*known.values(), *([] if whole is None else [whole * 0])])
        if filling:
            return cls(_room_for(filling[0], whole, together), known, filling[0])
        return cls(_agreed(whole, together), known)

    @classmethod
    def by_parts(cls, parts: Mapping[str, Quantity | str | int], *, total: Quantity | str) -> "Recipe":
        """Return a recipe of a total from parts by weight (or by volume).

        >>> Recipe.by_parts({"zinc oxide": 3, "petrolatum": 17}, total="60 g").lines()
        ['zinc oxide: 9 g', 'petrolatum: 51 g']
        """
        whole = AMOUNT.check("recipe: total", total)
        numbers = {
            name: NUMBER.check(f"recipe: {name}", quantity(part) if isinstance(part, int) else part)
            for name, part in parts.items()
        }
        if not numbers:
            raise RefusedError("recipe", "has no parts.", 'Write, for example, {"zinc oxide": 3, "petrolatum": 17}.')
        together = sum(numbers.values(), quantity(0))
        amounts = {name: amount_by_parts(total=whole, parts=part, all_parts=together) for name, part in numbers.items()}
        return cls(whole, amounts)

    @classmethod
    def by_percentage(cls, percentages: Amounts, *, total: Quantity | str) -> "Recipe":
        """Return a recipe of a total from percentages (w/w of a mass, v/v of a volume); ``"q.s."`` fills up to 100 %.

        >>> Recipe.by_percentage({"coal tar": "2 %", "zinc oxide": "10 %", "paraffin": "q.s."}, total="50 g").lines()
        ['coal tar: 1 g', 'zinc oxide: 5 g', 'paraffin: 44 g, to make 50 g']
        """
        whole = AMOUNT.check("recipe: total", total)
        amounts: dict[str, Quantity | str] = {}
        for name, percentage in percentages.items():
            if _fills_up(percentage):
                amounts[name] = FILLS_UP
            else:
                part = PERCENT.check(f"recipe: {name}", percentage)
                amounts[name] = amount_by_percentage(total=whole, percentage=part).to(_unit(whole))
        return cls.of(amounts, total=whole)

    @property
    def amount_that_fills_up(self) -> Quantity | None:
        """The amount of the ingredient that fills up; ``None`` where it can only be made up *to* the total."""
        others = _sum_of([*self.amounts.values(), self.total * 0])
        return self.total - others if self.fills_up and others is not None else None

    def scaled_to(self, total: Quantity | str) -> "Recipe":
        """Return this recipe made larger or smaller; the ingredient that fills up is not scaled, it is the rest.

        >>> recipe = Recipe.of({"potassium bicarbonate": "7.6 g", "alcohol": "30 mL", "water": "q.s."}, total="1000 mL")
        >>> recipe.scaled_to("120 mL").lines()
        ['potassium bicarbonate: 0.912 g', 'alcohol: 3.6 mL', 'water: to 120 mL']
        """
        made = AMOUNT.check("recipe: total", total)
        amounts = {
            name: scaled_ingredient(ingredient=amount, amount_made=made, recipe_total=self.total)
            for name, amount in self.amounts.items()
        }
        return Recipe(made, amounts, self.fills_up)

    def rounded(self, step: Quantity | str, *, ties: str = "half up") -> dict[str, Quantity]:
        """Return each amount rounded to a step; the sum may then differ from the total, so look at it.

        Only amounts of the step's kind are rounded (grams by a step in grams). ``ties`` is ``"half up"`` or ``"half
        even"``.
        """
        by = AMOUNT.check("recipe: step", step)
        return {
            name: round_to_step(amount, by, ties) if amount.dimensionality == by.dimensionality else amount
            for name, amount in self.amounts.items()
        }

    def lines(self) -> list[str]:
        """Return the recipe as it is written out: each ingredient with its amount, and what fills up."""
        written = [f"{name}: {AMOUNT.show(amount)}" for name, amount in self.amounts.items()]
        rest, whole = self.amount_that_fills_up, AMOUNT.show(self.total)
        if rest is not None:
            written.append(f"{self.fills_up}: {AMOUNT.show(rest)}, to make {whole}")
        elif self.fills_up:
            written.append(f"{self.fills_up}: to {whole}")
        return written


def _fills_up(amount: Quantity | str) -> bool:
    return isinstance(amount, str) and amount == FILLS_UP


def _sum_of(amounts: list[Quantity]) -> Quantity | None:
    """Return the sum of amounts of one kind; ``None`` where masses and volumes are mixed."""
    first, *others = amounts
    if any(amount.dimensionality != first.dimensionality for amount in others):
        return None
    return sum(others, first)


def _room_for(filler: str, total: Quantity | None, others: Quantity | None) -> Quantity:
    """Return the total of a recipe in which one ingredient fills up."""
    if total is None:
        raise RefusedError("recipe", f"{filler} fills up, but the total is not said.", 'Add total="100 mL".')
    if others is not None and others >= total:
        raise RefusedError(
            "recipe: total",
            f"must be more than the other ingredients ({AMOUNT.show(others)}); it was {AMOUNT.show(total)}.",
            f"There is no room for {filler}. Check the amounts.",
        )
    return total


def _agreed(total: Quantity | None, together: Quantity | None) -> Quantity:
    """Return the total of a recipe in which nothing fills up: what the ingredients add up to."""
    if together is None:
        raise RefusedError(
            "recipe",
            "mixes masses and volumes, so it cannot be added up.",
            'Say which ingredient fills up with "q.s.", and the total.',
        )
    if total is not None and together != total:
        raise RefusedError(
            "recipe: total",
            f"must be what the ingredients add up to ({AMOUNT.show(together)}); it was {AMOUNT.show(total)}.",
            'Leave the total out to have it added up, or mark the ingredient that fills up with "q.s.".',
        )
    return together


def _unit(amount: Quantity) -> str:
    return "gram" if amount.is_compatible_with("gram") else "millilitre"
