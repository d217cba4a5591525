"""Alligation as a beam: the amounts are the library's, and the mark stands at the strength that is made."""

import xml.etree.ElementTree as ET

import pytest

from pharmcalc.errors import RefusedError
from pharmcalc.widgets import alligation_beam, alligation_beam_figure
from pharmcalc.widgets.drawing import LEFT, RIGHT
from pharmcalc.widgets.explorers.beam import INSET, WAYS

SVG = "{http://www.w3.org/2000/svg}"


def mark(html: str) -> float:
    """Return the strength at which the mark of what is made stands, from 5 % to 20 %."""
    svg = html.removeprefix("<figure>").partition("</figure>")[0]
    (found,) = ET.fromstring(svg).findall(f"{SVG}circle")
    part = (float(found.get("cx", "")) - LEFT - INSET) / (RIGHT - LEFT - 2 * INSET)
    return 5 + 15 * part


def test_the_controls_draw_what_the_plain_call_draws() -> None:
    """Call it plainly, then slide it: one picture, one function."""
    explorer = alligation_beam()
    for place, way in enumerate(WAYS):
        explorer.controls[0].value, explorer.controls[1].value = 8, place
        still = alligation_beam_figure(wanted="8 %", way=way).html
        assert (explorer.picture.value + explorer.said.value).replace("\u00a0", " ") == still


def test_it_starts_with_half_of_each_which_misses() -> None:
    """The plain mean of 5 % and 20 % is 12.5 %."""
    said = alligation_beam().said.value.replace("\u00a0", " ")
    assert "12.5 %: not the 10 %" in said


@pytest.mark.parametrize(("way", "made"), [(WAYS[0], 12.5), (WAYS[1], 15), (WAYS[2], 10)])
def test_the_mark_stands_where_the_mixture_comes_out(way: str, made: float) -> None:
    """Half of each 12.5 %, crossed the wrong way 15 %, alligation 10 %."""
    assert mark(alligation_beam_figure(way=way).html) == pytest.approx(made, abs=0.05)


def test_alligation_makes_what_is_wanted() -> None:
    """45 g of 10 % from 5 % and 20 %: 30 g and 15 g; two parts to one."""
    text = alligation_beam_figure(way=WAYS[2]).text
    assert "30 g of 5 % and 15 g of 20 % make 45 g of 10 %: just what is wanted" in text
    assert "Parts: 10 of the weaker to 5 of the stronger" in text


def test_what_cannot_be_is_refused_with_what_can() -> None:
    """The weaker one first, a wish between the two, a known way."""
    with pytest.raises(RefusedError, match="weaker one first"):
        alligation_beam_figure(weaker="20 %", stronger="5 %")
    with pytest.raises(RefusedError, match="half of each"):
        alligation_beam_figure(way="guess")
    with pytest.raises(RefusedError):
        alligation_beam_figure(wanted="30 %", way=WAYS[2])
