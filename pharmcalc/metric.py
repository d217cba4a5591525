"""Metric units: how many of one unit an amount written in another one is.

The prefixes that a weighing lab uses go in steps of a thousand: kg, g, mg, microgram; L, mL, microlitre. One step
missed, or taken the wrong way, is a dose a thousand times too large or too small.
"""

from pharmcalc.formula import Mass, Number, Volume, formula, mistake_of

__all__ = ["number_of_mass_units", "number_of_volume_units"]


@formula(source="si-prefixes", symbol="N", label="number")
def number_of_mass_units(*, amount: Mass, wanted_unit: Mass) -> Number:
    """Return how many of a unit of mass an amount is.

    Formula: amount ÷ wanted unit.

    amount: a mass above zero, in any unit. wanted_unit: one of the wanted unit, above zero, such as 1 microgram.
    Returns a plain number. Raises RefusedError for a bare number, another kind of amount, or zero.
    Does not say which unit belongs on a label: write micrograms in full.

    >>> print(number_of_mass_units.kind.show(number_of_mass_units(amount="0.25 mg", wanted_unit="1 microgram")))
    250

    Source: BIPM SI Brochure, 9th edition, table 7 (prefixes).
    """
    return amount / wanted_unit


@mistake_of(number_of_mass_units, id="metric-step-upside-down")
def step_the_wrong_way(*, amount: Mass, written_unit: Mass, wanted_unit: Mass) -> Number:
    """The step between the units was taken the wrong way.

    The smaller the unit, the larger the number: the same mass takes a thousand times as many micrograms as milligrams.
    """
    return amount / written_unit * (wanted_unit / written_unit)


@mistake_of(number_of_mass_units, id="metric-unit-not-changed")
def number_left_as_it_was(*, amount: Mass, written_unit: Mass) -> Number:
    """The number was left as it was, and only the unit was changed.

    Another unit needs another number for the same mass.
    """
    return amount / written_unit


@formula(source="si-prefixes", symbol="N", label="number")
def number_of_volume_units(*, amount: Volume, wanted_unit: Volume) -> Number:
    """Return how many of a unit of volume an amount is.

    Formula: amount ÷ wanted unit.

    amount: a volume above zero, in any unit. wanted_unit: one of the wanted unit, above zero, such as 1 mL. Returns a
    plain number. Raises RefusedError for a bare number, another kind of amount, or zero.
    Does not say how exactly the volume can be measured.

    >>> print(number_of_volume_units.kind.show(number_of_volume_units(amount="0.25 L", wanted_unit="1 mL")))
    250

    Source: BIPM SI Brochure, 9th edition, table 7 (prefixes).
    """
    return amount / wanted_unit


@mistake_of(number_of_volume_units, id="metric-volume-step-upside-down")
def volume_step_the_wrong_way(*, amount: Volume, written_unit: Volume, wanted_unit: Volume) -> Number:
    """The step between the units was taken the wrong way.

    The smaller the unit, the larger the number: the same volume takes a thousand times as many millilitres as litres.
    """
    return amount / written_unit * (wanted_unit / written_unit)


@mistake_of(number_of_volume_units, id="metric-volume-unit-not-changed")
def volume_number_left_as_it_was(*, amount: Volume, written_unit: Volume) -> Number:
    """The number was left as it was, and only the unit was changed.

    Another unit needs another number for the same volume.
    """
    return amount / written_unit
