"""Orders at the simulated bench: fair draws, four reasons to stop or none, and one right way for each."""

import pytest

from pharmcalc.bench import Event, Session, inspect, record_text, weigh_by_the_book
from pharmcalc.marking import mark_task
from pharmcalc.tasks.bench_orders import bench_order
from pharmcalc.tasks.family import FAMILIES, Task, family_called
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import quantity
from tests.questions import HOUSE, house

IDS = ("bench-weighing", "bench-batch", "bench-doubtful")
REASONS = {"hazardous": "hazardous drug", "no-balance": "no balance can weigh it", "no-product": "no jar is right"}


def draws(family: str, count: int = 60) -> list[Task]:
    """Return tasks drawn with different keys."""
    return [family_called(family).task("q1", f"draw {number}", HOUSE) for number in range(count)]


def stopped(task: Task, reason: str) -> str:
    """Return the record of stopping at once."""
    assert task.drawn.order is not None
    session = Session(task.drawn.order)
    session.act("stop and ask", reason)
    return record_text(session)


def test_plain_orders_can_be_weighed_and_doubtful_ones_are_of_every_kind() -> None:
    """Nobody can tell from the question which it is."""
    for family in IDS[:2]:
        assert {task.drawn.order.halts for task in draws(family)} == {""}
    assert {task.drawn.order.halts for task in draws("bench-doubtful")} == {"", *REASONS}
    assert {family.text for family in map(family_called, ("bench-weighing", "bench-doubtful"))} == {
        family_called("bench-weighing").text
    }


@pytest.mark.parametrize("family", IDS)
def test_the_shelf_has_four_jars_that_look_alike_and_at_most_one_is_right(family: str) -> None:
    """The right one exists just when the order is not one for want of a jar."""
    for task in draws(family):
        order = task.drawn.order
        assert [jar.letter for jar in order.shelf] == list("ABCD")
        right = [jar for jar in order.shelf if not order.what_is_wrong(jar)]
        assert len(right) == (0 if order.halts == "no-product" else 1)
        assert len({jar.lot for jar in order.shelf}) == 4


def test_the_right_jar_stands_in_every_place() -> None:
    """No place of the shelf is a safe guess."""
    places = [task.drawn.order.right_jar.letter for task in draws("bench-weighing", 80)]
    assert {places.count(letter) > 8 for letter in "ABCD"} == {True}


def test_some_orders_fit_only_one_balance() -> None:
    """Whoever takes the first balance without looking is wrong at times."""
    fits = [len(task.drawn.order.fit_balances) for task in draws("bench-weighing")]
    assert 1 in fits
    assert len(HOUSE.balances) in fits


def test_a_stop_for_the_right_reason_earns_everything_and_any_other_end_is_wrong() -> None:
    """And what was rightly left undone costs nothing."""
    for task in draws("bench-doubtful"):
        halts = task.drawn.order.halts
        for id, reason in REASONS.items():
            mark = mark_task(task, stopped(task, reason))
            assert (mark.marks == task.out_of, mark.cleared) == (id == halts, id == halts)


def test_to_weigh_what_is_hazardous_is_critical_and_earns_nothing() -> None:
    """However well it is done."""
    task = next(task for task in draws("bench-doubtful") if task.drawn.order.halts == "hazardous")
    order = task.drawn.order
    session = Session(order)
    for action, what in (
        ("use balance", next(iter(order.fit_balances))), ("switch on", ""), ("wait half an hour", ""), ("zero", ""),
        ("open shield", ""), ("put on", "weighing paper"), ("close shield", ""), ("tare", ""),
        ("take jar", order.right_jar.letter), ("read label", ""), ("open jar", ""), ("open shield", ""),
        ("add", "small scoop"), ("close shield", ""), ("read", ""), ("sign", "AB"),
    ):  # fmt: skip
        session.act(action, what)
    mark = mark_task(task, record_text(session))
    assert mark.clearance.critical
    assert mark.marks == 0


def test_to_stop_only_after_powder_was_taken_is_not_to_stop_in_time() -> None:
    """A jar that should have stayed closed was opened and used."""
    task = next(task for task in draws("bench-doubtful") if task.drawn.order.halts == "hazardous")
    order = task.drawn.order
    begun = ("use balance", "Balance 1"), ("open shield", ""), ("put on", "small boat"), ("take jar", "A")
    session = Session(order, [Event(*one) for one in (*begun, ("open jar", ""), ("add", "tap"))])
    session.act("stop and ask", "hazardous drug")
    mark = mark_task(task, record_text(session))
    assert mark.marks < task.out_of
    assert not mark.cleared


def test_a_batch_is_weighed_for_all_its_units_and_those_for_loss() -> None:
    """The amount stands nowhere in the question."""
    for task in draws("bench-batch"):
        text, order = task.question_text(), task.drawn.order
        units, dose = int(text.split("reads: ")[1].split()[0]), text.split("each with ")[1].split(" of ")[0]
        number, unit = dose.split()
        assert order.target == quantity(number, unit) * (units + HOUSE.extra_units)


@pytest.mark.parametrize("family", IDS)
@pytest.mark.parametrize(
    "rules",
    [
        house(allowed_error='"2 %"'),
        house(excess_powder='"return"'),
        house(extra_units_for_loss="0"),
    ],
    ids=("2 %", "return", "no extra units"),
)
def test_other_house_rules_give_orders_that_can_be_done_by_the_book(family: str, rules: object) -> None:
    """The laboratory's own balances, limits and customs."""
    for number in range(15):
        task = family_called(family).task("q1", f"lab {number}", rules)
        mark = mark_task(task, task.answer_lines())
        assert (mark.marks, mark.cleared) == (task.out_of, True), task.question_text()


def test_the_course_has_its_bench_orders_under_one_subject() -> None:
    """Each is worked at the bench and none is typed."""
    assert {family.id for family in FAMILIES.values() if family.recorded} == set(IDS)
    assert {FAMILIES[id].subject for id in IDS} == {"bench"}
    assert bench_order("k", HOUSE).code == bench_order("k", HOUSE).code != bench_order("l", HOUSE).code


def test_by_the_book_every_step_is_done_on_every_draw() -> None:
    """Nobody who follows the routine is marked down by chance."""
    for family in IDS[:2]:
        for task in draws(family, 150):
            found = inspect(weigh_by_the_book(task.drawn.order))
            assert set(found.values()) == {"done", "weighed"}, task.question_text()


@pytest.mark.parametrize(
    "rules", [house(allowed_error='"2 %"'), house(excess_powder='"return"')], ids=("2 %", "return")
)
def test_doubtful_orders_are_of_every_kind_under_other_house_rules(rules: HouseRules) -> None:
    """Each is what it is for the laboratory's own limits, and its question says what becomes of excess powder."""
    tasks = [family_called("bench-doubtful").task("q1", f"lab {number}", rules) for number in range(40)]
    assert {task.drawn.order.halts for task in tasks} == {"", *REASONS}
    custom = "goes back into its jar" if rules.excess_powder == "return" else "is discarded"
    for task in tasks:
        order = task.drawn.order
        assert order.excess == rules.excess_powder
        assert f"excess powder {custom}" in task.question_text()
        least = min(balance.least_weighable(rules.allowed_error) for balance in rules.balances)
        assert (order.target < least) == (order.halts == "no-balance")
        assert any("HAZARDOUS" in jar.label() for jar in order.shelf) == (order.halts == "hazardous")


def test_what_begins_with_powder_and_ends_with_a_stop_is_marked_and_not_cleared() -> None:
    """On every kind of order that has to be stopped, and however it is cleared up afterwards."""
    for task in draws("bench-doubtful"):
        order = task.drawn.order
        if not order.halts:
            continue
        begun = ("use balance", "Balance 1"), ("open shield", ""), ("put on", "small boat"), ("take jar", "A")
        session = Session(order, [Event(*one) for one in (*begun, ("open jar", ""), ("add", "tap"))])
        session.act("start again")
        session.act("stop and ask", REASONS[order.halts])
        mark = mark_task(task, record_text(session))
        assert (mark.cleared, mark.clearance.critical) == (False, False)
        assert 0 < mark.marks < task.out_of
