"""What lessons show: the library's own words and numbers, and nothing that the marking would contradict."""

import pytest

from pharmcalc.aliquots import AliquotPlan
from pharmcalc.balances import least_weighable_quantity, percentage_of_error
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.marking import mark_task
from pharmcalc.tasks.house import read_house_rules
from pharmcalc.widgets.workings import (
    GAP,
    example_task,
    show_example,
    show_mistake,
    show_plan,
    show_reading,
    show_slip,
    show_smallest_amounts,
    show_working,
)

DYE = {"drug": "practice dye", "diluent_name": "lactose"}
SEVEN = {"drug_wanted": "7 mg", "multiple_factor": "18", "aliquot": "120 mg"}


def test_a_formula_is_shown_in_words_then_with_numbers() -> None:
    """The rule stands above its use, and the result at the end of the line."""
    rule, used = show_working(least_weighable_quantity, sensitivity="6 mg", allowed_error="5 %").text.splitlines()
    assert rule == "least weighable quantity = sensitivity ÷ allowed error"
    assert used == "least weighable quantity = 6 mg ÷ 5 % = 120 mg"


def test_a_folded_result_leaves_time_to_guess() -> None:
    """The same working, out of sight until it is opened."""
    shown = show_working(percentage_of_error, folded=True, sensitivity="6 mg", load="240 mg")
    assert shown.html.startswith("<details><summary>Look</summary>")
    assert "2.5 %" in shown.html


def test_a_bare_number_is_refused_in_a_lesson_too() -> None:
    """A mass without a unit is not guessed."""
    with pytest.raises(RefusedError, match=r"sensitivity: must be a mass, such as 6 mg"):
        show_working(least_weighable_quantity, sensitivity="6", allowed_error="5 %")


@pytest.mark.parametrize(
    ("family", "given"),
    [
        ("least-weighable-quantity", {"sensitivity": "4 mg", "allowed_error": "2 %"}),
        ("percentage-of-error", {"sensitivity": "4 mg", "load": "160 mg"}),
        ("aliquot-plan", {"drug_wanted": "8 mg", **DYE}),
        ("aliquot-plan", {"drug_wanted": "9 mg", "balance": "Balance 2", **DYE}),
    ],
)
def test_the_working_of_an_example_would_earn_full_marks(family: str, given: dict[str, str]) -> None:
    """An example in a lesson is a task like any other, and its answers are right by the marking."""
    task = example_task(family, given)
    mark = mark_task(task, task.answer_lines())
    assert (mark.marks, mark.cleared) == (task.out_of, True)
    assert task.working().text() in show_example(family, **given).text


def test_a_half_finished_example_has_gaps_and_the_whole_working_folded() -> None:
    """The first steps are written out, the others are gaps, and what fills them is one click away."""
    shown = show_example("aliquot-plan", steps=3, drug_wanted="9 mg", **DYE)
    begun, folded = shown.html.split("<details>")
    assert begun.count(GAP) == 3
    assert GAP not in folded
    assert "drug to weigh = 14 x 9 mg = 126 mg" in begun
    assert "total mixture = " + GAP in begun


def test_an_example_names_the_balances_there_are() -> None:
    """A balance that the house does not have is refused, and those it has are told."""
    with pytest.raises(RefusedError, match=r'none called "Balance 9".*Balance 1, Balance 2'):
        show_example("aliquot-plan", balance="Balance 9", drug_wanted="9 mg", **DYE)


def test_a_right_plan_is_called_right_whatever_its_numbers() -> None:
    """Two plans for one order, both proved, both with every rule kept."""
    for multiple, aliquot in (("20", "120 mg"), ("25", "150 mg")):
        shown = show_plan(drug_wanted="6 mg", multiple_factor=multiple, aliquot=aliquot).text
        assert "Every rule is kept." in shown
        assert "Broken" not in shown
        assert shown.splitlines()[4].startswith("Proof: ")
        assert shown.splitlines()[4].endswith("= 6 mg")


def test_a_plan_that_breaks_a_rule_says_which() -> None:
    """119 mg of drug cannot be weighed where 120 mg is the least, although the sum is right."""
    shown = show_plan(drug_wanted="7 mg", multiple_factor="17", aliquot="120 mg")
    in_sight, folded = shown.html.split("<details>")
    assert "This plan is not right." in in_sight
    assert "Broken: The drug weighed must be at least the least weighable quantity. Here it is 120 mg." in in_sight
    assert "Kept: The aliquot must be at least" in folded


def test_where_there_is_no_plan_the_reason_and_the_remedy_are_shown() -> None:
    """An aliquot that does not fit, an amount that is too small, and one that needs no aliquot."""
    assert "Make a larger batch" in show_plan(drug_wanted="6 mg", final_quantity="100 mg").text
    assert "two aliquots" in show_plan(drug_wanted="0.04 mg").text
    assert "Weigh it directly." in show_plan(drug_wanted="600 mg").text


def test_the_smallest_plan_is_shown_where_none_is_chosen() -> None:
    """For 6 mg on the first balance: 120 mg of drug, and as little mixture as the rules allow."""
    assert "multiple factor 20, aliquot 120 mg" in show_plan(drug_wanted="6 mg").text


@pytest.mark.parametrize(
    ("mistake", "held"),
    [
        ("weight-left-at-lwq", "about 6.667 mg instead of 7 mg: 0.952 times"),
        ("diluent-is-total", "about 6.614 mg instead of 7 mg: 0.945 times"),
        ("aliquot-is-whole-mixture", "126 mg instead of 7 mg: 18 times"),
        ("aliquot-is-weight-over-multiple", "about 0.4083 mg instead of 7 mg: 0.0583 times"),
        ("mixture-drug-plus-aliquot", "about 61.46 mg instead of 7 mg: 8.78 times"),
    ],
)
def test_a_mistake_is_followed_to_what_it_would_have_done(mistake: str, held: str) -> None:
    """What the aliquot would hold comes from what would really be weighed."""
    assert f"The aliquot would hold {held} as much" in show_mistake(mistake, **SEVEN).text


def test_a_mistake_that_changes_nothing_is_not_shown_as_one() -> None:
    """Where the wrong way gives the right number, or where nothing is weighed with it, the lesson is told so."""
    with pytest.raises(RefusedError, match=r"makes no difference"):
        show_mistake("mixture-of-lwq", **SEVEN)
    with pytest.raises(RefusedError, match=r"show_plan"):
        show_mistake("multiple-rounded-down", **SEVEN)


def test_the_right_plan_behind_a_mistake_is_right() -> None:
    """The plan that lesson 5 spoils in four ways keeps every rule before it is spoiled."""
    house = read_house_rules()
    plan = AliquotPlan.of(drug_wanted="7 mg", multiple_factor="18", aliquot="120 mg")
    assert plan.broken_rules(house.limits(house.balances[0])) == []


def test_the_rules_for_one_electronic_balance_stand_side_by_side() -> None:
    """Three rules and a stated minimum weight, each with its amount and where it comes from."""
    shown = show_smallest_amounts(display_step="1 mg", allowed_error="5 %", stated="100 mg")
    assert [amount in shown.text for amount in (": 20 mg,", ": 16.4 mg,", ": 820 mg,", ": 100 mg,")] == [True] * 4
    assert shown.html.count('<th scope="row">') == 4
    assert ": 100 mg," not in show_smallest_amounts(display_step="1 mg", allowed_error="5 %").text


def test_how_an_amount_is_read_is_told_with_what_could_be_missed() -> None:
    """A zero left over behind the point is pointed out; a plain amount passes without a word."""
    assert show_reading("5 mg").text == '"5 mg" is read as 5 mg.'
    assert "ten times larger" in show_reading("5.0 mg").text


def test_a_slip_is_the_librarys_own_mistake_beside_the_right_number() -> None:
    """What was done, both numbers, how many times as much, and the reason: from the mistake itself."""
    text = show_slip("purity-upside-down", drug_wanted="550 mg", purity="88 %").text
    done, numbers, why = text.splitlines()
    assert done == f"{MISTAKES['purity-upside-down'].name}."
    assert numbers == "Powder for purity: 484 mg instead of 625 mg. That is about 0.774 times as much."
    assert why == MISTAKES["purity-upside-down"].lesson


def test_a_slip_that_ends_in_another_kind_of_amount_is_not_compared() -> None:
    """Grams are not so many times as much as millilitres."""
    text = show_slip("parts-taken-as-grams", total="60 mL", parts="3", all_parts="20").text
    assert "3 g instead of 9 mL" in text
    assert "times" not in text


def test_a_slip_that_makes_no_difference_is_not_shown() -> None:
    """With a pure powder nothing would be learned."""
    with pytest.raises(RefusedError, match="no difference"):
        show_slip("purity-upside-down", drug_wanted="550 mg", purity="100 %")
