"""The equations of the solid aliquot, one step at a time."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.aliquots import (
    diluent,
    diluent_to_finish,
    drug_delivered,
    drug_wanted,
    drug_weighed,
    multiple_factor,
    smallest_aliquot,
    total_mixture,
)
from pharmcalc.balances import least_weighable_quantity
from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.units import quantity
from tests.published import exactly

masses = st.fractions(min_value="1/10", max_value=1000, max_denominator=20).map(lambda number: quantity(number, "mg"))
multiples = st.integers(2, 200).map(quantity)


# Published values ----------------------------------------------------------------------------------------------------


def test_ten_capsules_of_0_6_mg_step_by_step() -> None:
    """Ten capsules of 0.6 mg atropine sulfate, 200 mg each: 6 mg, 120 mg, 2400 mg, 2280 mg, 120 mg, 1880 mg."""
    # UNC compounding laboratory manual, Trituration Method (inputs and method seen, lines are arithmetic)
    wanted = drug_wanted(dose="0.6 mg", number_of_units="10")
    weighed = drug_weighed(multiple_factor="20", drug_wanted=wanted)
    mixture = total_mixture(multiple_factor="20", aliquot="120 mg")
    added = diluent(total_mixture=mixture, drug_weighed=weighed)
    finish = diluent_to_finish(final_quantity="2000 mg", aliquot="120 mg")
    assert [value.to("milligram").magnitude for value in (wanted, weighed, mixture, added, finish)] == [
        6,
        120,
        2400,
        2280,
        1880,
    ]
    assert drug_delivered(drug_weighed=weighed, aliquot="120 mg", total_mixture=mixture) == wanted


@pytest.mark.parametrize(
    ("wanted", "least", "factor"),
    [
        ("6 mg", "120 mg", "20"),  # UNC, Trituration Method
        ("12 mg", "120 mg", "10"),  # common classroom practice, no source
        ("2 mg", "120 mg", "60"),  # textbook chapter on accurate weighing for prescriptions (secondary copy, seen)
        ("5 mg", "80 mg", "16"),  # Ansel & Stoklosa, measurement (secondary copy)
        ("30 mg", "200 mg", "7"),  # common classroom practice, no source; 6 would give 180 mg
        ("10 mg", "100 mg", "10"),  # UK style 1-in-10 triturate, common classroom practice, no source
    ],
)
def test_the_multiple_is_rounded_up_to_reach_the_balance(wanted: str, least: str, factor: str) -> None:
    """The smallest whole multiple that the balance may weigh; one less would be too little."""
    assert exactly(multiple_factor(least_weighable_quantity=least, drug_wanted=wanted), factor, "")


def test_the_aliquot_need_not_be_the_least_weighable_quantity() -> None:
    """2 mg from 125 mg aliquots: 60 times 125 mg are 7500 mg, 7380 mg of it lactose; from 120 mg: 7200 and 7080 mg."""
    # textbook chapter on accurate weighing for prescriptions (secondary copy, seen)
    assert exactly(smallest_aliquot(least_weighable_quantity="120 mg"), "120", "milligram")
    for aliquot, total, lactose in (("125 mg", "7500", "7380"), ("120 mg", "7200", "7080")):
        mixture = total_mixture(multiple_factor="60", aliquot=aliquot)
        assert exactly(mixture, total, "milligram")
        assert exactly(diluent(total_mixture=mixture, drug_weighed="120 mg"), lactose, "milligram")
        assert exactly(drug_delivered(drug_weighed="120 mg", aliquot=aliquot, total_mixture=mixture), "2", "milligram")


@pytest.mark.parametrize(
    ("whole", "aliquot", "added"),
    [
        ("2400 mg", "100 mg", "2300"),  # 20 powders of 120 mg colchicine, UK 1-in-10 triturate: classroom, no source
        ("30 g", "200 mg", "29800"),  # digoxin in 100 powders of calcium carbonate: classroom, no source; derived
        ("300 mg", "120 mg", "180"),  # three capsules of 100 mg; derived from the rule for each weighing
    ],
)
def test_the_aliquot_brings_its_own_diluent(whole: str, aliquot: str, added: str) -> None:
    """The preparation is the aliquot, its diluent included, and what is added: 2300 mg to 100 mg make 2400 mg."""
    assert exactly(diluent_to_finish(final_quantity=whole, aliquot=aliquot), added, "milligram")


@pytest.mark.parametrize(("factor", "wanted", "portions", "units"), [("12", "10 mg", 12, 6), ("6", "20 mg", 6, 5)])
def test_where_each_unit_is_an_aliquot_some_are_left_over(factor: str, wanted: str, portions: int, units: int) -> None:
    """Six capsules of 10 mg in 120 mg: 120 mg and 1320 mg fill twelve, six too many; five of 20 mg leave one."""
    # common classroom practice, no source: the whole-batch shortcut
    weighed = drug_weighed(multiple_factor=factor, drug_wanted=wanted)
    mixture = total_mixture(multiple_factor=factor, aliquot="120 mg")
    assert exactly(weighed, "120", "milligram")
    assert exactly(mixture / quantity(120, "mg"), str(portions), "")
    assert portions > units


def test_two_extra_charts_are_made_for_loss() -> None:
    """Ten charts of 30 mg in 250 mg, calculated for twelve: 360 mg and 2640 mg; for exactly ten, 300 mg and 2200 mg."""
    # UNC compounding laboratory manual, powders laboratory (derived)
    for units, drug, lactose in (("12", "360", "2640"), ("10", "300", "2200")):
        needed = drug_wanted(dose="30 mg", number_of_units=units)
        assert exactly(needed, drug, "milligram")
        powder = drug_wanted(dose="250 mg", number_of_units=units)
        assert exactly(diluent_to_finish(final_quantity=powder, aliquot=needed), lactose, "milligram")
    values = {"dose": quantity(30, "mg"), "units_ordered": quantity(10)}
    assert exactly(MISTAKES["extra-units-left-out"].evaluate(values), "300", "milligram")


def test_hydromorphone_has_more_than_one_right_plan() -> None:
    """5 mg on a balance of SR 4 mg at 5 %: 16 or 20 times, aliquots of 80 mg or 100 mg, all of them right."""
    # Ansel & Stoklosa, measurement (numbers seen in secondary copies; editions differ)
    least = least_weighable_quantity(sensitivity="4 mg", allowed_error="5 %")
    assert exactly(least, "80", "milligram")
    rows = [("16", "80 mg", "1280", "1200"), ("20", "80 mg", "1600", "1500"), ("20", "100 mg", "2000", "1900")]
    for factor, aliquot, total, lactose in rows:
        weighed = drug_weighed(multiple_factor=factor, drug_wanted="5 mg")
        mixture = total_mixture(multiple_factor=factor, aliquot=aliquot)
        assert exactly(mixture, total, "milligram")
        assert exactly(diluent(total_mixture=mixture, drug_weighed=weighed), lactose, "milligram")
        held = drug_delivered(drug_weighed=weighed, aliquot=aliquot, total_mixture=mixture)
        assert exactly(held, "5", "milligram")


KNOWN = {
    "dose": quantity("0.7", "mg"),
    "number_of_units": quantity(10),
    "units_ordered": quantity(8),
    "drug_wanted": quantity(7, "mg"),
    "least_weighable_quantity": quantity(120, "mg"),
    "multiple_factor": quantity(18),
    "drug_weighed": quantity(126, "mg"),
    "aliquot": quantity(150, "mg"),
    "total_mixture": quantity(2700, "mg"),
    "final_quantity": quantity(2000, "mg"),
}


@pytest.mark.parametrize(
    ("mistake", "number"),
    [
        # each number worked out by hand from the mistake's words: 8 + 2 units of 0.7 mg, LWQ 120 mg, k 18, A 150 mg
        ("dose-for-batch", "0.7"),
        ("batch-divided", "0.07"),
        ("extra-units-left-out", "5.6"),
        ("multiple-upside-down", "7/120"),
        ("multiple-rounded-down", "17"),
        ("weight-left-at-lwq", "120"),
        ("weighed-directly", "7"),
        ("multiple-of-dose", "12.6"),
        ("aliquot-is-weight-over-multiple", "7"),
        ("aliquot-is-whole-mixture", "2160"),
        ("mixture-of-lwq", "2160"),
        ("mixture-drug-plus-aliquot", "276"),
        ("diluent-is-total", "2700"),
        ("diluent-drug-added", "2826"),
        ("diluent-less-drug-wanted", "2693"),
        ("delivered-upside-down", "2268"),
        ("finish-diluent-in-aliquot-forgotten", "1993"),
        ("finish-less-mixture", "1874"),
    ],
)
def test_each_known_slip_in_a_plan_gives_its_number(mistake: str, number: str) -> None:
    """A wrong number is informative: each slip leaves its own."""
    made = MISTAKES[mistake]
    unit = "" if made.kind.units == ("dimensionless",) else "milligram"
    assert exactly(made.evaluate({name: KNOWN[name] for name in made.kinds}), number, unit)


# Laws ----------------------------------------------------------------------------------------------------------------


@given(masses, multiples, masses)
def test_any_multiple_and_any_aliquot_deliver_what_is_wanted(wanted: object, factor: object, part: object) -> None:
    """Whatever the multiple and the aliquot, the mixture made from them delivers the drug wanted."""
    weighed = drug_weighed(multiple_factor=factor, drug_wanted=wanted)
    mixture = total_mixture(multiple_factor=factor, aliquot=part)
    assert drug_delivered(drug_weighed=weighed, aliquot=part, total_mixture=mixture) == wanted


@given(masses, masses)
def test_the_smallest_multiple_reaches_the_balance_and_one_less_does_not(least: object, wanted: object) -> None:
    """k times the drug wanted is at least the least weighable quantity; (k - 1) times it is below."""
    factor = multiple_factor(least_weighable_quantity=least, drug_wanted=wanted)
    assert factor.magnitude.denominator == 1
    assert wanted * factor >= least > wanted * (factor - 1)


@given(masses, masses)
def test_what_is_added_and_what_was_there_make_the_whole(first: object, second: object) -> None:
    """Diluent and drug are the mixture; aliquot and the rest are the preparation."""
    whole = first + second
    assert diluent(total_mixture=whole, drug_weighed=first) == second
    assert diluent_to_finish(final_quantity=whole, aliquot=first) == second


@given(st.fractions(min_value="1/10", max_value=10, max_denominator=20), st.integers(1, 100))
def test_a_batch_needs_its_dose_so_many_times(dose: Fraction, units: int) -> None:
    """One dose for each unit made."""
    batch = drug_wanted(dose=quantity(dose, "mg"), number_of_units=quantity(units))
    assert batch == sum((quantity(dose, "mg") for _ in range(units)), quantity(0, "mg"))


def test_an_aliquot_that_is_the_whole_preparation_needs_nothing_more() -> None:
    """Where each aliquot is a finished unit, the diluent to finish is 0 mg."""
    assert exactly(diluent_to_finish(final_quantity="120 mg", aliquot="120 mg"), "0", "milligram")


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        ("drug_wanted", {"dose": "0.6 mg", "number_of_units": "9.5"}, "must be a whole number"),
        ("drug_wanted", {"dose": "0.6", "number_of_units": "10"}, "must be a mass"),
        ("multiple_factor", {"least_weighable_quantity": "120 mg", "drug_wanted": "0 mg"}, "more than zero"),
        ("drug_weighed", {"multiple_factor": "20 mg", "drug_wanted": "6 mg"}, "must be a plain number"),
        ("drug_weighed", {"multiple_factor": "-20", "drug_wanted": "6 mg"}, "more than zero"),
        ("total_mixture", {"multiple_factor": "20", "aliquot": "5 mL"}, "must be a mass"),
        ("diluent", {"total_mixture": "120 mg", "drug_weighed": "120 mg"}, "the result must be more than zero"),
        ("diluent", {"total_mixture": "100 mg", "drug_weighed": "120 mg"}, "the result must be more than zero"),
        ("diluent_to_finish", {"final_quantity": "100 mg", "aliquot": "120 mg"}, "result must not be less than zero"),
        ("drug_delivered", {"drug_weighed": "1", "aliquot": "120 mg", "total_mixture": "2 g"}, "must be a mass"),
    ],
)
def test_an_impossible_step_is_refused(name: str, values: dict[str, str], said: str) -> None:
    """Half a unit, a bare number, no drug, a mixture smaller than its drug: refused by name."""
    with pytest.raises(RefusedError, match=said):
        FORMULAS[name](**values)
