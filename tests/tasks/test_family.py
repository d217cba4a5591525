"""Families: every kind of task draws fair numbers, asks clearly and answers itself."""

import json
import re
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction

import pytest

from pharmcalc.errors import RefusedError
from pharmcalc.marking import mark_task
from pharmcalc.rounding import Precision
from pharmcalc.tasks.family import FAMILIES, Asked, Family, Task, family_called, register
from pharmcalc.tasks.house import read_house_rules
from pharmcalc.tasks.subjects import MODULE_OF
from pharmcalc.units import quantity
from tests.questions import HOUSE, house, mg, plan_task, task_with

ALL = sorted(FAMILIES)
LABS = {
    "the course's own rules": HOUSE,
    "any multiple, no check of the diluent": house(multiple_factor='"any"', diluent_checked="false"),
    "2 % and half even": house(allowed_error='"2 %"', rounding='"half even"', extra_units_for_loss="0"),
}


def draws(family: str, count: int, rules: object = HOUSE) -> list[Task]:
    """Return tasks drawn with different keys."""
    return [family_called(family).task("q1", f"draw {number}", rules) for number in range(count)]


# Laws ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("family", ALL)
def test_the_worked_answers_of_every_draw_earn_everything(family: str, thorough: bool) -> None:
    """Fifty draws, in the thorough run 10 000 a subject: the working, as a student types it, earns everything."""
    subject = [one for one in FAMILIES.values() if one.subject == FAMILIES[family].subject]
    for task in draws(family, 10_000 // len(subject) if thorough else 50):
        mark = mark_task(task, task.answer_lines())
        assert (mark.marks, mark.cleared) == (task.out_of, True), f"{task.question_text()}\n{task.answer_lines()}"
        assert [verdict.mistake_id for verdict in mark.verdicts] == [""] * len(task.asked)


@pytest.mark.parametrize("family", ALL)
@pytest.mark.parametrize("lab", LABS)
def test_every_lab_can_ask_every_kind_of_task(family: str, lab: str) -> None:
    """Other house rules draw fair tasks too, and their worked answers earn everything under them."""
    for task in draws(family, 10, LABS[lab]):
        mark = mark_task(task, task.answer_lines())
        assert (mark.marks, mark.cleared) == (task.out_of, True), f"{task.question_text()}\n{task.answer_lines()}"


@pytest.mark.parametrize("family", ALL)
def test_no_known_mistake_gives_the_right_number(family: str) -> None:
    """A draw where a mistake would be right by chance is drawn again, wherever no free choice decides about it."""
    for task in draws(family, 60):
        for asked in task.amounts:
            if task.family.solve and asked.name not in ("least_weighable_quantity", "drug_wanted", "multiple_factor"):
                continue  # after the multiple factor the student's own choices decide
            for mistake in task.mistakes_of(asked):
                if mistake.id in asked.sometimes_right:
                    continue
                if asked.estimate:
                    continue  # an estimate is right when its power of ten is
                try:
                    wrong, right = mistake.evaluate(task.values), task.values[asked.name]
                except (ZeroDivisionError, RefusedError):
                    continue
                if wrong.dimensionality == right.dimensionality:
                    assert not task.precision(asked).accepts(wrong, right), (mistake.id, task.answer_lines())


@pytest.mark.parametrize("family", ALL)
def test_a_class_does_not_share_a_handful_of_numbers(family: str) -> None:
    """Sixty draws give many different questions."""
    assert len({task.question_text() for task in draws(family, 60)}) >= 25


def test_a_plan_is_asked_about_small_amounts_and_all_the_balances() -> None:
    """The classical amounts, far below the least weighable quantity, are drawn as well, on every balance."""
    tasks = draws("aliquot-plan", 120)
    factors = {int(task.values["multiple_factor"].magnitude) for task in tasks}
    assert min(factors) == 2
    assert max(factors) >= 20
    assert {task.drawn.words["balance"] for task in tasks} == {"Balance 1", "Balance 2"}


def test_the_floor_of_0_41_d_counts_in_some_draws_and_not_in_others() -> None:
    """If it always counted, nobody would need to compare."""
    counts = {
        task.values["standard_deviation"] < task.values["display_step"] * Fraction(41, 100)
        for task in draws("minimum-weight", 60)
    }
    assert counts == {True, False}


@pytest.mark.parametrize("family", ALL)
def test_the_same_key_asks_the_same_question(family: str) -> None:
    """Drawing again changes nothing; another key, task or family draws apart."""
    first, again = (family_called(family).task("q1", "a key", HOUSE) for _ in range(2))
    assert first.question_text() == again.question_text()
    assert first.answer_lines() == again.answer_lines()


# The question --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("family", ALL)
def test_a_question_is_complete(family: str) -> None:
    """Nothing is left unfilled; every amount stands with its unit; what is asked is listed with its marks."""
    for task in draws(family, 20):
        text = task.question_text()
        assert "{" not in text
        assert "about" not in text, "what is given is given exactly"
        assert text.count("?") + text.count("Plan ") + text.count("Say ") + text.count("Write ") >= 1
        asked = task.asked_text()
        assert len(asked) == len(task.asked)
        assert all(re.search(rf"\({one.marks} marks?\)$", line) for line, one in zip(asked, task.asked, strict=True))
        assert task.out_of == sum(one.marks for one in task.asked)


@pytest.mark.parametrize("family", ALL)
def test_every_asked_label_is_told_apart_from_every_other(family: str) -> None:
    """No label and no alias of an answer belongs to another answer of the same task."""
    names = [
        re.sub(r"[^\w%/ ]|_", " ", name.casefold()).strip()
        for asked in family_called(family).asked
        for name in {asked.said.casefold(), *asked.aliases}
    ]
    assert len(names) == len(set(names))


def test_a_question_in_html_is_escaped() -> None:
    """A balance named with signs of HTML does no harm."""
    task = plan_task(6)
    task.drawn.words["balance"] = "<b>Balance</b> & co"
    assert "&lt;b&gt;Balance&lt;/b&gt; &amp; co" in task.question_html()
    assert "<b>" not in task.question_html()
    del task.drawn.words["balance"]
    task.drawn.words["balance"] = "Balance 1"


@pytest.mark.parametrize("family", ALL)
def test_a_working_has_a_step_for_every_answer_and_ends_with_the_proof(family: str) -> None:
    """Estimate, steps, proof; and nothing in it is a number without its unit."""
    for task in draws(family, 10):
        working = task.working()
        assert [step.label for step in working.steps] == [asked.said for asked in task.asked]
        assert (working.proof is not None) is (task.family.proof is not None)
        for text in (working.text(), working.html(), working.markdown()):
            assert all(step.value in text.replace("&lt;", "<") for step in working.steps)


def test_what_goes_on_the_pan_is_asked_to_the_display_step() -> None:
    """A weighed answer is asked to the step of the balance, every other one to three figures."""
    task = plan_task(6, step="2")
    asked = {one.name: task.precision(one) for one in task.amounts}
    assert asked["drug_weighed"] == Precision(step=mg(2))
    assert asked["least_weighable_quantity"] == Precision()


def test_a_stated_minimum_beside_a_sensitivity_requirement_still_gives_a_fair_plan() -> None:
    """Where a lab's only balance states both, the question and its limits speak of the same quantity."""
    text = HOUSE.text.split("[[balance]]")[0] + (
        '[[balance]]\nname = "Only one"\nsensitivity-requirement = "6 mg"\nminimum-weight = "100 mg"\n'
        'display-step = "1 mg"\ncapacity = "120 g"\n'
    )
    rules = read_house_rules(text)
    for task in draws("aliquot-plan", 10, rules):
        assert task.values["least_weighable_quantity"] == task.limits.least_weighable_quantity == mg(100)
        assert mark_task(task, task.answer_lines()).cleared


# Refusals ------------------------------------------------------------------------------------------------------------


def test_an_unknown_kind_of_task_is_refused_with_the_list() -> None:
    """The message names those there are."""
    with pytest.raises(RefusedError, match="aliquot-plan") as caught:
        family_called("no such kind")
    assert '"no such kind"' in str(caught.value)


def test_two_families_cannot_share_an_id() -> None:
    """Assignments hang on the id."""
    with pytest.raises(ValueError, match="already a family"):
        register(family_called("aliquot-plan"))


def test_a_family_that_the_list_of_subjects_does_not_name_is_refused_when_it_is_written() -> None:
    """Nobody could ask for it; the contributor is told where its name goes."""
    with pytest.raises(ValueError, match=r"name the family unheard-of in tasks/subjects\.py"):
        register(replace(family_called("aliquot-plan"), id="unheard-of"))


def test_each_family_is_written_where_the_list_of_subjects_says() -> None:
    """So that asking for one loads the module that has it, and a module with families is not left out."""
    program = """
import json, pkgutil, sys
from importlib import import_module
from pharmcalc import tasks
from pharmcalc.tasks import family
written, register = {}, family.register
def heard(one):
    written[one.id] = sys._getframe(1).f_globals["__name__"]
    return register(one)
family.register = heard
for module in pkgutil.iter_modules(tasks.__path__):
    import_module("pharmcalc.tasks." + module.name)
print(json.dumps(written))
"""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert json.loads(done.stdout) == MODULE_OF
    assert [family.id for family in FAMILIES.values()] == list(MODULE_OF)


def test_asking_for_one_family_loads_its_module_and_no_other_subject() -> None:
    """A command for one assignment starts the sooner."""
    program = (
        "import sys; from pharmcalc.tasks.family import family_called; from pharmcalc.tasks.subjects import MODULE_OF; "
        "family_called('salt-form'); print(*{*MODULE_OF.values()} & {*sys.modules})"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["pharmcalc.tasks.potency"]


def test_where_no_fair_numbers_exist_the_lab_is_told() -> None:
    """Balances on which nothing can be planned make no endless drawing, but a sentence for the instructor."""
    rules = read_house_rules(HOUSE.text.replace('capacity = "', 'capacity = "0.00'))
    with pytest.raises(RefusedError, match="no numbers can be drawn under these house rules: no plan"):
        family_called("aliquot-plan").task("q1", "a key", rules)


def test_an_answer_is_called_by_its_formula_unless_it_has_its_own_words() -> None:
    """The name of the value, the words a student writes, and the kind of amount."""
    plan: Family = family_called("aliquot-plan")
    aliquot: Asked = next(one for one in plan.amounts if one.called == "aliquot")
    assert (aliquot.name, aliquot.said, aliquot.kind.name) == ("aliquot", "aliquot", "a mass")
    task = task_with("least-weighable-quantity", sensitivity=mg(6), allowed_error=quantity(5, "percent"))
    assert task.answer_lines() == "least weighable quantity = 120 mg"
