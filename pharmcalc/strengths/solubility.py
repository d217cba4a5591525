"""Solubility in parts: "1 in R" means 1 g of solid dissolves in R mL of *solvent*. This is not a ratio strength.

A ratio strength 1:R counts R parts of the whole. Solubility counts the solvent alone, so the solution is more than R
parts: here, and only here, 1 in R makes 1 + R parts by weight.
"""

from pharmcalc.constants import HUNDRED_PERCENT, ONE_GRAM_PER_ML
from pharmcalc.formula import Mass, Number, PercentWW, Volume, formula, mistake_of

__all__ = ["largest_solute", "parts_of_solvent", "saturated_strength_ww", "solvent_to_dissolve"]


@formula(source="solubility-terms", symbol="solvent")
def solvent_to_dissolve(*, solute: Mass, parts_of_solvent: Number) -> Volume:
    """Return the least solvent that dissolves a mass, from its solubility "1 in R".

    Formula: solute × parts of solvent ÷ 1 g/mL, so R mL for each gram.

    solute: a mass above zero. parts_of_solvent: R, a plain number above zero. Returns a volume of solvent.
    Raises RefusedError for a bare number as solute, another kind of amount, zero or a negative value.
    Does not look at the temperature, at other solutes, or at how long dissolving takes.

    >>> print(solvent_to_dissolve.kind.show(solvent_to_dissolve(solute="2 g", parts_of_solvent="30")))
    60 mL

    Source: USP and Ph. Eur. general notices (parts of solvent), from memory.
    """
    return solute * parts_of_solvent / ONE_GRAM_PER_ML


@mistake_of(solvent_to_dissolve, id="solubility-as-ratio-strength")
def solubility_read_as_ratio_strength(*, solute: Mass, parts_of_solvent: Number) -> Volume:
    """1 in R was read as a ratio strength, with the solid inside the R parts.

    For solubility the R mL are solvent alone, so do not take the solid off.
    """
    return solute * (parts_of_solvent - 1) / ONE_GRAM_PER_ML


@mistake_of(solvent_to_dissolve, id="solubility-whole-solution")
def whole_solution_for_solvent(*, solute: Mass, parts_of_solvent: Number) -> Volume:
    """One part more was counted, as if the whole solution were asked for.

    The R parts are the solvent, and the solvent is what is asked for: do not add the solid.
    """
    return solute * (parts_of_solvent + 1) / ONE_GRAM_PER_ML


@mistake_of(solvent_to_dissolve, id="solubility-divided")
def solute_divided_by_parts(*, solute: Mass, parts_of_solvent: Number) -> Volume:
    """The solid was divided by the parts instead of multiplied by them.

    Each gram needs R millilitres, so there is far more solvent than solid.
    """
    return solute / parts_of_solvent / ONE_GRAM_PER_ML


@formula(source="solubility-terms", symbol="solute")
def largest_solute(*, solvent: Volume, parts_of_solvent: Number) -> Mass:
    """Return the most that dissolves in a volume of solvent; the inverse of :func:`solvent_to_dissolve`.

    Formula: solvent ÷ parts of solvent × 1 g/mL.

    solvent: a volume above zero. parts_of_solvent: R, a plain number above zero. Returns a mass.
    Raises RefusedError for a bare number as solvent, another kind of amount, zero or a negative value.
    Does not look at the temperature or at other solutes.

    >>> print(largest_solute.kind.show(largest_solute(solvent="60 mL", parts_of_solvent="30")))
    2 g

    Source: USP and Ph. Eur. general notices (parts of solvent), from memory.
    """
    return solvent / parts_of_solvent * ONE_GRAM_PER_ML


@mistake_of(largest_solute, id="solute-in-the-whole")
def solute_with_one_part_more(*, solvent: Volume, parts_of_solvent: Number) -> Mass:
    """The volume was divided by R + 1.

    R parts are solvent, and the volume given is solvent: divide by R. R + 1 would belong to the whole solution.
    """
    return solvent / (parts_of_solvent + 1) * ONE_GRAM_PER_ML


@formula(source="solubility-terms", symbol="R")
def parts_of_solvent(*, solute: Mass, solvent: Volume) -> Number:
    """Return the R of "1 in R" when a mass just dissolves in a volume of solvent.

    Formula: solvent × 1 g/mL ÷ solute.

    solute: a mass above zero. solvent: a volume above zero. Returns a plain number.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value.
    Does not look at the temperature.

    >>> print(parts_of_solvent.kind.show(parts_of_solvent(solute="2 g", solvent="60 mL")))
    30

    Source: USP and Ph. Eur. general notices (parts of solvent), from memory.
    """
    return solvent * ONE_GRAM_PER_ML / solute


@mistake_of(parts_of_solvent, id="solubility-upside-down")
def solute_over_solvent(*, solute: Mass, solvent: Volume) -> Number:
    """The solid was divided by the solvent.

    "1 in R" says how many millilitres one gram needs: the solvent stands above the line.
    """
    return solute / (solvent * ONE_GRAM_PER_ML)


@formula(source="solubility-terms", symbol="% w/w")
def saturated_strength_ww(*, parts_of_solvent: Number, specific_gravity_of_solvent: Number) -> PercentWW:
    """Return the percentage w/w of the solution when 1 g is dissolved in R mL of solvent.

    Formula: 1 ÷ (1 + parts of solvent × specific gravity of the solvent) × 100 %.

    parts_of_solvent: R, a plain number above zero. specific_gravity_of_solvent: 1 for water, above zero. Returns a
    percentage w/w. Raises RefusedError for an amount with a unit, zero or a negative number. Does not give the strength
    w/v: for that the volume of the solution must be known.

    >>> found = saturated_strength_ww(parts_of_solvent="3", specific_gravity_of_solvent="1")
    >>> print(saturated_strength_ww.kind.show(found))
    25 % w/w

    Source: the definition; USP and Ph. Eur. general notices (parts of solvent), from memory.
    """
    return 1 / (parts_of_solvent * specific_gravity_of_solvent + 1) * HUNDRED_PERCENT


@mistake_of(saturated_strength_ww, id="saturated-as-ratio-strength")
def one_in_r_of_the_whole(*, parts_of_solvent: Number) -> PercentWW:
    """1 in R was read as a ratio strength.

    The R parts are solvent alone. The whole solution is 1 part and R parts, so divide by R + 1.
    """
    return 1 / parts_of_solvent * HUNDRED_PERCENT


@mistake_of(saturated_strength_ww, id="saturated-solvent-by-volume")
def solvent_not_weighed(*, parts_of_solvent: Number) -> PercentWW:
    """The millilitres of solvent were taken as grams.

    A percentage w/w compares masses: multiply the millilitres by the specific gravity of the solvent.
    """
    return 1 / (parts_of_solvent + 1) * HUNDRED_PERCENT
