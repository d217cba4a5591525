"""The explorer of strengths: a part of the whole, drawn to scale, in every word."""

import xml.etree.ElementTree as ET

import pytest

from pharmcalc.errors import RefusedError
from pharmcalc.strengths import percentage_ww
from pharmcalc.widgets import strength_parts, strength_parts_figure
from pharmcalc.widgets.drawing import LEFT, RIGHT

SVG = "{http://www.w3.org/2000/svg}"


def bars(html: str, kind: str) -> list[float]:
    """Return how long the boxes of a kind are: as it is mixed, then as 100 parts."""
    svg = html.removeprefix("<figure>").partition("</figure>")[0]
    return [float(box.get("width", "")) for box in ET.fromstring(svg).findall(f"{SVG}rect[@class='{kind}']")]


def test_the_sliders_draw_what_the_plain_call_draws() -> None:
    """Call it plainly, then slide it: one picture, one function."""
    explorer = strength_parts()
    for drug, whole in ((5, 100), (50, 55), (12, 200)):
        explorer.controls[0].value, explorer.controls[1].value = drug, whole
        still = strength_parts_figure(drug=f"{drug} g", whole=f"{whole} g").html
        shown = explorer.picture.value + explorer.said.value + explorer.more.value
        assert shown.replace("\u00a0", " ") == still


def test_it_starts_with_five_grams_added_to_a_hundred_that_are_not_five_percent() -> None:
    """1:20 is what people say, and 5 %; it is 1:21."""
    said = strength_parts().said.value.replace("\u00a0", " ")
    assert "about 4.762 % w/w, 1:21" in said
    assert "Drug to diluent is 1:20, which would say 5 % w/w: too much" in said


@pytest.mark.parametrize(("drug", "whole"), [("5 g", "100 g"), ("250 mg", "200 g"), ("40 g", "60 g"), ("9 g", "400 g")])
def test_both_bars_are_drawn_to_scale(drug: str, whole: str) -> None:
    """The drug's part of either bar is its percentage of the whole; the second bar is 100 parts long."""
    html = strength_parts_figure(drug=drug, whole=whole).html
    share = float(percentage_ww(drug=drug, preparation=whole).to_base_units().magnitude)
    for part, all_of_it in zip(bars(html, "drug"), bars(html, "aliquot"), strict=True):
        assert part / all_of_it == pytest.approx(share, abs=0.001)
    assert bars(html, "aliquot")[1] == RIGHT - LEFT >= bars(html, "aliquot")[0]


def test_the_words_are_the_librarys() -> None:
    """Percentage, ratio strength and milligrams in a gram are one strength; drug to diluent is none."""
    text = strength_parts_figure(drug="5 g", whole="100 g").text
    assert "5 % w/w, 1:20, 50 mg in each gram" in text
    assert "percentage strength: 5 % w/w" in text
    assert "ratio strength: 1:20" in text
    assert "drug in each gram: 50 mg" in text
    assert "drug to diluent (no strength): 1:19" in text


def test_a_whole_without_a_diluent_is_refused() -> None:
    """The whole is drug and diluent together."""
    with pytest.raises(RefusedError, match="write more than the drug"):
        strength_parts_figure(drug="5 g", whole="5 g")
    with pytest.raises(RefusedError, match="Write"):
        strength_parts(drug="5")
