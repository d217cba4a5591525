"""How sure is the drug in an aliquot? The models of the plans, and what each weighing may be off by.

The least weighable quantity is a rule for *each* weighing. A plan has three and more, and their errors add up.
"""

from functools import singledispatch
from typing import Any

from pharmcalc.aliquots import AliquotPlan
from pharmcalc.aliquots.liquid_plan import LiquidPlan
from pharmcalc.aliquots.serial import SerialPlan
from pharmcalc.equations import root
from pharmcalc.kinds import MASS
from pharmcalc.uncertainty.propagation import Budget, Input, Model, budget, worst_case
from pharmcalc.uncertainty.standard import reading_uncertainty, rectangular_uncertainty
from pharmcalc.units import Quantity

__all__ = ["model_of", "plan_budget", "plan_worst_case", "weighing_uncertainty"]


@singledispatch
def model_of(plan: object) -> tuple[Model, dict[str, Quantity]]:
    """Return the model of a plan, and the amounts weighed or measured for it, by name."""
    raise TypeError(f"there is no model of a {type(plan).__name__}")


@model_of.register
def _(plan: AliquotPlan) -> tuple[Model, dict[str, Quantity]]:
    def delivered(drug: Any, diluent: Any, aliquot: Any) -> Any:
        return drug * aliquot / (drug + diluent)

    return delivered, {"drug": plan.drug_weighed, "diluent": plan.diluent, "aliquot": plan.aliquot}


@model_of.register
def _(plan: SerialPlan) -> tuple[Model, dict[str, Quantity]]:
    def delivered(drug: Any, first_diluent: Any, first_aliquot: Any, second_diluent: Any, second_aliquot: Any) -> Any:
        taken = drug * first_aliquot / (drug + first_diluent)
        return taken * second_aliquot / (first_aliquot + second_diluent)

    return delivered, {name.replace(" ", "_"): mass for name, mass in plan.weighings()}


@model_of.register
def _(plan: LiquidPlan) -> tuple[Model, dict[str, Quantity]]:
    def delivered(drug: Any, solution: Any, aliquot: Any) -> Any:
        return drug * aliquot / solution

    return delivered, {"drug": plan.drug_weighed, "solution": plan.solution_volume, "aliquot": plan.aliquot_volume}


def weighing_uncertainty(
    *,
    display_step: Quantity | str,
    repeatability: Quantity | str,
    linearity: Quantity | str | None = None,
    weights: Quantity | str | None = None,
) -> Quantity:
    """Return the standard uncertainty of one net weighing, from what is known of the balance.

    display_step: d; it counts twice, for the zero and for the load. repeatability: a standard deviation. linearity,
    weights: limits ± of the balance and of the weights it was adjusted with (rectangles), or ``None``. All masses.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> MASS.show(weighing_uncertainty(display_step="1 mg", repeatability="2 mg"))
    'about 2.041 mg'

    Source: GUM 5.1.2, with the rounding of two readings.
    """
    reading = reading_uncertainty(display_step=MASS.check("weighing uncertainty: display step", display_step))
    repeated = MASS.check("weighing uncertainty: repeatability", repeatability)
    squares = reading * reading * 2 + repeated * repeated
    for name, limit in (("linearity", linearity), ("weights", weights)):
        if limit is not None:
            part = rectangular_uncertainty(half_width=MASS.check(f"weighing uncertainty: {name}", limit))
            squares = squares + part * part
    return root(squares).to("milligram")


def plan_budget(plan: AliquotPlan | SerialPlan | LiquidPlan, uncertainties: dict[str, Quantity]) -> Budget:
    """Return the uncertainty budget of the drug in the (last) aliquot of a plan.

    uncertainties: the standard uncertainty of each amount of :func:`model_of`, by name.
    """
    model, amounts = model_of(plan)
    return budget(model, [Input(name, value, uncertainties[name]) for name, value in amounts.items()])


def plan_worst_case(plan: AliquotPlan | SerialPlan | LiquidPlan, limits: dict[str, Quantity]) -> Quantity:
    """Return the largest relative error of the drug in the (last) aliquot when each amount is off by its limit.

    limits: what each amount of :func:`model_of` may be off by, by name.
    """
    model, amounts = model_of(plan)
    return worst_case(model, [Input(name, value, limits[name]) for name, value in amounts.items()])
