"""The pictures are drawn to scale, and say in words what they show."""

import xml.etree.ElementTree as ET
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.aliquots import AliquotPlan, Limits
from pharmcalc.units import Quantity, quantity
from pharmcalc.widgets.drawing import LEFT, RIGHT, WIDTH, Drawing, nice_step
from pharmcalc.widgets.explorers.aliquot import NARROWEST_PART, aliquot_svg, aliquot_words
from pharmcalc.widgets.explorers.band import error_band_svg, error_band_words

SVG = "{http://www.w3.org/2000/svg}"
LIMITS = Limits(quantity(120, "mg"), quantity(1, "mg"), quantity(120, "g"))


def mg(number: int | str | Fraction) -> Quantity:
    """Return a mass in milligrams."""
    return quantity(number, "mg")


def band(load: int, sensitivity: int = 6, percent: int = 5) -> dict[str, Quantity]:
    """Return the arguments of a picture of an error band."""
    return {"sensitivity": mg(sensitivity), "allowed_error": quantity(percent, "percent"), "load": mg(load)}


def plan(multiple: int, aliquot: int, wanted: int = 6) -> AliquotPlan:
    """Return a plan from its two choices."""
    return AliquotPlan.of(drug_wanted=mg(wanted), multiple_factor=quantity(multiple), aliquot=mg(aliquot))


def boxes(svg: str, kind: str) -> list[tuple[float, float]]:
    """Return width and height of every rectangle of a kind."""
    found = ET.fromstring(svg).iter(f"{SVG}rect")
    return [(float(box.get("width", "")), float(box.get("height", ""))) for box in found if box.get("class") == kind]


def written(svg: str) -> str:
    """Return the words in a picture."""
    return "\n".join("".join(element.itertext()) for element in ET.fromstring(svg).iter(f"{SVG}text"))


@pytest.mark.parametrize("load", [7, 8, 50, 120, 240])
def test_the_band_is_as_wide_at_every_load(load: int) -> None:
    """The balance is off by the same mass, whatever lies on it: 12 mg from end to end on a scale of 246 mg."""
    width = boxes(error_band_svg(**band(load)), "band")[0][0]
    assert width == pytest.approx(12 / 246 * (RIGHT - LEFT), abs=0.1)


def test_nothing_is_less_than_nothing() -> None:
    """Below the sensitivity requirement the band ends at an empty pan."""
    assert "pan 0 mg to 10 mg" in written(error_band_svg(**band(4)))
    assert "from nothing at all to 10 mg" in error_band_words(**band(4))


@given(st.integers(1, 2000), st.integers(1, 60), st.integers(1, 50))
def test_the_bar_shows_the_error_as_a_part_of_the_load(load: int, sensitivity: int, percent: int) -> None:
    """Its filled part is sensitivity requirement / load, and never more than the whole."""
    filled = boxes(error_band_svg(**band(load, sensitivity, percent)), "band")[1][0]
    assert filled == pytest.approx(min(sensitivity / load, 1) * (RIGHT - LEFT), abs=0.1)


@given(st.integers(1, 2000), st.integers(1, 60), st.integers(1, 50))
def test_words_allow_what_the_rule_allows(load: int, sensitivity: int, percent: int) -> None:
    """An amount may be weighed if and only if 100 x sensitivity requirement is at most percent x load."""
    words = error_band_words(**band(load, sensitivity, percent))
    assert ("may be weighed here" in words) is (100 * sensitivity <= percent * load)
    assert ("do not weigh" in words) is (100 * sensitivity > percent * load)


def test_at_the_least_weighable_quantity_the_error_is_just_the_allowed_one() -> None:
    """120 mg with 6 mg and 5 %: the filled part ends at the mark."""
    svg = error_band_svg(**band(120))
    marks = [line for line in ET.fromstring(svg).iter(f"{SVG}line") if line.get("class") == "limit"]
    assert boxes(svg, "band")[1][0] == pytest.approx(float(marks[1].get("x1", "")) - LEFT)
    assert "May be weighed".lower() in error_band_words(**band(120))


@pytest.mark.parametrize("svg", [error_band_svg(**band(8)), aliquot_svg(plan(20, 120), LIMITS)])
def test_a_picture_has_a_name_and_a_description(svg: str) -> None:
    """Those who do not see it hear the sentence that stands below it."""
    root = ET.fromstring(svg)
    assert root.get("role") == "img"
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None
    assert title.text
    assert description is not None
    assert description.text in (error_band_words(**band(8)), aliquot_words(plan(20, 120), LIMITS))


@given(st.integers(1, 300), st.integers(7, 500))
def test_the_mixture_shows_as_many_parts_as_the_multiple_factor(multiple: int, aliquot: int) -> None:
    """Lines divide it into that many parts, until they would run into each other."""
    svg = aliquot_svg(plan(multiple, aliquot), LIMITS)
    divides = [line for line in ET.fromstring(svg).iter(f"{SVG}line") if line.get("class") == "divide"]
    part = boxes(svg, "diluent")[0][0] / multiple
    assert len(divides) == (multiple - 1 if part >= NARROWEST_PART else 0)


@given(st.integers(1, 60), st.integers(121, 500), st.integers(10, 60))
def test_the_drug_is_drawn_as_the_part_of_the_mixture_that_it_is(multiple: int, aliquot: int, wanted: int) -> None:
    """Area of the drug to area of the mixture is drug wanted to aliquot."""
    svg = aliquot_svg(plan(multiple, aliquot, wanted), LIMITS)
    (width, height), (mixed_width, mixed_height) = boxes(svg, "drug")[0], boxes(svg, "diluent")[0]
    assert width == mixed_width
    assert height / mixed_height == pytest.approx(max(wanted / aliquot, 2 / mixed_height), abs=0.01)


def test_a_little_drug_can_still_be_seen() -> None:
    """A quarter of a milligram in 240 would be a hair."""
    tiny = AliquotPlan.of(drug_wanted=mg("0.25"), multiple_factor=quantity(480), aliquot=mg(240))
    assert boxes(aliquot_svg(tiny, LIMITS), "drug")[0][1] >= 2


def test_the_words_of_a_plan_count_its_broken_rules() -> None:
    """With 6 mg wanted and 120 mg the least: 10 parts of 60 mg break two rules, 20 of 126 mg none."""
    assert "2 rules are broken" in aliquot_words(plan(10, 60), LIMITS)
    assert "One rule is broken" in aliquot_words(plan(10, 150), LIMITS)
    assert "Every rule holds" in aliquot_words(plan(20, 126), LIMITS)
    assert "Weigh 120 mg of drug and 2400 mg of diluent" in aliquot_words(plan(20, 126), LIMITS)


@given(st.integers(1, 3000), st.integers(1, 80), st.integers(1, 50))
def test_words_of_a_band_stay_inside_the_picture(load: int, sensitivity: int, percent: int) -> None:
    """No label begins left of the picture or right of it."""
    texts = ET.fromstring(error_band_svg(**band(load, sensitivity, percent))).iter(f"{SVG}text")
    for text in texts:
        x, length = float(text.get("x", "")), 7 * len("".join(text.itertext()))
        start = {"start": x, "middle": x - length / 2, "end": x - length}[text.get("text-anchor", "start")]
        assert start >= 0
        assert start + length <= WIDTH


def test_words_in_a_picture_are_escaped() -> None:
    """A drawing takes any text as text."""
    drawing = Drawing(10, 10)
    drawing.words("<a&b>", 0, 0)
    assert "&lt;a&amp;b&gt;" in drawing.svg("<t>", "<d>")
    assert ET.fromstring(drawing.svg("<t>", "<d>")) is not None


@given(st.fractions(min_value=Fraction(1, 10**6), max_value=10**9), st.integers(2, 400))
def test_the_ticks_of_a_scale_are_round_and_not_too_many(range_: Fraction, ticks: int) -> None:
    """A step is 1, 2 or 5 times a power of ten; ten times finer steps would be too many."""
    step = nice_step(range_, ticks)
    assert step * ticks >= range_
    assert step / 10 * ticks < range_
    while step.denominator > 1:
        step *= 10
    assert str(step).rstrip("0") in ("1", "2", "5")
