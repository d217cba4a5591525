"""What handing in late costs: a share of the marks earned for each day begun, as the house rules say."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Any

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import PERCENT
from pharmcalc.language import say
from pharmcalc.tasks.entries import amount, count
from pharmcalc.units import Quantity, quantity

__all__ = ["KEYS", "NO_PENALTY", "LateRule", "read_late"]

PER_DAY, DAYS = "late-penalty-per-day", "late-days-at-most"
KEYS = (PER_DAY, DAYS)
_DAY = 24 * 60 * 60
_NO_LIMIT = "none"
_NOTHING = quantity(0, "percent")


@dataclass(frozen=True)
class LateRule:
    """The share of the marks that each day begun takes, and after how many days nothing is left (None: no limit)."""

    per_day: Quantity = _NOTHING
    days: int | None = None

    @property
    def costs(self) -> bool:
        """Whether handing in late costs anything."""
        return self.per_day.magnitude > 0 or self.days is not None

    def lost(self, seconds: float) -> Fraction:
        """Return the share of the marks that is lost by handing in so many seconds late.

        >>> rule = LateRule(quantity(10, "percent"), 5)
        >>> rule.lost(0) == 0, rule.lost(60) == Fraction(1, 10), rule.lost(6 * 86400) == 1
        (True, True, True)
        """
        if seconds <= 0:
            return Fraction(0)
        days = ceil(Fraction(seconds) / _DAY)
        if self.days is not None and days > self.days:
            return Fraction(1)
        return min(Fraction(1), days * Fraction(self.per_day.to_base_units().magnitude))

    def says(self) -> str:
        """Say it in words."""
        per_day = say("costs {per_day} of the marks earned for each day begun", per_day=PERCENT.show(self.per_day))
        if self.days is None:
            return per_day
        after = (
            say("after 1 day nothing counts")
            if self.days == 1
            else say("after {days} days nothing counts", days=self.days)
        )
        return f"{per_day}; {after}" if self.per_day.magnitude > 0 else after


NO_PENALTY = LateRule()
"""Handing in late is told, and costs nothing."""


def read_late(table: Mapping[str, Any]) -> LateRule:
    """Return the rule in the house rules' table; handing in late costs nothing where nothing is said."""
    per_day = amount(table, PER_DAY, PERCENT.check) if PER_DAY in table else _NOTHING
    if per_day.to_base_units().magnitude > 1:
        raise RefusedError(
            f"house rules: {PER_DAY}", f"it was {PERCENT.show(per_day)}.", 'Write a percentage up to "100 %".'
        )
    days = None if table.get(DAYS, _NO_LIMIT) == _NO_LIMIT else count(table, DAYS)
    return LateRule(per_day, days)
