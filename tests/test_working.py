"""Workings: an estimate, every step with its numbers, and the proof at the end."""

import re

import pytest

from pharmcalc.balances import error_found, least_weighable_quantity
from pharmcalc.strengths import percentage_wv, ratio_strength
from pharmcalc.tasks.family import FAMILIES
from pharmcalc.units import quantity
from pharmcalc.working import Working, WorkingStep, estimate, step_of
from tests.questions import HOUSE, batch_task, mg, plan_task

BALANCE = {"sensitivity": mg(6), "allowed_error": quantity(5, "percent")}


def test_a_step_says_its_equation_its_numbers_and_its_value() -> None:
    """In words for the eye, with numbers for the hand, as LaTeX for a notebook."""
    step = step_of(least_weighable_quantity, BALANCE)
    assert step.line == "least weighable quantity = 6 mg \u00f7 5 % = 120 mg"
    assert step.equation == "sensitivity \u00f7 allowed error"
    assert step.latex == r"\frac{\text{sensitivity}}{\text{allowed error}}"


def test_a_whole_plan_is_worked_from_the_estimate_to_the_proof() -> None:
    """Ten capsules of 0.7 mg, calculated for ten: every line of the plan, and W x A / T = N at the end."""
    assert batch_task().working().text().splitlines() == [
        "Estimate first, with one figure in each number: 0.7 mg x 10, so expect roughly 7 mg.",
        "1. drug wanted = 0.7 mg x 10 = 7 mg",
        "2. multiple factor = round up (120 mg \u00f7 7 mg) = 18. Any larger one that keeps the rules is right as well",
        "3. drug to weigh = 18 x 7 mg = 126 mg",
        "4. aliquot = 120 mg. Any larger one that keeps the rules is right as well",
        "5. total mixture = 18 x 120 mg = 2160 mg",
        "6. diluent to weigh = 2160 mg - 126 mg = 2034 mg",
        "7. diluent to finish = 2000 mg - 120 mg = 1880 mg",
        "Proof: drug delivered = 126 mg x 120 mg \u00f7 2160 mg = 7 mg",
    ]


def test_a_choice_that_must_be_larger_than_its_least_says_so() -> None:
    """For 100 mg on a balance of 120 mg the aliquot cannot be the least one: the diluent would be too little."""
    text = plan_task(100).working().text()
    assert "4. aliquot = 160 mg. At least 120 mg; 160 mg keeps every rule" in text


@pytest.mark.parametrize(
    ("formula", "values", "said"),
    [
        (least_weighable_quantity, BALANCE, "6 mg \u00f7 5 %, so expect roughly 100 mg"),
        (
            percentage_wv,
            {"drug": mg(430), "preparation": quantity(150, "mL")},
            "400 mg \u00f7 200 mL, so expect roughly 0.2 % w/v",
        ),
    ],
)
def test_an_estimate_has_one_figure_in_each_number(formula: object, values: dict, said: str) -> None:
    """The power of ten is known before the calculation begins."""
    assert said in estimate(formula, values)


@pytest.mark.parametrize(
    ("formula", "values"),
    [
        (error_found, {"wanted": mg(350), "found": mg(326)}),  # 400 - 300 would say 30 % for 7 %
        (ratio_strength, {"strength": quantity("12.5", "percent")}),  # 1:R is rounded in R
    ],
)
def test_where_an_estimate_would_mislead_there_is_none(formula: object, values: dict) -> None:
    """A difference of two rounded numbers, or a rounded ratio, says nothing about the real one."""
    assert estimate(formula, values) == ""


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_an_estimate_is_never_far_from_the_answer(family: str) -> None:
    """Over many draws the estimate lies within a factor of three of the right value."""
    for number in range(40):
        task = FAMILIES[family].task("q1", f"estimate {number}", HOUSE)
        said = re.search(r"expect roughly (.+)\.$", task.working().opening)
        if said is None:
            continue
        first = next((asked for asked in task.amounts if len(asked.formula.kinds) > 1), task.amounts[0])
        expected, right = first.kind.check("estimate", said[1]), task.values[first.name]
        assert expected <= right * 3, task.working().opening
        assert right <= expected * 3, task.working().opening


# Dress ---------------------------------------------------------------------------------------------------------------


def test_every_text_of_a_page_is_escaped() -> None:
    """Names with signs of HTML do no harm in a working either."""
    step = WorkingStep("a < b", "x & y", "1 < 2", "<b>3</b>", note='"quoted"')
    page = Working((step,), "5 > 4", step).html()
    assert "<b>" not in page
    assert "a &lt; b" in page
    assert "5 &gt; 4" in page


def test_a_notebook_gets_bold_values_and_real_fractions() -> None:
    """Markdown with LaTeX: the equation in words as a fraction, then the numbers, then the value."""
    text = plan_task(7).working().markdown()
    assert r"$= \frac{\text{sensitivity}}{\text{allowed error}}$ = 6 mg" in text
    assert "**Proof:** drug delivered = 126 mg x 120 mg" in text
    assert text.count("$") % 2 == 0
