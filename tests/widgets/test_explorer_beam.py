"""Alligation as a beam: the amounts are the library's, and the beam tips to the side that is too much."""

import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from pharmcalc.errors import RefusedError
from pharmcalc.widgets import alligation_beam, alligation_beam_figure
from pharmcalc.widgets.drawing import WIDEST_LETTER, WIDTH
from pharmcalc.widgets.explorers.beam import BEAM, FROM, GROUND, LARGEST, TO, WAYS

SVG = "{http://www.w3.org/2000/svg}"
FALSE_MEAN, CROSSED, RIGHT_WAY = WAYS


def picture(html: str) -> ET.Element:
    """Return the drawing."""
    return ET.fromstring(html.removeprefix("<figure>").partition("</figure>")[0])


def mark(html: str) -> float:
    """Return the strength at which the mark of what is made stands, from 5 % to 20 %."""
    (found,) = picture(html).findall(f"{SVG}circle")
    return 5 + 15 * (float(found.get("cx", "")) - FROM) / (TO - FROM)


def sinks(html: str) -> float:
    """Return how much lower the right end of the beam lies than its left end."""
    (beam,) = (line for line in picture(html).findall(f"{SVG}line") if line.get("class") == "mark")
    return float(beam.get("y2", "")) - float(beam.get("y1", ""))


def across(words: ET.Element) -> tuple[float, float]:
    """Return from where to where words go, at their widest."""
    x, long = float(words.get("x", "")), len(words.text or "") * WIDEST_LETTER
    before = {"start": 0.0, "middle": long / 2, "end": long}[words.get("text-anchor", "")]
    return x - before, x - before + long


def test_the_controls_draw_what_the_plain_call_draws() -> None:
    """Call it plainly, then slide it: one picture, one function."""
    explorer = alligation_beam()
    for place, way in enumerate(WAYS):
        explorer.controls[0].value, explorer.controls[1].value = 8, place
        still = alligation_beam_figure(wanted="8 %", way=way).html
        shown = explorer.picture.value + explorer.said.value + explorer.more.value
        assert shown.replace("\u00a0", " ") == still


def test_it_starts_with_half_of_each_which_misses() -> None:
    """The plain mean of 5 % and 20 % is 12.5 %."""
    said = alligation_beam().said.value.replace("\u00a0", " ")
    assert "make 12.5 %, not 10 %" in said
    assert "the mixture is too strong" in said


@pytest.mark.parametrize(("way", "made"), [(FALSE_MEAN, 12.5), (CROSSED, 15), (RIGHT_WAY, 10)])
def test_the_mark_stands_where_the_mixture_comes_out(way: str, made: float) -> None:
    """Half of each 12.5 %, crossed the wrong way 15 %, alligation 10 %."""
    assert mark(alligation_beam_figure(way=way).html) == pytest.approx(made, abs=0.05)


@pytest.mark.parametrize(("wanted", "side"), [("10 %", 1), ("15 %", -1)])
def test_the_beam_tips_to_the_side_that_is_too_much_and_lies_level_when_it_is_right(wanted: str, side: int) -> None:
    """Half of each is too strong for 10 %, and too weak for 15 %; the words say so too."""
    missed = alligation_beam_figure(wanted=wanted)
    assert sinks(missed.html) * side > 1
    assert ("too strong" if side > 0 else "too weak") in missed.text
    right = alligation_beam_figure(wanted=wanted, way=RIGHT_WAY)
    assert sinks(right.html) == 0
    assert "The beam balances" in right.text


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("wanted", ["5.5 %", "8 %", "17 %", "19.5 %"])
def test_the_beam_lies_on_its_support_and_never_below_the_ground(wanted: str, way: str) -> None:
    """However far the mixture misses, the heavy end comes to rest on the ground."""
    drawing = picture(alligation_beam_figure(wanted=wanted, way=way).html)
    (beam,) = (line for line in drawing.findall(f"{SVG}line") if line.get("class") == "mark")
    (support,) = drawing.findall(f"{SVG}polygon")
    top = float(support.get("points", "").split()[0].partition(",")[0])
    left, right = float(beam.get("y1", "")), float(beam.get("y2", ""))
    assert max(left, right) <= GROUND
    assert left + (right - left) * (top - FROM) / (TO - FROM) == pytest.approx(BEAM, abs=0.2)


def test_what_one_lacks_the_other_has_too_much() -> None:
    """45 g of 10 % from 5 % and 20 %: 30 g lack 1.5 g of drug, and 15 g bring 1.5 g too much."""
    text = alligation_beam_figure(way=RIGHT_WAY).text
    assert "30 g of 5 % and 15 g of 20 % make 10 %: just what is wanted" in text
    assert "the weaker one lacks 1.5 g of drug; the stronger one has 1.5 g too much" in text
    assert "Balance means 10 parts of the weaker one and 5 parts of the stronger one" in text
    assert "That is why the parts are crossed" in text


def test_half_way_between_equal_parts_are_right() -> None:
    """Only at 12.5 % is half of each of 5 % and 20 % the answer."""
    text = alligation_beam_figure(wanted="12.5 %").text
    assert "just what is wanted" in text
    assert "as much of each" in text


def test_the_weights_are_drawn_to_scale() -> None:
    """30 g stand twice as high as 15 g."""
    boxes = picture(alligation_beam_figure(way=RIGHT_WAY).html).findall(f"{SVG}rect")
    heights = {box.get("class"): float(box.get("height", "")) for box in boxes}
    assert heights == pytest.approx({"diluent": LARGEST * 2 / 3, "drug": LARGEST / 3}, abs=0.1)


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("wanted", ["5.5 %", "10 %", "12.5 %", "19.5 %"])
def test_no_words_lie_over_each_other_and_none_leave_the_picture(wanted: str, way: str) -> None:
    """Even where the wanted strength is close to an end."""
    rows: dict[str, list[tuple[float, float]]] = {}
    for words in picture(alligation_beam_figure(wanted=wanted, way=way).html).findall(f"{SVG}text"):
        rows.setdefault(words.get("y", ""), []).append(across(words))
    for row in rows.values():
        ordered = sorted(row)
        assert all(first[1] <= second[0] for first, second in pairwise(ordered))
        assert ordered[0][0] >= 0
        assert ordered[-1][1] <= WIDTH


@pytest.mark.parametrize(("weaker", "stronger"), [("0 %", "10 %"), ("5 %", "5.5 %"), ("0.25 %", "95 %")])
def test_the_slider_stays_between_the_two_strengths(weaker: str, stronger: str) -> None:
    """At both of its ends something right can be mixed, with a plain base (0 %) as well."""
    explorer = alligation_beam(weaker, stronger)
    dial, ways = explorer.controls
    ways.value = WAYS.index(RIGHT_WAY)
    for wanted in (dial.min, dial.max):
        dial.value = wanted
        assert "just what is wanted" in explorer.said.value


def test_what_cannot_be_is_refused_with_what_can() -> None:
    """The weaker one first, a wish between the two whatever the way, a known way."""
    with pytest.raises(RefusedError, match="weaker one first"):
        alligation_beam_figure(weaker="20 %", stronger="5 %")
    with pytest.raises(RefusedError, match="half of each"):
        alligation_beam_figure(way="guess")
    for way in WAYS:
        with pytest.raises(RefusedError, match="does not lie between 5 % and 20 %"):
            alligation_beam_figure(wanted="30 %", way=way)
