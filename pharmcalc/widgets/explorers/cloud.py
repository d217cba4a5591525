"""A cloud of simulated doses: one plan, carried out many times, with the allowed error beside it.

Every weighing is off by chance, evenly within what the balance may be off by: nothing more is known of it.
"""

from fractions import Fraction
from typing import TYPE_CHECKING

from pharmcalc.aliquots import AliquotPlan
from pharmcalc.balances import Balance
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS, PERCENT
from pharmcalc.language import say
from pharmcalc.tasks.house import HouseRules, read_house_rules
from pharmcalc.uncertainty import (
    Budget,
    expanded_uncertainty,
    model_of,
    plan_budget,
    plan_worst_case,
    rectangular_uncertainty,
    simulate,
)
from pharmcalc.units import Quantity, quantity, quotient, rounded_text
from pharmcalc.widgets.chart import Chart, Scale
from pharmcalc.widgets.explorers.frame import Picture, at_least, figure, milligrams, still
from pharmcalc.widgets.markup import Shown, heading, note, table

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["dose_cloud", "dose_cloud_figure"]

RUNS, SEED = 200, 1
SPAN, BIN = Fraction(20), Fraction(1, 2)  # the scale reaches so many per cent to each side, in steps of so many
LOWEST, HIGHEST, STEP = Fraction(90), Fraction(480), Fraction(10)  # of the sliders, in milligrams
STAND_IN = (
    " This picture is a stand-in: numpy, which draws the chance numbers elsewhere, is not here. Python's own drew "
    "these, so other doses lie outside than on a computer with the full course."
)
ROOM, RADIUS = 30, 3.2  # a column of fewer dots than this leaves room above it


def dose_cloud_figure(
    *, drug_wanted: str = "6 mg", drug_weighed: str = "120 mg", aliquot: str = "120 mg", balance: str = ""
) -> Shown:
    """Return one aliquot plan, carried out many times by simulation, as a picture, a sentence and a budget.

    drug_wanted, drug_weighed, aliquot: masses above zero, the second larger than the first. balance: a name in the
    house rules that come with the course; the first where none is named. RefusedError says what to write.
    """
    house = read_house_rules()
    chosen = next((one for one in house.balances if balance in ("", one.name)), None)
    if chosen is None:
        names = ", ".join(one.name for one in house.balances)
        raise RefusedError("cloud: balance", f'there is none called "{balance}".', f"There are: {names}.")
    wanted, weighed = (MASS.check("cloud: mass", mass) for mass in (drug_wanted, drug_weighed))
    return still(_draw(house, chosen, _plan(wanted, weighed, MASS.check("cloud: aliquot", aliquot))))


def dose_cloud(drug_wanted: str = "6 mg") -> "Explorer":
    """Return the picture of :func:`dose_cloud_figure` with sliders for two of the weighings and a list of the balances.

    It starts with a plan whose every weighing is large enough, if only just. drug_wanted: a mass above zero and below
    the smallest drug weighed.
    """
    from pharmcalc.widgets.controls import Choice, Dial, Explorer  # here: the still picture works without ipywidgets

    house = read_house_rules()
    wanted = MASS.check("cloud: drug wanted", drug_wanted)
    if milligrams(wanted) >= LOWEST:
        raise RefusedError(
            "cloud: drug wanted", f"must be less than {LOWEST} mg; it was {MASS.show(wanted)}.", "It needs no aliquot."
        )
    start = milligrams(house.balances[0].least_weighable(house.allowed_error))
    whole = at_least(STEP, milligrams(wanted))  # so that the multiple factor is a whole number
    dials = (
        Dial("Drug weighed, in mg", at_least(LOWEST, whole), at_least(HIGHEST, whole), whole, at_least(start, whole)),
        Dial("Aliquot, in mg", LOWEST, HIGHEST, STEP, at_least(start, STEP)),
        Choice("Balance", tuple(_entry(house, balance) for balance in house.balances)),
    )

    def draw(weighed: Fraction, part: Fraction, place: int) -> Picture:
        plan = _plan(wanted, quantity(weighed, "milligram"), quantity(part, "milligram"))
        return _draw(house, house.balances[place], plan)

    return Explorer(
        heading(say("{wanted} of drug, made {runs} times over", wanted=MASS.show(wanted), runs=RUNS)), dials, draw
    )


def _entry(house: HouseRules, balance: Balance) -> str:
    return say(
        "{name}: may be off by {allowed_error}",
        name=balance.name,
        allowed_error=MASS.show(balance.error_at_most(house.allowed_error)),
    )


def _plan(wanted: Quantity, weighed: Quantity, aliquot: Quantity) -> AliquotPlan:
    return AliquotPlan.of(drug_wanted=wanted, multiple_factor=quantity(quotient(weighed, wanted)), aliquot=aliquot)


def _draw(house: HouseRules, balance: Balance, plan: AliquotPlan) -> Picture:
    off = balance.error_at_most(house.allowed_error)
    names = tuple(model_of(plan)[1])
    standard = dict.fromkeys(names, rectangular_uncertainty(half_width=off))
    cloud = simulate(plan, standard, runs=RUNS, seed=SEED, evenly=True)
    errors = [100 * float(one - 1) for one in cloud.relative]
    found = plan_budget(plan, standard)
    words = _words(house, balance, plan, errors, found) + (STAND_IN if cloud.stand_in else "")
    chart = _picture(errors, float(house.allowed_error.to("percent").magnitude))
    svg = chart.drawing.svg(say("{runs} simulated doses, beside the allowed error", runs=RUNS), words)
    return figure(svg), note(words), _shares(plan, found)


def _words(house: HouseRules, balance: Balance, plan: AliquotPlan, errors: list[float], found: Budget) -> str:
    outside, allowed = _outside(house, errors), PERCENT.show(house.allowed_error)
    limits = house.limits(balance, None)
    broken = [rule.says_here(limits) for rule in plan.broken_rules(limits)]
    rules = say("Broken: {broken}", broken=" ".join(broken)) if broken else say("Every weighing keeps the rules.")
    beyond = say(" Some lie further out than this picture reaches.") if max(map(abs, errors)) > SPAN else ""
    worst = plan_worst_case(plan, dict.fromkeys(model_of(plan)[1], balance.error_at_most(house.allowed_error)))
    return say(
        "{inside} of {runs} simulated doses lie within {allowed} of {drug_wanted}, {outside} "
        "outside{crosses}.{beyond} For each, {drug_weighed} of drug, "
        "{diluent} of diluent and an aliquot of {aliquot} were weighed on "
        "{name}, with errors drawn by chance: a simulation, not a measurement. {rules} Combined standard "
        "uncertainty {standard}, expanded "
        "{expanded}, worst case {worst}.",
        inside=RUNS - outside,
        runs=RUNS,
        allowed=allowed,
        drug_wanted=MASS.show(plan.drug_wanted),
        outside=outside,
        crosses=say(" (crosses)") if outside else "",
        beyond=beyond,
        drug_weighed=MASS.show(plan.drug_weighed),
        diluent=MASS.show(plan.diluent),
        aliquot=MASS.show(plan.aliquot),
        name=balance.name,
        rules=rules,
        standard=_about(found.relative),
        expanded=_about(expanded_uncertainty(standard_uncertainty=found.relative)),
        worst=PERCENT.show(worst),
    )


def _outside(house: HouseRules, errors: list[float]) -> int:
    """Return how many doses are off by more than the allowed error."""
    allowed = float(house.allowed_error.to("percent").magnitude)
    return sum(abs(error) > allowed for error in errors)


def _picture(errors: list[float], allowed: float) -> Chart:
    """Draw each dose as a mark in the column of its error; what is outside the allowed error is a cross."""
    columns: dict[int, list[float]] = {}
    last = int(SPAN / BIN) - 1
    for error in errors:
        columns.setdefault(min(max(int(error // float(BIN)), -last - 1), last), []).append(error)
    tallest = max(ROOM, *map(len, columns.values()))
    chart = Chart(
        Scale(say("dose less what is wanted, in per cent of it"), -SPAN, SPAN),
        Scale(say("how many of the {runs} doses", runs=RUNS), Fraction(0), Fraction(tallest)),
    )
    radius = min(RADIUS, (chart.foot - chart.top) / tallest / 2)
    chart.upright("axis", Fraction(0))
    for bound in (-allowed, allowed):
        chart.upright("limit", bound)
        chart.drawing.words(f"{bound:+g} %".replace("-", "\u2212"), chart.x(bound), chart.top - 6, "soft", "middle")
    for column, inside in columns.items():
        x = chart.x(BIN * column + BIN / 2)
        for height, error in enumerate(sorted(inside, key=abs)):
            _mark(chart, x, chart.y(height + 0.5), radius, abs(error) <= allowed)
    return chart


def _mark(chart: Chart, x: float, y: float, radius: float, within: bool) -> None:
    if within:
        chart.drawing.dot("drug", x, y, radius)
    else:
        chart.drawing.line("mark", x - radius, y - radius, x + radius, y + radius)
        chart.drawing.line("mark", x - radius, y + radius, x + radius, y - radius)


def _about(part: Quantity) -> str:
    """Return a percentage of an uncertainty to two figures: more would say more than is known (GUM 7.2.6)."""
    return say("about {magnitude} %", magnitude=rounded_text(part.to("percent").magnitude, 2))


def _shares(plan: AliquotPlan, found: Budget) -> Shown:
    """Return which weighing adds how much: the budget."""
    amounts = model_of(plan)[1]
    rows = [
        (say(line.name), MASS.show(amounts[line.name]), _about(line.relative), _about(line.share))
        for line in found.lines
    ]
    head = (say("Weighing"), say("Amount"), say("Standard uncertainty"), say("Share"))
    return table(
        say("Where the uncertainty comes from: each weighing, and its share of the sum of squares"), head, rows
    )
