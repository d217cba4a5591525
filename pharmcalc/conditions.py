"""What must hold between the amounts of a formula: an order, one basis for all strengths, volumes for % w/v.

A formula names its conditions (``checks=...``). A condition that is broken is refused by the name of the argument,
with the rule, the values and the cure, before anything is calculated. So a mixture that no mixing can make is never a
negative number of grams.
"""

import re
from collections.abc import Mapping

from pharmcalc.errors import RefusedError
from pharmcalc.formula import Check, Values, words
from pharmcalc.kinds import Kind
from pharmcalc.reading import read

__all__ = ["alike", "in_order", "volumes_for_wv"]

_BELOW = {"<": "less than", "<=": "at most"}
_ABOVE = {"<": "more than", "<=": "at least"}


def in_order(order: str, *, blame: str, cure: str) -> Check:
    """Return a check that amounts stand in an order, such as ``"strength < wanted_strength < 100 %"``.

    Each place is the name of an argument or an amount written out. ``blame`` is the argument that is refused,
    ``cure`` says what to do. Amounts that cannot be compared (5 % and 5 % w/v, or grams and millilitres) are refused
    too.
    """
    places = re.split(r"\s*(<=|<)\s*", order)

    def check(where: str, kinds: Mapping[str, Kind], values: Values) -> None:
        amounts = {place: values[place] if place in values else read(place).value for place in places[0::2]}
        shown = {name: kinds[name].show(values[name]) for name in amounts if name in kinds}
        others = {place: amount for place, amount in amounts.items() if place != blame}
        _comparable(where, {**others, blame: amounts[blame]}, shown)
        for low, sign, high in zip(places[0::2], places[1::2], places[2::2], strict=False):
            smaller, larger = amounts[low], amounts[high]
            if smaller < larger or (sign == "<=" and smaller == larger):
                continue
            other, must = (low, _ABOVE[sign]) if high == blame else (high, _BELOW[sign])
            limit = f"{words(other)} ({shown[other]})" if other in shown else other
            raise RefusedError(f"{where}: {blame}", f"must be {must} {limit}; it was {shown[blame]}.", cure)

    return check


def alike(*names: str) -> Check:
    """Return a check that amounts are all masses or all volumes, or strengths all on one basis."""

    def check(where: str, kinds: Mapping[str, Kind], values: Values) -> None:
        shown = {name: kinds[name].show(values[name]) for name in names}
        _comparable(where, {name: values[name] for name in names}, shown)

    return check


def volumes_for_wv(strength: str, amount: str) -> Check:
    """Return a check that a strength in grams per volume (% w/v, mg/mL) is used with a volume, not with a mass."""

    def check(where: str, kinds: Mapping[str, Kind], values: Values) -> None:
        if not values[strength].dimensionless and not values[amount].is_compatible_with("millilitre"):
            raise RefusedError(
                f"{where}: {amount}",
                f"must be a volume, because {words(strength)} is {kinds[strength].show(values[strength])}; "
                f"it was {kinds[amount].show(values[amount])}.",
                "A strength w/v counts grams in a volume. Give the volume, or turn the strength into w/w.",
            )

    return check


def _comparable(where: str, amounts: Values, shown: Mapping[str, str]) -> None:
    """Refuse amounts that are not all of one dimension; ``shown`` writes those that have a name."""
    (first, value), *others = amounts.items()
    for name, other in others:
        if other.dimensionality == value.dimensionality:
            continue
        said, against = (name, first) if name in shown else (first, name)
        raise RefusedError(
            f"{where}: {said}",
            f"it was {shown[said]}, which cannot be compared with "
            + (f"{words(against)} ({shown[against]})." if against in shown else f"{against}."),
            "Write both in the same way: both masses or both volumes, both % w/w, both % w/v or both mg/mL.",
        )
