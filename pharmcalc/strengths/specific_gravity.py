"""Specific gravity: how many times heavier a liquid is than the same volume of water, and what follows from it.

A specific gravity has no unit. With 1 mL of water as 1 g it is the number of the density in g/mL. It changes with the
temperature: US sources mostly state it at 25 °C, others at 20 °C, so compare like with like.
"""

from pharmcalc.conditions import in_order
from pharmcalc.constants import ONE_GRAM_PER_ML
from pharmcalc.formula import Mass, Number, Volume, formula, mistake_of
from pharmcalc.strengths.conversions import mass_of_volume

__all__ = ["specific_gravity", "specific_gravity_by_pycnometer", "volume_of_mass"]


@formula(source="army-md0802", symbol="sp gr")
def specific_gravity(*, mass: Mass, volume: Volume) -> Number:
    """Return the specific gravity of a liquid from its mass and volume.

    Formula: mass ÷ (volume × 1 g/mL).

    mass, volume: of the same liquid, above zero. Returns a plain number.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value.
    Does not look at the temperature.

    >>> print(specific_gravity.kind.show(specific_gravity(mass="8.5 g", volume="10 mL")))
    0.85

    Source: U.S. Army Medical Department, MD0802 (0.85).
    """
    return mass / (volume * ONE_GRAM_PER_ML)


@mistake_of(specific_gravity, id="specific-gravity-upside-down")
def volume_over_mass(*, mass: Mass, volume: Volume) -> Number:
    """The volume was divided by the mass.

    A liquid lighter than water has a specific gravity below 1: mass above the line.
    """
    return volume * ONE_GRAM_PER_ML / mass


@formula(
    source="definition",
    symbol="sp gr",
    checks=(
        in_order(
            "empty < with_liquid",
            blame="with_liquid",
            cure="The filled pycnometer weighs more than the empty one. Check which reading is which.",
        ),
        in_order(
            "empty < with_water",
            blame="with_water",
            cure="The filled pycnometer weighs more than the empty one. Check which reading is which.",
        ),
    ),
)
def specific_gravity_by_pycnometer(*, empty: Mass, with_liquid: Mass, with_water: Mass) -> Number:
    """Return the specific gravity of a liquid from three weighings of one pycnometer.

    Formula: (with liquid - empty) ÷ (with water - empty). The volume of the pycnometer is not needed.

    empty, with_liquid, with_water: masses above zero, the filled ones the larger. Returns a plain number.
    Raises RefusedError for a bare number, another kind of amount, or a filled one that weighs no more than the empty.
    Does not look at the temperature, at bubbles, or at the buoyancy of the air.

    >>> found = specific_gravity_by_pycnometer(empty="21.6 g", with_liquid="42.1 g", with_water="46.6 g")
    >>> print(specific_gravity_by_pycnometer.kind.show(found))
    0.82

    Source: the definition (equal volumes of liquid and water).
    """
    return (with_liquid - empty) / (with_water - empty)


@mistake_of(specific_gravity_by_pycnometer, id="pycnometer-not-tared")
def pycnometer_weighed_too(*, with_liquid: Mass, with_water: Mass) -> Number:
    """The mass of the pycnometer was left in.

    Only the liquids are compared: take the empty pycnometer off both readings.
    """
    return with_liquid / with_water


@mistake_of(specific_gravity_by_pycnometer, id="pycnometer-tared-once")
def pycnometer_taken_off_once(*, empty: Mass, with_liquid: Mass, with_water: Mass) -> Number:
    """The empty pycnometer was taken off the liquid only.

    It is in both readings, so take it off both.
    """
    return (with_liquid - empty) / with_water


@mistake_of(specific_gravity_by_pycnometer, id="pycnometer-upside-down")
def water_over_liquid(*, empty: Mass, with_liquid: Mass, with_water: Mass) -> Number:
    """The water was divided by the liquid.

    Water is what everything is compared with, so it stands below the line.
    """
    return (with_water - empty) / (with_liquid - empty)


@formula(source="army-md0802", symbol="V")
def volume_of_mass(*, mass: Mass, specific_gravity: Number) -> Volume:
    """Return the volume of a mass of liquid; the inverse of :func:`pharmcalc.strengths.mass_of_volume`.

    Formula: mass ÷ (specific gravity × 1 g/mL). Divide for the volume, multiply for the mass.

    mass: above zero. specific_gravity: a plain number above zero, for example 1.25. Returns a volume.
    Raises RefusedError for a bare number as mass, another kind of amount, zero or a negative value.
    Does not look at the temperature.

    >>> print(volume_of_mass.kind.show(volume_of_mass(mass="45 g", specific_gravity="1.25")))
    36 mL

    Source: U.S. Army Medical Department, MD0802 (36 mL).
    """
    return mass / (specific_gravity * ONE_GRAM_PER_ML)


@mistake_of(volume_of_mass, id="mass-times-specific-gravity")
def mass_times_specific_gravity(*, mass: Mass, specific_gravity: Number) -> Volume:
    """The mass was multiplied by the specific gravity instead of divided by it.

    1 mL of a liquid weighs as many grams as its specific gravity says, so a mass is divided by it.
    """
    return mass * specific_gravity / ONE_GRAM_PER_ML


@mistake_of(volume_of_mass, id="grams-as-millilitres")
def grams_taken_as_millilitres(*, mass: Mass) -> Volume:
    """The grams were taken as millilitres.

    That is right for water only. Divide by the specific gravity.
    """
    return mass / ONE_GRAM_PER_ML


@mistake_of(mass_of_volume, id="millilitres-as-grams")
def millilitres_taken_as_grams(*, volume: Volume) -> Mass:
    """The millilitres were taken as grams.

    That is right for water only. Multiply by the specific gravity.
    """
    return volume * ONE_GRAM_PER_ML
