"""The liquid aliquot, solid in liquid and liquid in liquid."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.aliquots import Limits
from pharmcalc.aliquots.liquids import (
    LiquidPlan,
    MarkedVessel,
    concentration_made,
    smallest_liquid_plan,
    solution_volume,
    volume_plans,
)
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.units import quantity

LIMITS = Limits(quantity(120, "mg"), quantity(1, "mg"), quantity(50, "g"))


def vessel(least: str, mark: str, capacity: str) -> MarkedVessel:
    """Return a vessel by its volumes in millilitres."""
    return MarkedVessel(quantity(least, "mL"), quantity(mark, "mL"), quantity(capacity, "mL"))


PIPETTE, CYLINDER, GRADUATE = vessel("5", "1", "10"), vessel("20", "1", "100"), vessel("2", "1", "10")

# Published values


def test_clonidine_for_100_ml_is_120_mg_in_30_ml() -> None:
    """20 mg from 120 mg made up to 30 mL, 5 mL taken: 4 mg/mL (UNC Liquid Aliquot Method)."""
    plan = smallest_liquid_plan(
        drug_wanted="20 mg", limits=LIMITS, aliquot_vessel=PIPETTE, solution_vessel=CYLINDER, final_volume="100 mL"
    )
    assert plan.drug_weighed == quantity(120, "mg")
    assert plan.solution_volume == quantity(30, "mL")
    assert concentration_made(drug_weighed="120 mg", solution_volume="30 mL") == quantity(4, "mg / mL")


def test_ten_millilitres_from_sixty_are_as_right() -> None:
    """The aliquot may be 10 mL from 60 mL if 2 mg/mL dissolves (note)."""
    plan = LiquidPlan(quantity(20, "mg"), quantity(120, "mg"), quantity(60, "mL"), quantity(10, "mL"))
    vessels = {"aliquot_vessel": PIPETTE, "solution_vessel": CYLINDER}
    assert plan.broken_rules(LIMITS, **vessels, solubility=quantity(2, "mg / mL")) == []
    assert plan.broken_rules(LIMITS, **vessels, solubility=quantity(1, "mg / mL")) == [
        "The drug must dissolve: the solution is too strong."
    ]


def test_a_small_volume_of_colouring_goes_through_ten_millilitres() -> None:
    """0.6 mL: 3 mL + 7 mL, take 2 mL; and 2 mL + 8 mL, take 3 mL (Ansel & Stoklosa, measurement)."""
    found = {
        (plan.measured.magnitude, plan.vehicle.magnitude, plan.aliquot.magnitude)
        for plan in volume_plans(volume_wanted="0.6 mL", vessel=GRADUATE)
    }
    assert {(3, 7, 2), (2, 8, 3)} == found


def test_a_weak_solution_is_made_where_a_strong_one_would_not_dissolve() -> None:
    """With 3 mg/mL as the most, 120 mg need 40 mL or more, so the aliquot grows to 7 mL from 42 mL (derived)."""
    plan = smallest_liquid_plan(
        drug_wanted="20 mg", limits=LIMITS, aliquot_vessel=PIPETTE, solution_vessel=CYLINDER, solubility="3 mg/mL"
    )
    assert (plan.solution_volume, plan.aliquot_volume) == (quantity(42, "mL"), quantity(7, "mL"))


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
    """What is planned can be weighed, dissolved and measured, and delivers what is wanted."""
    vessels = {"aliquot_vessel": PIPETTE, "solution_vessel": vessel("20", "5", "500")}
    try:
        plan = smallest_liquid_plan(drug_wanted=quantity(wanted, "mg"), limits=LIMITS, **vessels)
    except RefusedError:
        least = -(-120 // wanted)  # refused: already the smallest multiple of the smallest aliquot is above the vessel
        on_marks = [k * a for k in range(least, 101) for a in range(5, 11) if k * a % 5 == 0 and 20 <= k * a <= 500]
        assert on_marks == []
        return
    assert plan.broken_rules(LIMITS, **vessels) == []


# Mistakes and refusals


def test_dissolving_in_the_volume_makes_it_weaker() -> None:
    """120 mg that take up 0.1 mL, dissolved in 30 mL, are 120 mg in 30.1 mL (mistake 9)."""
    values = {
        "drug_weighed": quantity(120, "mg"),
        "solution_volume": quantity(30, "mL"),
        "drug_volume": quantity("0.1", "mL"),
    }
    assert MISTAKES["dissolved-in-not-to"].evaluate(values) == quantity(Fraction(1200, 301), "mg / mL")


@pytest.mark.parametrize(
    ("wanted", "said"), [("120 mg", "directly"), (20, "without a unit"), ("-1 mg", "more than zero")]
)
def test_what_needs_no_liquid_aliquot_is_refused(wanted: object, said: str) -> None:
    """An amount that can be weighed directly, or that is no amount, is refused in words."""
    with pytest.raises(RefusedError, match=said):
        smallest_liquid_plan(drug_wanted=wanted, limits=LIMITS, aliquot_vessel=PIPETTE, solution_vessel=CYLINDER)  # type: ignore[arg-type]


def test_a_volume_on_a_mark_is_measured_directly() -> None:
    """3 mL stand on a mark of the graduate."""
    with pytest.raises(RefusedError, match="directly"):
        volume_plans(volume_wanted="3 mL", vessel=GRADUATE)


def test_the_solution_is_the_multiple_of_the_aliquot() -> None:
    """6 times 5 mL are 30 mL, the aliquot included."""
    assert solution_volume(multiple_factor="6", aliquot_volume="5 mL") == quantity(30, "mL")
