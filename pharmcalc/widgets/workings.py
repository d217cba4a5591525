"""Workings that a lesson shows: one formula, a whole example, a plan with its rules, a mistake and what it would do.

A lesson's cell is one line that ends in one of these. The words and the numbers are the library's own, so that a
lesson cannot say anything else than the marking and the feedback do.
"""

from collections.abc import Mapping
from fractions import Fraction
from html import escape

from pharmcalc.aliquots import (
    RULES,
    AliquotPlan,
    Limits,
    diluent,
    drug_delivered,
    drug_weighed,
    smallest_aliquot,
    smallest_plan,
    total_mixture,
)
from pharmcalc.balances import Balance, error_found, smallest_by_each_rule
from pharmcalc.display import as_displayed, reading_text
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES, Formula, words
from pharmcalc.kinds import MASS, PERCENT
from pharmcalc.language import NEUTRAL, capital, say, using
from pharmcalc.reading import read
from pharmcalc.tasks.aliquots import ALIQUOT_BATCH, batch
from pharmcalc.tasks.family import Drawn, Task, family_called
from pharmcalc.tasks.house import HouseRules, read_house_rules
from pharmcalc.units import number_text, quotient, rounded_text
from pharmcalc.widgets import markup
from pharmcalc.widgets.markup import Shown, note, table
from pharmcalc.working import Working, WorkingStep, step_of

__all__ = [
    "balance_called",
    "example_task",
    "show_batch",
    "show_example",
    "show_mistake",
    "show_on_display",
    "show_plan",
    "show_reading",
    "show_slip",
    "show_smallest_amounts",
    "show_task",
    "show_working",
]

GAP = "______"
_WEIGHED = {
    drug_weighed: "drug_weighed",
    total_mixture: "total_mixture",
    diluent: "diluent",
    smallest_aliquot: "aliquot",
}


def show_reading(text: str) -> Shown:
    """Show how a typed amount is read, with what the reader has to say about the way it is written.

    >>> show_reading(".5 mg")
    ".5 mg" is read as 0.5 mg. Write a zero before the point: 0.5. A lone point is easily missed.
    """
    found = read(text)
    remarks = "".join(f" {capital(remark)}." for remark in found.remarks)
    return note(say('"{text}" is read as {shown}.{remarks}', text=text, shown=found.shown, remarks=remarks))


def show_on_display(mass: str, *, display_step: str) -> Shown:
    """Show what a balance without any error displays for a mass, as it is written down.

    >>> show_on_display("62.5 mg", display_step="0.001 g")
    62.5 mg on a display with a step of 0.001 g: 0.063 g
    """
    shown = reading_text(as_displayed(mass, display_step=display_step), display_step=display_step)
    return note(
        say(
            "{mass} on a display with a step of {display_step}: {shown}",
            mass=mass,
            display_step=display_step,
            shown=shown,
        )
    )


def show_working(formula: Formula, *, folded: bool = False, **values: str) -> Shown:
    """Show one formula with numbers put in, and what comes out; ``folded`` leaves time to guess first.

    >>> from pharmcalc.balances import percentage_of_error
    >>> show_working(percentage_of_error, sensitivity="6 mg", load="50 mg")
    percentage of error = sensitivity ÷ load x 100 %
    percentage of error = 6 mg ÷ 50 mg x 100 % = 12 %
    """
    formula(**values)  # refuses what cannot be, with the cure
    step = step_of(formula, {name: kind.check(name, values[name]) for name, kind in formula.kinds.items()})
    shown = _lines(f"{step.label} = {step.equation}", step.line, strong=1)
    return markup.folded("Look", shown) if folded else shown


def show_example(family_id: str, *, steps: int | None = None, **given: str) -> Shown:
    """Show a task with numbers of the lesson's choice, and its working.

    given: the task's numbers and words by name. steps: how many steps are written out; the rest are gaps to fill in,
    with the whole working folded below.
    """
    return show_task(example_task(family_id, given), steps)


def show_batch(*, dose: str, units: int, fill: str, drug: str = "the drug", steps: int | None = None) -> Shown:
    """Show a whole order of capsules with its working, under the house rules that come with the course.

    dose and fill: of one capsule. units: how many are ordered. steps: how many steps are written out; the rest are gaps
    to fill in. RefusedError where these numbers make no aliquot problem.
    """
    house = read_house_rules()
    amounts = {"dose": MASS.check("dose", dose), "fill": MASS.check("fill", fill)}
    said = {"drug": drug, "diluent_name": "lactose"}
    drawn = batch(house, house.balances[0], ordered=units, said=said, **amounts)
    return show_task(Task("example", ALIQUOT_BATCH, drawn, house), steps)


def show_task(task: Task, steps: int | None = None) -> Shown:
    """Show a task and its working; steps: how many are written out, as in :func:`show_example`."""
    working = task.working()
    question = Shown(task.question_text(), task.question_html())
    whole = Shown(working.text(), working.html())
    if steps is None:
        return question + whole
    begun = Working((*working.steps[:steps], *map(_gap, working.steps[steps:])), working.opening)
    return question + Shown(begun.text(), begun.html()) + markup.folded(say("Compare: the whole working"), whole)


def show_plan(
    *,
    drug_wanted: str,
    multiple_factor: str = "",
    aliquot: str = "",
    final_quantity: str = "",
    balance: str = "",
) -> Shown:
    """Show an aliquot plan: its steps, its proof, and each rule with whether it is kept.

    Without a multiple factor and an aliquot the smallest plan is shown, or why there is none and what to do instead.
    balance: by its name in the house rules that come with the course; the first one where none is named.
    """
    house = read_house_rules()
    final = MASS.check("final quantity", final_quantity) if final_quantity else None
    limits = house.limits(balance_called(house, balance), final)
    try:
        plan = _plan(drug_wanted, multiple_factor, aliquot, limits)
    except RefusedError as refused:
        return note(f"{capital(refused.problem)} {refused.cure}")
    values = plan.values()
    steps = tuple(step_of(formula, values) for formula in (drug_weighed, total_mixture, diluent))
    working = Working(steps, f"{_chosen(plan)}.", step_of(drug_delivered, values))
    return Shown(working.text(), working.html()) + _rules(plan, limits)


def show_mistake(mistake_id: str, *, drug_wanted: str, multiple_factor: str, aliquot: str, balance: str = "") -> Shown:
    """Show a known mistake made in a right plan: what was done, what the aliquot would then hold, and why it is wrong.

    >>> show_mistake("diluent-is-total", drug_wanted="6 mg", multiple_factor="20", aliquot="120 mg")
    The total mixture was taken as the diluent.
    Diluent: 2400 mg instead of 2280 mg.
    The aliquot would hold about 5.714 mg instead of 6 mg: 0.952 times as much (about 4.762 % off).
    The drug is part of the total mixture; take it off, or the mixture comes out too weak.
    """
    mistake = MISTAKES[mistake_id]
    if mistake.of not in _WEIGHED:
        raise RefusedError(f"show_mistake: {mistake_id}", "nothing else is weighed with it.", "Use show_plan.")
    name = _WEIGHED[mistake.of]
    house = read_house_rules()
    least = house.limits(balance_called(house, balance)).least_weighable_quantity
    right = AliquotPlan.of(drug_wanted=drug_wanted, multiple_factor=multiple_factor, aliquot=aliquot).values()
    made = {**right, name: mistake.evaluate({**right, "least_weighable_quantity": least})}
    if made == right:
        raise RefusedError(f"show_mistake: {mistake_id}", "it makes no difference here.", "Choose other numbers.")
    mixed = made["drug_weighed"] + made["diluent"] if name == "diluent" else made["total_mixture"]
    held = drug_delivered(drug_weighed=made["drug_weighed"], aliquot=made["aliquot"], total_mixture=mixed)
    wanted = right["drug_wanted"]
    off = PERCENT.show(error_found(wanted=wanted, found=held))
    times = number_text(quotient(held, wanted), 3)[0]
    return _lines(
        f"{mistake.name}.",
        say(
            "{name}: {made} instead of {right}.",
            name=capital(words(name)),
            made=MASS.show(made[name]),
            right=MASS.show(right[name]),
        ),
        say(
            "The aliquot would hold {held} instead of {wanted}: {times} times as much ({off} off).",
            held=MASS.show(held),
            wanted=MASS.show(wanted),
            times=times,
            off=off,
        ),
        mistake.lesson,
        strong=0,
    )


def show_slip(mistake_id: str, **values: str) -> Shown:
    """Show a known mistake of one formula: what was done, the number that comes of it, and why it is wrong.

    values: those of the formula, and what else the mistake takes.

    >>> show_slip("purity-upside-down", drug_wanted="100 mg", purity="80 %")
    The drug wanted was multiplied by the purity instead of divided by it.
    Powder for purity: 80 mg instead of 125 mg. That is 0.64 times as much.
    Part of the powder is not drug, so more powder is needed than drug.
    """
    mistake = MISTAKES[mistake_id]
    formula = mistake.of
    checked = {name: kind.check(name, values[name]) for name, kind in (formula.kinds | mistake.kinds).items()}
    right = formula(**{name: checked[name] for name in formula.kinds})
    made = mistake.evaluate(checked)
    if made == right:
        raise RefusedError(f"show_slip: {mistake_id}", "it makes no difference here.", "Choose other numbers.")
    alike = made.dimensionality == right.dimensionality
    times = say(" That is {made} as much.", made=_times(quotient(made, right))) if alike else ""
    label = capital(formula.label)
    return _lines(
        f"{mistake.name}.",
        say(
            "{label}: {made} instead of {right}.{times}",
            label=label,
            made=mistake.kind.show(made),
            right=formula.kind.show(right),
            times=times,
        ),
        mistake.lesson,
        strong=0,
    )


def show_smallest_amounts(*, display_step: str, allowed_error: str, stated: str = "") -> Shown:
    """Show, side by side, what each rule says is the smallest amount for one electronic balance."""
    rules = smallest_by_each_rule(
        display_step=MASS.check("display step", display_step),
        allowed_error=PERCENT.check("allowed error", allowed_error),
        stated=MASS.check("stated minimum weight", stated) if stated else None,
    )
    caption = say(
        "One balance with a display step d of {display_step}; allowed error {allowed_error}",
        display_step=display_step,
        allowed_error=allowed_error,
    )
    rows = [(rule.rule, MASS.show(rule.smallest), str(rule.source)) for rule in rules]
    return table(caption, (say("The rule"), say("Smallest amount"), say("Where the rule comes from")), rows)


def example_task(family_id: str, given: Mapping[str, str]) -> Task:
    """Return a task with numbers of the lesson's choice.

    given: by name, the family's numbers as they are typed and its words as they are. For a plan, ``balance`` names one
    of the house rules that come with the course; what the balance can do comes from there.
    """
    family, house = family_called(family_id), read_house_rules()
    numbers = {name: family.kinds[name].check(name, text) for name, text in given.items() if name in family.kinds}
    said = {name: text for name, text in given.items() if name not in family.kinds}
    if family.solve is None:
        return Task("example", family, Drawn(numbers, said), house)
    chosen = balance_called(house, said.get("balance", ""))
    limits = house.limits(chosen, numbers.get("final_quantity"))
    known = {
        "sensitivity": chosen.error_at_most(house.allowed_error),
        "allowed_error": house.allowed_error,
        "least_weighable_quantity": limits.least_weighable_quantity,
    }
    asked = {one.name for one in family.asked}
    numbers |= {name: value for name, value in known.items() if name not in asked}
    said |= {"balance": chosen.name, "capacity": MASS.show(chosen.carries)}
    return Task("example", family, Drawn(numbers, said, limits), house)


def balance_called(house: HouseRules, name: str) -> Balance:
    """Return a balance of the house by its name, the first where none is named; RefusedError tells those there are."""
    for balance in house.balances:
        if name in ("", balance.name):
            return balance
    known = ", ".join(balance.name for balance in house.balances)
    raise RefusedError("balance", f'the house rules have none called "{name}".', f"They have: {known}.")


def _plan(drug_wanted: str, multiple_factor: str, aliquot: str, limits: Limits) -> AliquotPlan:
    if not multiple_factor and not aliquot:
        return smallest_plan(drug_wanted=drug_wanted, limits=limits)
    return AliquotPlan.of(drug_wanted=drug_wanted, multiple_factor=multiple_factor, aliquot=aliquot)


def _chosen(plan: AliquotPlan) -> str:
    multiple, aliquot = number_text(plan.multiple_factor.magnitude)[0], MASS.show(plan.aliquot)
    return say(
        "Drug wanted {drug_wanted}; chosen: multiple factor {multiple}, aliquot {aliquot}",
        drug_wanted=MASS.show(plan.drug_wanted),
        multiple=multiple,
        aliquot=aliquot,
    )


def _gap(step: WorkingStep) -> WorkingStep:
    return WorkingStep(step.label, "", "", GAP)


def _times(number: Fraction) -> str:
    """Return how many times: ``0.8 times``, ``about 2.05 times``."""
    said = rounded_text(number)
    with using(NEUTRAL):
        rounded = Fraction(rounded_text(number)) == number  # read with a point, whatever is written
    return say("{about}{times} times", about="" if rounded else say("about "), times=said)


def _rules(plan: AliquotPlan, limits: Limits) -> Shown:
    """Return the verdict of the rules: those broken in sight, all of them folded below."""
    broken = plan.broken_rules(limits)
    rules = [rule for rule in RULES if not rule.limit or getattr(limits, rule.limit) is not None]
    kept, not_kept = say("Kept"), say("Broken")
    lines = [f"{not_kept if rule in broken else kept}: {rule.says_here(limits)}" for rule in rules]
    if broken:
        verdict = _lines(
            say("This plan is not right."), *(line for line in lines if line.startswith("Broken")), strong=0
        )
    else:
        verdict = _lines(say("Every rule is kept."), strong=0)
    return verdict + markup.folded(say("Rule by rule"), _lines(*lines))


def _lines(*lines: str, strong: int = -1) -> Shown:
    """Return some lines as one paragraph; the one at ``strong`` stands out."""
    html = [f"<strong>{escape(line)}</strong>" if n == strong else escape(line) for n, line in enumerate(lines)]
    return Shown("\n".join(lines), f"<p>{'<br>'.join(html)}</p>")
