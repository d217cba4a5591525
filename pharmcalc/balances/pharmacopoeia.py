"""What the pharmacopoeia asks of an electronic balance: the minimum weight from its repeatability.

Written for "accurately weighed" materials in analysis, not for dispensing. d is the display step, s the standard
deviation of repeated weighings.
"""

from fractions import Fraction

from pharmcalc.constants import HUNDRED_PERCENT
from pharmcalc.equations import larger, root
from pharmcalc.formula import Mass, Number, Percent, formula, mistake_of
from pharmcalc.units import quantity

__all__ = [
    "FLOOR",
    "largest_step_for",
    "minimum_weight",
    "minimum_weight_before_2013",
    "repeatability_error",
    "rounding_of_net_weight",
    "smallest_minimum_weight",
    "smallest_net_weight",
]

PHARMACOPOEIA_LIMIT = quantity("0.1", "percent")
"""USP <41>: repeatability and accuracy within 0.10 %."""
FLOOR = Fraction(41, 100)
"""USP <41>: the standard deviation counts as at least 0.41 d (from memory)."""


@formula(source="usp-41 usp-41-floor", symbol="m min")
def minimum_weight(*, standard_deviation: Mass, display_step: Mass) -> Mass:
    """Return the minimum weight of an electronic balance from its repeatability (USP <41>).

    Formula: 2 × larger of (s; 0.41 d) ÷ 0.10 %. Written for "accurately weighed" materials in analysis, not for
    dispensing; it holds for the net sample: the tare does not count.

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


@mistake_of(smallest_minimum_weight, id="smallest-minimum-percent-as-number")
def limit_used_as_number(*, display_step: Mass) -> Mass:
    """The percentage was used as a plain number.

    0.10 % means 0.10 in 100, so it is 0.001 and not 0.1.
    """
    return display_step * FLOOR * 2 / (PHARMACOPOEIA_LIMIT * 100)


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


@mistake_of(largest_step_for, id="step-multiplied-by-820")
def multiplied_by_820(*, minimum_weight: Mass) -> Mass:
    """The minimum weight was multiplied by 820 instead of divided by it.

    The display step is a small part of what may be weighed, never larger than it.
    """
    return minimum_weight * (2 * FLOOR) / PHARMACOPOEIA_LIMIT


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

    standard_deviation: s, or 0.41 d where that is larger, a mass above zero. smallest_net_weight: without tare, a mass
    above zero. Returns a percentage. Raises RefusedError for a bare number, another kind of amount, zero or a negative
    mass.

    >>> error = repeatability_error(standard_deviation="0.03 mg", smallest_net_weight="60 mg")
    >>> print(repeatability_error.kind.show(error))
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


@formula(source="rounding-of-two-readings", symbol="0.41 d")
def rounding_of_net_weight(*, display_step: Mass) -> Mass:
    """Return the standard deviation that rounding alone gives a net weight: where the 0.41 d of USP <41> comes from.

    Formula: square root of (d × d ÷ 12 × 2) = √2 × d ÷ (2 √3) = 0.408 d. Each reading is rounded to d, so its error
    lies evenly within half a step either way: d × d ÷ 12 is the square of that standard deviation. A net weight needs
    two readings, the zero and the load, and squares of standard deviations add.

    display_step: d, above zero. Returns a mass. Does not count anything but rounding: no drift, no draught.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(rounding_of_net_weight.kind.show(rounding_of_net_weight(display_step="1 mg")))
    about 0.4082 mg

    Source: two roundings, each rectangular over one step (common practice); USP <41> rounds it to 0.41 d.
    """
    return root(display_step * display_step / 12 * 2)


@mistake_of(rounding_of_net_weight, id="rounding-of-one-reading")
def one_reading_only(*, display_step: Mass) -> Mass:
    """Only one reading was counted.

    A net weight is the difference of two readings, the zero and the load, and both are rounded.
    """
    return root(display_step * display_step / 12)


@mistake_of(rounding_of_net_weight, id="roundings-added")
def standard_deviations_added(*, display_step: Mass) -> Mass:
    """The standard deviations of the two readings were added.

    Independent errors partly cancel: add the squares, and take the square root of the sum.
    """
    return root(display_step * display_step / 12) * 2


@formula(source="usp-1251", symbol="m")
def smallest_net_weight(*, minimum_weight: Mass, safety_factor: Number) -> Mass:
    """Return the smallest net weight that keeps a safety factor above the minimum weight (USP <1251>, guidance).

    Formula: minimum weight × safety factor. A balance in daily use repeats less well than on the day of its test.

    minimum_weight: a mass above zero. safety_factor: a plain number above zero, often 2. Returns a mass: of the net
    sample, never of tare and sample together. Raises RefusedError for a bare number as mass, another kind of amount,
    zero or a negative value.

    >>> print(smallest_net_weight.kind.show(smallest_net_weight(minimum_weight="82 mg", safety_factor="2")))
    164 mg

    Source: USP <1251> (from memory).
    """
    return minimum_weight * safety_factor


@mistake_of(smallest_net_weight, id="tare-counted-as-sample")
def tare_taken_off(*, minimum_weight: Mass, safety_factor: Number, tare: Mass) -> Mass:
    """The tare was counted as part of the sample.

    The minimum weight is a rule for the net sample. A heavy vessel does not make a small sample better weighed.
    """
    return minimum_weight * safety_factor - tare


@mistake_of(smallest_net_weight, id="safety-factor-left-out")
def no_safety_factor(*, minimum_weight: Mass) -> Mass:
    """The safety factor was left out.

    The minimum weight is where the balance just complies, on the day it was tested.
    """
    return minimum_weight


@mistake_of(smallest_net_weight, id="safety-factor-divided")
def divided_by_safety_factor(*, minimum_weight: Mass, safety_factor: Number) -> Mass:
    """The minimum weight was divided by the safety factor.

    Safety lies above the minimum weight, so multiply.
    """
    return minimum_weight / safety_factor
