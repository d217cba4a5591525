"""The bench in an assignment: the student's own order, kept in a file; the verdict at once only where it may."""

from pathlib import Path

import pytest

from pharmcalc.notebook.bench_place import BenchPlace
from pharmcalc.notebook.sitting import Sitting


@pytest.fixture
def sitting(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Sitting:
    """A sitting with one order for the bench, in an empty folder."""
    monkeypatch.chdir(tmp_path)
    made = Sitting("bench-1", 1)
    made.task("q4 bench-weighing")
    return made


def test_no_bench_stands_there_before_the_house_rules_are_read(sitting: Sitting) -> None:
    """Whose balances they are is not known yet."""
    place = BenchPlace("q4")
    place.show(sitting)
    assert place.box.children == ()
    sitting.house_rules("")
    place.show(sitting)
    assert len(place.box.children) == 1


def test_the_order_is_the_students_own_and_the_verdict_waits_for_the_marking(sitting: Sitting) -> None:
    """Without a number it is self-study, with the verdict at once."""
    sitting.house_rules("")
    place = BenchPlace("q4")
    place.show(sitting)
    assert place.view is not None
    assert place.view.judged
    alone = place.view.card.order.code
    sitting.student("student number = A-07\nattempt = 1")
    place.show(sitting)
    assert not place.view.judged
    assert place.view.card.order.code != alone


def test_running_the_cell_again_keeps_the_work(sitting: Sitting, tmp_path: Path) -> None:
    """The record lies beside the notebook under the task's name."""
    sitting.house_rules("")
    sitting.student("student number = A-07\nattempt = 1")
    place = BenchPlace("q4")
    place.show(sitting)
    assert place.view is not None
    place.view.card.act("use balance", "Balance 1")
    place.show(sitting)
    assert len(place.view.card.session.moments) == 1
    assert (tmp_path / "bench-record-q4.json").is_file()
    again = BenchPlace("q4")
    again.show(sitting)
    assert again.view is not None
    assert len(again.view.card.session.moments) == 1


def test_what_is_judged_at_the_bench_stands_above_it(sitting: Sitting) -> None:
    """Each step of the routine with its marks, and no box to type in."""
    sitting.house_rules("")
    sitting.student("student number = A-07\nattempt = 1")
    text = sitting.question("q4").text
    assert "Nothing is typed as an answer" in text
    assert "tare (1 mark)" in text
