"""When no single aliquot works: each remedy is tried, not only suggested."""

from dataclasses import replace

import pytest

from pharmcalc.aliquots import AliquotPlan, Limits, smallest_plan
from pharmcalc.aliquots.remedies import Remedy, remedies
from pharmcalc.errors import RefusedError
from pharmcalc.units import quantity
from pharmcalc.volumes import MeasuringRange

BENCH = Limits(quantity(120, "mg"), quantity(1, "mg"), quantity(50, "g"))
CAPSULE = replace(BENCH, final_quantity=quantity(100, "mg"))
FINE = Limits(quantity(20, "mg"), quantity("0.1", "mg"), quantity(50, "g"), final_quantity=quantity(100, "mg"))


def called(found: list[Remedy], name: str) -> Remedy:
    """Return the remedy of this name."""
    return next(remedy for remedy in found if remedy.name.startswith(name))


def test_one_capsule_of_3_mg_has_no_plan() -> None:
    """The aliquot must reach 120 mg and the capsule holds 100 mg (derived)."""
    with pytest.raises(RefusedError, match="whole preparation is only 100 mg"):
        smallest_plan(drug_wanted="3 mg", limits=CAPSULE)


def test_a_batch_helps_but_the_filling_still_errs() -> None:
    """A batch works, yet each 100 mg fill, weighed out, stays below 120 mg whatever the batch (derived)."""
    batch = called(remedies(drug_wanted="3 mg", limits=CAPSULE), "a larger batch")
    assert batch.works
    assert isinstance(batch.plan, AliquotPlan)
    assert "weighing out 100 mg for each unit stays below" in batch.says


def test_a_second_step_does_not_help_a_capsule_that_is_too_small() -> None:
    """The second aliquot would have to reach 120 mg too."""
    assert not called(remedies(drug_wanted="3 mg", limits=CAPSULE), "two aliquots").works


def test_a_second_step_helps_where_one_mixture_is_too_large() -> None:
    """2 mg with LWQ 100 mg need 5000 mg in one step; a 2 g pan holds it only in two."""
    small = Limits(quantity(100, "mg"), quantity(1, "mg"), quantity(2, "g"))
    with pytest.raises(RefusedError, match="above the capacity"):
        smallest_plan(drug_wanted="2 mg", limits=small)
    step = called(remedies(drug_wanted="2 mg", limits=small), "two aliquots")
    assert step.works
    assert step.plan is not None
    assert step.plan.broken_rules(small) == []  # type: ignore[union-attr,call-arg]


def test_a_better_balance_and_a_liquid_are_tried() -> None:
    """A balance with an LWQ of 20 mg makes the plan; 3 mg as a liquid aliquot are 5 mL of 120 mg in 200 mL."""
    found = remedies(
        drug_wanted="3 mg",
        limits=CAPSULE,
        other_balances={"Balance 9": FINE, "Balance 1": CAPSULE},
        aliquot_vessel=MeasuringRange("5 mL", "1 mL", "10 mL"),
        solution_vessel=MeasuringRange("20 mL", "1 mL", "250 mL"),
    )
    assert called(found, "another balance: Balance 9").works
    assert not called(found, "another balance: Balance 1").works
    assert "120 mg up to 200 mL and take 5 mL" in called(found, "a liquid").says


def test_what_can_be_weighed_needs_no_remedy() -> None:
    """120 mg reach the least weighable quantity."""
    with pytest.raises(RefusedError, match="directly"):
        remedies(drug_wanted="120 mg", limits=BENCH)
