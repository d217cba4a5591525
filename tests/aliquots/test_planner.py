"""The planner against an exhaustive search written with whole numbers and fractions only."""

from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.aliquots import Limits
from pharmcalc.aliquots.planner import ORDERS, search_plans, spread
from pharmcalc.errors import RefusedError
from pharmcalc.units import quantity

POCKET = Limits(quantity(120, "mg"), quantity(1, "mg"), quantity(50, "g"), whole_multiple=False)


class Problem(NamedTuple):
    """A small problem in display steps of 1 mg."""

    wanted: Fraction
    least: int
    capacity: int
    diluent_checked: bool
    whole: bool
    final: int | None
    ratio: int | None = None

    def limits(self) -> Limits:
        """Return the same problem as the library takes it."""
        final = None if self.final is None else quantity(self.final, "mg")
        step = quantity(1, "mg")
        ratio = None if self.ratio is None else quantity(self.ratio)
        least, capacity = quantity(self.least, "mg"), quantity(self.capacity, "mg")
        return Limits(least, step, capacity, self.diluent_checked, self.whole, final, ratio)

    def every_plan(self) -> list[tuple[int, int, int]]:
        """Try every weight of drug and every aliquot; return (drug, aliquot, total) of those that keep the rules."""
        found = []
        for drug in range(self.least, self.capacity + 1):
            for aliquot in range(self.least, min(self.capacity, self.final or self.capacity) + 1):
                total = Fraction(drug * aliquot) / self.wanted
                if total.denominator > 1 or total > self.capacity:
                    continue
                rest, finish = total - drug, (self.final or aliquot) - aliquot
                if finish and finish < (self.least if self.diluent_checked else 1):
                    continue
                if self.ratio is not None and total > self.ratio * drug:
                    continue
                if rest < (self.least if self.diluent_checked else 1):
                    continue
                if self.whole and (drug / self.wanted).denominator > 1:
                    continue
                found.append((drug, aliquot, int(total)))
        return found


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    """Draw a problem small enough to be searched whole."""
    least = draw(st.integers(4, 20))
    wanted = draw(st.fractions(Fraction(1, 2), least, max_denominator=4).filter(lambda value: 0 < value < least))
    final = draw(st.none() | st.integers(5, 60))
    ratio = draw(st.none() | st.integers(2, 30))
    return Problem(wanted, least, draw(st.integers(20, 110)), draw(st.booleans()), draw(st.booleans()), final, ratio)


def squared_spread(plan: tuple[int, int, int]) -> Fraction:
    """Return what the order "smallest uncertainty" compares, exactly."""
    drug, aliquot, total = plan
    return Fraction(1, aliquot**2) + Fraction(1, total**2) + (Fraction(1, drug) - Fraction(1, total)) ** 2


@given(problems())
def test_no_admissible_plan_is_missed_and_none_is_invented(problem: Problem) -> None:
    """On a small grid the planner's count is the count of an exhaustive search, and so are all its plans."""
    found = search_plans(
        drug_wanted=quantity(problem.wanted, "mg"), limits=problem.limits(), orders=["least drug"], how_many=1000
    )
    expected = problem.every_plan()
    assert found.count == len(expected)
    if len(expected) <= 1000:
        masses = {
            (plan.drug_weighed.magnitude, plan.aliquot.magnitude, plan.total_mixture.magnitude)
            for plan in found.best["least drug"]
        }
        assert masses == set(expected)


@given(problems())
def test_each_order_lists_the_best_plans_first(problem: Problem) -> None:
    """Least drug, least mixture and smallest uncertainty are what the exhaustive search says they are."""
    found = search_plans(drug_wanted=quantity(problem.wanted, "mg"), limits=problem.limits(), how_many=7)
    expected = problem.every_plan()
    keys = {
        "least drug": lambda plan: (plan[0], plan[2]),
        "least mixture": lambda plan: (plan[2], plan[0]),
        "smallest uncertainty": squared_spread,
    }
    for order in ORDERS:
        got = [
            (int(p.drug_weighed.magnitude), int(p.aliquot.magnitude), int(p.total_mixture.magnitude))
            for p in found.best[order]
        ]
        best = sorted(map(keys[order], expected))[:7]
        if order == "smallest uncertainty":
            assert [float(keys[order](plan)) for plan in got] == pytest.approx(
                [float(value) for value in best], rel=1e-9
            )
        else:
            assert [keys[order](plan) for plan in got] == best


@given(problems())
def test_every_plan_keeps_the_rules_it_will_be_marked_by(problem: Problem) -> None:
    """What the planner proposes, the marking accepts."""
    limits = problem.limits()
    found = search_plans(drug_wanted=quantity(problem.wanted, "mg"), limits=limits, how_many=5)
    for order in ORDERS:
        assert [plan.broken_rules(limits) for plan in found.best[order]] == [[] for _ in found.best[order]]


def test_thirty_milligrams_on_a_50_g_pan_have_835149_plans() -> None:
    """30 mg wanted, least weighable 120 mg, 1 mg grid, 50 g pan: 835 149 plans (counted by exhaustive search once)."""
    found = search_plans(drug_wanted="30 mg", limits=POCKET)
    assert found.count == 835149
    assert [len(found.best[order]) for order in ORDERS] == [20, 20, 20]


def test_the_plan_with_the_smallest_uncertainty_wastes_the_most_drug() -> None:
    """Waste and uncertainty pull apart: the surest plan weighs ten times the drug of the most sparing one."""
    found = search_plans(drug_wanted="30 mg", limits=POCKET, how_many=1)
    sparing, sure = found.best["least drug"][0], found.best["smallest uncertainty"][0]
    assert sure.drug_weighed >= sparing.drug_weighed * 10
    assert spread(sure) * 5 < spread(sparing)


def test_where_nothing_fits_the_count_is_zero() -> None:
    """A 100 mg preparation cannot hold an aliquot of 120 mg."""
    found = search_plans(drug_wanted="3 mg", limits=replace(POCKET, final_quantity=quantity(100, "mg")))
    assert (found.count, found.best["least drug"]) == (0, ())


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ({"drug_wanted": "120 mg"}, "Weigh it directly"),
        ({"drug_wanted": "0 mg"}, "more than zero"),
        ({"drug_wanted": 30}, "without a unit"),
        ({"drug_wanted": "30 mL"}, "a mass"),
        ({"drug_wanted": "30 mg", "orders": ["cheapest"]}, "least mixture"),
        ({"drug_wanted": "30 mg", "how_many": -1}, "0 to 1000"),
    ],
)
def test_what_cannot_be_planned_is_refused_with_the_cure(arguments: dict[str, object], said: str) -> None:
    """An amount that can be weighed directly, or an argument that makes no sense, is refused in words."""
    with pytest.raises(RefusedError, match=said):
        search_plans(limits=POCKET, **arguments)  # type: ignore[arg-type]
