"""What every lesson, page, sheet and report says, in the same words."""

from pharmcalc.language import later

__all__ = ["CAUTION"]

CAUTION = later(
    "For education only. Not for preparing or dispensing medicines. Local law, the pharmacopoeia in force, "
    "site procedures and licensed practice decide. Have every result verified by a second person."
)
