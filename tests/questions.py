"""Questions with numbers of our own, for the tests: any family, and the two about aliquots."""

from fractions import Fraction

from pharmcalc.aliquots import Limits
from pharmcalc.balances import Balance
from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.tasks.family import Drawn, Task, family_called
from pharmcalc.tasks.house import HouseRules, default_house_rules_text, read_house_rules
from pharmcalc.units import Quantity, quantity

HOUSE = read_house_rules()
WORDS = {
    "drug": "a drug",
    "diluent_name": "lactose",
    "balance": "Balance 1",
    "capacity": "120 g",
    "product": "a lotion",
}


def mg(number: int | str | Fraction) -> Quantity:
    """Return milligrams."""
    return quantity(number, "milligram")


def house(**changes: str) -> HouseRules:
    """Return the course's house rules with some lines changed, for example ``house(rounding='"half even"')``."""
    text = default_house_rules_text()
    for name, value in changes.items():
        label = name.replace("_", "-")
        line = next(line for line in text.splitlines() if line.startswith(f"{label} = "))
        text = text.replace(line, f"{label} = {value}", 1)
    return read_house_rules(text)


def task_with(family: str, rules: HouseRules = HOUSE, limits: Limits | None = None, **values: Quantity) -> Task:
    """Return a task of a family with given values."""
    return Task("q1", family_called(family), Drawn(values, WORDS, limits), rules)


def plan_task(
    wanted: int | str | Fraction,
    sensitivity: int | str = 6,
    *,
    step: str = "1",
    capacity: str = "120000",
    rules: HouseRules = HOUSE,
) -> Task:
    """Return a task for an aliquot plan: mg wanted, and the balance's sensitivity, step and capacity in mg."""
    least = mg(sensitivity) / rules.allowed_error
    limits = rules.limits(Balance("Balance 1", mg(step), mg(capacity), stated_minimum=least.to("milligram")))
    given = {"drug_wanted": mg(wanted), "sensitivity": mg(sensitivity), "allowed_error": rules.allowed_error}
    return task_with("aliquot-plan", rules, limits, **given)


def batch_task(dose: str = "0.7", units: int = 10, fill: str = "200", least: str = "120", ordered: int = 8) -> Task:
    """Return a task for a batch: mg of drug in each capsule, capsules made, mg each weighs, least weighable mg."""
    whole = mg(fill) * units
    limits = HOUSE.limits(Balance("Balance 1", mg(1), quantity(120, "gram"), stated_minimum=mg(least)), whole)
    given = {
        "dose": mg(dose),
        "units_ordered": quantity(ordered),
        "number_of_units": quantity(units),
        "final_quantity": whole,
        "fill": mg(fill),
        "least_weighable_quantity": mg(least),
    }
    return task_with("aliquot-batch", HOUSE, limits, **given)


def answers(**typed: str) -> str:
    """Return answer lines, from short labels: ``answers(lwq="120 mg", k="20")``."""
    return "\n".join(f"{label.replace('_', ' ')} = {value}" for label, value in typed.items())


def statuses(mark: TaskMark) -> dict[str, str]:
    """Return the status of each answer, by its label."""
    return {verdict.label: verdict.status.name for verdict in mark.verdicts}


def marked(task: Task, **typed: str) -> TaskMark:
    """Mark answers given by short labels."""
    return mark_task(task, answers(**typed))
