"""Triturations: a drug diluted with a solid once, or twice, and the ratio strength that comes of it.

A trituration 1:10 is 1 part of drug in 10 parts *of the whole*: 1 part and 9 parts of diluent. How much of a
trituration holds an amount of drug is :func:`trituration_for_drug`; for a percentage strength it is
:func:`pharmcalc.strengths.preparation_for_drug`.
"""

from pharmcalc.conditions import in_order
from pharmcalc.formula import Mass, Ratio, formula, mistake_of

__all__ = [
    "diluent_for_ratio",
    "ratio_of_two_steps",
    "second_ratio_needed",
    "trituration_for_drug",
    "trituration_for_second",
]


@formula(
    source="classroom definition",
    symbol="diluent",
    checks=(
        in_order("ratio < 1:1", blame="ratio", cure="1:1 is the drug itself. Write 1 in how many parts, such as 1:20."),
    ),
)
def diluent_for_ratio(*, drug: Mass, ratio: Ratio) -> Mass:
    """Return the diluent that makes a trituration of a given ratio strength from a mass of drug.

    Formula: drug × (1 ÷ ratio - 1), so R - 1 parts of diluent for 1:R.

    drug: a mass above zero. ratio: above zero and below 1:1, for example 1:20. Returns a mass. Raises RefusedError for
    a bare number, another kind of amount, zero, or a ratio that leaves no room for diluent. Does not look at whether
    the balance may weigh it.

    >>> print(diluent_for_ratio.kind.show(diluent_for_ratio(drug="50 mg", ratio="1:20")))
    950 mg

    Source: the definition (19 parts of diluent in 1:20).
    """
    return drug * (1 / ratio - 1)


@mistake_of(diluent_for_ratio, id="ratio-parts-of-diluent")
def r_parts_of_diluent(*, drug: Mass, ratio: Ratio) -> Mass:
    """R parts of diluent were taken for 1:R.

    1:R means 1 part in R parts of the whole, the drug included. R parts of diluent would make 1 in R + 1.
    """
    return drug / ratio


@mistake_of(diluent_for_ratio, id="ratio-one-part-more")
def one_part_more(*, drug: Mass, ratio: Ratio) -> Mass:
    """A part of diluent was added instead of taken off.

    R parts are the whole; the drug is one of them, so R - 1 parts are diluent.
    """
    return drug * (1 / ratio + 1)


@formula(source="winfield", symbol="1:R")
def ratio_of_two_steps(*, first_ratio: Ratio, second_ratio: Ratio) -> Ratio:
    """Return the ratio strength after a trituration has itself been triturated.

    Formula: first ratio × second ratio, so 1:10 of a 1:10 is 1:100.

    first_ratio: drug in the first trituration, above zero. second_ratio: first trituration in the second, above zero.
    Returns a ratio strength. Raises RefusedError for a bare number, another kind of amount or zero. Takes each mixture
    as perfectly uniform.

    >>> print(ratio_of_two_steps.kind.show(ratio_of_two_steps(first_ratio="1:10", second_ratio="1:10")))
    1:100

    Source: a UK dispensing textbook (serial triturations), from memory.
    """
    return first_ratio * second_ratio


@mistake_of(ratio_of_two_steps, id="serial-parts-added")
def parts_of_both_added(*, first_ratio: Ratio, second_ratio: Ratio) -> Ratio:
    """The parts of the two steps were added instead of multiplied.

    Each step thins what the step before has made: ten times thinner, and ten times thinner again.
    """
    return 1 / (1 / first_ratio + 1 / second_ratio)


@mistake_of(ratio_of_two_steps, id="serial-second-step-only")
def second_step_only(*, second_ratio: Ratio) -> Ratio:
    """Only the second step was counted.

    What was mixed in the second step was not drug but the first trituration.
    """
    return second_ratio


@formula(
    source="winfield",
    symbol="1:R2",
    checks=(
        in_order(
            "wanted_ratio <= first_ratio",
            blame="wanted_ratio",
            cure="Triturating again only makes it weaker. Begin with a stronger first trituration.",
        ),
    ),
)
def second_ratio_needed(*, first_ratio: Ratio, wanted_ratio: Ratio) -> Ratio:
    """Return how far a first trituration must be triturated again to reach a wanted ratio strength.

    Formula: wanted ratio ÷ first ratio; the inverse of :func:`ratio_of_two_steps`.

    first_ratio, wanted_ratio: for example 1:10 and 1:100, each above zero. Returns a ratio strength. Raises
    RefusedError for a bare number, another kind of amount or zero. Does not look at what can be weighed.

    >>> print(second_ratio_needed.kind.show(second_ratio_needed(first_ratio="1:10", wanted_ratio="1:100")))
    1:10

    Source: a UK dispensing textbook (serial triturations), from memory.
    """
    return wanted_ratio / first_ratio


@mistake_of(second_ratio_needed, id="serial-parts-subtracted")
def parts_subtracted(*, first_ratio: Ratio, wanted_ratio: Ratio) -> Ratio:
    """The parts of the first step were taken off the parts wanted.

    The steps multiply, so divide: 1:100 from 1:10 needs another 1:10.
    """
    return 1 / (1 / wanted_ratio - 1 / first_ratio)


@formula(source="definition winfield", symbol="trituration")
def trituration_for_drug(*, drug: Mass, ratio: Ratio) -> Mass:
    """Return how much of a trituration holds a mass of drug.

    Formula: drug ÷ ratio strength, so R times the drug for 1:R.

    drug: a mass above zero. ratio: of drug in this trituration, for example 1:100, above zero. Returns a mass. Raises
    RefusedError for a bare number, another kind of amount or zero. Does not look at what can be weighed.

    >>> print(trituration_for_drug.kind.show(trituration_for_drug(drug="2 mg", ratio="1:100")))
    200 mg

    Source: the definition; a UK dispensing textbook (200 mg of 1:100 hold 2 mg), from memory.
    """
    return drug / ratio


@mistake_of(trituration_for_drug, id="trituration-ratio-plus-one")
def one_part_and_r_parts(*, drug: Mass, ratio: Ratio) -> Mass:
    """1:R was read as 1 part and R parts more.

    1:R means 1 part in R parts of the whole, so take R times the drug.
    """
    return drug * (1 / ratio + 1)


@mistake_of(trituration_for_drug, id="trituration-ratio-less-one")
def diluent_of_the_trituration(*, drug: Mass, ratio: Ratio) -> Mass:
    """Only the diluent was counted, R - 1 times the drug.

    What you weigh is drug and diluent together, R times the drug for 1:R.
    """
    return drug * (1 / ratio - 1)


@mistake_of(trituration_for_drug, id="trituration-weighed-as-drug")
def trituration_taken_as_drug(*, drug: Mass) -> Mass:
    """The trituration was weighed as if it were pure drug.

    Only 1 part in R parts of it is drug, so take R times as much.
    """
    return drug


@mistake_of(trituration_for_drug, id="trituration-of-first-ratio")
def first_step_only(*, drug: Mass, first_ratio: Ratio) -> Mass:
    """The ratio strength of the first trituration was used for the second one.

    The second step has thinned it once more: use the ratio strength after both steps.
    """
    return drug / first_ratio


@formula(source="winfield", symbol="first trituration")
def trituration_for_second(*, second_mixture: Mass, second_ratio: Ratio) -> Mass:
    """Return how much of the first trituration goes into a second one.

    Formula: second mixture × second ratio. The rest of the second mixture is diluent.

    second_mixture: the whole second trituration, a mass above zero. second_ratio: for example 1:10, above zero. Returns
    a mass. Raises RefusedError for a bare number, another kind of amount or zero. Does not look at what can be weighed.

    >>> first = trituration_for_second(second_mixture="1000 mg", second_ratio="1:10")
    >>> print(trituration_for_second.kind.show(first))
    100 mg

    Source: a UK dispensing textbook (100 mg of A and 900 mg), from memory.
    """
    return second_mixture * second_ratio


@mistake_of(trituration_for_second, id="second-from-both-steps")
def ratio_of_both_steps_used(*, second_mixture: Mass, first_ratio: Ratio, second_ratio: Ratio) -> Mass:
    """The ratio strength after both steps was used.

    That counts the drug in the second mixture. What goes into it is the first trituration: use the second step alone.
    """
    return second_mixture * first_ratio * second_ratio


@mistake_of(trituration_for_second, id="second-of-first-ratio")
def first_ratio_for_the_second(*, second_mixture: Mass, first_ratio: Ratio) -> Mass:
    """The ratio strength of the first trituration was used for the second step.

    The second mixture is made by its own ratio: 1 part of the first trituration in so many parts of the second.
    """
    return second_mixture * first_ratio


@mistake_of(trituration_for_second, id="second-ratio-plus-one")
def second_step_ratio_plus_one(*, second_mixture: Mass, second_ratio: Ratio) -> Mass:
    """1:R was read as 1 part and R parts more.

    1:R means 1 part in R parts of the whole, so divide the mixture by R.
    """
    return second_mixture / (1 / second_ratio + 1)
