"""Many right plans: each keeps the rules, stands where its numbers say, and can be pointed at."""

import re
import xml.etree.ElementTree as ET

import pytest

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS
from pharmcalc.widgets import plan_chooser, plan_chooser_figure
from pharmcalc.widgets.explorers.plans import _choices, _start
from tests.questions import HOUSE

SVG = "{http://www.w3.org/2000/svg}"
CHOICES = _choices(MASS.check("wanted", "6 mg"))


def test_the_list_draws_what_the_plain_call_draws() -> None:
    """Call it plainly, then choose: one picture, one function."""
    explorer = plan_chooser()
    for place in (0, 7, len(CHOICES) - 1):
        explorer.controls[0].value = place
        still = plan_chooser_figure(place=place).html
        shown = explorer.picture.value + explorer.said.value + explorer.more.value
        assert shown.replace("\u00a0", " ") == still


def test_every_plan_keeps_every_rule() -> None:
    """They differ only in what they cost."""
    limits = HOUSE.limits(HOUSE.balances[0])
    assert 20 <= len(CHOICES) <= 45
    assert not any(one.plan.broken_rules(limits) for one in CHOICES)
    assert [one.waste for one in CHOICES] == sorted(one.waste for one in CHOICES)


def test_it_starts_with_a_plan_that_looks_fine_and_is_poor() -> None:
    """Every rule is kept, and others beat it in both."""
    start = CHOICES[_start(CHOICES)]
    assert sum(one.better_than(start) for one in CHOICES) >= 5
    said = plan_chooser().said.value
    assert "It keeps every rule" in said
    assert re.search(r"\d+ plans leave less over and are surer", said)


def test_more_weighed_is_surer_and_more_left_over() -> None:
    """The law behind the picture: larger drug and aliquot, smaller uncertainty, larger mixture."""
    smallest, largest = CHOICES[0], CHOICES[-1]
    assert largest.waste > smallest.waste
    assert largest.unsure < smallest.unsure


def test_each_point_can_be_pointed_at_and_stands_to_scale() -> None:
    """A click on a point chooses its entry; points further right leave more over."""
    html = plan_chooser_figure().html.removeprefix("<figure>").partition("</figure>")[0]
    discs = {
        int(one.get("data-pick", "")): float(one.get("cx", "")) for one in ET.fromstring(html).findall(f"{SVG}circle")
    }
    assert sorted(discs) == list(range(len(CHOICES)))
    places = [discs[place] for place in range(len(CHOICES))]
    assert places == sorted(places)
    span = (places[-1] - places[0]) / float(CHOICES[-1].waste - CHOICES[0].waste)
    middle = len(CHOICES) // 2
    assert places[middle] - places[0] == pytest.approx(span * float(CHOICES[middle].waste - CHOICES[0].waste), abs=0.3)


def test_the_chosen_plan_is_worked_below() -> None:
    """Its steps, its proof and its rules, as a lesson shows them."""
    text = plan_chooser_figure(place=0).text
    assert "Proof" in text
    assert "Every rule is kept." in text


def test_what_cannot_be_is_refused_with_what_can() -> None:
    """What can be weighed directly, and a plan that is not there."""
    with pytest.raises(RefusedError, match="weighed directly"):
        plan_chooser_figure(drug_wanted="500 mg")
    with pytest.raises(RefusedError, match="Write 0 to"):
        plan_chooser_figure(place=999)
    with pytest.raises(RefusedError):
        plan_chooser_figure(drug_wanted="6")
