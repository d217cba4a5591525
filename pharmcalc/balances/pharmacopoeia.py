"""What the pharmacopoeia asks of an electronic balance: the minimum weight from its repeatability.

Written for "accurately weighed" materials in analysis, not for dispensing. d is the display step, s the standard deviation of
repeated weighings.
"""

from fractions import Fraction

from pharmcalc.equations import larger
from pharmcalc.formula import Mass, Percent, formula, mistake_of
from pharmcalc.units import quantity

__all__ = [
    "FLOOR",
    "largest_step_for",
    "minimum_weight",
    "minimum_weight_before_2013",
    "repeatability_error",
    "smallest_minimum_weight",
]

HUNDRED_PERCENT = quantity(100, "percent")
PHARMACOPOEIA_LIMIT = quantity("0.1", "percent")
"""USP <41>: repeatability and accuracy within 0.10 %."""
FLOOR = Fraction(41, 100)
"""USP <41>: the standard deviation counts as at least 0.41 d (from memory)."""


@formula(source="usp-41 usp-41-floor", symbol="m min")
def minimum_weight(*, standard_deviation: Mass, display_step: Mass) -> Mass:
    """Return the minimum weight of an electronic balance from its repeatability (USP <41>).

    Formula: 2 × larger of (s; 0.41 d) ÷ 0.10 %. Written for "accurately weighed" materials in analysis, not for dispensing; it holds
    for the net sample: the tare does not count.

    standard_deviation: of at least 10 weighings, above zero. display_step: d, above zero. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(minimum_weight.kind.show(minimum_weight(standard_deviation="0.025 mg", display_step="0.1 mg")))
    82 mg

    Source: USP <41>, in force since December 2013; the floor of 0.41 d from memory.
    """
    return larger(standard_deviation, display_step * FLOOR) * 2 / PHARMACOPOEIA_LIMIT


@mistake_of(minimum_weight, id="minimum-weight-no-floor")
def repeatability_without_floor(*, standard_deviation: Mass) -> Mass:
    """The standard deviation was used although it is smaller than 0.41 d.

    A display cannot repeat better than its own rounding: below 0.41 d the standard deviation counts as 0.41 d.
    """
    return standard_deviation * 2 / PHARMACOPOEIA_LIMIT


@mistake_of(minimum_weight, id="minimum-weight-three-s")
def three_standard_deviations(*, standard_deviation: Mass, display_step: Mass) -> Mass:
    """Three standard deviations were used.

    That was the rule before December 2013. The present rule uses two.
    """
    return larger(standard_deviation, display_step * FLOOR) * 3 / PHARMACOPOEIA_LIMIT


@formula(source="usp-41", symbol="820 d")
def smallest_minimum_weight(*, display_step: Mass) -> Mass:
    """Return the minimum weight that no balance with this display step can beat (USP <41>).

    Formula: 2 × 0.41 d ÷ 0.10 % = 820 d.

    display_step: d, above zero. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(smallest_minimum_weight.kind.show(smallest_minimum_weight(display_step="0.1 mg")))
    82 mg

    Source: USP <41> (820 d met second-hand).
    """
    return display_step * FLOOR * 2 / PHARMACOPOEIA_LIMIT


@formula(source="usp-41", symbol="d")
def largest_step_for(*, minimum_weight: Mass) -> Mass:
    """Return the largest display step whose balance could reach a minimum weight (USP <41>).

    Formula: minimum weight × 0.10 % ÷ (2 × 0.41); the inverse of :func:`smallest_minimum_weight`.

    minimum_weight: a mass above zero. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(largest_step_for.kind.show(largest_step_for(minimum_weight="82 mg")))
    0.1 mg

    Source: USP <41> (820 d met second-hand).
    """
    return minimum_weight * PHARMACOPOEIA_LIMIT / (2 * FLOOR)


@formula(source="usp-41-old", symbol="m min")
def minimum_weight_before_2013(*, standard_deviation: Mass) -> Mass:
    """Return the minimum weight under the rule before December 2013, as history only.

    Formula: 3 × s ÷ 0.10 %. Not in force; shown so that old notes can be understood.

    standard_deviation: above zero. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(minimum_weight_before_2013.kind.show(minimum_weight_before_2013(standard_deviation="0.1 mg")))
    300 mg

    Source: USP 35 <41>.
    """
    return standard_deviation * 3 / PHARMACOPOEIA_LIMIT


@formula(source="usp-41", symbol="2 s / m")
def repeatability_error(*, standard_deviation: Mass, smallest_net_weight: Mass) -> Percent:
    """Return the repeatability of a balance as a percentage of the smallest net weight (USP <41>).

    Formula: 2 × s ÷ smallest net weight × 100 %; it complies when it does not exceed 0.10 % (equality passes).

    standard_deviation: s, or 0.41 d where that is larger. smallest_net_weight: without tare. Both masses above zero.
    Returns a percentage. Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(repeatability_error.kind.show(repeatability_error(standard_deviation="0.03 mg", smallest_net_weight="60 mg")))
    0.1 %

    Source: USP <41>.
    """
    return standard_deviation * 2 / smallest_net_weight * HUNDRED_PERCENT


@mistake_of(repeatability_error, id="repeatability-one-s")
def one_standard_deviation(*, standard_deviation: Mass, smallest_net_weight: Mass) -> Percent:
    """One standard deviation was used.

    The criterion takes two standard deviations.
    """
    return standard_deviation / smallest_net_weight * HUNDRED_PERCENT
