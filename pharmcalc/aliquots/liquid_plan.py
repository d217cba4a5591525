"""The liquid plan, solid in liquid: what is weighed, made up and measured, its rules, and the smallest plan.

Many plans are right. A plan is judged by its rules, by the same marker as a solid one.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from pharmcalc.aliquots.liquids import drug_in_aliquot
from pharmcalc.aliquots.plan import RULES, Limits, Rule, in_steps
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Values
from pharmcalc.kinds import MASS
from pharmcalc.units import Quantity
from pharmcalc.volumes import MeasuringRange

__all__ = ["LIQUID_RULES", "LiquidLimits", "LiquidPlan", "smallest_liquid_plan"]


@dataclass(frozen=True, kw_only=True)
class LiquidLimits(Limits):
    """What the balance, the vessels and the drug allow in a liquid plan.

    ``solubility`` is the most drug in a volume of solution, for example 20 mg/mL; ``final_volume`` is the whole
    preparation (``None``: not limited).
    """

    aliquot_vessel: MeasuringRange
    solution_vessel: MeasuringRange
    solubility: Quantity | None = None
    final_volume: Quantity | None = None

    @classmethod
    def of(
        cls,
        limits: Limits,
        *,
        aliquot_vessel: MeasuringRange,
        solution_vessel: MeasuringRange,
        solubility: Quantity | None = None,
        final_volume: Quantity | None = None,
    ) -> "LiquidLimits":
        """Add vessels, solubility and final volume to what the balance allows."""
        return cls(
            **vars(limits),
            aliquot_vessel=aliquot_vessel,
            solution_vessel=solution_vessel,
            solubility=solubility,
            final_volume=final_volume,
        )


def _liquid(holds: Callable[[Values, LiquidLimits], bool]) -> Callable[[Values, Limits], bool]:
    """Let a rule look at the limits of a liquid plan; about other plans it says nothing."""
    return lambda values, limits: not isinstance(limits, LiquidLimits) or holds(values, limits)


def _of_every_plan(*ids: str) -> tuple[Rule, ...]:
    """Return the rules that a liquid plan shares with a solid one."""
    shared = {rule.id: rule for rule in RULES}
    return tuple(shared[id] for id in ids)


LIQUID_RULES = (
    *_of_every_plan("drug-below-lwq", "multiple-not-whole", "drug-not-on-display"),
    Rule(
        "drug-above-capacity",
        "The drug weighed must not be above the capacity of the balance.",
        ("drug_weighed",),
        ("multiple_factor", "drug_weighed"),
        lambda v, n: bool(v["drug_weighed"] <= n.capacity),
        "capacity",
    ),
    Rule(
        "aliquot-not-measurable",
        "The aliquot must be a volume that its vessel can measure.",
        ("aliquot_volume",),
        ("aliquot_volume",),
        _liquid(lambda v, n: n.aliquot_vessel.holds(v["aliquot_volume"])),
        "aliquot_vessel",
    ),
    Rule(
        "aliquot-above-final-volume",
        "The aliquot must fit into the final volume.",
        ("aliquot_volume",),
        ("aliquot_volume",),
        _liquid(lambda v, n: n.final_volume is None or bool(v["aliquot_volume"] <= n.final_volume)),
        "final_volume",
    ),
    Rule(
        "too-strong-to-dissolve",
        "The solution must not be stronger than the drug dissolves.",
        ("drug_weighed", "solution_volume"),
        ("aliquot_volume", "solution_volume"),
        _liquid(lambda v, n: n.solubility is None or bool(v["drug_weighed"] <= n.solubility * v["solution_volume"])),
        "solubility",
    ),
    Rule(
        "solution-not-measurable",
        "The solution must be made up to a volume that its vessel can measure.",
        ("solution_volume",),
        ("solution_volume", "aliquot_volume", "multiple_factor", "drug_weighed"),
        _liquid(lambda v, n: n.solution_vessel.holds(v["solution_volume"])),
        "solution_vessel",
    ),
    Rule(
        "wrong-amount",
        "The aliquot must hold exactly the drug wanted.",
        ("drug_weighed", "aliquot_volume", "solution_volume", "drug_wanted"),
        (),
        lambda v, n: bool(v["drug_weighed"] * v["aliquot_volume"] == v["drug_wanted"] * v["solution_volume"]),
    ),
)
"""Every rule of a liquid plan, once; marking and planning both ask these."""


@dataclass(frozen=True)
class LiquidPlan:
    """A solid in liquid: the drug weighed, the volume it is made up to, and the aliquot that holds the drug wanted."""

    drug_wanted: Quantity
    drug_weighed: Quantity
    solution_volume: Quantity
    aliquot_volume: Quantity

    @property
    def multiple_factor(self) -> Quantity:
        """How many times the drug wanted is weighed."""
        return (self.drug_weighed / self.drug_wanted).to_base_units()

    @property
    def drug_delivered(self) -> Quantity:
        """The drug that the aliquot really holds."""
        return drug_in_aliquot.evaluate(self.values())

    def values(self) -> dict[str, Quantity]:
        """Return the plan as named values, as the formulas and the rules know them."""
        names = ("drug_wanted", "multiple_factor", "drug_weighed", "solution_volume", "aliquot_volume")
        return {name: getattr(self, name) for name in names}

    def broken_rules(self, limits: LiquidLimits) -> list[Rule]:
        """Return the rules that this plan breaks; an empty list means that the plan is right."""
        return [rule for rule in LIQUID_RULES if rule.broken_by(self.values(), limits)]


def smallest_liquid_plan(
    *, drug_wanted: Quantity | str, limits: LiquidLimits, multiple_factor: Quantity | None = None
) -> LiquidPlan:
    """Return the plan that weighs the least drug and, among those, makes the least solution.

    Whole multiples, or only the ``multiple_factor`` given. Every weight is one the display can show, every volume one
    its vessel can measure. Raises RefusedError where the drug can be weighed directly or no plan keeps the rules.

    >>> from pharmcalc.units import quantity
    >>> balance = Limits(quantity(120, "mg"), quantity(1, "mg"), quantity(50, "g"))
    >>> pipette = MeasuringRange("5 mL", "1 mL", "10 mL")
    >>> cylinder = MeasuringRange("20 mL", "1 mL", "100 mL")
    >>> limits = LiquidLimits.of(balance, aliquot_vessel=pipette, solution_vessel=cylinder)
    >>> plan = smallest_liquid_plan(drug_wanted="20 mg", limits=limits)
    >>> plan.drug_weighed.magnitude, plan.solution_volume.magnitude, plan.aliquot_volume.magnitude
    (Fraction(120, 1), Fraction(30, 1), Fraction(5, 1))

    Source: UNC compounding laboratory, Liquid Aliquot Method.
    """
    wanted = MASS.check("liquid plan: drug wanted", drug_wanted)
    least, step = limits.least_weighable_quantity, limits.display_step
    if wanted >= least:
        raise RefusedError("liquid plan", f"{MASS.show(wanted)} can be weighed directly.", "Weigh it directly.")
    need = in_steps(wanted, step)
    every = need.denominator  # only multiples of this many make the drug a weight the display can show
    first = ceil(Fraction(ceil(in_steps(least, step) / need), every)) * every
    multiples: Iterable[Fraction | int] = range(first, int(in_steps(limits.capacity, step) / need) + 1, every)
    if multiple_factor is not None:
        multiples = (multiple_factor.to_base_units().magnitude,)
    for multiple, marks in _on_both_vessels(wanted, limits, multiples):
        aliquot = limits.aliquot_vessel.graduation * marks
        plan = LiquidPlan(wanted, wanted * multiple, aliquot * multiple, aliquot)
        if not plan.broken_rules(limits):
            return plan
    raise RefusedError(
        "liquid plan",
        f"no plan for {MASS.show(wanted)}: the solution would be too large for its vessel, too strong to dissolve, or "
        "between two marks.",
        "Use a larger vessel, another solvent, or a solid aliquot.",
    )


def _on_both_vessels(
    wanted: Quantity, limits: LiquidLimits, multiples: Iterable[Fraction | int]
) -> Iterator[tuple[Fraction | int, int]]:
    """Return multiples and aliquots (in marks) of which both volumes can be measured, counted in whole marks only."""
    small, large = limits.aliquot_vessel, limits.solution_vessel
    lowest = small.least if limits.solubility is None else max(small.least, wanted / limits.solubility)
    highest = small.capacity if limits.final_volume is None else min(small.capacity, limits.final_volume)
    first, last = ceil(in_steps(lowest, small.graduation)), int(in_steps(highest, small.graduation))
    one_mark = in_steps(small.graduation, large.graduation)
    least, most = in_steps(large.least, large.graduation), in_steps(large.capacity, large.graduation)
    for multiple in multiples:
        step = one_mark * multiple
        if step * first > most:
            return
        for marks in range(max(first, ceil(least / step)), min(last, int(most / step)) + 1):
            if (step * marks).denominator == 1:
                yield multiple, marks
