"""The preparations that tasks about dilution and mixing speak of, with the strengths that a lab may have of each."""

from dataclasses import dataclass
from fractions import Fraction

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import STRENGTH
from pharmcalc.language import later, say
from pharmcalc.rounding import round_to_figures
from pharmcalc.tasks.dice import Dice
from pharmcalc.units import Quantity, quantity, quotient, rounded_text, unit_name

__all__ = ["OINTMENTS", "SOLUTIONS", "SPIRITS", "Product", "instead", "no_good"]


@dataclass(frozen=True)
class Product:
    """A preparation that comes in several strengths, and what it is diluted with.

    ``basis`` is how its percentages count; ``strengths`` are percentages such as ``"2.5"`` or ratio strengths such as
    ``"1:5000"``, weakest first.
    """

    name: str
    basis: str
    diluent: str
    strengths: tuple[str, ...]

    @property
    def unit(self) -> str:
        """The unit it is measured out in."""
        return "gram" if self.basis == "w/w" else "millilitre"

    @property
    def suffix(self) -> str:
        """What stands behind a shown strength: a strength w/v says so itself."""
        return "" if self.basis == "w/v" else f" {self.basis}"

    def drawn(self, dice: Dice, count: int) -> list[Quantity]:
        """Return some different strengths of it, weakest first."""
        kept = sorted(dice.shuffled(range(len(self.strengths)))[:count])
        return [self._strength(self.strengths[place]) for place in kept]

    def amount(self, number: int) -> Quantity:
        """Return an amount of it, in grams or millilitres."""
        return quantity(number, self.unit)

    def _strength(self, text: str) -> Quantity:
        _, colon, parts = text.partition(":")
        if colon:
            return quantity(Fraction(1, int(parts)), "gram / millilitre")
        return quantity(text, "percent_in_volume" if self.basis == "w/v" else "percent")


OINTMENTS = (
    Product(
        later("zinc oxide ointment"),
        "w/w",
        later("white soft paraffin"),
        ("5", "8", "10", "12", "15", "20", "25", "32", "40"),
    ),
    Product(
        later("salicylic acid ointment"),
        "w/w",
        later("emulsifying ointment"),
        ("1", "2", "3", "5", "6", "10", "12", "20"),
    ),
    Product(
        later("coal tar ointment"),
        "w/w",
        later("yellow soft paraffin"),
        ("1", "2", "3", "4", "5", "6", "10", "12", "20"),
    ),
    Product(later("sulfur ointment"), "w/w", later("white soft paraffin"), ("1", "2", "3", "5", "6", "8", "10", "15")),
    Product(later("urea cream"), "w/w", later("plain cream"), ("2", "4", "5", "8", "10", "12", "20", "25", "40")),
    Product(later("hydrocortisone cream"), "w/w", later("plain cream"), ("0.1", "0.25", "0.5", "1", "2", "2.5")),
)
SPIRITS = (
    Product(later("ethanol"), "v/v", later("purified water"), ("20", "25", "45", "50", "60", "70", "80", "90", "95")),
)
SOLUTIONS = (
    Product(
        later("potassium permanganate solution"),
        "w/v",
        later("purified water"),
        ("1:10000", "1:8000", "1:5000", "1:4000", "0.05", "0.1", "0.25", "0.5", "1", "2", "2.5"),
    ),
    Product(
        later("chlorhexidine solution"),
        "w/v",
        later("purified water"),
        ("0.015", "0.02", "0.05", "0.1", "0.2", "0.5", "2", "5"),
    ),
    Product(
        later("silver nitrate solution"),
        "w/v",
        later("purified water"),
        ("1:4000", "1:2000", "0.1", "1:400", "1:200", "1"),
    ),
    Product(
        later("povidone-iodine solution"),
        "w/v",
        later("purified water"),
        ("1:2000", "0.1", "0.25", "0.5", "1", "2", "5", "10"),
    ),
    Product(
        later("sodium chloride solution"), "w/v", later("purified water"), ("0.45", "0.9", "1.8", "3", "5", "10", "20")
    ),
    Product(
        later("aluminium acetate solution"),
        "w/v",
        later("purified water"),
        ("0.13", "0.26", "0.65", "1.3", "5", "6.5", "13"),
    ),
)


def no_good(why: str) -> RefusedError:
    """Return the refusal of numbers that make no good question; the task draws again."""
    return RefusedError("draw", why, "Draw again.")


def instead(made: Quantity, wanted: Quantity, suffix: str = "") -> str:
    """Say what strength would come of it: ``15 % w/w instead of 5 % w/w, 3 times as strong``; empty if it is right."""
    times = quotient(made, wanted)
    if abs(times - 1) * 200 < 1:
        return ""
    unit = unit_name(wanted)
    shown = [STRENGTH.show_exactly(round_to_figures(value.to(unit), 3))[0] + suffix for value in (made, wanted)]
    far = say(", {times} times as strong", times=rounded_text(times)) if times >= 2 or times * 2 <= 1 else ""
    return say("{made} instead of {wanted}{far}", made=shown[0], wanted=shown[1], far=far)
