"""Making a preparation stronger: by adding drug, by adding a stronger preparation, by driving off solvent.

Two questions that sound alike have two answers. Is the preparation you *start* with given, or the *total* you want to
end with? The drug you add also adds to the total, so the simple difference of the strengths is never enough.
"""

from pharmcalc.conditions import in_order, volumes_for_wv
from pharmcalc.equations import all_but
from pharmcalc.formula import (
    Amount,
    Mass,
    PercentWW,
    PercentWWOrNone,
    Strength,
    StrengthOrNone,
    formula,
    mistake_of,
)

__all__ = [
    "amount_after_evaporation",
    "pure_drug_in_total",
    "pure_drug_to_add",
    "solvent_driven_off",
    "solvent_to_remove",
    "strength_after_evaporation",
    "stronger_to_add",
]

_BELOW_PURE = in_order(
    "strength < wanted_strength < 100 %",
    blame="wanted_strength",
    cure="Adding drug makes a preparation stronger, and only pure drug is 100 %. Ask for a strength between the two.",
)
_STRONGER = in_order(
    "strength < wanted_strength",
    blame="wanted_strength",
    cure="Driving off solvent only makes a preparation stronger. To make it weaker, add diluent.",
)


@formula(source="army-md0802", symbol="drug added", checks=(_BELOW_PURE,))
def pure_drug_to_add(*, preparation: Mass, strength: PercentWWOrNone, wanted_strength: PercentWW) -> Mass:
    """Return the pure drug to add to the whole of a preparation to reach a wanted strength: the start is given.

    Formula: preparation × (wanted strength - strength) ÷ (100 % - wanted strength).

    preparation: the mass you start with, above zero. strength: w/w, 0 % for a plain base. wanted_strength: w/w, above
    it and below 100 %. Returns a mass. Raises RefusedError for a bare number or a wanted strength outside that range.
    Does not look at the purity of the drug (see potency).

    >>> tar = pure_drug_to_add(preparation="200 g", strength="1 %", wanted_strength="4 %")
    >>> print(pure_drug_to_add.kind.show(tar))
    6250 mg

    Source: U.S. Army Medical Department, MD0802 (6.25 g).
    """
    return preparation * (wanted_strength - strength) / all_but(wanted_strength)


@mistake_of(pure_drug_to_add, id="fortify-simple-difference")
def simple_difference(*, preparation: Mass, strength: PercentWWOrNone, wanted_strength: PercentWW) -> Mass:
    """The difference of the strengths was taken of the preparation you start with.

    The drug you add makes the total larger, so a little more is needed: divide by the part that is
    not drug in the end, 100 % less the wanted strength.
    """
    return preparation * (wanted_strength - strength)


@mistake_of(pure_drug_to_add, id="fortify-own-drug-forgotten")
def drug_of_the_start_forgotten(*, preparation: Mass, wanted_strength: PercentWW) -> Mass:
    """The drug that the preparation already holds was not counted.

    Only what is missing is added: the wanted strength less the strength you start with.
    """
    return preparation * wanted_strength


@mistake_of(pure_drug_to_add, id="fortify-as-if-total-fixed")
def as_if_the_total_were_given(*, preparation: Mass, strength: PercentWWOrNone, wanted_strength: PercentWW) -> Mass:
    """The preparation you start with was taken as the total you end with.

    All of it stays in the mixture and the drug comes on top, so divide by 100 % less the wanted strength.
    """
    return preparation * (wanted_strength - strength) / all_but(strength)


@formula(source="army-md0802", symbol="drug", checks=(_BELOW_PURE,))
def pure_drug_in_total(*, total: Mass, strength: PercentWWOrNone, wanted_strength: PercentWW) -> Mass:
    """Return the pure drug for a given total, filled up with a weaker preparation: the end is given.

    Formula: total × (wanted strength - strength) ÷ (100 % - strength). The weaker preparation is the rest of the
    total.

    total: the mass you end with, above zero. strength: of the weaker preparation, w/w, 0 % for a plain base.
    wanted_strength: w/w, above it and below 100 %. Returns a mass.
    Raises RefusedError for a bare number or a wanted strength outside that range.
    Does not look at the purity of the drug (see potency).

    >>> tar = pure_drug_in_total(total="200 g", strength="1 %", wanted_strength="4 %")
    >>> print(pure_drug_in_total.kind.show(tar))
    about 6061 mg

    Source: U.S. Army Medical Department, MD0802 (6.06 g).
    """
    return total * (wanted_strength - strength) / all_but(strength)


@mistake_of(pure_drug_in_total, id="total-simple-difference")
def simple_difference_of_total(*, total: Mass, strength: PercentWWOrNone, wanted_strength: PercentWW) -> Mass:
    """The difference of the strengths was taken of the total.

    The drug takes the place of some of the weaker preparation, and that held drug too: divide by 100 % less its
    strength.
    """
    return total * (wanted_strength - strength)


@mistake_of(pure_drug_in_total, id="total-own-drug-forgotten")
def drug_of_the_weaker_forgotten(*, total: Mass, wanted_strength: PercentWW) -> Mass:
    """The drug that the weaker preparation brings was not counted.

    The weaker preparation holds drug as well, so less pure drug is needed than in a plain base.
    """
    return total * wanted_strength


@mistake_of(pure_drug_in_total, id="total-as-if-start-fixed")
def as_if_the_start_were_given(*, total: Mass, strength: PercentWWOrNone, wanted_strength: PercentWW) -> Mass:
    """The total you end with was taken as the preparation you start with.

    The total is given here and the drug is inside it, so divide by 100 % less the strength of the weaker
    preparation.
    """
    return total * (wanted_strength - strength) / all_but(wanted_strength)


@formula(
    source="classroom",
    symbol="stronger",
    checks=(
        in_order(
            "strength < wanted_strength < stronger_strength",
            blame="wanted_strength",
            cure="Mixing two preparations only gives a strength between them. Use a stronger one, or ask for less.",
        ),
        volumes_for_wv("strength", "preparation"),
    ),
)
def stronger_to_add(
    *, preparation: Amount, strength: StrengthOrNone, wanted_strength: Strength, stronger_strength: Strength
) -> Amount:
    """Return the stronger preparation to add to the whole of a weaker one: the start is given, the total is not.

    Formula: preparation × (wanted strength - strength) ÷ (stronger strength - wanted strength).

    preparation: a mass or a volume above zero. strength, wanted_strength, stronger_strength: on one basis, from 0 % to
    at most 100 %, rising in this order. Returns a mass or a volume, as the preparation is. Raises RefusedError for a
    bare number, strengths on different bases, or a wanted strength that is not between the others. Takes volumes as
    additive.

    >>> added = stronger_to_add(
    ...     preparation="120 mL", strength="20 mg/5 mL", wanted_strength="10 mg/mL", stronger_strength="100 mg/5 mL"
    ... )
    >>> print(stronger_to_add.kind.show(added))
    72 mL

    Source: common classroom practice (72 mL).
    """
    return preparation * (wanted_strength - strength) / (stronger_strength - wanted_strength)


@mistake_of(stronger_to_add, id="stronger-as-if-total-fixed")
def weaker_taken_as_total(
    *, preparation: Amount, strength: StrengthOrNone, wanted_strength: Strength, stronger_strength: Strength
) -> Amount:
    """The preparation you start with was taken as the total you end with.

    All of it is used and the stronger one comes on top, so the total is larger than what you start with.
    """
    return preparation * (wanted_strength - strength) / (stronger_strength - strength)


@mistake_of(stronger_to_add, id="stronger-crossed")
def differences_crossed(
    *, preparation: Amount, strength: StrengthOrNone, wanted_strength: Strength, stronger_strength: Strength
) -> Amount:
    """The two differences were put the wrong way round.

    The further the wanted strength lies above the weaker preparation, the more of the stronger one is needed.
    """
    return preparation * (stronger_strength - wanted_strength) / (wanted_strength - strength)


@mistake_of(stronger_to_add, id="stronger-by-dilution-formula")
def weaker_taken_as_diluent(*, preparation: Amount, wanted_strength: Strength, stronger_strength: Strength) -> Amount:
    """The weaker preparation was treated as the final amount of a simple dilution.

    The weaker preparation brings drug of its own, and it is not the final amount: C1 V1 = C2 V2 alone does not solve
    this.
    """
    return preparation * wanted_strength / stronger_strength


@formula(source="definition", symbol="V2", checks=(_STRONGER, volumes_for_wv("strength", "preparation")))
def amount_after_evaporation(*, preparation: Amount, strength: Strength, wanted_strength: Strength) -> Amount:
    """Return the amount that is left when enough solvent is driven off to reach a wanted strength.

    Formula: preparation × strength ÷ wanted strength. The drug stays; only solvent leaves.

    preparation: a mass or a volume above zero. strength, wanted_strength: on one basis, the second the larger.
    Returns a mass or a volume, as the preparation is. Raises RefusedError for a bare number, strengths on different
    bases, or a wanted strength that is not above the first. Does not look at drug that decomposes or leaves with the
    solvent.

    >>> left = amount_after_evaporation(preparation="500 mL", strength="2 % w/v", wanted_strength="5 % w/v")
    >>> print(amount_after_evaporation.kind.show(left))
    200 mL

    Source: the definition (the drug stays the same).
    """
    return preparation * strength / wanted_strength


@mistake_of(amount_after_evaporation, id="evaporation-upside-down")
def evaporation_upside_down(*, preparation: Amount, strength: Strength, wanted_strength: Strength) -> Amount:
    """The two strengths were put the wrong way round.

    A stronger preparation with the same drug is a smaller amount.
    """
    return preparation * wanted_strength / strength


@mistake_of(amount_after_evaporation, id="evaporation-is-what-leaves")
def removed_instead_of_left(*, preparation: Amount, strength: Strength, wanted_strength: Strength) -> Amount:
    """What is driven off was given instead of what is left.

    The drug stays in what is left: divide all of it by the wanted strength.
    """
    return preparation * (wanted_strength - strength) / wanted_strength


@formula(
    source="definition",
    symbol="removed",
    checks=(
        in_order(
            "amount_left < preparation",
            blame="amount_left",
            cure="Driving off solvent leaves less than there was. Check which amount is which.",
        ),
    ),
)
def solvent_driven_off(*, preparation: Amount, amount_left: Amount) -> Amount:
    """Return the solvent that was driven off, from what there was and what is left.

    Formula: preparation - amount left.

    preparation, amount_left: two masses or two volumes, the second the smaller. Returns a mass or a volume, as they
    are. Raises RefusedError for a bare number, unlike amounts, or no less than before. Takes volumes as additive.

    >>> print(solvent_driven_off.kind.show(solvent_driven_off(preparation="500 mL", amount_left="200 mL")))
    300 mL

    Source: the definition (only solvent leaves).
    """
    return preparation - amount_left


@mistake_of(solvent_driven_off, id="driven-off-is-what-is-left")
def what_is_left_as_driven_off(*, amount_left: Amount) -> Amount:
    """What is left was given as what is driven off.

    Take what is left off the preparation you start with.
    """
    return amount_left


@mistake_of(solvent_driven_off, id="driven-off-is-all")
def all_of_it_as_driven_off(*, preparation: Amount) -> Amount:
    """All of the preparation was given as what is driven off.

    Something is left, and it holds all the drug: take it off.
    """
    return preparation


@mistake_of(solvent_driven_off, id="driven-off-left-added")
def what_is_left_added(*, preparation: Amount, amount_left: Amount) -> Amount:
    """What is left was added instead of taken off.

    No more can leave than there was: preparation less what is left.
    """
    return preparation + amount_left


@formula(source="definition", symbol="removed", checks=(_STRONGER, volumes_for_wv("strength", "preparation")))
def solvent_to_remove(*, preparation: Amount, strength: Strength, wanted_strength: Strength) -> Amount:
    """Return the solvent to drive off to reach a wanted strength.

    Formula: preparation × (wanted strength - strength) ÷ wanted strength.

    preparation: a mass or a volume above zero. strength, wanted_strength: on one basis, the second the larger.
    Returns a mass or a volume, as the preparation is. Raises RefusedError for a bare number, strengths on different
    bases, or a wanted strength that is not above the first. Takes volumes as additive.

    >>> gone = solvent_to_remove(preparation="500 mL", strength="2 % w/v", wanted_strength="5 % w/v")
    >>> print(solvent_to_remove.kind.show(gone))
    300 mL

    Source: the definition (the drug stays the same).
    """
    return preparation * (wanted_strength - strength) / wanted_strength


@mistake_of(solvent_to_remove, id="removed-over-first-strength")
def removed_over_first_strength(*, preparation: Amount, strength: Strength, wanted_strength: Strength) -> Amount:
    """The difference of the strengths was divided by the first strength instead of the wanted one.

    The drug stays while the amount shrinks, so the wanted strength stands below the line.
    """
    return preparation * (wanted_strength - strength) / strength


@mistake_of(solvent_to_remove, id="removed-is-what-is-left")
def left_instead_of_removed(*, preparation: Amount, strength: Strength, wanted_strength: Strength) -> Amount:
    """What is left was given instead of what is driven off.

    Take what is left off the preparation you start with.
    """
    return preparation * strength / wanted_strength


@formula(
    source="definition",
    symbol="C2",
    checks=(
        in_order(
            "solvent_removed < preparation",
            blame="solvent_removed",
            cure="Only solvent leaves, and the drug stays, so something must be left. Check the amount driven off.",
        ),
        volumes_for_wv("strength", "preparation"),
    ),
)
def strength_after_evaporation(*, preparation: Amount, strength: Strength, solvent_removed: Amount) -> Strength:
    """Return the strength after an amount of solvent has been driven off.

    Formula: strength × preparation ÷ (preparation - solvent removed).

    preparation, solvent_removed: two masses or two volumes, the second the smaller. strength: above zero.
    Returns a strength. Raises RefusedError for a bare number, unlike amounts, too much solvent, or more than 100 %.
    Does not look at drug that decomposes or leaves with the solvent.

    >>> after = strength_after_evaporation(preparation="500 mL", strength="2 % w/v", solvent_removed="300 mL")
    >>> print(strength_after_evaporation.kind.show(after))
    5 % w/v

    Source: the definition (the drug stays the same).
    """
    return strength * preparation / (preparation - solvent_removed)


@mistake_of(strength_after_evaporation, id="evaporated-over-removed")
def divided_by_what_was_removed(*, preparation: Amount, strength: Strength, solvent_removed: Amount) -> Strength:
    """The drug was divided by the solvent that left.

    The drug is in what is left.
    """
    return strength * preparation / solvent_removed


@mistake_of(strength_after_evaporation, id="evaporated-weaker")
def weaker_instead_of_stronger(*, preparation: Amount, strength: Strength, solvent_removed: Amount) -> Strength:
    """The strength was multiplied by the amounts the wrong way round.

    The same drug in less is stronger.
    """
    return strength * (preparation - solvent_removed) / preparation
