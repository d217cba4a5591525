"""The liquid aliquot, solid in liquid and liquid in liquid."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.aliquots import (
    LIQUID_RULES,
    RULES,
    Limits,
    LiquidLimits,
    LiquidPlan,
    concentration_made,
    drug_in_aliquot,
    smallest_liquid_plan,
    solution_volume,
    vehicle_to_finish,
    volume_plans,
)
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.units import Quantity, quantity
from pharmcalc.volumes import MeasuringRange, vessel

BALANCE = Limits(quantity(120, "mg"), quantity(1, "mg"), quantity(50, "g"))
PIPETTE = MeasuringRange("5 mL", "1 mL", "10 mL")
CYLINDER = MeasuringRange("20 mL", "1 mL", "100 mL")
HALVES, FOURS = MeasuringRange("20 mL", "0.5 mL", "100 mL"), MeasuringRange("20 mL", "4 mL", "100 mL")
GRADUATE = MeasuringRange("2 mL", "1 mL", "10 mL")
LIMITS = LiquidLimits.of(BALANCE, aliquot_vessel=PIPETTE, solution_vessel=CYLINDER)


def ml(number: object) -> Quantity:
    """Return millilitres."""
    return quantity(str(number), "mL")


def plan(wanted: str, weighed: str, solution: str, aliquot: str) -> LiquidPlan:
    """Return a liquid plan from numbers in mg and mL."""
    return LiquidPlan(quantity(wanted, "mg"), quantity(weighed, "mg"), ml(solution), ml(aliquot))


def broken(made: LiquidPlan, **limits: object) -> list[str]:
    """Return the ids of the rules that a plan breaks, with some limits changed."""
    return [rule.id for rule in made.broken_rules(replace(LIMITS, **limits))]  # type: ignore[arg-type]


# Published values


def test_clonidine_for_100_ml_is_120_mg_in_30_ml() -> None:
    """20 mg from 120 mg made up to 30 mL, 5 mL taken: 4 mg/mL (UNC Liquid Aliquot Method)."""
    found = smallest_liquid_plan(drug_wanted="20 mg", limits=replace(LIMITS, final_volume=ml(100)))
    assert found == plan("20", "120", "30", "5")
    assert found.multiple_factor == quantity(6)
    assert concentration_made(drug_weighed="120 mg", solution_volume="30 mL") == quantity(4, "mg / mL")
    assert drug_in_aliquot(drug_weighed="120 mg", aliquot_volume="5 mL", solution_volume="30 mL") == quantity(20, "mg")
    assert vehicle_to_finish(final_volume="100 mL", aliquot_volume="5 mL") == ml(95)


def test_ten_millilitres_from_sixty_are_as_right() -> None:
    """The aliquot may be 10 mL from 60 mL if 2 mg/mL dissolves (note)."""
    other = plan("20", "120", "60", "10")
    assert broken(other, solubility=quantity(2, "mg / mL")) == []
    assert broken(other, solubility=quantity(1, "mg / mL")) == ["too-strong-to-dissolve"]


def test_a_small_volume_of_colouring_goes_through_ten_millilitres() -> None:
    """0.6 mL: 3 mL + 7 mL, take 2 mL; and 2 mL + 8 mL, take 3 mL (Ansel & Stoklosa, measurement)."""
    found = {
        (plan.measured.magnitude, plan.vehicle.magnitude, plan.aliquot.magnitude)
        for plan in volume_plans(volume_wanted="0.6 mL", vessel=GRADUATE)
    }
    assert {(3, 7, 2), (2, 8, 3)} == found


def test_a_weak_solution_is_made_where_a_strong_one_would_not_dissolve() -> None:
    """With 3 mg/mL as the most, 120 mg need 40 mL or more, so the aliquot grows to 7 mL from 42 mL (derived)."""
    found = smallest_liquid_plan(drug_wanted="20 mg", limits=replace(LIMITS, solubility=quantity(3, "mg / mL")))
    assert found == plan("20", "120", "42", "7")


def test_an_ordinary_cylinder_takes_the_solution() -> None:
    """A 50 mL cylinder (ASTM E1272) is marked every 1 mL from 10 mL on, so 30 mL can be made up in it."""
    shelf = vessel(kind="cylinder", standard="ASTM E1272", capacity="50 mL").range
    assert shelf is not None
    assert smallest_liquid_plan(drug_wanted="20 mg", limits=replace(LIMITS, solution_vessel=shelf)) == plan(
        "20", "120", "30", "5"
    )


# The rules


@pytest.mark.parametrize(
    ("made", "change", "rules"),
    [
        # each broken alone by a plan that keeps all the others; derived
        (("20", "100", "25", "5"), {}, ["drug-below-lwq"]),
        (("20", "130", "32.5", "5"), {"solution_vessel": HALVES}, ["multiple-not-whole"]),
        (("17.5", "122.5", "35", "5"), {}, ["drug-not-on-display"]),
        (("20", "120", "30", "5"), {"capacity": quantity(119, "mg")}, ["drug-above-capacity"]),
        (("20", "120", "24", "4"), {}, ["aliquot-not-measurable"]),
        (("20", "120", "66", "11"), {}, ["aliquot-not-measurable"]),
        (("20", "120", "33", "5.5"), {}, ["aliquot-not-measurable"]),
        (("20", "120", "30", "5"), {"final_volume": ml("4.9")}, ["aliquot-above-final-volume"]),
        (("20", "120", "30", "5"), {"final_volume": ml(5)}, []),
        (("20", "120", "30", "5"), {"solubility": quantity("3.9", "mg / mL")}, ["too-strong-to-dissolve"]),
        (("20", "120", "30", "5"), {"solubility": quantity(4, "mg / mL")}, []),
        (("20", "420", "105", "5"), {}, ["solution-not-measurable"]),
        (("20", "120", "30", "5"), {"solution_vessel": FOURS}, ["solution-not-measurable"]),
        (("20", "120", "31", "5"), {}, ["wrong-amount"]),
    ],
)
def test_a_liquid_plan_is_refused_by_the_name_of_the_rule_it_breaks(
    made: tuple[str, str, str, str], change: dict[str, object], rules: list[str]
) -> None:
    """What is weighed reaches the balance's limit; what is measured stands on a mark; and the drug dissolves."""
    assert broken(plan(*made), **change) == rules


@pytest.mark.parametrize("rule", LIQUID_RULES, ids=lambda rule: rule.id)
def test_a_rule_of_a_liquid_plan_says_its_limit_in_its_own_unit(rule: object) -> None:
    """A mass stands in mg, a volume in mL, a solubility in mg/mL, a vessel with its marks."""
    limits = replace(LIMITS, solubility=quantity(20, "mg / mL"), final_volume=ml(100))
    expected = {
        "least_weighable_quantity": "120 mg",
        "display_step": "1 mg",
        "capacity": "50 g",
        "aliquot_vessel": "every 1 mL from 5 mL to 10 mL",
        "solution_vessel": "every 1 mL from 20 mL to 100 mL",
        "solubility": "20 mg/mL",
        "final_volume": "100 mL",
    }
    said = rule.says_here(limits)  # type: ignore[attr-defined]
    limit = rule.limit  # type: ignore[attr-defined]
    assert said == rule.says + (f" Here it is {expected[limit]}." if limit else "")  # type: ignore[attr-defined]


def test_a_rule_that_a_liquid_and_a_solid_plan_share_is_the_same_rule() -> None:
    """A class report counts a drug below the least weighable quantity once, whatever it is mixed with."""
    solid = {rule.id: rule for rule in RULES}
    shared = [rule for rule in LIQUID_RULES if rule.id in solid and rule.id != "wrong-amount"]
    assert [rule.id for rule in shared] == ["drug-below-lwq", "multiple-not-whole", "drug-not-on-display"]
    assert all(rule is solid[rule.id] for rule in shared)


def test_the_rules_of_a_liquid_have_nothing_to_say_about_a_balance_alone() -> None:
    """Without vessels nothing can be said about marks; what is weighed is judged all the same."""
    values = plan("20", "100", "31", "4.5").values()
    assert [rule.id for rule in LIQUID_RULES if rule.broken_by(values, BALANCE)] == ["drug-below-lwq", "wrong-amount"]


# Laws


@given(st.integers(1, 9).map(lambda tenths: Fraction(tenths, 5)))
def test_no_plan_on_the_marks_is_missed(wanted: Fraction) -> None:
    """Liquid in liquid: the plans are those that trying every pair of marks finds."""
    marks, expected = range(2, 11), set()
    if wanted.denominator == 1 and wanted >= 2:
        return
    for measured in marks:
        for aliquot in marks:
            total = Fraction(measured * aliquot) / wanted
            if total in marks and total - measured in marks:
                expected.add((measured, total - measured, aliquot))
    plans = volume_plans(volume_wanted=quantity(wanted, "mL"), vessel=GRADUATE)
    assert {(p.measured.magnitude, p.vehicle.magnitude, p.aliquot.magnitude) for p in plans} == expected
    assert all(plan.delivered == plan.wanted for plan in plans)


@given(st.integers(1, 119))
def test_every_liquid_plan_keeps_its_own_rules_or_is_refused(wanted: int) -> None:
    """What is planned can be weighed, dissolved and measured, and delivers what is wanted; no smaller plan exists."""
    limits = replace(LIMITS, solution_vessel=MeasuringRange("20 mL", "5 mL", "500 mL"))
    least = -(-120 // wanted)
    on_marks = [(k, k * a) for k in range(least, 101) for a in range(5, 11) if k * a % 5 == 0 and 20 <= k * a <= 500]
    try:
        found = smallest_liquid_plan(drug_wanted=quantity(wanted, "mg"), limits=limits)
    except RefusedError:  # refused: already the smallest multiple of the smallest aliquot is above the vessel
        assert on_marks == []
        return
    assert found.broken_rules(limits) == []
    assert (found.multiple_factor.magnitude, found.solution_volume.magnitude) == min(on_marks)


# Mistakes and refusals


@pytest.mark.parametrize(
    ("mistake", "number", "unit"),
    [
        # 20 mg wanted: 6 x 20 mg = 120 mg up to 30 mL, take 5 mL, make 100 mL; derived from the slips
        ("dissolved-in-not-to", "1200/301", "mg / mL"),  # the drug takes up 0.1 mL (mistake 9)
        ("concentration-of-drug-wanted", "2/3", "mg / mL"),
        ("concentration-weight-in-aliquot", "24", "mg / mL"),
        ("solution-volume-as-solvent", "25", "mL"),
        ("solution-volume-divided", "5/6", "mL"),
        ("solution-volume-is-final", "100", "mL"),
        ("aliquot-volume-is-whole-solution", "30", "mL"),  # mistake 28
        ("aliquot-volume-over-multiple", "5/6", "mL"),  # mistake 32
        ("held-upside-down", "720", "mg"),
        ("vehicle-is-final-volume", "100", "mL"),  # mistake 17
        ("vehicle-less-solution", "70", "mL"),  # mistake 28
    ],
)
def test_the_known_slips_of_a_liquid_aliquot(mistake: str, number: str, unit: str) -> None:
    """Each slip gives its own number, worked out by hand."""
    values = {
        "drug_wanted": quantity(20, "mg"),
        "drug_weighed": quantity(120, "mg"),
        "multiple_factor": quantity(6),
        "least_measurable_volume": ml(5),
        "aliquot_volume": ml(5),
        "solution_volume": ml(30),
        "drug_volume": ml("0.1"),
        "final_volume": ml(100),
    }
    assert MISTAKES[mistake].evaluate(values) == quantity(Fraction(number), unit)


def test_an_aliquot_larger_than_the_preparation_leaves_no_room_for_vehicle() -> None:
    """10 mL do not fit into 5 mL; 5 mL fill them exactly."""
    assert vehicle_to_finish(final_volume="5 mL", aliquot_volume="5 mL").magnitude == 0
    with pytest.raises(RefusedError, match=r"aliquot_volume: must be at most final volume \(5 mL\); it was 10 mL"):
        vehicle_to_finish(final_volume="5 mL", aliquot_volume="10 mL")


@pytest.mark.parametrize(
    ("wanted", "said"), [("120 mg", "directly"), (20, "without a unit"), ("-1 mg", "more than zero")]
)
def test_what_needs_no_liquid_aliquot_is_refused(wanted: object, said: str) -> None:
    """An amount that can be weighed directly, or that is no amount, is refused in words."""
    with pytest.raises(RefusedError, match=said):
        smallest_liquid_plan(drug_wanted=wanted, limits=LIMITS)  # type: ignore[arg-type]


def test_a_volume_on_a_mark_is_measured_directly() -> None:
    """3 mL stand on a mark of the graduate."""
    with pytest.raises(RefusedError, match="directly"):
        volume_plans(volume_wanted="3 mL", vessel=GRADUATE)


def test_the_solution_is_the_multiple_of_the_aliquot() -> None:
    """6 times 5 mL are 30 mL, the aliquot included."""
    assert solution_volume(multiple_factor="6", aliquot_volume="5 mL") == ml(30)


def test_a_multiple_of_ones_own_has_its_own_smallest_plan() -> None:
    """Ten times 20 mg are 200 mg in 50 mL, taken 5 mL; twenty-one times 5 mL do not go into 100 mL."""
    chosen = smallest_liquid_plan(drug_wanted="20 mg", limits=LIMITS, multiple_factor=quantity(10))
    assert chosen == plan("20", "200", "50", "5")
    with pytest.raises(RefusedError, match="too large for its vessel"):
        smallest_liquid_plan(drug_wanted="20 mg", limits=LIMITS, multiple_factor=quantity(21))
