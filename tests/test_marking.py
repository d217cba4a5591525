"""Marking: what each answer is worth, what follows from a slip, and who may go to the balance."""

from fractions import Fraction

import pytest

from pharmcalc.marking import Status, TaskMark, mark_task
from pharmcalc.tasks.family import FAMILIES, Task
from pharmcalc.units import quantity
from tests.questions import HOUSE, answers, batch_task, house, marked, mg, plan_task, statuses, task_with

PLAN = {"lwq": "120 mg", "k": "18", "w": "126 mg", "a": "120 mg", "t": "2160 mg", "d": "2034 mg"}
"""A right plan for 7 mg on a balance of 6 mg."""
BATCH = {"n": "7 mg", "k": "18", "w": "126 mg", "a": "120 mg", "t": "2160 mg", "d": "2034 mg", "finish": "1880 mg"}
"""A right plan for ten capsules of 0.7 mg, 200 mg each."""
ERROR = task_with("percentage-of-error", sensitivity=mg(6), load=mg(190))  # 3.15789... %
LWQ = task_with("least-weighable-quantity", sensitivity=mg(6), allowed_error=quantity(5, "percent"))
WV = task_with("percentage-wv", drug=mg(200), preparation=quantity(90, "mL"))  # 0.2222... % w/v
DRUG = task_with("drug-for-strength", strength=quantity(2, "percent_in_volume"), preparation=quantity(120, "mL"))
RATIO = task_with("ratio-of-trituration", drug=mg(150), diluent=mg(4050))  # 1:28
FOUND = task_with("error-found", wanted=mg(600), found=mg(575))  # 4.1666... %


def only(mark: TaskMark) -> str:
    """Return the status of the only answer."""
    (verdict,) = mark.verdicts
    return verdict.status.name


# One answer ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("task", "typed", "status", "marks"),
    [
        (ERROR, "3.16 %", "RIGHT", "2"),
        (ERROR, "3.158 %", "RIGHT", "2"),
        (ERROR, "6 mg / 190 mg x 100 %", "RIGHT", "2"),
        (ERROR, "6 mg / 190 mg = 0.0316 = 3.16 %", "RIGHT", "2"),
        (ERROR, "3.2 %", "COARSE", "1"),
        (ERROR, "3 %", "COARSE", "1"),
        (ERROR, "6/190 x 100 % = 3.61 %", "ARITHMETIC", "1"),
        (ERROR, "3.16 % = 3.61 %", "UNRECOGNISED", "0"),  # a guess in front is no set-up
        (ERROR, "31.6 %", "POWER", "0"),
        (ERROR, "0.0316 %", "MISTAKE", "0"),
        (ERROR, "0.03158", "UNREADABLE", "0"),
        (ERROR, "3.16", "UNREADABLE", "0"),
        (ERROR, "4.7 %", "UNRECOGNISED", "0"),
        (ERROR, "0 %", "UNRECOGNISED", "0"),
        (ERROR, "", "MISSING", "0"),
        (LWQ, "120 mg", "RIGHT", "2"),
        (LWQ, "0.12 g", "RIGHT", "2"),
        (LWQ, "120 g", "UNIT", "1"),
        (LWQ, "120 microgram", "UNIT", "1"),
        (LWQ, "120 gr", "UNIT", "1"),
        (LWQ, "1.2 g", "POWER", "0"),
        (LWQ, "120 mL", "UNREADABLE", "0"),
        (LWQ, "0.3 mg", "MISTAKE", "0"),
        (LWQ, "0.305 mg", "UNRECOGNISED", "0"),  # near the number of a mistake is not that number
        (LWQ, "6 mg / 19.8", "UNRECOGNISED", "0"),
        (WV, "0.222 %", "RIGHT", "2"),
        (WV, "0.222 % w/v", "RIGHT", "2"),
        (WV, "0.22 % w/v", "COARSE", "1"),
        (WV, "0.222 % w/w", "BASIS", "0"),
        (WV, "2.22 % w/v", "MISTAKE", "0"),
        (DRUG, "2.4 g", "RIGHT", "2"),
        (DRUG, "2400 mg", "RIGHT", "2"),
        (DRUG, "2.4 mg", "MISTAKE", "0"),
        (DRUG, "24 g", "POWER", "0"),
        (RATIO, "1:28", "RIGHT", "2"),
        (RATIO, "1 in 28", "RIGHT", "2"),
        (RATIO, "1/28", "RIGHT", "2"),
        (RATIO, "150 mg / 4.2 g = 1:28", "RIGHT", "2"),
        (RATIO, "1:27", "MISTAKE", "0"),
        (RATIO, "1:28 w/v", "BASIS", "0"),
        (RATIO, "28", "UNREADABLE", "0"),
        (RATIO, "3.57 %", "UNREADABLE", "0"),
        (FOUND, "4.17 %", "RIGHT", "2"),
        (FOUND, "4 %", "COARSE", "1"),  # the quiz that prints a whole per cent
        (FOUND, "4.35 %", "MISTAKE", "0"),
    ],
)
def test_an_answer_is_worth_what_it_shows(task: Task, typed: str, status: str, marks: str) -> None:
    """Right is all, rounded too far or the right set-up or the right number is half, everything else is nothing."""
    mark = mark_task(task, typed)
    assert only(mark) == status
    assert mark.marks == Fraction(marks)
    assert mark.out_of == 2


def test_a_percentage_of_error_may_be_nothing() -> None:
    """0 % is read as an answer, and is wrong where there is an error; no later step is spoken of."""
    (verdict,) = mark_task(ERROR, "0 %").verdicts
    assert verdict.not_gone_on == ""


@pytest.mark.parametrize("family", ["strength-in-other-words", "ratio-strength"])
def test_typing_the_given_strength_again_earns_nothing(family: str) -> None:
    """Asked to say a strength in other words, the same words are no answer."""
    task = FAMILIES[family].task("q1", "again", HOUSE)
    given = task.shown("strength")
    mark = mark_task(task, "\n".join(f"{asked.said} = {given}" for asked in task.asked))
    assert (mark.marks, mark.cleared) == (0, False)


# A plan --------------------------------------------------------------------------------------------------------------


def test_any_right_plan_earns_everything() -> None:
    """There is no key: another multiple, another aliquot, other units, the shorter or the longer way."""
    for typed in (
        PLAN,
        {**PLAN, "k": "20", "w": "140 mg", "t": "2400 mg", "d": "2260 mg"},
        {**PLAN, "a": "150 mg", "t": "2.7 g", "d": "2574 mg"},
        {**PLAN, "w": "18 x 7 mg = 126 mg", "t": "18 x 120 mg", "d": "2160 mg - 126 mg = 2034 mg"},
    ):
        mark = marked(plan_task(7), **typed)
        assert (mark.marks, mark.cleared) == (12, True)
        assert mark.as_record()["mistakes"] == []


@pytest.mark.parametrize(
    ("change", "lost"),
    [
        (
            {"lwq": "150 mg", "k": "22", "w": "154 mg", "a": "150 mg", "t": "3300 mg", "d": "3146 mg"},
            "least weighable quantity",
        ),
        (
            {"lwq": "60 mg", "k": "9", "w": "63 mg", "a": "60 mg", "t": "540 mg", "d": "477 mg"},
            "least weighable quantity",
        ),
        ({"lwq": "150 mg"}, "least weighable quantity"),
        ({"k": "17", "w": "119 mg", "t": "2040 mg", "d": "1921 mg"}, "multiple factor"),
        ({"k": "2"}, "multiple factor"),
        ({"k": "0.058"}, "multiple factor"),
        ({"a": "12 mg"}, "aliquot"),
        ({"w": "162 mg", "d": "1998 mg"}, "drug to weigh"),
        ({"w": "120 mg", "d": "2040 mg"}, "drug to weigh"),
        ({"a": "100 mg", "t": "1800 mg", "d": "1674 mg"}, "aliquot"),
        ({"t": "2610 mg", "d": "2484 mg"}, "total mixture"),
        ({"t": "246 mg", "d": "120 mg"}, "total mixture"),
        ({"d": "2160 mg"}, "diluent to weigh"),
        ({"d": "2286 mg"}, "diluent to weigh"),
    ],
)
def test_one_slip_with_the_rest_consistent_costs_one_step(change: dict[str, str], lost: str) -> None:
    """Later steps are judged on the student's own number: one slip costs one step's marks, not four."""
    mark = marked(plan_task(7), **{**PLAN, **change})
    assert [verdict.label for verdict in mark.verdicts if not verdict.earned] == [lost]
    assert mark.marks == 10


@pytest.mark.parametrize(
    ("change", "lost"),
    [
        ({"n": "5.6 mg", "k": "22", "w": "123.2 mg"}, None),
        ({"n": "0.7 mg", "k": "180", "w": "126 mg", "t": "21600 mg", "d": "21474 mg"}, "drug wanted"),
        ({"n": "14 mg", "k": "9", "w": "126 mg", "t": "1080 mg", "d": "954 mg"}, "drug wanted"),
        ({"finish": "1993 mg"}, "diluent to finish"),
        ({"finish": "1874 mg"}, "diluent to finish"),
        ({"a": "130 mg", "t": "2340 mg", "d": "2214 mg", "finish": "1880 mg"}, "diluent to finish"),
    ],
)
def test_one_slip_in_a_batch_costs_one_step(change: dict[str, str], lost: str | None) -> None:
    """The dose of one unit for the whole batch, twice the need, the aliquot's own diluent forgotten."""
    mark = marked(batch_task(), **{**BATCH, **change})
    if lost is None:  # 22 x 5.6 mg is no weight that the display shows: a second thing is wrong
        assert mark.marks <= 10
        return
    assert [verdict.label for verdict in mark.verdicts if not verdict.earned] == [lost]


def test_a_mistake_is_recognised_on_the_student_s_own_numbers() -> None:
    """With a least weighable quantity of 150 mg, a weight left at 150 mg is the known mistake on that number."""
    mark = marked(plan_task(7), lwq="150 mg", k="22", w="150 mg", a="150 mg", t="3300 mg", d="3150 mg")
    wrong = {verdict.label: verdict.mistake_id for verdict in mark.verdicts if not verdict.earned}
    assert wrong == {"least weighable quantity": "", "drug to weigh": "weight-left-at-lwq"}


def test_what_is_typed_to_the_step_of_the_balance_is_what_is_weighed() -> None:
    """11 x 9.6 mg is 105.6 mg; asked to the nearest 1 mg it is 106 mg, and that is a weight the balance shows."""
    typed = {"n": "9.6 mg", "k": "11", "w": "106 mg", "a": "100 mg", "t": "1100 mg", "d": "994 mg", "finish": "1100 mg"}
    mark = marked(batch_task("1.6", units=6, least="100"), **typed)
    assert (mark.marks, mark.cleared) == (14, True)


def test_full_precision_to_the_end_is_right_even_after_a_slip() -> None:
    """134 x 0.75 mg is 100.5 mg, typed as 101 mg; what is taken off the mixture may be either of the two."""
    for diluent in ("13300 mg", "13299 mg"):
        typed = {"n": "0.75 mg", "k": "134", "w": "101 mg", "a": "100 mg", "t": "13400 mg", "d": diluent}
        mark = marked(batch_task("0.75", units=18, least="100"), **typed, finish="3500 mg")
        assert [verdict.label for verdict in mark.verdicts if not verdict.earned] == ["drug wanted"]


def test_the_very_number_of_a_mistake_is_not_taken_for_a_rounded_one() -> None:
    """12 units of 0.5 mg are 6 mg; with the 13th left out it is no 6.5 mg rounded too far."""
    (wanted, *_) = marked(batch_task("0.5", units=13, ordered=12), n="6 mg").verdicts
    assert wanted.mistake_id == "extra-units-left-out"


def test_where_any_multiple_is_allowed_it_may_be_rounded() -> None:
    """120 mg of drug for 7 mg is 17.14 times; the weight is what counts, and it is 120 mg."""
    task = plan_task(7, rules=house(multiple_factor='"any"'))
    mark = marked(task, lwq="120 mg", k="17.14", w="120 mg", a="140 mg", t="2400 mg", d="2280 mg")
    assert (mark.marks, mark.cleared) == (12, True)


def test_other_answers_that_make_no_plan_say_nothing_about_a_choice() -> None:
    """100 mg for 7 mg would be 14.29 times, which is no whole multiple: the example stays the worked one."""
    verdict = marked(plan_task(7), **{**PLAN, "k": "17", "w": "100 mg"}).verdicts[1]
    assert verdict.right == quantity(18)


def test_a_choice_typed_wrong_is_seen_in_the_other_answers() -> None:
    """k = 2 with 126 mg of drug and 2160 mg of mixture: the plan is made with 18, and the feedback goes on from 18."""
    verdicts = {verdict.label: verdict for verdict in marked(plan_task(7), **{**PLAN, "k": "2"}).verdicts}
    assert verdicts["multiple factor"].right == quantity(18)
    assert verdicts["multiple factor"].status is Status.RULE
    assert verdicts["total mixture"].right == mg(2160)


def test_a_plan_right_for_the_balance_is_right_whatever_was_said_about_the_balance() -> None:
    """Whoever miscalculates the least weighable quantity and then keeps the true one loses that step alone."""
    mark = marked(plan_task(7), **{**PLAN, "lwq": "600 mg"})
    assert (mark.marks, mark.cleared) == (10, True)


def test_a_missing_step_is_not_an_open_door() -> None:
    """With the total mixture left out, the diluent is still the total less the drug, and not any number."""
    right = {name: value for name, value in PLAN.items() if name != "t"}
    assert statuses(marked(plan_task(7), **right))["diluent to weigh"] == "RIGHT"
    wrong = marked(plan_task(7), **{**right, "d": "5000 mg"})
    assert statuses(wrong)["diluent to weigh"] == "UNRECOGNISED"
    assert not wrong.cleared


def test_a_multiple_left_out_is_seen_in_the_weight() -> None:
    """140 mg of drug for 7 mg say that the multiple was 20; the line is lost, and what goes on the pan is complete."""
    typed = {**PLAN, "w": "140 mg", "t": "2400 mg", "d": "2260 mg"}
    mark = marked(plan_task(7), **{name: value for name, value in typed.items() if name != "k"})
    assert statuses(mark)["multiple factor"] == "MISSING"
    assert (mark.marks, mark.cleared) == (10, True)


# Numbers that lead nowhere -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "lost", "said"),
    [
        ({"lwq": "0.3 mg"}, ["least weighable quantity"], "no aliquot would be needed"),
        ({"lwq": "90 g"}, ["least weighable quantity"], "no plan would be possible"),
        ({"k": "0.058"}, ["multiple factor"], "no more than the drug wanted would be weighed"),
        ({"k": "1"}, ["multiple factor"], "no more than the drug wanted would be weighed"),
        ({"k": "1e30"}, ["multiple factor"], "above the capacity of the balance"),
        ({"k": "1001"}, ["multiple factor"], "above the capacity of the balance"),
        ({"a": "7 mg"}, ["aliquot"], "the mixture would hold no diluent"),
        ({"t": "126 mg"}, ["total mixture"], "the mixture would hold no diluent"),
        ({"w": "126 g"}, ["drug to weigh"], "above the capacity"),
    ],
)
def test_from_a_number_that_leads_nowhere_the_marking_goes_on_from_the_right_one(
    change: dict[str, str], lost: list[str], said: str
) -> None:
    """With 0.3 mg no aliquot would be needed; so the next steps are judged on 120 mg, and the verdict says so."""
    mark = marked(plan_task(7), **{**PLAN, **change})
    wrong = [verdict for verdict in mark.verdicts if not verdict.earned]
    assert [verdict.label for verdict in wrong] == lost
    assert said in wrong[0].not_gone_on


def test_an_aliquot_larger_than_the_preparation_leaves_nothing_to_finish() -> None:
    """The aliquot is refused by its rule; no amount could be right for what is left."""
    mark = marked(batch_task(), **{**BATCH, "a": "2400 mg", "t": "43200 mg", "d": "43074 mg", "finish": "400 mg"})
    wrong = {verdict.label: verdict for verdict in mark.verdicts if not verdict.earned}
    assert set(wrong) == {"aliquot", "diluent to finish"}
    assert wrong["aliquot"].mistake_id == "aliquot-above-preparation"
    assert not mark.cleared


def test_an_aliquot_that_is_the_whole_preparation_is_right() -> None:
    """Then the diluent to finish is 0 mg, and that is an answer."""
    typed = {**BATCH, "a": "2000 mg", "t": "36000 mg", "d": "35874 mg", "finish": "0 mg"}
    mark = marked(batch_task(), **typed)
    assert (mark.marks, mark.cleared) == (14, True)


# Marks and clearance -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("label", ["w", "a", "t", "d", "finish"])
@pytest.mark.parametrize("slip", ["tenfold", "grams"])
def test_a_tenfold_or_unit_slip_in_what_is_weighed_blocks_clearance(label: str, slip: str) -> None:
    """Whatever the marks: 1260 mg for 126 mg, or 126 g, must not go to the balance."""
    number = BATCH[label].split()[0]
    typed = f"{int(number) * 10} mg" if slip == "tenfold" else f"{number} g"
    mark = marked(batch_task(), **{**BATCH, label: typed})
    assert mark.marks >= 8
    assert not mark.cleared
    assert mark.clearance.reasons


def test_a_slip_in_arithmetic_may_be_critical_too() -> None:
    """The set-up is right and earns half; the tenfold number behind it still blocks the way to the balance."""
    mark = marked(plan_task(7), **{**PLAN, "t": "18 x 120 mg = 21600 mg"})
    assert statuses(mark)["total mixture"] == "ARITHMETIC"
    assert (mark.marks, mark.cleared, mark.clearance.critical) == (11, False, True)


def test_another_basis_is_critical() -> None:
    """A strength by weight labelled as one by volume is a wrong label."""
    mark = mark_task(WV, "0.222 % w/w")
    assert mark.clearance.critical
    assert "another basis" in " ".join(mark.clearance.reasons)


@pytest.mark.parametrize(
    ("change", "critical", "said"),
    [
        ({"d": "6000 mg"}, True, "0.353 times what is wanted: a critical mistake"),
        ({"d": "9000 kg"}, True, "less than a thousandth of what is wanted: a critical mistake"),
        ({"d": "900 mg"}, True, "2.11 times what is wanted: a critical mistake"),
        ({"d": "1900 mg"}, False, "1.07 times what is wanted, outside the allowed error of 5 %"),
        ({"d": "1800 mg"}, False, "1.12 times what is wanted, outside the allowed error of 5 %"),
        ({"w": "119 mg", "k": "17", "t": "2040 mg", "d": "1921 mg"}, False, "must be at least the least weighable"),
        ({"d": "2034.5 mg"}, False, "whole number of display steps"),
    ],
)
def test_a_plan_that_does_not_deliver_is_not_cleared(change: dict[str, str], critical: bool, said: str) -> None:
    """Recomputed from what would be weighed: twice or half is critical, beyond the allowed error is not cleared."""
    mark = marked(plan_task(7), **{**PLAN, **change})
    assert not mark.cleared
    assert mark.clearance.critical is critical
    assert said in " ".join(mark.clearance.reasons)


def test_a_slip_that_harms_nobody_does_not_block_clearance() -> None:
    """The weight left at 120 mg delivers 95.2 % of the dose: marks are lost, the allowed error is kept."""
    mark = marked(plan_task(7), **{**PLAN, "w": "120 mg", "d": "2040 mg"})
    assert (mark.marks, mark.cleared) == (10, True)


def test_the_true_least_weighable_quantity_decides_about_safety() -> None:
    """A plan that is consistent with a limit of 60 mg earns its steps, and does not go to the balance."""
    mark = marked(plan_task(7), lwq="60 mg", k="9", w="63 mg", a="60 mg", t="540 mg", d="477 mg")
    assert mark.marks == 10
    assert "Here it is 120 mg" in " ".join(mark.clearance.reasons)


def test_what_is_not_answered_is_not_cleared() -> None:
    """Nobody goes to the balance with half a plan."""
    mark = marked(plan_task(7), **{**PLAN, "d": ""})
    assert (mark.marks, mark.cleared, mark.clearance.critical) == (10, False, False)
    assert "Not answered, or not readable: diluent to weigh" in mark.clearance.reasons[0]


# The record ----------------------------------------------------------------------------------------------------------


def test_a_mark_is_recorded_as_plain_data() -> None:
    """Marks, verdicts, mistakes, clearance and reasons, all of them words and numbers."""
    record = mark_task(LWQ, "0.3 mg").as_record()
    assert (record["marks"], record["out_of"], record["cleared"], record["critical"]) == (0.0, 2, False, True)
    assert record["mistakes"] == ["lwq-upside-down"]
    (verdict,) = record["verdicts"]
    assert verdict["typed"] == "0.3 mg"
    assert verdict["status"] == "mistake recognised"
    assert verdict["mistake_name"].startswith("The sensitivity requirement was multiplied")


def test_a_cell_that_is_not_there_asks_for_a_look() -> None:
    """It earns nothing, and the mark sheet shows why."""
    assert mark_task(LWQ, None).needs_eyes == "the answer cell is not there"
    assert mark_task(LWQ, "").needs_eyes == ""
    assert mark_task(LWQ, None).marks == 0


def test_every_status_has_its_words() -> None:
    """A mark sheet says each outcome in its own words."""
    assert len({status.value for status in Status}) == len(Status)


def test_answers_reach_marking_as_they_were_typed() -> None:
    """The helper of these tests writes the lines that a student would."""
    assert answers(lwq="120 mg", k="18") == "lwq = 120 mg\nk = 18"
