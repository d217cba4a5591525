"""Feedback: first what is right, then the slip by name, the student's own numbers, and what is next."""

import re
from contextlib import suppress
from fractions import Fraction
from html.parser import HTMLParser

import pytest

from pharmcalc.errors import RefusedError
from pharmcalc.feedback import CLEARED, NOT_CLEARED, feedback_html, feedback_parts, feedback_text, marks_text
from pharmcalc.marking import mark_task
from pharmcalc.tasks.asked import Decision, Question
from pharmcalc.tasks.family import FAMILIES, Task
from pharmcalc.units import quantity
from tests.questions import HOUSE, batch_task, marked, mg, plan_task, task_with

PLAN = {"lwq": "120 mg", "k": "18", "w": "126 mg", "a": "120 mg", "t": "2160 mg", "d": "2034 mg"}
LWQ = task_with("least-weighable-quantity", sensitivity=mg(6), allowed_error=quantity(5, "percent"))


class Tags(HTMLParser):
    """Collects the tags, attributes and open tags of a piece of HTML."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.open: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Remember a tag, its attributes, and that it is open."""
        self.tags.append(tag)
        self.attributes += attrs
        if tag != "br":
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        """Check that what is closed is what was opened last."""
        assert self.open.pop() == tag


def wrong_answers(task: Task, asked: Question) -> list[str]:
    """Return each wrong decision, or what each known mistake of an amount would have a student type."""
    if isinstance(asked, Decision):
        return [option.said for option in asked.wrongs(task, task.values)]
    typed = []
    for mistake in task.mistakes_of(asked):
        with suppress(ZeroDivisionError, RefusedError):
            wrong = mistake.evaluate(task.values)
            if asked.kind.fits(wrong):
                typed.append(task.typed(asked, wrong))
    return typed


def wrong_texts(task: Task) -> list[str]:
    """Return the answers of a task with each known mistake in turn."""
    lines = task.answer_lines().splitlines()
    texts = []
    for place, asked in enumerate(task.asked):
        for typed in wrong_answers(task, asked):
            texts.append("\n".join([*lines[:place], f"{asked.said} = {typed}", *lines[place + 1 :]]))
    return texts


# The order of the parts ----------------------------------------------------------------------------------------------


def test_it_begins_with_what_is_right() -> None:
    """The first thing a student reads is what they did well; the wrong step comes after it."""
    parts = feedback_parts(marked(plan_task(7), **{**PLAN, "lwq": "0.3 mg"}))
    assert [part.kind for part in parts] == ["right", "wrong", "cleared"]
    assert parts[0].sentences == ("Multiple factor, drug to weigh, aliquot, total mixture and diluent to weigh.",)


def test_what_follows_from_an_own_number_is_said_to_cost_nothing_more() -> None:
    """Right from an earlier slip is told apart from right."""
    text = feedback_text(marked(plan_task(7), **{**PLAN, "w": "162 mg", "d": "1998 mg"}))
    assert "Right from your own earlier number, so it costs nothing more: diluent to weigh." in text


def test_it_ends_with_the_marks() -> None:
    """Marks stand on a line of their own, never in the middle of a sentence."""
    for typed, marks in (("120 mg", "2"), ("120 g", "1"), ("0.3 mg", "0")):
        text = feedback_text(mark_task(LWQ, typed))
        assert text.splitlines()[-1] == f"Marks: {marks} of 2"
        assert text.count("Marks") == 1


@pytest.mark.parametrize(("marks", "text"), [("12", "12"), ("5/2", "2.5"), ("0", "0")])
def test_marks_are_written_plainly(marks: str, text: str) -> None:
    """Half marks as a decimal, whole ones without a point."""
    assert marks_text(Fraction(marks)) == text


# Each verdict in words -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "sentences"),
    [
        (
            "0.3 mg",
            [
                "0.3 mg is not it.",
                "That number is 6 mg x 5 %.",
                "The sensitivity requirement was multiplied by the allowed error instead of divided by it.",
                "The stricter the allowed error, the more you must weigh.",
                "With your numbers: 6 mg \u00f7 5 % = 120 mg.",
                "If 0.3 mg were weighed directly, the weighing could be wrong by 2000 %.",
            ],
        ),
        ("120 g", ["The number is right and the unit is not: 120 g was written for 120 mg.", "unit slip is critical"]),
        ("1200 mg", ["The digits are right and the decimal point is not: 120 mg, not 1200 mg."]),
        ("6 mg / 5 % = 12 mg", ["Your set-up is right. Worked out, it gives 120 mg, not 12 mg."]),
        ("100 mg", ["100 mg is not it, and I do not recognise where it comes from."]),
        ("", ["Not answered. It comes from sensitivity \u00f7 allowed error."]),
        ("120", ["This line could not be counted. It must be a mass, such as 6 mg"]),
        (".12 g", ["Write a zero before the point: 0.12. A lone point is easily missed."]),
    ],
)
def test_each_outcome_has_its_own_words(typed: str, sentences: list[str]) -> None:
    """What was done, why the right way is right, the student's own numbers in it, and what it would have done."""
    text = feedback_text(mark_task(LWQ, f"LWQ = {typed}"))
    assert [sentence for sentence in sentences if sentence not in text] == []


def test_a_rounded_answer_is_told_how_closely_it_was_asked() -> None:
    """Rounded too far is not wrong, and the feedback says so."""
    text = feedback_text(mark_task(task_with("percentage-of-error", sensitivity=mg(6), load=mg(190)), "3 %"))
    assert "3 % is right as far as it goes, but it is rounded too far. Asked to 3 significant figures" in text
    assert "about 3.158 %" in text


def test_an_estimate_that_is_far_off_is_shown_the_way_and_the_exact_answer() -> None:
    """75 mL of 0.25 % are 187.5 mg; in the head, with one figure each, about 200 mg: both are not the same number."""
    task = task_with("estimate-drug", strength=quantity("0.25", "percent_in_volume"), preparation=quantity(75, "mL"))
    text = feedback_text(mark_task(task, "estimate = 20 mg\ndrug needed = 187.5 mg"))
    assert "20 mg is more than 3 times too much or too little. Round each number to one figure" in text
    assert "The exact answer is 187.5 mg." in text


def test_a_broken_rule_is_quoted_with_the_lab_s_own_number_and_a_choice_that_would_do() -> None:
    """A free choice has no key; the example keeps every rule on the student's own numbers."""
    text = feedback_text(marked(plan_task(7), **{**PLAN, "a": "100 mg", "t": "1800 mg", "d": "1674 mg"}))
    assert (
        "The aliquot must be at least the least weighable quantity. Here it is 120 mg. For example, 120 mg would do."
        in text
    )
    twice = marked(batch_task(), n="14 mg", k="8", w="112 mg", a="120 mg", t="960 mg", d="848 mg", finish="1880 mg")
    assert "With your numbers: round up (120 mg \u00f7 14 mg) = 9." in feedback_text(twice)


def test_an_example_keeps_the_rules_that_the_formula_does_not_know() -> None:
    """For 9.6 mg the smallest multiple is 11, but 15 is the first whose weight the balance can show."""
    text = feedback_text(marked(batch_task("1.6", units=6, least="100"), n="9.6 mg", k="10"))
    assert "Round up. For example, 15 would do." in text


def test_a_choice_that_is_missing_is_called_a_choice() -> None:
    """It does not come from a formula; any one that keeps the rules would do."""
    text = feedback_text(marked(plan_task(7), **{**PLAN, "k": "", "w": ""}))
    assert "Multiple factor: Not answered. It is your choice; for example, 18 would do." in text


def test_a_number_that_leads_nowhere_is_said_not_to_be_followed() -> None:
    """The student reads on which number the next steps were marked."""
    text = feedback_text(marked(plan_task(7), **{**PLAN, "lwq": "0.3 mg"}))
    assert "With 0.3 mg, no aliquot would be needed; so the next steps were marked on 120 mg." in text


def test_what_it_would_have_done_is_said_in_times() -> None:
    """A wrong plan is not only wrong: it would have held so many times the dose."""
    text = feedback_text(marked(plan_task(7), **{**PLAN, "d": "900 mg"}))
    assert (
        "Made this way, the aliquot would hold 2.11 times the drug that is wanted (about 14.74 mg in the aliquot)."
        in text
    )
    harmless = feedback_text(marked(plan_task(7), **{**PLAN, "lwq": "600 mg"}))
    assert "Made this way" not in harmless


@pytest.mark.parametrize(
    ("family", "typed", "said"),
    [
        ("percentage-wv", "22.2 %", "A label with this figure would state 99.9 times the real strength."),
        ("drug-for-strength", "240 mg", "the preparation would hold 0.1 times the drug that is wanted."),
    ],
)
def test_a_wrong_strength_says_what_the_label_or_the_bottle_would_be(family: str, typed: str, said: str) -> None:
    """200 mg in 90 mL and 2 % of 120 mL, each a power of ten off."""
    values = {
        "percentage-wv": {"drug": mg(200), "preparation": quantity(90, "mL")},
        "drug-for-strength": {"strength": quantity(2, "percent_in_volume"), "preparation": quantity(120, "mL")},
    }
    assert said in feedback_text(mark_task(task_with(family, **values[family]), typed))


# Clearance -----------------------------------------------------------------------------------------------------------


def test_clearance_is_said_apart_from_the_marks() -> None:
    """Full marks and cleared; marks lost and cleared; and not cleared with every reason."""
    assert CLEARED in feedback_text(marked(plan_task(7), **PLAN))
    assert CLEARED in feedback_text(marked(plan_task(7), **{**PLAN, "lwq": "600 mg"}))
    text = feedback_text(marked(plan_task(7), **{**PLAN, "w": "126 g"}))
    assert f"{NOT_CLEARED} A tenfold or unit slip is critical: drug to weigh." in text
    assert "second person" in CLEARED


# How it sounds -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_every_feedback_is_plain_and_without_blame(family: str) -> None:
    """For each known mistake of each kind of task: sentences that end, no exclamation marks, no blame, no gaps."""
    task = FAMILIES[family].task("q1", "aloud", HOUSE)
    for typed in wrong_texts(task):
        text = feedback_text(mark_task(task, typed))
        assert not re.search(r"!|\bstupid|\bcareless|\bunfortunately|\bobviously|None|\{|\*|  ", text), text
        for line in text.splitlines():
            assert line.startswith("Marks: ") or line.endswith((".", "?")), line
            assert ".." not in line


# HTML ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_the_page_is_a_closed_fragment_without_scripts_or_styles(family: str) -> None:
    """Only plain tags with class names, every one closed; the working is there on demand."""
    task = FAMILIES[family].task("q1", "page", HOUSE)
    for typed in (task.answer_lines(), *wrong_texts(task)[:6], ""):
        for working in (True, False):
            page = Tags(feedback_html(mark_task(task, typed), working=working))
            assert page.open == []
            assert {name for name, _ in page.attributes} <= {"class"}
            plain = {"div", "p", "strong", "details", "summary", "ol", "li", "span", "em", "br"}
            assert set(page.tags) <= plain
            assert ("details" in page.tags) is working


@pytest.mark.parametrize(
    "typed", ['LWQ = 5 mg" onload="x', "LWQ = <script>alert(1)</script>", "<b>x</b> & y", "LWQ = 1 mg & <i>"]
)
def test_everything_a_student_typed_is_escaped(typed: str) -> None:
    """Signs of HTML in an answer are shown as signs."""
    html = feedback_html(mark_task(LWQ, typed))
    assert not {"script", "b", "i", "img"} & set(Tags(html).tags)
    assert "onload" not in {name for name, _ in Tags(html).attributes}
    for sign, written in (("<", "&lt;"), ("&", "&amp;")):
        if sign in typed:
            assert written in html


def test_text_and_page_say_the_same() -> None:
    """The terminal, the practice card and the page differ in dress only."""
    mark = marked(plan_task(7), **{**PLAN, "k": "17", "w": "119 mg", "t": "2040 mg", "d": "1921 mg"})
    page = feedback_html(mark, working=False)
    for part in feedback_parts(mark):
        assert f'<div class="part {part.kind}"><p><strong>{part.heading}:</strong>' in page
        assert f"{part.heading}: {' '.join(part.sentences)}" in feedback_text(mark)
