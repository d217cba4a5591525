"""The liquid aliquot: a drug made up *to* a volume, and a small volume of liquid taken through a larger one.

Solid in liquid: weigh a multiple of the drug, make it up to a volume, measure the aliquot. Liquid in liquid: every
volume must stand on a mark of the vessel. Volumes are taken as additive; alcohol and water are not.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from pharmcalc.aliquots.plan import Limits, in_steps
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Concentration, Mass, Number, Volume, formula, mistake_of
from pharmcalc.kinds import MASS, MASS_PER_VOLUME, VOLUME
from pharmcalc.units import Quantity

__all__ = [
    "LiquidPlan",
    "MarkedVessel",
    "VolumePlan",
    "concentration_made",
    "smallest_liquid_plan",
    "solution_volume",
    "volume_plans",
]


@formula(source="unc-liquid", symbol="V")
def solution_volume(*, multiple_factor: Number, aliquot_volume: Volume) -> Volume:
    """Return the volume to make the drug up to: the multiple factor times the aliquot.

    Formula: multiple factor × aliquot volume. Make up *to* this volume; do not dissolve *in* it.

    multiple_factor: a plain number above zero. aliquot_volume: above zero. Returns a volume.
    Raises RefusedError for a bare number as volume, another kind of amount, zero or a negative value.

    >>> print(solution_volume.kind.show(solution_volume(multiple_factor="6", aliquot_volume="5 mL")))
    30 mL

    Source: UNC compounding laboratory, Liquid Aliquot Method (30 mL).
    """
    return multiple_factor * aliquot_volume


@mistake_of(solution_volume, id="solution-volume-as-solvent")
def aliquot_left_out(*, multiple_factor: Number, aliquot_volume: Volume) -> Volume:
    """One aliquot was left out of the volume.

    The whole solution holds the multiple factor times the aliquot, the aliquot itself included.
    """
    return (multiple_factor - 1) * aliquot_volume


@formula(source="unc-liquid", symbol="c")
def concentration_made(*, drug_weighed: Mass, solution_volume: Volume) -> Concentration:
    """Return the strength of the solution that the aliquot is measured from.

    Formula: drug weighed ÷ solution volume, with the drug made up *to* the volume.

    drug_weighed: a mass above zero. solution_volume: above zero. Returns mg/mL.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> print(concentration_made.kind.show(concentration_made(drug_weighed="120 mg", solution_volume="30 mL")))
    4 mg/mL

    Source: UNC compounding laboratory, Liquid Aliquot Method (4 mg/mL).
    """
    return drug_weighed / solution_volume


@mistake_of(concentration_made, id="dissolved-in-not-to")
def dissolved_in_the_volume(*, drug_weighed: Mass, solution_volume: Volume, drug_volume: Volume) -> Concentration:
    """The drug was dissolved in the volume instead of made up to it.

    The drug takes up room too, so the solution comes out larger and weaker. Dissolve in less, then fill up to the mark.
    """
    return drug_weighed / (solution_volume + drug_volume)


@dataclass(frozen=True)
class MarkedVessel:
    """What a vessel measures: volumes from ``least`` to ``capacity`` on its marks, which are ``mark`` apart."""

    least: Quantity
    mark: Quantity
    capacity: Quantity

    def holds(self, volume: Quantity) -> bool:
        """Say whether a volume stands on a mark within the range."""
        on_a_mark = in_steps(volume, self.mark).denominator == 1
        return on_a_mark and self.least <= volume <= self.capacity

    def volumes(self) -> Iterator[Quantity]:
        """Return every volume that can be measured, the smallest first."""
        first, last = ceil(in_steps(self.least, self.mark)), int(in_steps(self.capacity, self.mark))
        for steps in range(max(first, 1), last + 1):
            yield self.mark * steps


@dataclass(frozen=True)
class LiquidPlan:
    """A solid in liquid: the drug weighed, the volume it is made up to, and the aliquot that holds the drug wanted."""

    drug_wanted: Quantity
    drug_weighed: Quantity
    solution_volume: Quantity
    aliquot_volume: Quantity

    @property
    def drug_delivered(self) -> Quantity:
        """The drug that the aliquot really holds."""
        return (self.drug_weighed * self.aliquot_volume / self.solution_volume).to("milligram")

    def broken_rules(
        self,
        limits: Limits,
        *,
        aliquot_vessel: MarkedVessel,
        solution_vessel: MarkedVessel,
        solubility: Quantity | None = None,
        final_volume: Quantity | None = None,
    ) -> list[str]:
        """Return in words the rules that this plan breaks; an empty list means that the plan is right.

        solubility: the most drug in a volume of solution, for example 20 mg/mL. final_volume: of the preparation.
        """
        strength = self.drug_weighed / self.solution_volume
        least = limits.least_weighable_quantity
        checks = (
            (self.drug_weighed < least, f"The drug weighed must be at least {MASS.show(least)}."),
            (
                in_steps(self.drug_weighed, limits.display_step).denominator != 1,
                "The drug weighed must be a whole number of display steps.",
            ),
            (not aliquot_vessel.holds(self.aliquot_volume), "The aliquot must stand on a mark of its vessel."),
            (not solution_vessel.holds(self.solution_volume), "The solution must stand on a mark of its vessel."),
            (solubility is not None and strength > solubility, "The drug must dissolve: the solution is too strong."),
            (
                final_volume is not None and self.aliquot_volume > final_volume,
                "The aliquot must fit into the final preparation.",
            ),
            (self.drug_delivered != self.drug_wanted, "The aliquot must hold exactly the drug wanted."),
        )
        return [says for broken, says in checks if broken]


def smallest_liquid_plan(
    *,
    drug_wanted: Quantity | str,
    limits: Limits,
    aliquot_vessel: MarkedVessel,
    solution_vessel: MarkedVessel,
    solubility: Quantity | str | None = None,
    final_volume: Quantity | str | None = None,
) -> LiquidPlan:
    """Return the plan that weighs the least drug and, among those, makes the least solution.

    Whole multiples. Arguments as in :meth:`LiquidPlan.broken_rules`. Raises RefusedError where the drug can be weighed
    directly or no plan keeps the rules.

    >>> from pharmcalc.units import quantity
    >>> limits = Limits(quantity(120, "mg"), quantity(1, "mg"), quantity(50, "g"))
    >>> pipette = MarkedVessel(quantity(5, "mL"), quantity(1, "mL"), quantity(10, "mL"))
    >>> cylinder = MarkedVessel(quantity(20, "mL"), quantity(1, "mL"), quantity(100, "mL"))
    >>> plan = smallest_liquid_plan(
    ...     drug_wanted="20 mg", limits=limits, aliquot_vessel=pipette, solution_vessel=cylinder
    ... )
    >>> MASS.show(plan.drug_weighed), VOLUME.show(plan.solution_volume), VOLUME.show(plan.aliquot_volume)
    ('120 mg', '30 mL', '5 mL')

    Source: UNC compounding laboratory, Liquid Aliquot Method.
    """
    wanted = MASS.check("liquid plan: drug wanted", drug_wanted)
    most = None if solubility is None else MASS_PER_VOLUME.check("liquid plan: solubility", solubility)
    final = None if final_volume is None else VOLUME.check("liquid plan: final volume", final_volume)
    least = limits.least_weighable_quantity
    if wanted >= least:
        raise RefusedError("liquid plan", f"{MASS.show(wanted)} can be weighed directly.", "Weigh it directly.")
    need, floor = in_steps(wanted, limits.display_step), in_steps(least, limits.display_step)
    first = ceil(Fraction(ceil(floor / need), need.denominator)) * need.denominator
    smallest_aliquot = next(aliquot_vessel.volumes(), None)
    last = int(in_steps(solution_vessel.capacity, smallest_aliquot)) if smallest_aliquot is not None else 0
    for multiple in range(first, last + 1, need.denominator):
        for aliquot in aliquot_vessel.volumes():
            plan = LiquidPlan(wanted, wanted * multiple, aliquot * multiple, aliquot)
            vessels = {"aliquot_vessel": aliquot_vessel, "solution_vessel": solution_vessel}
            if not plan.broken_rules(limits, **vessels, solubility=most, final_volume=final):
                return plan
            if plan.solution_volume > solution_vessel.capacity:
                break
    raise RefusedError(
        "liquid plan",
        f"no plan for {MASS.show(wanted)}: the solution would be too large for its vessel, too strong to dissolve, or "
        "between two marks.",
        "Use a larger vessel, another solvent, or a solid aliquot.",
    )


@dataclass(frozen=True)
class VolumePlan:
    """A liquid in liquid: the liquid measured, the vehicle added, and the aliquot that holds the volume wanted."""

    wanted: Quantity
    measured: Quantity
    vehicle: Quantity
    aliquot: Quantity

    @property
    def total(self) -> Quantity:
        """Liquid and vehicle together, volumes taken as additive."""
        return self.measured + self.vehicle

    @property
    def delivered(self) -> Quantity:
        """The liquid that the aliquot really holds."""
        return self.measured * self.aliquot / self.total


def volume_plans(*, volume_wanted: Quantity | str, vessel: MarkedVessel) -> list[VolumePlan]:
    """Return every plan that takes a small volume through a larger one with each volume on a mark of one vessel.

    The plans with the least liquid come first, then those with the least in all. Raises RefusedError where the volume
    can be measured directly; where no plan exists the list is empty.

    >>> from pharmcalc.units import quantity
    >>> graduate = MarkedVessel(quantity(2, "mL"), quantity(1, "mL"), quantity(10, "mL"))
    >>> plan = volume_plans(volume_wanted="0.6 mL", vessel=graduate)[-1]
    >>> [VOLUME.show(part) for part in (plan.measured, plan.vehicle, plan.aliquot)]
    ['3 mL', '7 mL', '2 mL']

    Source: Ansel & Stoklosa, chapter on measurement (3 mL and 7 mL, take 2 mL).
    """
    wanted = VOLUME.check("volume plans: volume wanted", volume_wanted)
    if vessel.holds(wanted):
        raise RefusedError("volume plans", f"{VOLUME.show(wanted)} stands on a mark.", "Measure it directly.")
    found = []
    marks = list(vessel.volumes())
    for measured in marks:
        for aliquot in marks:
            total = measured * aliquot / wanted
            vehicle = total - measured
            if vehicle.magnitude > 0 and vessel.holds(total) and vessel.holds(vehicle):
                found.append(VolumePlan(wanted, measured, vehicle.to("millilitre"), aliquot))
    return sorted(found, key=lambda plan: (plan.measured, plan.total))
