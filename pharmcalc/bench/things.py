"""What stands on the bench: jars with their labels, weighing vessels, and the order that is to be weighed.

Masses inside this room are whole numbers of micrograms, so that a record replays to the same readings everywhere.
"""

from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256

from pharmcalc.balances import Balance, choose_balance
from pharmcalc.kinds import MASS
from pharmcalc.language import later, say
from pharmcalc.units import Quantity, in_unit, number_in, quantity

__all__ = ["EXCESS", "VESSELS", "Jar", "Order", "Vessel", "mass", "micrograms", "vessel_called"]

EXCESS = (later("discard"), later("return"))
"""What may become of powder that was taken out again: into the waste, or back into the jar. The house decides."""
NOT_TOO_LARGE = 100  # a vessel that holds more than so many times the amount keeps too much of it on its walls
MICROGRAM = quantity(1, "microgram")
OTHER_STEPS = "not-on-display"  # a target between two steps of the display can still be weighed within the error


def micrograms(value: Quantity) -> int:
    """Return a mass as a whole number of micrograms."""
    return round(number_in(value, MICROGRAM))


def mass(number: int) -> Quantity:
    """Return a number of micrograms as a mass."""
    return in_unit(number * MICROGRAM, "gram" if abs(number) >= 1_000_000 else "milligram")


@dataclass(frozen=True)
class Vessel:
    """Something to weigh into: its name, its own mass, and the most powder that it holds, in micrograms."""

    name: str
    tare: int
    holds: int

    def said(self) -> str:
        """Return the vessel in words."""
        return say(
            "{name}, about {tare}, holds {holds}",
            name=say(self.name),
            tare=MASS.show(mass(self.tare)),
            holds=MASS.show(mass(self.holds)),
        )


VESSELS = (
    Vessel(later("weighing paper"), 400_000, 1_000_000),
    Vessel(later("small boat"), 1_100_000, 4_000_000),
    Vessel(later("large boat"), 2_100_000, 15_000_000),
    Vessel(later("beaker"), 31_000_000, 40_000_000),
)
"""Made-up masses of a usual size; what a vessel holds depends on how bulky the powder is."""


def vessel_called(name: str) -> Vessel:
    """Return a vessel by its name."""
    return next(vessel for vessel in VESSELS if vessel.name == name)


@dataclass(frozen=True)
class Jar:
    """A jar on the shelf, by the letter of its place, and what its label says. ``expiry`` is a year and month."""

    letter: str
    product: str
    grade: str
    lot: str
    expiry: str
    hazard: str = ""

    def label(self) -> str:
        """Return the label as it is read."""
        hazard = say(self.hazard) or say("no hazard statement")
        return say(
            "{product}; {grade}; lot {lot}; expiry {expiry}; {hazard}",
            product=say(self.product),
            grade=say(self.grade),
            lot=self.lot,
            expiry=self.expiry,
            hazard=hazard,
        )


@dataclass(frozen=True)
class Order:
    """What is to be weighed, and what there is to weigh it with.

    ``seed`` fixes every chance of the bench: the bubble, the scoops, the flicker of the display. ``excess`` is the
    house's rule for powder that is taken out again. ``today`` is a year and month, as on the labels.
    """

    seed: str
    product: str
    grade: str
    target: Quantity
    allowed_error: Quantity
    today: str
    balances: tuple[Balance, ...]
    shelf: tuple[Jar, ...]
    excess: str = EXCESS[0]

    @property
    def code(self) -> str:
        """A short text that tells this order from any other."""
        return sha256(self.seed.encode()).hexdigest()[:12]

    @cached_property
    def allowed(self) -> tuple[int, int]:
        """The smallest and the largest mass that is within the allowed error, in micrograms."""
        off = self.target * self.allowed_error.to_base_units()
        return micrograms(self.target - off), micrograms(self.target + off)

    @cached_property
    def fit_balances(self) -> frozenset[str]:
        """The names of the balances that may weigh the target, in the lightest vessel that fits it."""
        vessel = next((vessel for vessel in VESSELS if self.fits(vessel)), None)
        verdicts = choose_balance(
            quantity_wanted=self.target,
            balances=self.balances,
            allowed_error=self.allowed_error,
            tare=mass(vessel.tare if vessel else 0),
        ).verdicts
        return frozenset(
            verdict.candidate.name
            for verdict in verdicts
            if all(reason.id == OTHER_STEPS for reason in verdict.reasons)
        )

    def fits(self, vessel: Vessel) -> bool:
        """Say whether a vessel fits the amount: not too small, nor far too large where there is a smaller one."""
        target, smallest = micrograms(self.target), VESSELS[0].holds
        return target <= vessel.holds <= max(NOT_TOO_LARGE * target, smallest)

    def jar(self, letter: str) -> Jar:
        """Return the jar at a place of the shelf."""
        return next(jar for jar in self.shelf if jar.letter == letter)

    def what_is_wrong(self, jar: Jar) -> str:
        """Say what speaks against a jar: ``another-form``, ``another-grade``, ``expired``, or nothing."""
        if jar.product != self.product:
            return "another-form"
        if jar.grade != self.grade:
            return "another-grade"
        return "expired" if jar.expiry < self.today else ""

    @cached_property
    def right_jar(self) -> Jar | None:
        """The jar that the order asks for, if one stands on the shelf."""
        return next((jar for jar in self.shelf if not self.what_is_wrong(jar)), None)

    @cached_property
    def halts(self) -> str:
        """Why nothing may be weighed here: ``no-product``, ``hazardous``, ``no-balance``, or nothing."""
        if self.right_jar is None:
            return "no-product"
        if self.right_jar.hazard:
            return "hazardous"
        return "" if self.fit_balances else "no-balance"
