"""Old units, for reading old recipes only: the grain and its family, and the US fluid measures.

Every conversion here is exact. The rules of thumb (60 or 65 mg for a grain, 30 mL for a fluid ounce, 454 g for a
pound) stand in :mod:`pharmcalc.recipes.rules_of_thumb`, each by its name, and are never used silently. New recipes
are written in metric units.
"""

from pharmcalc.formula import Mass, Number, Volume, formula, mistake_of
from pharmcalc.units import quantity

__all__ = [
    "grains_in_mass",
    "mass_of_apothecary_drams",
    "mass_of_apothecary_ounces",
    "mass_of_grains",
    "mass_of_pounds",
    "mass_of_scruples",
    "volume_of_fluid_ounces",
    "volume_of_minims",
]

GRAIN = quantity("64.79891", "milligram")
INCH = quantity("2.54", "centimetre")
"""A US gallon is 231 cubic inches and 128 fluid ounces."""
IMPERIAL_GALLON = quantity("4546.09", "millilitre")
"""160 imperial fluid ounces."""


@formula(source="nist-units", symbol="m")
def mass_of_grains(*, grains: Number) -> Mass:
    """Return a number of grains as a mass, exactly.

    Formula: grains × 64.79891 mg. For a rule of thumb (60 or 65 mg) use :func:`by_rule_of_thumb`, which names it.

    grains: a plain number above zero, also a fraction such as 1/100. Returns a mass.
    Raises RefusedError for an amount with a unit, zero or a negative number.

    >>> print(mass_of_grains.kind.show(mass_of_grains(grains="5")))
    about 324 mg

    Source: NIST SP 811; NIST Handbook 44, appendix C (the grain is 64.79891 mg exactly).
    """
    return grains * GRAIN


@mistake_of(mass_of_grains, id="grain-as-gram")
def grain_taken_as_gram(*, grains: Number) -> Mass:
    """Grains were read as grams.

    gr is grain, g is gram. A gram is more than 15 times a grain.
    """
    return grains * quantity(1, "gram")


@mistake_of(mass_of_grains, id="grain-as-60-mg")
def grain_taken_as_60(*, grains: Number) -> Mass:
    """A grain was taken as 60 mg.

    That is a rule of thumb, 7.4 % too little. The grain is 64.79891 mg; say so when a rule of thumb is used.
    """
    return grains * quantity(60, "milligram")


@mistake_of(mass_of_grains, id="grain-as-65-mg")
def grain_taken_as_65(*, grains: Number) -> Mass:
    """A grain was taken as 65 mg.

    That is a rule of thumb, a little too much. The grain is 64.79891 mg; say so when a rule of thumb is used.
    """
    return grains * quantity(65, "milligram")


@formula(source="nist-units", symbol="gr")
def grains_in_mass(*, mass: Mass) -> Number:
    """Return how many grains a mass is; the inverse of :func:`mass_of_grains`.

    Formula: mass ÷ 64.79891 mg.

    mass: above zero. Returns a plain number.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(grains_in_mass.kind.show(grains_in_mass(mass="1 g")))
    about 15.43

    Source: NIST SP 811; NIST Handbook 44, appendix C (15.432 grains in a gram).
    """
    return mass / GRAIN


@mistake_of(grains_in_mass, id="grains-by-60-mg")
def grains_of_60(*, mass: Mass) -> Number:
    """A grain was taken as 60 mg.

    That is a rule of thumb. The grain is 64.79891 mg; say so when a rule of thumb is used.
    """
    return mass / quantity(60, "milligram")


@formula(source="nist-units", symbol="m")
def mass_of_scruples(*, scruples: Number) -> Mass:
    """Return a number of scruples (20 grains each) as a mass, exactly.

    Formula: scruples × 20 × 64.79891 mg.

    scruples: a plain number above zero. Returns a mass.
    Raises RefusedError for an amount with a unit, zero or a negative number.

    >>> print(mass_of_scruples.kind.show(mass_of_scruples(scruples="1")))
    about 1296 mg

    Source: NIST Handbook 44, appendix C.
    """
    return scruples * 20 * GRAIN


@mistake_of(mass_of_scruples, id="scruple-as-dram")
def scruple_taken_as_dram(*, scruples: Number) -> Mass:
    """Scruples were read as drams.

    A scruple is 20 grains and a dram 60: the two signs look alike in old hands.
    """
    return scruples * 60 * GRAIN


@formula(source="nist-units", symbol="m")
def mass_of_apothecary_drams(*, drams: Number) -> Mass:
    """Return a number of apothecaries' drams (60 grains each) as a mass, exactly.

    Formula: drams × 60 × 64.79891 mg.

    drams: a plain number above zero. Returns a mass.
    Raises RefusedError for an amount with a unit, zero or a negative number.

    >>> print(mass_of_apothecary_drams.kind.show(mass_of_apothecary_drams(drams="1")))
    about 3888 mg

    Source: NIST Handbook 44, appendix C.
    """
    return drams * 60 * GRAIN


@mistake_of(mass_of_apothecary_drams, id="dram-avoirdupois")
def avoirdupois_dram_used(*, drams: Number) -> Mass:
    """The avoirdupois dram was used.

    The avoirdupois dram (1.77 g) belongs to grocers. In a recipe the dram is the apothecaries' one of 60 grains, 3.89
    g.
    """
    return drams * 7000 / 256 * GRAIN


@mistake_of(mass_of_apothecary_drams, id="dram-as-ounce")
def dram_taken_as_ounce(*, drams: Number) -> Mass:
    """Drams were read as ounces.

    Eight drams make an apothecaries' ounce: the two signs differ by one stroke.
    """
    return drams * 480 * GRAIN


@mistake_of(mass_of_apothecary_drams, id="dram-as-4-g")
def dram_taken_as_4(*, drams: Number) -> Mass:
    """A dram was taken as 4 g.

    That is a rule of thumb, 2.9 % too much. The dram is 60 grains, 3.888 g; say so when a rule of thumb is used.
    """
    return drams * quantity(4, "gram")


@formula(source="nist-units", symbol="m")
def mass_of_apothecary_ounces(*, ounces: Number) -> Mass:
    """Return a number of apothecaries' ounces (480 grains each) as a mass, exactly.

    Formula: ounces × 480 × 64.79891 mg, so 31.1034768 g for one.

    ounces: a plain number above zero. Returns a mass.
    Raises RefusedError for an amount with a unit, zero or a negative number.

    >>> print(mass_of_apothecary_ounces.kind.show(mass_of_apothecary_ounces(ounces="1")))
    about 31.1 g

    Source: NIST Handbook 44, appendix C.
    """
    return ounces * 480 * GRAIN


@mistake_of(mass_of_apothecary_ounces, id="ounce-avoirdupois")
def avoirdupois_ounce_used(*, ounces: Number) -> Mass:
    """The avoirdupois ounce was used.

    Old recipes mean the apothecaries' ounce of 480 grains, 31.1 g. The avoirdupois ounce of trade is 28.35 g, 8.9 %
    less.
    """
    return ounces * 7000 / 16 * GRAIN


@mistake_of(mass_of_apothecary_ounces, id="ounce-as-30-g")
def ounce_taken_as_30(*, ounces: Number) -> Mass:
    """An ounce was taken as 30 g.

    That is a rule of thumb, 3.5 % too little. Say so when a rule of thumb is used.
    """
    return ounces * quantity(30, "gram")


@mistake_of(mass_of_apothecary_ounces, id="ounce-as-dram")
def ounce_taken_as_dram(*, ounces: Number) -> Mass:
    """Ounces were read as drams.

    Eight drams make an apothecaries' ounce: the two signs differ by one stroke, and only an eighth would be weighed.
    """
    return ounces * 60 * GRAIN


@formula(source="nist-units", symbol="m")
def mass_of_pounds(*, pounds: Number) -> Mass:
    """Return a number of avoirdupois pounds (7000 grains each) as a mass, exactly.

    Formula: pounds × 7000 × 64.79891 mg, so 453.59237 g for one. This is the pound that bulk ointments are sold by.

    pounds: a plain number above zero. Returns a mass.
    Raises RefusedError for an amount with a unit, zero or a negative number.

    >>> print(mass_of_pounds.kind.show(mass_of_pounds(pounds="1")))
    about 453.6 g

    Source: NIST Handbook 44, appendix C.
    """
    return pounds * 7000 * GRAIN


@mistake_of(mass_of_pounds, id="pound-apothecaries")
def apothecary_pound_used(*, pounds: Number) -> Mass:
    """The apothecaries' pound was used.

    The apothecaries' pound has 12 of its ounces, 373 g. The pound of trade has 16 avoirdupois ounces, 454 g.
    """
    return pounds * 5760 * GRAIN


@formula(source="nist-units", symbol="V")
def volume_of_fluid_ounces(*, fluid_ounces: Number) -> Volume:
    """Return a number of US fluid ounces as a volume, exactly.

    Formula: fluid ounces × 231 ÷ 128 × (2.54 cm)³, so 29.5735295625 mL for one. A fluid ounce measures; an ounce
    weighs.

    fluid_ounces: a plain number above zero. Returns a volume.
    Raises RefusedError for an amount with a unit, zero or a negative number.
    Does not know British recipes: their imperial fluid ounce is 28.41 mL.

    >>> print(volume_of_fluid_ounces.kind.show(volume_of_fluid_ounces(fluid_ounces="4")))
    about 118.3 mL

    Source: NIST Handbook 44, appendix C (a gallon is 231 cubic inches and 128 fluid ounces).
    """
    return fluid_ounces * 231 / 128 * INCH * INCH * INCH


@mistake_of(volume_of_fluid_ounces, id="fluid-dram-for-ounce")
def fluid_drams_used(*, fluid_ounces: Number) -> Volume:
    """Fluid ounces were read as fluid drams.

    Eight fluid drams make a fluid ounce: read as drams, only an eighth is measured.
    """
    return fluid_ounces / 8 * 231 / 128 * INCH * INCH * INCH


@mistake_of(volume_of_fluid_ounces, id="fluid-ounce-imperial")
def imperial_fluid_ounce_used(*, fluid_ounces: Number) -> Volume:
    """The imperial fluid ounce was used.

    A US recipe means 29.57 mL; the imperial fluid ounce of British recipes is 28.41 mL.
    """
    return fluid_ounces * IMPERIAL_GALLON / 160


@mistake_of(volume_of_fluid_ounces, id="fluid-ounce-as-30-ml")
def fluid_ounce_taken_as_30(*, fluid_ounces: Number) -> Volume:
    """A fluid ounce was taken as 30 mL.

    That is a rule of thumb, 1.4 % too much. Say so when a rule of thumb is used.
    """
    return fluid_ounces * quantity(30, "millilitre")


@formula(source="nist-units", symbol="V")
def volume_of_minims(*, minims: Number) -> Volume:
    """Return a number of US minims (480 in a fluid ounce) as a volume, exactly.

    Formula: minims ÷ 480 × 231 ÷ 128 × (2.54 cm)³, so about 0.0616 mL for one. A minim is no drop: drops differ with
    the liquid and the dropper.

    minims: a plain number above zero. Returns a volume.
    Raises RefusedError for an amount with a unit, zero or a negative number.
    Does not know British recipes: their imperial minim is 0.0592 mL.

    >>> print(volume_of_minims.kind.show(volume_of_minims(minims="60")))
    about 3.697 mL

    Source: NIST Handbook 44, appendix C.
    """
    return minims / 480 * 231 / 128 * INCH * INCH * INCH


@mistake_of(volume_of_minims, id="minim-as-drop")
def minim_taken_as_drop(*, minims: Number) -> Volume:
    """A minim was taken as a drop of 0.05 mL.

    A minim is a measured volume; drops differ. Measure the volume.
    """
    return minims * quantity("0.05", "millilitre")


@mistake_of(volume_of_minims, id="minim-imperial")
def imperial_minim_used(*, minims: Number) -> Volume:
    """The imperial minim was used.

    A US recipe means the US minim, a little more than the imperial one of British recipes.
    """
    return minims / 480 * IMPERIAL_GALLON / 160
