"""A liquid plan that a lesson shows: the task as it is met on a card, and its working, whole or with gaps."""

from pharmcalc.kinds import MASS, MASS_PER_VOLUME, VOLUME
from pharmcalc.tasks.family import Task
from pharmcalc.tasks.house import read_house_rules
from pharmcalc.tasks.liquids import LIQUID_PLAN, liquid_plan
from pharmcalc.volumes import vessel
from pharmcalc.widgets.markup import Shown
from pharmcalc.widgets.workings import balance_called, show_task

__all__ = ["liquid_plan_task", "show_liquid_plan"]

STANDARD = "ASTM E1272"


def show_liquid_plan(*, steps: int | None = None, **given: str) -> Shown:
    """Show the plan of a liquid aliquot, with the smallest plan that keeps the rules as its working.

    given: as in :func:`liquid_plan_task`. steps: how many steps are written out; the rest are gaps to fill in, with the
    whole working folded below.
    """
    return show_task(liquid_plan_task(**given), steps)


def liquid_plan_task(
    *,
    drug_wanted: str,
    solubility: str,
    final_volume: str,
    drug: str = "the drug",
    aliquot_cylinder: str = "10 mL",
    least_volume: str = "2 mL",
    solution_cylinder: str = "50 mL",
    balance: str = "",
) -> Task:
    """Return a liquid plan with numbers of the lesson's choice, under the house rules that come with the course.

    aliquot_cylinder, solution_cylinder: capacities of cylinders of class A. least_volume: the least that is measured in
    the first one. balance: by its name in the house rules; the first one where none is named. RefusedError where the
    drug can be weighed directly, or no plan keeps the rules.
    """
    house = read_house_rules()
    drawn = liquid_plan(
        house,
        balance_called(house, balance),
        drug_wanted=MASS.check("drug wanted", drug_wanted),
        drug=drug,
        solubility=MASS_PER_VOLUME.check("solubility", solubility),
        final_volume=VOLUME.check("final volume", final_volume),
        aliquot_vessel=vessel(kind="cylinder", standard=STANDARD, capacity=aliquot_cylinder),
        least_volume=VOLUME.check("least volume", least_volume),
        solution_vessel=vessel(kind="cylinder", standard=STANDARD, capacity=solution_cylinder),
    )
    return Task("example", LIQUID_PLAN, drawn, house)
