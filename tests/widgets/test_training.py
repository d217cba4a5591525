"""Practice without end: the record chooses, the first verdict counts, and the view only shows."""

from pathlib import Path

import pytest

from pharmcalc.widgets.practice import PracticeCard
from pharmcalc.widgets.training import WHATEVER, Training, train
from pharmcalc.widgets.training_view import ERASE, SURE


def wrong(card: PracticeCard) -> str:
    """Answer a card with numbers from nowhere."""
    task = card.task
    return "\n".join(f"{asked.said} = {task.typed(asked, task.values[asked.name] * 7)}" for asked in task.amounts)


@pytest.fixture
def training(tmp_path: Path) -> Training:
    """Return training with an empty record."""
    return Training(tmp_path / "record.sqlite3")


def test_a_card_judged_is_recorded_once(training: Training) -> None:
    """An empty check records nothing; the first real one does; the corrected one changes nothing."""
    card, family = training.card, training.card.family
    card.verdict_html(card.form)
    card.verdict_html(f"{card.task.asked[0].said} = seven of them")
    assert training.mastery.standing(family).answered == 0
    card.verdict_html(wrong(card))
    card.verdict_html(card.task.answer_lines())
    assert (training.mastery.standing(family).answered, training.mastery.standing(family).right_of_recent) == (1, 0)


def test_the_next_card_of_a_kind_has_other_numbers_in_a_later_session(training: Training) -> None:
    """Numbers are counted on in the record, so that a new day does not begin with the same card."""
    first = training.card
    first.fresh()  # other numbers of the same kind: these are answered, and the card before stays unanswered
    first.verdict_html(wrong(first))
    later = Training(training.mastery.path)
    assert later.card.family is first.family
    assert later.card.question != first.question
    later.card.verdict_html(wrong(later.card))
    assert later.mastery.standing(first.family).answered == 2


def test_a_subject_can_be_chosen(training: Training) -> None:
    """Then every card is of that subject, until "what I need most" is chosen again."""
    for subject in training.subjects()[1:]:
        training.choose(subject)
        assert training.card.family.subject == subject
    training.choose(WHATEVER)
    assert training.subject == ""


def test_the_record_is_shown_in_words(training: Training) -> None:
    """What stands how, and which mistakes come again."""
    assert "Nothing answered yet" in training.standing_html()
    training.choose("aliquots")
    training.card.verdict_html("least weighable quantity = 0.3 mg")
    assert "tried once, not right yet" in training.standing_html()


def test_the_view_deals_cards_and_keeps_what_was_typed(tmp_path: Path) -> None:
    """Choosing a subject deals a card of it; checking writes the verdict; the next card clears it."""
    view = train(tmp_path / "record.sqlite3")
    view.subject.value = "aliquots"
    card = view.place.children[0]
    assert card.card.family.subject == "aliquots"
    card.answer.value = "least weighable quantity = 0.3 mg"
    card.check.click()
    assert "Marks:" in card.verdict.value
    assert card.answer.value == "least weighable quantity = 0.3 mg"
    view.record.click()
    assert "Your record" in view.stands.value
    view.next.click()
    assert view.place.children[0] is not card
    assert "Practice without end" in view._repr_mimebundle_()["text/plain"]


def test_the_record_can_be_taken_along_and_erased(tmp_path: Path) -> None:
    """As a table beside the file; erased only after a second press, which another button takes back."""
    view = train(tmp_path / "record.sqlite3")
    family = view.training.card.family
    view.training.card.verdict_html(wrong(view.training.card))
    view.export.click()
    assert family.id in (tmp_path / "record.csv").read_text(encoding="utf-8")
    assert "record.csv" in view.stands.value
    view.erase.click()
    assert view.erase.description == SURE
    view.record.click()
    assert view.erase.description == ERASE
    assert view.training.mastery.standing(family).answered == 1
    view.erase.click()
    view.erase.click()
    assert view.training.mastery.standing(family).answered == 0
    assert "Your record is empty" in view.stands.value


def test_the_bench_is_no_subject_of_cards(training: Training) -> None:
    """It is practised at the bench itself."""
    assert "bench" not in training.subjects()
    assert not training.card.family.recorded
