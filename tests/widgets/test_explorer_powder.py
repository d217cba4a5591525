"""The explorer of one need and one jar: what each way of calculating would weigh, and the drug in it."""

import re
import xml.etree.ElementTree as ET
from fractions import Fraction

import pytest

from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.kinds import MASS
from pharmcalc.potency import drug_in_powder, powder_on_dried_basis
from pharmcalc.units import quantity
from pharmcalc.widgets import powder_explorer, powder_figure
from pharmcalc.widgets.explorers.powder import _NAMES, AS_PURE, RIGHT_WAY

SVG = "{http://www.w3.org/2000/svg}"
JAR = {"drug_wanted": "550 mg", "assay_dried": "96 %", "loss_on_drying": "12.5 %"}


def words(html: str) -> str:
    """Return HTML with plain spaces."""
    return html.replace("\u00a0", " ")


def drawing(html: str) -> ET.Element:
    """Return the picture of a figure."""
    return ET.fromstring(html.removeprefix("<figure>").partition("</figure>")[0])


def bars(picture: ET.Element) -> list[tuple[float, float]]:
    """Return each row's drug and whole powder, in pixels, without the legend's samples."""
    boxes = [box for box in picture.iter(f"{SVG}rect") if box.get("height") == "16"]
    drugs = [float(box.get("width", "")) for box in boxes if box.get("class") == "drug"]
    wholes = [float(box.get("width", "")) for box in boxes if box.get("class") in ("axis", "aliquot")]
    return list(zip(drugs, wholes, strict=True))


def test_the_list_and_the_sliders_draw_what_the_plain_call_draws() -> None:
    """Call it plainly, then choose and slide: one picture, one function."""
    explorer = powder_explorer("550 mg")
    way, assay, loss = explorer.controls
    for place, name in enumerate(_NAMES):
        way.value, assay.value, loss.value = place, 90.5, 2.5 * place
        still = powder_figure(drug_wanted="550 mg", assay_dried="90.5 %", loss_on_drying=f"{2.5 * place} %", way=name)
        assert words(explorer.picture.value + explorer.said.value) == still.html


def test_it_starts_with_a_powder_that_is_taken_for_pure_drug() -> None:
    """550 mg of a powder that is 84 % drug: 88 mg are missing, and it is said."""
    said = words(powder_explorer().said.value)
    assert "550 mg of powder" in said
    assert "462 mg of drug" in said
    assert "88 mg too little" in said


def test_the_right_way_brings_what_is_needed() -> None:
    """The first entry of the list puts it right."""
    explorer = powder_explorer()
    explorer.controls[0].value = 0
    assert "and they are there" in words(explorer.said.value)
    assert MASS.show(powder_on_dried_basis(**JAR)) in words(explorer.said.value)


def test_every_way_is_the_librarys_own_formula_or_mistake() -> None:
    """What would be weighed is computed by the library, and why it is wrong is its lesson."""
    values = {name: powder_on_dried_basis.kinds[name].check(name, text) for name, text in JAR.items()}
    values["purity"] = values["assay_dried"]
    for way in _NAMES:
        text = powder_figure(**JAR, way=way).text
        powder = (powder_on_dried_basis if way == RIGHT_WAY else MISTAKES[way]).evaluate(values)
        assert f"{MASS.show(powder)} of powder" in text
        assert MASS.show(drug_in_powder(powder=powder, purity="84 %")) in text
        if way != RIGHT_WAY:
            assert MISTAKES[way].lesson in text


def test_the_bars_are_drawn_to_scale() -> None:
    """In every bar 84 % are drug; the right one's drug reaches the line of the need, the pure one's whole powder."""
    picture = drawing(powder_figure(**JAR).html)
    found = bars(picture)
    assert len(found) == len(_NAMES)
    assert [drug / whole for drug, whole in found] == pytest.approx([0.84] * len(found), abs=0.002)
    lines = [line for line in picture.iter(f"{SVG}line") if line.get("class") == "limit"]
    need = float(lines[0].get("x1", "")) - 24
    right, as_pure = (found[list(_NAMES).index(way)] for way in (RIGHT_WAY, AS_PURE))
    assert (right[0], as_pure[1]) == pytest.approx((need, need), abs=0.2)


def test_water_is_told_by_stripes_and_by_words() -> None:
    """Not by colour alone: the drug is full, water is striped, and both are named."""
    html = powder_figure(**JAR).html
    assert html.count('<line class="stripes"') == len(_NAMES) + 1
    assert {"drug", "water", "other substances", "drug needed"} <= set(re.findall(r">([a-z ]+)</text>", html))


def test_the_chosen_bar_is_told_by_an_outline_and_a_full_point() -> None:
    """One bar of all has the thick outline, and the point beside it is full."""
    html = powder_figure(**JAR, way="dried-basis-upside-down").html
    place = list(_NAMES).index("dried-basis-upside-down")
    assert html.count('<rect class="aliquot"') == 1
    assert re.findall(r'<circle class="drug"[^>]*data-pick="(\d+)"', html) == [str(place)]
    assert html.count("data-pick") == len(_NAMES)


def test_with_a_pure_and_dry_powder_no_mistake_shows() -> None:
    """All bars are alike, and the words say that the mistake is hidden, not that it is right."""
    picture = drawing(powder_figure(drug_wanted="550 mg", assay_dried="100 %", loss_on_drying="0 %").html)
    assert len(set(bars(picture))) == 1
    text = powder_figure(drug_wanted="550 mg", assay_dried="100 %", loss_on_drying="0 %", way=AS_PURE).text
    assert "the mistake does not show" in text


@pytest.mark.parametrize(("assay", "loss"), [("100 %", "0 %"), ("70 %", "20 %"), ("1 %", "98 %"), ("50 %", "50 %")])
def test_extremes_stay_inside_the_picture(assay: str, loss: str) -> None:
    """Also where a way of calculating leads nowhere: then nothing is drawn, and it is said."""
    for way in _NAMES:
        shown = powder_figure(drug_wanted="550 mg", assay_dried=assay, loss_on_drying=loss, way=way)
        for drug, whole in bars(drawing(shown.html)):
            assert 0 <= drug <= whole <= 612
    nothing = powder_figure(
        drug_wanted="1 mg", assay_dried="50 %", loss_on_drying="50 %", way="dried-basis-loss-subtracted"
    )
    assert "nothing would be left to weigh" in nothing.text


def test_a_click_on_a_point_chooses_what_the_list_chooses() -> None:
    """The points are numbered as the entries of the list are."""
    entries = [entry for entry, _ in powder_explorer().controls[0].options]
    assert entries == list(_NAMES.values())
    picks = re.findall(r'data-pick="(\d+)"/><text[^>]*>([^<]+)<', powder_figure(**JAR).html)
    assert [(int(pick), entries[int(pick)]) for pick, _ in picks] == [(int(pick), name) for pick, name in picks]


def test_a_start_of_ones_own_is_taken_exactly() -> None:
    """A certificate with two decimals is not rounded to the slider's halves."""
    said = words(powder_explorer("200 mg", assay_dried="93.15 %", loss_on_drying="30 %").said.value)
    drug = quantity(200, "mg") * Fraction(9315, 10000) * Fraction(7, 10)
    assert MASS.show(drug) in said


def test_what_cannot_be_is_refused_with_what_can() -> None:
    """Another way, a bare number, an assay that cannot be drawn, a loss of everything."""
    with pytest.raises(RefusedError, match="purity-left-out"):
        powder_figure(way="by eye")
    with pytest.raises(RefusedError, match="must be a mass"):
        powder_explorer("550")
    with pytest.raises(RefusedError, match="at most 100 %"):
        powder_figure(assay_dried="101 %")
    with pytest.raises(RefusedError, match="at most 99 %"):
        powder_figure(loss_on_drying="100 %")
