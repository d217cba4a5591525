"""Percentage strengths: grams in 100 g (w/w), grams in 100 mL (w/v), millilitres in 100 mL (v/v)."""

from pharmcalc.constants import HUNDRED_PERCENT
from pharmcalc.formula import (
    Mass,
    PercentVV,
    PercentWV,
    PercentWW,
    Volume,
    formula,
    mistake_of,
)
from pharmcalc.units import quantity

__all__ = [
    "drug_for_percentage_wv",
    "drug_for_percentage_ww",
    "percentage_vv",
    "percentage_wv",
    "percentage_ww",
]


@formula(source="definition rees-smith-watson", symbol="% w/w")
def percentage_ww(*, drug: Mass, preparation: Mass) -> PercentWW:
    """Return the percentage strength w/w: grams of drug in 100 g of the whole preparation.

    Formula: drug ÷ preparation × 100 %. The preparation is drug *and* everything else.

    drug, preparation: masses above zero. Returns a percentage up to 100 % w/w.
    Raises RefusedError for a bare number, another kind of amount, zero, or more drug than preparation.

    >>> print(percentage_ww.kind.show(percentage_ww(drug="27 mg", preparation="15 g")))
    0.18 % w/w

    Source: the definition; Rees, Smith & Watson.
    """
    return drug / preparation * HUNDRED_PERCENT


@mistake_of(percentage_ww, id="percentage-mg-as-g")
def milligrams_taken_as_grams(*, drug: Mass, preparation: Mass) -> PercentWW:
    """Milligrams were put in as if they were grams.

    Both amounts must be in the same unit before you divide: 1000 mg is 1 g.
    """
    return drug / preparation * 1000 * HUNDRED_PERCENT


@mistake_of(percentage_ww, id="percentage-not-times-100")
def fraction_called_percentage(*, drug: Mass, preparation: Mass) -> PercentWW:
    """The fraction was written as a percentage without multiplying by 100.

    Per cent means in a hundred: 0.02 g in 1 g is 2 g in 100 g.
    """
    return drug / preparation * quantity(1, "percent")


@mistake_of(percentage_ww, id="percentage-drug-over-rest")
def drug_over_the_rest(*, drug: Mass, preparation: Mass) -> PercentWW:
    """The drug was divided by the diluent alone.

    A strength is a part of the whole preparation, and the drug is part of that whole.
    """
    return drug / (preparation - drug) * HUNDRED_PERCENT


@mistake_of(percentage_ww, id="percentage-drug-added-twice")
def drug_added_to_preparation(*, drug: Mass, preparation: Mass) -> PercentWW:
    """The drug was added to the preparation once more before dividing.

    The preparation already contains the drug.
    """
    return drug / (preparation + drug) * HUNDRED_PERCENT


@formula(source="definition review-set", symbol="% w/v")
def percentage_wv(*, drug: Mass, preparation: Volume) -> PercentWV:
    """Return the percentage strength w/v: grams of drug in 100 mL of the whole preparation.

    Formula: drug ÷ preparation, in g per 100 mL.

    drug: a mass above zero. preparation: the final volume, above zero. Returns a percentage w/v.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> print(percentage_wv.kind.show(percentage_wv(drug="200 mg", preparation="90 mL")))
    about 0.2222 % w/v

    Source: the definition; a published review set (0.22 %).
    """
    return drug / preparation


@mistake_of(percentage_wv, id="percentage-wv-mg-as-g")
def milligrams_taken_as_grams_wv(*, drug: Mass, preparation: Volume) -> PercentWV:
    """Milligrams were put in as if they were grams.

    A percentage w/v counts grams in 100 mL. Turn the milligrams into grams first: 1000 mg is 1 g.
    """
    return drug / preparation * 1000


@mistake_of(percentage_wv, id="percentage-wv-mg-per-ml")
def milligrams_per_millilitre_called_percent(*, drug: Mass, preparation: Volume) -> PercentWV:
    """Milligrams per millilitre were called a percentage.

    1 mg/mL is 0.1 g in 100 mL, so it is 0.1 % w/v: divide mg/mL by 10.
    """
    return drug / preparation * 10


@mistake_of(percentage_wv, id="percentage-wv-not-times-100")
def grams_per_millilitre_called_percent(*, drug: Mass, preparation: Volume) -> PercentWV:
    """Grams in 1 mL were called a percentage.

    A percentage w/v counts the grams in 100 mL, not in 1 mL.
    """
    return drug / preparation / 100


@formula(source="definition", symbol="% v/v")
def percentage_vv(*, liquid: Volume, preparation: Volume) -> PercentVV:
    """Return the percentage strength v/v: millilitres of a liquid in 100 mL of the whole preparation.

    Formula: liquid ÷ preparation × 100 %. Does not look at contraction: make up *to* the volume.

    liquid, preparation: volumes above zero. Returns a percentage up to 100 % v/v.
    Raises RefusedError for a bare number, another kind of amount, zero, or more liquid than preparation.

    >>> print(percentage_vv.kind.show(percentage_vv(liquid="15 mL", preparation="120 mL")))
    12.5 % v/v

    Source: the definition.
    """
    return liquid / preparation * HUNDRED_PERCENT


@mistake_of(percentage_vv, id="percentage-vv-added-twice")
def liquid_added_to_preparation(*, liquid: Volume, preparation: Volume) -> PercentVV:
    """The liquid was added to the preparation once more before dividing.

    The final volume already contains the liquid.
    """
    return liquid / (preparation + liquid) * HUNDRED_PERCENT


@mistake_of(percentage_vv, id="percentage-vv-over-rest")
def liquid_over_the_rest(*, liquid: Volume, preparation: Volume) -> PercentVV:
    """The liquid was divided by the rest alone.

    A strength is a part of the whole preparation, and the liquid is part of that whole.
    """
    return liquid / (preparation - liquid) * HUNDRED_PERCENT


@formula(source="definition", symbol="drug")
def drug_for_percentage_ww(*, strength: PercentWW, preparation: Mass) -> Mass:
    """Return the mass of drug in a mass of preparation of a given percentage strength w/w.

    Formula: strength × preparation; the inverse of :func:`percentage_ww`.

    strength: a percentage w/w, above zero and at most 100 %. preparation: a mass above zero. Returns a mass. Raises
    RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> print(drug_for_percentage_ww.kind.show(drug_for_percentage_ww(strength="2 % w/w", preparation="30 g")))
    600 mg

    Source: the definition.
    """
    return preparation * strength


@mistake_of(drug_for_percentage_ww, id="drug-percent-as-number-ww")
def percentage_as_plain_number(*, strength: PercentWW, preparation: Mass) -> Mass:
    """The percentage was used as a plain number.

    2 % means 2 in 100, so multiply by 2 and divide by 100.
    """
    return preparation * strength * 100


@mistake_of(drug_for_percentage_ww, id="drug-divided-by-strength-ww")
def preparation_divided_by_strength(*, strength: PercentWW, preparation: Mass) -> Mass:
    """The preparation was divided by the strength instead of multiplied by it.

    The drug is a small part of the preparation, never more than it.
    """
    return preparation / strength


@formula(source="definition", symbol="drug")
def drug_for_percentage_wv(*, strength: PercentWV, preparation: Volume) -> Mass:
    """Return the mass of drug in a volume of preparation of a given percentage strength w/v.

    Formula: strength × preparation, with 1 % w/v = 10 mg/mL; the inverse of :func:`percentage_wv`.

    strength: a percentage w/v, above zero. preparation: a volume above zero. Returns a mass. Raises RefusedError for a
    bare number, another kind of amount, zero or a negative value.

    >>> print(drug_for_percentage_wv.kind.show(drug_for_percentage_wv(strength="2 % w/v", preparation="120 mL")))
    2400 mg

    Source: the definition.
    """
    return preparation * strength


@mistake_of(drug_for_percentage_wv, id="drug-grams-called-milligrams")
def grams_called_milligrams(*, strength: PercentWV, preparation: Volume) -> Mass:
    """The grams were written as milligrams.

    A percentage w/v gives grams in 100 mL. 1 g is 1000 mg.
    """
    return preparation * strength / 1000


@mistake_of(drug_for_percentage_wv, id="drug-percent-as-number-wv")
def percentage_as_grams_per_millilitre(*, strength: PercentWV, preparation: Volume) -> Mass:
    """The percentage was used as grams in 1 mL.

    2 % w/v means 2 g in 100 mL, so multiply by 2 and divide by 100.
    """
    return preparation * strength * 100


@mistake_of(drug_for_percentage_wv, id="drug-percent-as-mg-per-ml")
def percentage_as_milligrams_per_millilitre(*, strength: PercentWV, preparation: Volume) -> Mass:
    """The percentage was used as milligrams in 1 mL.

    1 % w/v is 10 mg/mL.
    """
    return preparation * strength / 10
