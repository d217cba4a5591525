"""The ladder of units: equal steps multiply by ten, and a slip shows how far it goes."""

import xml.etree.ElementTree as ET

import pytest

from pharmcalc.errors import RefusedError
from pharmcalc.widgets import unit_ladder, unit_ladder_figure
from pharmcalc.widgets.explorers.ladder import SLIPS

SVG = "{http://www.w3.org/2000/svg}"


def discs(html: str) -> list[float]:
    """Return how far to the right the discs of a picture stand."""
    svg = html.removeprefix("<figure>").partition("</figure>")[0]
    return [float(one.get("cx", "")) for one in ET.fromstring(svg).findall(f"{SVG}circle")]


def test_the_controls_draw_what_the_plain_call_draws() -> None:
    """Call it plainly, then slide it: one picture, one function."""
    explorer = unit_ladder()
    for place, slip in enumerate(SLIPS):
        explorer.controls[0].value, explorer.controls[1].value = 250, place
        still = unit_ladder_figure(amount="250 microgram", slip=slip).html
        assert (explorer.picture.value + explorer.said.value).replace("\u00a0", " ") == still


def test_it_starts_a_thousand_times_too_high() -> None:
    """125 microgram read as 125 mg."""
    said = unit_ladder().said.value.replace("\u00a0", " ")
    assert "125 microgram = 0.125 mg = 0.000125 g" in said
    assert "it becomes 125 mg: 1000 times too much" in said


def test_equal_steps_multiply_by_ten() -> None:
    """A slip of a thousand goes three times as far as one of ten, wherever it begins."""
    amounts = ("5 microgram", "125 microgram", "990 microgram")
    for amount in amounts:
        right, tenfold = discs(unit_ladder_figure(amount=amount, slip="the point one place too far right").html)
        same, thousandfold = discs(unit_ladder_figure(amount=amount, slip="mg read for microgram").html)
        assert right == same
        assert thousandfold - right == pytest.approx(3 * (tenfold - right), abs=0.5)


def test_without_a_slip_there_is_one_mark() -> None:
    """And the words say that it is one amount."""
    still = unit_ladder_figure()
    assert len(discs(still.html)) == 1
    assert "the smaller the unit, the larger the number" in still.text


def test_what_cannot_be_is_refused_with_what_can() -> None:
    """Off the ladder, without a unit, an unknown slip."""
    with pytest.raises(RefusedError, match="off this ladder"):
        unit_ladder_figure(amount="5 kg")
    with pytest.raises(RefusedError, match="mg read for microgram"):
        unit_ladder_figure(slip="none")
    with pytest.raises(RefusedError):
        unit_ladder_figure(amount="125")
