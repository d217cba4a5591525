"""Capsules and moulds: the room a powder takes, the capsule that holds it, and the filler for what is left.

Powders are weighed, but a capsule is filled by volume: the bulk density leads from one to the other. Round the
capsule size *up*, never the volume down, and round only at the end: a volume rounded early can move the filler by
several per cent.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from pharmcalc.constants import ONE_GRAM_PER_ML
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Count, Density, Mass, Number, Values, Volume, formula, mistake_of
from pharmcalc.kinds import MASS, VOLUME, Kind
from pharmcalc.units import Quantity, quantity

__all__ = [
    "CAPSULE_SIZES",
    "CapsuleSize",
    "base_for_moulds",
    "capsule_for",
    "fill_mass",
    "fill_volume",
    "filler_for_capsule",
]


@dataclass(frozen=True)
class CapsuleSize:
    """A capsule size and the powder that its body holds."""

    name: str
    volume: Quantity


CAPSULE_SIZES = tuple(
    CapsuleSize(name, quantity(volume, "millilitre"))
    for name, volume in (
        ("5", "0.13"),
        ("4", "0.20"),
        ("3", "0.27"),
        ("2", "0.37"),
        ("1", "0.48"),
        ("0", "0.67"),
        ("00", "0.95"),
        ("000", "1.36"),
    )
)
"""Commonly tabled body volumes, smallest first, FROM MEMORY (source "capsule-sizes"); only size 1, 0.48 mL, stands in a
published check. Makers differ by some hundredths of a millilitre: use your maker's figures at the bench."""


def _drug_leaves_room(where: str, kinds: Mapping[str, Kind], values: Values) -> None:
    taken = values["drug"] / values["drug_density"]
    if taken >= values["capsule_volume"]:
        raise RefusedError(
            f"{where}: capsule_volume",
            f"must be more than the drug alone takes ({VOLUME.show(taken.to('millilitre'))}); "
            f"it was {VOLUME.show(values['capsule_volume'])}.",
            "Take a larger capsule, or share the dose between two capsules.",
        )


def _drug_leaves_base(where: str, kinds: Mapping[str, Kind], values: Values) -> None:
    displaced = values["drug_per_unit"] / values["displacement_value"]
    if displaced >= values["mould"]:
        raise RefusedError(
            f"{where}: mould",
            f"must be more than the base that the drug displaces ({MASS.show(displaced)}); "
            f"it was {MASS.show(values['mould'])}.",
            "Take a larger mould, or share the dose between two units.",
        )


@formula(source="classroom", symbol="V")
def fill_volume(*, powder: Mass, bulk_density: Density) -> Volume:
    """Return the volume that a mass of powder takes.

    Formula: powder ÷ bulk density.

    powder: a mass above zero. bulk_density: of the powder as it is filled, for example 0.75 g/mL, above zero. Returns a
    volume. Raises RefusedError for a bare number, another kind of amount, zero or a negative value. Does not look at
    how hard the powder is tamped: measure the density the way you fill.

    >>> print(fill_volume.kind.show(fill_volume(powder="350 mg", bulk_density="0.75 g/mL")))
    about 0.4667 mL

    Source: common classroom practice (0.47 mL).
    """
    return powder / bulk_density


@mistake_of(fill_volume, id="fill-volume-times-density")
def mass_times_density(*, powder: Mass, bulk_density: Density) -> Volume:
    """The mass was multiplied by the bulk density instead of divided by it.

    A loose powder of 0.75 g/mL takes more millilitres than it weighs grams.
    """
    return powder * bulk_density / ONE_GRAM_PER_ML / ONE_GRAM_PER_ML


@mistake_of(fill_volume, id="fill-volume-as-grams")
def grams_as_millilitres_of_powder(*, powder: Mass) -> Volume:
    """The grams were taken as millilitres.

    That is right only for a density of 1 g/mL. Divide by the bulk density.
    """
    return powder / ONE_GRAM_PER_ML


@formula(source="classroom", symbol="m")
def fill_mass(*, capsule_volume: Volume, bulk_density: Density) -> Mass:
    """Return the mass of powder that fills a capsule; the inverse of :func:`fill_volume`.

    Formula: capsule volume × bulk density.

    capsule_volume: above zero. bulk_density: of the powder as it is filled, for example 0.75 g/mL, above zero. Returns
    a mass. Raises RefusedError for a bare number, another kind of amount, zero or a negative value. Does not look at
    how hard the powder is tamped.

    >>> print(fill_mass.kind.show(fill_mass(capsule_volume="0.48 mL", bulk_density="0.75 g/mL")))
    360 mg

    Source: the definition of the bulk density; common classroom practice.
    """
    return capsule_volume * bulk_density


@mistake_of(fill_mass, id="fill-mass-divided")
def volume_over_density(*, capsule_volume: Volume, bulk_density: Density) -> Mass:
    """The volume was divided by the bulk density instead of multiplied by it.

    A loose powder of 0.75 g/mL weighs fewer grams than it takes millilitres.
    """
    return capsule_volume / bulk_density * ONE_GRAM_PER_ML * ONE_GRAM_PER_ML


@formula(source="classroom", symbol="filler", checks=(_drug_leaves_room,))
def filler_for_capsule(*, capsule_volume: Volume, drug: Mass, drug_density: Density, filler_density: Density) -> Mass:
    """Return the filler that takes the room which the drug leaves in a capsule.

    Formula: (capsule volume - drug ÷ drug density) × filler density. Do not round the volumes on the way.

    capsule_volume: of the body, above zero. drug: in one capsule, a mass above zero. drug_density, filler_density: bulk
    densities, each above zero. Returns a mass. Raises RefusedError for a bare number, another kind of amount, or a
    capsule that is too small. Does not look at how the powders settle into each other.

    >>> filler = filler_for_capsule(
    ...     capsule_volume="0.48 mL", drug="325 mg", drug_density="0.75 g/mL", filler_density="0.80 g/mL"
    ... )
    >>> print(filler_for_capsule.kind.show(filler))
    about 37.33 mg

    Source: common classroom practice (37.3 mg exactly; 40 mg where the volumes were rounded first).
    """
    return (capsule_volume - drug / drug_density) * filler_density


@mistake_of(filler_for_capsule, id="filler-with-drug-density")
def filler_weighed_like_drug(*, capsule_volume: Volume, drug: Mass, drug_density: Density) -> Mass:
    """The density of the drug was used for the filler too.

    The room that is left is filled with filler, so its own density turns the volume into a mass.
    """
    return (capsule_volume - drug / drug_density) * drug_density


@mistake_of(filler_for_capsule, id="filler-with-filler-density")
def drug_room_by_filler_density(*, capsule_volume: Volume, drug: Mass, filler_density: Density) -> Mass:
    """The mass of the drug was taken off the mass of a capsule full of filler.

    The drug takes room by its own density. Take off volumes, not masses.
    """
    return capsule_volume * filler_density - drug


@mistake_of(filler_for_capsule, id="filler-whole-capsule")
def room_of_drug_forgotten(*, capsule_volume: Volume, filler_density: Density) -> Mass:
    """The room that the drug takes was forgotten.

    The filler only has the room which the drug leaves.
    """
    return capsule_volume * filler_density


@formula(source="displacement", symbol="base", checks=(_drug_leaves_base,))
def base_for_moulds(*, mould: Mass, number_of_units: Count, drug_per_unit: Mass, displacement_value: Number) -> Mass:
    """Return the base for suppositories or pessaries, with the base that the drug displaces taken off.

    Formula: (mould - drug per unit ÷ displacement value) × number of units.

    mould: what one mould holds of pure base, a mass above zero. number_of_units: a whole number above zero, extra units
    included. drug_per_unit: a mass above zero. displacement_value: the grams of drug that displace 1 g of base, above
    zero. Returns a mass. Raises RefusedError for a bare number as mass, another kind of amount, or a drug that leaves
    no room for base.

    >>> base = base_for_moulds(mould="2 g", number_of_units="6", drug_per_unit="300 mg", displacement_value="1.5")
    >>> print(base_for_moulds.kind.show(base))
    10.8 g

    Source: UK dispensing teaching, displacement values, from memory.
    """
    return (mould - drug_per_unit / displacement_value) * number_of_units


@mistake_of(base_for_moulds, id="displacement-left-out")
def drug_taken_off_as_base(*, mould: Mass, number_of_units: Count, drug_per_unit: Mass) -> Mass:
    """The displacement value was left out: the drug was taken off gram for gram.

    A dense drug takes less room than its mass of base, so less base is displaced: divide by the displacement value.
    """
    return (mould - drug_per_unit) * number_of_units


@mistake_of(base_for_moulds, id="displacement-upside-down")
def drug_times_displacement_value(
    *, mould: Mass, number_of_units: Count, drug_per_unit: Mass, displacement_value: Number
) -> Mass:
    """The drug was multiplied by the displacement value instead of divided by it.

    A displacement value of 1.5 means that 1.5 g of drug take the room of 1 g of base.
    """
    return (mould - drug_per_unit * displacement_value) * number_of_units


@mistake_of(base_for_moulds, id="displaced-by-nothing")
def nothing_displaced(*, mould: Mass, number_of_units: Count) -> Mass:
    """The base for empty moulds was given.

    The drug takes room in the mould too; take off the base that it displaces.
    """
    return mould * number_of_units


def capsule_for(volume: Quantity | str, sizes: tuple[CapsuleSize, ...] = CAPSULE_SIZES) -> CapsuleSize:
    """Return the smallest capsule that holds a volume of powder: the size is rounded up, never the volume down.

    Raises RefusedError, with the largest capsule there is, where none holds it. ``sizes`` are your maker's; the usual
    ones are from memory.

    >>> capsule_for(fill_volume(powder="350 mg", bulk_density="0.75 g/mL")).name
    '1'

    Source: common classroom practice (size 1 for 0.467 mL).
    """
    needed = VOLUME.check("capsule: volume", volume)
    holding = [size for size in sizes if size.volume >= needed]
    if holding:
        return min(holding, key=lambda size: size.volume.to_base_units().magnitude)
    if not sizes:
        raise RefusedError("capsule: sizes", "names no capsule.", "Give the sizes of your maker.")
    largest = max(sizes, key=lambda size: size.volume.to_base_units().magnitude)
    raise RefusedError(
        "capsule: volume",
        f"must be at most {VOLUME.show(largest.volume)} (size {largest.name}); it was {VOLUME.show(needed)}.",
        "Share the dose between two capsules.",
    )
