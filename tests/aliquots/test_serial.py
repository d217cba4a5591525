"""Two aliquots one after the other."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.aliquots import Limits, smallest_plan
from pharmcalc.aliquots.serial import (
    SerialPlan,
    combined_multiple,
    drug_after_two_steps,
    second_multiple,
    smallest_serial_plan,
)
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.units import quantity

UK = Limits(quantity(100, "mg"), quantity(1, "mg"), quantity(50, "g"))


def mg(*masses: int) -> tuple[object, ...]:
    """Return masses in milligrams."""
    return tuple(quantity(mass, "mg") for mass in masses)


# Published value


def test_a_serial_trituration_of_200_micrograms_for_ten_powders_is_right() -> None:
    """2 mg from 100 + 900 mg, then 100 mg of it + 900 mg, then 200 mg: a Winfield-style example (from memory)."""
    plan = SerialPlan(*mg(2, 100, 900, 100, 900, 200))  # type: ignore[arg-type]
    assert plan.broken_rules(replace(UK, final_quantity=quantity(1200, "mg"))) == []
    assert plan.drug_delivered == quantity(2, "mg")
    assert (plan.first_multiple, plan.second_multiple) == (quantity(10), quantity(5))


def test_the_same_amount_fits_one_step_but_with_more_diluent() -> None:
    """One step would need a 50-fold mixture of 5000 mg; two steps make 1500 mg in all (derived)."""
    one, two = smallest_plan(drug_wanted="2 mg", limits=UK), smallest_serial_plan(drug_wanted="2 mg", limits=UK)
    assert one.total_mixture == quantity(5000, "mg")
    assert two.first_mixture + two.second_mixture == quantity(1500, "mg")
    assert two.drug_weighed == one.drug_weighed


# Laws


def cheapest_by_trying(
    need: Fraction, least: int, capacity: int, ratio: int | None, final: int | None
) -> tuple[int, int] | None:
    """Try every pair of whole multiples and every pair of aliquots; return (drug, all mixture) of the cheapest plan."""
    for multiple in range(4, int(capacity / need) + 1):
        drug = need * multiple
        if drug < least or drug.denominator > 1:
            continue
        mixtures = []
        for first in range(2, multiple // 2 + 1):
            if multiple % first:
                continue
            second = multiple // first
            for one in range(least, capacity // first + 1):
                if first * one - drug < least or (ratio and first * one > ratio * drug):
                    continue
                for two in range(least, capacity // second + 1):
                    if second * two - one < least or (ratio and second * two > ratio * one):
                        continue
                    if final and not (two == final or two <= final - least):
                        continue
                    mixtures.append(first * one + second * two)
        if mixtures:
            return int(drug), min(mixtures)
    return None


@given(
    st.fractions(Fraction(1, 2), 6, max_denominator=2),
    st.integers(7, 15),
    st.integers(60, 130),
    st.none() | st.integers(3, 12),
    st.none() | st.integers(6, 40),
)
def test_no_cheaper_two_step_plan_exists(
    need: Fraction, least: int, capacity: int, ratio: int | None, final: int | None
) -> None:
    """The plan weighs the least drug, then makes the least mixture: an exhaustive search finds nothing cheaper."""
    limits = Limits(
        quantity(least, "mg"),
        quantity(1, "mg"),
        quantity(capacity, "mg"),
        final_quantity=None if final is None else quantity(final, "mg"),
        largest_ratio=None if ratio is None else quantity(ratio),
    )
    expected = cheapest_by_trying(need, least, capacity, ratio, final)
    wanted = quantity(need, "mg")
    if expected is None:
        with pytest.raises(RefusedError, match="no two steps"):
            smallest_serial_plan(drug_wanted=wanted, limits=limits)
        return
    plan = smallest_serial_plan(drug_wanted=wanted, limits=limits)
    assert plan.broken_rules(limits) == []
    made = plan.first_mixture + plan.second_mixture
    assert (plan.drug_weighed.magnitude, made.magnitude) == expected


@given(st.integers(2, 40), st.integers(2, 40))
def test_the_second_multiple_undoes_the_combination(first: int, second: int) -> None:
    """Combining two multiples and dividing by the first gives the second."""
    combined = combined_multiple(first_multiple=quantity(first), second_multiple=quantity(second))
    assert second_multiple(combined_multiple=combined, first_multiple=quantity(first)) == quantity(second)


# Mistakes and refusals


def test_adding_the_factors_is_a_known_mistake() -> None:
    """10 and 5 are 50, not 15 (mistake 11 of the common ones)."""
    values = {"first_multiple": quantity(10), "second_multiple": quantity(5)}
    assert MISTAKES["serial-factors-added"].evaluate(values) == quantity(15)


def test_both_steps_thin_the_drug() -> None:
    """100 mg through 10 and 5 leave 2 mg; with the first step alone they would leave 10 mg."""
    values = {"drug_weighed": quantity(100, "mg"), "first_multiple": quantity(10), "second_multiple": quantity(5)}
    assert drug_after_two_steps(**values) == quantity(2, "mg")
    assert MISTAKES["held-after-first-step-only"].evaluate(values) == quantity(10, "mg")


@pytest.mark.parametrize(("mistake", "number"), [("serial-factor-subtracted", 83), ("serial-second-rounded-down", 9)])
def test_the_second_factor_is_what_is_left_after_dividing_and_never_less(mistake: str, number: int) -> None:
    """Of 93 in all, a first step of 10 leaves 9.3, so 10: not 83, and not 9, with which 90 would be too few."""
    values = {"combined_multiple": quantity(93), "first_multiple": quantity(10)}
    assert second_multiple(**values) == quantity(10)
    assert MISTAKES[mistake].evaluate(values) == quantity(number)


@pytest.mark.parametrize(
    ("plan", "rule"),
    [
        ((2, 90, 810, 90, 900, 198), "The drug must be at least"),
        ((2, 100, 900, 100, 900, 100), "exactly the drug wanted"),
        ((2, 100, 900, 100, 50, 30), "The second diluent must be at least"),
    ],
)
def test_a_wrong_serial_plan_is_refused_by_the_rule_it_breaks(plan: tuple[int, ...], rule: str) -> None:
    """Each weighing counts, and the proof must come out."""
    broken = SerialPlan(*mg(*plan)).broken_rules(UK)  # type: ignore[arg-type]
    assert any(rule in says for says in broken)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ({"drug_wanted": "100 mg"}, "directly"),
        ({"drug_wanted": 2}, "without a unit"),
        ({"drug_wanted": "0 mg"}, "more than zero"),
    ],
)
def test_what_cannot_be_planned_in_two_steps_is_refused_with_the_cure(arguments: dict[str, object], said: str) -> None:
    """An amount that can be weighed, or one without a unit, is refused in words."""
    with pytest.raises(RefusedError, match=said):
        smallest_serial_plan(limits=UK, **arguments)  # type: ignore[arg-type]
