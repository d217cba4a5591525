"""All admissible aliquot plans on the readable grid of a balance: how many there are, and the best by several orders.

Counting needs no list: for each weight of drug the fitting aliquots form a ladder, and a ladder is counted by its two
ends and its step. So a million plans take no longer than the thousand weights they belong to.
"""

import heapq
import math
from bisect import insort
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import inf

from pharmcalc.aliquots.grid import Grid, Ladder
from pharmcalc.aliquots.limits import Limits, in_steps
from pharmcalc.aliquots.plan import AliquotPlan
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS
from pharmcalc.units import Quantity

__all__ = ["ORDERS", "PlanSearch", "search_plans", "spread"]

ORDERS = ("least drug", "least mixture", "smallest uncertainty")
"""The orders in which plans can be listed. Every plan of one aliquot has three weighings: drug, diluent, aliquot."""

Rank = Callable[[int, int], float]


@dataclass(frozen=True)
class PlanSearch:
    """How many plans are admissible, and the best of them in each order asked for."""

    count: int
    best: dict[str, tuple[AliquotPlan, ...]]


def _rank(grid: Grid, order: str) -> Rank:
    """Return the number by which an order compares plans: the smaller, the better."""
    wanted, bound = float(grid.wanted), grid.capacity + 1
    if order == "least drug":
        return lambda drug, aliquot: drug + drug * aliquot / wanted / bound
    if order == "least mixture":
        return lambda drug, aliquot: drug * aliquot / wanted + drug / bound

    def uncertainty(drug: int, aliquot: int) -> float:
        per_total = wanted / (drug * aliquot)
        return 1 / (aliquot * aliquot) + per_total * per_total + (1 / drug - per_total) ** 2

    return uncertainty


def _lowest(grid: Grid, order: str, ladder: Ladder) -> int:
    """Return the best aliquot of a ladder: along a ladder each rank has one lowest place."""
    drug, low, high, rung = ladder
    if order != "smallest uncertainty":
        return low
    wanted, rank = float(grid.wanted), _rank(grid, order)
    ideal = (drug * drug + 2 * wanted * wanted) / wanted  # where the derivative is zero
    if not low < ideal < high:
        return low if ideal <= low else high
    below = max(low, int(ideal) // rung * rung)
    return min(below, below + rung, key=lambda aliquot: rank(drug, aliquot))


def _bound(order: str, ladder: Ladder) -> float:
    """Return a rank that no plan of a ladder can beat, without looking at its plans."""
    drug, _, high, _ = ladder
    if order == "smallest uncertainty":
        return 1 / (high * high) + 1 / (2 * drug * drug)  # p² + (1/drug - p)² is at least half of 1/drug²
    return float(drug)


class _Best:
    """The best ladders of one order, kept while the ladders go by, and then the best plans on them."""

    def __init__(self, grid: Grid, order: str, how_many: int) -> None:
        self.grid, self.order, self.how_many = grid, order, how_many
        self.rank = _rank(grid, order)
        self.heads: list[tuple[float, int, Ladder]] = []
        self.worst = inf if how_many else -inf

    def offer(self, ladder: Ladder) -> None:
        """Keep the ladder if its best plan is among the best so far."""
        if _bound(self.order, ladder) > self.worst:
            return
        place = _lowest(self.grid, self.order, ladder)
        value = self.rank(ladder.drug, place)
        if value < self.worst:
            insort(self.heads, (value, place, ladder))
            del self.heads[self.how_many :]
            if len(self.heads) == self.how_many:
                self.worst = self.heads[-1][0]

    def plans(self) -> list[tuple[int, int]]:
        """Return the best (drug, aliquot): the best of each ladder first, then their neighbours, best first."""
        found: list[tuple[int, int]] = []
        heap = [(value, place, 0, ladder) for value, place, ladder in self.heads]
        while heap and len(found) < self.how_many:
            _, aliquot, way, ladder = heapq.heappop(heap)
            found.append((ladder.drug, aliquot))
            for side in (-1, 1) if way == 0 else (way,):
                beside = aliquot + side * ladder.rung
                if ladder.low <= beside <= ladder.high:
                    heapq.heappush(heap, (self.rank(ladder.drug, beside), beside, side, ladder))
        return found


def search_plans(
    *, drug_wanted: Quantity | str, limits: Limits, orders: Sequence[str] = ORDERS, how_many: int = 20
) -> PlanSearch:
    """Count the admissible plans of one aliquot and return the best of them in each order.

    Every weighing is a weight the balance can show and reaches the least weighable quantity as the house rules say; the
    mixture fits the balance, the aliquot the preparation. ``orders``: some of "least drug" (least wasted), "least
    mixture" and "smallest uncertainty" (the same standard uncertainty in each weighing). ``how_many``: 0 to 1000.

    Raises RefusedError where the amount can be weighed directly or an argument cannot be used; where no plan is
    admissible the count is 0.

    >>> from pharmcalc.units import quantity
    >>> limits = Limits(quantity(120, "mg"), quantity(1, "mg"), quantity(50, "g"), whole_multiple=False)
    >>> search_plans(drug_wanted="30 mg", limits=limits, how_many=1).count
    835149

    Source: the rules are those of :data:`pharmcalc.aliquots.RULES`; the count is exact.
    """
    wanted = MASS.check("search_plans: drug wanted", drug_wanted)
    if wanted >= limits.least_weighable_quantity:
        least = MASS.show(limits.least_weighable_quantity)
        problem = f"{MASS.show(wanted)} reaches the least weighable quantity of {least}."
        raise RefusedError("search_plans", problem, "Weigh it directly.")
    for order in orders:
        if order not in ORDERS:
            known = ", ".join(ORDERS)
            raise RefusedError("search_plans: orders", f'there is no order "{order}".', f"The orders are: {known}.")
    if not 0 <= how_many <= 1000:
        raise RefusedError("search_plans: how_many", f"it was {how_many}.", "Ask for 0 to 1000 plans.")
    grid = Grid.of(wanted, limits)
    count, bests = 0, [_Best(grid, order, how_many) for order in orders]
    for ladder in grid.ladders():
        count += (ladder.high - ladder.low) // ladder.rung + 1
        for best in bests:
            best.offer(ladder)
    return PlanSearch(count, {best.order: tuple(_plan(wanted, limits, *one) for one in best.plans()) for best in bests})


def spread(plan: AliquotPlan) -> float:
    """Return the relative spread of the drug in the aliquot, for comparing plans.

    It is sqrt(1/A² + 1/T² + (1/W - 1/T)²) with the masses in mg: the relative standard uncertainty when each weighing
    has a standard uncertainty of 1 mg. The total T is drug plus diluent and is not weighed itself.

    Source: GUM, the law of propagation, applied to W A / (W + D).
    """
    masses = (plan.drug_weighed, plan.total_mixture, plan.aliquot)
    drug, total, aliquot = (mass.to("milligram").magnitude for mass in masses)
    return math.sqrt(1 / aliquot**2 + 1 / total**2 + (1 / drug - 1 / total) ** 2)


def _plan(wanted: Quantity, limits: Limits, drug: int, aliquot: int) -> AliquotPlan:
    step = limits.display_step
    total = drug * aliquot / in_steps(wanted, step)
    return AliquotPlan(wanted, step * drug, step * (total - drug), step * aliquot)
