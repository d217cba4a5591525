"""The record: replayed it gives the same readings; changed, it is refused with the reason."""

import json
from typing import Any

import pytest

from pharmcalc.bench import SIMULATED, Session, file_name, read_record, record_text, weigh_by_the_book
from pharmcalc.bench.record import LONGEST_RECORD
from pharmcalc.bench.session import LOOKS, MOST_EVENTS
from pharmcalc.errors import CourseError, RefusedError
from tests.bench.orders import order

BOOK = weigh_by_the_book(order())
TEXT = record_text(BOOK)


def test_replay_is_exact() -> None:
    """Every state, every reading, every sentence."""
    assert read_record(TEXT, order()).moments == BOOK.moments
    assert record_text(read_record(TEXT, order())) == TEXT


def test_the_record_says_what_it_is_and_is_never_an_observed_weighing() -> None:
    """One line for each thing done; the note stands in the file itself."""
    data = json.loads(TEXT)
    assert data["note"] == SIMULATED
    assert "never counts as an observed weighing" in SIMULATED
    assert len(data["done"]) == len(BOOK.moments)
    assert TEXT.count("\n") == len(BOOK.moments) + 7
    assert file_name("q6") == "bench-record-q6.json"


def test_another_seed_gives_other_chances() -> None:
    """Two students who do the same things read different numbers."""
    other = Session(order(seed="another"), BOOK.events[:2])
    assert other.state.feet == BOOK.moments[1].after.feet or other.order.code != BOOK.order.code
    shown = [weigh_by_the_book(order(seed=f"seed {n}")).moments[-8].shown.text for n in range(8)]
    assert len(set(shown)) > 2


def test_the_first_look_is_the_reading() -> None:
    """The display flickers; what is read and written down is what it showed first."""
    session = Session(order(), BOOK.events[:20])
    looks = session.flicker()
    assert len(looks) == LOOKS
    assert looks[0] == session.moments[-1].shown
    moment = session.act("read") if looks[0].shown is not None else None
    assert moment is None or moment.after.readings[-1] == moment.shown.shown


def edited(change: str, value: Any) -> str:
    """Return the record with one thing in it changed."""
    data = json.loads(TEXT)
    if change == "shown":
        place = next(n for n, row in enumerate(data["done"]) if row[0] == "read")
        data["done"][place][2] = value
    elif change == "row":
        data["done"][5] = value
    elif change == "drop":
        del data["done"][value]
    else:
        data[change] = value
    return json.dumps(data)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "cannot be read"),
        ("not json", "cannot be read"),
        ("[" * 100_000, "cannot be read"),
        ("[]", "is no bench record"),
        ("{}", "is no bench record"),
        (edited("form", "another form"), "is no bench record"),
        (edited("done", "nothing"), "is no bench record"),
        (edited("order", "0" * 12), "belongs to another order"),
        (edited("done", [["wait", "", ""]] * (MOST_EVENTS + 1)), "too many lines"),
        (" " * (LONGEST_RECORD + 1), "far too long"),
        (edited("shown", "0.250 g"), "The file was changed"),
        (edited("row", ["sing", "", ""]), "line 6 of the bench record cannot have been done"),
        (edited("row", ["sign", "", ""]), "line 6 of the bench record cannot have been done"),
        (edited("row", ["wait", 1, ""]), "line 6 of the bench record is not readable"),
        (edited("row", ["wait"]), "line 6 of the bench record is not readable"),
        (edited("row", {"wait": ""}), "line 6 of the bench record is not readable"),
        (edited("drop", 1), "line 2"),
    ],
    ids=lambda value: str(value)[:20] or "empty",
)
def test_a_record_that_was_changed_is_refused_and_says_where(text: str, reason: str) -> None:
    """A reading cannot be made up: the replay shows another."""
    with pytest.raises(CourseError, match=reason):
        read_record(text, order())


def test_a_record_that_is_cut_off_is_a_record_of_less() -> None:
    """What was done up to there counts, and no more."""
    data = json.loads(TEXT)
    data["done"] = data["done"][:20]
    assert read_record(json.dumps(data), order()).moments == BOOK.moments[:20]


def test_a_record_is_full_at_some_point() -> None:
    """Nobody waits for ever; the cure is said."""
    session = Session(order())
    for _ in range(MOST_EVENTS):
        session.act("wait")
    with pytest.raises(RefusedError, match="the record is full"):
        session.act("wait")


def test_to_start_again_keeps_what_went_before_on_record() -> None:
    """The bench is empty again; the record is not."""
    session = Session(order(), BOOK.events)
    session.act("start again")
    assert session.state.balance == ""
    assert session.state.clock > BOOK.state.clock
    assert session.since_begun() == []
    assert len(session.moments) == len(BOOK.moments) + 1
