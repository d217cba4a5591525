"""Two aliquots one after the other, for when one step does not fit or would mix too far at once.

The first mixture is made of drug and diluent; an aliquot of it is mixed with diluent again; an aliquot of that holds
the drug wanted. The multiple factors of the steps are *multiplied*, never added.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, isqrt

from pharmcalc.aliquots.plan import Limits, in_steps
from pharmcalc.equations import round_up
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Number, formula, mistake_of
from pharmcalc.kinds import MASS, NUMBER
from pharmcalc.units import Quantity

__all__ = ["SerialPlan", "combined_multiple", "second_multiple", "smallest_serial_plan"]

MOST_MULTIPLE = 20_000


@formula(source="classroom", symbol="k")
def combined_multiple(*, first_multiple: Number, second_multiple: Number) -> Number:
    """Return the multiple factor of two aliquots one after the other.

    Formula: first multiple × second multiple.

    first_multiple, second_multiple: plain numbers above zero. Returns a plain number.
    Raises RefusedError for an amount with a unit, zero or a negative number.

    >>> print(combined_multiple.kind.show(combined_multiple(first_multiple="10", second_multiple="5")))
    50

    Source: the definition; serial triturations are common practice.
    """
    return first_multiple * second_multiple


@mistake_of(combined_multiple, id="serial-factors-added")
def factors_added(*, first_multiple: Number, second_multiple: Number) -> Number:
    """The two multiple factors were added.

    Each step thins what the step before has left, so the factors are multiplied.
    """
    return first_multiple + second_multiple


@formula(source="classroom", symbol="k2")
def second_multiple(*, combined_multiple: Number, first_multiple: Number) -> Number:
    """Return the multiple factor that is left for the second step, rounded up to a whole number.

    Formula: round up (combined multiple ÷ first multiple); the inverse of :func:`combined_multiple`.

    combined_multiple, first_multiple: plain numbers above zero. Returns a whole number.
    Raises RefusedError for an amount with a unit, zero or a negative number.

    >>> print(second_multiple.kind.show(second_multiple(combined_multiple="50", first_multiple="10")))
    5

    Source: the definition; serial triturations are common practice.
    """
    return round_up(combined_multiple / first_multiple)


@mistake_of(second_multiple, id="serial-factor-subtracted")
def factor_subtracted(*, combined_multiple: Number, first_multiple: Number) -> Number:
    """The first multiple factor was taken off instead of divided by.

    Each step thins what the step before has left, so divide.
    """
    return combined_multiple - first_multiple


@dataclass(frozen=True)
class SerialPlan:
    """What is weighed in two steps. All masses; the first aliquot goes whole into the second mixture."""

    drug_wanted: Quantity
    drug_weighed: Quantity
    first_diluent: Quantity
    first_aliquot: Quantity
    second_diluent: Quantity
    second_aliquot: Quantity

    @property
    def first_mixture(self) -> Quantity:
        """Drug and first diluent together."""
        return self.drug_weighed + self.first_diluent

    @property
    def second_mixture(self) -> Quantity:
        """First aliquot and second diluent together."""
        return self.first_aliquot + self.second_diluent

    @property
    def first_multiple(self) -> Quantity:
        """How many aliquots the first mixture holds."""
        return (self.first_mixture / self.first_aliquot).to_base_units()

    @property
    def second_multiple(self) -> Quantity:
        """How many aliquots the second mixture holds."""
        return (self.second_mixture / self.second_aliquot).to_base_units()

    @property
    def drug_delivered(self) -> Quantity:
        """The drug that the second aliquot really holds."""
        return self.drug_weighed / self.first_multiple / self.second_multiple

    def weighings(self) -> tuple[tuple[str, Quantity], ...]:
        """Return what goes on the pan, in order, with the words used at the bench."""
        return (
            ("drug", self.drug_weighed),
            ("first diluent", self.first_diluent),
            ("first aliquot", self.first_aliquot),
            ("second diluent", self.second_diluent),
            ("second aliquot", self.second_aliquot),
        )

    def broken_rules(self, limits: Limits, largest_ratio: Quantity | None = None) -> list[str]:
        """Return in words the rules that this plan breaks; an empty list means that the plan is right."""
        least, broken = limits.least_weighable_quantity, []
        for name, mass in self.weighings():
            if mass < least and (limits.diluent_checked or "diluent" not in name):
                broken.append(f"The {name} must be at least the least weighable quantity of {MASS.show(least)}.")
            if in_steps(mass, limits.display_step).denominator != 1:
                broken.append(f"The {name} must be a whole number of display steps.")
        for name, mixture in (("first", self.first_mixture), ("second", self.second_mixture)):
            if mixture > limits.capacity:
                broken.append(f"The {name} mixture must not be above the capacity of {MASS.show(limits.capacity)}.")
        if limits.final_quantity is not None and self.second_aliquot > limits.final_quantity:
            broken.append("The second aliquot must fit into the final preparation.")
        ratios = (self.first_mixture / self.drug_weighed, self.second_mixture / self.first_aliquot)
        if largest_ratio is not None and any(ratio.to_base_units() > largest_ratio for ratio in ratios):
            broken.append(f"No step may thin more than 1 in {NUMBER.show(largest_ratio)}.")
        if self.drug_delivered != self.drug_wanted:
            broken.append("The second aliquot must hold exactly the drug wanted.")
        return broken


def smallest_serial_plan(
    *, drug_wanted: Quantity | str, limits: Limits, largest_ratio: Quantity | str | None = None
) -> SerialPlan:
    """Return the two-step plan that weighs the least drug and, among those, makes the least mixture in all.

    Whole multiples of at least 2 in each step. ``largest_ratio``: how far one step may thin (10 means 1 in 10), a plain
    number, or ``None``. Raises RefusedError where the amount can be weighed directly or no two steps are enough.

    >>> from pharmcalc.units import quantity
    >>> limits = Limits(quantity(100, "mg"), quantity(1, "mg"), quantity(50, "g"))
    >>> plan = smallest_serial_plan(drug_wanted="2 mg", limits=limits, largest_ratio="10")
    >>> [MASS.show(mass) for _, mass in plan.weighings()]
    ['100 mg', '400 mg', '100 mg', '900 mg', '100 mg']

    Source: a Winfield-style dispensing example (from memory) has 10 and 5 with 2000 mg of mixture; the search is ours.
    """
    wanted = MASS.check("serial plan: drug wanted", drug_wanted)
    ratio = None if largest_ratio is None else NUMBER.check("serial plan: largest ratio", largest_ratio)
    if wanted >= limits.least_weighable_quantity:
        raise RefusedError("serial plan", f"{MASS.show(wanted)} can be weighed directly.", "Weigh it directly.")
    found = _search(_Grid.of(wanted, limits, ratio))
    if found is not None:
        return SerialPlan(wanted, *(limits.display_step * mass for mass in found))
    raise RefusedError(
        "serial plan",
        f"no two steps make {MASS.show(wanted)} with a least weighable quantity of "
        f"{MASS.show(limits.least_weighable_quantity)}.",
        "Use a better balance, a larger batch, or a liquid aliquot.",
    )


@dataclass(frozen=True)
class _Grid:
    """The problem in display steps: whole numbers wherever something is weighed."""

    wanted: Fraction
    least: int
    least_diluent: int
    capacity: int
    largest_aliquot: int
    ratio: Fraction | None

    @classmethod
    def of(cls, wanted: Quantity, limits: Limits, ratio: Quantity | None) -> "_Grid":
        step = limits.display_step
        least, capacity = ceil(in_steps(limits.least_weighable_quantity, step)), int(in_steps(limits.capacity, step))
        final = capacity if limits.final_quantity is None else int(in_steps(limits.final_quantity, step))
        thinnest = None if ratio is None else ratio.to_base_units().magnitude
        return cls(in_steps(wanted, step), least, least if limits.diluent_checked else 1, capacity, final, thinnest)

    def mixtures(self, drug: int, first: int, second: int) -> Iterator[tuple[int, int]]:
        """Return the (first, second) aliquots that may make the smallest mixtures for two multiples, smallest first.

        Without a largest ratio there is one: each aliquot as small as its rules allow. With one, a larger first aliquot
        may be needed so that the second step thins less.
        """
        smallest = largest = max(self.least, -(-(drug + self.least_diluent) // first))
        if self.ratio is not None and self.ratio > 1:
            smallest = max(smallest, ceil(second * self.least / self.ratio))
            largest = max(smallest, ceil((self.least_diluent + second) / (self.ratio - 1)))
        for one in range(smallest, largest + 1):
            yield one, max(self.least, -(-(one + self.least_diluent) // second))

    def fits(self, drug: int, one: int, two: int, mixtures: tuple[int, int]) -> bool:
        """Say whether the capacity, the preparation and the largest ratio allow these mixtures."""
        if max(mixtures) > self.capacity or two > self.largest_aliquot:
            return False
        return self.ratio is None or (mixtures[0] <= self.ratio * drug and mixtures[1] <= self.ratio * one)


def _search(grid: _Grid) -> tuple[int, ...] | None:
    """Return the five masses of the cheapest plan in display steps: the least drug, then the least mixture in all."""
    every = grid.wanted.denominator  # only multiples of this many make the drug a weight the display can show
    first = -(-max(ceil(grid.least / grid.wanted), 4) // every) * every
    last = min(MOST_MULTIPLE, int((grid.capacity - grid.least_diluent) / grid.wanted))
    if grid.largest_aliquot < grid.least:
        return None
    for multiple in range(first, last + 1, every):
        drug, best = int(grid.wanted * multiple), None
        for k in _divisors(multiple):
            for one, two in grid.mixtures(drug, k, multiple // k):
                made = (k * one, multiple // k * two)
                if grid.fits(drug, one, two, made) and (best is None or sum(made) < best[0]):
                    best = (sum(made), (drug, made[0] - drug, one, made[1] - one, two))
        if best is not None:
            return best[1]
    return None


def _divisors(number: int) -> list[int]:
    """Return the divisors of a number from 2 up to its half."""
    low = [one for one in range(2, isqrt(number) + 1) if number % one == 0]
    return sorted({*low, *(number // one for one in low)})
