"""The uncertainty of whole plans, against the library `uncertainties`, which propagates on its own.

It follows each measured amount through the arithmetic with derivatives of its own, and knows that the drug stands
twice in W A / (W + D). The arithmetic of each plan is written again here.
"""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import UFloat, ufloat

from pharmcalc.aliquots import AliquotPlan, LiquidPlan, SerialPlan
from pharmcalc.uncertainty import (
    Budget,
    Input,
    budget,
    combined_uncertainty,
    plan_budget,
    rectangular_uncertainty,
    weighing_uncertainty,
)
from pharmcalc.units import Quantity, quantity

masses = st.fractions(min_value=1, max_value=5000, max_denominator=20)
relative = st.fractions(min_value="1/10000", max_value="1/20", max_denominator=10000)


@st.composite
def measured(draw: st.DrawFn, *names: str) -> dict[str, tuple[Fraction, Fraction]]:
    """Draw amounts by name, each with its standard uncertainty, up to 5 % of it."""
    amounts = {name: draw(masses) for name in names}
    return {name: (amount, amount * draw(relative)) for name, amount in amounts.items()}


def of(values: dict[str, tuple[Fraction, Fraction]], unit: str, *names: str) -> list[Quantity]:
    """Return some of the amounts in a unit."""
    return [quantity(values[name][0], unit) for name in names]


def follow(values: dict[str, tuple[Fraction, Fraction]]) -> dict[str, UFloat]:
    """Return the amounts as the other library carries them."""
    return {name: ufloat(float(value), float(u), tag=name) for name, (value, u) in values.items()}


def agrees(found: Budget, expected: UFloat) -> None:
    """Compare the relative uncertainty, and what each amount adds to it."""
    theirs = expected.std_dev / expected.nominal_value
    assert float(found.relative.to_base_units().magnitude) == pytest.approx(theirs, rel=1e-9)
    parts = {one.tag: part / expected.nominal_value for one, part in expected.error_components().items()}
    ours = {line.name: float(line.contribution.to_base_units().magnitude) for line in found.lines}
    assert ours == pytest.approx(parts, rel=1e-9, abs=1e-15)


@given(measured("drug", "diluent", "aliquot"))
def test_a_solid_plan_is_as_uncertain_as_the_other_library_says(values: dict[str, tuple[Fraction, Fraction]]) -> None:
    """W A / (W + D): the total is not weighed itself, so the drug counts twice, in opposite ways."""
    plan = AliquotPlan(quantity(1, "mg"), *of(values, "mg", "drug", "diluent", "aliquot"))
    w, d, a = follow(values).values()
    agrees(plan_budget(plan, {name: quantity(u, "mg") for name, (_, u) in values.items()}), w * a / (w + d))


@given(measured("drug", "first_diluent", "first_aliquot", "second_diluent", "second_aliquot"))
def test_a_serial_plan_is_as_uncertain_as_the_other_library_says(values: dict[str, tuple[Fraction, Fraction]]) -> None:
    """Five weighings; the first aliquot is weighed once and stands in both steps."""
    plan = SerialPlan(quantity(1, "mg"), *of(values, "mg", *values))
    drug, first_diluent, first_aliquot, second_diluent, second_aliquot = follow(values).values()
    taken = drug / (drug + first_diluent) * first_aliquot
    agrees(
        plan_budget(plan, {name: quantity(u, "mg") for name, (_, u) in values.items()}),
        taken / (first_aliquot + second_diluent) * second_aliquot,
    )


@given(measured("drug", "solution", "aliquot"))
def test_a_liquid_plan_is_as_uncertain_as_the_other_library_says(values: dict[str, tuple[Fraction, Fraction]]) -> None:
    """One weighing and two volumes, none of them twice."""
    (drug,) = of(values, "mg", "drug")
    plan = LiquidPlan(quantity(1, "mg"), drug, *of(values, "mL", "solution", "aliquot"))
    units = {"drug": "mg", "solution": "mL", "aliquot": "mL"}
    w, v, a = follow(values).values()
    agrees(plan_budget(plan, {name: quantity(u, units[name]) for name, (_, u) in values.items()}), w * a / v)


@given(measured("first", "second", "third"))
def test_any_model_of_plain_arithmetic_is_propagated_alike(values: dict[str, tuple[Fraction, Fraction]]) -> None:
    """A budget is not made for plans only: (a b + c²) / (c + b / 2), two amounts above and below the line."""

    def model(first: Any, second: Any, third: Any) -> Any:
        return (first * second + third * third) / (third + second / 2)

    inputs = [Input(name, quantity(value, "mg"), quantity(u, "mg")) for name, (value, u) in values.items()]
    agrees(budget(model, inputs), model(**follow(values)))


@given(masses, masses, st.none() | masses)
def test_one_weighing_is_as_uncertain_as_the_other_library_says(
    step: Fraction, repeatability: Fraction, linearity: Fraction | None
) -> None:
    """Load less zero, each rounded to the step, with repeatability and the limit of the linearity."""
    ours = weighing_uncertainty(
        display_step=quantity(step, "mg"),
        repeatability=quantity(repeatability, "mg"),
        linearity=None if linearity is None else quantity(linearity, "mg"),
    )
    load, zero = (ufloat(0, float(step) / 12**0.5) for _ in range(2))
    theirs = load - zero + ufloat(0, float(repeatability))
    if linearity is not None:
        theirs += ufloat(0, float(linearity) / 3**0.5)
    assert float(ours.to("mg").magnitude) == pytest.approx(theirs.std_dev, rel=1e-12)


@given(masses, masses)
def test_a_sum_is_as_uncertain_as_the_other_library_says(first: Fraction, second: Fraction) -> None:
    """Two rectangles added."""
    ours = combined_uncertainty(
        first=rectangular_uncertainty(half_width=quantity(first, "mL")),
        second=rectangular_uncertainty(half_width=quantity(second, "mL")),
    )
    theirs = ufloat(1, float(first) / 3**0.5) + ufloat(1, float(second) / 3**0.5)
    assert float(ours.to("mL").magnitude) == pytest.approx(theirs.std_dev, rel=1e-12)
