"""Alligation alternate: how much of which preparations makes a wanted strength; with three or more, every way.

With two preparations there is one answer. With three or more there are endlessly many, and none is *the* answer:
every one of them is a blend of pairings, each of one preparation above the wanted strength with one below it. That is
the whole family, and :class:`Alligation` holds it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm

from pharmcalc.conditions import alike, in_order, volumes_for_wv
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Amount, Mass, Strength, StrengthOrNone, Volume, formula, mistake_of
from pharmcalc.kinds import AMOUNT, STRENGTH, STRENGTH_OR_NONE, one_basis
from pharmcalc.units import Quantity, quantity

__all__ = ["Alligation", "alternate", "rest_of_mixture", "stronger_in_mixture", "weaker_in_mixture"]

Parts = Mapping[str, Fraction | int]
ONE_PERCENT, ONE_GRAM, ONE_ML = quantity(1, "percent"), quantity(1, "gram"), quantity(1, "millilitre")
_BETWEEN = (
    in_order(
        "weaker_strength < wanted_strength < stronger_strength",
        blame="wanted_strength",
        cure="Mixing two preparations only gives a strength between them. Use another one, a diluent or pure drug.",
    ),
    volumes_for_wv("wanted_strength", "total"),
)


@formula(source="army-md0802 classroom", symbol="stronger", checks=_BETWEEN)
def stronger_in_mixture(
    *, total: Amount, weaker_strength: StrengthOrNone, wanted_strength: Strength, stronger_strength: Strength
) -> Amount:
    """Return the stronger of two preparations in a total of a wanted strength (alligation alternate).

    Formula: total × (wanted strength - weaker strength) ÷ (stronger strength - weaker strength).

    total: a mass or a volume above zero. weaker_strength, wanted_strength, stronger_strength: on one basis, rising in
    this order; 0 % for a diluent. Returns a mass or a volume, as the total is. Raises RefusedError for a bare number,
    strengths on different bases, or a wanted strength that is not between the two. Does not look at contraction: make
    up to volume.

    >>> strong = stronger_in_mixture(
    ...     total="100 g", weaker_strength="0.1 %", wanted_strength="0.2 %", stronger_strength="0.5 %"
    ... )
    >>> print(stronger_in_mixture.kind.show(strong))
    25 g

    Source: U.S. Army Medical Department, MD0802 (6.06 g of coal tar); common classroom practice (25 g and 75 g).
    """
    return total * ((wanted_strength - weaker_strength) / (stronger_strength - weaker_strength))


@mistake_of(stronger_in_mixture, id="alligation-crossed")
def parts_crossed(
    *, total: Amount, weaker_strength: StrengthOrNone, wanted_strength: Strength, stronger_strength: Strength
) -> Amount:
    """The two parts were swapped: the stronger one got the part that belongs to the weaker one.

    The parts of the stronger preparation are the wanted strength less the weaker one. The closer you want to come
    to the stronger one, the more of it you need.
    """
    return total * ((stronger_strength - wanted_strength) / (stronger_strength - weaker_strength))


@mistake_of(stronger_in_mixture, id="alligation-parts-as-grams")
def parts_taken_as_grams(*, weaker_strength: StrengthOrNone, wanted_strength: Strength) -> Mass:
    """The parts were taken as grams.

    Parts only say how the total is shared. Multiply the total by the parts of this one and divide by all the parts.
    """
    return (wanted_strength - weaker_strength) / ONE_PERCENT * ONE_GRAM


@mistake_of(stronger_in_mixture, id="alligation-parts-as-millilitres")
def parts_taken_as_millilitres(*, weaker_strength: StrengthOrNone, wanted_strength: Strength) -> Volume:
    """The parts were taken as millilitres.

    Parts only say how the total is shared. Multiply the total by the parts of this one and divide by all the parts.
    """
    return (wanted_strength - weaker_strength) / ONE_PERCENT * ONE_ML


@mistake_of(stronger_in_mixture, id="alligation-parts-as-percentage")
def difference_of_the_total(*, total: Amount, weaker_strength: StrengthOrNone, wanted_strength: Strength) -> Amount:
    """The difference of the strengths was taken as a percentage of the total.

    That would be right only for pure drug in a plain base. Divide by the difference of the two preparations.
    """
    return total * (wanted_strength - weaker_strength)


@formula(source="army-md0802 classroom", symbol="weaker", checks=_BETWEEN)
def weaker_in_mixture(
    *, total: Amount, weaker_strength: StrengthOrNone, wanted_strength: Strength, stronger_strength: Strength
) -> Amount:
    """Return the weaker of two preparations (or the diluent) in a total of a wanted strength.

    Formula: total × (stronger strength - wanted strength) ÷ (stronger strength - weaker strength).

    total: a mass or a volume above zero. weaker_strength, wanted_strength, stronger_strength: on one basis, rising in
    this order; 0 % for a diluent. Returns a mass or a volume, as the total is. Raises RefusedError for a bare number,
    strengths on different bases, or a wanted strength that is not between the two. Does not look at contraction: make
    up to volume.

    >>> weak = weaker_in_mixture(
    ...     total="100 g", weaker_strength="0.1 %", wanted_strength="0.2 %", stronger_strength="0.5 %"
    ... )
    >>> print(weaker_in_mixture.kind.show(weak))
    75 g

    Source: U.S. Army Medical Department, MD0802 (193.94 g of ointment); common classroom practice (25 g and 75 g).
    """
    return total * ((stronger_strength - wanted_strength) / (stronger_strength - weaker_strength))


@mistake_of(weaker_in_mixture, id="alligation-crossed-weaker")
def weaker_parts_crossed(
    *, total: Amount, weaker_strength: StrengthOrNone, wanted_strength: Strength, stronger_strength: Strength
) -> Amount:
    """The two parts were swapped: the weaker one got the part that belongs to the stronger one.

    The parts of the weaker preparation are the stronger strength less the wanted one.
    """
    return total * ((wanted_strength - weaker_strength) / (stronger_strength - weaker_strength))


@mistake_of(weaker_in_mixture, id="alligation-weaker-parts-as-grams")
def weaker_parts_taken_as_grams(*, wanted_strength: Strength, stronger_strength: Strength) -> Mass:
    """The parts were taken as grams.

    Parts only say how the total is shared. Multiply the total by the parts of this one and divide by all the parts.
    """
    return (stronger_strength - wanted_strength) / ONE_PERCENT * ONE_GRAM


@mistake_of(weaker_in_mixture, id="alligation-weaker-parts-as-millilitres")
def weaker_parts_taken_as_millilitres(*, wanted_strength: Strength, stronger_strength: Strength) -> Volume:
    """The parts were taken as millilitres.

    Parts only say how the total is shared. Multiply the total by the parts of this one and divide by all the parts.
    """
    return (stronger_strength - wanted_strength) / ONE_PERCENT * ONE_ML


@formula(
    source="definition",
    symbol="rest",
    checks=(
        in_order(
            "stronger_amount < total",
            blame="stronger_amount",
            cure="The total is the stronger and the weaker one together. Check which amount is which.",
        ),
    ),
)
def rest_of_mixture(*, total: Amount, stronger_amount: Amount) -> Amount:
    """Return the weaker one of two preparations (or the base) as the rest of a total.

    Formula: total - stronger amount. The same as :func:`weaker_in_mixture`, when the stronger one is known already.

    total, stronger_amount: two masses or two volumes, the second the smaller. Returns a mass or a volume, as they
    are. Raises RefusedError for a bare number, unlike amounts, or a total that leaves no rest.
    Does not look at contraction: make up to volume.

    >>> print(rest_of_mixture.kind.show(rest_of_mixture(total="100 g", stronger_amount="25 g")))
    75 g

    Source: the definition (the total is both together).
    """
    return total - stronger_amount


@mistake_of(rest_of_mixture, id="rest-is-total")
def total_as_the_rest(*, total: Amount) -> Amount:
    """The total was given as the weaker one.

    The stronger one is already part of the total; take it off.
    """
    return total


@mistake_of(rest_of_mixture, id="rest-stronger-added")
def stronger_added_to_total(*, total: Amount, stronger_amount: Amount) -> Amount:
    """The stronger one was added to the total.

    The total is both together, so take the stronger one off.
    """
    return total + stronger_amount


@mistake_of(rest_of_mixture, id="rest-parts-as-grams")
def parts_of_the_rest_as_grams(*, wanted_strength: Strength, stronger_strength: Strength) -> Mass:
    """The parts were taken as grams.

    Parts only say how the total is shared. Both amounts together must make the total.
    """
    return (stronger_strength - wanted_strength) / ONE_PERCENT * ONE_GRAM


@mistake_of(rest_of_mixture, id="rest-parts-as-millilitres")
def parts_of_the_rest_as_millilitres(*, wanted_strength: Strength, stronger_strength: Strength) -> Volume:
    """The parts were taken as millilitres.

    Parts only say how the total is shared. Both amounts together must make the total.
    """
    return (stronger_strength - wanted_strength) / ONE_PERCENT * ONE_ML


@dataclass(frozen=True)
class Alligation:
    """Every way to mix preparations into a wanted strength.

    ``pairings`` are the simplest ways: one preparation above the wanted strength with one below it (or one alone that
    has just that strength), as smallest whole parts. Every other way is a blend of these, and every blend of these is
    right.
    """

    strengths: Mapping[str, Quantity]
    wanted: Quantity
    pairings: tuple[Mapping[str, int], ...]

    @property
    def only_one(self) -> bool:
        """Say whether there is just one way; otherwise there are endlessly many."""
        return len(self.pairings) == 1

    def solves(self, parts: Parts) -> bool:
        """Say whether these parts give the wanted strength exactly; parts that are not named are none.

        >>> family = alternate({"alcohol 95 %": "95 %", "alcohol 50 %": "50 %", "water": "0 %"}, wanted="70 %")
        >>> family.solves({"alcohol 95 %": 4, "alcohol 50 %": 5}), family.solves({"alcohol 95 %": 5, "water": 4})
        (True, False)
        """
        self._known(parts)
        numbers = [Fraction(part) for part in parts.values()]
        if any(number < 0 for number in numbers) or not any(numbers):
            return False
        missing = [(self.strengths[name] - self.wanted) * Fraction(part) for name, part in parts.items()]
        first, *others = missing
        return bool(sum(others, first).magnitude == 0)

    def blend(self, weights: Sequence[Fraction | int]) -> dict[str, Fraction]:
        """Return one right answer, as shares of the total: a blend of the pairings with these weights.

        ``weights`` has one number for each pairing, none below zero and not all zero; only their proportion counts.
        """
        numbers = [Fraction(weight) for weight in weights]
        if len(numbers) != len(self.pairings) or any(number < 0 for number in numbers) or not any(numbers):
            raise RefusedError(
                "alligation: weights",
                f"must be {len(self.pairings)} numbers, one for each pairing, none below zero and not all zero.",
                f"Write, for example, {[1] * len(self.pairings)}.",
            )
        shares = dict.fromkeys(self.strengths, Fraction(0))
        for weight, pairing in zip(numbers, self.pairings, strict=True):
            for name, part in pairing.items():
                shares[name] += weight / sum(numbers) * Fraction(part, sum(pairing.values()))
        return shares

    def with_every_one(self) -> dict[str, int]:
        """Return the textbook answer that uses every preparation it can: each pairing once, parts added up."""
        parts = dict.fromkeys(self.strengths, Fraction(0))
        for pairing in self.pairings:
            for name, part in pairing.items():
                parts[name] += part
        return _whole(parts)

    def share_range(self, name: str) -> tuple[Fraction, Fraction]:
        """Return the smallest and the largest share of the total that one preparation can have in any right answer."""
        self._known({name: 1})
        shares = [Fraction(pairing.get(name, 0), sum(pairing.values())) for pairing in self.pairings]
        return min(shares), max(shares)

    def amounts(self, total: Quantity | str, parts: Parts | None = None) -> dict[str, Quantity]:
        """Return the amount of each preparation in a total, for these parts (by default each pairing once).

        >>> family = alternate({"0.5 % cream": "0.5 %", "0.1 % cream": "0.1 %"}, wanted="0.2 %")
        >>> {name: AMOUNT.show(amount) for name, amount in family.amounts("100 g").items()}
        {'0.5 % cream': '25 g', '0.1 % cream': '75 g'}
        """
        whole = AMOUNT.check("alligation: total", total)
        taken = self.with_every_one() if parts is None else parts
        if not self.solves(taken):
            raise RefusedError(
                "alligation: parts",
                f"these parts do not give {STRENGTH.show(self.wanted)}.",
                f"Use a pairing, for example {_said(self.pairings[0])}, or a blend of pairings.",
            )
        together = sum(Fraction(part) for part in taken.values())
        return {name: whole * (Fraction(part) / together) for name, part in taken.items() if part}

    def says(self) -> str:
        """Return the whole family of answers in plain words."""
        lines = "; ".join(_said(pairing) for pairing in self.pairings)
        if self.only_one:
            return f"There is one answer, in parts: {lines}."
        return (
            f"There are endlessly many answers. The simplest, in parts: {lines}. "
            "Any mixture of these mixtures is right too, and there is no other."
        )

    def _known(self, parts: Parts) -> None:
        for name in parts:
            if name not in self.strengths:
                raise RefusedError(
                    "alligation",
                    f'"{name}" is not one of the preparations.',
                    f"They are called {', '.join(self.strengths)}.",
                )


def alternate(strengths: Mapping[str, Quantity | str], *, wanted: Quantity | str) -> Alligation:
    """Return every way to mix preparations of these strengths into a wanted strength (alligation alternate).

    Formula: parts of the stronger = wanted - weaker; parts of the weaker = stronger - wanted, for each pairing of one
    above with one below. All right answers together form a flat figure whose corners are these pairings, so every
    answer is a blend of them.

    strengths: the strength of each preparation by its name, at least two, on one basis; 0 % for a diluent, 100 % for
    pure drug. wanted: the strength to make. Returns an :class:`Alligation`. Raises RefusedError for fewer than two,
    strengths on different bases, or a wanted strength outside their range. Does not look at contraction, stock at
    hand or what can be weighed.

    >>> family = alternate({"95 %": "95 %", "50 %": "50 %"}, wanted="70 %")
    >>> family.says()
    'There is one answer, in parts: 4 of 95 % and 5 of 50 %.'
    >>> len(alternate({"95 %": "95 %", "50 %": "50 %", "water": "0 %"}, wanted="70 %").pairings)
    2

    Source: common classroom practice (4 : 5); U.S. Army Medical Department, MD0802.
    """
    if len(strengths) < 2:
        raise RefusedError(
            "alligation", "needs at least two preparations.", 'Name them, for example {"95 %": "95 %", "water": "0 %"}.'
        )
    checked = {name: STRENGTH_OR_NONE.check(f"alligation: {name}", value) for name, value in strengths.items()}
    target = STRENGTH_OR_NONE.check("alligation: wanted", wanted)
    given = {**strengths, "the wanted strength": wanted}
    one_basis("alligation", dict.fromkeys(given, STRENGTH_OR_NONE), given)
    every = {**checked, "wanted": target} if "wanted" not in checked else {**checked, "the wanted strength": target}
    alike(*every)("alligation", dict.fromkeys(every, STRENGTH_OR_NONE), every)
    _inside(checked, target)
    above = {name: value for name, value in checked.items() if value > target}
    below = {name: value for name, value in checked.items() if value < target}
    alone = [{name: 1} for name, value in checked.items() if value == target]
    pairings = [
        _whole({high: _number(target - weak), low: _number(strong - target)})
        for high, strong in above.items()
        for low, weak in below.items()
    ]
    return Alligation(checked, target, (*alone, *pairings))


def _inside(strengths: Mapping[str, Quantity], target: Quantity) -> None:
    weakest = min(strengths, key=lambda name: _number(strengths[name]))
    strongest = max(strengths, key=lambda name: _number(strengths[name]))
    if strengths[weakest] <= target <= strengths[strongest]:
        return
    show = STRENGTH_OR_NONE.show
    raise RefusedError(
        "alligation: wanted",
        f"must lie between {weakest} ({show(strengths[weakest])}) and {strongest} ({show(strengths[strongest])}); "
        f"it was {show(target)}.",
        "No mixture of these is stronger than its strongest or weaker than its weakest part. "
        + ("Add a stronger preparation or pure drug." if target > strengths[strongest] else "Add a diluent."),
    )


def _number(value: Quantity) -> Fraction:
    number: Fraction = value.to_base_units().magnitude
    return number


def _whole(parts: Mapping[str, Fraction]) -> dict[str, int]:
    """Return parts as the smallest whole numbers in the same proportion."""
    below = lcm(*(Fraction(part).denominator for part in parts.values()))
    numbers = {name: int(part * below) for name, part in parts.items()}
    shared = gcd(*numbers.values())
    return {name: number // shared for name, number in numbers.items()}


def _said(parts: Parts) -> str:
    return " and ".join(f"{part} of {name}" for name, part in parts.items())
