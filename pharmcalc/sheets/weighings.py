"""What a task puts on the pan, in the order of the bench, and the readings that are near enough to a target."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor

from pharmcalc.kinds import MASS
from pharmcalc.language import later, say
from pharmcalc.tasks.family import Asked, Task
from pharmcalc.units import Quantity, quotient

__all__ = ["AllowedRange", "Weighing", "allowed_range", "weighings"]

ON_THE_PAN = {
    "drug_weighed": "{drug}",
    "diluent": "{diluent_name}",
    "aliquot": later("the mixture you made"),
    "diluent_to_finish": "{diluent_name}",
}
"""The weighings of an aliquot, in the order of the bench, and the material of each."""
NOT_ON_THE_PAN = ("total_mixture",)
"""Asked to the display step, yet it comes of mixing what was weighed."""


@dataclass(frozen=True)
class AllowedRange:
    """The smallest and the largest reading that is near enough to a target."""

    lowest: Quantity
    highest: Quantity

    def says(self) -> str:
        """Return the range as it is written beside a target."""
        if self.lowest > self.highest:
            return say("no reading of this display is near enough")
        return say("{lowest} to {highest}", lowest=MASS.show(self.lowest), highest=MASS.show(self.highest))


def allowed_range(target: Quantity, allowed_error: Quantity, display_step: Quantity | None = None) -> AllowedRange:
    """Return the readings from target - allowed error to target + allowed error, computed exactly.

    target: a mass. allowed_error: a percentage of the target. display_step: where it is given, the limits are the first
    and the last reading *within* the range that the display can show: the lower one is rounded up, the upper one down.

    >>> from pharmcalc.units import quantity
    >>> target, allowed, step = quantity(116, "mg"), quantity(5, "percent"), quantity(1, "mg")
    >>> allowed_range(target, allowed).says(), allowed_range(target, allowed, step).says()
    ('110.2 mg to 121.8 mg', '111 mg to 121 mg')
    """
    share = allowed_error.to_base_units().magnitude
    lowest, highest = target * (1 - share), target * (1 + share)
    if display_step is not None:
        lowest = display_step * ceil(quotient(lowest, display_step))
        highest = display_step * floor(quotient(highest, display_step))
    return AllowedRange(lowest, highest)


@dataclass(frozen=True)
class Weighing:
    """One weighing: the answer that is its target, and what is weighed (empty where the task does not say)."""

    task: Task
    asked: Asked
    material: str

    @property
    def label(self) -> str:
        """What the weighing is called: the words of the answer."""
        return self.asked.said

    @property
    def target(self) -> Quantity:
        """The target in the worked solution."""
        return self.task.values[self.asked.name]

    @property
    def range(self) -> AllowedRange:
        """The readings near enough to the target of the worked solution, on the balance's display."""
        step = self.task.limits.display_step if self.task.limits else None
        return allowed_range(self.target, self.task.house.allowed_error, step)


def weighings(task: Task) -> list[Weighing]:
    """Return what a task weighs, in the order of the bench; an empty list where it only calculates."""
    return [Weighing(task, asked, _material(task, asked)) for asked in _on_the_pan(task)]


def _on_the_pan(task: Task) -> Iterator[Asked]:
    weighed = {asked.name: asked for asked in task.amounts if asked.weighed and asked.name not in NOT_ON_THE_PAN}
    for name in ON_THE_PAN:
        if name in weighed:
            yield weighed.pop(name)
    yield from weighed.values()


def _material(task: Task, asked: Asked) -> str:
    try:
        words = {name: say(word) for name, word in task.drawn.words.items()}
        return say(ON_THE_PAN.get(asked.name, "")).format(**words)
    except KeyError:
        return ""
