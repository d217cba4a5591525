"""Amounts that many formulas share, each stated once."""

from pharmcalc.units import quantity

__all__ = ["HUNDRED_PERCENT", "ONE_GRAM_PER_ML", "ONE_PERCENT_WV"]

HUNDRED_PERCENT = quantity(100, "percent")
ONE_PERCENT_WV = quantity(1, "percent_in_volume")
"""1 % w/v is 1 g in 100 mL, by definition."""
ONE_GRAM_PER_ML = quantity(1, "gram / millilitre")
"""1 mL of water counts as 1 g for specific gravity, the teaching convention."""
