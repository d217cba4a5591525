"""Triturations: parts of the whole, and what two steps come to."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.aliquots import diluent_to_finish, drug_wanted
from pharmcalc.dilutions import (
    diluent_for_ratio,
    ratio_of_two_steps,
    second_ratio_needed,
    trituration_for_drug,
    trituration_for_second,
)
from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.strengths import drug_in_ratio, preparation_for_drug, ratio_of_drug_and_diluent
from pharmcalc.units import quantity
from tests.published import exactly

wholes = st.fractions(min_value="11/10", max_value=1000, max_denominator=10)
masses = st.fractions(min_value="1/10", max_value=10000, max_denominator=10).map(lambda number: quantity(number, "mg"))


def test_1_in_20_has_19_parts_of_diluent() -> None:
    """50 mg of drug in 1000 mg of a 1:20 trituration leave 950 mg of diluent, not 1000."""
    # common classroom practice, no source (numbers seen)
    assert exactly(diluent_for_ratio(drug="50 mg", ratio="1:20"), "950", "milligram")
    values = {"drug": quantity(50, "mg"), "ratio": quantity("1/20")}
    assert exactly(MISTAKES["ratio-parts-of-diluent"].evaluate(values), "1000", "milligram")
    assert exactly(MISTAKES["ratio-one-part-more"].evaluate(values), "1050", "milligram")


def test_a_serial_trituration_of_hyoscine() -> None:
    """10 powders of 120 mg with 200 micrograms each: 1:10 twice, then 200 mg of it and 1000 mg of lactose."""
    # Winfield-style UK dispensing example, from memory
    wanted = drug_wanted(dose="200 microgram", number_of_units="10")
    assert exactly(wanted, "2", "milligram")
    first = ratio_of_drug_and_diluent(drug="100 mg", diluent=diluent_for_ratio(drug="100 mg", ratio="1:10"))
    assert exactly(diluent_for_ratio(drug="100 mg", ratio=first), "900", "milligram")
    of_first = trituration_for_second(second_mixture="1000 mg", second_ratio="1:10")
    assert exactly(of_first, "100", "milligram")
    assert exactly(drug_in_ratio(ratio=first, preparation=of_first), "10", "milligram")
    both = ratio_of_two_steps(first_ratio=first, second_ratio="1:10")
    taken = preparation_for_drug(drug=wanted, strength=both)
    assert exactly(taken, "200", "milligram")
    assert trituration_for_drug(drug=wanted, ratio=both) == taken
    assert exactly(diluent_to_finish(final_quantity="1200 mg", aliquot=taken), "1000", "milligram")


def test_the_same_hyoscine_in_one_step_is_right_too() -> None:
    """Fifty times 2 mg in 5000 mg, 100 mg of it: two answers exist, and the serial one wastes less diluent."""
    # the note of the same example; derived
    mixture = ratio_of_drug_and_diluent(drug="100 mg", diluent="4900 mg")
    assert exactly(drug_in_ratio(ratio=mixture, preparation="100 mg"), "2", "milligram")


@pytest.mark.parametrize(
    ("mistake", "values", "parts"),
    [
        ("serial-parts-added", {"first_ratio": "1/10", "second_ratio": "1/10"}, "20"),  # 10 + 10 for 10 x 10; derived
        ("serial-second-step-only", {"second_ratio": "1/10"}, "10"),  # derived
        ("serial-parts-subtracted", {"first_ratio": "1/10", "wanted_ratio": "1/100"}, "90"),  # 100 - 10; derived
    ],
)
def test_the_steps_of_a_serial_trituration_multiply(mistake: str, values: dict[str, str], parts: str) -> None:
    """Ten times thinner and ten times thinner again is a hundred times, not twenty."""
    wrong = MISTAKES[mistake].evaluate({name: quantity(value) for name, value in values.items()})
    assert exactly(1 / wrong, parts, "")


@pytest.mark.parametrize(
    ("mistake", "number"),
    [
        # 2 mg from 1:100, made 1:10 from a 1:10; 1000 mg of the second; derived from the definitions of the slips
        ("trituration-ratio-plus-one", "202"),
        ("trituration-ratio-less-one", "198"),
        ("trituration-weighed-as-drug", "2"),
        ("trituration-of-first-ratio", "40"),  # with a first step of 1:20
        ("second-from-both-steps", "5"),  # 1000 / 20 / 10
        ("second-of-first-ratio", "50"),  # 1000 / 20
    ],
)
def test_each_slip_at_a_trituration_gives_its_number(mistake: str, number: str) -> None:
    """1:R is 1 part in R of the whole, and after two steps it is both that count."""
    values = {
        "drug": quantity(2, "mg"),
        "ratio": quantity("1/100"),
        "first_ratio": quantity("1/20"),
        "second_ratio": quantity("1/10"),
        "second_mixture": quantity(1000, "mg"),
    }
    assert exactly(MISTAKES[mistake].evaluate(values), number, "milligram")


def test_1_in_10_of_a_mixture_is_not_an_eleventh() -> None:
    """1000 mg of a 1:10 hold 100 mg of the first trituration; read as 1 + 10 it would be 90.9."""
    values = {"second_mixture": quantity(1000, "mg"), "second_ratio": quantity("1/10")}
    assert exactly(MISTAKES["second-ratio-plus-one"].evaluate(values), "1000/11", "milligram")


@given(masses, wholes)
def test_diluent_and_ratio_lead_there_and_back(drug: object, whole: Fraction) -> None:
    """The diluent of a ratio, mixed with the drug, gives the ratio again."""
    ratio = quantity(1 / whole)
    assert ratio_of_drug_and_diluent(drug=drug, diluent=diluent_for_ratio(drug=drug, ratio=ratio)) == ratio


@given(wholes, wholes, masses)
def test_two_steps_lead_there_and_back(first: Fraction, second: Fraction, mixture: object) -> None:
    """The second step of a known total is found again, and the drug follows both."""
    one, two = quantity(1 / first), quantity(1 / second)
    both = ratio_of_two_steps(first_ratio=one, second_ratio=two)
    assert second_ratio_needed(first_ratio=one, wanted_ratio=both) == two
    taken = trituration_for_second(second_mixture=mixture, second_ratio=two)
    assert drug_in_ratio(ratio=one, preparation=taken) == drug_in_ratio(ratio=both, preparation=mixture)


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        ("diluent_for_ratio", {"drug": "5 mg", "ratio": "1:1"}, "ratio: must be less than 1:1; it was 1:1"),
        ("diluent_for_ratio", {"drug": "5 mg", "ratio": "1:20 w/v"}, "cannot be compared with 1:1"),
        ("diluent_for_ratio", {"drug": "5 mL", "ratio": "1:20"}, "drug: must be a mass"),
        ("diluent_for_ratio", {"drug": "5 mg", "ratio": "20"}, "ratio: must be a ratio strength"),
        (
            "second_ratio_needed",
            {"first_ratio": "1:100", "wanted_ratio": "1:10"},
            "wanted_ratio: must be at most first ratio (1:100); it was 1:10. Triturating again only makes it weaker",
        ),
        ("trituration_for_drug", {"drug": "5 mL", "ratio": "1:20"}, "drug: must be a mass"),
        ("trituration_for_drug", {"drug": "5 mg", "ratio": "20"}, "ratio: must be a ratio strength"),
        ("ratio_of_two_steps", {"first_ratio": "1:0", "second_ratio": "1:10"}, "first_ratio"),
    ],
)
def test_what_triturating_cannot_do_is_refused(name: str, values: dict[str, str], said: str) -> None:
    """A trituration holds diluent, counts by weight, and only gets weaker."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert str(caught.value).startswith(name)
    assert said in str(caught.value)
