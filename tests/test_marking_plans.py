"""Every plan of a small grid, right or wrong, marked and compared with an oracle of fractions only."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import NamedTuple

import pytest

from pharmcalc.aliquots import RULES
from pharmcalc.errors import RefusedError
from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.tasks.family import Task
from tests.conftest import PROFILE
from tests.questions import house, mg, plan_task

THOROUGH = PROFILE == "thorough"


class House(NamedTuple):
    """The house rules of a test; ``final`` is the whole preparation in mg."""

    multiple: str
    checked: bool
    ratio: int | None = None
    final: int | None = None


HOUSES = [House("whole", True), House("any", False), House("whole", True, ratio=3, final=9)]
if THOROUGH:
    HOUSES += [House("any", True), House("whole", False), House("any", False, ratio=4, final=7)]
WANTED = ["3", "5/2", "11/3"] + (["1", "7/4", "19/5"] if THOROUGH else [])

SENSITIVITY = Fraction(1, 5)  # at 5 % a least weighable quantity of 4 mg, in steps of 1 mg
LEAST, CAPACITY = 4, 60
BLAMED = {
    "drug-below-lwq": "multiple factor",
    "aliquot-below-lwq": "aliquot",
    "diluent-below-lwq": "diluent to weigh",
    "aliquot-above-preparation": "aliquot",
    "finish-below-lwq": "aliquot",
    "above-capacity": "total mixture",
    "mixed-too-far": "aliquot",
    "multiple-not-whole": "multiple factor",
    "drug-not-on-display": "multiple factor",
    "aliquot-not-on-display": "aliquot",
    "diluent-not-on-display": "diluent to weigh",
}


@dataclass(frozen=True)
class Plan:
    """A multiple and an aliquot for a wanted mass, with all that follows, in mg."""

    wanted: Fraction
    multiple: Fraction
    aliquot: Fraction

    @property
    def weighed(self) -> Fraction:
        """The drug weighed."""
        return self.multiple * self.wanted

    @property
    def total(self) -> Fraction:
        """The whole mixture."""
        return self.multiple * self.aliquot

    @property
    def diluent(self) -> Fraction:
        """What is added to the drug."""
        return self.total - self.weighed

    def broken(self, rules: House) -> set[str]:
        """Return the rules that it breaks, worked out by hand."""
        whole, checked, left = rules.multiple == "whole", rules.checked, (rules.final or self.aliquot) - self.aliquot
        tests = {
            "aliquot-above-preparation": left < 0,
            "finish-below-lwq": 0 < left < (LEAST if checked else 1),
            "mixed-too-far": rules.ratio is not None and self.total > rules.ratio * self.weighed,
            "drug-below-lwq": self.weighed < LEAST,
            "aliquot-below-lwq": self.aliquot < LEAST,
            "diluent-below-lwq": checked and self.diluent < LEAST,
            "above-capacity": self.total > CAPACITY,
            "multiple-not-whole": whole and self.multiple.denominator > 1,
            "drug-not-on-display": self.weighed.denominator > 1,
            "aliquot-not-on-display": self.aliquot.denominator > 1,
            "diluent-not-on-display": self.diluent.denominator > 1,
        }
        return {rule for rule, broken in tests.items() if broken}

    def typed(self) -> str:
        """Write it as a student's answer, every number exact."""
        values = {"k": self.multiple, "w": self.weighed, "a": self.aliquot, "t": self.total, "d": self.diluent}
        lines = [f"{label} = {value}{'' if label == 'k' else ' mg'}" for label, value in values.items()]
        return "\n".join([f"lwq = {LEAST} mg", *lines])


def grid(wanted: Fraction) -> Iterator[Plan]:
    """Return every plan of the grid: multiples in whole, half (and third) parts, aliquots in whole and half ones."""
    parts, largest, longest = ((1, 2, 3), 12, 13) if THOROUGH else ((1, 2), 7, 11)
    multiples = sorted({Fraction(top, part) for part in parts for top in range(1, largest * part)})
    aliquots = sorted({Fraction(top, part) for part in (1, 2) for top in range(1, longest * part)})
    for multiple in multiples:
        for aliquot in aliquots:
            if multiple > 1 and multiple * aliquot > multiple * wanted:
                yield Plan(wanted, multiple, aliquot)


@pytest.mark.parametrize("wanted", WANTED)
@pytest.mark.parametrize("rules", HOUSES)
def test_every_plan_is_judged_by_the_rules_it_breaks(wanted: str, rules: House) -> None:
    """Every right plan earns everything and is cleared; every wrong one loses exactly the steps its rules blame."""
    task = question(wanted, rules)
    if all(plan.broken(rules) for plan in grid(Fraction(wanted))):
        with pytest.raises(RefusedError, match="no plan"):  # and so such a question is never drawn
            _ = task.values
        return
    right = wrong = 0
    for plan in grid(Fraction(wanted)):
        broken = plan.broken(rules)
        mark = mark_task(task, plan.typed())
        right, wrong = right + (not broken), wrong + bool(broken)
        assert lost(mark) == {BLAMED[rule] for rule in broken}, plan.typed()
        assert mark.marks == 12 - 2 * len(lost(mark))
        assert named(mark) <= broken | {"multiple-upside-down", "multiple-rounded-down", "aliquot-is-whole-mixture"}
        assert mark.cleared is not bool(broken - {"multiple-not-whole"})
    assert wrong > 50
    assert right > (0 if (wanted == "11/3" and rules.multiple == "whole") or rules.final else 5)


def question(wanted: str, rules: House) -> Task:
    """Return a task for a plan under these house rules."""
    ratio = "none" if rules.ratio is None else str(rules.ratio)
    changes = {"multiple_factor": f'"{rules.multiple}"', "largest_ratio": f'"{ratio}"'}
    lab = house(diluent_checked=str(rules.checked).lower(), **changes)
    task = plan_task(Fraction(wanted), str(SENSITIVITY), capacity=str(CAPACITY), rules=lab)
    final = None if rules.final is None else mg(rules.final)
    assert task.limits is not None
    limits = replace(task.limits, final_quantity=final)
    return Task(task.id, task.family, replace(task.drawn, limits=limits), lab)


def lost(mark: TaskMark) -> set[str]:
    """Return the labels of the answers that did not earn all their marks."""
    return {verdict.label for verdict in mark.verdicts if not verdict.earned}


def named(mark: TaskMark) -> set[str]:
    """Return the ids of the rules and mistakes that were named."""
    return {verdict.mistake_id for verdict in mark.verdicts if verdict.mistake_id}


def test_the_oracle_knows_every_rule_that_marking_knows() -> None:
    """A rule that is added must be added here too; only the amount itself is judged by arithmetic."""
    assert {rule.id for rule in RULES} - {"wrong-amount"} == set(BLAMED)


@pytest.mark.parametrize("wanted", ["3", "5/2"])
@pytest.mark.parametrize("label", ["w", "t", "d"])
def test_one_milligram_off_is_not_the_right_amount(wanted: str, label: str) -> None:
    """In every right plan of the grid, a drug, a mixture or a diluent that is 1 mg off loses that step and no other."""
    task = plan_task(wanted, str(SENSITIVITY), capacity=str(CAPACITY))
    for plan in grid(Fraction(wanted)):
        if plan.broken(House("whole", True)) or plan.total == CAPACITY or plan.diluent == LEAST:
            continue
        more = {"w": Plan.weighed, "t": Plan.total, "d": Plan.diluent}[label].fget(plan) + 1
        typed = plan.typed().splitlines()
        typed[["lwq", "k", "w", "a", "t", "d"].index(label)] = f"{label} = {more} mg"
        said = {"w": plan.weighed, "t": plan.total, "d": plan.diluent, label: more}
        if label != "d":  # the diluent follows from the slip
            typed[5] = f"d = {said['t'] - said['w']} mg"
        mark = mark_task(task, "\n".join(typed))
        assert lost(mark) == {{"w": "drug to weigh", "t": "total mixture", "d": "diluent to weigh"}[label]}
