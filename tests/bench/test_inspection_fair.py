"""What is unusual at the bench and nobody's fault: an inspector holds nothing of it against anybody."""

from dataclasses import replace

import pytest

from pharmcalc.balances import percentage_of_error
from pharmcalc.bench import DONE, Event, Order, Session, inspect, weigh_by_the_book
from pharmcalc.units import quantity
from tests.bench.orders import Change, ahead, drop, order, weighed

ALL_DONE = {DONE, "weighed"}
AT_REST = ("close shield", *["wait"] * 5)
LARGER = order(quantity(900, "mg"))


def in_other_words(session: Session, event: Event) -> list[Event]:
    """Write the record as others would write it."""
    other = event.what.replace("K1111", " k 1111").replace("237.5 mg", "0.2375 g").replace("allowed to", "Allowed  TO")
    return [replace(event, what=other)] if event.action == "write" else [event]


FAIR: dict[str, tuple[Order, Change]] = {
    "read and zeroed the empty pan afterwards, to look for residue and drift": (
        order(), ahead("wipe", *AT_REST, "read", "zero", "open shield")),
    "took the tared vessel off and put the same one on again": (
        order(), ahead("take jar", "open shield", "take off", "put on: weighing paper", "close shield")),
    "zeroed before levelling too": (order(), ahead("turn", "zero")),
    "opened a wrong jar, read its label, and put it back unused": (
        order(), ahead("take jar", "take jar: B", "open jar", "read label", "close jar", "put jar back")),
    "emptied the vessel, tared again and began again": (
        order(), ahead("add", "take out: large scoop", "excess: discard", *AT_REST, "tare", "open shield", number=2)),
    "waited five minutes": (order(), ahead("take jar", *["wait"] * 50)),
    "read twice": (order(), ahead("read", "read")),
    "had too much and discarded it": (
        order(), ahead("read", "open shield", "take out: light tap", "excess: discard", *AT_REST)),
    "returned too much where the house says so": (
        order(excess="return"), ahead("read", "open shield", "take out: light tap", "excess: return", *AT_REST)),
    "put a wrong record right after the check, and asked again": (
        order(), ahead("write", "write: lot = K2222", "second check")),
    "wrote grams, small letters and spaces": (order(), in_other_words),
    "turned a foot when the powder had been read": (order(), ahead("write", "turn: left foot up")),
    "prepared another balance first": (
        order(), ahead("use balance", "use balance: Balance 3", "switch on", "zero")),
    "prepared a balance that may not weigh 90 mg, and went to one that may": (
        order(quantity(90, "mg")),
        ahead("use balance", "use balance: Balance 1", "switch on"),
    ),
    "began badly and started again": (
        order(), ahead("use balance", "use balance: Balance 2", "switch on", "open shield", "put on: beaker",
                       "take jar: B", "open jar", "add: large scoop", "start again")),
}  # fmt: skip


@pytest.mark.parametrize("what", FAIR)
def test_what_is_unusual_and_safe_costs_nothing(what: str) -> None:
    """Every step is done all the same."""
    found = inspect(weighed(*FAIR[what]))
    assert set(found.values()) == ALL_DONE, found


def test_by_the_book_nothing_is_found_amiss() -> None:
    """Every step is done, and the work is signed."""
    assert set(inspect(weigh_by_the_book(order())).values()) == ALL_DONE


def test_only_what_comes_after_the_last_beginning_is_looked_at() -> None:
    """Who starts again has nothing behind them, good or bad."""
    session = weighed(LARGER, drop("tare"))
    session.act("start again")
    found = inspect(session)
    assert (found["outcome"], found["tare"], found["zero"]) == ("unfinished", "not-reached", "not-zeroed")


def test_five_grams_are_weighed_with_other_digits_on_the_display() -> None:
    """5.006 g read for 5 g wanted is 0.12 % off and accepted; 5.251 g is not: the allowed error decides, not digits.

    Common practice, no source.
    """
    wanted = order(quantity(5, "g"))
    least, most = wanted.allowed
    assert percentage_of_error(sensitivity="6 mg", load="5 g") == quantity("0.12", "percent")
    assert least <= 5_006_000 <= most < 5_251_000
    session = weigh_by_the_book(wanted)
    assert session.state.readings[-1] != 5_000_000
    assert set(inspect(session).values()) == ALL_DONE
