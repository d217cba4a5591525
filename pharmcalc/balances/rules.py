"""What different rules say for one electronic balance: they differ by a factor of fifty."""

from dataclasses import dataclass

from pharmcalc.balances.pharmacopoeia import FLOOR, smallest_minimum_weight
from pharmcalc.balances.sensitivity import least_weighable_quantity
from pharmcalc.language import say
from pharmcalc.sources import Source, source
from pharmcalc.units import Quantity

__all__ = ["SmallestByRule", "smallest_by_each_rule"]


@dataclass(frozen=True)
class SmallestByRule:
    """What one rule says is the smallest amount to weigh, and where the rule comes from."""

    rule: str
    smallest: Quantity
    source: Source


def smallest_by_each_rule(
    *, display_step: Quantity, allowed_error: Quantity, stated: Quantity | None = None
) -> list[SmallestByRule]:
    """Return what each rule says is the smallest amount for one electronic balance.

    The rules answer different questions and differ by about fifty times; prefer a stated minimum weight, from the
    certificate or the site. Arguments as in :func:`least_weighable_quantity` and :func:`smallest_minimum_weight`.

    >>> from pharmcalc.units import quantity
    >>> rules = smallest_by_each_rule(display_step=quantity(1, "mg"), allowed_error=quantity(5, "percent"))
    >>> [str(rule.smallest.magnitude) for rule in rules]
    ['20', '82/5', '820']

    Source: USP <41>; the first two are common practice.
    """
    step_as_sensitivity = least_weighable_quantity(sensitivity=display_step, allowed_error=allowed_error)
    two_roundings = least_weighable_quantity(sensitivity=display_step * FLOOR * 2, allowed_error=allowed_error)
    rows = [
        SmallestByRule(
            say("the display step d taken as the sensitivity requirement"),
            step_as_sensitivity,
            source("classroom"),
        ),
        SmallestByRule(
            say("twice 0.41 d (the rounding of two readings) within the allowed error"),
            two_roundings,
            source("rounding-of-two-readings"),
        ),
        SmallestByRule(
            "USP <41>, 0.10 %: 820 d at best",
            smallest_minimum_weight(display_step=display_step),
            source("usp-41"),
        ),
    ]
    if stated is not None:
        rows.append(SmallestByRule(say("the minimum weight stated for this balance"), stated, source("definition")))
    return rows
