"""Purity, potency and assay: how much powder to weigh when not all of it is the drug.

An assay on the *dried* (or anhydrous) basis says how pure the powder is once its water is gone; the powder in the
bottle still holds that water. An assay *as is* already counts it: then nothing is corrected for loss on drying.
"""

from pharmcalc.conditions import in_order
from pharmcalc.equations import all_but
from pharmcalc.formula import Mass, MolarMass, Percent, Purity, formula, mistake_of

__all__ = ["assay_as_is", "drug_in_powder", "drug_on_dried_basis", "powder_for_purity", "powder_on_dried_basis"]

_SOME_IS_LEFT = in_order(
    "loss_on_drying < 100 %",
    blame="loss_on_drying",
    cure="Something must be left after drying. Write the loss as a percentage of the powder, for example 3 %.",
)


@formula(source="potency-label definition", symbol="powder")
def powder_for_purity(*, drug_wanted: Mass, purity: Purity) -> Mass:
    """Return the powder that holds the drug wanted, for a purity or potency that is stated as is.

    Formula: drug wanted ÷ purity. Less than pure means more powder.

    drug_wanted: a mass above zero. purity: for example 98.5 %, or a potency such as 620 microgram/mg, above zero and at
    most 110 %. Returns a mass. Raises RefusedError for a bare number, another kind of amount, zero or a negative value.
    Does not look at loss on drying: for an assay on the dried basis use :func:`powder_on_dried_basis`.

    >>> powder = powder_for_purity(drug_wanted="1 g", purity="620 microgram/mg")
    >>> print(powder_for_purity.kind.show(powder))
    about 1.613 g

    Source: the convention of potency labels (1.613 g).
    """
    return drug_wanted / purity


@mistake_of(powder_for_purity, id="purity-upside-down")
def multiplied_by_purity(*, drug_wanted: Mass, purity: Purity) -> Mass:
    """The drug wanted was multiplied by the purity instead of divided by it.

    Part of the powder is not drug, so more powder is needed than drug.
    """
    return drug_wanted * purity


@mistake_of(powder_for_purity, id="purity-left-out")
def purity_left_out(*, drug_wanted: Mass) -> Mass:
    """The powder was weighed as if it were pure drug.

    Divide by the purity that the label or certificate states.
    """
    return drug_wanted


@mistake_of(powder_for_purity, id="purity-missing-part-added")
def missing_part_added(*, drug_wanted: Mass, purity: Purity) -> Mass:
    """The part that is missing was added to the drug wanted.

    What is added is impure too, so this is a little too little. Divide by the purity.
    """
    return drug_wanted * (all_but(purity) + 1)


@formula(source="potency-label definition", symbol="drug", label="drug in the powder")
def drug_in_powder(*, powder: Mass, purity: Purity) -> Mass:
    """Return the drug in a mass of powder of a given purity; the inverse of :func:`powder_for_purity`.

    Formula: powder × purity.

    powder: a mass above zero. purity: for example 98.5 %, or a potency such as 620 microgram/mg, above zero and at most
    110 %. Returns a mass. Raises RefusedError for a bare number, another kind of amount, zero or a negative value. Does
    not look at loss on drying: see :func:`assay_as_is`.

    >>> print(drug_in_powder.kind.show(drug_in_powder(powder="500 mg", purity="98 %")))
    490 mg

    Source: the definition.
    """
    return powder * purity


@mistake_of(drug_in_powder, id="drug-in-powder-divided")
def powder_divided_by_purity(*, powder: Mass, purity: Purity) -> Mass:
    """The powder was divided by the purity instead of multiplied by it.

    The powder holds less drug than it weighs.
    """
    return powder / purity


@formula(source="definition", symbol="assay as is", checks=(_SOME_IS_LEFT,))
def assay_as_is(*, assay_dried: Purity, loss_on_drying: Percent) -> Purity:
    """Return the assay of a powder as it is in the bottle, from the assay on the dried basis.

    Formula: assay dried × (100 % - loss on drying).

    assay_dried: on the dried or anhydrous basis, for example 99 %, above zero and at most 110 %. loss_on_drying: a
    percentage of the powder, below 100 %; the water content serves for the anhydrous basis. Returns a percentage.
    Raises RefusedError for a bare number, another kind of amount, zero or a loss of everything. Does not look at
    moisture taken up since the powder was tested.

    >>> print(assay_as_is.kind.show(assay_as_is(assay_dried="99 %", loss_on_drying="4 %")))
    95.04 %

    Source: the definition of the dried basis.
    """
    return assay_dried * all_but(loss_on_drying)


@mistake_of(assay_as_is, id="assay-loss-subtracted")
def loss_subtracted(*, assay_dried: Purity, loss_on_drying: Percent) -> Purity:
    """The loss on drying was subtracted from the assay.

    The assay is a part of what is left after drying, so the two are multiplied.
    """
    return assay_dried - loss_on_drying


@mistake_of(assay_as_is, id="assay-loss-divided")
def divided_by_what_is_left(*, assay_dried: Purity, loss_on_drying: Percent) -> Purity:
    """The assay was divided by what is left after drying.

    The powder in the bottle holds water, so it is less pure than the dried powder.
    """
    return assay_dried / all_but(loss_on_drying)


@mistake_of(assay_as_is, id="assay-loss-left-out")
def dried_assay_kept(*, assay_dried: Purity) -> Purity:
    """The loss on drying was left out.

    On the dried basis the assay does not see the water. The powder in the bottle holds it, so it is less pure.
    """
    return assay_dried


@formula(source="definition", symbol="powder", checks=(_SOME_IS_LEFT,))
def powder_on_dried_basis(*, drug_wanted: Mass, assay_dried: Purity, loss_on_drying: Percent) -> Mass:
    """Return the powder that holds the drug wanted, when the assay is stated on the dried basis.

    Formula: drug wanted ÷ (assay dried × (100 % - loss on drying)).

    drug_wanted: a mass above zero. assay_dried: on the dried or anhydrous basis, for example 99 %, above zero and at
    most 110 %. loss_on_drying: a percentage of the powder, below 100 %; the water content serves for the anhydrous
    basis. Returns a mass. Raises RefusedError for a bare number, another kind of amount, zero or a loss of everything.
    Does not add a hydrate factor: the loss on drying of a hydrate is already its water.

    >>> powder = powder_on_dried_basis(drug_wanted="500 mg", assay_dried="98 %", loss_on_drying="5 %")
    >>> print(powder_on_dried_basis.kind.show(powder))
    about 537.1 mg

    Source: the definition of the dried basis.
    """
    return drug_wanted / (assay_dried * all_but(loss_on_drying))


@mistake_of(powder_on_dried_basis, id="dried-basis-loss-subtracted")
def loss_subtracted_from_assay(*, drug_wanted: Mass, assay_dried: Purity, loss_on_drying: Percent) -> Mass:
    """The loss on drying was subtracted from the assay.

    The assay is a part of what is left after drying, so the two are multiplied.
    """
    return drug_wanted / (assay_dried - loss_on_drying)


@mistake_of(powder_on_dried_basis, id="dried-basis-loss-left-out")
def loss_left_out_of_powder(*, drug_wanted: Mass, assay_dried: Purity) -> Mass:
    """The loss on drying was left out.

    On the dried basis the assay does not see the water, but the balance does.
    """
    return drug_wanted / assay_dried


@mistake_of(powder_on_dried_basis, id="dried-basis-assay-left-out")
def assay_left_out(*, drug_wanted: Mass, loss_on_drying: Percent) -> Mass:
    """The assay was left out.

    Even the dried powder is not all drug.
    """
    return drug_wanted / all_but(loss_on_drying)


@mistake_of(powder_on_dried_basis, id="dried-basis-upside-down")
def multiplied_by_both(*, drug_wanted: Mass, assay_dried: Purity, loss_on_drying: Percent) -> Mass:
    """The drug wanted was multiplied by assay and dryness instead of divided by them.

    Part of the powder is impurity and water, so more powder is needed than drug.
    """
    return drug_wanted * (assay_dried * all_but(loss_on_drying))


@mistake_of(powder_on_dried_basis, id="dried-basis-loss-multiplied")
def loss_on_the_wrong_side(*, drug_wanted: Mass, assay_dried: Purity, loss_on_drying: Percent) -> Mass:
    """The loss on drying was taken off the powder instead of put on.

    Water in the powder means that more of it is needed, so what is left after drying stands below the line.
    """
    return drug_wanted / assay_dried * all_but(loss_on_drying)


@mistake_of(powder_on_dried_basis, id="dried-basis-water-twice")
def hydrate_factor_too(
    *,
    drug_wanted: Mass,
    assay_dried: Purity,
    loss_on_drying: Percent,
    molar_mass_anhydrous: MolarMass,
    molar_mass_hydrate: MolarMass,
) -> Mass:
    """The water of hydration was corrected twice: by the loss on drying and by the molar masses.

    The loss on drying of the hydrate is its water of hydration. Use one of the two corrections.
    """
    return drug_wanted / (assay_dried * all_but(loss_on_drying)) * (molar_mass_hydrate / molar_mass_anhydrous)


@formula(source="definition", symbol="drug", label="drug in the powder", checks=(_SOME_IS_LEFT,))
def drug_on_dried_basis(*, powder: Mass, assay_dried: Purity, loss_on_drying: Percent) -> Mass:
    """Return the drug in a powder whose assay is on the dried basis; the inverse of :func:`powder_on_dried_basis`.

    Formula: powder × (assay dried × (100 % - loss on drying)).

    powder: a mass above zero. assay_dried: on the dried or anhydrous basis, for example 99 %, above zero and at most
    110 %. loss_on_drying: a percentage of the powder, at least 0 % and below 100 %. Returns a mass. Raises RefusedError
    for a bare number, another kind of amount, zero or a loss of everything.

    >>> drug = drug_on_dried_basis(powder="500 mg", assay_dried="98 %", loss_on_drying="5 %")
    >>> print(drug_on_dried_basis.kind.show(drug))
    465.5 mg

    Source: the definition of the dried basis.
    """
    return powder * (assay_dried * all_but(loss_on_drying))


@mistake_of(drug_on_dried_basis, id="drug-dried-basis-loss-left-out")
def water_counted_as_drug(*, powder: Mass, assay_dried: Purity) -> Mass:
    """The loss on drying was left out.

    The balance weighs the water too; only what is left after drying holds the assay.
    """
    return powder * assay_dried
