"""What a display says: its step, a last digit that wanders, and readings written as displayed."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.balances import percentage_of_error
from pharmcalc.display import as_displayed, reading_text, spread_of_load, spread_of_readings, true_mass_band
from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.reading import read_text
from pharmcalc.units import quantity
from tests.published import exactly

masses = st.fractions(min_value="1/10", max_value=10000, max_denominator=1000).map(
    lambda number: quantity(number, "mg")
)
steps = st.sampled_from(["1 mg", "0.1 mg", "5 mg", "0.01 g", "0.001 g", "2 mg"])


def test_nine_milligrams_of_a_small_load_are_too_much() -> None:
    """Readings from 115 to 124 mg of one load wander by 9 mg, 7.5 % of 120 mg and 0.75 % of 1.2 g."""
    # common classroom practice; derived: 9 / 120
    spread = spread_of_readings(highest="124 mg", lowest="115 mg")
    assert exactly(spread, "9", "milligram")
    assert exactly(spread_of_load(spread=spread, load="120 mg"), "7.5", "percent")
    assert exactly(spread_of_load(spread=spread, load="1.2 g"), "0.75", "percent")
    assert exactly(spread_of_readings(highest="124 mg", lowest="124 mg"), "0", "milligram")
    assert exactly(spread_of_load(spread="0 mg", load="120 mg"), "0", "percent")


@pytest.mark.parametrize(
    ("mistake", "number"),
    [
        # 9 mg of 120 mg with a step of 1 mg; derived from the slips
        ("spread-upside-down", "4000/3"),
        ("spread-not-times-100", "3/40"),
        ("spread-is-display-step", "5/6"),
    ],
)
def test_the_step_of_the_display_is_not_its_spread(mistake: str, number: str) -> None:
    """A display of 1 mg that wanders by 9 mg is not good to 1 mg."""
    values = {"spread": quantity(9, "mg"), "load": quantity(120, "mg"), "display_step": quantity(1, "mg")}
    assert exactly(MISTAKES[mistake].evaluate(values), number, "percent")


@pytest.mark.parametrize(
    ("reading", "step", "text"),
    [
        # derived from the definition: every place of the step is written
        ("120 mg", "1 mg", "120 mg"),
        ("120 mg", "0.001 g", "0.120 g"),
        ("0.5 g", "0.01 g", "0.50 g"),
        ("1.2 g", "0.0001 g", "1.2000 g"),
        ("0 mg", "0.1 mg", "0.0 mg"),
        ("7.5 mg", "0.5 mg", "7.5 mg"),
    ],
)
def test_a_reading_is_written_as_displayed(reading: str, step: str, text: str) -> None:
    """0.120 g and not 0.12 g: the closing zero was seen on the display."""
    assert reading_text(reading, display_step=step) == text


def test_half_the_spread_is_not_the_spread() -> None:
    """From 115 mg to 124 mg are 9 mg, not the 4.5 mg from the middle."""
    values = {"highest": quantity(124, "mg"), "lowest": quantity(115, "mg")}
    assert exactly(MISTAKES["spread-halved"].evaluate(values), "4.5", "milligram")


@given(masses, steps)
def test_what_is_displayed_is_within_half_a_step(mass: object, step: str) -> None:
    """The true mass lies in the band of its reading, and the written reading reads back as itself."""
    shown = as_displayed(mass, display_step=step)
    low, high = true_mass_band(shown, display_step=step)
    assert low <= mass <= high
    assert exactly(high - low, str((read_text(step)).to("milligram").magnitude), "milligram")
    assert read_text(reading_text(shown, display_step=step)) == shown


@given(masses, st.fractions(min_value="1/100", max_value=50, max_denominator=100), st.integers(2, 50))
def test_the_same_spread_is_a_small_part_of_a_large_load(load: object, spread: Fraction, times: int) -> None:
    """Ten times the load, a tenth of the percentage; it is the rule of the sensitivity requirement again."""
    wander = quantity(spread, "mg")
    once = spread_of_load(spread=wander, load=load)
    assert spread_of_load(spread=wander, load=load * times) * times == once  # type: ignore[operator]
    assert once == percentage_of_error(sensitivity=wander, load=load)


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        (
            "spread_of_readings",
            {"highest": "115 mg", "lowest": "124 mg"},
            "lowest: must be at most highest (115 mg); it was 124 mg. The lowest reading is the smaller one",
        ),
        ("spread_of_load", {"spread": "9", "load": "120 mg"}, "spread: must be a mass"),
        ("spread_of_load", {"spread": "-9 mg", "load": "120 mg"}, "spread: must not be less than zero"),
        ("spread_of_load", {"spread": "9 mg", "load": "0 mg"}, "load: must be more than zero"),
    ],
)
def test_readings_the_wrong_way_round_are_refused(name: str, values: dict[str, str], said: str) -> None:
    """The highest reading is the larger one; nothing is a percentage of nothing."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert said in str(caught.value)


def test_a_reading_between_two_steps_was_never_displayed() -> None:
    """A display of 1 mg cannot show 120.5 mg, and no display has a step of a third."""
    with pytest.raises(RefusedError, match=r"must be a whole number of steps of 1 mg; it was 120\.5 mg"):
        reading_text("120.5 mg", display_step="1 mg")
    with pytest.raises(RefusedError, match="reading: must be a whole number of steps"):
        true_mass_band("7 mg", display_step="5 mg")
    with pytest.raises(RefusedError, match="step: must be a decimal number"):
        reading_text("1 mg", display_step=quantity(Fraction(1, 3), "mg"))
    with pytest.raises(RefusedError, match="display: step: must be a mass"):
        as_displayed("1 mg", display_step="1 mL")
