"""Reading an old recipe: rules of thumb, each by its name, and the traps of the old words.

Three conventions for the grain live side by side: the exact 64.79891 mg, 65 mg and 60 mg. Which one a table used
cannot be seen from its numbers alone, so a rule of thumb is always named, and its distance from the exact value is
always said.
"""

from dataclasses import dataclass
from fractions import Fraction

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import AMOUNT, PERCENT
from pharmcalc.sources import Source, source
from pharmcalc.units import Quantity, quantity, quotient

__all__ = ["RULES_OF_THUMB", "TRAPS", "ByRule", "Meaning", "RuleOfThumb", "Trap", "by_rule_of_thumb"]


@dataclass(frozen=True)
class RuleOfThumb:
    """A rounded value for one old unit, by its name.

    ``unit`` is the exact unit, ``counts_as`` what the rule makes of it.
    """

    name: str
    unit: Quantity
    counts_as: Quantity
    source: Source


@dataclass(frozen=True)
class ByRule:
    """An amount converted by a rule of thumb, the exact value beside it, and how far the rule is off."""

    rule: RuleOfThumb
    amount: Quantity
    exact: Quantity

    @property
    def deviation(self) -> Quantity:
        """How far the rule is from the exact value, in per cent of it; below zero means too little."""
        return ((self.amount - self.exact) / self.exact).to("percent")

    def says(self) -> str:
        """Return the conversion in words, with the rule named."""
        off = self.deviation
        word = "less" if off.magnitude < 0 else "more"
        return (
            f"{AMOUNT.show(self.amount)} by the rule of thumb {self.rule.name}; exactly it is "
            f"{AMOUNT.show(self.exact)}, so the rule gives {PERCENT.show(abs(off))} {word}."
        )


RULES_OF_THUMB = {
    rule.name: rule
    for rule in (
        RuleOfThumb(
            "60 mg a grain",
            quantity(1, "grain"),
            quantity(60, "milligram"),
            source("navy-pharmacy-mathematics"),
        ),
        RuleOfThumb(
            "65 mg a grain",
            quantity(1, "grain"),
            quantity(65, "milligram"),
            source("navy-pharmacy-mathematics"),
        ),
        RuleOfThumb("4 g a dram", quantity(1, "apothecary_dram"), quantity(4, "gram"), source("classroom")),
        RuleOfThumb("30 g an ounce", quantity(1, "apothecary_ounce"), quantity(30, "gram"), source("classroom")),
        RuleOfThumb("454 g a pound", quantity(1, "avoirdupois_pound"), quantity(454, "gram"), source("army-md0802")),
        RuleOfThumb(
            "30 mL a fluid ounce", quantity(1, "us_fluid_ounce"), quantity(30, "millilitre"), source("classroom")
        ),
        RuleOfThumb("4 mL a fluid dram", quantity(1, "us_fluid_dram"), quantity(4, "millilitre"), source("classroom")),
    )
}
"""Every rule of thumb known here, by its name."""


def by_rule_of_thumb(amount: Quantity | str, rule: str) -> ByRule:
    """Return an amount in old units converted by a rule of thumb that is named, with the exact value beside it.

    Formula: amount ÷ exact unit × what the rule counts it as.

    amount: a mass or a volume, for example 5 gr. rule: a name of ``RULES_OF_THUMB``. Returns a :class:`ByRule`.
    Raises RefusedError for an unknown rule (they are listed), a bare number, or grains by a rule for ounces of
    liquid.

    >>> by_rule_of_thumb("5 gr", "65 mg a grain").says()
    '325 mg by the rule of thumb 65 mg a grain; exactly it is about 324 mg, so the rule gives about 0.3103 % more.'

    Source: U.S. Navy, Hospital Corpsman, pharmacy mathematics (60 and 65 mg a grain).
    """
    known = RULES_OF_THUMB.get(rule)
    if known is None:
        raise RefusedError("rule of thumb", f'"{rule}" is not one.', f"There are: {', '.join(RULES_OF_THUMB)}.")
    value = AMOUNT.check("rule of thumb: amount", amount)
    if value.dimensionality != known.unit.dimensionality:
        raise RefusedError(
            "rule of thumb: amount",
            f"must be {'a mass' if known.unit.is_compatible_with('gram') else 'a volume'} for {rule}; "
            f"it was {AMOUNT.show(value)}.",
            "An ounce weighs, a fluid ounce measures. Use the rule for this unit.",
        )
    times: Fraction = quotient(value, known.unit)
    metric = "milligram" if value.is_compatible_with("gram") else "millilitre"
    return ByRule(known, known.counts_as * times, value.to(metric))


@dataclass(frozen=True)
class Meaning:
    """One thing that an old word can mean, and exactly how much it is."""

    name: str
    amount: Quantity


@dataclass(frozen=True)
class Trap:
    """An old word or sign that is misread: what it can mean, and what to do about it."""

    written: str
    meanings: tuple[Meaning, ...]
    advice: str

    @property
    def times(self) -> Fraction:
        """How many times the largest meaning is the smallest; 1 where they are not of one kind."""
        amounts = [meaning.amount for meaning in self.meanings]
        if any(amount.dimensionality != amounts[0].dimensionality for amount in amounts):
            return Fraction(1)
        sizes = sorted(amount.to_base_units().magnitude for amount in amounts)
        return sizes[-1] / sizes[0]


TRAPS = (
    Trap(
        "gr",
        (Meaning("grain", quantity(1, "grain")), Meaning("gram", quantity(1, "gram"))),
        "gr is grain and g is gram. Ask when a dose would differ 15 times.",
    ),
    Trap(
        "ounce",
        (
            Meaning("apothecaries' ounce, of old recipes", quantity(1, "apothecary_ounce")),
            Meaning("avoirdupois ounce, of trade", quantity(1, "avoirdupois_ounce")),
            Meaning("US fluid ounce, a volume", quantity(1, "us_fluid_ounce")),
        ),
        "Old recipes weigh in apothecaries' ounces and measure in fluid ounces; trade weighs in avoirdupois ounces.",
    ),
    Trap(
        "pound",
        (
            Meaning("apothecaries' pound, 12 ounces", quantity(1, "apothecary_pound")),
            Meaning("avoirdupois pound, 16 ounces", quantity(1, "avoirdupois_pound")),
        ),
        "Goods are sold by the avoirdupois pound; an old recipe may mean the lighter apothecaries' pound.",
    ),
    Trap(
        "dram",
        (
            Meaning("apothecaries' dram", quantity(1, "apothecary_dram")),
            Meaning("avoirdupois dram", quantity(Fraction(7000, 256), "grain")),
            Meaning("US fluid dram, a volume", quantity(1, "us_fluid_dram")),
        ),
        "In a recipe it is the apothecaries' dram of 60 grains; of a liquid, the fluid dram.",
    ),
    Trap(
        "the signs of dram and ounce",
        (
            Meaning("dram", quantity(1, "apothecary_dram")),
            Meaning("ounce", quantity(1, "apothecary_ounce")),
        ),
        "The two signs differ by one stroke and by 8 times. Write the word out.",
    ),
    Trap(
        "fluid ounce",
        (
            Meaning("US fluid ounce", quantity(1, "us_fluid_ounce")),
            Meaning("imperial fluid ounce", quantity(1, "imperial_fluid_ounce")),
        ),
        "Ask which country the recipe comes from: the imperial gallon (4.54609 L) has 160 of its own fluid ounces.",
    ),
    Trap(
        "minim",
        (
            Meaning("US minim", quantity(1, "us_minim")),
            Meaning("a drop, as it is often taken", quantity("0.05", "millilitre")),
        ),
        "A minim is a measured volume. Drops differ with the liquid and the dropper.",
    ),
)
"""The traps of old recipes (source "imperial-measures" for the imperial measures, "nist-units" for the others)."""
