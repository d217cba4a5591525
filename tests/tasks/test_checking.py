"""The second check: a colleague's plan, right in a third of the draws, else with one planted error."""

from collections import Counter
from functools import cache

import pytest

from pharmcalc.marking import mark_task
from pharmcalc.tasks.checking import AGREE, PLANTED
from pharmcalc.tasks.family import Task, family_called
from pharmcalc.widgets.practice import PracticeCard
from tests.questions import HOUSE


@cache
def tasks() -> list[Task]:
    """Return many draws."""
    return [family_called("second-check").task("q1", f"check {number}", HOUSE) for number in range(150)]


def plan(task: Task) -> dict[str, float]:
    """Return the colleague's plan as plain numbers: label to number."""
    lines = (line.rsplit(" ", 2) for line in task.drawn.words["colleague"].replace(" mg", "").split("; "))
    return {" ".join(words[:-1]): float(words[-1]) for words in lines}


def first_wrong(task: Task) -> str:
    """Find the first wrong line by hand, from the rules and floats alone."""
    said = plan(task)
    lwq, multiple, drug = said["least weighable quantity"], said["multiple factor"], said["drug to weigh"]
    aliquot, total, rest = said["aliquot"], said["total mixture"], said["diluent to weigh"]
    wanted = float(task.values["drug_wanted"].to("mg").magnitude)
    true = float((task.values["sensitivity"] / task.values["allowed_error"]).to("mg").magnitude)
    checks = (
        ("least_weighable_quantity", abs(lwq - true) < 1e-9),
        ("multiple_factor", multiple * wanted >= true and multiple == int(multiple)),
        ("drug_weighed", abs(drug - multiple * wanted) < 1e-9),
        ("aliquot", aliquot >= true),
        ("total_mixture", abs(total - multiple * aliquot) < 1e-9),
        ("diluent", abs(rest - (total - drug)) < 1e-9),
    )
    return next((name for name, holds in checks if not holds), AGREE)


def test_the_planted_error_is_the_first_wrong_line_and_there_is_no_other() -> None:
    """Worked by hand from the plan as it is shown, the first wrong line is the one that earns the marks."""
    for task in tasks():
        assert first_wrong(task) == task.drawn.words["wrong"], task.drawn.words["colleague"]


def test_a_third_of_the_plans_are_right_and_every_error_is_planted() -> None:
    """ "Always agree" and "never agree" both fail; each of five lines is spoilt in some draws."""
    found = Counter(task.drawn.words["wrong"] for task in tasks())
    assert set(found) == {AGREE, *PLANTED}
    assert 35 <= found[AGREE] <= 70


def test_agreeing_with_a_wrong_plan_is_critical_and_doubting_a_right_one_is_not() -> None:
    """A signature under a wrong plan lets it go to the patient."""
    for task in tasks()[:30]:
        wrong = task.drawn.words["wrong"]
        lines = task.answer_lines().splitlines()[:-1]
        mark = mark_task(task, "\n".join([*lines, "second check = aliquot" if wrong == AGREE else "check = agree"]))
        assert (mark.marks, mark.cleared) == (task.out_of - 3, False)
        assert mark.clearance.critical is (wrong != AGREE)


def test_the_colleagues_plan_is_held_back_until_the_own_working_stands() -> None:
    """The question does not show it; six answers do, and the verdict waits for the second check."""
    task = tasks()[0]
    assert task.drawn.words["colleague"] not in task.question_text()
    names = [asked.name for asked in task.amounts]
    assert task.now_to_be_shown(names[:-1]) == ""
    shown = task.now_to_be_shown(names).splitlines()
    assert shown[1:-1] == task.drawn.words["colleague"].split("; "), "a line of the plan is a line to read"


@pytest.mark.parametrize("lines", [0, 5])
def test_a_practice_card_holds_it_back_too(lines: int) -> None:
    """With five of six answers and a guess there is feedback and no plan; with six, the plan and no feedback."""
    card = PracticeCard("second-check", key="held back")
    answers = card.task.answer_lines().splitlines()
    plan = card.task.drawn.words["colleague"].split("; ")[2]
    for early in ("", "second check = agree", "second check = diluent to weigh"):
        html = card.verdict_html("\n".join([*answers[:lines], early])).replace("\u00a0", " ")
        assert "A colleague planned" not in html
        assert plan not in html
        assert "The right answer here" not in html
    shown = card.verdict_html("\n".join(answers[:6]))
    assert "A colleague planned" in shown
    assert "Marks:" not in shown
    assert "Marks: 15 of 15" in card.verdict_html("\n".join(answers))
