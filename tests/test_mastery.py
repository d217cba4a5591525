"""A self-learner's record: kept at once, told in words, and the guide to what comes next."""

import multiprocessing
import sqlite3
from pathlib import Path

import pytest

from pharmcalc.errors import CourseError
from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.mastery import FADES_AFTER, IN_A_ROW, Mastery
from pharmcalc.tasks.family import FAMILIES, family_called
from pharmcalc.units import quantity
from tests.questions import HOUSE, mg, task_with


def card(family: str, number: int, *, right: bool = True) -> TaskMark:
    """Return the mark of a card, answered rightly or not at all."""
    task = family_called(family).task("q1", f"mastery {number}", HOUSE)
    return mark_task(task, task.answer_lines() if right else "")


def upside_down() -> TaskMark:
    """Return the mark of a least weighable quantity turned upside down: 6 mg x 5 % = 0.3 mg."""
    task = task_with("least-weighable-quantity", sensitivity=mg(6), allowed_error=quantity(5, "percent"))
    return mark_task(task, "0.3 mg")


@pytest.fixture(params=["in its file", "in memory"])
def mastery(tmp_path: Path, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Mastery:
    """Return an empty record, kept as usual and as in a browser."""
    monkeypatch.setattr("pharmcalc.mastery.IN_MEMORY", request.param == "in memory")
    return Mastery(tmp_path / "record.sqlite3")


def test_three_right_in_a_row_are_mastery_and_one_slip_ends_it(mastery: Mastery) -> None:
    """Two are not enough; a wrong answer after them asks for three more."""
    family = family_called("percentage-ww")
    for number in range(IN_A_ROW):
        assert not mastery.standing(family).mastered
        mastery.record(f"card {number}", card(family.id, number))
    assert mastery.standing(family).mastered
    mastery.record("slip", card(family.id, 9, right=False))
    assert not mastery.standing(family).mastered
    assert "3 right of the last 4" in mastery.standing(family).says()


def test_only_the_first_verdict_on_a_card_counts(mastery: Mastery) -> None:
    """Looking at the feedback and typing the right number is no mastery."""
    assert mastery.record("card 1", card("percentage-ww", 1, right=False))
    assert not mastery.record("card 1", card("percentage-ww", 1))
    assert mastery.standing(family_called("percentage-ww")).right_of_recent == 0


def test_what_went_wrong_comes_before_what_is_new_but_not_at_once(mastery: Mastery) -> None:
    """A weak kind of task comes back; between two of its cards there is room for another that is weak too."""
    mastery.record("1", card("ratio-strength", 1, right=False))
    assert mastery.next().family.id == "ratio-strength"
    mastery.record("2", card("percentage-wv", 1, right=False))
    assert mastery.next().family.id == "ratio-strength"
    assert "tried once, not right yet" in mastery.next().why


def test_new_kinds_begin_with_one_step(mastery: Mastery) -> None:
    """An empty record asks for a task of level 1, in the subject chosen if there is one."""
    assert mastery.next().family.level == 1
    assert mastery.next("aliquots").family.subject == "aliquots"
    assert "not tried yet" in mastery.next().why


def test_what_was_mastered_fades_and_comes_back(mastery: Mastery) -> None:
    """When everything is mastered, the kind that was seen longest ago is next."""
    subject = "estimates"
    families = [family for family in FAMILIES.values() if family.subject == subject]
    for family in families:
        for number in range(IN_A_ROW):
            mastery.record(f"{family.id} {number}", card(family.id, number))
    assert mastery.next(subject).family is families[0]
    assert FADES_AFTER > 0


def test_the_most_frequent_mistake_is_told_by_name(mastery: Mastery) -> None:
    """Twice turned round, said in the words that feedback uses."""
    for number in range(2):
        mastery.record(f"lwq {number}", upside_down())
    assert mastery.frequent_mistakes() == [(upside_down().verdicts[0].mistake_name, 2)]
    assert upside_down().verdicts[0].mistake_id == "lwq-upside-down"


def test_the_record_is_exported_and_erased(mastery: Mastery) -> None:
    """A learner can take it along as CSV, and can make it gone."""
    mastery.record("lwq", upside_down())
    lines = mastery.export().splitlines()
    assert lines[0].startswith("at,card,family,subject,marks,out_of")
    assert "least-weighable-quantity" in lines[1]
    mastery.erase()
    assert mastery.export().splitlines() == lines[:1]
    assert b"least-weighable" not in mastery.path.read_bytes()


def _record_and_die(path: str) -> None:
    import os

    mastery = Mastery(path)
    mastery.record("before the crash", card("percentage-ww", 1))
    file = sqlite3.connect(path)
    file.execute("INSERT INTO answers (card) VALUES ('half written')")
    os._exit(9)


def test_a_crash_loses_nothing_and_leaves_nothing_half_written(tmp_path: Path) -> None:
    """The process dies in the middle of a change: what was recorded is there, what was not finished is not."""
    path = tmp_path / "record.sqlite3"
    process = multiprocessing.get_context("spawn").Process(target=_record_and_die, args=(str(path),))
    process.start()
    process.join()
    assert process.exitcode == 9
    assert [line.split(",")[1] for line in Mastery(path).export().splitlines()[1:]] == ["before the crash"]


def test_a_file_that_is_no_record_is_left_alone(tmp_path: Path) -> None:
    """It is told, not overwritten."""
    path = tmp_path / "record.sqlite3"
    path.write_text("my shopping list " * 100)
    with pytest.raises(CourseError, match="cannot be used as a record of practice"):
        Mastery(path).record("1", upside_down())
    assert path.read_text().startswith("my shopping list")


def test_a_subject_that_is_not_there_is_refused_with_the_list(mastery: Mastery) -> None:
    """The message names those there are."""
    with pytest.raises(CourseError, match="aliquots"):
        mastery.next("cooking")


def test_what_is_worked_at_the_bench_is_never_dealt_as_a_card(mastery: Mastery) -> None:
    """It stands in no standing, is no subject, and does not come next even when everything else is mastered."""
    assert not any(standing.family.recorded for standing in mastery.standings())
    with pytest.raises(CourseError, match='there is no subject "bench"') as refusal:
        mastery.next("bench")
    assert "bench" not in str(refusal.value).partition("The subjects are:")[2]
    dealt = set()
    for number in range(len(mastery.standings())):
        family = mastery.next().family
        dealt.add(family.id)
        for again in range(IN_A_ROW):
            mastery.record(f"{family.id} {number} {again}", card(family.id, again))
    assert dealt == {family.id for family in FAMILIES.values() if not family.recorded}
