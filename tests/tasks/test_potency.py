"""Tasks about potency: published orders, slips by name, and a slip that costs only its own step."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from pharmcalc.feedback import feedback_text
from pharmcalc.tasks.family import Task
from pharmcalc.units import Quantity, quantity
from tests.questions import mg
from tests.slips import Numbers, drawn_tasks, given, marked, only_loses, plain, rounded, verdict_on

WATER = Fraction("18.015")


def molar(number: str) -> Quantity:
    """Return a molar mass."""
    return quantity(number, "gram / mole")


def percent(number: str) -> Quantity:
    """Return a percentage."""
    return quantity(number, "percent")


def dried() -> Task:
    """Return 500 mg of drug from a powder of 98 % on the dried basis that loses 5 %."""
    values = {"drug_wanted": mg(500), "assay_dried": percent("98"), "loss_on_drying": percent("5")}
    return given("powder-on-dried-basis", values, drug="a drug")


# Published and hand-worked -------------------------------------------------------------------------------------------


def test_a_potency_label_divides() -> None:
    """1 g of drug from a powder of 620 microgram/mg is 1.613 g; multiplied it would be 0.62 g."""
    # potency-label convention; numbers of the published check list
    values = {"drug_wanted": quantity(1, "gram"), "purity": percent("62")}
    task = given("powder-for-purity", values, drug="a drug", said="a potency of 620 microgram/mg")
    assert marked(task, powder_to_weigh="1.613 g").cleared
    mark = marked(task, powder_to_weigh="0.62 g")
    assert verdict_on(mark, "powder to weigh") == ("MISTAKE", "purity-upside-down")
    assert mark.clearance.critical
    assert "would hold only 38.4 % of the drug that is wanted" in feedback_text(mark)


def test_citric_acid_monohydrate_for_the_dry_acid() -> None:
    """50 mg of the dry acid (192.12) are 54.69 mg of the monohydrate, by molar masses or by its loss on drying."""
    # molar masses as monographs print them, from memory; published check list
    values = {
        "anhydrous_wanted": mg(50),
        "molar_mass_anhydrous": molar("192.12"),
        "waters": quantity(1),
    }
    task = given("hydrate-to-weigh", values, named="anhydrous citric acid", used="citric acid monohydrate", water="")
    assert marked(task, hydrate_to_weigh="54.69 mg").cleared
    assert marked(task, hydrate_to_weigh="50 mg / (100 % - 8.57 %)").cleared
    assert verdict_on(marked(task, hydrate_to_weigh="59.82 mg"), "hydrate to weigh")[1] == "hydrate-water-twice"


def test_a_base_from_its_salt() -> None:
    """7.70 mg of a base (271.4) are in 10 mg of its salt (352.3), so 10 mg of base need 12.98 mg of salt."""
    # the published pair of the review book; the inverse is derived
    values = {
        "drug_wanted": mg(10),
        "molar_mass_named": molar("271.4"),
        "molar_mass_used": molar("352.3"),
        "named_in_one_used": quantity(1),
    }
    task = given("salt-form", values, base="a base", salt="its salt")
    assert marked(task, salt_to_weigh="12.98 mg").cleared
    assert verdict_on(marked(task, salt_to_weigh="7.70 mg"), "salt to weigh")[1] == "salt-factor-upside-down"
    assert verdict_on(marked(task, salt_to_weigh="10 mg"), "salt to weigh")[1] == "salt-factor-left-out"


def test_a_sulfate_of_two_bases_by_hand() -> None:
    """100 mg of a base (250) need 140 mg of its sulfate (700, two bases); one base counted would double the drug."""
    # numbers chosen here; derived: 100 x 700 / (250 x 2)
    values = {
        "drug_wanted": mg(100),
        "molar_mass_named": molar("250"),
        "molar_mass_used": molar("700"),
        "named_in_one_used": quantity(2),
    }
    task = given("salt-form", values, base="a base", salt="its sulfate")
    assert task.answer_lines() == "salt to weigh = 140 mg"
    mark = marked(task, salt_to_weigh="280 mg")
    assert verdict_on(mark, "salt to weigh") == ("MISTAKE", "salt-count-left-out")
    assert mark.clearance.critical
    assert "would hold 2 times the drug that is wanted" in feedback_text(mark)


def test_a_damp_powder_by_hand() -> None:
    """98 % of what 5 % of drying leave is 93.1 %, and 500 mg of drug are in 537.06 mg."""
    mark = marked(dried(), assay_of_the_powder="93.1 %", powder_to_weigh="537.06 mg")
    assert (mark.marks, mark.out_of, mark.cleared) == (4, 4, True)


# A slip costs its own step -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("assay", "powder", "mistake"),
    [
        ("93 %", "537.63 mg", "assay-loss-subtracted"),  # 98 - 5; 500 / 0.93
        ("98 %", "510.2 mg", "assay-loss-left-out"),
        ("103.16 %", "484.7 mg", "assay-loss-divided"),  # 98 / 0.95
    ],
)
def test_a_slip_in_the_assay_is_followed_through(assay: str, powder: str, mistake: str) -> None:
    """Subtracted, left out or divided: the powder follows from it, and one step is lost."""
    mark = marked(dried(), assay_of_the_powder=assay, powder_to_weigh=powder)
    assert verdict_on(mark, "assay of the powder") == ("MISTAKE", mistake)
    assert verdict_on(mark, "powder to weigh")[0] == "FOLLOWS" or mistake == "assay-loss-subtracted"
    assert only_loses(mark, "assay of the powder")


# Slips by name, on drawn numbers -------------------------------------------------------------------------------------

Slip = tuple[str, str, str, str, Callable[[Numbers], Fraction]]


def _water(v: Numbers) -> Fraction:
    """Return the water in a hydrate as its certificate prints it, to 0.01 %."""
    water = v["waters"] * WATER
    return round(water / (v["molar_mass_anhydrous"] + water), 4)


def _dry(v: Numbers) -> Fraction:
    return v["assay_dried"] * (1 - v["loss_on_drying"])


SLIPS: list[Slip] = [
    (
        "salt-form",
        "salt to weigh",
        "mg",
        "salt-factor-upside-down",  # mistake 23
        lambda v: v["drug_wanted"] * v["molar_mass_named"] * v["named_in_one_used"] / v["molar_mass_used"],
    ),
    ("salt-form", "salt to weigh", "mg", "salt-factor-left-out", lambda v: v["drug_wanted"]),
    (
        "hydrate-to-weigh",
        "hydrate to weigh",
        "mg",
        "hydrate-upside-down",
        lambda v: v["anhydrous_wanted"] * v["molar_mass_anhydrous"] / (v["molar_mass_anhydrous"] + v["waters"] * WATER),
    ),
    ("hydrate-to-weigh", "hydrate to weigh", "mg", "hydrate-water-left-out", lambda v: v["anhydrous_wanted"]),
    (  # mistake 37, by the molar masses and the loss on drying
        "hydrate-to-weigh",
        "hydrate to weigh",
        "mg",
        "hydrate-water-twice",
        lambda v: v["anhydrous_wanted"] * (1 + v["waters"] * WATER / v["molar_mass_anhydrous"]) / (1 - _water(v)),
    ),
    ("powder-for-purity", "powder to weigh", "mg", "purity-upside-down", lambda v: v["drug_wanted"] * v["purity"]),
    ("powder-for-purity", "powder to weigh", "mg", "purity-left-out", lambda v: v["drug_wanted"]),
    (
        "powder-for-purity",
        "powder to weigh",
        "mg",
        "purity-missing-part-added",
        lambda v: v["drug_wanted"] * (2 - v["purity"]),
    ),
    (  # mistake 23, additive
        "powder-on-dried-basis",
        "assay of the powder",
        "%",
        "assay-loss-subtracted",
        lambda v: (v["assay_dried"] - v["loss_on_drying"]) * 100,
    ),
    ("powder-on-dried-basis", "assay of the powder", "%", "assay-loss-left-out", lambda v: v["assay_dried"] * 100),
    (
        "powder-on-dried-basis",
        "assay of the powder",
        "%",
        "assay-loss-divided",
        lambda v: v["assay_dried"] / (1 - v["loss_on_drying"]) * 100,
    ),
    ("powder-on-dried-basis", "powder to weigh", "mg", "purity-upside-down", lambda v: v["drug_wanted"] * _dry(v)),
    ("powder-on-dried-basis", "powder to weigh", "mg", "purity-left-out", lambda v: v["drug_wanted"]),
]


@pytest.mark.parametrize(
    ("family", "label", "unit", "mistake", "number"), SLIPS, ids=[f"{slip[0]}-{slip[3]}" for slip in SLIPS]
)
def test_a_slip_in_potency_is_named(
    family: str, label: str, unit: str, mistake: str, number: Callable[[Numbers], Fraction]
) -> None:
    """A factor upside down or left out, water counted twice, a loss subtracted: named, and only its step is lost."""
    for task in drawn_tasks(family, 25):
        mark = marked(task, **{label.replace(" ", "_"): f"{rounded(number(plain(task)))} {unit}"})
        assert verdict_on(mark, label) == ("MISTAKE", mistake), task.question_text()
        assert only_loses(mark, label)


def test_two_bases_in_one_sulfate_are_counted() -> None:
    """Where the salt holds two of the base, leaving the count out doubles the drug; where it holds one, nothing."""
    counts = set()
    for task in drawn_tasks("salt-form", 40):
        v = plain(task)
        mark = marked(
            task, salt_to_weigh=f"{rounded(v['drug_wanted'] / v['molar_mass_named'] * v['molar_mass_used'])} mg"
        )
        counts.add(v["named_in_one_used"])
        if v["named_in_one_used"] == 2:
            assert verdict_on(mark, "salt to weigh") == ("MISTAKE", "salt-count-left-out")
            assert not mark.cleared
        else:
            assert mark.cleared
    assert counts == {1, 2}


def test_the_certificate_states_the_water_of_hydration_as_a_percentage() -> None:
    """The loss on drying that is printed beside the molar masses is the same water, said in another way."""
    for task in drawn_tasks("hydrate-to-weigh", 20):
        percent_of_water = float(_water(plain(task)) * 100)
        assert f"loss on drying of {percent_of_water:g} %, which is this same water" in task.question_text()


def test_one_water_for_many_is_named() -> None:
    """A heptahydrate has seven waters; with one of them far too little would be weighed."""
    seen = 0
    for task in drawn_tasks("hydrate-to-weigh", 40):
        v = plain(task)
        if v["waters"] > 1:
            one = v["anhydrous_wanted"] * (v["molar_mass_anhydrous"] + WATER) / v["molar_mass_anhydrous"]
            mark = marked(task, hydrate_to_weigh=f"{rounded(one)} mg")
            assert verdict_on(mark, "hydrate to weigh") == ("MISTAKE", "hydrate-to-weigh-one-water")
            seen += 1
    assert seen > 10
