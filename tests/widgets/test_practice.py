"""Practice cards: the model, and the thin view on it."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.tasks.family import typed_families
from pharmcalc.tasks.house import default_house_rules_text, read_house_rules
from pharmcalc.widgets import PracticeCard, practise
from pharmcalc.widgets.practice_view import HIDE, SHOW

CARDS = pytest.mark.parametrize("family_id", sorted(family.id for family in typed_families()))


@CARDS
def test_the_worked_answers_of_every_card_earn_everything(family_id: str) -> None:
    """A card marks as an assignment does."""
    card = PracticeCard(family_id)
    mark = card.check(card.task.answer_lines())
    assert mark.marks == mark.out_of
    assert mark.cleared


@CARDS
def test_fresh_numbers_are_never_the_ones_just_seen(family_id: str) -> None:
    """Whoever asks for fresh numbers gets a question that is not the same."""
    card = PracticeCard(family_id)
    seen = [card.question]
    for _ in range(5):
        card.fresh()
        seen.append(card.question)
    assert all(one != other for one, other in pairwise(seen))


def test_the_same_key_gives_the_same_cards_and_another_key_others() -> None:
    """Two students can work the same cards side by side, or different ones."""
    one, same, other = (PracticeCard("aliquot-batch", key=key) for key in ("a", "a", "b"))
    assert one.question == same.question != other.question
    one.fresh()
    same.fresh()
    assert one.question == same.question


def test_the_form_has_every_label_and_answers_nothing() -> None:
    """The box begins with the labels, so that only values have to be typed."""
    card = PracticeCard("aliquot-plan")
    assert card.form.splitlines() == [f"{asked.said} = " for asked in card.task.asked]
    assert card.check(card.form).marks == 0
    assert not card.check(card.form).sheet.stray


def test_an_empty_card_is_told_how_to_write_and_not_marked() -> None:
    """Pressing the button too early costs nothing and teaches something."""
    card = PracticeCard("least-weighable-quantity")
    html = card.verdict_html(card.form)
    assert "Nothing to check yet" in html
    assert "Marks" not in html


def test_a_mistake_is_named() -> None:
    """Dividing by the plain number of the percentage is recognised, and said in words."""
    card = PracticeCard("least-weighable-quantity")
    mistake = next(one for one in card.task.asked[0].formula.mistakes if one.id == "lwq-percent-as-number")
    wrong = card.task.typed(card.task.asked[0], mistake.evaluate(card.task.values))
    assert card.check(f"lwq = {wrong}").verdicts[0].mistake_id == mistake.id
    assert mistake.name in card.verdict_html(f"lwq = {wrong}")


def test_house_rules_stand_on_a_card_that_asks_for_a_plan() -> None:
    """A plan keeps the house rules, so they can be read there; a single formula needs none."""
    text = default_house_rules_text().replace('allowed-error = "5 %"', 'allowed-error = "4 %"')
    card = PracticeCard("aliquot-plan", house=read_house_rules(text))
    assert '<th scope="row">Allowed error of one weighing</th><td>4 %</td>' in card.question_html()
    assert "no more than 4 %" in card.question or "more than 4 %" in card.question
    assert "<details>" not in PracticeCard("percentage-of-error").question_html()


def test_an_unknown_kind_of_card_lists_those_there_are() -> None:
    """A slip in a lesson is told with what to write."""
    with pytest.raises(RefusedError, match="least-weighable-quantity"):
        PracticeCard("lwq")


@given(st.text(max_size=200))
def test_no_text_becomes_markup_or_an_error(text: str) -> None:
    """Whatever is typed, the verdict is words."""
    card = PracticeCard("percentage-of-error")
    assert "<img" not in card.verdict_html(f"{text}\nerror = {text} <img src=x>")


def test_checking_keeps_what_was_typed() -> None:
    """A student mends one number and checks again."""
    view = practise("least-weighable-quantity")
    view.answer.value = "least weighable quantity = 1 mg"
    view.check.click()
    assert view.answer.value == "least weighable quantity = 1 mg"
    assert "Not cleared" in view.verdict.value


def test_a_wrong_verdict_turns_into_a_right_one() -> None:
    """Wrong, then right: marks and clearance follow."""
    view = practise("least-weighable-quantity")
    view.answer.value = "lwq = 1 mg"
    view.check.click()
    assert "Marks: 0 of 2" in view.verdict.value
    view.answer.value = view.card.task.answer_lines()
    view.check.click()
    assert "Marks: 2 of 2" in view.verdict.value
    assert "Cleared for the bench" in view.verdict.value


def test_fresh_numbers_clear_answer_verdict_and_working() -> None:
    """Nothing of the last card is left beside the new one."""
    view = practise("percentage-of-error")
    question = view.question.value
    view.answer.value = view.card.task.answer_lines()
    view.check.click()
    view.show.click()
    view.fresh.click()
    assert view.question.value != question
    assert view.answer.value == view.card.form
    assert "Marks" not in view.verdict.value
    assert view.working.value == ""
    assert view.show.description == SHOW


def test_the_working_is_shown_and_hidden_again() -> None:
    """The button says what it will do."""
    view = practise("percentage-of-error")
    view.show.click()
    assert 'class="working"' in view.working.value
    assert view.show.description == HIDE
    view.show.click()
    assert view.working.value == ""
    assert view.show.description == SHOW


def test_the_working_belongs_to_the_numbers_on_the_card() -> None:
    """The proof is done on these numbers."""
    view = practise("percentage-of-error")
    view.show.click()
    shown = view.card.task.shown("percentage_of_error")
    assert shown in view.working.value.replace("\u00a0", " ")


def test_the_box_sends_its_text_before_the_button_is_pressed() -> None:
    """Text sent key by key can arrive after the button, and be marked half typed."""
    assert practise("percentage-of-error").answer.continuous_update is False


def test_where_widgets_cannot_be_shown_the_question_can_be_read() -> None:
    """The plain text of a card is its question."""
    view = practise("least-weighable-quantity")
    assert view.card.question in view._repr_mimebundle_()["text/plain"]


def test_what_is_worked_at_the_bench_is_no_practice_card() -> None:
    """The refusal says what to use instead; practice without end does not deal it."""
    with pytest.raises(RefusedError, match='Use bench\\("bench-weighing"\\)'):
        PracticeCard("bench-weighing")
    assert not any(family.recorded for family in typed_families())
