"""A session at the bench: chance belongs to the order and the place in the record, and replay is exact."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.bench import ACTIONS, Event, Order, Session, weigh_by_the_book
from pharmcalc.bench.session import LOOKS, MOST_EVENTS
from pharmcalc.errors import RefusedError
from tests.bench.orders import did, order

BOOK = weigh_by_the_book(order())
TEXTS = ("", "AB", "lot = K1111", "no such line")


def some_events(wanted: Order) -> st.SearchStrategy[list[Event]]:
    """Return a strategy for things to do, in any order, sensible or not."""
    return st.lists(
        st.sampled_from(
            [
                Event(action.id, what)
                for action in ACTIONS.values()
                for what in (TEXTS if action.free else action.choices(wanted) if action.choices else ("",))
            ]
        ),
        max_size=60,
    )


def done(wanted: Order, events: list[Event]) -> Session:
    """Return a session of those events that can be done."""
    session = Session(wanted)
    for event in events:
        try:
            session.act(event.action, event.what)
        except RefusedError:
            continue
    return session


def test_a_weighing_by_the_book_replays_to_the_same_moments() -> None:
    """Every state, every reading, every sentence, on every machine."""
    assert Session(order(), BOOK.events).moments == BOOK.moments


@given(some_events(order()))
def test_any_session_replays_to_the_same_moments(events: list[Event]) -> None:
    """Whatever was done, however foolish; and what was refused has left no trace."""
    session = done(order(), [*BOOK.events[:25], *events])
    assert Session(order(), session.events).moments == session.moments


def test_another_order_has_other_chances() -> None:
    """Two students who do the same things see other feet, other scoops and other numbers."""
    sessions = [Session(order(seed=f"seed {n}"), did("use balance: Balance 1", "switch on")) for n in range(12)]
    assert len({session.state.feet for session in sessions}) > 3
    assert len({weigh_by_the_book(order(seed=f"seed {n}")).state.readings for n in range(8)}) > 3
    assert len({session.order.code for session in sessions}) == 12


def test_the_first_look_is_what_the_record_says() -> None:
    """The display flickers while one looks; the first look is the reading, and the others are near it."""
    session = Session(order(), BOOK.events[: [event.action for event in BOOK.events].index("read") + 1])
    looks = session.flicker()
    assert len(looks) == LOOKS
    assert looks[0] == session.moments[-1].shown
    assert session.state.readings == (looks[0].shown,)
    assert len({look.text for look in looks}) > 1
    assert all(abs((look.shown or 0) - (looks[0].shown or 0)) <= 7_000 for look in looks)
    assert session.flicker() == looks


def test_a_dark_display_shows_nothing_at_every_look() -> None:
    """Before anything is switched on."""
    assert [look.text for look in Session(order()).flicker()] == [""] * LOOKS


def test_a_record_is_full_at_some_point() -> None:
    """Nobody waits for ever; what is there can be handed in."""
    session = Session(order())
    for _ in range(MOST_EVENTS):
        session.act("wait")
    with pytest.raises(RefusedError, match=r"the record is full \(1000 actions\). Hand it in as it is."):
        session.act("sign", "AB")


def test_to_start_again_keeps_what_went_before_on_record() -> None:
    """The bench is empty again; the record and the clock are not."""
    session = Session(order(), BOOK.events)
    session.act("start again")
    assert session.state.balance == ""
    assert session.state.clock > BOOK.state.clock
    assert session.since_begun() == []
    assert len(session.moments) == len(BOOK.moments) + 1


def test_after_a_new_beginning_the_bench_is_as_it_was_at_first() -> None:
    """Balance off and tilted as before, nothing on the pan, no jar out; only the clock went on."""
    begun = did(
        "use balance: Balance 1", "switch on", "turn: left foot up", "open shield", "put on: beaker", "start again"
    )
    again = Session(order(), [*begun, Event("use balance", "Balance 1")]).state
    first = Session(order(), [Event("use balance", "Balance 1")]).state
    assert replace(again, clock=first.clock) == first
