"""Aliquot plans: the rules, published plans, and the smallest plan against an exhaustive search."""

from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.aliquots import RULES, AliquotPlan, Limits, smallest_plan
from pharmcalc.balances import least_weighable_quantity
from pharmcalc.errors import RefusedError
from pharmcalc.units import Quantity, quantity


def mg(number: int | str | Fraction) -> Quantity:
    """Return milligrams."""
    return quantity(number, "milligram")


def limits(
    least: str, *, final: str | None = None, whole: bool = True, checked: bool = True, ratio: str | None = None
) -> Limits:
    """Return limits on a balance that shows 1 mg and carries 120 g."""
    whole_batch, thinnest = final and mg(final), ratio and quantity(ratio)
    return Limits(mg(least), mg(1), quantity(120, "gram"), checked, whole, whole_batch, thinnest)


def masses(plan: AliquotPlan) -> tuple[Fraction, ...]:
    """Return drug, diluent, total and aliquot in milligrams."""
    return tuple(
        one.to("milligram").magnitude for one in (plan.drug_weighed, plan.diluent, plan.total_mixture, plan.aliquot)
    )


# Published values ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wanted", "factor", "aliquot", "least", "expected"),
    [
        ("6 mg", "20", "120 mg", "120", (120, 2280, 2400, 120)),  # UNC, Trituration Method (atropine sulfate; seen)
        ("2 mg", "60", "125 mg", "120", (120, 7380, 7500, 125)),  # textbook chapter on accurate weighing (seen)
        ("2 mg", "60", "120 mg", "120", (120, 7080, 7200, 120)),  # the same chapter, aliquots of 120 mg
        ("12 mg", "10", "120 mg", "120", (120, 1080, 1200, 120)),  # common classroom practice, no source
        ("10 mg", "12", "120 mg", "120", (120, 1320, 1440, 120)),  # whole-batch shortcut, 12 portions: classroom
        ("20 mg", "6", "120 mg", "120", (120, 600, 720, 120)),  # whole-batch shortcut, 6 portions: classroom
        ("5 mg", "16", "80 mg", "80", (80, 1200, 1280, 80)),  # Ansel & Stoklosa, measurement (secondary copy)
        ("5 mg", "20", "80 mg", "80", (100, 1500, 1600, 80)),  # the same problem, multiple 20
        ("5 mg", "20", "100 mg", "80", (100, 1900, 2000, 100)),  # the same problem, aliquot 100 mg
        ("10 mg", "10", "100 mg", "100", (100, 900, 1000, 100)),  # colchicine, UK 1-in-10 triturate: classroom
        ("30 mg", "7", "200 mg", "200", (210, 1190, 1400, 200)),  # digoxin in calcium carbonate: classroom, derived
        ("30 mg", "10", "200 mg", "200", (300, 1700, 2000, 200)),  # the same problem, rounder and equally right
        ("9 mg", "14", "120 mg", "120", (126, 1554, 1680, 120)),  # three capsules of 3 mg: derived from the rules
    ],
)
def test_published_plans_keep_every_rule(
    wanted: str, factor: str, aliquot: str, least: str, expected: tuple[int, ...]
) -> None:
    """Different books choose different multiples and aliquots; all of these plans are right."""
    plan = AliquotPlan.of(drug_wanted=wanted, multiple_factor=factor, aliquot=aliquot)
    assert masses(plan) == expected
    assert plan.broken_rules(limits(least)) == []
    assert plan.drug_delivered == plan.drug_wanted


@pytest.mark.parametrize(
    ("offer", "weighed", "total", "aliquot", "delivered", "broken"),
    [
        # need 30 mg of atropine sulfate, MWQ 50 mg: common classroom practice, no source (university homework key seen)
        ("A", 60, 200, 120, 36, ["wrong-amount"]),
        ("B", 80, 240, 90, 30, []),
        ("C", 40, 250, 50, 8, ["drug-below-lwq", "wrong-amount"]),
    ],
)
def test_of_three_offers_one_is_right(
    offer: str, weighed: int, total: int, aliquot: int, delivered: int, broken: list[str]
) -> None:
    """60 mg to 200 mg, take 120 mg gives 36 mg; 80 to 240, take 90 gives 30 mg; 40 to 250 weighs too little."""
    plan = AliquotPlan(mg(30), mg(weighed), mg(total - weighed), mg(aliquot))
    assert plan.drug_delivered == mg(delivered), offer
    assert [rule.id for rule in plan.broken_rules(limits("50", whole=False))] == broken


def test_the_smallest_plans_that_books_print_are_found() -> None:
    """UNC's 20 times, Ansel & Stoklosa's 16 times and the digoxin's 7 times are the smallest plans there are."""
    for wanted, least, expected in (
        ("6 mg", "120", (120, 2280, 2400, 120)),
        ("5 mg", "80", (80, 1200, 1280, 80)),
        ("30 mg", "200", (210, 1190, 1400, 200)),
        ("12 mg", "120", (120, 1080, 1200, 120)),
    ):
        assert masses(smallest_plan(drug_wanted=wanted, limits=limits(least))) == expected


def test_six_times_would_weigh_too_little_digoxin() -> None:
    """6 x 30 mg = 180 mg is below the 200 mg that may be weighed."""
    plan = AliquotPlan.of(drug_wanted="30 mg", multiple_factor="6", aliquot="200 mg")
    assert [rule.id for rule in plan.broken_rules(limits("200"))] == ["drug-below-lwq"]


def test_one_capsule_of_100_mg_cannot_hold_an_aliquot_of_120_mg() -> None:
    """A single small capsule has no plan; three of them together have one."""
    # built from the rule that every weighing is at least the least weighable quantity (derived)
    with pytest.raises(RefusedError) as caught:
        smallest_plan(drug_wanted="3 mg", limits=limits("120", final="100"))
    assert "the whole preparation is only 100 mg" in caught.value.problem
    assert "larger batch" in caught.value.cure
    assert masses(smallest_plan(drug_wanted="9 mg", limits=limits("120", final="300"))) == (126, 1554, 1680, 120)


def test_of_two_small_capsules_only_the_whole_batch_can_be_the_aliquot() -> None:
    """Of 200 mg in all, 120 mg leave 80 mg to add, which cannot be weighed; 200 mg leave nothing to add (derived)."""
    two = limits("120", final="200")
    assert masses(smallest_plan(drug_wanted="6 mg", limits=two)) == (120, 3880, 4000, 200)
    usual = AliquotPlan.of(drug_wanted="6 mg", multiple_factor="20", aliquot="120 mg")
    assert [rule.id for rule in usual.broken_rules(two)] == ["finish-below-lwq"]


def test_what_reaches_the_balance_is_weighed_directly() -> None:
    """120 mg on a balance that may weigh 120 mg needs no aliquot."""
    with pytest.raises(RefusedError, match="Weigh it directly"):
        smallest_plan(drug_wanted="120 mg", limits=limits("120"))


# Each rule by its name -----------------------------------------------------------------------------------------------

RIGHT = {"wanted": "6", "weighed": "120", "diluent": "2280", "aliquot": "120"}


@pytest.mark.parametrize(
    ("change", "within", "broken"),
    [
        ({}, {}, []),
        ({"weighed": "114", "diluent": "2166"}, {}, ["drug-below-lwq"]),
        ({"aliquot": "100", "diluent": "1880"}, {}, ["aliquot-below-lwq"]),
        ({"wanted": "110", "weighed": "220", "diluent": "30", "aliquot": "125"}, {}, ["diluent-below-lwq"]),
        ({"wanted": "110", "weighed": "220", "diluent": "30", "aliquot": "125"}, {"checked": False}, []),
        ({}, {"final": "119"}, ["aliquot-above-preparation"]),
        ({}, {"final": "120"}, []),
        ({}, {"final": "239"}, ["finish-below-lwq"]),
        ({}, {"final": "239", "checked": False}, []),
        ({}, {"final": "240"}, []),
        ({}, {"ratio": "20"}, []),
        ({}, {"ratio": "19"}, ["mixed-too-far"]),
        ({"weighed": "123", "diluent": "2337"}, {}, ["multiple-not-whole"]),
        ({"weighed": "123", "diluent": "2337"}, {"whole": False}, []),
        (
            {"wanted": "6.25", "weighed": "131.25", "diluent": "2388.75"},
            {},
            ["drug-not-on-display", "diluent-not-on-display"],
        ),
        ({"aliquot": "120.5", "diluent": "2290"}, {}, ["aliquot-not-on-display"]),
        ({"diluent": "2281"}, {}, ["wrong-amount"]),
        ({"weighed": "6000", "diluent": "114001"}, {}, ["above-capacity", "wrong-amount"]),
    ],
)
def test_a_plan_is_refused_by_the_name_of_the_rule_it_breaks(
    change: dict[str, str], within: dict, broken: list[str]
) -> None:
    """Each rule is broken alone by a plan that keeps all the others."""
    numbers = {**RIGHT, **change}
    plan = AliquotPlan(*(mg(numbers[name]) for name in ("wanted", "weighed", "diluent", "aliquot")))
    assert [rule.id for rule in plan.broken_rules(limits("120", **within))] == broken


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_a_rule_says_its_limit_as_a_number(rule: object) -> None:
    """On a paper the rule stands with the lab's own number behind it."""
    said = rule.says_here(replace(limits("120", final="2000"), largest_ratio=quantity(100)))
    assert said.startswith(rule.says)
    expected = {
        "least_weighable_quantity": "120 mg",
        "final_quantity": "2000 mg",
        "capacity": "120 g",
        "display_step": "1 mg",
        "largest_ratio": "100",
    }
    limit = rule.limit
    assert said.endswith(f"Here it is {expected[limit]}.") if limit else said == rule.says


# Laws: an independent check with fractions only ----------------------------------------------------------------------


class Small(NamedTuple):
    """A problem small enough to be searched whole, in display steps of 1 mg."""

    wanted: Fraction
    least: Fraction
    capacity: int
    checked: bool
    final: int | None

    def limits(self, scale: Fraction = Fraction(1)) -> Limits:
        """Return the limits, with every mass times ``scale``."""
        final = None if self.final is None else mg(self.final * scale)
        return Limits(mg(self.least * scale), mg(scale), mg(self.capacity * scale), self.checked, True, final)

    def admits(self, weighed: Fraction, diluent: Fraction, aliquot: Fraction) -> bool:
        """Check a plan by hand: every rule in one line of fractions."""
        total = weighed + diluent
        return (
            min(weighed, aliquot, diluent if self.checked else self.least) >= self.least
            and diluent > 0
            and total <= self.capacity
            and (
                self.final is None
                or self.final == aliquot
                or self.final - aliquot >= (self.least if self.checked else 1)
            )
            and (weighed / self.wanted).denominator == 1
            and all(mass.denominator == 1 for mass in (weighed, diluent, aliquot))
            and weighed * aliquot == self.wanted * total
        )

    def smallest(self) -> tuple[int, int, int] | None:
        """Try every drug and every aliquot there is; return the least drug with the least mixture, or None."""
        for weighed in range(1, self.capacity + 1):
            for aliquot in range(1, self.capacity + 1):
                total = Fraction(weighed * aliquot) / self.wanted
                if self.admits(Fraction(weighed), total - weighed, Fraction(aliquot)):
                    return weighed, int(total - weighed), aliquot
        return None


@st.composite
def small_problems(draw: st.DrawFn) -> Small:
    """Draw a problem; the least weighable quantity need not be a weight that the display shows."""
    least = draw(st.fractions(min_value=4, max_value=20, max_denominator=3))
    wanted = draw(st.fractions(min_value="1/2", max_value=19, max_denominator=4).filter(lambda one: one < least))
    capacity, checked = draw(st.integers(20, 130)), draw(st.booleans())
    return Small(wanted, least, capacity, checked, draw(st.none() | st.integers(5, 60)))


@given(small_problems())
def test_the_smallest_plan_is_the_smallest_of_all(problem: Small) -> None:
    """It is what an exhaustive search finds first; and it is refused only where that search finds nothing."""
    expected = problem.smallest()
    if expected is None:
        with pytest.raises(RefusedError, match="no plan"):
            smallest_plan(drug_wanted=mg(problem.wanted), limits=problem.limits())
        return
    plan = smallest_plan(drug_wanted=mg(problem.wanted), limits=problem.limits())
    drug, rest, _, aliquot = masses(plan)
    assert (drug, rest, aliquot) == expected


@given(small_problems())
def test_any_plan_proposed_keeps_its_own_rules_and_an_independent_check(problem: Small) -> None:
    """What the library proposes, the library's rules and a check by hand both accept."""
    try:
        plan = smallest_plan(drug_wanted=mg(problem.wanted), limits=problem.limits())
    except RefusedError:
        return
    drug, rest, _, aliquot = masses(plan)
    assert plan.broken_rules(problem.limits()) == []
    assert problem.admits(drug, rest, aliquot)
    assert plan.drug_delivered == mg(problem.wanted)


@given(small_problems(), st.fractions(min_value="1/10", max_value=50, max_denominator=10))
def test_scaling_all_masses_scales_the_plan(problem: Small, scale: Fraction) -> None:
    """A balance ten times as fine, with everything ten times as small, has the same plan ten times as small."""
    try:
        plan = smallest_plan(drug_wanted=mg(problem.wanted), limits=problem.limits())
    except RefusedError:
        with pytest.raises(RefusedError):
            smallest_plan(drug_wanted=mg(problem.wanted * scale), limits=problem.limits(scale))
        return
    scaled = smallest_plan(drug_wanted=mg(problem.wanted * scale), limits=problem.limits(scale))
    assert masses(scaled) == tuple(mass * scale for mass in masses(plan))
    assert scaled.multiple_factor == plan.multiple_factor


@given(small_problems(), st.integers(1, 130), st.integers(1, 130), st.integers(1, 130))
def test_the_rules_agree_with_the_check_by_hand(problem: Small, weighed: int, diluent: int, aliquot: int) -> None:
    """Any plan whatever is refused by the rules exactly when the check by hand refuses it."""
    plan = AliquotPlan(mg(problem.wanted), mg(weighed), mg(diluent), mg(aliquot))
    by_hand = problem.admits(Fraction(weighed), Fraction(diluent), Fraction(aliquot))
    assert (plan.broken_rules(problem.limits()) == []) is by_hand


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("wanted", ["0 mg", "-6 mg", "6", "6 mL", "nan mg", "five mg"])
def test_a_plan_for_no_mass_is_refused(wanted: str) -> None:
    """Nothing, less than nothing, a bare number, a volume or a word cannot be planned."""
    with pytest.raises(RefusedError, match="drug wanted"):
        smallest_plan(drug_wanted=wanted, limits=limits("120"))


def test_a_plan_that_leaves_no_room_for_diluent_is_refused() -> None:
    """An aliquot no larger than the drug it should hold would be pure drug."""
    with pytest.raises(RefusedError, match="diluent"):
        AliquotPlan.of(drug_wanted="6 mg", multiple_factor="20", aliquot="6 mg")


def test_the_least_weighable_quantity_comes_from_the_balance() -> None:
    """A plan for 5 mg at 5 % is larger on a coarser balance."""
    weights = []
    for sensitivity in ("4 mg", "6 mg"):
        least = least_weighable_quantity(sensitivity=sensitivity, allowed_error="5 %")
        plan = smallest_plan(drug_wanted="5 mg", limits=Limits(least, mg(1), quantity(120, "gram")))
        weights.append(plan.drug_weighed)
    assert weights == [mg(80), mg(120)]
