"""What to do when no single aliquot works: the usual remedies, each one tried before it is named.

A remedy is never only suggested: the larger batch, the better balance, the liquid aliquot or the second step is
planned, and the plan, or the reason why there is none, is given with it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from pharmcalc.aliquots.liquid_plan import LiquidLimits, LiquidPlan, smallest_liquid_plan
from pharmcalc.aliquots.plan import AliquotPlan, Limits, smallest_plan
from pharmcalc.aliquots.serial import SerialPlan, smallest_serial_plan
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS, VOLUME
from pharmcalc.language import say
from pharmcalc.units import Quantity
from pharmcalc.volumes import MeasuringRange

__all__ = ["Remedy", "remedies"]

MOST_BATCHES = 100


@dataclass(frozen=True)
class Remedy:
    """One remedy: its ``id`` (batch, twice, balance, liquid) and name, whether it works here, and why.

    ``says`` is a sentence, ``plan`` the plan that was found.
    """

    id: str
    name: str
    works: bool
    says: str
    plan: AliquotPlan | SerialPlan | LiquidPlan | None = None


def remedies(
    *,
    drug_wanted: Quantity | str,
    limits: Limits,
    other_balances: Mapping[str, Limits] | None = None,
    aliquot_vessel: MeasuringRange | None = None,
    solution_vessel: MeasuringRange | None = None,
) -> list[Remedy]:
    """Try the usual remedies for an amount that one solid aliquot cannot give, and say of each whether it works.

    other_balances: the limits of each other balance, by its name. The vessels: for a liquid aliquot, where a liquid is
    possible at all. Raises RefusedError for an amount that is no mass, or that needs no aliquot.

    >>> from pharmcalc.units import quantity
    >>> capsule = Limits(quantity(120, "mg"), quantity(1, "mg"), quantity(50, "g"), final_quantity=quantity(100, "mg"))
    >>> [(remedy.name, remedy.works) for remedy in remedies(drug_wanted="3 mg", limits=capsule)]
    [('a larger batch', True), ('two aliquots one after the other', False)]

    Source: the remedies are common practice; each is planned with the rules of this package.
    """
    wanted = MASS.check("remedies: drug wanted", drug_wanted)
    if wanted >= limits.least_weighable_quantity:
        raise RefusedError("remedies", f"{MASS.show(wanted)} can be weighed directly.", "Weigh it directly.")
    tried = [_larger_batch(wanted, limits), _second_step(wanted, limits)]
    tried += [_better_balance(wanted, name, other) for name, other in (other_balances or {}).items()]
    if aliquot_vessel is not None and solution_vessel is not None:
        tried.append(_liquid(wanted, limits, aliquot_vessel, solution_vessel))
    return tried


def _larger_batch(wanted: Quantity, limits: Limits) -> Remedy:
    name = say("a larger batch")
    for times in range(2, MOST_BATCHES + 1):
        final = None if limits.final_quantity is None else limits.final_quantity * times
        if wanted * times >= limits.least_weighable_quantity:
            if final is not None and final > limits.capacity:
                break
            return Remedy(
                "batch",
                name,
                True,
                say(
                    "For {times} times the amount, the drug can be weighed directly.{limits}",
                    times=times,
                    limits=_filling(limits),
                ),
            )
        try:
            plan = smallest_plan(drug_wanted=wanted * times, limits=replace(limits, final_quantity=final))
        except RefusedError:
            continue
        return Remedy(
            "batch",
            name,
            True,
            say(
                "For {times} times the amount: {plan}{limits}",
                times=times,
                plan=_weighed(plan),
                limits=_filling(limits),
            ),
            plan,
        )
    return Remedy(
        "batch",
        name,
        False,
        say("No batch up to {most_batches} times the amount keeps the rules.", most_batches=MOST_BATCHES),
    )


def _filling(limits: Limits) -> str:
    """Warn where each unit, once weighed out, is itself below the least weighable quantity."""
    final, least = limits.final_quantity, limits.least_weighable_quantity
    if final is None or final >= least:
        return ""
    return say(
        " But weighing out {final} for each unit stays below the least weighable quantity of "
        "{least}, whatever the batch: fill another way, fill more, or use a better balance.",
        final=MASS.show(final),
        least=MASS.show(least),
    )


def _second_step(wanted: Quantity, limits: Limits) -> Remedy:
    name = say("two aliquots one after the other")
    try:
        plan = smallest_serial_plan(drug_wanted=wanted, limits=limits)
    except RefusedError as refusal:
        return Remedy("twice", name, False, str(refusal))
    weighed = ", ".join(f"{say(what)} {MASS.show(mass)}" for what, mass in plan.weighings())
    return Remedy("twice", name, True, say("Weigh {weighed}.", weighed=weighed), plan)


def _better_balance(wanted: Quantity, balance: str, limits: Limits) -> Remedy:
    name = say("another balance: {balance}", balance=balance)
    if limits.least_weighable_quantity <= wanted <= limits.capacity:
        return Remedy("balance", name, True, say("It may weigh {wanted} directly.", wanted=MASS.show(wanted)))
    try:
        plan = smallest_plan(drug_wanted=wanted, limits=limits)
    except RefusedError as refusal:
        return Remedy("balance", name, False, str(refusal))
    return Remedy("balance", name, True, _weighed(plan), plan)


def _weighed(plan: AliquotPlan) -> str:
    drug, diluent, aliquot = (MASS.show(mass) for mass in (plan.drug_weighed, plan.diluent, plan.aliquot))
    return say(
        "weigh {drug} of drug and {diluent} of diluent, take {aliquot}.", drug=drug, diluent=diluent, aliquot=aliquot
    )


def _liquid(wanted: Quantity, limits: Limits, aliquot: MeasuringRange, solution: MeasuringRange) -> Remedy:
    name = say("a liquid aliquot")
    try:
        plan = smallest_liquid_plan(
            drug_wanted=wanted, limits=LiquidLimits.of(limits, aliquot_vessel=aliquot, solution_vessel=solution)
        )
    except RefusedError as refusal:
        return Remedy("liquid", name, False, str(refusal))
    says = say(
        "Make {drug_weighed} up to {solution_volume} and take "
        "{aliquot_volume}, if the drug dissolves and a liquid is wanted.",
        drug_weighed=MASS.show(plan.drug_weighed),
        solution_volume=VOLUME.show(plan.solution_volume),
        aliquot_volume=VOLUME.show(plan.aliquot_volume),
    )
    return Remedy("liquid", name, True, says, plan)
