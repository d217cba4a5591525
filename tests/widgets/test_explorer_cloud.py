"""The explorer of simulated doses: one plan, many times, beside the allowed error."""

import re
import sys
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from pharmcalc.aliquots import AliquotPlan
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import PERCENT
from pharmcalc.reading import read_text
from pharmcalc.uncertainty import model_of, plan_budget, plan_worst_case, rectangular_uncertainty, simulate
from pharmcalc.widgets import dose_cloud, dose_cloud_figure
from pharmcalc.widgets.explorers.cloud import RUNS, SEED
from tests.questions import HOUSE

SVG = "{http://www.w3.org/2000/svg}"
EACH = dict.fromkeys(("drug", "diluent", "aliquot"), read_text("6 mg"))


def words(html: str) -> str:
    """Return HTML with plain spaces."""
    return html.replace("\u00a0", " ")


def marks(html: str) -> tuple[list[float], list[float]]:
    """Return how far across each dot and each cross stands."""
    picture = ET.fromstring(html.removeprefix("<figure>").partition("</figure>")[0])
    dots = [float(dot.get("cx", "")) for dot in picture.iter(f"{SVG}circle")]
    ends = [line for line in picture.iter(f"{SVG}line") if line.get("class") == "mark"]
    crosses = [(float(line.get("x1", "")) + float(line.get("x2", ""))) / 2 for line in ends[::2]]
    return dots, crosses


def limits(html: str) -> list[float]:
    """Return where the two bounds of the allowed error stand."""
    return [float(x) for x in re.findall(r'<line class="limit" x1="([\d.]+)"', html)]


def plan(multiple: str, aliquot: str) -> AliquotPlan:
    """Return a plan for 6 mg."""
    return AliquotPlan.of(drug_wanted="6 mg", multiple_factor=multiple, aliquot=aliquot)


def test_the_sliders_draw_what_the_plain_call_draws() -> None:
    """Call it plainly, then slide: one picture, one function."""
    explorer = dose_cloud("6 mg")
    drug, aliquot, balance = explorer.controls
    for weighed, part, place in ((120, 120, 0), (480, 90, 1), (96, 480, 2)):
        drug.value, aliquot.value, balance.value = weighed, part, place
        still = dose_cloud_figure(
            drug_weighed=f"{weighed} mg", aliquot=f"{part} mg", balance=HOUSE.balances[place].name
        )
        assert words(explorer.picture.value + explorer.said.value + explorer.more.value) == still.html


def test_it_starts_with_a_plan_that_keeps_every_rule_and_is_not_sure_enough() -> None:
    """Each weighing is at the limit, and about one dose in four lies outside."""
    said = words(dose_cloud().said.value)
    assert "Every weighing keeps the rules" in said
    assert "(crosses)" in said
    _, crosses = marks(dose_cloud_figure().html)
    assert 25 < len(crosses) < 60


def test_each_simulated_dose_is_drawn_once_and_those_outside_are_crosses() -> None:
    """The words count what is drawn, and what is drawn are the library's own doses."""
    standard = dict.fromkeys(EACH, rectangular_uncertainty(half_width="6 mg"))
    doses = simulate(plan("20", "120 mg"), standard, runs=RUNS, seed=SEED, evenly=True).relative
    outside = int((abs(doses - 1) > 0.05).sum())
    shown = dose_cloud_figure()
    dots, crosses = marks(shown.html)
    assert (len(dots), len(crosses)) == (RUNS - outside, outside)
    assert f"{RUNS - outside} of {RUNS} simulated doses" in shown.text
    assert f"{outside} outside" in shown.text


def test_the_picture_is_the_same_on_every_run() -> None:
    """Two people who look at the same plan see the same cloud."""
    assert dose_cloud_figure().html == dose_cloud_figure().html


def test_the_picture_is_drawn_to_scale() -> None:
    """Every dose stands within half a column of its own error; dots between the two bounds, crosses beyond them."""
    html = dose_cloud_figure().html
    low, high = limits(html)
    standard = dict.fromkeys(EACH, rectangular_uncertainty(half_width="6 mg"))
    doses = simulate(plan("20", "120 mg"), standard, runs=RUNS, seed=SEED, evenly=True).relative
    dots, crosses = marks(html)
    a_percent = (high - low) / 10
    middle = (low + high) / 2
    right = sorted(middle + 100 * float(dose - 1) * a_percent for dose in doses)
    assert sorted(dots + crosses) == pytest.approx(right, abs=a_percent / 4 + 0.2)
    assert all(low < x < high for x in dots)
    assert all(x < low or x > high for x in crosses)


@pytest.mark.parametrize(("drug", "aliquot"), [("120 mg", "120 mg"), ("480 mg", "480 mg"), ("90 mg", "90 mg")])
def test_no_mark_lies_upon_another_or_outside_the_chart(drug: str, aliquot: str) -> None:
    """However high the heap, each dose can be counted."""
    html = dose_cloud_figure(drug_weighed=drug, aliquot=aliquot).html
    circles = [tuple(map(float, found)) for found in re.findall(r'cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)"', html)]
    columns: dict[float, list[float]] = {}
    for x, y, radius in circles:
        assert y - radius + 0.11 >= 34
        assert y + radius <= 276.2
        columns.setdefault(x, []).append(y)
    for heights in columns.values():
        ordered = sorted(heights)
        assert all(b - a >= 2 * circles[0][2] - 0.11 for a, b in pairwise(ordered))


def test_larger_amounts_or_a_better_balance_make_fewer_crosses() -> None:
    """What the student is to find with the sliders."""
    at_first = len(marks(dose_cloud_figure().html)[1])
    assert len(marks(dose_cloud_figure(drug_weighed="240 mg", aliquot="240 mg").html)[1]) < at_first / 4
    assert len(marks(dose_cloud_figure(balance="Balance 2").html)[1]) < at_first
    assert marks(dose_cloud_figure(drug_weighed="480 mg", aliquot="480 mg").html)[1] == []


def test_the_words_tell_the_budget_and_the_worst_case_of_the_library() -> None:
    """To two figures, and the worst case exactly."""
    made = plan("20", "120 mg")
    standard = dict.fromkeys(model_of(made)[1], rectangular_uncertainty(half_width="6 mg"))
    relative = float(plan_budget(made, standard).relative.magnitude)
    text = dose_cloud_figure().text
    assert f"uncertainty about {relative:.2g} %" in text
    assert f"expanded about {2 * relative:.2g} %" in text
    assert f"worst case {PERCENT.show(plan_worst_case(made, EACH))}" in text
    assert "diluent: 2280 mg, about 0.15 %" in text


def test_it_says_that_it_is_a_simulation() -> None:
    """A picture of chance numbers is never taken for a measurement."""
    assert "a simulation, not a measurement" in dose_cloud_figure().text
    assert "<desc>" in dose_cloud_figure().html
    assert "a simulation, not a measurement" in dose_cloud_figure().html.partition("</desc>")[0]


def test_a_weighing_that_is_too_small_is_named() -> None:
    """The picture may be drawn, and the rule that it breaks is said."""
    text = dose_cloud_figure(drug_weighed="96 mg").text
    assert "Broken: The drug weighed must be at least the least weighable quantity. Here it is 120 mg." in text


@pytest.mark.parametrize("wanted", ["0.3 mg", "6 mg", "7 mg", "80 mg"])
def test_every_place_of_the_sliders_is_a_whole_multiple(wanted: str) -> None:
    """The house asks for a whole multiple factor, so the slider offers no other."""
    explorer = dose_cloud(wanted)
    drug, aliquot, _ = explorer.controls
    for place in (drug.min, drug.value, drug.max):
        for part in (aliquot.min, aliquot.max):
            drug.value, aliquot.value = place, part
            assert "whole multiple" not in explorer.said.value
            assert "simulated doses" in explorer.said.value


def test_the_list_says_how_good_each_balance_is() -> None:
    """A name alone would not tell which one is better."""
    entries = [entry for entry, _ in dose_cloud().controls[2].options]
    assert entries[0] == "Balance 1: may be off by 6 mg"
    assert len(entries) == len(HOUSE.balances)


def test_what_cannot_be_is_refused_with_what_can() -> None:
    """Another balance, a drug that needs no aliquot, a bare number."""
    with pytest.raises(RefusedError, match="Balance 1"):
        dose_cloud_figure(balance="Balance 9")
    with pytest.raises(RefusedError, match="less than 90 mg"):
        dose_cloud("120 mg")
    with pytest.raises(RefusedError, match="must be a mass"):
        dose_cloud_figure(drug_weighed="120")


def test_no_dose_lies_beyond_the_worst_case() -> None:
    """Every simulated weighing stays within its limit, so the picture never contradicts the worst case."""
    for drug, part in (("120 mg", "120 mg"), ("240 mg", "240 mg")):
        html = dose_cloud_figure(drug_weighed=drug, aliquot=part).html
        low, high = limits(html)
        multiple = str(read_text(drug).magnitude / 6)
        worst = float(plan_worst_case(plan(multiple, part), EACH).magnitude)
        dots, crosses = marks(html)
        furthest = max(abs(x - (low + high) / 2) for x in dots + crosses)
        assert furthest <= (worst + 0.25) * (high - low) / 10 + 0.2


def test_doses_beyond_the_picture_stand_at_its_edge_and_it_is_said() -> None:
    """Far too small amounts: nothing is left out, and the reader is told."""
    shown = dose_cloud_figure(drug_weighed="24 mg", aliquot="24 mg")
    assert "Some lie further out than this picture reaches" in shown.text
    assert sum(map(len, marks(shown.html))) == RUNS


def test_without_numpy_a_stand_in_is_drawn_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """In a browser there is no numpy: as many doses are drawn, about as many are crosses, and the words tell."""
    assert "stand-in" not in dose_cloud_figure().text
    monkeypatch.setitem(sys.modules, "numpy", None)
    shown = dose_cloud_figure()
    dots, crosses = marks(shown.html)
    assert len(dots) + len(crosses) == RUNS
    assert 25 < len(crosses) < 75
    assert "This picture is a stand-in: numpy" in shown.text
