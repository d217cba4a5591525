"""Dilution: the same drug in a larger amount, so strength times amount stays the same (C1 V1 = C2 V2).

Each formula answers one question at the bench. The strengths may be percentages, ratio strengths or mg/mL, as long as
both are on the same basis; the amounts may be masses (w/w) or volumes (w/v, v/v). Two strengths *typed* on two bases
are refused. Inside, w/w and v/v are both plain fractions, so between two quantities nothing tells them apart: there
the caller sees to it. Volumes are taken as additive: alcohol and water are not, so make up *to* the volume.
"""

from pharmcalc.conditions import in_order, volumes_for_wv
from pharmcalc.formula import Amount, Mass, PercentWV, Strength, Volume, formula, mistake_of

__all__ = [
    "amount_from_stock",
    "diluent_to_add",
    "diluent_to_weaken",
    "diluted_strength",
    "drug_for_stock",
    "stock_strength_needed",
    "stock_to_take",
]

_WEAKER = in_order(
    "wanted_strength <= stock_strength",
    blame="wanted_strength",
    cure="Diluting only makes a preparation weaker. Use a stronger stock, or add drug.",
)
_MORE = in_order(
    "stock_amount <= final_amount",
    blame="final_amount",
    cure="Diluting makes more, never less. Check which amount is which.",
)


@formula(
    source="comprehensive-review review-set",
    symbol="C2",
    checks=(_MORE, volumes_for_wv("stock_strength", "stock_amount")),
)
def diluted_strength(*, stock_strength: Strength, stock_amount: Amount, final_amount: Amount) -> Strength:
    """Return the strength after an amount of stock has been diluted to a final amount.

    Formula: stock strength × stock amount ÷ final amount.

    stock_strength: a strength above zero. stock_amount, final_amount: two masses or two volumes, the second not the
    smaller. Returns a strength. Raises RefusedError for a bare number, unlike amounts, or less than there was before.
    Does not look at contraction, or at drug that is not dissolved.

    >>> after = diluted_strength(stock_strength="10 %", stock_amount="120 mL", final_amount="240 mL")
    >>> print(diluted_strength.kind.show(after))
    5 %

    Source: Comprehensive Pharmacy Review, chapter 1 (5 %, and 20 % as the warning).
    """
    return stock_strength * stock_amount / final_amount


@mistake_of(diluted_strength, id="dilution-direct-proportion")
def direct_proportion(*, stock_strength: Strength, stock_amount: Amount, final_amount: Amount) -> Strength:
    """The strength was multiplied by the amounts the wrong way round.

    Twice the amount is half the strength: the same drug is spread through more. Diluting never makes it stronger.
    """
    return stock_strength * final_amount / stock_amount


@mistake_of(diluted_strength, id="dilution-over-diluent")
def divided_by_the_diluent(*, stock_strength: Strength, stock_amount: Amount, final_amount: Amount) -> Strength:
    """The drug was divided by the diluent alone.

    A strength is a part of the whole preparation, and the stock is part of that whole.
    """
    return stock_strength * stock_amount / (final_amount - stock_amount)


@mistake_of(diluted_strength, id="dilution-final-taken-as-added")
def final_amount_taken_as_added(*, stock_strength: Strength, stock_amount: Amount, final_amount: Amount) -> Strength:
    """The final amount was taken as the diluent that is added.

    "Diluted to 240 mL" names the whole; "diluted with 240 mL" would name what is added.
    """
    return stock_strength * stock_amount / (stock_amount + final_amount)


@formula(
    source="army-md0802",
    symbol="V1",
    checks=(_WEAKER, volumes_for_wv("stock_strength", "final_amount")),
)
def stock_to_take(*, stock_strength: Strength, wanted_strength: Strength, final_amount: Amount) -> Amount:
    """Return the amount of stock to take for a final amount of a wanted strength.

    Formula: final amount × wanted strength ÷ stock strength. Then make up *to* the final amount.

    stock_strength, wanted_strength: strengths on one basis, the second not the larger. final_amount: a mass or a volume
    above zero. Returns a mass or a volume, as the final amount is. Raises RefusedError for a bare number, strengths on
    different bases, or a wanted strength above the stock. Does not look at whether this amount can be measured.

    >>> stock = stock_to_take(stock_strength="2 %", wanted_strength="0.02 %", final_amount="120 mL")
    >>> print(stock_to_take.kind.show(stock))
    1.2 mL

    Source: U.S. Army Medical Department, MD0802 (1.2 mL).
    """
    return final_amount * wanted_strength / stock_strength


@mistake_of(stock_to_take, id="stock-upside-down")
def strengths_upside_down(*, stock_strength: Strength, wanted_strength: Strength, final_amount: Amount) -> Amount:
    """The two strengths were put the wrong way round.

    The stock is the stronger one, so less of it is needed than you make.
    """
    return final_amount * stock_strength / wanted_strength


@mistake_of(stock_to_take, id="stock-is-diluent")
def diluent_for_stock(*, stock_strength: Strength, wanted_strength: Strength, final_amount: Amount) -> Amount:
    """The amount of diluent was given instead of the amount of stock.

    The difference of the strengths leads to what is added; the stock is the rest.
    """
    return final_amount * (stock_strength - wanted_strength) / stock_strength


@formula(
    source="army-md0802",
    symbol="V2",
    checks=(_WEAKER, volumes_for_wv("stock_strength", "stock_amount")),
)
def amount_from_stock(*, stock_strength: Strength, stock_amount: Amount, wanted_strength: Strength) -> Amount:
    """Return the amount that can be made from all of a stock: the whole, not the diluent.

    Formula: stock amount × stock strength ÷ wanted strength.

    stock_strength, wanted_strength: strengths on one basis, the second not the larger. stock_amount: a mass or a volume
    above zero. Returns a mass or a volume, as the stock is. Raises RefusedError for a bare number, strengths on
    different bases, or a wanted strength above the stock. Does not look at contraction.

    >>> made = amount_from_stock(stock_strength="20 %", stock_amount="454 g", wanted_strength="14 %")
    >>> print(amount_from_stock.kind.show(made))
    about 648.6 g

    Source: U.S. Army Medical Department, MD0802 (648.57 g, with 454 g as the pound).
    """
    return stock_amount * stock_strength / wanted_strength


@mistake_of(amount_from_stock, id="made-upside-down")
def made_upside_down(*, stock_strength: Strength, stock_amount: Amount, wanted_strength: Strength) -> Amount:
    """The two strengths were put the wrong way round.

    A weaker preparation is always more than the stock it is made from.
    """
    return stock_amount * wanted_strength / stock_strength


@mistake_of(amount_from_stock, id="made-is-diluent")
def diluent_for_the_whole(*, stock_strength: Strength, stock_amount: Amount, wanted_strength: Strength) -> Amount:
    """The diluent was given instead of the whole that can be made.

    The stock itself is part of what is made, so add it.
    """
    return stock_amount * (stock_strength - wanted_strength) / wanted_strength


@formula(source="army-md0802", symbol="C1", checks=(_MORE, volumes_for_wv("wanted_strength", "stock_amount")))
def stock_strength_needed(*, stock_amount: Amount, wanted_strength: Strength, final_amount: Amount) -> Strength:
    """Return the strength a stock must have, so that a given amount of it is enough.

    Formula: wanted strength × final amount ÷ stock amount. The inverse of :func:`diluted_strength`.

    stock_amount, final_amount: two masses or two volumes, the second not the smaller. wanted_strength: a strength above
    zero and at most 100 %. Returns a strength. Raises RefusedError for a bare number, unlike amounts, or a stock above
    100 %. Does not look at whether so much drug dissolves.

    >>> strong = stock_strength_needed(stock_amount="5 mL", wanted_strength="0.02 %", final_amount="100 mL")
    >>> print(stock_strength_needed.kind.show(strong))
    0.4 %

    Source: C1 V1 = C2 V2, as in U.S. Army Medical Department, MD0802.
    """
    return wanted_strength * final_amount / stock_amount


@mistake_of(stock_strength_needed, id="stock-strength-upside-down")
def stock_strength_upside_down(*, stock_amount: Amount, wanted_strength: Strength, final_amount: Amount) -> Strength:
    """The two amounts were put the wrong way round.

    A little stock must hold all the drug of the whole, so the stock is the stronger one.
    """
    return wanted_strength * stock_amount / final_amount


@formula(
    source="army-md0802",
    symbol="V2 - V1",
    checks=(
        in_order(
            "stock_amount < final_amount",
            blame="final_amount",
            cure="Diluting makes more, never less. Check which amount is which.",
        ),
    ),
)
def diluent_to_add(*, stock_amount: Amount, final_amount: Amount) -> Amount:
    """Return the diluent that brings an amount of stock to a final amount.

    Formula: final amount - stock amount. For liquids that contract, make up *to* the final volume instead.

    stock_amount, final_amount: two masses or two volumes, the second the larger. Returns a mass or a volume, as they
    are. Raises RefusedError for a bare number, unlike amounts, or a final amount that is not larger. Does not look at
    contraction: volumes are taken as additive.

    >>> print(diluent_to_add.kind.show(diluent_to_add(stock_amount="500 mL", final_amount="10 L")))
    9.5 L

    Source: U.S. Army Medical Department, MD0802 (9500 mL; the set-up was seen).
    """
    return final_amount - stock_amount


@mistake_of(diluent_to_add, id="diluent-is-final-amount")
def final_amount_as_diluent(*, final_amount: Amount) -> Amount:
    """The final amount was given as the diluent to add.

    The stock is already part of the final amount; take it off.
    """
    return final_amount


@mistake_of(diluent_to_add, id="diluent-stock-added")
def stock_added_to_final_amount(*, stock_amount: Amount, final_amount: Amount) -> Amount:
    """The stock was added to the final amount.

    The final amount is stock and diluent together, so take the stock off.
    """
    return final_amount + stock_amount


@formula(
    source="army-md0802",
    symbol="diluent",
    checks=(
        in_order(
            "wanted_strength < strength",
            blame="wanted_strength",
            cure="Diluent only makes a preparation weaker. To make it stronger, add drug or a stronger preparation.",
        ),
        volumes_for_wv("strength", "preparation"),
    ),
)
def diluent_to_weaken(*, preparation: Amount, strength: Strength, wanted_strength: Strength) -> Amount:
    """Return the diluent to add to the whole of a preparation to bring it down to a wanted strength.

    Formula: preparation × (strength - wanted strength) ÷ wanted strength. What is asked is the diluent, not the
    whole.

    preparation: a mass or a volume above zero. strength, wanted_strength: on one basis, the second the smaller.
    Returns a mass or a volume, as the preparation is. Raises RefusedError for a bare number, strengths on different
    bases, or a wanted strength that is not below the first. Does not look at contraction.

    >>> water = diluent_to_weaken(preparation="500 mL", strength="1:200", wanted_strength="1:4000")
    >>> print(diluent_to_weaken.kind.show(water))
    9500 mL

    Source: U.S. Army Medical Department, MD0802 (9500 mL; the set-up was seen).
    """
    return preparation * (strength - wanted_strength) / wanted_strength


@mistake_of(diluent_to_weaken, id="weaken-whole-as-diluent")
def whole_as_diluent(*, preparation: Amount, strength: Strength, wanted_strength: Strength) -> Amount:
    """The whole that is made was given as the diluent to add.

    The preparation you start from is part of the whole; take it off.
    """
    return preparation * strength / wanted_strength


@mistake_of(diluent_to_weaken, id="weaken-over-first-strength")
def divided_by_first_strength(*, preparation: Amount, strength: Strength, wanted_strength: Strength) -> Amount:
    """The difference of the strengths was divided by the first strength instead of the wanted one.

    The drug stays the same while the whole grows, so the wanted strength stands below the line.
    """
    return preparation * (strength - wanted_strength) / strength


@formula(
    source="classroom",
    symbol="drug",
    checks=(
        in_order(
            "portion <= final_volume",
            blame="portion",
            cure="The portion is measured from the stock and made up to the final volume, so it is the smaller one.",
        ),
        in_order(
            "portion <= stock_volume",
            blame="portion",
            cure="The portion is taken out of the stock. Make more stock, or take a smaller portion.",
        ),
    ),
)
def drug_for_stock(*, wanted_strength: PercentWV, final_volume: Volume, portion: Volume, stock_volume: Volume) -> Mass:
    """Return the drug for a stock solution of which a portion, made up to a final volume, has a wanted strength.

    Formula: wanted strength × final volume × stock volume ÷ portion.

    wanted_strength: w/v, for example 1:5000 or 0.02 % w/v, above zero. final_volume, stock_volume: volumes above zero.
    portion: a volume, not larger than either. Returns a mass. Raises RefusedError for a bare number, another kind of
    amount, zero, or a portion that is too large. Does not look at whether so much drug dissolves.

    >>> drug = drug_for_stock(wanted_strength="1:5000", final_volume="1 L", portion="20 mL", stock_volume="250 mL")
    >>> print(drug_for_stock.kind.show(drug))
    2500 mg

    Source: common classroom practice; C1 V1 = C2 V2.
    """
    return final_volume * wanted_strength * stock_volume / portion


@mistake_of(drug_for_stock, id="stock-drug-for-one-portion")
def drug_for_one_portion(*, wanted_strength: PercentWV, final_volume: Volume) -> Mass:
    """The drug for one portion was given as the drug for the whole stock.

    The stock holds as many portions as fit into it, and each needs its own drug.
    """
    return final_volume * wanted_strength


@mistake_of(drug_for_stock, id="stock-portion-upside-down")
def portion_and_final_volume_swapped(
    *, wanted_strength: PercentWV, final_volume: Volume, portion: Volume, stock_volume: Volume
) -> Mass:
    """The portion and the final volume were put the wrong way round.

    A small portion must bring all the drug of the final volume, so the stock is the stronger one.
    """
    return portion * wanted_strength * stock_volume / final_volume


@mistake_of(drug_for_stock, id="stock-at-final-strength")
def stock_made_at_final_strength(*, wanted_strength: PercentWV, stock_volume: Volume) -> Mass:
    """The stock was made at the strength of the diluted solution.

    The stock is diluted afterwards, so it must be stronger, as many times as the portion is diluted.
    """
    return stock_volume * wanted_strength
