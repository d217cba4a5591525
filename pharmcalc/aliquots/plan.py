"""An aliquot plan, the rules it must keep, and the smallest plan that keeps them.

Many plans are right. A plan is judged by its rules, never against one key.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from pharmcalc.aliquots.formulas import diluent, drug_delivered
from pharmcalc.aliquots.grid import Grid
from pharmcalc.aliquots.limits import Limits, in_steps
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import COUNT, MASS, written
from pharmcalc.language import say, worded
from pharmcalc.units import Quantity, quantity, quotient

__all__ = ["RULES", "AliquotPlan", "Limits", "Rule", "in_steps", "smallest_plan"]

Values = Mapping[str, Quantity]


@worded("says")
@dataclass(frozen=True)
class Rule:
    """One rule of a plan: a stable id, what it says, the values it looks at, and whether it holds.

    ``blame`` lists the answers it can be charged to, the first one given being the one; ``limit`` names the limit it
    speaks of.
    """

    id: str
    says: str
    needs: tuple[str, ...]
    blame: tuple[str, ...]
    holds: Callable[[Values, Limits], bool]
    limit: str = ""

    def says_here(self, limits: Limits) -> str:
        """Return what the rule says, with the limit it speaks of as a number."""
        value = getattr(limits, self.limit) if self.limit else None
        return (
            say("{says} Here it is {value}.", says=self.says, value=written(value)) if value is not None else self.says
        )

    def broken_by(self, values: Values, limits: Limits) -> bool:
        """Say whether these values break the rule; values that are not there break nothing."""
        return all(name in values for name in self.needs) and not self.holds(values, limits)


def _on_the_display(value: Quantity, limits: Limits) -> bool:
    return bool(quotient(value, limits.display_step).denominator == 1)


RULES = (
    Rule(
        "drug-below-lwq",
        "The drug weighed must be at least the least weighable quantity.",
        ("drug_weighed",),
        ("multiple_factor", "drug_weighed"),
        lambda v, n: bool(v["drug_weighed"] >= n.least_weighable_quantity),
        "least_weighable_quantity",
    ),
    Rule(
        "aliquot-below-lwq",
        "The aliquot must be at least the least weighable quantity.",
        ("aliquot",),
        ("aliquot",),
        lambda v, n: bool(v["aliquot"] >= n.least_weighable_quantity),
        "least_weighable_quantity",
    ),
    Rule(
        "diluent-below-lwq",
        "The diluent must be at least the least weighable quantity.",
        ("diluent",),
        ("diluent", "total_mixture"),
        lambda v, n: not n.diluent_checked or bool(v["diluent"] >= n.least_weighable_quantity),
        "least_weighable_quantity",
    ),
    Rule(
        "aliquot-above-preparation",
        "The aliquot must fit into the final preparation.",
        ("aliquot",),
        ("aliquot",),
        lambda v, n: n.final_quantity is None or bool(v["aliquot"] <= n.final_quantity),
        "final_quantity",
    ),
    Rule(
        "finish-below-lwq",
        "The diluent that finishes the preparation must be at least the least weighable quantity, or none at all.",
        ("aliquot",),
        ("aliquot",),
        lambda v, n: n.room_for_finish(v["aliquot"]),
        "least_weighable_quantity",
    ),
    Rule(
        "above-capacity",
        "The total mixture must not be above the capacity of the balance.",
        ("total_mixture",),
        ("total_mixture", "diluent", "multiple_factor", "drug_weighed"),
        lambda v, n: bool(v["total_mixture"] <= n.capacity),
        "capacity",
    ),
    Rule(
        "multiple-not-whole",
        "The house asks for a whole multiple factor.",
        ("multiple_factor",),
        ("multiple_factor", "drug_weighed"),
        lambda v, n: not n.whole_multiple or v["multiple_factor"].to_base_units().magnitude.denominator == 1,
    ),
    Rule(
        "mixed-too-far",
        "The mixture must not be more than the largest ratio of the house times the drug.",
        ("drug_weighed", "total_mixture"),
        ("aliquot", "total_mixture"),
        lambda v, n: n.largest_ratio is None or bool(v["total_mixture"] <= n.largest_ratio * v["drug_weighed"]),
        "largest_ratio",
    ),
    Rule(
        "drug-not-on-display",
        "The drug weighed must be a whole number of display steps.",
        ("drug_weighed",),
        ("multiple_factor", "drug_weighed"),
        lambda v, n: _on_the_display(v["drug_weighed"], n),
        "display_step",
    ),
    Rule(
        "aliquot-not-on-display",
        "The aliquot must be a whole number of display steps.",
        ("aliquot",),
        ("aliquot",),
        lambda v, n: _on_the_display(v["aliquot"], n),
        "display_step",
    ),
    Rule(
        "diluent-not-on-display",
        "The diluent must be a whole number of display steps.",
        ("diluent",),
        ("diluent", "total_mixture", "aliquot"),
        lambda v, n: _on_the_display(v["diluent"], n),
        "display_step",
    ),
    Rule(
        "wrong-amount",
        "The aliquot must hold exactly the drug wanted.",
        ("drug_weighed", "aliquot", "total_mixture", "drug_wanted"),
        (),
        lambda v, n: bool(v["drug_weighed"] * v["aliquot"] == v["drug_wanted"] * v["total_mixture"]),
    ),
)
"""Every rule of an aliquot plan, once; marking and planning both ask these."""


@dataclass(frozen=True)
class AliquotPlan:
    """What is weighed: the drug, the diluent, and the aliquot that holds the drug wanted. All masses."""

    drug_wanted: Quantity
    drug_weighed: Quantity
    diluent: Quantity
    aliquot: Quantity

    @classmethod
    def of(
        cls, *, drug_wanted: Quantity | str, multiple_factor: Quantity | str, aliquot: Quantity | str
    ) -> "AliquotPlan":
        """Make the plan that follows from a multiple factor and an aliquot.

        >>> plan = AliquotPlan.of(drug_wanted="6 mg", multiple_factor="20", aliquot="120 mg")
        >>> MASS.show(plan.diluent)
        '2280 mg'
        """
        wanted = MASS.check("drug wanted", drug_wanted)
        multiple = (
            COUNT.check("multiple factor", multiple_factor) if isinstance(multiple_factor, str) else multiple_factor
        )
        part = MASS.check("aliquot", aliquot)
        weighed = wanted * multiple
        return cls(wanted, weighed, diluent(total_mixture=part * multiple, drug_weighed=weighed), part)

    @property
    def total_mixture(self) -> Quantity:
        """Drug and diluent together."""
        return self.drug_weighed + self.diluent

    @property
    def multiple_factor(self) -> Quantity:
        """How many times the drug wanted is weighed."""
        return (self.drug_weighed / self.drug_wanted).to_base_units()

    @property
    def drug_delivered(self) -> Quantity:
        """The drug that the aliquot really holds."""
        return drug_delivered(drug_weighed=self.drug_weighed, aliquot=self.aliquot, total_mixture=self.total_mixture)

    def values(self) -> dict[str, Quantity]:
        """Return the plan as named values, as the formulas and the rules know them."""
        names = ("drug_wanted", "multiple_factor", "drug_weighed", "aliquot", "total_mixture", "diluent")
        return {name: getattr(self, name) for name in names}

    def broken_rules(self, limits: Limits) -> list[Rule]:
        """Return the rules that this plan breaks; an empty list means that the plan is right."""
        return [rule for rule in RULES if rule.broken_by(self.values(), limits)]


def smallest_plan(*, drug_wanted: Quantity | str, limits: Limits) -> AliquotPlan:
    """Return the plan that weighs the least drug and, among those, makes the least mixture.

    Whole multiples only. Every weighing is a weight the balance can show. Raises RefusedError, naming the rule and a
    remedy, where the amount can be weighed directly or no plan keeps the rules.

    >>> limits = Limits(quantity(120, "mg"), quantity(1, "mg"), quantity(50, "g"))
    >>> plan = smallest_plan(drug_wanted="6 mg", limits=limits)
    >>> [MASS.show(mass) for mass in (plan.drug_weighed, plan.diluent, plan.aliquot)]
    ['120 mg', '2280 mg', '120 mg']

    Source: the rules of UNC, Trituration Method; the smallest whole multiple is common practice.
    """
    wanted = MASS.check("drug wanted", drug_wanted)
    least = limits.least_weighable_quantity
    if wanted >= least:
        raise RefusedError(
            "aliquot plan",
            f"{MASS.show(wanted)} reaches the least weighable quantity of {MASS.show(least)}.",
            "Weigh it directly.",
        )
    step = limits.display_step
    for ladder in Grid.of(wanted, limits, whole_multiple=True).ladders():
        multiple = quantity(ladder.drug / in_steps(wanted, step))
        return AliquotPlan.of(drug_wanted=wanted, multiple_factor=multiple, aliquot=step * ladder.low)
    raise RefusedError("aliquot plan", _why_none(wanted, limits), _remedy(limits))


def _why_none(wanted: Quantity, limits: Limits) -> str:
    least, final = limits.least_weighable_quantity, limits.final_quantity
    if final is not None and final < least:
        return say(
            "no plan: the aliquot must be at least the least weighable quantity of {least}, "
            "but the whole preparation is only {final}.",
            least=MASS.show(least),
            final=MASS.show(final),
        )
    return say(
        ("no plan for {wanted}: the mixture would be above the capacity of {capacity}, or a weighing below {least}."),
        wanted=MASS.show(wanted),
        capacity=MASS.show(limits.capacity),
        least=MASS.show(least),
    )


def _remedy(limits: Limits) -> str:
    if limits.final_quantity is not None:
        return say("Make a larger batch, use a balance with a smaller least weighable quantity, or a liquid aliquot.")
    return say("Use a balance with a larger capacity or a smaller least weighable quantity, or two aliquots in a row.")
