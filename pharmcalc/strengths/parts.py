"""Strengths in parts: parts of drug and parts of diluent, and parts per billion for traces."""

from pharmcalc.constants import HUNDRED_PERCENT, ONE_PERCENT_WV
from pharmcalc.formula import Number, PercentWV, Ppb, Strength, formula, mistake_of
from pharmcalc.units import quantity

__all__ = ["parts_per_billion", "percentage_from_parts_per_billion", "strength_from_parts"]

TEN_MILLION_PPB = quantity(10_000_000, "part_per_billion_in_volume")


@formula(source="definition", symbol="%")
def strength_from_parts(*, parts_of_drug: Number, parts_of_diluent: Number) -> Strength:
    """Return the strength of a mixture that is described in parts of drug and parts of diluent.

    Formula: parts of drug ÷ (parts of drug + parts of diluent) × 100 %.

    parts_of_drug, parts_of_diluent: plain numbers above zero, both by weight or both by volume. Returns a percentage.
    Raises RefusedError for an amount with a unit, zero or a negative number.

    >>> print(strength_from_parts.kind.show(strength_from_parts(parts_of_drug="3", parts_of_diluent="17")))
    15 %

    Source: the definition.
    """
    return parts_of_drug / (parts_of_drug + parts_of_diluent) * HUNDRED_PERCENT


@mistake_of(strength_from_parts, id="parts-over-diluent")
def parts_over_the_diluent(*, parts_of_drug: Number, parts_of_diluent: Number) -> Strength:
    """The parts of drug were divided by the parts of diluent alone.

    A strength is a part of the whole, and the drug is part of that whole: add both below the line.
    """
    return parts_of_drug / parts_of_diluent * HUNDRED_PERCENT


@formula(source="definition", symbol="ppb")
def parts_per_billion(*, strength: PercentWV) -> Ppb:
    """Return a strength w/v in parts per billion: grams in 1 000 000 000 mL, or nanograms in 1 mL.

    Formula: strength ÷ 1 % w/v × 10 000 000 ppb. A billion is 1000 million here.

    strength: w/v, for example 0.5 ppm w/v or 0.000001 % w/v, above zero. Returns ppb. Raises RefusedError for a bare
    number, another kind of amount, zero or a negative value.

    >>> print(parts_per_billion.kind.show(parts_per_billion(strength="0.5 ppm w/v")))
    500 ppb w/v

    Source: the definition.
    """
    return strength / ONE_PERCENT_WV * TEN_MILLION_PPB


@mistake_of(parts_per_billion, id="ppb-as-ppm")
def million_for_billion(*, strength: PercentWV) -> Ppb:
    """Parts per million were given as parts per billion.

    A billion is a thousand million, so there are 1000 times as many parts per billion.
    """
    return strength / ONE_PERCENT_WV * TEN_MILLION_PPB / 1000


@mistake_of(parts_per_billion, id="ppb-per-hundred-forgotten")
def billion_without_hundred(*, strength: PercentWV) -> Ppb:
    """The number of the percentage was multiplied by a billion.

    The percentage already counts in hundreds: 1 % is 10 million ppb.
    """
    return strength / ONE_PERCENT_WV * TEN_MILLION_PPB * 100


@formula(source="definition", symbol="%")
def percentage_from_parts_per_billion(*, concentration: Ppb) -> PercentWV:
    """Return parts per billion w/v as a percentage w/v; the inverse of :func:`parts_per_billion`.

    Formula: concentration ÷ 10 000 000 ppb × 1 % w/v.

    concentration: for example 15 ppb, above zero. Returns a percentage w/v. Raises RefusedError for a bare number,
    another kind of amount, zero or a negative value.

    >>> print(percentage_from_parts_per_billion.kind.show(percentage_from_parts_per_billion(concentration="15 ppb")))
    0.0000015 % w/v

    Source: the definition.
    """
    return concentration / TEN_MILLION_PPB * ONE_PERCENT_WV


@mistake_of(percentage_from_parts_per_billion, id="percentage-from-ppb-as-ppm")
def billion_read_as_million(*, concentration: Ppb) -> PercentWV:
    """The parts per billion were read as parts per million.

    A billion is a thousand million, so the strength is 1000 times smaller.
    """
    return concentration / TEN_MILLION_PPB * ONE_PERCENT_WV * 1000
