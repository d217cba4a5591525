"""Many right plans for one amount: how much mixture each leaves over, and how sure its result is."""

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from pharmcalc.aliquots import AliquotPlan
from pharmcalc.balances import Balance
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS, NUMBER
from pharmcalc.language import say
from pharmcalc.tasks.house import read_house_rules
from pharmcalc.uncertainty import expanded_uncertainty, model_of, plan_budget, rectangular_uncertainty
from pharmcalc.units import Quantity, quantity, rounded_text
from pharmcalc.widgets.chart import Chart, Scale
from pharmcalc.widgets.explorers.frame import Picture, figure, still
from pharmcalc.widgets.markup import Shown, heading, note
from pharmcalc.widgets.workings import show_plan

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["plan_chooser", "plan_chooser_figure"]

MULTIPLES = (1, Fraction(21, 20), Fraction(5, 4), Fraction(3, 2), 2, 3, 4)
ALIQUOTS = (1, Fraction(5, 4), Fraction(3, 2), 2, 3, 4)
"""How far above the smallest that will do, for the multiple factor and for the aliquot."""


@dataclass(frozen=True)
class _Choice:
    """One plan, what it leaves over in grams, and its expanded relative uncertainty in per cent."""

    plan: AliquotPlan
    waste: Fraction
    unsure: Fraction

    @property
    def name(self) -> str:
        """The two choices that make the plan."""
        return say(
            "multiple {multiple_factor}, aliquot {aliquot}",
            multiple_factor=NUMBER.show(self.plan.multiple_factor),
            aliquot=MASS.show(self.plan.aliquot),
        )

    def better_than(self, other: "_Choice") -> bool:
        """Say whether it leaves less over and is surer."""
        return self.waste < other.waste and self.unsure < other.unsure


def plan_chooser_figure(*, drug_wanted: str = "6 mg", place: int = -1) -> Shown:
    """Return the right plans for an amount as points, one of them chosen, with its working and its rules.

    drug_wanted: a mass that one aliquot can give on the first balance of the house rules. place: of the chosen plan,
    from 0, the least left over first; left out, the one that the explorer starts with. RefusedError says what to write.
    """
    choices = _choices(MASS.check("plan_chooser: drug_wanted", drug_wanted))
    if place >= len(choices):
        raise RefusedError("plan_chooser: place", f"there are {len(choices)} plans.", f"Write 0 to {len(choices) - 1}.")
    return still(_draw(choices, place if place >= 0 else _start(choices)))


def plan_chooser(drug_wanted: str = "6 mg") -> "Explorer":
    """Return the picture of :func:`plan_chooser_figure` with a list of the plans; a click on a point chooses it too.

    It starts with a plan that keeps every rule, and that others beat in both.
    """
    from pharmcalc.widgets.controls import Choice, Explorer  # here: the still picture works without ipywidgets

    choices = _choices(MASS.check("plan_chooser: drug_wanted", drug_wanted))
    dial = Choice("Plan", tuple(choice.name for choice in choices), _start(choices))
    return Explorer(
        heading(
            say("{drug_wanted} by one aliquot: {choices} right plans", drug_wanted=drug_wanted, choices=len(choices))
        ),
        (dial,),
        lambda n: _draw(choices, n),
    )


def _choices(wanted: Quantity) -> list[_Choice]:
    """Return a spread of the right plans, the one that leaves least over first."""
    house = read_house_rules()
    balance = house.balances[0]
    limits = house.limits(balance)
    least = limits.least_weighable_quantity
    if wanted >= least:
        raise RefusedError(
            "plan_chooser: drug_wanted", f"{MASS.show(wanted)} can be weighed directly.", "Write a smaller mass."
        )
    first = -(-(least / wanted).to_base_units().magnitude // 1)
    found: dict[tuple[Fraction, Quantity], _Choice] = {}
    for factor in MULTIPLES:
        multiple = quantity(Fraction(round(first * factor)))
        for share in ALIQUOTS:
            aliquot = limits.display_step * round((least * share / limits.display_step).to_base_units().magnitude)
            plan = AliquotPlan.of(drug_wanted=wanted, multiple_factor=multiple, aliquot=aliquot)
            if not plan.broken_rules(limits):
                found[plan.multiple_factor.magnitude, plan.aliquot] = _weighed_up(plan, balance, house.allowed_error)
    if not found:
        raise RefusedError(
            "plan_chooser: drug_wanted", f"no plan of this spread gives {MASS.show(wanted)}.", "Write another mass."
        )
    return sorted(found.values(), key=lambda one: (one.waste, one.unsure))


def _weighed_up(plan: AliquotPlan, balance: Balance, allowed: Quantity) -> _Choice:
    off = rectangular_uncertainty(half_width=balance.error_at_most(allowed))
    spread = plan_budget(plan, dict.fromkeys(model_of(plan)[1], off)).relative
    unsure = expanded_uncertainty(standard_uncertainty=spread).to("percent").magnitude
    return _Choice(plan, (plan.total_mixture - plan.aliquot).to("gram").magnitude, Fraction(unsure))


def _start(choices: list[_Choice]) -> int:
    """Return the place of the plan that most others beat in both."""
    return max(range(len(choices)), key=lambda n: sum(other.better_than(choices[n]) for other in choices))


def _draw(choices: list[_Choice], place: int) -> Picture:
    chosen = choices[place]
    most, unsurest = max(one.waste for one in choices), max(one.unsure for one in choices)
    chart = Chart(
        Scale(say("mixture left over, in g"), Fraction(0), most * Fraction(21, 20)),
        Scale(say("expanded uncertainty of the drug in the aliquot, in %"), Fraction(0), unsurest * Fraction(21, 20)),
        height=300,
    )
    for number, one in enumerate(choices):
        if number != place:
            better = one.better_than(chosen)
            chart.drawing.dot("drug" if better else "ring", chart.x(one.waste), chart.y(one.unsure), 6, pick=number)
    x, y = chart.x(chosen.waste), chart.y(chosen.unsure)
    chart.drawing.dot("aliquot", x, y, 10, pick=place)
    chart.drawing.line("mark", x - 6, y, x + 6, y)
    chart.drawing.line("mark", x, y - 6, x, y + 6)
    words = _words(choices, chosen)
    svg = chart.drawing.svg(say("{choices} right plans: left over against uncertainty", choices=len(choices)), words)
    plan = chosen.plan
    working = show_plan(
        drug_wanted=MASS.show_exactly(plan.drug_wanted)[0],
        multiple_factor=NUMBER.show(plan.multiple_factor),
        aliquot=MASS.show_exactly(plan.aliquot)[0],
    )
    return figure(svg), note(words), working


def _words(choices: list[_Choice], chosen: _Choice) -> str:
    better = sum(one.better_than(chosen) for one in choices)
    if not better:
        said = say("No other plan here leaves less over and is surer as well.")
    else:
        many = say("One plan leaves") if better == 1 else say("{better} plans leave", better=better)
        said = say(
            "{many} less over and {verb} surer as well (filled points).",
            many=many,
            verb=say("is") if better == 1 else say("are"),
        )
    left = MASS.show(chosen.plan.total_mixture - chosen.plan.aliquot)
    return say(
        "The cross: {name}. It keeps every rule, leaves {left} of mixture over, and the drug in the aliquot "
        "has an expanded uncertainty of {unsure} %. {said}",
        name=chosen.name,
        left=left,
        unsure=rounded_text(chosen.unsure, 2),
        said=said,
    )
