"""Ratio strengths: 1 part in R parts of the whole."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import PharmcalcError, RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.strengths import (
    drug_in_ratio,
    percentage_from_ratio,
    percentage_ww,
    preparation_for_drug,
    ratio_of_drug_and_diluent,
    ratio_strength,
)
from pharmcalc.units import quantity
from tests.published import exactly

totals = st.fractions(min_value="11/10", max_value=100000, max_denominator=100)
masses = st.fractions(min_value="1/100", max_value=10000, max_denominator=100).map(
    lambda number: quantity(number, "mg")
)


# Published values ----------------------------------------------------------------------------------------------------


def test_five_per_cent_is_1_in_20() -> None:
    """5 in 100 is 1 in 20, and 1 in 500 is 0.2 %."""
    # University of Kent, student learning leaflet Converting strengths (seen)
    assert ratio_strength.kind.show(ratio_strength(strength="5 %")) == "1:20"
    assert exactly(percentage_from_ratio(ratio="1 in 500"), "0.2", "percent")


def test_a_quarter_gram_in_five_grams_is_1_in_20() -> None:
    """0.25 g of sulfur in 5 g of product."""
    # Rees, Smith & Watson, Introduction to Pharmaceutical Calculations, 4th ed. (2015), p. 50 (seen)
    strength = percentage_ww(drug="0.25 g", preparation="5 g")
    assert ratio_strength.kind.show(ratio_strength(strength=strength)) == "1:20"


def test_50_mg_of_drug_need_1000_mg_of_a_1_in_20_trituration() -> None:
    """1:20 counts the drug: 1 part of drug and 19 parts of diluent."""
    # common classroom practice, no source (numbers seen)
    assert exactly(preparation_for_drug(drug="50 mg", strength="1:20"), "1000", "milligram")
    assert exactly(drug_in_ratio(ratio="1:20", preparation="1000 mg"), "50", "milligram")


def test_150_mg_in_4_2_g_is_1_in_28_and_not_1_in_27() -> None:
    """150 mg of albuterol sulfate and 4.05 g of lactose: 27 is the classic wrong ratio, drug to diluent."""
    # common classroom practice, no source (numbers seen)
    values = {"drug": quantity(150, "mg"), "diluent": quantity("4.05", "gram")}
    show = ratio_of_drug_and_diluent.kind.show
    assert show(ratio_of_drug_and_diluent(**values)) == "1:28"
    assert show(MISTAKES["ratio-drug-to-diluent"].evaluate(values)) == "1:27"


@pytest.mark.parametrize(
    ("mistake", "values", "number", "unit"),
    [
        # 1:20 read as 1 + 20, 1000 mg taken, and 50 mg wanted; derived
        ("ratio-read-as-parts-added", {"ratio": Fraction(1, 20), "preparation": 1000}, "1000/21", "milligram"),
        ("ratio-read-as-less-one", {"ratio": Fraction(1, 20), "preparation": 1000}, "1000/19", "milligram"),
        ("preparation-ratio-plus-one", {"drug": 50, "strength": Fraction(1, 20)}, "1050", "milligram"),
        ("ratio-of-the-percentage-number", {"strength": Fraction(1, 20)}, "1/5", ""),
        ("ratio-hundred-left-out", {"strength": Fraction(1, 20)}, "1/19", ""),
    ],
)
def test_each_known_slip_with_a_ratio_gives_its_number(
    mistake: str, values: dict[str, Fraction | int], number: str, unit: str
) -> None:
    """1:20 means 20 parts in all; counted as 21 or 19, the numbers come out as these."""
    amounts = {
        name: quantity(value, "" if name in ("ratio", "strength") else "milligram") for name, value in values.items()
    }
    assert exactly(MISTAKES[mistake].evaluate(amounts), number, unit)


# Laws ----------------------------------------------------------------------------------------------------------------


@given(totals)
def test_ratio_and_percentage_lead_there_and_back(total: Fraction) -> None:
    """A percentage made a ratio strength and back is the same percentage."""
    strength = quantity(1 / total)
    assert percentage_from_ratio(ratio=ratio_strength(strength=strength)) == strength


@given(totals, masses)
def test_drug_and_trituration_lead_there_and_back(total: Fraction, drug: object) -> None:
    """The trituration that holds a mass of drug holds that mass of drug."""
    ratio = quantity(1 / total)
    assert drug_in_ratio(ratio=ratio, preparation=preparation_for_drug(drug=drug, strength=ratio)) == drug


@given(masses, masses, st.integers(2, 100))
def test_a_larger_batch_has_the_same_ratio(drug: object, diluent: object, times: int) -> None:
    """Ten times the drug with ten times the diluent is the same strength."""
    once = ratio_of_drug_and_diluent(drug=drug, diluent=diluent)
    assert ratio_of_drug_and_diluent(drug=drug * times, diluent=diluent * times) == once


@given(masses, masses)
def test_a_ratio_strength_is_the_percentage_of_the_whole_mixture(drug: object, diluent: object) -> None:
    """Taken as percentage or as ratio, the drug is the same part of drug and diluent together."""
    mixture = drug + diluent
    assert ratio_of_drug_and_diluent(drug=drug, diluent=diluent) == percentage_ww(drug=drug, preparation=mixture)


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("ratio", ["1:0", "0:20", "20", "-1:20", "1:20 mg", "50 mg", "nan"])
def test_what_is_no_ratio_strength_is_refused(ratio: str) -> None:
    """1:0 has no meaning, 20 does not say 1 in what, and a mass is no strength."""
    with pytest.raises(PharmcalcError, match="drug_in_ratio: ratio"):
        drug_in_ratio(ratio=ratio, preparation="1 g")


def test_a_ratio_by_volume_is_not_taken_for_one_by_weight() -> None:
    """1 g in 20 mL is not 1 g in 20 g: the drug would come out as a mass times a density."""
    with pytest.raises(RefusedError, match="drug_in_ratio"):
        drug_in_ratio(ratio="1:20 w/v", preparation="1000 mg")
