"""Salts, bases and hydrates: the same drug in different company, compared through molar masses.

A label or a monograph *names* one form (base, anhydrous); the bottle may hold another (salt, hydrate). Moles are
equal, so masses are in the proportion of the molar masses. Correct once: a figure that already counts the water must
not be corrected for water again.
"""

from pharmcalc.constants import HUNDRED_PERCENT
from pharmcalc.formula import Count, Mass, MolarMass, Number, Percent, formula, mistake_of
from pharmcalc.potency.molar_mass import WATER

__all__ = [
    "anhydrous_in_hydrate",
    "drug_in_form",
    "form_to_weigh",
    "hydrate_to_weigh",
    "molar_mass_of_hydrate",
    "water_in_hydrate",
]


@formula(source="molecular-weights definition", symbol="m")
def form_to_weigh(
    *, drug_wanted: Mass, molar_mass_named: MolarMass, molar_mass_used: MolarMass, named_in_one_used: Count
) -> Mass:
    """Return the mass of the form in the bottle that holds the named form wanted.

    Formula: drug wanted × (molar mass used ÷ (molar mass named × named in one used)).

    drug_wanted: of the named form, a mass above zero. molar_mass_named, molar_mass_used: for example 271.4 g/mol, each
    above zero. named_in_one_used: a number above zero: how many of the named are in one of the used, mostly 1; 2 for
    the sulfate of two bases. Returns a mass. Raises RefusedError for a bare number, another kind of amount, zero or a
    negative value. Does not look at purity or at moisture (see assay).

    >>> weigh = form_to_weigh(
    ...     drug_wanted="50 mg", molar_mass_named="192.12 g/mol", molar_mass_used="210.14 g/mol", named_in_one_used="1"
    ... )
    >>> print(form_to_weigh.kind.show(weigh))
    about 54.69 mg

    Source: the definition; molar masses as monographs print them, from memory (54.69 mg of citric acid monohydrate).
    """
    return drug_wanted * (molar_mass_used / (molar_mass_named * named_in_one_used))


@mistake_of(form_to_weigh, id="salt-factor-upside-down")
def factor_upside_down(
    *, drug_wanted: Mass, molar_mass_named: MolarMass, molar_mass_used: MolarMass, named_in_one_used: Count
) -> Mass:
    """The factor is upside down.

    What you weigh stands above the line, what is named below it: a heavier form brings something along, so more of it
    is needed.
    """
    return drug_wanted * (molar_mass_named * named_in_one_used / molar_mass_used)


@mistake_of(form_to_weigh, id="salt-factor-left-out")
def factor_left_out(*, drug_wanted: Mass) -> Mass:
    """The form in the bottle was weighed as if it were the named form.

    Compare label and recipe word by word: a salt or hydrate holds less of the named form than it weighs.
    """
    return drug_wanted


@mistake_of(form_to_weigh, id="salt-count-left-out")
def count_left_out(*, drug_wanted: Mass, molar_mass_named: MolarMass, molar_mass_used: MolarMass) -> Mass:
    """It was not counted how many of the named form are in one of the used form.

    A sulfate may hold two bases. Then one mole of it brings two moles of the base, and half as much is needed.
    """
    return drug_wanted * (molar_mass_used / molar_mass_named)


@formula(source="comprehensive-review molecular-weights", symbol="m")
def drug_in_form(
    *, form_weighed: Mass, molar_mass_named: MolarMass, molar_mass_used: MolarMass, named_in_one_used: Count
) -> Mass:
    """Return the named form in a mass of another form; the inverse of :func:`form_to_weigh`.

    Formula: form weighed × (molar mass named × named in one used ÷ molar mass used).

    form_weighed: a mass above zero. molar_mass_named, molar_mass_used: for example 271.4 g/mol, each above zero.
    named_in_one_used: a number above zero: how many of the named are in one of the used, mostly 1. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value. Does not look at purity or
    at moisture (see assay).

    >>> base = drug_in_form(
    ...     form_weighed="10 mg", molar_mass_named="271.4 g/mol", molar_mass_used="352.3 g/mol", named_in_one_used="1"
    ... )
    >>> print(drug_in_form.kind.show(base))
    about 7.704 mg

    Source: Comprehensive Pharmacy Review (statement seen, 7.70 mg derived); molar masses from memory.
    """
    return form_weighed * (molar_mass_named * named_in_one_used / molar_mass_used)


@mistake_of(drug_in_form, id="drug-in-form-upside-down")
def drug_factor_upside_down(
    *, form_weighed: Mass, molar_mass_named: MolarMass, molar_mass_used: MolarMass, named_in_one_used: Count
) -> Mass:
    """The factor is upside down.

    A salt or hydrate holds less of the named form than it weighs.
    """
    return form_weighed * (molar_mass_used / (molar_mass_named * named_in_one_used))


@mistake_of(drug_in_form, id="drug-in-form-left-out")
def whole_form_as_drug(*, form_weighed: Mass) -> Mass:
    """The whole form was counted as the named form.

    Part of a salt or hydrate is acid or water.
    """
    return form_weighed


@formula(source="definition atomic-weights", symbol="M")
def molar_mass_of_hydrate(*, molar_mass_anhydrous: MolarMass, waters: Number) -> MolarMass:
    """Return the molar mass of a hydrate.

    Formula: molar mass anhydrous + waters × 18.015 g/mol.

    molar_mass_anhydrous: for example 120.37 g/mol, above zero. waters: moles of water for one of the drug, above zero,
    0.5 for a hemihydrate. Returns a molar mass. Raises RefusedError for a bare number as molar mass, zero or a negative
    value.

    >>> hydrate = molar_mass_of_hydrate(molar_mass_anhydrous="120.37 g/mol", waters="7")
    >>> print(molar_mass_of_hydrate.kind.show(hydrate))
    246.475 g/mol

    Source: the definition; IUPAC atomic weights, from memory.
    """
    return molar_mass_anhydrous + waters * WATER


@mistake_of(molar_mass_of_hydrate, id="hydrate-one-water")
def one_water_only(*, molar_mass_anhydrous: MolarMass) -> MolarMass:
    """Only one water was added.

    The name says how many: monohydrate one, dihydrate two, heptahydrate seven.
    """
    return molar_mass_anhydrous + WATER


@formula(source="molecular-weights definition", symbol="m")
def hydrate_to_weigh(*, anhydrous_wanted: Mass, molar_mass_anhydrous: MolarMass, waters: Number) -> Mass:
    """Return the hydrate that holds a mass of the anhydrous drug.

    Formula: anhydrous wanted × ((molar mass anhydrous + waters × 18.015 g/mol) ÷ molar mass anhydrous).

    anhydrous_wanted: a mass above zero. molar_mass_anhydrous: for example 192.12 g/mol, above zero. waters: moles of
    water for one of the drug, above zero, 0.5 for a hemihydrate. Returns a mass. Raises RefusedError for a bare number,
    another kind of amount, zero or a negative value. Does not look at purity, or at water beyond that of hydration (see
    assay).

    >>> weigh = hydrate_to_weigh(anhydrous_wanted="50 mg", molar_mass_anhydrous="192.12 g/mol", waters="1")
    >>> print(hydrate_to_weigh.kind.show(weigh))
    about 54.69 mg

    Source: the definition; molar masses as monographs print them, from memory (54.69 mg of citric acid monohydrate).
    """
    return anhydrous_wanted * ((molar_mass_anhydrous + waters * WATER) / molar_mass_anhydrous)


@mistake_of(hydrate_to_weigh, id="hydrate-upside-down")
def hydrate_factor_upside_down(*, anhydrous_wanted: Mass, molar_mass_anhydrous: MolarMass, waters: Number) -> Mass:
    """The factor is upside down.

    Part of the hydrate is water, so more of it is needed than of the anhydrous drug.
    """
    return anhydrous_wanted * (molar_mass_anhydrous / (molar_mass_anhydrous + waters * WATER))


@mistake_of(hydrate_to_weigh, id="hydrate-water-left-out")
def water_left_out(*, anhydrous_wanted: Mass) -> Mass:
    """The water of hydration was left out.

    Part of the hydrate is water. Compare label and recipe: anhydrous or hydrate?
    """
    return anhydrous_wanted


@mistake_of(hydrate_to_weigh, id="hydrate-water-twice")
def water_corrected_twice(*, anhydrous_wanted: Mass, molar_mass_anhydrous: MolarMass, waters: Number) -> Mass:
    """The water of hydration was corrected twice.

    The factor from the molar masses, and the water content or loss on drying of the hydrate, count the same water.
    Use one of them.
    """
    return (
        anhydrous_wanted
        * ((molar_mass_anhydrous + waters * WATER) / molar_mass_anhydrous)
        * ((molar_mass_anhydrous + waters * WATER) / molar_mass_anhydrous)
    )


@mistake_of(hydrate_to_weigh, id="hydrate-to-weigh-one-water")
def only_one_water_counted(*, anhydrous_wanted: Mass, molar_mass_anhydrous: MolarMass) -> Mass:
    """Only one water was counted.

    The name says how many: monohydrate one, dihydrate two, heptahydrate seven.
    """
    return anhydrous_wanted * ((molar_mass_anhydrous + WATER) / molar_mass_anhydrous)


@formula(source="definition atomic-weights", symbol="m", label="anhydrous drug")
def anhydrous_in_hydrate(*, hydrate: Mass, molar_mass_anhydrous: MolarMass, waters: Number) -> Mass:
    """Return the anhydrous drug in a mass of its hydrate; the inverse of :func:`hydrate_to_weigh`.

    Formula: hydrate × (molar mass anhydrous ÷ (molar mass anhydrous + waters × 18.015 g/mol)).

    hydrate: a mass above zero. molar_mass_anhydrous: for example 192.12 g/mol, above zero. waters: moles of water for
    one of the drug, above zero. Returns a mass. Raises RefusedError for a bare number, another kind of amount, zero or
    a negative value. Does not look at purity, or at water beyond that of hydration (see assay).

    >>> drug = anhydrous_in_hydrate(hydrate="50 mg", molar_mass_anhydrous="192.12 g/mol", waters="1")
    >>> print(anhydrous_in_hydrate.kind.show(drug))
    about 45.71 mg

    Source: the definition; IUPAC atomic weights (18.015 g/mol for water), from memory.
    """
    return hydrate * (molar_mass_anhydrous / (molar_mass_anhydrous + waters * WATER))


@mistake_of(anhydrous_in_hydrate, id="anhydrous-upside-down")
def anhydrous_factor_upside_down(*, hydrate: Mass, molar_mass_anhydrous: MolarMass, waters: Number) -> Mass:
    """The factor is upside down.

    Part of the hydrate is water, so it holds less of the drug than it weighs.
    """
    return hydrate * ((molar_mass_anhydrous + waters * WATER) / molar_mass_anhydrous)


@mistake_of(anhydrous_in_hydrate, id="anhydrous-is-hydrate")
def whole_hydrate_as_drug(*, hydrate: Mass) -> Mass:
    """The whole hydrate was counted as the drug.

    Part of the hydrate is water.
    """
    return hydrate


@formula(source="definition atomic-weights", symbol="% water")
def water_in_hydrate(*, molar_mass_anhydrous: MolarMass, waters: Number) -> Percent:
    """Return the water of hydration as a percentage of the hydrate: what a perfect loss on drying would be.

    Formula: waters × 18.015 g/mol ÷ (molar mass anhydrous + waters × 18.015 g/mol) × 100 %.

    molar_mass_anhydrous: for example 192.12 g/mol, above zero. waters: moles of water for one of the drug, above zero.
    Returns a percentage. Raises RefusedError for a bare number as molar mass, zero or a negative value. Does not look
    at moisture beyond the water of hydration.

    >>> print(water_in_hydrate.kind.show(water_in_hydrate(molar_mass_anhydrous="192.12 g/mol", waters="1")))
    about 8.573 %

    Source: the definition; IUPAC atomic weights (18.015 g/mol for water), from memory.
    """
    return waters * WATER / (molar_mass_anhydrous + waters * WATER) * HUNDRED_PERCENT


@mistake_of(water_in_hydrate, id="water-over-anhydrous")
def water_over_anhydrous(*, molar_mass_anhydrous: MolarMass, waters: Number) -> Percent:
    """The water was divided by the anhydrous drug.

    The percentage is of the hydrate, and the water is part of it.
    """
    return waters * WATER / molar_mass_anhydrous * HUNDRED_PERCENT
