"""Crushed tablets: a tablet is drug *and* excipients, so its powder is not the drug.

Weigh a whole number of tablets first: their average mass, not the labelled drug, says how much powder holds the dose.
"""

from pharmcalc.conditions import in_order
from pharmcalc.equations import round_up
from pharmcalc.formula import Mass, Number, formula, mistake_of

__all__ = ["drug_in_tablet_powder", "tablet_powder_for", "tablets_to_crush"]

_HEAVIER = in_order(
    "labelled_drug <= tablet_mass",
    blame="tablet_mass",
    cure="A tablet weighs at least what its drug weighs. Check which mass is which, and the units.",
)


@formula(source="classroom", symbol="powder", label="tablet powder to weigh", checks=(_HEAVIER,))
def tablet_powder_for(*, drug_wanted: Mass, tablet_mass: Mass, labelled_drug: Mass) -> Mass:
    """Return the powder of crushed tablets that holds the drug wanted.

    Formula: drug wanted × (tablet mass ÷ labelled drug).

    drug_wanted, tablet_mass, labelled_drug: masses above zero; the tablet (an average of several) at least as heavy
    as its labelled drug. Returns a mass of powder. Raises RefusedError for a bare number, zero, or a tablet that is
    lighter than its drug. Does not look at whether a tablet may be crushed at all: coated and slow-release ones may
    not.

    >>> powder = tablet_powder_for(drug_wanted="60 mg", tablet_mass="200 mg", labelled_drug="25 mg")
    >>> print(tablet_powder_for.kind.show(powder))
    480 mg

    Source: common classroom practice.
    """
    return drug_wanted * (tablet_mass / labelled_drug)


@mistake_of(tablet_powder_for, id="tablet-powder-as-drug")
def powder_weighed_as_drug(*, drug_wanted: Mass) -> Mass:
    """The powder was weighed as if it were pure drug.

    Most of a tablet is excipient. Weigh as much more as the tablet is heavier than its drug.
    """
    return drug_wanted


@mistake_of(tablet_powder_for, id="tablet-powder-upside-down")
def powder_less_than_drug(*, drug_wanted: Mass, tablet_mass: Mass, labelled_drug: Mass) -> Mass:
    """The tablet mass and the labelled drug were put the wrong way round.

    The powder holds the drug and more, so it weighs more than the drug wanted.
    """
    return drug_wanted * (labelled_drug / tablet_mass)


@formula(source="classroom", symbol="drug", label="drug in the powder", checks=(_HEAVIER,))
def drug_in_tablet_powder(*, powder: Mass, tablet_mass: Mass, labelled_drug: Mass) -> Mass:
    """Return the drug in a mass of crushed tablets; the inverse of :func:`tablet_powder_for`.

    Formula: powder × (labelled drug ÷ tablet mass).

    powder, tablet_mass, labelled_drug: masses above zero; the tablet at least as heavy as its labelled drug.
    Returns a mass of drug. Raises RefusedError for a bare number, zero, or a tablet lighter than its drug.
    Takes the powder as perfectly uniform.

    >>> drug = drug_in_tablet_powder(powder="480 mg", tablet_mass="200 mg", labelled_drug="25 mg")
    >>> print(drug_in_tablet_powder.kind.show(drug))
    60 mg

    Source: common classroom practice.
    """
    return powder * (labelled_drug / tablet_mass)


@mistake_of(drug_in_tablet_powder, id="tablet-powder-all-drug")
def powder_counted_as_drug(*, powder: Mass) -> Mass:
    """The whole powder was counted as drug.

    Most of a tablet is excipient; only the labelled part of its mass is drug.
    """
    return powder


@formula(source="classroom", symbol="tablets")
def tablets_to_crush(*, drug_wanted: Mass, labelled_drug: Mass) -> Number:
    """Return the whole number of tablets that hold at least the drug wanted.

    Formula: round up (drug wanted ÷ labelled drug). Crush them all, then weigh out the powder that is needed.

    drug_wanted, labelled_drug: masses above zero. Returns a whole number.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.
    Does not count tablets for loss, or for finding the average mass.

    >>> print(tablets_to_crush.kind.show(tablets_to_crush(drug_wanted="60 mg", labelled_drug="25 mg")))
    3

    Source: common classroom practice.
    """
    return round_up(drug_wanted / labelled_drug)


@mistake_of(tablets_to_crush, id="tablets-not-rounded-up")
def part_of_a_tablet(*, drug_wanted: Mass, labelled_drug: Mass) -> Number:
    """The number of tablets was not rounded up.

    Only whole tablets are crushed; what is not needed is weighed off and discarded as the site prescribes.
    """
    return drug_wanted / labelled_drug


@mistake_of(tablets_to_crush, id="tablets-by-mass")
def tablets_by_their_mass(*, drug_wanted: Mass, tablet_mass: Mass) -> Number:
    """The drug wanted was divided by the mass of a tablet.

    A tablet gives only its labelled drug. Counted by mass, there is far too little drug.
    """
    return round_up(drug_wanted / tablet_mass)
