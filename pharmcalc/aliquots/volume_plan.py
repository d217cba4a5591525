"""Liquid in liquid: a small volume of liquid taken through a larger one, every volume on a mark of the vessel.

Volumes are taken as additive; alcohol and water are not.
"""

from dataclasses import dataclass

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import VOLUME
from pharmcalc.units import Quantity
from pharmcalc.volumes import MeasuringRange

__all__ = ["VolumePlan", "volume_plans"]


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


def volume_plans(*, volume_wanted: Quantity | str, vessel: MeasuringRange) -> list[VolumePlan]:
    """Return every plan that takes a small volume through a larger one with each volume on a mark of one vessel.

    The plans with the least liquid come first, then those with the least in all. Raises RefusedError where the volume
    can be measured directly; where no plan exists the list is empty.

    >>> graduate = MeasuringRange("2 mL", "1 mL", "10 mL")
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
