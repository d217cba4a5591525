"""Two aliquots one after the other, for when one step does not fit or would mix too far at once.

The first mixture is made of drug and diluent; an aliquot of it is mixed with diluent again; an aliquot of that holds
the drug wanted. The multiple factors of the steps are *multiplied*, never added.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, isqrt

from pharmcalc.aliquots.limits import Limits, in_steps
from pharmcalc.equations import round_down, round_up
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Mass, Number, formula, mistake_of
from pharmcalc.kinds import MASS, NUMBER
from pharmcalc.language import later, say
from pharmcalc.units import Quantity

__all__ = ["SerialPlan", "combined_multiple", "drug_after_two_steps", "second_multiple", "smallest_serial_plan"]

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


@mistake_of(second_multiple, id="serial-second-rounded-down")
def second_rounded_down(*, combined_multiple: Number, first_multiple: Number) -> Number:
    """The second multiple factor was rounded down.

    Rounded down, the two steps together stay below the multiple that the balance needs. Round up.
    """
    return round_down(combined_multiple / first_multiple)


@formula(source="classroom", symbol="N")
def drug_after_two_steps(*, drug_weighed: Mass, first_multiple: Number, second_multiple: Number) -> Mass:
    """Return the drug that the second of two aliquots really holds; the proof of two steps.

    Formula: drug weighed ÷ first multiple ÷ second multiple.

    drug_weighed: a mass above zero. first_multiple, second_multiple: plain numbers above zero. Returns a mass.
    Raises RefusedError for a bare number as mass, another kind of amount, zero or a negative value.

    >>> held = drug_after_two_steps(drug_weighed="100 mg", first_multiple="10", second_multiple="5")
    >>> print(drug_after_two_steps.kind.show(held))
    2 mg

    Source: the definition; serial triturations are common practice.
    """
    return drug_weighed / first_multiple / second_multiple


@mistake_of(drug_after_two_steps, id="held-after-first-step-only")
def first_step_only(*, drug_weighed: Mass, first_multiple: Number) -> Mass:
    """The second step was left out.

    The second aliquot is taken from the second mixture, so both multiples divide the drug weighed.
    """
    return drug_weighed / first_multiple


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
        multiples = {"first_multiple": self.first_multiple, "second_multiple": self.second_multiple}
        return drug_after_two_steps.evaluate({"drug_weighed": self.drug_weighed, **multiples})

    def weighings(self) -> tuple[tuple[str, Quantity], ...]:
        """Return what goes on the pan, in order, with the words used at the bench."""
        return (
            (later("drug"), self.drug_weighed),
            (later("first diluent"), self.first_diluent),
            (later("first aliquot"), self.first_aliquot),
            (later("second diluent"), self.second_diluent),
            (later("second aliquot"), self.second_aliquot),
        )

    def broken_rules(self, limits: Limits) -> list[str]:
        """Return in words the rules that this plan breaks; an empty list means that the plan is right."""
        least, broken = limits.least_weighable_quantity, []
        for name, mass in self.weighings():
            if mass < least and (limits.diluent_checked or "diluent" not in name):
                broken.append(
                    say(
                        "The {name} must be at least the least weighable quantity of {least}.",
                        name=say(name),
                        least=MASS.show(least),
                    )
                )
            if in_steps(mass, limits.display_step).denominator != 1:
                broken.append(say("The {name} must be a whole number of display steps.", name=say(name)))
        for name, mixture in (
            (later("first mixture"), self.first_mixture),
            (later("second mixture"), self.second_mixture),
        ):
            if mixture > limits.capacity:
                broken.append(
                    say(
                        "The {name} must not be above the capacity of {capacity}.",
                        name=say(name),
                        capacity=MASS.show(limits.capacity),
                    )
                )
        if limits.final_quantity is not None and self.second_aliquot > limits.final_quantity:
            broken.append(say("The second aliquot must fit into the final preparation."))
        if not limits.room_for_finish(self.second_aliquot):
            broken.append(
                say(
                    "The diluent that finishes the preparation must be at least {least}, or none at all.",
                    least=MASS.show(least),
                )
            )
        ratios = (self.first_mixture / self.drug_weighed, self.second_mixture / self.first_aliquot)
        if limits.largest_ratio is not None and any(ratio.to_base_units() > limits.largest_ratio for ratio in ratios):
            broken.append(
                say("No step may thin more than 1 in {largest_ratio}.", largest_ratio=NUMBER.show(limits.largest_ratio))
            )
        if self.drug_delivered != self.drug_wanted:
            broken.append(say("The second aliquot must hold exactly the drug wanted."))
        return broken


def smallest_serial_plan(*, drug_wanted: Quantity | str, limits: Limits) -> SerialPlan:
    """Return the two-step plan that weighs the least drug and, among those, makes the least mixture in all.

    Whole multiples of at least 2 in each step; no step thins further than the largest ratio of the limits. Raises
    RefusedError where the amount can be weighed directly or no two steps are enough.

    >>> from pharmcalc.units import quantity
    >>> limits = Limits(quantity(100, "mg"), quantity(1, "mg"), quantity(50, "g"), largest_ratio=quantity(10))
    >>> plan = smallest_serial_plan(drug_wanted="2 mg", limits=limits)
    >>> [MASS.show(mass) for _, mass in plan.weighings()]
    ['100 mg', '400 mg', '100 mg', '900 mg', '100 mg']

    Source: a Winfield-style dispensing example (from memory) has 10 and 5 with 2000 mg of mixture; the search is ours.
    """
    wanted = MASS.check("serial plan: drug wanted", drug_wanted)
    if wanted >= limits.least_weighable_quantity:
        raise RefusedError("serial plan", f"{MASS.show(wanted)} can be weighed directly.", "Weigh it directly.")
    found = _search(_Grid.of(wanted, limits))
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
    largest_part: int
    whole: int | None
    ratio: Fraction | None

    @classmethod
    def of(cls, wanted: Quantity, limits: Limits) -> "_Grid":
        step = limits.display_step
        least, below = (ceil(in_steps(one, step)) for one in (limits.least_weighable_quantity, limits.least_diluent))
        capacity = part = int(in_steps(limits.capacity, step))
        whole: int | None = None
        if limits.final_quantity is not None:
            final = in_steps(limits.final_quantity, step)
            part = floor(final - in_steps(limits.least_diluent, step))
            whole = int(final) if final.denominator == 1 else None
        ratio = None if limits.largest_ratio is None else limits.largest_ratio.to_base_units().magnitude
        return cls(in_steps(wanted, step), least, below, capacity, part, whole, ratio)

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
            two = max(self.least, -(-(one + self.least_diluent) // second))
            if two <= self.largest_part:
                yield one, two
            elif self.whole is not None and two <= self.whole:
                yield one, self.whole

    def fits(self, drug: int, one: int, mixtures: tuple[int, int]) -> bool:
        """Say whether the capacity and the largest ratio allow these mixtures."""
        if max(mixtures) > self.capacity:
            return False
        return self.ratio is None or (mixtures[0] <= self.ratio * drug and mixtures[1] <= self.ratio * one)


def _search(grid: _Grid) -> tuple[int, ...] | None:
    """Return the five masses of the cheapest plan in display steps: the least drug, then the least mixture in all."""
    every = grid.wanted.denominator  # only multiples of this many make the drug a weight the display can show
    first = -(-max(ceil(grid.least / grid.wanted), 4) // every) * every
    last = min(MOST_MULTIPLE, int((grid.capacity - grid.least_diluent) / grid.wanted))
    if max(grid.largest_part, grid.whole or 0) < grid.least:
        return None
    for multiple in range(first, last + 1, every):
        drug, best = int(grid.wanted * multiple), None
        for k in _divisors(multiple):
            for one, two in grid.mixtures(drug, k, multiple // k):
                made = (k * one, multiple // k * two)
                if grid.fits(drug, one, made) and (best is None or sum(made) < best[0]):
                    best = (sum(made), (drug, made[0] - drug, one, made[1] - one, two))
        if best is not None:
            return best[1]
    return None


def _divisors(number: int) -> list[int]:
    """Return the divisors of a number from 2 up to its half."""
    low = [one for one in range(2, isqrt(number) + 1) if number % one == 0]
    return sorted({*low, *(number // one for one in low)})
