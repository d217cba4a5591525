"""Uncertainty: published budgets, the worst case of a plan, and a simulation that agrees with the budget."""

import math
import sys
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.aliquots import AliquotPlan, Limits
from pharmcalc.aliquots.serial import smallest_serial_plan
from pharmcalc.balances import least_weighable_quantity, percentage_of_error
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.reading import read_text
from pharmcalc.uncertainty import (
    Input,
    budget,
    combined_uncertainty,
    expanded_uncertainty,
    plan_budget,
    plan_worst_case,
    reading_uncertainty,
    rectangular_uncertainty,
    simulate,
    standard_from_expanded,
    triangular_uncertainty,
    weighing_uncertainty,
    worst_case,
)
from pharmcalc.units import Quantity, quantity

AT_THE_LIMIT = AliquotPlan.of(drug_wanted="60 mg", multiple_factor="2", aliquot="120 mg")
WEIGHINGS = ("drug", "diluent", "aliquot")


def near(value: Quantity, text: str) -> bool:
    """Say whether a value is what a source prints, to its last printed place."""
    printed = read_text(text)
    places = len(text.split()[0].partition(".")[2])
    return (
        abs(
            float((value.to(text.split()[1]) if not value.dimensionless else value.to("percent")).magnitude)
            - float(printed.magnitude)
        )
        <= 0.5 * 10**-places
    )


# Published values: EURACHEM/CITAC Guide QUAM, 2nd ed., example A1


def test_the_volume_of_a_flask_has_the_guide_s_uncertainty() -> None:
    """0.1 mL triangular, 0.02 mL repeatability, 4 C x 100 mL x 2.1e-4 rectangular: 0.0665 mL (QUAM A1)."""
    flask = triangular_uncertainty(half_width="0.1 mL")
    warmth = rectangular_uncertainty(half_width=quantity(100, "mL") * 4 * Fraction(21, 100000))
    assert near(flask, "0.0408 mL")
    assert near(warmth, "0.0485 mL")
    both = combined_uncertainty(first=flask, second=quantity("0.02", "mL"))
    assert near(combined_uncertainty(first=both, second=warmth), "0.0665 mL")


def test_the_purity_has_the_guide_s_uncertainty() -> None:
    """0.9999 +- 0.0001, rectangular: 0.000058 (QUAM A1)."""
    assert near(rectangular_uncertainty(half_width="0.01 %"), "0.0058 %")


def test_the_standard_solution_has_the_guide_s_combined_uncertainty() -> None:
    """100.28 mg, purity 0.9999, 100.0 mL: 1002.7 mg/L with u = 0.9 mg/L, relative 0.00086 (QUAM A1)."""
    inputs = [
        Input("mass", quantity("100.28", "mg"), quantity("0.05", "mg")),
        Input("purity", quantity("99.99", "percent"), quantity("0.0058", "percent")),
        Input("volume", quantity("100", "mL"), quantity("0.07", "mL")),
    ]
    found = budget(lambda mass, purity, volume: mass * purity / volume, inputs)
    strength = quantity("100.28", "mg") * quantity("0.9999") / quantity("0.1", "L")
    assert near(strength, "1002.7 mg/L")
    assert near(found.relative, "0.086 %")
    assert near(found.standard(strength), "0.9 mg/L")
    assert near(expanded_uncertainty(standard_uncertainty="0.9 mg"), "1.8 mg")
    assert [line.name for line in sorted(found.lines, key=lambda line: line.share.magnitude)] == [
        "purity",
        "mass",
        "volume",
    ]


# Derived values


def test_three_weighings_at_the_limit_add_up_to_twice_five_per_cent() -> None:
    """W = D = A = 120 mg and SR 6 mg: each weighing is within 5 %, the dose within 10.25 % (enumeration)."""
    limit = read_text("6 mg")
    assert percentage_of_error(sensitivity=limit, load="120 mg") == read_text("5 %")
    assert plan_worst_case(AT_THE_LIMIT, dict.fromkeys(WEIGHINGS, limit)) == read_text("10.25 %")


def test_the_display_of_two_readings_gives_the_pharmacopoeia_s_floor() -> None:
    """d / (2 sqrt 3), twice, is 0.408 d: the floor of USP <41> without its rounding to 0.41."""
    both = combined_uncertainty(
        first=reading_uncertainty(display_step="1 mg"), second=reading_uncertainty(display_step="1 mg")
    )
    assert float(both.magnitude) == pytest.approx(1 / math.sqrt(6), rel=1e-12)


# Laws


@given(st.integers(2, 20), st.integers(120, 900), st.fractions(Fraction(1, 10), 6, max_denominator=10))
def test_the_worst_case_is_never_milder_than_two_standard_uncertainties_of_rectangles(
    multiple: int, aliquot: int, limit: Fraction
) -> None:
    """The limits reached all at once are worse than the limits taken as rectangles and combined."""
    plan = AliquotPlan.of(drug_wanted="30 mg", multiple_factor=quantity(multiple), aliquot=quantity(aliquot, "mg"))
    limits = dict.fromkeys(WEIGHINGS, quantity(limit, "mg"))
    likely = plan_budget(plan, {name: rectangular_uncertainty(half_width=value) for name, value in limits.items()})
    assert plan_worst_case(plan, limits) >= likely.relative


@given(st.integers(2, 20), st.integers(120, 900))
def test_the_budget_is_the_textbook_formula(multiple: int, aliquot: int) -> None:
    """u² = u(A)²/A² + u(D)²/T² + u(W)² (1/W - 1/T)²: the numerical derivative finds the algebra."""
    plan = AliquotPlan.of(drug_wanted="30 mg", multiple_factor=quantity(multiple), aliquot=quantity(aliquot, "mg"))
    found = plan_budget(plan, dict.fromkeys(WEIGHINGS, quantity(2, "mg")))
    drug, part, total = (float(mass.magnitude) for mass in (plan.drug_weighed, plan.aliquot, plan.total_mixture))
    expected = 2 * math.sqrt(1 / part**2 + 1 / total**2 + (1 / drug - 1 / total) ** 2)
    assert float(found.relative.to_base_units().magnitude) == pytest.approx(expected, rel=1e-9)
    assert float(sum(line.share.magnitude for line in found.lines)) == pytest.approx(100)


@given(st.fractions(Fraction(1, 50), 50, max_denominator=50))
def test_expanding_and_coming_back_changes_nothing(value: Fraction) -> None:
    """U = 2 u there, U / 2 back."""
    u = quantity(value, "mg")
    assert standard_from_expanded(expanded=expanded_uncertainty(standard_uncertainty=u)) == u


@pytest.mark.parametrize("steps", ["one", "two"])
def test_the_simulation_agrees_with_the_budget(steps: str) -> None:
    """100 000 simulated plans spread as the law of propagation says, within the error of their own number."""
    limits = Limits(quantity(120, "mg"), quantity(1, "mg"), quantity(50, "g"))
    plan = AT_THE_LIMIT if steps == "one" else smallest_serial_plan(drug_wanted="2 mg", limits=limits)
    names = WEIGHINGS if steps == "one" else tuple(name.replace(" ", "_") for name, _ in plan.weighings())  # type: ignore[union-attr]
    uncertainties = dict.fromkeys(names, weighing_uncertainty(display_step="1 mg", repeatability="1 mg"))
    expected = float(plan_budget(plan, uncertainties).relative.to_base_units().magnitude)
    cloud = simulate(plan, uncertainties, runs=100_000, seed=20)
    assert cloud.spread == pytest.approx(expected, rel=4 / math.sqrt(2 * 100_000) + 5 * expected**2)


def test_the_same_seed_gives_the_same_cloud() -> None:
    """A simulation can be repeated."""
    uncertainties = dict.fromkeys(WEIGHINGS, quantity(2, "mg"))
    first, again = (simulate(AT_THE_LIMIT, uncertainties, runs=100, seed=3) for _ in range(2))
    assert (first.relative == again.relative).all()


def test_a_plan_at_the_limit_often_leaves_the_allowed_error() -> None:
    """With u = 3 mg (SR 6 mg as two standard deviations) at 120 mg, a good part of the doses lies outside 5 %."""
    cloud = simulate(AT_THE_LIMIT, dict.fromkeys(WEIGHINGS, quantity(3, "mg")), runs=50_000)
    assert 0.05 < cloud.outside(read_text("5 %")) < 0.20
    assert least_weighable_quantity(sensitivity="6 mg", allowed_error="5 %") == AT_THE_LIMIT.aliquot


def test_errors_drawn_evenly_fill_their_limits_and_never_leave_them() -> None:
    """The spread is that of the budget; no dose is worse than the worst case, and some come near it."""
    standard = dict.fromkeys(WEIGHINGS, rectangular_uncertainty(half_width="6 mg"))
    cloud = simulate(AT_THE_LIMIT, standard, runs=100_000, evenly=True)
    budgeted = float(plan_budget(AT_THE_LIMIT, standard).relative.to_base_units().magnitude)
    worst = plan_worst_case(AT_THE_LIMIT, dict.fromkeys(WEIGHINGS, quantity(6, "mg")))
    assert cloud.spread == pytest.approx(budgeted, rel=0.02)
    assert cloud.outside(worst) == 0
    assert cloud.outside(worst * quantity("0.9")) > 0


@pytest.mark.parametrize("evenly", [True, False])
def test_without_numpy_pythons_own_chance_numbers_follow_the_same_law(
    evenly: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where numpy is missing, as in a browser, the cloud is as wide as numpy's, and says that it is a stand-in."""
    standard = dict.fromkeys(WEIGHINGS, rectangular_uncertainty(half_width="6 mg"))
    usual = simulate(AT_THE_LIMIT, standard, runs=20_000, evenly=evenly)
    monkeypatch.setitem(sys.modules, "numpy", None)
    cloud, again = (simulate(AT_THE_LIMIT, standard, runs=20_000, evenly=evenly) for _ in range(2))
    assert (usual.stand_in, cloud.stand_in) == (False, True)
    assert cloud.relative == again.relative
    assert len(cloud.relative) == 20_000
    assert cloud.spread == pytest.approx(usual.spread, rel=0.03)
    assert cloud.outside(read_text("5 %")) == pytest.approx(usual.outside(read_text("5 %")), abs=0.02)


# Refusals


@pytest.mark.parametrize(
    ("inputs", "said"),
    [
        ([], "at least one input"),
        ([Input("a", quantity(1, "mg"), quantity(1, "mg")), Input("a", quantity(1, "mg"), quantity(1, "mg"))], "name"),
        ([Input("a", quantity(0, "mg"), quantity(1, "mg"))], "more than zero"),
        ([Input("a", quantity(1, "mg"), quantity(1, "mL"))], "same kind"),
        ([Input("a", quantity(1, "mg"), quantity(-1, "mg"))], "same kind"),
        ([Input("a", quantity(1, "mg"), quantity(1, "mg"))], "as large as the value"),
        ([Input(f"a{n}", quantity(9, "mg"), quantity(1, "mg")) for n in range(13)], "at most 12"),
    ],
)
def test_inputs_that_make_no_sense_are_refused_with_the_cure(inputs: list[Input], said: str) -> None:
    """No inputs, two of one name, nothing weighed, another kind of uncertainty, too many."""
    with pytest.raises(RefusedError, match=said):
        worst_case(lambda **values: math.prod(values.values()), inputs)


def test_a_simulation_of_no_runs_is_refused() -> None:
    """Two runs are the least that have a spread."""
    with pytest.raises(RefusedError, match="2 to"):
        simulate(AT_THE_LIMIT, dict.fromkeys(WEIGHINGS, quantity(2, "mg")), runs=1)


# Mistakes


@pytest.mark.parametrize(
    ("mistake", "number"),
    [
        # d = 2 mg; a limit of 6 mg; two standard uncertainties of 3 mg and 4 mg; worked out with floats from the slip
        ("whole-step-as-half-width", 2 / math.sqrt(3)),
        ("half-step-as-standard-uncertainty", 1.0),
        ("limit-as-standard-uncertainty", 6.0),
        ("rectangle-divided-by-two", 3.0),
        ("triangle-as-rectangle", 6 / math.sqrt(3)),
        ("expanded-factor-left-out", 5.0),
        ("expanded-halved", 2.5),
        ("expanded-as-standard", 10.0),
        ("uncertainties-added", 7.0),
        ("uncertainties-averaged", 3.5),
    ],
)
def test_each_slip_of_an_uncertainty_gives_its_own_number(mistake: str, number: float) -> None:
    """Half widths, standard and expanded uncertainties are three things; none of them stands for another."""
    given = {
        "display_step": quantity(2, "mg"),
        "half_width": quantity(6, "mg"),
        "standard_uncertainty": quantity(5, "mg"),
        "expanded": quantity(10, "mg"),
        "first": quantity(3, "mg"),
        "second": quantity(4, "mg"),
    }
    assert float(MISTAKES[mistake].evaluate(given).magnitude) == pytest.approx(number, rel=1e-12)
