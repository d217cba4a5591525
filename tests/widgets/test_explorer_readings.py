"""The explorer of readings: what leaving a step of the routine out does, drawn and said."""

import xml.etree.ElementTree as ET

import pytest

from pharmcalc.bench.trial import WAYS, repeated_readings
from pharmcalc.errors import RefusedError
from pharmcalc.units import quantity
from pharmcalc.widgets import readings, readings_figure
from tests.questions import HOUSE

SVG = "{http://www.w3.org/2000/svg}"


def test_the_list_draws_what_the_plain_call_draws() -> None:
    """Call it plainly, then choose: one picture, one function."""
    explorer = readings("200 mg")
    for place, way in enumerate(WAYS):
        explorer.controls[0].value = place
        still = readings_figure(load="200 mg", way=way.words).html
        assert (explorer.picture.value + explorer.said.value).replace("\u00a0", " ") == still


def test_it_starts_with_a_reading_that_looks_like_a_number_and_is_none() -> None:
    """Read at once, a quarter of the load is not there yet."""
    assert "24 readings are off" in readings().said.value


def test_the_routine_keeps_every_reading_within_the_allowed_error_and_leaving_it_does_not() -> None:
    """A reading outside is a cross, one inside a dot: never told by colour alone."""
    by_the_book = readings_figure(way="by the routine").html
    assert "No reading is off" in by_the_book
    assert by_the_book.count("<circle") == 24
    for way in ("read at once", "switched on just now", "draught shield open"):
        html = readings_figure(way=way).html
        crosses = html.count('<line class="mark"') // 2
        assert html.count("<circle") + crosses == 24
        assert crosses > 0


def test_what_is_said_are_the_readings_themselves() -> None:
    """The smallest and the largest of them."""
    shown = repeated_readings(HOUSE.balances[1], quantity(200, "mg"), WAYS[0])
    text = readings_figure(way=WAYS[0].words, balance="Balance 2").text
    assert f"between {min(shown) // 1000} mg and {max(shown) // 1000} mg" in text


def test_the_picture_is_drawn_to_scale() -> None:
    """A reading that is 50 mg too small stands five times as far from the middle as the limit of 10 mg."""
    svg = readings_figure(way="read at once").html.removeprefix("<figure>").partition("</figure>")[0]
    root = ET.fromstring(svg)
    middle = next(
        float(line.get("y1", ""))
        for line in root.findall(f"{SVG}line")
        if line.get("class") == "axis"
        and line.get("y1") == line.get("y2")
        and float(line.get("y1", "")) < 270
        and float(line.get("x2", "")) - float(line.get("x1", "")) > 100
    )
    limits = [float(line.get("y1", "")) for line in root.findall(f"{SVG}line") if line.get("class") == "limit"]
    marks = [line for line in root.findall(f"{SVG}line") if line.get("class") == "mark"]
    first = (float(marks[0].get("y1", "")) + float(marks[0].get("y2", ""))) / 2
    reading = repeated_readings(HOUSE.balances[0], quantity(200, "mg"), WAYS[1])[0]
    off = (200_000 - reading) / 10_000
    assert first - middle == pytest.approx(off * (max(limits) - middle), rel=0.02)


def test_what_cannot_be_is_refused_with_what_can() -> None:
    """Another way, another balance, too large a load."""
    with pytest.raises(RefusedError, match="by the routine"):
        readings_figure(way="blindfold")
    with pytest.raises(RefusedError, match="Balance 1"):
        readings_figure(balance="Balance 9")
    with pytest.raises(RefusedError, match="above the capacity"):
        readings_figure(load="5 kg")
