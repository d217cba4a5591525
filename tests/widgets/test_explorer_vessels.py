"""One volume in six cylinders: levels to scale, percentages and limits from the standard."""

import xml.etree.ElementTree as ET

import pytest

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import PERCENT
from pharmcalc.volumes import vessel
from pharmcalc.widgets import measuring_vessels, measuring_vessels_figure
from pharmcalc.widgets.explorers.vessels import SHELF, STANDARD, TALL

SVG = "{http://www.w3.org/2000/svg}"


def test_the_controls_draw_what_the_plain_call_draws() -> None:
    """Call it plainly, then slide it: one picture, one function."""
    explorer = measuring_vessels()
    for volume, place, name in ((6, 0, "A"), (40, 1, "B"), (100, 0, "A")):
        explorer.controls[0].value, explorer.controls[1].value = volume, place
        still = measuring_vessels_figure(volume=f"{volume} mL", accuracy_class=name).html
        shown = explorer.picture.value + explorer.said.value + explorer.more.value
        assert shown.replace("\u00a0", " ") == still


def test_it_starts_with_the_volume_that_was_asked_for() -> None:
    """Also with half a millilitre, and with more than the slider usually reaches."""
    for volume in ("0.5 mL", "6.5 mL", "200 mL"):
        assert measuring_vessels(volume).said.value.replace("\u00a0", " ").count(f"{volume}, class A") == 1


def test_the_levels_are_drawn_to_scale() -> None:
    """6 mL fill three fifths of the 10 mL cylinder, and a little of the 100 mL one."""
    html = measuring_vessels_figure(volume="6 mL").html.removeprefix("<figure>").partition("</figure>")[0]
    heights = [float(box.get("height", "")) for box in ET.fromstring(html).findall(f"{SVG}rect")]
    expected = [min(6 / float(size.split()[0]), 1.0) * TALL for size in SHELF]
    assert heights == pytest.approx(expected, abs=0.1)


@pytest.mark.parametrize("accuracy_class", ["A", "B"])
def test_the_percentages_are_those_of_the_standard(accuracy_class: str) -> None:
    """Each row is the library's own limit over the volume."""
    text = measuring_vessels_figure(volume="6 mL", accuracy_class=accuracy_class).text
    for size in SHELF[1:]:
        one = vessel(kind="cylinder", standard=STANDARD, capacity=size, accuracy_class=accuracy_class)
        assert f"{size}: " in text
        assert PERCENT.show(one.error_at("6 mL")) in text


def test_the_smallest_that_holds_it_is_best_and_the_largest_is_far_off() -> None:
    """A small volume in a large cylinder looks the same to the eye."""
    text = measuring_vessels_figure(volume="6 mL").text
    assert "best in the 10 mL cylinder" in text
    assert "250 mL: 1 mL, about 16.67 %, below a fifth of it" in text


def test_what_is_too_little_for_all_of_them_is_said() -> None:
    """Then a pipette is the cure."""
    assert "take a pipette" in measuring_vessels_figure(volume="0.5 mL").text


def test_what_cannot_be_is_refused_with_what_can() -> None:
    """Too much, another class, no unit."""
    with pytest.raises(RefusedError, match="fits into none"):
        measuring_vessels_figure(volume="2 L")
    with pytest.raises(RefusedError, match='"A" or "B"'):
        measuring_vessels_figure(accuracy_class="C")
    with pytest.raises(RefusedError):
        measuring_vessels_figure(volume="6")
