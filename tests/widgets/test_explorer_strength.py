"""The explorer of strengths: a part of the whole, drawn to scale, in every word."""

import re
import xml.etree.ElementTree as ET

import pytest

from pharmcalc.errors import RefusedError
from pharmcalc.strengths import percentage_ww
from pharmcalc.widgets import strength_parts, strength_parts_figure

SVG = "{http://www.w3.org/2000/svg}"


def test_the_sliders_draw_what_the_plain_call_draws() -> None:
    """Call it plainly, then slide it: one picture, one function."""
    explorer = strength_parts()
    for drug, whole in ((5, 100), (50, 55), (12, 200)):
        explorer.controls[0].value, explorer.controls[1].value = drug, whole
        still = strength_parts_figure(drug=f"{drug} g", whole=f"{whole} g").html
        assert (explorer.picture.value + explorer.said.value).replace("\u00a0", " ") == still


def test_it_starts_with_five_grams_added_to_a_hundred_that_are_not_five_percent() -> None:
    """1:20 is what people say; 1:21 is what it is."""
    said = strength_parts().said.value.replace("\u00a0", " ")
    assert "about 4.762 % w/w, 1:21" in said
    assert "Drug to diluent is 1:20; that is no ratio strength." in said


@pytest.mark.parametrize(("drug", "whole"), [("5 g", "100 g"), ("250 mg", "200 g"), ("40 g", "60 g")])
def test_the_bar_is_drawn_to_scale(drug: str, whole: str) -> None:
    """The drug's part of the bar is its percentage of the whole."""
    svg = strength_parts_figure(drug=drug, whole=whole).html.removeprefix("<figure>").partition("</figure>")[0]
    widths = {box.get("class"): float(box.get("width", "")) for box in ET.fromstring(svg).findall(f"{SVG}rect")}
    share = float(percentage_ww(drug=drug, preparation=whole).to_base_units().magnitude)
    assert widths["drug"] / widths["diluent"] == pytest.approx(share, rel=0.05, abs=0.001)


def test_the_words_are_the_librarys() -> None:
    """Percentage, ratio strength and milligrams in a gram are one strength."""
    text = strength_parts_figure(drug="5 g", whole="100 g").text
    assert re.search(r"5 % w/w, 1:20, 0\.05 g in each gram", text)


def test_a_whole_without_a_diluent_is_refused() -> None:
    """The whole is drug and diluent together."""
    with pytest.raises(RefusedError, match="write more than the drug"):
        strength_parts_figure(drug="5 g", whole="5 g")
    with pytest.raises(RefusedError, match="Write"):
        strength_parts(drug="5")
