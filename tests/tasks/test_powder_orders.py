"""Whole orders with a hydrate or a salt: worked by hand, every slip by name, and clearance by what would be made."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from pharmcalc.aliquots import Limits
from pharmcalc.feedback import feedback_text
from pharmcalc.tasks.family import Drawn, Task, family_called
from pharmcalc.units import quantity
from tests.questions import HOUSE, mg
from tests.slips import Numbers, drawn_tasks, marked, only_loses, plain, rounded, verdict_on

EXTRA = 2
"""What the course's own house rules add to every batch."""


def order(family: str, unit: str, per_unit: str, **molar_or_percent: object) -> Task:
    """Return an order of 10 units of 250 mg, calculated for 12, on a balance of 6 mg and 5 %."""
    values = {
        "per_unit": mg(per_unit),
        "units_ordered": quantity(10),
        "extra_units": quantity(EXTRA),
        "unit_mass": mg(250),
        "sensitivity": mg(6),
        "allowed_error": quantity(5, "percent"),
        **molar_or_percent,
    }
    limits = Limits(mg(120), mg(1), quantity(120, "gram"))
    return Task("q1", family_called(family), Drawn(values, {"unit": unit}, limits), HOUSE)


def powders(per_unit: str = "20") -> Task:
    """Return powders of an anhydrous drug (160 g/mol) from its hydrate (286): 95 % anhydrous, 40 % water."""
    return order(
        "order-divided-powders",
        "powder",
        per_unit,
        assay_dried=quantity(95, "percent"),
        loss_on_drying=quantity(40, "percent"),
        molar_mass_anhydrous=quantity(160, "gram / mole"),
        molar_mass_hydrate=quantity(286, "gram / mole"),
    )


def capsules(per_unit: str = "20") -> Task:
    """Return capsules of a base (300 g/mol) from its hydrochloride (336)."""
    return order(
        "order-capsules-salt",
        "capsule",
        per_unit,
        molar_mass_named=quantity(300, "gram / mole"),
        molar_mass_used=quantity(336, "gram / mole"),
        named_in_one_used=quantity(1),
    )


# Worked by hand ------------------------------------------------------------------------------------------------------


def test_an_order_of_powders_by_hand() -> None:
    """12 powders need 240 mg; 57 % of the jar is drug, so 421 mg of it; 2579 mg of lactose make 3 g."""
    # derived: 240 / (0.95 x 0.6) = 421.05; 12 x 250 - 421.05
    typed = {"powder_from_the_jar": "421 mg", "lactose_to_weigh": "2579 mg", "way": "directly"}
    mark = marked(powders(), drug_for_the_batch="240 mg", least_weighable_quantity="120 mg", **typed)
    assert (mark.marks, mark.out_of, mark.cleared) == (11, 11, True)


def test_an_order_of_capsules_by_hand() -> None:
    """12 capsules need 240 mg of base, 268.8 mg of salt, and 2731 mg of lactose."""
    # derived: 240 x 336 / 300; 12 x 250 - 268.8
    mark = marked(capsules(), salt_from_the_jar="269 mg", lactose_to_weigh="2731 mg")
    assert (mark.marks, mark.out_of, mark.cleared) == (11, 11, True)


@pytest.mark.parametrize("task", [powders("2"), capsules("5")], ids=["powders", "capsules"])
def test_a_small_need_is_not_weighed_directly(task: Task) -> None:
    """42 mg or 67 mg on a balance that may weigh 120 mg: not directly; who would do it is not cleared."""
    assert "way = not directly" in task.answer_lines()
    mark = marked(task, way="weigh directly")
    assert mark.clearance.critical
    assert mark.marks == mark.out_of - 2


def test_both_ways_are_drawn() -> None:
    """In some orders the powder reaches the least weighable quantity, in some it does not."""
    for family in ("order-divided-powders", "order-capsules-salt"):
        ways = [task.answer_lines().count("not directly") for task in drawn_tasks(family, 60)]
        assert 5 <= sum(ways) <= 40


# A slip costs its own step -------------------------------------------------------------------------------------------


def test_extra_units_left_out_are_followed_through_the_whole_order() -> None:
    """Ten for twelve: 200 mg, 351 mg and 2149 mg follow; one mark is lost, each powder is right, the batch short."""
    rest = {"drug_for_the_batch": "200 mg", "powder_from_the_jar": "351 mg", "lactose_to_weigh": "2149 mg"}
    mark = marked(powders(), number_of_units="10", **rest)
    assert verdict_on(mark, "number of units") == ("MISTAKE", "loss-left-out")
    assert only_loses(mark, "number of units")
    assert not mark.cleared
    assert not mark.clearance.critical
    assert "powder for 10 units and nothing for what is always lost" in feedback_text(mark)


def test_water_counted_twice_is_followed_through() -> None:
    """421 mg times 286/160 are 753 mg; 2247 mg of lactose follow, and each powder would hold 79 % too much."""
    mark = marked(powders(), powder_from_the_jar="752.6 mg", lactose_to_weigh="2247 mg")
    assert verdict_on(mark, "powder from the jar") == ("MISTAKE", "dried-basis-water-twice")
    assert only_loses(mark, "powder from the jar")
    assert not mark.cleared
    assert "Filled to 250 mg, each powder would hold 79 % more drug than is wanted" in feedback_text(mark)


def test_a_salt_weighed_as_the_base_is_followed_through() -> None:
    """240 mg of salt and 2760 mg of lactose: each capsule would hold 11 % less."""
    mark = marked(capsules(), salt_from_the_jar="240 mg", lactose_to_weigh="2760 mg")
    assert verdict_on(mark, "salt from the jar") == ("MISTAKE", "salt-factor-left-out")
    assert only_loses(mark, "salt from the jar")
    assert not mark.cleared
    assert "each capsule would hold 11 % less drug than is wanted" in feedback_text(mark)


def test_a_powder_that_leaves_no_room_is_not_gone_on_from() -> None:
    """4210 mg cannot be in a batch of 3000 mg: the tenfold slip is critical, and the lactose is marked on 421 mg."""
    mark = marked(powders(), powder_from_the_jar="4210 mg")
    assert only_loses(mark, "powder from the jar")
    assert mark.clearance.critical
    assert "there would be no room for lactose" in feedback_text(mark)


def test_a_slip_in_the_limit_is_no_danger_where_the_way_stays_right() -> None:
    """0.3 mg for 120 mg loses its marks; the powder that is weighed is right all the same."""
    mark = marked(powders(), least_weighable_quantity="0.3 mg")
    assert verdict_on(mark, "least weighable quantity") == ("MISTAKE", "lwq-upside-down")
    assert only_loses(mark, "least weighable quantity")
    assert mark.cleared


def test_a_way_that_follows_from_a_wrong_limit_earns_its_marks_but_no_clearance() -> None:
    """With 0.3 mg for 120 mg, 42 mg seem enough: right from the student's own number, and still not to be weighed."""
    mark = marked(powders("2"), least_weighable_quantity="0.3 mg", way="weigh directly")
    assert only_loses(mark, "least weighable quantity")
    assert not mark.cleared


# Slips by name, on drawn numbers -------------------------------------------------------------------------------------

Slip = tuple[str, str, str, Callable[[Numbers], Fraction]]


def _need(v: Numbers) -> Fraction:
    return v["per_unit"] * (v["units_ordered"] + EXTRA)


def _whole(v: Numbers) -> Fraction:
    return v["unit_mass"] * (v["units_ordered"] + EXTRA)


def _dry(v: Numbers) -> Fraction:
    return 1 - v["loss_on_drying"]


def _jar(v: Numbers) -> Fraction:
    return _need(v) / v["assay_dried"] / _dry(v)


def _salt(v: Numbers) -> Fraction:
    return _need(v) * v["molar_mass_used"] / v["molar_mass_named"] / v["named_in_one_used"]


POWDERS, CAPSULES = "order-divided-powders", "order-capsules-salt"
SLIPS: list[Slip] = [
    (POWDERS, "drug for the batch", "unit-for-batch", lambda v: v["per_unit"]),  # mistake 26
    (POWDERS, "drug for the batch", "batch-loss-left-out", lambda v: v["per_unit"] * v["units_ordered"]),  # 33
    (
        POWDERS,
        "drug for the batch",
        "batch-loss-counted-twice",  # 33
        lambda v: v["per_unit"] * (v["units_ordered"] + 2 * EXTRA),
    ),
    (
        POWDERS,
        "powder from the jar",
        "dried-basis-loss-subtracted",  # 23, additive
        lambda v: _need(v) / (v["assay_dried"] - v["loss_on_drying"]),
    ),
    (POWDERS, "powder from the jar", "dried-basis-loss-left-out", lambda v: _need(v) / v["assay_dried"]),
    (POWDERS, "powder from the jar", "dried-basis-assay-left-out", lambda v: _need(v) / _dry(v)),
    (POWDERS, "powder from the jar", "dried-basis-upside-down", lambda v: _need(v) * v["assay_dried"] * _dry(v)),
    (POWDERS, "powder from the jar", "dried-basis-loss-multiplied", lambda v: _need(v) / v["assay_dried"] * _dry(v)),
    (
        POWDERS,
        "powder from the jar",
        "dried-basis-water-twice",  # 37
        lambda v: _jar(v) * v["molar_mass_hydrate"] / v["molar_mass_anhydrous"],
    ),
    (POWDERS, "least weighable quantity", "lwq-upside-down", lambda v: v["sensitivity"] * v["allowed_error"]),  # 1
    (POWDERS, "lactose to weigh", "filler-powder-left-in", _whole),
    (POWDERS, "lactose to weigh", "filler-beside-drug", lambda v: _whole(v) - _need(v)),
    (
        POWDERS,
        "lactose to weigh",
        "filler-beside-loss-left-out",
        lambda v: v["unit_mass"] * v["units_ordered"] - _jar(v),
    ),
    (CAPSULES, "base for the batch", "unit-for-batch", lambda v: v["per_unit"]),
    (CAPSULES, "base for the batch", "batch-loss-left-out", lambda v: v["per_unit"] * v["units_ordered"]),
    (CAPSULES, "salt from the jar", "salt-factor-left-out", _need),
    (
        CAPSULES,
        "salt from the jar",
        "salt-factor-upside-down",  # 23
        lambda v: _need(v) / v["molar_mass_used"] * v["molar_mass_named"] * v["named_in_one_used"],
    ),
    (CAPSULES, "lactose to weigh", "filler-powder-left-in", _whole),
    (CAPSULES, "lactose to weigh", "filler-beside-drug", lambda v: _whole(v) - _need(v)),
    (
        CAPSULES,
        "lactose to weigh",
        "filler-beside-loss-left-out",
        lambda v: v["unit_mass"] * v["units_ordered"] - _salt(v),
    ),
]


@pytest.mark.parametrize(
    ("family", "label", "mistake", "number"), SLIPS, ids=[f"{slip[0]}-{slip[2]}" for slip in SLIPS]
)
def test_a_slip_in_an_order_is_named(
    family: str, label: str, mistake: str, number: Callable[[Numbers], Fraction]
) -> None:
    """Extra units, water, salt factor, drug for powder: each slip is known by its number and costs its own step."""
    for task in drawn_tasks(family, 25):
        wrong = number(plain(task))
        mark = marked(task, **{label.replace(" ", "_"): f"{rounded(wrong)} mg"})
        assert verdict_on(mark, label) == ("MISTAKE", mistake), task.question_text()
        assert only_loses(mark, label)


def test_the_number_of_units_is_named_too() -> None:
    """The extra units left out, or counted twice."""
    for task in drawn_tasks(CAPSULES, 20):
        ordered = plain(task)["units_ordered"]
        for wrong, mistake in ((ordered, "loss-left-out"), (ordered + 2 * EXTRA, "loss-counted-twice")):
            mark = marked(task, number_of_units=str(wrong))
            assert verdict_on(mark, "number of units") == ("MISTAKE", mistake)
            assert only_loses(mark, "number of units")
