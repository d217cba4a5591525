"""Percentage strengths: w/w, w/v and v/v."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.strengths import (
    drug_for_percentage_wv,
    drug_for_percentage_ww,
    mass_of_volume,
    percentage_vv,
    percentage_wv,
    percentage_ww,
)
from pharmcalc.units import quantity
from tests.published import as_printed, exactly

numbers = st.fractions(min_value="1/100", max_value=1000, max_denominator=100)
parts = st.fractions(min_value="1/1000", max_value=1, max_denominator=1000)


# Published values ----------------------------------------------------------------------------------------------------


def test_200_mg_in_90_ml_are_0_22_per_cent() -> None:
    """Sodium benzoate, 200 mg in 90 mL: 0.22 % w/v, to the two decimals asked for."""
    # published pharmacy-calculations review set (secondary copy), derived
    assert as_printed(percentage_wv(drug="200 mg", preparation="90 mL"), "0.22", "percent_in_volume")


@pytest.mark.parametrize(
    ("drug", "preparation", "right", "answer_sheet"),
    [
        # a student answer sheet, no source; its printed answers are wrong by 100, 100 and 200 times; values derived
        ("2.7 mg", "15 g", "0.018", "1.8"),
        ("27 mg", "15 g", "0.18", "18"),
        ("54 mg", "30 g", "0.18", "36"),
    ],
)
def test_a_printed_answer_can_be_wrong(drug: str, preparation: str, right: str, answer_sheet: str) -> None:
    """27 mg in 15 g are 0.18 %, not the 18 % that an answer sheet printed."""
    strength = percentage_ww(drug=drug, preparation=preparation)
    assert exactly(strength, right, "percent")
    assert not as_printed(strength, answer_sheet, "percent")


@pytest.mark.parametrize(
    ("drug", "preparation", "unconverted"),
    [("2.7", "15", "18"), ("27", "15", "180"), ("54", "30", "180")],  # what mg taken as g would give; derived
)
def test_milligrams_taken_as_grams_are_a_thousand_times_too_strong(
    drug: str, preparation: str, unconverted: str
) -> None:
    """27 mg put in as 27 g in 15 g would be 180 %, which no ointment can be."""
    values = {"drug": quantity(drug, "mg"), "preparation": quantity(preparation, "gram")}
    assert exactly(MISTAKES["percentage-mg-as-g"].evaluate(values), unconverted, "percent")


def test_a_liquid_is_weighed_before_it_is_counted_by_weight() -> None:
    """18 mL of benzoin tincture of sp gr 0.88 are 15.84 g: 16.5 % of the cream, not 18.4 %."""
    # common classroom practice, no source (numbers seen)
    tincture = mass_of_volume(volume="18 mL", specific_gravity="0.88")
    cream = tincture + quantity(10, "gram") + quantity(70, "gram")
    assert exactly(tincture, "15.84", "gram")
    assert as_printed(percentage_ww(drug=tincture, preparation=cream), "16.5", "percent")
    assert as_printed(percentage_ww(drug="18 g", preparation="98 g"), "18.4", "percent")


# Laws ----------------------------------------------------------------------------------------------------------------


@given(parts, numbers)
def test_strength_by_weight_and_drug_lead_there_and_back(part: Fraction, grams: Fraction) -> None:
    """The drug of a strength, made into a strength again, is the same strength."""
    strength, preparation = quantity(part), quantity(grams, "gram")
    drug = drug_for_percentage_ww(strength=strength, preparation=preparation)
    assert percentage_ww(drug=drug, preparation=preparation) == strength


@given(numbers, numbers)
def test_strength_in_volume_and_drug_lead_there_and_back(percent: Fraction, millilitres: Fraction) -> None:
    """The same for w/v, where the preparation is a volume."""
    strength, preparation = quantity(percent, "percent_in_volume"), quantity(millilitres, "mL")
    drug = drug_for_percentage_wv(strength=strength, preparation=preparation)
    assert percentage_wv(drug=drug, preparation=preparation) == strength


@given(parts, numbers, numbers)
def test_making_more_does_not_make_it_stronger(part: Fraction, grams: Fraction, times: Fraction) -> None:
    """Twice the drug in twice the ointment is the same percentage."""
    whole = quantity(grams, "gram")
    once = percentage_ww(drug=whole * part, preparation=whole)
    assert percentage_ww(drug=whole * part * times, preparation=whole * times) == once
    litres = quantity(grams, "litre")
    assert percentage_vv(liquid=litres * part * times, preparation=litres * times) == quantity(part)


@given(numbers, numbers)
def test_a_percentage_in_volume_counts_grams_in_100_ml(grams: Fraction, millilitres: Fraction) -> None:
    """By hand: grams, divided by millilitres, times a hundred."""
    strength = percentage_wv(drug=quantity(grams, "gram"), preparation=quantity(millilitres, "mL"))
    assert strength.to("percent_in_volume").magnitude == grams / millilitres * 100


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"drug": "27", "preparation": "15 g"}, "drug: must be a mass"),
        ({"drug": "27 mL", "preparation": "15 g"}, "drug: must be a mass"),
        ({"drug": "27 mg", "preparation": "15 mL"}, "preparation: must be a mass"),
        ({"drug": "0 mg", "preparation": "15 g"}, "more than zero"),
        ({"drug": "27 mg", "preparation": "0 g"}, "more than zero"),
        ({"drug": "16 g", "preparation": "15 g"}, "cannot be above 100 %"),
    ],
)
def test_what_cannot_be_a_strength_is_refused(values: dict[str, str], said: str) -> None:
    """A strength by weight takes two masses, and no more drug than preparation."""
    with pytest.raises(RefusedError, match=said):
        percentage_ww(**values)


@pytest.mark.parametrize(
    ("strength", "said"),
    [("5 % w/v", "a w/v strength, but w/w is asked for"), ("5", "must be a percentage"), ("120 %", "above 100 %")],
)
def test_a_strength_of_another_kind_makes_no_drug(strength: str, said: str) -> None:
    """5 % w/v of 30 g cannot be worked out without a density."""
    with pytest.raises(RefusedError, match=said):
        drug_for_percentage_ww(strength=strength, preparation="30 g")
