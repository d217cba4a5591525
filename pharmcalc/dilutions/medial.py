"""Alligation medial: the strength of a mixture of known amounts of known strengths.

Each part brings strength × amount of drug; the mixture's strength is all the drug over all the amounts. A vehicle or
diluent is a part of strength 0 %, and its amount counts.
"""

from collections.abc import Iterable

from pharmcalc.conditions import alike, volumes_for_wv
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Amount, StrengthOrNone, formula, mistake_of
from pharmcalc.kinds import AMOUNT, STRENGTH, STRENGTH_OR_NONE, Kind, one_basis
from pharmcalc.units import Quantity

__all__ = ["medial", "strength_of_three", "strength_of_two"]

_TWO = (
    alike("first_strength", "second_strength"),
    alike("first_amount", "second_amount"),
    volumes_for_wv("first_strength", "first_amount"),
)
_THREE = (
    alike("first_strength", "second_strength", "third_strength"),
    alike("first_amount", "second_amount", "third_amount"),
    volumes_for_wv("first_strength", "first_amount"),
)


@formula(source="classroom", symbol="C", checks=_TWO)
def strength_of_two(
    *, first_strength: StrengthOrNone, first_amount: Amount, second_strength: StrengthOrNone, second_amount: Amount
) -> StrengthOrNone:
    """Return the strength of a mixture of two preparations.

    Formula: (first strength × first amount + second strength × second amount) ÷ (first amount + second amount).

    first_strength, second_strength: on one basis, 0 % for a diluent. first_amount, second_amount: two masses or two
    volumes above zero. Returns a strength. Raises RefusedError for a bare number, unlike amounts or unlike strengths.
    Does not look at contraction: volumes are taken as additive.

    >>> mixed = strength_of_two(first_strength="2 %", first_amount="5 mL", second_strength="4 %", second_amount="10 mL")
    >>> print(strength_of_two.kind.show(mixed))
    about 3.333 %

    Source: common classroom practice (3.33 %).
    """
    return (first_strength * first_amount + second_strength * second_amount) / (first_amount + second_amount)


@mistake_of(strength_of_two, id="medial-plain-mean")
def plain_mean_of_two(*, first_strength: StrengthOrNone, second_strength: StrengthOrNone) -> StrengthOrNone:
    """The strengths were averaged without looking at the amounts.

    The larger amount brings more drug and counts for more: multiply each strength by its amount first.
    """
    return (first_strength + second_strength) / 2


@mistake_of(strength_of_two, id="medial-strengths-added")
def strengths_added(*, first_strength: StrengthOrNone, second_strength: StrengthOrNone) -> StrengthOrNone:
    """The strengths were added.

    The drug adds up, but so do the amounts: a mixture is never stronger than its strongest part.
    """
    return first_strength + second_strength


@formula(source="classroom", symbol="C", checks=_THREE)
def strength_of_three(
    *,
    first_strength: StrengthOrNone,
    first_amount: Amount,
    second_strength: StrengthOrNone,
    second_amount: Amount,
    third_strength: StrengthOrNone,
    third_amount: Amount,
) -> StrengthOrNone:
    """Return the strength of a mixture of three preparations; the third may be the vehicle, 0 %.

    Formula: (first strength × first amount + second strength × second amount + third strength × third amount) ÷
    (first amount + second amount + third amount).

    first_strength, second_strength, third_strength: on one basis, 0 % for a diluent. first_amount, second_amount,
    third_amount: masses or volumes above zero, all of one kind. Returns a strength.
    Raises RefusedError for a bare number, unlike amounts or unlike strengths. Does not look at contraction.

    >>> mixed = strength_of_three(
    ...     first_strength="35 %", first_amount="110 mL", second_strength="25 %", second_amount="220 mL",
    ...     third_strength="20 %", third_amount="330 mL",
    ... )
    >>> print(strength_of_three.kind.show(mixed))
    about 24.17 %

    Source: common classroom practice (24.17 %).
    """
    return (first_strength * first_amount + second_strength * second_amount + third_strength * third_amount) / (
        first_amount + second_amount + third_amount
    )


@mistake_of(strength_of_three, id="medial-plain-mean-of-three")
def plain_mean_of_three(
    *, first_strength: StrengthOrNone, second_strength: StrengthOrNone, third_strength: StrengthOrNone
) -> StrengthOrNone:
    """The strengths were averaged without looking at the amounts.

    The larger amount brings more drug and counts for more: multiply each strength by its amount first.
    """
    return (first_strength + second_strength + third_strength) / 3


@mistake_of(strength_of_three, id="medial-vehicle-left-out")
def vehicle_left_out(
    *,
    first_strength: StrengthOrNone,
    first_amount: Amount,
    second_strength: StrengthOrNone,
    second_amount: Amount,
    third_strength: StrengthOrNone,
    third_amount: Amount,
) -> StrengthOrNone:
    """The amount of the third part was left out of the total.

    All the amounts stand below the line. A vehicle brings no drug, but it is part of the mixture as well.
    """
    return (first_strength * first_amount + second_strength * second_amount + third_strength * third_amount) / (
        first_amount + second_amount
    )


def medial(parts: Iterable[tuple[Quantity | str, Quantity | str]]) -> Quantity:
    """Return the strength of a mixture of any number of parts, each a strength and an amount.

    Formula: sum of (strength × amount) ÷ sum of the amounts.

    parts: pairs such as ``("35 %", "110 mL")``; strengths on one basis, 0 % for a vehicle; amounts all masses or all
    volumes, above zero. Returns a strength. Raises RefusedError for no parts, a bare number, unlike amounts or unlike
    strengths. Does not look at contraction: volumes are taken as additive.

    >>> mixed = medial([("12 %", "200 mL"), ("18 %", "150 mL"), ("25 %", "250 mL")])
    >>> print(STRENGTH_OR_NONE.show(mixed))
    about 18.92 %

    Source: common classroom practice (18.92 %).
    """
    kinds: dict[str, Kind] = {}
    given: dict[str, Quantity | str] = {}
    values: dict[str, Quantity] = {}
    for number, (strength, amount) in enumerate(parts, 1):
        for name, kind, value in (("strength", STRENGTH_OR_NONE, strength), ("amount", AMOUNT, amount)):
            kinds[f"{name}_{number}"], given[f"{name}_{number}"] = kind, value
            values[f"{name}_{number}"] = kind.check(f"medial: {name} {number}", value)
    if not values:
        raise RefusedError("medial", "there is nothing to mix.", 'Write the parts, for example [("35 %", "110 mL")].')
    one_basis("medial", kinds, given)
    strengths = [name for name in values if name.startswith("strength")]
    amounts = [name for name in values if name.startswith("amount")]
    for check in (alike(*strengths), alike(*amounts), volumes_for_wv(strengths[0], amounts[0])):
        check("medial", kinds, values)
    first, *others = (values[s] * values[a] for s, a in zip(strengths, amounts, strict=True))
    whole, *rest = (values[name] for name in amounts)
    mixed = sum(others, first) / sum(rest, whole)
    return mixed.to("percent" if mixed.dimensionless else STRENGTH.units[1])
