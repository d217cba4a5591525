"""Tasks about liquid aliquots: published values, every plan of a small grid, typed mistakes by name, clearance."""

from dataclasses import dataclass
from fractions import Fraction
from itertools import product

import pytest

from pharmcalc.aliquots import LIQUID_RULES, LiquidLimits
from pharmcalc.balances import Balance
from pharmcalc.feedback import feedback_text
from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.tasks.family import Task, family_called
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import Quantity, quantity
from pharmcalc.volumes import MeasuringRange
from tests.questions import HOUSE, house, mg, statuses, task_with


def ml(number: object) -> Quantity:
    """Return millilitres."""
    return quantity(str(number), "millilitre")


def limits_with(
    *,
    least: str = "120",
    aliquot: tuple[str, str, str] = ("5", "1", "10"),
    solution: tuple[str, str, str] = ("20", "1", "100"),
    solubility: str = "50",
    final: str = "100",
    rules: HouseRules = HOUSE,
) -> LiquidLimits:
    """Return what a bench allows: masses in mg, volumes in mL as (least, from mark to mark, capacity)."""
    balance = Balance("Balance 1", mg(1), quantity(120, "gram"), stated_minimum=mg(least))
    small, large = (MeasuringRange(*(ml(number) for number in marks)) for marks in (aliquot, solution))
    strength = quantity(solubility, "milligram / millilitre")
    return LiquidLimits.of(
        rules.limits(balance), aliquot_vessel=small, solution_vessel=large, solubility=strength, final_volume=ml(final)
    )


def plan_task(wanted: str = "20", rules: HouseRules = HOUSE, **bench: object) -> Task:
    """Return a task for a liquid plan."""
    limits = limits_with(rules=rules, **bench)  # type: ignore[arg-type]
    given = {
        "drug_wanted": mg(wanted),
        "least_weighable_quantity": limits.least_weighable_quantity,
        "least_measurable_volume": limits.aliquot_vessel.least,
        "final_volume": ml(100),
    }
    return task_with("liquid-aliquot-plan", rules, limits, **given)


def order_task(dose: str = "1", volume: str = "100") -> Task:
    """Return a task for a whole order: mg in every 5 mL, mL ordered."""
    given = {
        "labelled_drug": mg(dose),
        "labelled_volume": ml(5),
        "measured_volume": ml(volume),
        "final_volume": ml(volume),
        "sensitivity": mg(6),
        "allowed_error": HOUSE.allowed_error,
        "least_measurable_volume": ml(5),
    }
    return task_with("order-liquid", HOUSE, limits_with(final=volume), **given)


RIGHT = {"k": "6", "drug": "120 mg", "aliquot": "5 mL", "solution": "30 mL"}
PLAN = {**RIGHT, "concentration": "4 mg/mL"}
ORDER = {"drug wanted": "20 mg", "lwq": "120 mg", **RIGHT, "vehicle": "95 mL"}


def marked(task: Task, right: dict[str, str], **typed: str) -> TaskMark:
    """Mark a right answer with some lines changed."""
    lines = {**right, **{label.replace("_", " "): text for label, text in typed.items()}}
    return mark_task(task, "\n".join(f"{label} = {text}" for label, text in lines.items()))


def named(mark: TaskMark) -> list[str]:
    """Return the mistakes and rules that were named."""
    return [verdict.mistake_id for verdict in mark.verdicts if verdict.mistake_id]


# Published values ----------------------------------------------------------------------------------------------------


def test_clonidine_is_120_mg_in_30_ml_of_which_5_ml_are_taken() -> None:
    """20 mg for 100 mL of 0.2 mg/mL: six times, 120 mg in 30 mL, 4 mg/mL (UNC, Liquid Aliquot Method)."""
    mark = marked(plan_task(), PLAN)
    assert (mark.marks, mark.out_of, mark.cleared) == (10, 10, True)
    assert plan_task().answer_lines().splitlines() == [
        "multiple factor = 6",
        "drug to weigh = 120 mg",
        "aliquot volume = 5 mL",
        "solution volume = 30 mL",
        "concentration = 4 mg/mL",
    ]


def test_ten_millilitres_of_sixty_are_as_right() -> None:
    """Another aliquot, another solution, another strength: right where 2 mg/mL dissolves."""
    other = {"aliquot": "10 mL", "solution": "60 mL", "concentration": "2 mg/mL"}
    assert marked(plan_task(solubility="2"), PLAN, **other).cleared
    refused = marked(plan_task(solubility="2"), PLAN)
    assert named(refused) == ["too-strong-to-dissolve"]
    assert not refused.cleared


def test_a_whole_order_ends_with_the_bottle_full() -> None:
    """1 mg in every 5 mL, 100 mL: 20 mg wanted, 5 mL of the solution and 95 mL of vehicle (derived)."""
    mark = marked(order_task(), ORDER)
    assert (mark.marks, mark.out_of, mark.cleared) == (14, 14, True)


# Every plan of a small grid ------------------------------------------------------------------------------------------

HALVES = [Fraction(halves, 2) for halves in range(1, 17)]
BLAMED = {
    "drug-below-lwq": "multiple factor",
    "multiple-not-whole": "multiple factor",
    "drug-not-on-display": "multiple factor",
    "aliquot-not-measurable": "aliquot volume",
    "aliquot-above-final-volume": "aliquot volume",
    "too-strong-to-dissolve": "aliquot volume",
    "solution-not-measurable": "solution volume",
}


@dataclass(frozen=True)
class Plan:
    """A multiple and an aliquot in mL for a wanted mass in mg, with all that follows."""

    wanted: Fraction
    multiple: Fraction
    aliquot: Fraction

    @property
    def weighed(self) -> Fraction:
        """The drug weighed, in mg."""
        return self.multiple * self.wanted

    @property
    def solution(self) -> Fraction:
        """The solution, in mL."""
        return self.multiple * self.aliquot

    def broken(self, whole: bool) -> set[str]:
        """Return the rules that it breaks, worked out by hand."""
        tests = {
            "drug-below-lwq": self.weighed < 10,
            "multiple-not-whole": whole and self.multiple.denominator > 1,
            "drug-not-on-display": self.weighed.denominator > 1,
            "aliquot-not-measurable": self.aliquot.denominator > 1 or not 2 <= self.aliquot <= 6,
            "aliquot-above-final-volume": self.aliquot > 5,
            "too-strong-to-dissolve": self.wanted / self.aliquot > Fraction(8, 5),
            "solution-not-measurable": (self.solution / 2).denominator > 1 or not 8 <= self.solution <= 24,
        }
        return {rule for rule, broken in tests.items() if broken}

    def typed(self) -> str:
        """Write it as a student's answer, every number exact."""
        return "\n".join(
            (
                f"k = {self.multiple}",
                f"w = {self.weighed} mg",
                f"a = {self.aliquot} mL",
                f"v = {self.solution} mL",
                f"c = {self.weighed} mg / ({self.solution} mL)",
            )
        )


@pytest.mark.parametrize(
    ("wanted", "multiple", "right"),
    [("3.5", "whole", 6), ("3.5", "any", 6), ("4", "whole", 8), ("4", "any", 12)],
)
def test_every_liquid_plan_is_judged_by_the_rules_it_breaks(wanted: str, multiple: str, right: int) -> None:
    """Right plans earn everything and are cleared; wrong ones lose exactly the steps that their rules blame."""
    rules = house(multiple_factor=f'"{multiple}"')
    bench = {"least": "10", "aliquot": ("2", "1", "6"), "solution": ("8", "2", "24"), "solubility": "1.6", "final": "5"}
    task = plan_task(wanted, rules, **bench)
    plans = [Plan(Fraction(wanted), *pair) for pair in product([half for half in HALVES if half > 1], HALVES)]
    for plan in plans:
        broken, mark = plan.broken(multiple == "whole"), mark_task(task, plan.typed())
        lost = {verdict.label for verdict in mark.verdicts if not verdict.earned}
        assert lost == {BLAMED[rule] for rule in broken}, plan.typed()
        assert mark.cleared is not bool(broken - {"multiple-not-whole"}), plan.typed()
    assert sum(not plan.broken(multiple == "whole") for plan in plans) == right


def test_the_grid_knows_every_rule_that_marking_knows() -> None:
    """A rule that is added must be added here too; the amount itself and the large pan are judged elsewhere."""
    assert {rule.id for rule in LIQUID_RULES} - {"wrong-amount", "drug-above-capacity"} == set(BLAMED)


# Typed mistakes ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("label", "typed", "mistake"),
    [
        # 20 mg wanted, 6 x 20 = 120 mg in 6 x 5 = 30 mL, for 100 mL; each number worked out from what was done
        ("k", "0.167", "multiple-upside-down"),  # 20 / 120 (mistake 31)
        ("drug", "20 mg", "weighed-directly"),  # mistake 27
        ("aliquot", "0.833 mL", "aliquot-volume-over-multiple"),  # 5 / 6 (mistake 32)
        ("aliquot", "30 mL", "aliquot-volume-is-whole-solution"),  # 6 x 5 (mistake 28)
        ("solution", "25 mL", "solution-volume-as-solvent"),  # (6 - 1) x 5
        ("solution", "0.833 mL", "solution-volume-divided"),  # 5 / 6
        ("solution", "100 mL", "solution-volume-is-final"),
        ("concentration", "0.667 mg/mL", "concentration-of-drug-wanted"),  # 20 / 30
        ("concentration", "24 mg/mL", "concentration-weight-in-aliquot"),  # 120 / 5
    ],
)
def test_a_slip_in_a_liquid_plan_is_named_and_costs_its_own_step(label: str, typed: str, mistake: str) -> None:
    """The mistake is named where it was made; what is typed consistently after it is judged on the student's own."""
    mark = marked(plan_task(), PLAN, **{label: typed})
    assert mistake in named(mark)
    assert mark.marks == 8 or label in ("solution",)  # after another solution the old strength is wrong as well


def test_rounded_down_is_five_times_instead_of_six() -> None:
    """22 mg: 120 / 22 is 5.45; with 5 the drug weighed, 110 mg, stays below the least weighable quantity."""
    mark = marked(
        plan_task("22"), PLAN, k="5", drug="110 mg", aliquot="5 mL", solution="25 mL", concentration="4.4 mg/mL"
    )
    assert named(mark) == ["multiple-rounded-down"]
    assert (mark.marks, mark.cleared) == (8, False)


def test_a_weight_left_at_the_limit_gives_a_weaker_aliquot() -> None:
    """22 mg: 6 x 22 = 132 mg; with 120 mg left, 5 mL of 30 mL hold 20 mg, 9 % too little (mistake 4)."""
    task = plan_task("22")
    mark = marked(task, PLAN, drug="120 mg", concentration="4 mg/mL")
    assert named(mark) == ["weight-left-at-lwq"]
    assert (mark.marks, mark.cleared) == (8, False)
    assert "9.1 % less drug than is wanted: 20 mg instead of 22 mg" in feedback_text(mark)


@pytest.mark.parametrize(
    ("label", "typed", "mistake"),
    [
        # 1 mg per 5 mL, 100 mL; each number worked out from what was done
        ("drug wanted", "100 mg", "measured-as-if-per-millilitre"),  # 1 mg/mL x 100 mL (mistake 34)
        ("drug wanted", "1 mg", "labelled-drug-for-all"),  # one dose for the bottle (mistake 26)
        ("lwq", "0.3 mg", "lwq-upside-down"),  # 6 mg x 5 % (mistake 1)
        ("lwq", "1.2 mg", "lwq-percent-as-number"),  # 6 mg / 5 (mistake 2)
        ("vehicle", "100 mL", "vehicle-is-final-volume"),  # mistake 17
        ("vehicle", "70 mL", "vehicle-less-solution"),  # 100 - 30 (mistake 28)
    ],
)
def test_a_slip_in_a_whole_order_is_named_and_costs_its_own_step(label: str, typed: str, mistake: str) -> None:
    """One slip in the chain, the rest as it should be: exactly one step's marks are lost."""
    mark = marked(order_task(), ORDER, **{label: typed})
    assert named(mark) == [mistake]
    assert mark.marks == 12


def test_an_order_for_five_times_the_drug_is_critical_however_consistent() -> None:
    """Per 5 mL read as per mL: 100 mg wanted, and all that follows from it, would hold five times the dose."""
    follows = {"k": "2", "drug": "200 mg", "aliquot": "10 mL", "solution": "20 mL", "vehicle": "90 mL"}
    mark = marked(order_task(), ORDER, drug_wanted="100 mg", **follows)
    assert named(mark) == ["measured-as-if-per-millilitre"]
    assert mark.marks == 12
    assert (mark.cleared, mark.clearance.critical) == (False, True)
    assert "5 times the drug that is wanted: 100 mg instead of 20 mg" in feedback_text(mark)


def test_a_label_ten_times_too_strong_is_critical() -> None:
    """What is written on the solution is what the next person measures by."""
    mark = marked(plan_task(), PLAN, concentration="40 mg/mL")
    assert (statuses(mark)["concentration"], mark.clearance.critical) == ("POWER", True)
    text = feedback_text(mark)
    assert "The strength on the label of the solution would be 10 times what is wanted" in text
    assert "any part of the solution would hold only 10 % of the drug that is wanted" in text


def test_a_bottle_filled_with_vehicle_beside_the_aliquot_is_too_weak() -> None:
    """10 mL and 100 mL make 110 mL: every dose holds 9 % too little."""
    mark = marked(order_task(), ORDER, aliquot="10 mL", solution="60 mL", vehicle="100 mL")
    assert named(mark) == ["vehicle-is-final-volume"]
    assert "The bottle would hold 110 mL, so each dose from it would hold 9.1 % less drug" in feedback_text(mark)
    assert not mark.cleared


def test_a_multiple_left_unsaid_is_read_from_the_weight_and_the_aliquot_from_the_solution() -> None:
    """120 mg for 20 mg are six times; 60 mL for six times are aliquots of 10 mL: nothing is named for it."""
    mark = mark_task(plan_task(), "drug = 120 mg\nsolution = 60 mL\nconcentration = 2 mg/mL")
    assert statuses(mark) == {
        "multiple factor": "MISSING",
        "drug to weigh": "RIGHT",
        "aliquot volume": "MISSING",
        "solution volume": "RIGHT",
        "concentration": "RIGHT",
    }


def test_a_multiple_that_no_vessel_can_hold_is_not_gone_on_with() -> None:
    """Thirty times 5 mL are 150 mL, and the cylinder holds 100 mL."""
    mark = marked(plan_task(), PLAN, k="30", drug="600 mg", solution="150 mL")
    assert mark.verdicts[0].not_gone_on == "the solution would be too large for its vessel"
    assert not mark.cleared


# One step ------------------------------------------------------------------------------------------------------------


def test_a_drug_dissolved_in_the_volume_makes_it_weaker() -> None:
    """9.5 g in 50 mL are 190 mg/mL; dissolved in 50 mL and 6.65 mL of their own, 167.7 mg/mL (mistake 9)."""
    task = task_with(
        "liquid-concentration", drug_weighed=quantity("9.5", "g"), solution_volume=ml(50), drug_volume=ml("6.65")
    )
    assert mark_task(task, "concentration = 190 mg/mL").cleared
    mark = mark_task(task, "concentration = 168 mg/mL")
    assert named(mark) == ["dissolved-in-not-to"]
    assert "a dose would hold 13 % more drug than is wanted" in feedback_text(mark)


@pytest.mark.parametrize(
    ("typed", "mistake", "holds"),
    [
        # 125 mg per 5 mL, a dose of 50 mg: 2 mL; each number worked out from what was done
        ("0.4 mL", "dose-as-if-per-millilitre", "only 20 % of the drug"),  # 50 / 125 (mistake 34)
        ("12.5 mL", "dose-upside-down", "6.25 times the drug"),  # 5 x 125 / 50
    ],
)
def test_a_dose_measured_by_half_the_label_is_critical(typed: str, mistake: str, holds: str) -> None:
    """125 mg per 5 mL is not 125 mg per mL."""
    task = task_with("liquid-dose", labelled_drug=mg(125), labelled_volume=ml(5), dose=mg(50))
    assert mark_task(task, "volume = 2 mL").cleared
    mark = mark_task(task, f"volume = {typed}")
    assert named(mark) == [mistake]
    assert mark.clearance.critical
    assert holds in feedback_text(mark)


# Drawing -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("family", ["liquid-aliquot-plan", "order-liquid"])
def test_the_draws_ask_for_more_than_the_smallest_of_everything(family: str) -> None:
    """In some draws the smallest aliquot will do, in others a mark or the solubility asks for a larger one."""
    tasks = [family_called(family).task("q1", f"draw {number}", HOUSE) for number in range(60)]
    smallest = [task.values["aliquot_volume"] == task.values["least_measurable_volume"] for task in tasks]
    assert 5 <= sum(smallest) <= 55
