"""Metric units: steps of a thousand, up and down, and the step that is taken the wrong way."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.metric import number_of_mass_units, number_of_volume_units
from pharmcalc.units import quantity


@pytest.mark.parametrize(
    ("amount", "unit", "number"),
    [
        # BIPM SI Brochure, 9th edition, table 7: kilo 10 to the 3, milli to the -3, micro to the -6 (from memory)
        ("1 g", "1 mg", "1000"),
        ("1 mg", "1 microgram", "1000"),
        ("1 kg", "1 g", "1000"),
        ("1 g", "1 microgram", "1000000"),
        ("0.25 mg", "1 microgram", "250"),
        ("125 microgram", "1 mg", "0.125"),
    ],
)
def test_the_prefixes_go_in_steps_of_a_thousand(amount: str, unit: str, number: str) -> None:
    """Published: the prefixes of the SI."""
    assert number_of_mass_units(amount=amount, wanted_unit=unit) == quantity(number)


@pytest.mark.parametrize(("amount", "unit", "number"), [("1 L", "1 mL", "1000"), ("0.005 mL", "1 microlitre", "5")])
def test_volumes_go_in_the_same_steps(amount: str, unit: str, number: str) -> None:
    """Published: the prefixes of the SI, on the litre."""
    assert number_of_volume_units(amount=amount, wanted_unit=unit) == quantity(number)


@given(st.fractions(min_value="1/1000", max_value=1000, max_denominator=1000))
def test_there_and_back_is_the_same_amount(number: object) -> None:
    """Law: so many micrograms of one microgram are the mass again."""
    amount, unit = quantity(number, "milligram"), quantity(1, "microgram")
    assert number_of_mass_units(amount=amount, wanted_unit=unit) * unit == amount


@pytest.mark.parametrize(
    ("id", "number"),
    [("metric-step-upside-down", "0.00025"), ("metric-unit-not-changed", "0.25")],
)
def test_a_step_taken_the_wrong_way_is_a_million_times_too_small(id: str, number: str) -> None:
    """0.25 mg in micrograms: 250, and not 0.00025, nor 0.25."""
    values = {
        "amount": quantity("0.25", "mg"),
        "written_unit": quantity(1, "mg"),
        "wanted_unit": quantity(1, "microgram"),
    }
    assert MISTAKES[id].evaluate(values) == quantity(number)


@pytest.mark.parametrize(
    ("id", "number"),
    [("metric-volume-step-upside-down", "0.00025"), ("metric-volume-unit-not-changed", "0.25")],
)
def test_volumes_have_the_same_slips(id: str, number: str) -> None:
    """0.25 L in millilitres: 250."""
    values = {"amount": quantity("0.25", "L"), "written_unit": quantity(1, "L"), "wanted_unit": quantity(1, "mL")}
    assert MISTAKES[id].evaluate(values) == quantity(number)


def test_another_kind_of_unit_is_refused() -> None:
    """How many millilitres a mass is depends on the liquid."""
    with pytest.raises(RefusedError, match="wanted_unit"):
        number_of_mass_units(amount="1 g", wanted_unit="1 mL")
