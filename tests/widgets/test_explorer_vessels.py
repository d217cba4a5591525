"""One volume in six cylinders: levels to scale, percentages and limits from the standard."""

import xml.etree.ElementTree as ET

import pytest

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import PERCENT
from pharmcalc.tasks.house import read_house_rules
from pharmcalc.volumes import Vessel, choose_vessel, vessel
from pharmcalc.widgets import measuring_vessels, measuring_vessels_figure
from pharmcalc.widgets.explorers.vessels import FOOT, HALF, SHELF, SPAN, STANDARD, TALL, TRUE

SVG = "{http://www.w3.org/2000/svg}"


def cylinders(accuracy_class: str) -> list[Vessel]:
    """Return the six cylinders of a class."""
    return [vessel(kind="cylinder", standard=STANDARD, capacity=size, accuracy_class=accuracy_class) for size in SHELF]


def drawn(volume: str, accuracy_class: str = "A") -> ET.Element:
    """Return the picture of a volume."""
    html = measuring_vessels_figure(volume=volume, accuracy_class=accuracy_class).html
    return ET.fromstring(html.removeprefix("<figure>").partition("</figure>")[0])


def rows(volume: str, accuracy_class: str = "A") -> dict[str, str]:
    """Return the table below the picture: the rest of each row by the capacity of its cylinder."""
    lines = measuring_vessels_figure(volume=volume, accuracy_class=accuracy_class).text.splitlines()
    return {size: line.removeprefix(f"{size}: ") for size in SHELF for line in lines if line.startswith(f"{size}: ")}


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
    heights = [float(box.get("height", "")) for box in drawn("6 mL").findall(f"{SVG}rect[@class='diluent']")]
    expected = [min(6 / float(size.split()[0]), 1.0) * TALL for size in SHELF]
    assert heights == pytest.approx(expected, abs=0.1)


@pytest.mark.parametrize(("volume", "accuracy_class"), [("5 mL", "A"), ("6 mL", "A"), ("50 mL", "B")])
def test_the_band_of_true_volumes_is_drawn_to_the_scale_of_the_allowed_error(volume: str, accuracy_class: str) -> None:
    """It reaches as far above and below the mark as the cylinder may be off; the dashed lines are 5 % away."""
    picture = drawn(volume, accuracy_class)
    dashed = [float(line.get("y1", "")) for line in picture.findall(f"{SVG}line[@class='limit']")]
    above, below = sorted(y for y in dashed if y > FOOT)
    assert (above + below) / 2 == TRUE
    for_one_percent = (below - above) / 10
    bands = [
        (float(band.get("y", "")), float(band.get("height", "")))
        for band in picture.findall(f"{SVG}rect[@class='band']")
    ]
    amount = float(volume.split()[0])
    limits = [
        one.limit.to("millilitre").magnitude for one in cylinders(accuracy_class) if one.capacity.magnitude >= amount
    ]
    assert len(bands) == len(limits)
    for (top, height), limit in zip(bands, limits, strict=True):
        assert height == pytest.approx(2 * float(limit) / amount * 100 * for_one_percent, abs=0.11)
        assert top + height / 2 == pytest.approx(TRUE, abs=0.11)


def test_a_band_that_reaches_beyond_the_picture_stays_open() -> None:
    """1 mL in a 250 mL cylinder of class B may be anything from nothing to 3 mL; its band has no end in sight."""
    picture = drawn("1 mL", "B")
    reach = HALF / SPAN * float(max(one.error_at("1 mL") / read_house_rules().allowed_error for one in cylinders("B")))
    assert reach > HALF
    within = [one for one in cylinders("B") if one.error_at("1 mL") <= SPAN * read_house_rules().allowed_error]
    assert len(picture.findall(f"{SVG}rect[@class='band']")) == len(within) < len(SHELF)
    assert len(picture.findall(f"{SVG}line[@class='band']")) == 2 * (len(SHELF) - len(within))
    assert "0 mL to 3 mL" in rows("1 mL", "B")["250 mL"]


def test_the_band_is_told_in_words_as_well() -> None:
    """Whoever does not see it reads from where to where the volume may be."""
    assert "There it is anything from 5.9 mL to 6.1 mL" in measuring_vessels_figure(volume="6 mL").text
    assert rows("6 mL")["100 mL"].startswith("0.5 mL, 5.5 mL to 6.5 mL, about 8.333 %")


@pytest.mark.parametrize("accuracy_class", ["A", "B"])
def test_the_percentages_are_those_of_the_standard(accuracy_class: str) -> None:
    """Each row is the library's own limit over the volume, from the smallest cylinder to the largest."""
    for one, said in zip(cylinders(accuracy_class), rows("4 mL", accuracy_class).values(), strict=True):
        assert f", {PERCENT.show(one.error_at('4 mL'))}, " in said


@pytest.mark.parametrize("accuracy_class", ["A", "B"])
@pytest.mark.parametrize(
    "volume", ["0.5 mL", "1 mL", "2 mL", "4 mL", "5 mL", "6 mL", "6.5 mL", "20 mL", "100 mL", "101 mL"]
)
def test_it_never_says_anything_else_than_choosing_a_vessel_does(volume: str, accuracy_class: str) -> None:
    """The shelf and the library's own choice agree on every cylinder, and on the best of them."""
    choice = choose_vessel(
        volume=volume, vessels=cylinders(accuracy_class), allowed_error=read_house_rules().allowed_error
    )
    found = list(rows(volume, accuracy_class).values())
    assert ["can be measured" in said for said in found] == [one.allowed for one in choice.verdicts]
    for said, verdict in zip(found, choice.verdicts, strict=True):
        ids = {reason.id for reason in verdict.reasons}
        if "above-capacity" not in ids:
            assert ("below a fifth" in said) == ("below-share" in ids)
            assert ("above 5 %" in said) == ("limit-above-allowed-error" in ids)
            assert ("between marks" in said) == ("between-marks" in ids)
    if choice.best:
        best = SHELF[[one.candidate for one in choice.verdicts].index(choice.best)]
        assert (
            f"best in the {best} cylinder"
            in measuring_vessels_figure(volume=volume, accuracy_class=accuracy_class).text
        )


def test_a_volume_fails_by_the_fifth_by_the_percentage_or_by_both_and_it_is_said_which() -> None:
    """6 mL: in class A 50 mL fails by the fifth only, in class B 25 mL by the percentage only, and 250 mL by both."""
    assert rows("6 mL")["50 mL"].endswith("no: below a fifth")
    assert rows("6 mL", "B")["25 mL"].endswith("about 5.667 %, 5 mL, no: above 5 %")
    assert rows("6 mL", "B")["250 mL"].endswith("no: below a fifth, above 5 %")
    words = measuring_vessels_figure(volume="6 mL", accuracy_class="B").text
    assert "Not so: 25 mL (above 5 %); 50 mL, 100 mL, 250 mL (below a fifth, above 5 %)." in words


def test_a_volume_between_two_marks_is_measured_where_it_has_a_mark() -> None:
    """A 10 mL cylinder is marked every 0.2 mL, and one of 25 mL every 0.5 mL."""
    assert rows("6.5 mL")["10 mL"].endswith("no: between marks")
    assert "best in the 25 mL cylinder" in measuring_vessels_figure(volume="6.5 mL").text
    assert "has a mark for it" in measuring_vessels_figure(volume="101 mL").text


def test_the_smallest_that_holds_it_is_best_and_the_largest_is_far_off() -> None:
    """A small volume in a large cylinder looks the same to the eye."""
    text = measuring_vessels_figure(volume="6 mL").text
    assert "best in the 10 mL cylinder" in text
    assert "250 mL: 1 mL, 5 mL to 7 mL, about 16.67 %, 50 mL, no: below a fifth, above 5 %" in text


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
