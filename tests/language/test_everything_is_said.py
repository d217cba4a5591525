"""Everything that a student reads goes through the catalogue: in a language of wide letters no narrow word is left."""

import pytest

import pharmcalc.widgets as widgets
from pharmcalc.answers import read_answers
from pharmcalc.bench import record_text, weigh_by_the_book
from pharmcalc.errors import RefusedError
from pharmcalc.feedback import feedback_html, feedback_text
from pharmcalc.language import say
from pharmcalc.marking import mark_task
from pharmcalc.notebook.sitting import Sitting
from pharmcalc.tasks.asked import Asked
from pharmcalc.tasks.family import FAMILIES, Task
from pharmcalc.tasks.house import default_house_rules_text, read_house_rules
from pharmcalc.widgets import bench_workings, liquid_workings, workings
from pharmcalc.widgets.bench import BenchCard, practice_task
from tests.language.pseudo import CODE, unsaid, wide

__all__ = ["wide"]
DRAWS = 4
TYPED = ("", "12345 mg", "7 %", "1:7", "0,5 mL", "zzz", "1.200 mg", ".5 mg", "2,0 mg", "5 gr", "1/0", "9^9", "5 % w/w")
FIGURES = sorted(name for name in widgets.__all__ if name.endswith("_figure"))

pytestmark = pytest.mark.usefixtures("wide")


def drawn(family: str) -> list[Task]:
    """Return a few tasks of a family."""
    house = read_house_rules()
    return [FAMILIES[family].task("q1", f"said {number}", house) for number in range(DRAWS)]


def mistaken(task: Task) -> list[str]:
    """Return answers in which one known mistake is made."""
    found = []
    for asked in task.amounts:
        for mistake in task.mistakes_of(asked):
            try:
                wrong = asked.kind.show(mistake.evaluate(task.values))
            except (ZeroDivisionError, RefusedError):
                continue
            given = {one.said: task.shown(one.name) for one in task.asked if isinstance(one, Asked)}
            found.append("\n".join(f"{label} = {value}" for label, value in {**given, asked.said: wrong}.items()))
    return found


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_questions_and_workings_are_said(family: str) -> None:
    """Title, question, what is asked for and the working of every kind of task are in the language."""
    for task in drawn(family):
        parts = [task.family.title, task.question_text(), *task.asked_text(), task.question_html()]
        for text in (*parts, task.working().text(), task.working().html()):
            assert unsaid(text) == [], text


@pytest.mark.parametrize("family", sorted(name for name, family in FAMILIES.items() if not family.recorded))
def test_readings_and_feedback_are_said(family: str) -> None:
    """What is said of nothing, of nonsense, of a wrong unit and of every known mistake is in the language."""
    task = drawn(family)[0]
    cells = ["\n".join(f"{asked.said} = {typed}" for asked in task.asked) for typed in TYPED]
    for cell, typed in zip([*cells, *mistaken(task)], [*TYPED, *[""] * len(mistaken(task))], strict=True):
        mark = mark_task(task, cell)
        read = " ".join(f"{label}: {how}" for label, how in read_answers(cell, task.asked).read_back())
        for text in (feedback_text(mark), feedback_html(mark), read):
            assert unsaid(text, typed, "zzz", "gr", "gr ") == [], text


@pytest.mark.parametrize("family", sorted(name for name, family in FAMILIES.items() if family.recorded))
def test_the_bench_is_said(family: str) -> None:
    """What the bench says while somebody weighs, what it shows, its record and its verdict are in the language."""
    task = drawn(family)[0]
    order = task.drawn.order
    assert order is not None
    session = weigh_by_the_book(order)
    assert unsaid(feedback_text(mark_task(task, record_text(session)))) == []
    card = BenchCard(practice_task(family, "said", 1, read_house_rules()))
    for moment in session.moments:
        card.act(moment.event.action, moment.event.what)
        assert unsaid(card.said, "AB", moment.event.what) == [], card.said
        assert unsaid(card.words()) == [], card.words()
    shown = (
        card.words(),
        card.picture_html(),
        card.display_html(),
        card.done_html(),
        card.question().html,
        card.form(),
    )
    typed = [*(jar.lot for jar in card.order.shelf), "AB"]
    for text in (*shown, card.form()):
        assert unsaid(text, *typed) == [], text


@pytest.mark.parametrize("name", FIGURES)
def test_pictures_are_said(name: str) -> None:
    """Every explorer's picture, its words and its table are in the language."""
    shown = getattr(widgets, name)()
    assert unsaid(shown.text) == []
    assert unsaid(shown.html) == []


WORKINGS = {
    "a batch": lambda: workings.show_batch(dose="2.5 mg", units=24, fill="200 mg", drug="codeine phosphate"),
    "a plan": lambda: workings.show_plan(drug_wanted="22 mg"),
    "no plan": lambda: workings.show_plan(drug_wanted="0.04 mg"),
    "a plan that breaks rules": lambda: workings.show_plan(drug_wanted="7 mg", multiple_factor="17", aliquot="120 mg"),
    "a mistake": lambda: workings.show_mistake(
        "diluent-is-total", drug_wanted="7 mg", multiple_factor="18", aliquot="120 mg"
    ),
    "a slip": lambda: workings.show_slip("lwq-percent-as-number", sensitivity="6 mg", allowed_error="5 %"),
    "a display": lambda: workings.show_on_display("62.5 mg", display_step="0.001 g"),
    "the routine": bench_workings.show_routine,
    "the routine without the tare": lambda: bench_workings.show_without("tare"),
    "a liquid plan": lambda: liquid_workings.show_liquid_plan(
        drug_wanted="8 mg", solubility="20 mg/mL", final_volume="60 mL"
    ),
}
"""What lessons show, one of each kind; not the rules of balances, which name their sources as these are called."""


@pytest.mark.parametrize("name", WORKINGS)
def test_what_lessons_work_out_is_said(name: str) -> None:
    """Plans, mistakes and routines that a lesson shows are in the language, with commas in their numbers."""
    shown = WORKINGS[name]()
    assert [word for word in unsaid(shown.text, "AB") if not word.isupper()] == [], shown.text  # lots are capitals


def test_what_is_not_said_is_seen() -> None:
    """The language of wide letters tells apart what went through the catalogue and what did not."""
    assert unsaid(say("not answered yet")) == []
    assert unsaid(f"{say('not answered yet')}, 5 mg of <b>starch</b>") == ["of", "starch"]


def test_an_assignment_is_said_from_its_first_cell() -> None:
    """Rules, student cell, questions and answer cells of an assignment are in the language of its house rules."""
    sitting = Sitting("weighing-1", 1)
    rules = default_house_rules_text().replace('language = "en"', f'language = "{CODE}"')
    rules = rules.replace('decimal-mark = "point"', 'decimal-mark = "comma"')
    shown = [
        sitting.student("student number =\nattempt = never\nhm"),
        sitting.house_rules(rules),
        sitting.student("student number = A-07\nattempt = 1"),
        *(sitting.task(f"q{place} {name}") for place, name in enumerate(("aliquot-plan", "bench-weighing"))),
        sitting.answer("q0", "hm = 5 mg\nhm"),
        sitting.answer("q99", "hm"),
    ]
    for one in shown:
        code = sitting._paper().code if sitting.house else ""  # type: ignore[union-attr]
        assert unsaid(one.html, "never", "hm", code) == [], one.text
