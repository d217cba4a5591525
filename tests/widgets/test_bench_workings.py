"""Weighings in a lesson: by the book, and with one thing left out."""

import pytest

from pharmcalc.bench import weigh_by_the_book
from pharmcalc.errors import RefusedError
from pharmcalc.tasks.bench_orders import bench_order
from pharmcalc.widgets.bench_workings import show_routine, show_without
from tests.questions import HOUSE


def test_the_routine_shows_every_action_with_the_display_after_it() -> None:
    """One row an action, in order."""
    moments = weigh_by_the_book(bench_order("lesson", HOUSE)).moments
    html = show_routine().html
    assert html.count('<th scope="row">') == len(moments)
    assert "never counts as an observed weighing" in html


def test_a_routine_that_is_begun_keeps_the_rest_folded() -> None:
    """First go on alone, then compare."""
    html = show_routine(steps=5).html
    begun, _, rest = html.partition("<details>")
    assert begun.count('<th scope="row">') == 5
    assert "Compare" in rest


@pytest.mark.parametrize(
    ("left_out", "found"),
    [
        ("wait half an hour", "Warm-up: zero set on a cold balance"),
        ("turn", "Level: not level"),
        ("read label", "Label: label not read"),
        ("second check", "Second check: no second check"),
        ("wipe", "Closed and clean: not wiped down"),
    ],
)
def test_what_is_left_out_is_what_the_inspector_finds(left_out: str, found: str) -> None:
    """And the display still says a number."""
    text = show_without(left_out, key="c").text
    assert found in text
    assert "the display says 0." in text


def test_an_action_that_the_routine_does_not_have_is_refused_with_those_it_has() -> None:
    """Nobody can leave out what was never there."""
    with pytest.raises(RefusedError, match="tare"):
        show_without("sing")
