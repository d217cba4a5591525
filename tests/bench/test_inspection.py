"""The inspection: each fault is found by its name, and nothing else is held against anybody."""

from collections.abc import Callable, Iterable

import pytest

from pharmcalc.bench import DONE, OUTCOME, STEPS, Event, Session, inspect, weigh_by_the_book
from pharmcalc.units import quantity
from tests.bench.orders import SHELF, before, changed, order, replaced, without

Change = Callable[[list[Event]], Iterable[Event]]
E = Event
FAULTS: dict[tuple[str, str], Change] = {
    ("balance", "balance-not-fit"): lambda e: replaced(e, E("use balance", "Balance 2"), E("use balance", "Balance 1")),
    ("level", "not-level"): lambda e: without(e, "turn"),
    ("warm_up", "cold"): lambda e: without(e, "wait half an hour"),
    ("zero", "not-zeroed"): lambda e: without(e, "zero"),
    ("zero", "zero-unsteady"): lambda e: before(without(e, "zero"), "put on", E("zero")),
    ("tare", "not-tared"): lambda e: without(e, "tare"),
    ("tare", "tare-unsteady"): lambda e: before(without(e, "tare"), "close shield", E("tare")),
    ("tare", "tared-again"): lambda e: before(e, "read", E("tare")),
    ("vessel", "vessel-too-large"): lambda e: replaced(e, E("put on", "weighing paper"), E("put on", "beaker")),
    ("product", "another-form"): lambda e: replaced(e, E("take jar", "A"), E("take jar", "B")),
    ("product", "another-grade"): lambda e: replaced(e, E("take jar", "A"), E("take jar", "C")),
    ("product", "expired"): lambda e: replaced(e, E("take jar", "A"), E("take jar", "D")),
    ("label", "label-never"): lambda e: without(e, "read label"),
    ("label", "label-once"): lambda e: [
        one for n, one in enumerate(e) if one.action != "read label" or n < [x.action for x in e].index("open jar")
    ],
    ("reading", "not-read"): lambda e: without(e, "read"),
    ("reading", "shield-open"): lambda e: before(e, "read", E("open shield")),
    ("reading", "changed-after-reading"): lambda e: before(e, "close jar", E("open shield"), E("add", "tap")),
    ("excess", "excess-against-the-rule"): lambda e: before(
        e, "close jar", E("open shield"), E("take out", "tap"), E("excess", "return"), E("close shield"), E("wait"),
        E("read"),
    ),
    ("excess", "excess-left"): lambda e: before(
        e, "close jar", E("open shield"), E("take out", "tap"), E("close shield"), E("wait"), E("read")
    ),
    ("closing", "jar-left"): lambda e: without(e, "put jar back"),
    ("closing", "not-wiped"): lambda e: without(e, "wipe"),
    ("record", "record-incomplete"): lambda e: without(e, "write"),
    ("record", "record-label-wrong"): lambda e: rewritten(e, "lot = K9999"),
    ("record", "record-range-wrong"): lambda e: rewritten(e, "allowed from = 200 mg"),
    ("record", "record-reading-wrong"): lambda e: rewritten(e, "reading = 0.250001 g"),
    ("second_check", "not-checked"): lambda e: without(e, "second check"),
    ("second_check", "checked-too-soon"): lambda e: before(without(e, "second check"), "write", E("second check")),
    (OUTCOME, "unfinished"): lambda e: without(e, "sign"),
    (OUTCOME, "stopped-hazardous-drug"): lambda e: [E("stop and ask", "hazardous drug")],
    (OUTCOME, "stopped-no-balance-can-weigh-it"): lambda e: [E("stop and ask", "no balance can weigh it")],
    (OUTCOME, "stopped-no-jar-is-right"): lambda e: [E("stop and ask", "no jar is right")],
}  # fmt: skip
FOLLOWS = {
    ("reading", "not-read"): {"amount", "record", "second_check"},
    ("reading", "changed-after-reading"): {"amount", "record", "second_check"},
    ("tare", "not-tared"): {"amount", "record"},
    ("tare", "tared-again"): {"amount", "record"},
    ("tare", "tare-unsteady"): {"amount", "record"},
    ("zero", "zero-unsteady"): {"amount", "record"},
    ("warm_up", "cold"): {"amount", "record"},
    ("reading", "shield-open"): {"amount", "record"},
    ("excess", "excess-against-the-rule"): {"amount", "record"},
    ("excess", "excess-left"): {"amount", "record"},
    ("vessel", "vessel-too-large"): {"amount", "record", "tare"},
    ("product", "another-form"): {"amount", "record"},
    ("product", "another-grade"): {"amount", "record"},
    ("product", "expired"): {"amount", "record"},
    ("level", "not-level"): {"amount", "record"},
    ("zero", "not-zeroed"): {"amount", "record"},
    ("label", "label-never"): {"amount", "record"},
    ("balance", "balance-not-fit"): {"amount", "record", "level"},
}
"""Other steps that a changed session may miss with it: its chances fall otherwise, and no reading follows."""


def rewritten(events: list[Event], line: str) -> list[Event]:
    """Return the events with one line of the record written anew."""
    place = next(n for n, event in enumerate(events) if event.action == "write")
    label = line.partition("=")[0]
    lines = [line if old.startswith(label) else old for old in events[place].what.splitlines()]
    return [*events[:place], Event("write", "\n".join(lines)), *events[place + 1 :]]


def target_for(step: str) -> int:
    """Return an amount at which the fault of a step can be made: one that only Balance 2 may weigh, or 250 mg."""
    return 90 if step == "balance" else 250


@pytest.mark.parametrize(("step", "fault"), FAULTS)
def test_each_fault_is_found_by_its_name(step: str, fault: str) -> None:
    """One thing is done wrong in a weighing by the book; the inspector names it."""
    wanted = order(quantity(target_for(step), "mg"))
    found = inspect(changed(wanted, FAULTS[step, fault]))
    assert found[step] == fault
    if step == OUTCOME:
        return
    amiss = {name for name, id in found.items() if id != DONE and name not in (step, OUTCOME)}
    assert amiss <= FOLLOWS.get((step, fault), set())


def test_every_fault_that_can_be_named_is_made_in_these_tests() -> None:
    """Those that only say that the work did not come so far, and those below, are the only others."""
    elsewhere = {
        ("vessel", "vessel-too-small"), ("product", "mixed-up"), ("amount", "outside"), ("amount", "untrue"),
        ("amount", "half-or-double"), ("reading", "read-too-soon"), (OUTCOME, "weighed"),
    }  # fmt: skip
    named = {(step.name, fault.id) for step in STEPS for fault in step.faults if fault.id != "not-reached"}
    assert named == set(FAULTS) | elsewhere


def test_by_the_book_nothing_is_found_amiss() -> None:
    """Every step is done, and the work is signed."""
    assert set(inspect(weigh_by_the_book(order())).values()) == {DONE, "weighed"}


def test_of_work_that_was_not_begun_nothing_is_made_up() -> None:
    """An empty session has no faults but that nothing was reached."""
    found = inspect(Session(order()))
    assert set(found.values()) == {"unfinished", "not-reached", "not-zeroed", "not-read", "not-checked"}


def weighed(*events: Event, target: int = 250) -> dict[str, str]:
    """Return what is found where the powder was put in by hand: set up by the book, then these events."""
    wanted = order(quantity(target, "mg"))
    book = weigh_by_the_book(wanted).events
    begun = book[: [event.action for event in book].index("open jar") + 1]
    session = Session(wanted, begun)
    for event in events:
        session.act(event.action, event.what)
    return inspect(session)


def test_a_vessel_that_cannot_hold_the_amount_is_too_small() -> None:
    """2 g on a weighing paper that holds 1 g."""
    wanted = order(quantity(2, "g"))
    small = changed(wanted, lambda e: replaced(e, E("put on", "small boat"), E("put on", "weighing paper")))
    assert inspect(small)["vessel"] == "vessel-too-small"


def test_powder_from_two_jars_is_mixed_up() -> None:
    """Even where both are right by themselves."""
    found = weighed(
        E("open shield"), E("add", "small scoop"), E("close jar"), E("put jar back"), E("take jar", "D"), E("open jar"),
        E("add", "small scoop"),
    )  # fmt: skip
    assert found["product"] == "mixed-up"


def test_a_reading_outside_the_allowed_range_is_outside() -> None:
    """About 180 mg for 250 mg, read at rest."""
    scoops = [E("add", "small scoop")] * 3
    found = weighed(E("open shield"), *scoops, E("close shield"), *[E("wait")] * 6, E("read"))
    assert found["amount"] == "outside"


def test_half_or_double_the_amount_is_told_apart() -> None:
    """About 400 mg for 180 mg."""
    found = weighed(
        E("open shield"), E("add", "large scoop"), E("close shield"), *[E("wait")] * 6, E("read"), target=125
    )
    assert found["amount"] == "half-or-double"


def test_a_reading_taken_at_once_is_taken_too_soon() -> None:
    """Mistake of every hurried day: the display was still climbing."""
    found = weighed(E("open shield"), E("add", "large scoop"), E("close shield"), E("read"), target=400)
    assert found["reading"] == "read-too-soon"


def test_a_reading_that_looks_right_on_a_balance_that_crept_is_untrue() -> None:
    """On some orders the cold zero has crept further than the allowed error, and nothing on the display says so."""
    cold = [
        inspect(weigh_by_the_book(order(quantity(120, "mg"), seed=f"cold {n}"), without=("wait half an hour",)))
        for n in range(6)
    ]
    assert {found["warm_up"] for found in cold} == {"cold"}
    assert "untrue" in {found["amount"] for found in cold}


def test_five_grams_are_weighed_with_five_point_zero_zero_six_on_the_display() -> None:
    """0.12 % off, judged by the allowed error and not by matching digits (common practice)."""
    least, most = order(quantity(5, "g")).allowed
    assert least <= 5_006_000 <= most


def test_only_what_comes_after_the_last_beginning_is_looked_at() -> None:
    """A weighing by the book after a bad one is a weighing by the book."""
    bad = changed(order(), lambda events: without(events, "tare"))
    bad.act("start again")
    assert inspect(bad)["outcome"] == "unfinished"
    assert inspect(bad)["tare"] == "not-reached"


def test_no_step_is_done_by_a_fault_and_every_text_ends_in_one_point() -> None:
    """Words of the faults are read aloud in feedback."""
    for step in STEPS:
        assert step.marks > 0
        assert not step.well_done.endswith(".")
        for fault in step.faults:
            assert fault.id != DONE
            assert not fault.said.endswith(".")
            assert fault.lesson.endswith(".")


def test_where_the_house_returns_excess_powder_to_the_jar_that_is_right() -> None:
    """A site rule, set by the instructor."""
    returning = order(excess="return")
    more = [E("open shield"), E("take out", "tap"), E("excess", "return"), E("close shield"), E("wait"), E("read")]
    assert inspect(changed(returning, lambda e: before(e, "close jar", *more)))["excess"] == DONE


def test_no_jar_and_no_balance_and_a_hazard_halt_the_order() -> None:
    """Why nothing may be weighed, in the order in which one asks."""
    assert order(shelf=SHELF[1:]).halts == "no-product"
    assert order(quantity(20, "mg")).halts == "no-balance"
    assert order().halts == ""
