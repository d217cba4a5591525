"""The record: replayed it gives the same readings; changed, it is refused with the reason."""

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pharmcalc.bench import SIMULATED, file_name, read_record, record_text, weigh_by_the_book
from pharmcalc.bench.record import LONGEST_RECORD
from pharmcalc.bench.session import MOST_EVENTS
from pharmcalc.errors import CourseError
from pharmcalc.units import quantity
from tests.bench.orders import order
from tests.questions import HOUSE

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
    elif change == "more":
        data["done"].append(value)
    elif change == "swap":
        data["done"][value : value + 2] = reversed(data["done"][value : value + 2])
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
        (edited("swap", 0), "line 1"),
        (edited("swap", 30), "of the bench record"),
        (edited("row", ["wait", "", "9.999 g"]), "line 6 of the bench record says"),
        (edited("more", ["sign", "AB", ""]), "the work is closed"),
        (edited("more", ["start again", "", "0.250 g"]), "The file was changed"),
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


@given(data=st.data())
def test_no_reading_can_be_made_up(data: st.DataObject) -> None:
    """Any other number in any line is found, and the line is named."""
    rows = json.loads(TEXT)
    numbers = [place for place, row in enumerate(rows["done"]) if row[2]]
    place = data.draw(st.sampled_from(numbers))
    shown = data.draw(st.integers(-999, 2999).map(lambda number: f"{number / 1000:.3f} g"))
    assume(shown != rows["done"][place][2])
    rows["done"][place][2] = shown
    with pytest.raises(CourseError, match=f"line {place + 1} of the bench record says"):
        read_record(json.dumps(rows), order())


def test_a_record_of_other_balances_is_not_this_one() -> None:
    """The same actions at a balance of another laboratory show other numbers."""
    others = tuple(replace(balance, display_step=quantity(10, "mg")) for balance in HOUSE.balances)
    with pytest.raises(CourseError, match="was made by another version"):
        read_record(TEXT, order(balances=others))


JSON = st.recursive(st.none() | st.integers() | st.text(max_size=20), st.lists, max_leaves=10).map(json.dumps)


@given(st.text(max_size=200) | JSON)
def test_any_text_is_read_or_refused(text: str) -> None:
    """Whatever is handed in: a session of this order, or a reason."""
    for given_text in (text, json.dumps({**json.loads(TEXT), "done": text}), TEXT[: len(text)]):
        with pytest.raises(CourseError, match="bench record"):
            read_record(given_text, order())
