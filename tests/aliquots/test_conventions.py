"""The conventions of schools: which of the right plans is preferred."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.aliquots import Limits, smallest_plan
from pharmcalc.aliquots.conventions import CONVENTIONS, plan_by_convention
from pharmcalc.errors import RefusedError
from pharmcalc.units import quantity


def limits(least: int, **more: object) -> Limits:
    """Return the limits of a bench balance with a given least weighable quantity in milligrams."""
    return Limits(quantity(least, "mg"), quantity(1, "mg"), quantity(50, "g"), **more)  # type: ignore[arg-type]


# Published values: convention, drug wanted, LWQ -> drug, diluent, aliquot (mg)
PLANS = [
    ("one in ten", "10 mg", 100, (100, 900, 100)),  # UK style, fixed 1-in-10 triturate (common practice)
    ("smallest whole", "30 mg", 200, (210, 1190, 200)),  # digoxin, smallest whole multiple 7 (derived)
    ("round", "30 mg", 200, (300, 1700, 200)),  # note: multiple 10 is rounder and equally right
    ("round", "6 mg", 120, (120, 2280, 120)),  # UNC, multiple 20
    ("smallest whole", "5 mg", 80, (80, 1200, 80)),  # Ansel & Stoklosa, x 16
    ("round", "5 mg", 80, (100, 1500, 80)),  # Ansel & Stoklosa, x 20 with aliquot 80 mg
    ("limit exactly", "32 mg", 120, (120, 330, 120)),  # derived: 120 x 120 / 450 = 32, the multiple is 3.75
]


@pytest.mark.parametrize(("convention", "wanted", "least", "masses"), PLANS)
def test_each_school_finds_its_own_plan(convention: str, wanted: str, least: int, masses: tuple[int, ...]) -> None:
    """The same amount has several right plans; a convention says which one a working shows."""
    plan = plan_by_convention(convention, drug_wanted=wanted, limits=limits(least))
    assert (plan.drug_weighed, plan.diluent, plan.aliquot) == tuple(quantity(mass, "mg") for mass in masses)


@given(st.sampled_from(sorted(CONVENTIONS)), st.integers(1, 99), st.booleans())
def test_whatever_the_convention_the_rules_hold(convention: str, wanted: int, diluent_checked: bool) -> None:
    """A convention chooses among right plans; it never bends a rule but the one about whole multiples."""
    house = limits(100, diluent_checked=diluent_checked)
    try:
        plan = plan_by_convention(convention, drug_wanted=quantity(wanted, "mg"), limits=house)
    except RefusedError:
        assert convention != "smallest whole"
        return
    assert {rule.id for rule in plan.broken_rules(house)} <= {"multiple-not-whole"}
    assert plan.drug_weighed >= smallest_plan(drug_wanted=quantity(wanted, "mg"), limits=house).drug_weighed or (
        convention in ("one in ten", "limit exactly")
    )


@pytest.mark.parametrize(
    ("convention", "wanted", "said"),
    [
        ("dozens", "6 mg", "The conventions are"),
        ("round", "100 mg", "directly"),
        ("one in ten", "6 mg", "two triturates"),  # the aliquot would be 60 mg
        ("round", 6, "without a unit"),
    ],
)
def test_a_convention_that_does_not_fit_says_so(convention: str, wanted: object, said: str) -> None:
    """An unknown convention, a direct weighing, an aliquot too small for 1 in 10."""
    with pytest.raises(RefusedError, match=said):
        plan_by_convention(convention, drug_wanted=wanted, limits=limits(100))  # type: ignore[arg-type]
