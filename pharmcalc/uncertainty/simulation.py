"""A cloud of simulated preparations: the same plan weighed many times, each time a little off.

numpy is used here and only here. The numbers come from a seeded stream, so a run can be repeated on one machine; they
serve pictures and checks and never decide a mark. Where numpy is missing, as in a browser, Python's own chance numbers
stand in for it: slower, other numbers, the same law. The cloud says so.
"""

import random
from collections.abc import Callable
from dataclasses import dataclass
from math import fsum, sqrt
from typing import TYPE_CHECKING, Any

from pharmcalc.aliquots import AliquotPlan
from pharmcalc.aliquots.liquid_plan import LiquidPlan
from pharmcalc.aliquots.serial import SerialPlan
from pharmcalc.equations import ROOT_OF_THREE
from pharmcalc.errors import RefusedError
from pharmcalc.uncertainty.plans import model_of
from pharmcalc.units import Quantity, unit_name

if TYPE_CHECKING:
    import numpy as np

__all__ = ["Cloud", "simulate"]

MOST_RUNS = 10_000_000


@dataclass(frozen=True)
class Cloud:
    """Simulated results of one plan, each relative to what is wanted (1: exactly right).

    ``stand_in``: Python's own chance numbers stand in for numpy's, which is not there.
    """

    relative: "np.ndarray[Any, np.dtype[np.float64]] | tuple[float, ...]"
    stand_in: bool = False

    @property
    def spread(self) -> float:
        """The relative standard deviation."""
        if not isinstance(self.relative, tuple):
            return float(self.relative.std())
        mean = fsum(self.relative) / len(self.relative)
        return sqrt(fsum((one - mean) ** 2 for one in self.relative) / len(self.relative))

    def outside(self, allowed_error: Quantity) -> float:
        """Return the part of the results that lie outside the allowed error, from 0 to 1."""
        limit = float(allowed_error.to_base_units().magnitude)
        if not isinstance(self.relative, tuple):
            return float((abs(self.relative - 1) > limit).mean())
        return sum(abs(one - 1) > limit for one in self.relative) / len(self.relative)


def simulate(
    plan: AliquotPlan | SerialPlan | LiquidPlan,
    uncertainties: dict[str, Quantity],
    *,
    runs: int = 100_000,
    seed: int = 1,
    evenly: bool = False,
) -> Cloud:
    """Simulate a plan: every amount normally distributed about its target with its standard uncertainty.

    uncertainties: as in :func:`pharmcalc.uncertainty.plan_budget`. runs: 2 to 10 000 000. evenly: every amount lies
    evenly within a limit instead, the one whose standard uncertainty this is (a rectangle). Raises RefusedError where
    runs is out of range.

    Source: GUM supplement 1 (JCGM 101), propagation of distributions.
    """
    if not 2 <= runs <= MOST_RUNS:
        raise RefusedError("simulate: runs", f"it was {runs}.", f"Ask for 2 to {MOST_RUNS} runs.")
    model, amounts = model_of(plan)
    targets = {name: float(value.magnitude) for name, value in amounts.items()}
    sizes = {name: float(uncertainties[name].to(unit_name(value)).magnitude) for name, value in amounts.items()}
    exact = model(**targets)
    try:
        import numpy as np
    except ModuleNotFoundError:
        results = _one_by_one(model, targets, sizes, runs, random.Random(seed), evenly)
        return Cloud(tuple(one / exact for one in results), stand_in=True)
    stream = np.random.Generator(np.random.PCG64(seed))

    def draw(target: float, uncertainty: float) -> Any:
        if evenly:
            limit = uncertainty * float(ROOT_OF_THREE)
            return stream.uniform(target - limit, target + limit, runs)
        return stream.normal(target, uncertainty, runs)

    return Cloud(model(**{name: draw(target, sizes[name]) for name, target in targets.items()}) / exact)


def _one_by_one(
    model: Callable[..., Any],
    targets: dict[str, float],
    sizes: dict[str, float],
    runs: int,
    stream: random.Random,
    evenly: bool,
) -> list[float]:
    """Return what each preparation gives, without numpy."""
    if evenly:
        limits = {name: size * float(ROOT_OF_THREE) for name, size in sizes.items()}
        columns = {
            name: [stream.uniform(target - limits[name], target + limits[name]) for _ in range(runs)]
            for name, target in targets.items()
        }
    else:
        columns = {name: [stream.gauss(target, sizes[name]) for _ in range(runs)] for name, target in targets.items()}
    return [model(**dict(zip(columns, row, strict=True))) for row in zip(*columns.values(), strict=True)]
