"""How schools choose a plan: the smallest whole multiple, a round one, a fixed 1-in-10 triturate, or the limit exactly.

All of them keep the same rules; they differ in which right plan they prefer. So a convention is a house rule for
workings, never a reason to refuse another right plan.
"""

from collections.abc import Callable, Iterator
from fractions import Fraction
from math import ceil

from pharmcalc.aliquots.grid import Grid
from pharmcalc.aliquots.limits import Limits, in_steps
from pharmcalc.aliquots.plan import AliquotPlan, smallest_plan
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS
from pharmcalc.language import later, say
from pharmcalc.units import Quantity, quantity, quotient

__all__ = ["ANY_MULTIPLE", "CONVENTIONS", "plan_by_convention", "preferred_plan"]

ONE_IN = 10
MOST_ROUND = 10_000
MOST_TRIED = 100_000


def plan_by_convention(convention: str, *, drug_wanted: Quantity | str, limits: Limits) -> AliquotPlan:
    """Return the plan that a convention prefers, keeping every rule.

    convention: one of :data:`CONVENTIONS`. drug_wanted: a mass below the least weighable quantity. Raises RefusedError
    for an unknown convention, an amount that can be weighed directly, or where the convention has no plan.

    >>> from pharmcalc.units import quantity
    >>> limits = Limits(quantity(200, "mg"), quantity(1, "mg"), quantity(50, "g"))
    >>> for convention in ("smallest whole", "round"):
    ...     plan = plan_by_convention(convention, drug_wanted="30 mg", limits=limits)
    ...     print(MASS.show(plan.drug_weighed), MASS.show(plan.total_mixture), MASS.show(plan.aliquot))
    210 mg 1400 mg 200 mg
    300 mg 2000 mg 200 mg

    Source: common practice, each somewhere; 7 and 10 for 30 mg of digoxin are classroom plans.
    """
    if convention not in CONVENTIONS:
        known = ", ".join(CONVENTIONS)
        raise RefusedError("aliquot plan", f'there is no convention "{convention}".', f"The conventions are: {known}.")
    wanted, least = MASS.check("drug wanted", drug_wanted), limits.least_weighable_quantity
    if wanted >= least:
        raise RefusedError("aliquot plan", f"{MASS.show(wanted)} reaches {MASS.show(least)}.", "Weigh it directly.")
    return CONVENTIONS[convention](wanted, limits)


def preferred_plan(*, drug_wanted: Quantity | str, limits: Limits) -> AliquotPlan:
    """Return the plan that the house prefers, or the smallest plan where its convention has none.

    Raises RefusedError as :func:`smallest_plan` does.
    """
    try:
        return plan_by_convention(limits.convention, drug_wanted=drug_wanted, limits=limits)
    except RefusedError:
        return smallest_plan(drug_wanted=drug_wanted, limits=limits)


def _smallest_whole(wanted: Quantity, limits: Limits) -> AliquotPlan:
    return smallest_plan(drug_wanted=wanted, limits=limits)


def _round(wanted: Quantity, limits: Limits) -> AliquotPlan:
    """The next round multiple: 2, 5, 10, 20, 50, 100, 200 ..."""
    multiples = (Fraction(lead * 10**power) for power in range(5) for lead in (1, 2, 5) if lead * 10**power > 1)
    return _first_of(multiples, wanted, limits, "round multiple")


def _one_in_ten(wanted: Quantity, limits: Limits) -> AliquotPlan:
    """A mixture of 1 part of drug in 10 parts, whatever the multiple: the aliquot is ten times the drug wanted."""
    aliquot, step = wanted * ONE_IN, limits.display_step
    first = ceil(in_steps(limits.least_weighable_quantity, step))
    for steps in range(first, first + MOST_TRIED):
        drug = step * steps
        plan = AliquotPlan(wanted, drug, drug * (ONE_IN - 1), aliquot)
        broken = [rule for rule in plan.broken_rules(limits) if rule.id != "multiple-not-whole"]
        if not broken:
            return plan
        if any(rule.id in _FINAL for rule in broken):
            problem = say(
                "a 1-in-{one_in} triturate has no plan for {wanted}: {says}",
                one_in=ONE_IN,
                wanted=MASS.show(wanted),
                says=broken[0].says,
            )
            raise RefusedError(
                "aliquot plan", problem, "Take two triturates one after the other, or another convention."
            )
    raise RefusedError("aliquot plan", f"no 1-in-{ONE_IN} triturate fits the display.", "Use another convention.")


_FINAL = (
    "aliquot-below-lwq",
    "aliquot-above-preparation",
    "finish-below-lwq",
    "mixed-too-far",
    "above-capacity",
    "aliquot-not-on-display",
)


def _limit_exactly(wanted: Quantity, limits: Limits) -> AliquotPlan:
    """The least weighable quantity itself is weighed, so the multiple need not be whole."""
    multiple = quotient(limits.least_weighable_quantity, wanted)
    return _first_of(iter([multiple]), wanted, limits, "multiple that weighs the least weighable quantity exactly")


def _first_of(multiples: Iterator[Fraction], wanted: Quantity, limits: Limits, what: str) -> AliquotPlan:
    """Return the plan with the first multiple that has one, and its smallest aliquot."""
    step = limits.display_step
    for multiple in multiples:
        if multiple > MOST_ROUND:
            break
        drug = multiple * in_steps(wanted, step)
        if drug.denominator == 1:
            for ladder in Grid.of(wanted, limits, whole_multiple=False).ladders_of(int(drug)):
                return AliquotPlan.of(drug_wanted=wanted, multiple_factor=quantity(multiple), aliquot=step * ladder.low)
    raise RefusedError("aliquot plan", f"no {what} has a plan for {MASS.show(wanted)}.", "Use another convention.")


CONVENTIONS: dict[str, Callable[[Quantity, Limits], AliquotPlan]] = {
    "smallest whole": _smallest_whole,
    "round": _round,
    "one in ten": _one_in_ten,
    "limit exactly": _limit_exactly,
}
"""The conventions by name; see :func:`plan_by_convention`."""

ANY_MULTIPLE = (later("one in ten"), later("limit exactly"))
"""The conventions whose multiple factor need not be whole: they ask for a house that allows any multiple."""
