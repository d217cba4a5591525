"""Batches: what one unit needs, what all of them need, and the extra units for loss."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.recipes import (
    amount_for_batch,
    amount_per_unit,
    filler_beside_powder,
    filler_for_batch,
    units_to_make,
    units_with_allowance,
)
from pharmcalc.units import quantity
from tests.published import exactly

doses = st.fractions(min_value="1/10", max_value=500, max_denominator=10)
counts = st.integers(min_value=1, max_value=200)


def test_ten_powders_calculated_for_twelve() -> None:
    """Charts of 250 mg with 30 mg salicylic acid: 360 mg of drug and 2640 mg of lactose for twelve."""
    # UNC, Pharmaceutics and Compounding Laboratory, powders laboratory (derived)
    units = units_to_make(units_ordered="10", extra_units="2")
    assert exactly(units, "12", "")
    drug = amount_for_batch(per_unit="30 mg", units_made=units)
    lactose = filler_for_batch(unit_mass="250 mg", dose="30 mg", units_made=units)
    assert exactly(drug, "360", "milligram")
    assert exactly(lactose, "2640", "milligram")
    assert exactly(amount_per_unit(batch_amount=drug + lactose, units_made=units), "250", "milligram")


@pytest.mark.parametrize(
    ("mistake", "number"),
    [
        # the note of the same problem (300 + 2200 mg for exactly 10); the others derived
        ("batch-loss-left-out", "300"),
        ("filler-loss-left-out", "2200"),
        ("batch-loss-counted-twice", "420"),
        ("unit-for-batch", "30"),
        ("filler-for-one-unit", "220"),
        ("filler-drug-left-in", "3000"),
        ("filler-dose-for-batch", "2970"),
        ("batch-for-unit", "3000"),
        ("shared-by-units-ordered", "300"),
        ("filler-powder-left-in", "3000"),
        ("filler-beside-drug", "2640"),  # 360 mg of drug taken off, not 400 mg of powder
        ("filler-beside-loss-left-out", "2100"),
    ],
)
def test_loss_left_out_or_counted_twice_gives_another_batch(mistake: str, number: str) -> None:
    """For exactly ten it would be 300 and 2200 mg; with the extra counted twice, 420 mg of drug."""
    values = {
        "per_unit": quantity(30, "mg"),
        "dose": quantity(30, "mg"),
        "unit_mass": quantity(250, "mg"),
        "batch_amount": quantity(3000, "mg"),
        "units_ordered": quantity(10),
        "extra_units": quantity(2),
        "units_made": quantity(12),
        "drug_wanted": quantity(360, "mg"),
        "powder": quantity(400, "mg"),
    }
    assert exactly(MISTAKES[mistake].evaluate(values), number, "milligram")


def test_a_powder_that_weighs_more_than_its_drug_leaves_less_room_for_filler() -> None:
    """Twelve charts of 250 mg with 400 mg of powder: 2600 mg of lactose; with a pure drug it is the published 2640."""
    # UNC, powders laboratory, for the pure drug; 400 mg derived
    batch = {"unit_mass": "250 mg", "units_made": "12"}
    assert exactly(filler_beside_powder(**batch, powder="400 mg"), "2600", "milligram")
    assert filler_beside_powder(**batch, powder="360 mg") == filler_for_batch(**batch, dose="30 mg")


@pytest.mark.parametrize(
    ("mistake", "number"),
    [
        # 30 units with 5 % for loss: 31.5, so 32; and 10 with 2 extra; derived from the slips
        ("allowance-left-out", "30"),
        ("allowance-counted-twice", "34"),
        ("allowance-rounded-down", "31.5"),
        ("loss-left-out", "10"),
        ("loss-counted-twice", "14"),
    ],
)
def test_the_extra_is_counted_once(mistake: str, number: str) -> None:
    """5 % on 30 units are 1.5 units, so 32 are calculated for; twice 5 % would be 34."""
    assert exactly(units_with_allowance(units_ordered="30", allowance="5 %"), "32", "")
    values = {"units_ordered": quantity(30), "allowance": quantity(5, "percent"), "extra_units": quantity(2)}
    if mistake.startswith("loss"):
        values["units_ordered"] = quantity(10)
    assert exactly(MISTAKES[mistake].evaluate(values), number, "")


@given(doses, doses, counts)
def test_drug_and_filler_make_the_units(dose: Fraction, more: Fraction, units: int) -> None:
    """Drug and filler of the batch, shared out evenly, are the mass of one unit; and back."""
    drug, unit, number = quantity(dose, "mg"), quantity(dose + more, "mg"), quantity(units)
    batch = amount_for_batch(per_unit=drug, units_made=number)
    filler = filler_for_batch(unit_mass=unit, dose=drug, units_made=number)
    assert amount_per_unit(batch_amount=batch + filler, units_made=number) == unit
    assert amount_per_unit(batch_amount=batch, units_made=number) == drug


@given(doses, counts, st.integers(min_value=1, max_value=20))
def test_extra_units_do_not_change_the_strength(dose: Fraction, ordered: int, extra: int) -> None:
    """Every unit holds the same dose, however many are made more."""
    made = units_to_make(units_ordered=quantity(ordered), extra_units=quantity(extra))
    batch = amount_for_batch(per_unit=quantity(dose, "mg"), units_made=made)
    assert amount_per_unit(batch_amount=batch, units_made=made) == quantity(dose, "mg")


@given(counts, st.integers(min_value=0, max_value=50))
def test_an_allowance_never_makes_fewer(ordered: int, percent: int) -> None:
    """The number is whole, at least the allowance, and less than one unit above it."""
    made = units_with_allowance(units_ordered=quantity(ordered), allowance=quantity(percent, "percent")).magnitude
    exact = ordered * (1 + Fraction(percent, 100))
    assert made.denominator == 1
    assert exact <= made < exact + 1


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        (
            "filler_for_batch",
            {"unit_mass": "25 mg", "dose": "30 mg", "units_made": "12"},
            "dose: must be less than unit mass (25 mg); it was 30 mg. The unit holds drug and filler",
        ),
        ("units_to_make", {"units_ordered": "10", "extra_units": "1.5"}, "extra_units: must be a whole number"),
        ("units_to_make", {"units_ordered": "0", "extra_units": "2"}, "units_ordered: must be more than zero"),
        ("amount_for_batch", {"per_unit": "30", "units_made": "12"}, "per_unit: must be a mass or a volume"),
        ("amount_per_unit", {"batch_amount": "30 mg", "units_made": "12 mg"}, "units_made: must be a whole number"),
        ("units_with_allowance", {"units_ordered": "30", "allowance": "0.05"}, "allowance: must be a percentage"),
    ],
)
def test_a_batch_that_cannot_be_made_is_refused(name: str, values: dict[str, str], said: str) -> None:
    """A dose larger than the unit, half a unit, a bare number: refused by the name of the argument."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert str(caught.value).startswith(name)
    assert said in str(caught.value)
