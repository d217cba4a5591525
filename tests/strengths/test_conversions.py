"""The same strength in other words: mg/mL, mg%, ppm, and w/w to w/v through the specific gravity."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.strengths import (
    mass_of_volume,
    milligram_percent,
    milligrams_per_millilitre,
    parts_per_million,
    percentage_from_milligram_percent,
    percentage_from_milligrams_per_millilitre,
    percentage_from_parts_per_million,
    percentage_wv_from_ww,
    percentage_ww_from_wv,
)
from pharmcalc.units import quantity
from tests.published import as_printed, exactly

numbers = st.fractions(min_value="1/1000", max_value=100, max_denominator=1000)
gravities = st.fractions(min_value="1/2", max_value=3, max_denominator=100)


# Published values ----------------------------------------------------------------------------------------------------


def test_one_milligram_in_five_millilitres_is_0_02_per_cent() -> None:
    """And 40 ppm w/v are 40 micrograms in 1 mL."""
    # University of Kent, student learning leaflet Converting strengths (seen)
    strength = percentage_from_milligrams_per_millilitre(concentration="1 mg/5 mL")
    assert exactly(strength, "0.02", "percent_in_volume")
    forty = percentage_from_parts_per_million(concentration="40 ppm w/v")
    assert exactly(forty, "40", "microgram / millilitre")


def test_0_7_ppm_of_fluoride_are_0_7_mg_in_a_litre() -> None:
    """Parts per million w/v are milligrams in a litre."""
    # Rees, Smith & Watson, 4th ed. (2015), p. 50 (start of the worked example seen, final line derived)
    assert exactly(percentage_from_parts_per_million(concentration="0.7 ppm w/v"), "0.7", "milligram / litre")


def test_125_mg_per_cent_is_1_25_mg_per_ml() -> None:
    """mg% counts milligrams in 100 mL; it is no percentage of milligrams."""
    # the definition, 1 mg% = 1 mg/dL; numbers chosen here
    strength = percentage_from_milligram_percent(concentration="125 mg%")
    assert exactly(milligrams_per_millilitre(strength=strength), "1.25", "milligram / millilitre")
    assert exactly(strength, "0.125", "percent_in_volume")


@pytest.mark.parametrize(
    ("volume", "gravity", "printed"),
    [
        ("240 mL", "0.81", "194.4"),  # U.S. Army Medical Department, MD0802 (public domain, seen): liquid petrolatum
        ("10 mL", "0.85", "8.5"),  # the same source: 10 mL weigh 8.5 g
        ("1000 mL", "0.810", "810"),  # the same source: 1000 mL weigh 810 g
    ],
)
def test_a_volume_weighs_its_specific_gravity_times_as_much_as_water(volume: str, gravity: str, printed: str) -> None:
    """1 mL of water counts as 1 g, so 240 mL of sp gr 0.81 are 194.4 g."""
    assert as_printed(mass_of_volume(volume=volume, specific_gravity=gravity), printed, "gram")


@pytest.mark.parametrize(
    ("mistake", "percent", "times"),
    [
        # domain facts: 1 % is 10 mg/mL, 1000 mg% and 10 000 ppm; each slip is off by this factor; derived
        ("mg-per-ml-is-percentage", "2", "1/10"),
        ("mg-per-ml-hundredfold", "2", "100"),
        ("mg-percent-as-mg-per-ml", "2", "1/100"),
        ("ppm-tenfold", "2", "1/10"),
        ("ppm-per-hundred-forgotten", "2", "100"),
    ],
)
def test_each_known_slip_is_off_by_a_power_of_ten(mistake: str, percent: str, times: str) -> None:
    """mg/mL, mg% and ppm slips are ten, a hundred or a thousand times off: the dangerous kind."""
    values = {"strength": quantity(percent, "percent_in_volume")}
    wrong, right = MISTAKES[mistake].evaluate(values), MISTAKES[mistake].of.evaluate(values)
    assert (wrong / right).to_base_units().magnitude == Fraction(times)


# Laws ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("there", "back", "argument"),
    [
        ("milligrams_per_millilitre", "percentage_from_milligrams_per_millilitre", "concentration"),
        ("milligram_percent", "percentage_from_milligram_percent", "concentration"),
        ("parts_per_million", "percentage_from_parts_per_million", "concentration"),
    ],
)
@given(number=numbers)
def test_every_conversion_leads_there_and_back(there: str, back: str, argument: str, number: Fraction) -> None:
    """A strength said in other words and said back is the same strength, exactly."""
    strength = quantity(number, "percent_in_volume")
    assert FORMULAS[back](**{argument: FORMULAS[there](strength=strength)}) == strength


@given(numbers)
def test_all_the_words_mean_the_same_strength(number: Fraction) -> None:
    """mg/mL, mg% and ppm of one percentage are equal as masses in volumes."""
    strength = quantity(number, "percent_in_volume")
    assert strength == milligrams_per_millilitre(strength=strength) == milligram_percent(strength=strength)
    assert strength == parts_per_million(strength=strength)


@given(st.fractions(min_value="1/1000", max_value=33, max_denominator=1000), gravities)
def test_by_weight_and_by_volume_lead_there_and_back(number: Fraction, gravity: Fraction) -> None:
    """Only the specific gravity leads from w/w to w/v, and back again."""
    strength, specific_gravity = quantity(number, "percent"), quantity(gravity)
    by_volume = percentage_wv_from_ww(strength=strength, specific_gravity=specific_gravity)
    assert percentage_ww_from_wv(strength=by_volume, specific_gravity=specific_gravity) == strength
    assert by_volume.to("percent_in_volume").magnitude == number * gravity


@pytest.mark.parametrize(
    ("mistake", "strength", "number", "unit"),
    [
        # 12 of sp gr 1.2; derived from the definitions of the slips
        ("wv-specific-gravity-left-out", "percent", "12", "percent_in_volume"),
        ("wv-divided-by-specific-gravity", "percent", "10", "percent_in_volume"),
        ("ww-specific-gravity-left-out", "percent_in_volume", "12", "percent"),
        ("ww-times-specific-gravity", "percent_in_volume", "72/5", "percent"),
    ],
)
def test_the_specific_gravity_left_out_or_inverted(mistake: str, strength: str, number: str, unit: str) -> None:
    """12 % w/w of sp gr 1.2 are 14.4 % w/v; 12 % w/v of it are 10 % w/w; every slip is another number."""
    values = {"strength": quantity(12, strength), "specific_gravity": quantity("1.2")}
    assert exactly(MISTAKES[mistake].evaluate(values), number, unit)


def test_in_water_by_weight_and_by_volume_have_the_same_number() -> None:
    """With a specific gravity of 1, 5 % w/w is 5 % w/v; with any other it is not."""
    assert exactly(percentage_wv_from_ww(strength="5 %", specific_gravity="1"), "5", "percent_in_volume")
    assert exactly(percentage_wv_from_ww(strength="5 %", specific_gravity="1.2"), "6", "percent_in_volume")


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "values"),
    [
        ("milligrams_per_millilitre", {"strength": "2"}),
        ("milligrams_per_millilitre", {"strength": "2 % w/w"}),
        ("milligram_percent", {"strength": "0 % w/v"}),
        ("percentage_from_milligram_percent", {"concentration": "125 mg"}),
        ("percentage_from_parts_per_million", {"concentration": "40"}),
        ("percentage_from_parts_per_million", {"concentration": "-40 ppm w/v"}),
        ("percentage_wv_from_ww", {"strength": "5 %", "specific_gravity": "1.2 g/mL"}),
        ("percentage_wv_from_ww", {"strength": "5 % w/v", "specific_gravity": "1.2"}),
        ("mass_of_volume", {"volume": "18 g", "specific_gravity": "0.88"}),
        ("mass_of_volume", {"volume": "18 mL", "specific_gravity": "0"}),
    ],
)
def test_what_cannot_be_converted_is_refused(name: str, values: dict[str, str]) -> None:
    """A bare number, another kind of percentage, a mass for a strength, a specific gravity with a unit: all refused."""
    with pytest.raises(RefusedError, match=name):
        FORMULAS[name](**values)
