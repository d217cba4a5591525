"""Tasks about batches: hand-worked orders, slips by name, and a slip that costs only its own step."""

from collections.abc import Callable
from fractions import Fraction
from math import ceil

import pytest

from pharmcalc.feedback import feedback_text
from pharmcalc.tasks.batches import loss
from pharmcalc.tasks.family import Task, family_called
from pharmcalc.units import quantity
from tests.questions import HOUSE, house, mg
from tests.slips import Numbers, drawn_tasks, given, marked, only_loses, plain, rounded, verdict_on

EXTRA = 2
"""What the course's own house rules add to every batch."""


def capsules() -> Task:
    """Return 10 capsules calculated for 11: 325 mg of drug (0.75 g/mL) in 0.48 mL, filler of 0.80 g/mL."""
    # the published capsule problem; 37.33 mg exactly, and 0.4107 g for eleven
    density = "gram / millilitre"
    values = {
        "capsule_volume": quantity("0.48", "millilitre"),
        "drug": mg(325),
        "drug_density": quantity("0.75", density),
        "filler_density": quantity("0.80", density),
        "units_ordered": quantity(10),
        "extra_units": quantity(1),
        "units_made": quantity(11),
    }
    return given("capsule-filler", values, size="1", loss="")


def tablets() -> Task:
    """Return 10 capsules of 5 mg, calculated for 12, from tablets of 25 mg that weigh 200 mg."""
    values = {
        "dose": mg(5),
        "units_ordered": quantity(10),
        "number_of_units": quantity(12),
        "labelled_drug": mg(25),
        "tablet_mass": mg(200),
    }
    return given("crushed-tablets", values, drug="a drug", loss="")


def moulds() -> Task:
    """Return 4 suppositories, calculated for 6, of 300 mg of drug in 2 g moulds; displacement value 1.5."""
    values = {
        "mould": mg(2000),
        "drug_per_unit": mg(300),
        "displacement_value": quantity("1.5"),
        "units_ordered": quantity(4),
        "extra_units": quantity(2),
    }
    return given("mould-base", values, form="suppositories", loss="")


# Worked by hand ------------------------------------------------------------------------------------------------------


def test_the_published_batch_of_ten_charts() -> None:
    """30 mg in each of ten charts, calculated for twelve: 360 mg (UNC, powders laboratory)."""
    values = {
        "per_unit": mg(30),
        "units_ordered": quantity(10),
        "extra_units": quantity(2),
        "units_made": quantity(12),
    }
    task = given("units-for-loss", values, form="divided powders", loss="")
    assert task.answer_lines() == "drug for the batch = 360 mg"
    assert verdict_on(marked(task, drug_for_the_batch="300 mg"), "drug for the batch")[1] == "batch-loss-left-out"


def test_the_published_capsule_filler() -> None:
    """0.48 mL less 325 mg at 0.75 g/mL leave 37.3 mg at 0.80 g/mL, and 411 mg for eleven; 40 mg is too coarse."""
    mark = marked(capsules(), filler_for_one_capsule="37.3 mg", filler_for_the_batch="0.411 g")
    assert (mark.marks, mark.out_of, mark.cleared) == (4, 4, True)
    early = marked(capsules(), filler_for_one_capsule="40 mg", filler_for_the_batch="0.440 g")
    assert verdict_on(early, "filler for one capsule")[0] != "RIGHT"
    assert verdict_on(early, "filler for the batch") == ("FOLLOWS", "")
    assert not early.cleared


def test_crushed_tablets_by_hand() -> None:
    """60 mg of drug for twelve: three tablets of 25 mg, and 480 mg of their powder."""
    assert tablets().answer_lines() == (
        "drug for the batch = 60 mg\nnumber of tablets = 3\ntablet powder to weigh = 480 mg"
    )


def test_a_base_for_six_moulds_by_hand() -> None:
    """300 mg at 1.5 displace 200 mg, so 1.8 g a mould and 10.8 g for six."""
    assert moulds().answer_lines() == "number of units = 6\nbase to weigh = 10.8 g"


# A slip costs its own step -------------------------------------------------------------------------------------------


def test_units_left_out_are_followed_through() -> None:
    """Four moulds instead of six: 7.2 g of base follow; one mark of three is lost."""
    mark = marked(moulds(), number_of_units="4", base_to_weigh="7.2 g")
    assert verdict_on(mark, "number of units") == ("MISTAKE", "loss-left-out")
    assert verdict_on(mark, "base to weigh") == ("FOLLOWS", "")
    assert only_loses(mark, "number of units")
    assert "the last moulds would not be full" in feedback_text(mark)


def test_one_dose_for_the_batch_is_followed_through() -> None:
    """5 mg for all: one tablet and 40 mg of powder follow; a twelfth of the dose would be in each capsule."""
    mark = marked(tablets(), drug_for_the_batch="5 mg", number_of_tablets="1", tablet_powder_to_weigh="40 mg")
    assert verdict_on(mark, "drug for the batch") == ("MISTAKE", "dose-for-batch")
    assert only_loses(mark, "drug for the batch")
    assert mark.clearance.critical
    assert "each would hold only 8.33 % of the drug that is wanted" in feedback_text(mark)


def test_a_capsule_filled_as_if_empty_is_followed_through() -> None:
    """384 mg of filler in a capsule that holds drug too: 4.224 g follow, and no capsule would close."""
    mark = marked(capsules(), filler_for_one_capsule="384 mg", filler_for_the_batch="4.224 g")
    assert verdict_on(mark, "filler for one capsule") == ("MISTAKE", "filler-whole-capsule")
    assert only_loses(mark, "filler for one capsule")
    assert "a capsule would not close" in feedback_text(mark)


@pytest.mark.parametrize(
    ("task", "label", "typed", "said"),
    [
        (tablets, "number_of_tablets", "1", "not be enough powder to weigh out"),
        (tablets, "number_of_tablets", "6", "More tablets would be crushed"),
        (capsules, "filler_for_the_batch", "0.37333 g", "not be enough to fill every capsule"),
        (capsules, "filler_for_the_batch", "0.448 g", "would hold too little drug"),
        (capsules, "filler_for_one_capsule", "30 mg", "would stay partly empty"),
        (moulds, "base_to_weigh", "12 g", "each unit would be too weak"),
        (moulds, "base_to_weigh", "9.3 g", "the others be too strong"),
    ],
)
def test_what_a_wrong_amount_would_have_done(task: Callable[[], Task], label: str, typed: str, said: str) -> None:
    """Too few tablets, too much filler, too little base: each has its own consequence."""
    assert said in feedback_text(marked(task(), **{label: typed}))


# Slips by name, on drawn numbers -------------------------------------------------------------------------------------

Slip = tuple[str, str, str, Callable[[Numbers], Fraction]]


def _in_mg(number: Fraction) -> str:
    return f"{rounded(number)} mg"


SLIPS: list[Slip] = [
    ("units-for-loss", "drug for the batch", "unit-for-batch", lambda v: v["per_unit"]),  # mistake 26
    ("units-for-loss", "drug for the batch", "batch-loss-left-out", lambda v: v["per_unit"] * v["units_ordered"]),  # 33
    (
        "units-for-loss",
        "drug for the batch",
        "batch-loss-counted-twice",
        lambda v: v["per_unit"] * (v["units_ordered"] + 2 * EXTRA),
    ),
    (
        "capsule-filler",
        "filler for one capsule",
        "filler-whole-capsule",
        lambda v: v["capsule_volume"] * v["filler_density"] * 1000,
    ),
    (
        "capsule-filler",
        "filler for one capsule",
        "filler-with-filler-density",
        lambda v: v["capsule_volume"] * v["filler_density"] * 1000 - v["drug"],
    ),
    (
        "capsule-filler",
        "filler for one capsule",
        "filler-with-drug-density",
        lambda v: v["capsule_volume"] * v["drug_density"] * 1000 - v["drug"],
    ),
    (
        "mould-base",
        "base to weigh",
        "displacement-left-out",
        lambda v: (v["mould"] - v["drug_per_unit"]) * (v["units_ordered"] + EXTRA),
    ),
    (
        "mould-base",
        "base to weigh",
        "displacement-upside-down",
        lambda v: (v["mould"] - v["drug_per_unit"] * v["displacement_value"]) * (v["units_ordered"] + EXTRA),
    ),
    ("mould-base", "base to weigh", "displaced-by-nothing", lambda v: v["mould"] * (v["units_ordered"] + EXTRA)),
    (
        "crushed-tablets",
        "tablet powder to weigh",
        "tablet-powder-as-drug",  # mistake 38
        lambda v: v["dose"] * v["number_of_units"],
    ),
    (
        "crushed-tablets",
        "tablet powder to weigh",
        "tablet-powder-upside-down",
        lambda v: v["dose"] * v["number_of_units"] / v["tablet_mass"] * v["labelled_drug"],
    ),
    ("crushed-tablets", "drug for the batch", "extra-units-left-out", lambda v: v["dose"] * v["units_ordered"]),
]


@pytest.mark.parametrize(
    ("family", "label", "mistake", "number"), SLIPS, ids=[f"{slip[0]}-{slip[2]}" for slip in SLIPS]
)
def test_a_slip_in_a_batch_is_named(
    family: str, label: str, mistake: str, number: Callable[[Numbers], Fraction]
) -> None:
    """One unit for all, the loss left out or counted twice, powder for drug: named, and only its own step is lost."""
    shown = [(task, number(plain(task))) for task in drawn_tasks(family, 25)]
    shown = [(task, wrong) for task, wrong in shown if wrong > 0]  # a student sees that there is no such mass
    assert len(shown) >= 10
    for task, wrong in shown:
        mark = marked(task, **{label.replace(" ", "_"): _in_mg(wrong)})
        assert verdict_on(mark, label) == ("MISTAKE", mistake), task.question_text()
        assert only_loses(mark, label)


def test_part_of_a_tablet_and_tablets_by_their_mass_are_named() -> None:
    """2.4 tablets are not crushed, but 3; and a tablet of 200 mg gives 25 mg of drug, not 200."""
    assert verdict_on(marked(tablets(), number_of_tablets="2.4"), "number of tablets")[1] == "tablets-not-rounded-up"
    for task in drawn_tasks("crushed-tablets", 20):
        v = plain(task)
        by_mass = ceil(v["dose"] * v["number_of_units"] / v["tablet_mass"])
        assert verdict_on(marked(task, number_of_tablets=str(by_mass)), "number of tablets")[1] == "tablets-by-mass"


# The house -----------------------------------------------------------------------------------------------------------


def test_the_question_says_how_many_extra_units_this_house_makes() -> None:
    """Two, one or none: the sentence agrees, and so does the batch."""
    assert loss(HOUSE) == "The house makes 2 extra units for loss."
    assert loss(house(extra_units_for_loss="1")) == "The house makes 1 extra unit for loss."
    none = house(extra_units_for_loss="0")
    task = family_called("units-for-loss").task("q1", "no extra", none)
    assert loss(none) == "The house makes no extra units for loss."
    assert task.question_text().count("makes no extra units") == 1
    assert plain(task)["amount_for_batch"] == plain(task)["per_unit"] * plain(task)["units_ordered"]
    assert marked(task).cleared
