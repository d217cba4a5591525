"""Reading a volume: how wrong it may be, and the smallest volume to measure.

A volume is right only as far as its meniscus is read. In a narrow vessel a millimetre is little liquid, in a wide one
much; and as with a balance, the same error is a large part of a small volume.
"""

from pharmcalc.constants import HUNDRED_PERCENT
from pharmcalc.equations import PI, root
from pharmcalc.formula import Length, Percent, Volume, formula, mistake_of
from pharmcalc.units import quantity

__all__ = [
    "BURETTE_SHARE",
    "CYLINDER_SHARE",
    "SMALL_TITRANT",
    "inner_diameter_for",
    "least_measurable_volume",
    "percentage_of_volume_error",
    "reading_error",
    "smallest_titrant",
    "smallest_volume_in_cylinder",
]

CYLINDER_SHARE = quantity(20, "percent")
"""USP <1176> (from memory) and common practice: measure at least 20 % of the capacity of a cylinder."""
BURETTE_SHARE = quantity(30, "percent")
"""USP 29 <31>: the titrant is at least 30 % of the nominal volume of the burette."""
SMALL_TITRANT = quantity(10, "millilitre")
"""USP 29 <31>: for less than this, use a burette of this size or a micro-burette."""


@formula(source="usp-1176-graduates definition", symbol="volume error")
def reading_error(*, inner_diameter: Length, misreading: Length) -> Volume:
    """Return the volume error of a cylindrical vessel when the meniscus is misread.

    Formula: inner diameter × inner diameter × π ÷ 4 × misreading: the slice of liquid between the right line and the
    wrong one.

    inner_diameter: inside the vessel, where it is read, a length above zero. misreading: up or down, usually 1 mm, a
    length above zero. Returns a volume. Does not hold for conical graduates, whose diameter changes with the height.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative length.

    >>> print(reading_error.kind.show(reading_error(inner_diameter="1.18 cm", misreading="1 mm")))
    about 0.1094 mL

    Source: the geometry of a cylinder; USP <1176>, table of deviations of graduates (from memory).
    """
    return inner_diameter * inner_diameter * PI / 4 * misreading


@mistake_of(reading_error, id="diameter-as-radius")
def diameter_as_radius(*, inner_diameter: Length, misreading: Length) -> Volume:
    """The diameter was used as if it were the radius.

    The area of a circle is π times the radius squared; with the diameter, divide by 4.
    """
    return inner_diameter * inner_diameter * PI * misreading


@mistake_of(reading_error, id="misreading-tenfold")
def millimetre_as_centimetre(*, inner_diameter: Length, misreading: Length) -> Volume:
    """The millimetres of the misreading were used as centimetres.

    1 mm is 0.1 cm, and 1 mL is 1 cubic centimetre: bring all lengths to centimetres first.
    """
    return inner_diameter * inner_diameter * PI / 4 * misreading * 10


@formula(source="definition", symbol="d")
def inner_diameter_for(*, volume_error: Volume, misreading: Length) -> Length:
    """Return the inner diameter at which a misreading makes a given volume error; the inverse of :func:`reading_error`.

    Formula: square root of (volume error × 4 ÷ misreading ÷ π). A vessel must not be wider than that to keep the error.

    volume_error: above zero. misreading: a length above zero. Returns a length.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> print(inner_diameter_for.kind.show(inner_diameter_for(volume_error="0.1 mL", misreading="1 mm")))
    about 11.28 mm

    Source: the geometry of a cylinder.
    """
    return root(volume_error * 4 / misreading / PI)


@mistake_of(inner_diameter_for, id="diameter-is-radius")
def radius_given(*, volume_error: Volume, misreading: Length) -> Length:
    """The radius was given.

    The diameter is twice the radius.
    """
    return root(volume_error / misreading / PI)


@formula(source="usp-31 definition", symbol="% error")
def percentage_of_volume_error(*, volume_error: Volume, volume: Volume) -> Percent:
    """Return a volume error as a percentage of the volume that is measured.

    Formula: volume error ÷ volume × 100 %. The same error weighs more when only part of a vessel is used.

    volume_error: the limit of the vessel or a reading error, above zero. volume: what is measured, not the capacity,
    above zero. Returns a percentage. Raises RefusedError for a bare number, another kind of amount, zero or a negative
    volume.

    >>> print(percentage_of_volume_error.kind.show(percentage_of_volume_error(volume_error="0.03 mL", volume="1 mL")))
    3 %

    Source: the definition; the limits of measuring pipettes in USP 28 <31>.
    """
    return volume_error / volume * HUNDRED_PERCENT


@mistake_of(percentage_of_volume_error, id="volume-error-of-capacity")
def error_over_capacity(*, volume_error: Volume, capacity: Volume) -> Percent:
    """The error was divided by the capacity of the vessel.

    The liquid that is measured carries the whole error, so divide by the volume measured.
    """
    return volume_error / capacity * HUNDRED_PERCENT


@mistake_of(percentage_of_volume_error, id="volume-error-upside-down")
def volume_over_error(*, volume_error: Volume, volume: Volume) -> Percent:
    """The division is upside down.

    The error is a part of the volume, so the error stands above the line.
    """
    return volume / volume_error * HUNDRED_PERCENT


@mistake_of(percentage_of_volume_error, id="volume-error-not-times-100")
def volume_fraction_called_percent(*, volume_error: Volume, volume: Volume) -> Percent:
    """The fraction was written as a percentage without multiplying by 100.

    Per cent means in a hundred: 0.03 of the volume is 3 % of it.
    """
    return volume_error / volume * quantity(1, "percent")


@formula(source="usp-1176-graduates", symbol="smallest volume")
def least_measurable_volume(*, volume_error: Volume, allowed_error: Percent) -> Volume:
    """Return the smallest volume whose measuring error stays within the allowed error.

    Formula: volume error ÷ allowed error. It is the least weighable quantity, told for liquids.

    volume_error: what the vessel or the reading may be off by, above zero. allowed_error: a percentage above 0 %.
    Returns a volume.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> print(least_measurable_volume.kind.show(least_measurable_volume(volume_error="0.1 mL", allowed_error="5 %")))
    2 mL

    Source: USP <1176>, table of deviations of graduates (from memory).
    """
    return volume_error / allowed_error


@mistake_of(least_measurable_volume, id="smallest-volume-upside-down")
def error_times_allowed(*, volume_error: Volume, allowed_error: Percent) -> Volume:
    """The volume error was multiplied by the allowed error instead of divided by it.

    The stricter the allowed error, the more you must measure.
    """
    return volume_error * allowed_error


@mistake_of(least_measurable_volume, id="smallest-volume-percent-as-number")
def allowed_percent_as_number(*, volume_error: Volume, allowed_error: Percent) -> Volume:
    """The percentage was used as a plain number.

    5 % means 5 in 100, so it is 0.05 and not 5.
    """
    return volume_error / (allowed_error * 100)


@formula(source="usp-1176-graduates classroom", symbol="20 % of capacity")
def smallest_volume_in_cylinder(*, capacity: Volume) -> Volume:
    """Return the smallest volume to measure in a cylinder by the rule of thumb: a fifth of its capacity.

    Formula: capacity × 20 %. A rule of thumb; the limit of the vessel and its diameter say it better.

    capacity: a volume above zero. Returns a volume.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative volume.

    >>> print(smallest_volume_in_cylinder.kind.show(smallest_volume_in_cylinder(capacity="10 mL")))
    2 mL

    Source: USP <1176> (from memory) and common practice.
    """
    return capacity * CYLINDER_SHARE


@mistake_of(smallest_volume_in_cylinder, id="capacity-divided-by-twenty")
def capacity_over_twenty(*, capacity: Volume) -> Volume:
    """The capacity was divided by 20.

    20 % is a fifth; a twentieth is 5 %.
    """
    return capacity / 20


@formula(source="usp-31", symbol="30 % of nominal")
def smallest_titrant(*, capacity: Volume) -> Volume:
    """Return the smallest volume of titrant for a burette.

    Formula: capacity × 30 %. A second rule stands beside it: below 10 mL a 10 mL burette or a micro-burette is asked
    for.

    capacity: the nominal volume of the burette, above zero. Returns a volume.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative volume.

    >>> print(smallest_titrant.kind.show(smallest_titrant(capacity="25 mL")))
    7.5 mL

    Source: USP 29 <31>.
    """
    return capacity * BURETTE_SHARE


@mistake_of(smallest_titrant, id="capacity-divided-by-thirty")
def capacity_over_thirty(*, capacity: Volume) -> Volume:
    """The capacity was divided by 30.

    30 % is 30 in 100: multiply by 0.30.
    """
    return capacity / 30
