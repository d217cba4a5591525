"""What stands on the bench for a liquid plan: the balance, two vessels and how much of the drug dissolves."""

from dataclasses import replace
from functools import cache

from pharmcalc.aliquots import Limits, LiquidLimits
from pharmcalc.balances import Balance
from pharmcalc.kinds import MASS_PER_VOLUME, VOLUME
from pharmcalc.language import later, say
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import Quantity, quantity
from pharmcalc.volumes import Vessel, least_measurable_volume, vessel

__all__ = ["drawn_bench", "limits_of", "words_of"]

_DRUGS = (
    later("clonidine hydrochloride"),
    later("codeine phosphate"),
    later("atropine sulfate"),
    later("colchicine"),
    later("morphine hydrochloride"),
)
_SOLUBILITIES = ("2", "4", "5", "8", "10", "15", "20", "25", "30", "40", "50")


@cache
def _small() -> tuple[Vessel, ...]:
    """Return the vessels that an aliquot is measured in, made once."""
    known = (("measuring pipette", "USP <31>", "5 mL"), ("measuring pipette", "USP <31>", "10 mL"))
    return tuple(
        vessel(kind=kind, standard=standard, capacity=size)
        for kind, standard, size in (*known, ("cylinder", "ASTM E1272", "10 mL"))
    )


@cache
def _large() -> tuple[Vessel, ...]:
    """Return the vessels that a solution is made up in, made once."""
    return tuple(vessel(kind="cylinder", standard="ASTM E1272", capacity=size) for size in ("25 mL", "50 mL", "100 mL"))


@cache
def _usual(one: Vessel, allowed_error: Quantity) -> tuple[Quantity, ...]:
    """Return the volumes a house may set as the least to measure in a vessel: none with too large an error.

    Where the vessel is not good enough for any of them, the largest of them is set all the same.
    """
    needed = least_measurable_volume(volume_error=one.limit, allowed_error=allowed_error)
    usual = [quantity(size, "mL") for size in ("1", "2", "2.5", "4", "5")]
    good = [size for size in usual if size * 2 <= one.capacity and one.range is not None and one.range.holds(size)]
    return tuple(size for size in good if size >= needed) or tuple(good[-1:])


def _marked(one: Vessel) -> str:
    assert one.graduation is not None
    return say(
        "a {capacity} {kind} marked every {graduation}",
        capacity=VOLUME.show(one.capacity),
        kind=say(one.kind),
        graduation=VOLUME.show(one.graduation),
    )


def drawn_bench(
    dice: Dice, house: HouseRules, balance: Balance, drug_wanted: Quantity, final_volume: Quantity
) -> tuple[LiquidLimits, dict[str, str]]:
    """Draw the vessels and a solubility that leaves room for an aliquot; return what they allow, and their words."""
    small, large = dice.pick(_small()), dice.pick(_large())
    least = dice.pick(_usual(small, house.allowed_error))
    solubilities = [quantity(strength, "milligram / millilitre") for strength in _SOLUBILITIES]
    solubility = dice.pick([one for one in solubilities if one * small.capacity >= drug_wanted] or solubilities[-1:])
    limits = limits_of(house.limits(balance), small, least, large, solubility, final_volume)
    return limits, {"drug": dice.pick(_DRUGS), **words_of(balance, small, large, solubility)}


def limits_of(
    of_balance: Limits, small: Vessel, least: Quantity, large: Vessel, solubility: Quantity, final_volume: Quantity
) -> LiquidLimits:
    """Return what balance, vessels and drug allow; ``least`` is the least that is measured in the small vessel."""
    assert small.range is not None
    assert large.range is not None
    return LiquidLimits.of(
        of_balance,
        aliquot_vessel=replace(small.range, least=least),
        solution_vessel=large.range,
        solubility=solubility,
        final_volume=final_volume,
    )


def words_of(balance: Balance, small: Vessel, large: Vessel, solubility: Quantity) -> dict[str, str]:
    """Return the same in the words that a task's text has room for."""
    assert large.range is not None
    return {
        "balance": balance.name,
        "small_vessel": _marked(small),
        "large_vessel": _marked(large),
        "least_solution": VOLUME.show(large.range.least),
        "solubility": MASS_PER_VOLUME.show(solubility),
    }
