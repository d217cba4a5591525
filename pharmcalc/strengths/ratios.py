"""Ratio strengths: 1 part in R parts *of the whole*, so 1:200 and 1 in 200 are the same thing."""

from pharmcalc.constants import HUNDRED_PERCENT
from pharmcalc.equations import one_in
from pharmcalc.formula import Mass, PercentWW, Ratio, Strength, formula, mistake_of
from pharmcalc.units import quantity

__all__ = [
    "drug_in_ratio",
    "percentage_from_ratio",
    "preparation_for_drug",
    "ratio_of_drug_and_diluent",
    "ratio_strength",
]


@formula(source="definition classroom", symbol="preparation")
def preparation_for_drug(*, drug: Mass, strength: Strength) -> Mass:
    """Return the mass of a preparation (such as a trituration) that holds a mass of drug.

    Formula: drug ÷ strength, for a strength w/w or a ratio strength by weight.

    drug: a mass above zero. strength: w/w, for example 5 % w/w or 1:20, above zero and at most 100 %. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> print(preparation_for_drug.kind.show(preparation_for_drug(drug="50 mg", strength="1:20")))
    1000 mg

    Source: the definition.
    """
    return drug / strength


@mistake_of(preparation_for_drug, id="preparation-ratio-plus-one")
def diluent_counted_as_the_whole(*, drug: Mass, strength: Strength) -> Mass:
    """1:R was read as 1 part and R parts more.

    A ratio strength 1:R means 1 part in R parts of the whole.
    """
    return drug * (1 / strength + 1)


@mistake_of(preparation_for_drug, id="preparation-times-strength")
def drug_times_strength(*, drug: Mass, strength: Strength) -> Mass:
    """The drug was multiplied by the strength instead of divided by it.

    The preparation holds the drug and more, so it weighs more than the drug alone.
    """
    return drug * strength


@formula(source="kent-strengths rees-smith-watson", symbol="1:R")
def ratio_strength(*, strength: Strength) -> Ratio:
    """Return a strength as a ratio strength, 1 part in R parts of the whole.

    Formula: 1 in (1 ÷ strength). For w/v it is 1 g in R mL.

    strength: a percentage w/w, w/v or v/v, above zero and at most 100 %. Returns the same strength, written 1:R. Raises
    RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> print(ratio_strength.kind.show(ratio_strength(strength="5 % w/w")))
    1:20

    Source: University of Kent, Converting strengths; Rees, Smith & Watson p. 50.
    """
    return one_in(1 / strength)


@mistake_of(ratio_strength, id="ratio-of-the-percentage-number")
def percentage_number_as_ratio(*, strength: Strength) -> Ratio:
    """The number of the percentage was written behind the 1.

    5 % is 5 in 100. Divide both by 5: 1 in 20.
    """
    return one_in(strength * 100)


@mistake_of(ratio_strength, id="ratio-per-ten")
def percentage_of_a_thousand(*, strength: Strength) -> Ratio:
    """1000 was divided by the percentage instead of 100.

    Per cent means in a hundred: 1 % is 1 in 100.
    """
    return one_in(10 / strength)


@mistake_of(ratio_strength, id="ratio-hundred-left-out")
def hundred_minus_percentage(*, strength: Strength) -> Ratio:
    """The diluent was counted as the whole.

    1:R means 1 part in R parts of the whole, the drug included.
    """
    return one_in(1 / strength - 1)


@formula(source="classroom definition", symbol="1:R")
def ratio_of_drug_and_diluent(*, drug: Mass, diluent: Mass) -> Ratio:
    """Return the ratio strength w/w of a mixture of drug and diluent.

    Formula: drug ÷ (drug + diluent), written as 1 in R parts of the whole.

    drug, diluent: masses above zero. Returns a ratio strength.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(ratio_of_drug_and_diluent.kind.show(ratio_of_drug_and_diluent(drug="150 mg", diluent="4.05 g")))
    1:28

    Source: the definition.
    """
    return drug / (drug + diluent)


@mistake_of(ratio_of_drug_and_diluent, id="ratio-drug-to-diluent")
def drug_to_diluent(*, drug: Mass, diluent: Mass) -> Ratio:
    """The ratio was taken from drug to diluent.

    A ratio strength counts the whole mixture, the drug included.
    """
    return drug / diluent


@formula(source="definition", symbol="drug")
def drug_in_ratio(*, ratio: Ratio, preparation: Mass) -> Mass:
    """Return the mass of drug in a mass of preparation of a given ratio strength.

    Formula: preparation × ratio strength (1:R is 1 ÷ R).

    ratio: for example 1:20, above zero. preparation: a mass above zero. Returns a mass. Raises RefusedError for a bare
    number, another kind of amount, zero or a negative value.

    >>> print(drug_in_ratio.kind.show(drug_in_ratio(ratio="1:20", preparation="1000 mg")))
    50 mg

    Source: the definition.
    """
    return preparation * ratio


@mistake_of(drug_in_ratio, id="ratio-read-as-parts-added")
def one_and_r_parts(*, ratio: Ratio, preparation: Mass) -> Mass:
    """1:R was read as 1 part and R parts more.

    A ratio strength 1:R means 1 part in R parts of the whole, so divide by R.
    """
    return preparation / (1 / ratio + 1)


@mistake_of(drug_in_ratio, id="ratio-read-as-less-one")
def one_in_r_minus_one(*, ratio: Ratio, preparation: Mass) -> Mass:
    """The preparation was divided by R - 1.

    A ratio strength 1:R means 1 part in R parts of the whole, so divide by R.
    """
    return preparation / (1 / ratio - 1)


@formula(source="kent-strengths", symbol="%")
def percentage_from_ratio(*, ratio: Ratio) -> PercentWW:
    """Return a ratio strength (w/w) as a percentage; the inverse of :func:`ratio_strength`.

    Formula: 1 part ÷ R parts, in a hundred.

    ratio: for example 1:500, above zero. Returns a percentage w/w. Raises RefusedError for a bare number, another kind
    of amount, zero or a negative value.

    >>> print(percentage_from_ratio.kind.show(percentage_from_ratio(ratio="1:500")))
    0.2 % w/w

    Source: University of Kent, Converting strengths.
    """
    return ratio * HUNDRED_PERCENT


@mistake_of(percentage_from_ratio, id="ratio-number-as-percentage")
def ratio_without_hundred(*, ratio: Ratio) -> PercentWW:
    """1 ÷ R was written as a percentage without multiplying by 100.

    1 in 500 is 0.002, and 0.002 of the whole is 0.2 in 100.
    """
    return ratio * quantity(1, "percent")


@mistake_of(percentage_from_ratio, id="ratio-plus-one-as-percentage")
def ratio_plus_one(*, ratio: Ratio) -> PercentWW:
    """1:R was read as 1 part and R parts more.

    A ratio strength 1:R means 1 part in R parts of the whole.
    """
    return 1 / (1 / ratio + 1) * HUNDRED_PERCENT
