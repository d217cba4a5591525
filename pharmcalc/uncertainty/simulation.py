"""A cloud of simulated preparations: the same plan weighed many times, each time a little off.

numpy is needed here and only here. The numbers come from a seeded stream, so a run can be repeated on one machine; they
serve pictures and checks and never decide a mark.
"""

from dataclasses import dataclass
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
    """Simulated results of one plan, each relative to what is wanted (1: exactly right)."""

    relative: "np.ndarray[Any, np.dtype[np.float64]]"

    @property
    def spread(self) -> float:
        """The relative standard deviation."""
        return float(self.relative.std())

    def outside(self, allowed_error: Quantity) -> float:
        """Return the part of the results that lie outside the allowed error, from 0 to 1."""
        limit = float(allowed_error.to_base_units().magnitude)
        return float((abs(self.relative - 1) > limit).mean())


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
    numpy is not installed or runs is out of range.

    Source: GUM supplement 1 (JCGM 101), propagation of distributions.
    """
    if not 2 <= runs <= MOST_RUNS:
        raise RefusedError("simulate: runs", f"it was {runs}.", f"Ask for 2 to {MOST_RUNS} runs.")
    try:
        import numpy as np
    except ModuleNotFoundError:
        raise RefusedError(
            "simulate", "numpy is not installed here.", "Use plan_budget, which needs no numpy."
        ) from None
    model, amounts = model_of(plan)
    stream = np.random.Generator(np.random.PCG64(seed))

    def draw(target: float, uncertainty: float) -> Any:
        if evenly:
            limit = uncertainty * float(ROOT_OF_THREE)
            return stream.uniform(target - limit, target + limit, runs)
        return stream.normal(target, uncertainty, runs)

    drawn = {
        name: draw(float(value.magnitude), float(uncertainties[name].to(unit_name(value)).magnitude))
        for name, value in amounts.items()
    }
    exact = model(**{name: float(value.magnitude) for name, value in amounts.items()})
    return Cloud(model(**drawn) / exact)
