"""Decisions: directly, by an aliquot or not here; go ahead or stop; and the power of ten before the calculation."""

from collections import Counter

import pytest

from pharmcalc.aliquots import smallest_plan
from pharmcalc.errors import RefusedError
from pharmcalc.feedback import CLEARED, HELD_BACK, feedback_text
from pharmcalc.marking import Status, TaskMark, mark_task
from pharmcalc.tasks.family import Task, family_called
from pharmcalc.tasks.house import HouseRules, read_house_rules
from pharmcalc.units import quantity
from tests.questions import HOUSE, house


def drawn(family: str, count: int = 120) -> list[Task]:
    """Return tasks drawn with different keys."""
    return [family_called(family).task("q1", f"decide {number}", HOUSE) for number in range(count)]


def right(task: Task, name: str) -> set[str]:
    """Return the ids of the right options of a decision."""
    decision = next(asked for asked in task.asked if asked.name == name)
    return {option.id for option in decision.rights(task, task.values)}


def typed(task: Task, **changes: str) -> TaskMark:
    """Mark the worked answers with some lines changed, by the words of their label."""
    lines = dict(line.split(" = ", 1) for line in task.answer_lines().splitlines())
    lines |= {label.replace("_", " "): text for label, text in changes.items()}
    return mark_task(task, "\n".join(f"{label} = {text}" for label, text in lines.items()))


def status(mark: TaskMark) -> dict[str, Status]:
    """Return what became of each answer."""
    return {verdict.label: verdict.status for verdict in mark.verdicts}


# Decide first --------------------------------------------------------------------------------------------------------


def test_each_way_is_sometimes_right() -> None:
    """Nobody can answer without calculating: each way comes up in at least a fifth of the draws."""
    ways = Counter(way for task in drawn("decide-first") for way in right(task, "way"))
    assert set(ways) == {"direct", "aliquot", "neither"}
    assert min(ways.values()) >= 24


def test_the_right_way_is_the_one_that_the_numbers_say() -> None:
    """At or above 6 mg ÷ 5 % = 120 mg directly; below it an aliquot where a plan exists; neither where none does."""
    for task in drawn("decide-first"):
        wanted = task.values["drug_wanted"].to("mg").magnitude
        least = (task.values["sensitivity"].to("mg") / task.values["allowed_error"].to("")).magnitude
        way = right(task, "way")
        assert (way == {"direct"}) is (wanted >= least)
        if way == {"neither"}:
            with pytest.raises(RefusedError):
                smallest_plan(drug_wanted=task.values["drug_wanted"], limits=task.limits)
        elif way == {"aliquot"}:
            plan = smallest_plan(drug_wanted=task.values["drug_wanted"], limits=task.limits)
            assert plan.broken_rules(task.limits) == []


def test_every_remedy_that_works_is_right_and_none_is_needed_where_nothing_is_wrong() -> None:
    """Several remedies may be right; each of them earns everything."""
    several = 0
    for task in drawn("decide-first"):
        remedies = right(task, "remedy")
        assert (remedies == {"none"}) is (right(task, "way") != {"neither"})
        several += len(remedies) > 1
        for asked in task.asked:
            if asked.name == "remedy":
                for option in asked.rights(task, task.values):
                    mark = typed(task, remedy=option.said)
                    assert (mark.marks, mark.cleared) == (task.out_of, True)
    assert several > 5


def test_weighing_directly_below_the_limit_is_critical() -> None:
    """It loses the decision only, but nobody goes to the balance with it; what it would have done is said."""
    task = next(task for task in drawn("decide-first") if right(task, "way") == {"aliquot"})
    mark = typed(task, way="directly")
    assert (mark.marks, mark.cleared, mark.clearance.critical) == (task.out_of - 3, False, True)
    assert mark.as_record()["mistakes"] == ["way-direct"]
    assert "weighed directly, it may be wrong by" in feedback_text(mark)
    done = "What it would have done: Weighed directly"
    assert done in feedback_text(typed(task, way="directly", least_weighable_quantity="1.2 mg"))
    assert done not in feedback_text(typed(task, least_weighable_quantity="900 g"))


def test_a_decision_follows_from_a_wrong_limit_but_is_not_cleared() -> None:
    """With an LWQ upside down, deciding to weigh directly is consistent, costs nothing more, and is not safe."""
    task = next(task for task in drawn("decide-first") if right(task, "way") == {"aliquot"})
    mark = typed(task, least_weighable_quantity="0.3 mg", way="weigh directly", remedy="none needed")
    assert status(mark)["way"] is Status.FOLLOWS
    assert (mark.marks, mark.cleared, mark.clearance.critical) == (task.out_of - 2, False, True)


@pytest.mark.parametrize(
    ("text", "said"),
    [("perhaps", "is not one of the answers"), ("we", "weigh directly"), ("120 mg", "is not one of the answers")],
)
def test_a_decision_is_read_in_short_or_asked_back(text: str, said: str) -> None:
    """An abbreviation that can mean one answer only is read; anything else is said to be none of the answers."""
    task = drawn("decide-first", 1)[0]
    mark = typed(task, way=text)
    assert said in dict(mark.sheet.read_back())["way"]


# Stop and ask --------------------------------------------------------------------------------------------------------


def test_orders_are_stopped_about_as_often_as_not() -> None:
    """Neither "always go ahead" nor "always ask" gets a class through; every reason comes up."""
    tasks = drawn("stop-and-ask", 200)
    actions = Counter(action for task in tasks for action in right(task, "action"))
    assert 60 <= actions["go"] <= 110
    assert {reason for task in tasks for reason in right(task, "reason")} == {
        "fine",
        "hazardous",
        "salt",
        "illegible",
        "expired",
        "basis",
    }


def test_going_ahead_with_a_hazardous_drug_is_critical_and_asking_too_often_is_not() -> None:
    """Both are wrong; only one of them hurts."""
    tasks = drawn("stop-and-ask", 60)
    hazardous = next(task for task in tasks if task.drawn.words["kind"] == "hazardous")
    fine = next(task for task in tasks if task.drawn.words["kind"] == "fine")
    assert "HAZARDOUS" in hazardous.question_text()
    assert typed(hazardous, action="go ahead").clearance.critical
    shy = typed(fine, action="stop and ask")
    assert (shy.clearance.critical, shy.cleared) == (False, False)
    assert "containment" in feedback_text(typed(hazardous, action="go ahead"))


def test_what_is_rightly_stopped_is_not_sent_to_the_bench() -> None:
    """To stop and ask, or to weigh it neither way, clears the student and not the weighing."""
    for family, name, halting in (("stop-and-ask", "action", "stop"), ("decide-first", "way", "neither")):
        said = {halting in right(task, name): feedback_text(typed(task)) for task in drawn(family, 40)}
        assert HELD_BACK in said[True]
        assert CLEARED not in said[True]
        assert CLEARED in said[False]


def test_a_decision_not_made_is_not_given_away() -> None:
    """Whoever checks half a card reads what is to be decided, and not what is right."""
    for task in drawn("decide-first", 20):
        text = feedback_text(typed(task, way="", remedy=""))
        assert "Way: Not answered. Decide: weigh directly / one aliquot / neither." in text
        assert "The right answer here" not in text


def test_only_a_dangerous_decision_is_called_unsafe() -> None:
    """An aliquot for what could be weighed directly is a detour; weighing directly below the limit is a danger."""
    direct = next(task for task in drawn("decide-first") if right(task, "way") == {"direct"})
    assert 'Way: "one aliquot" is not right here.' in typed(direct, way="one aliquot").clearance.reasons
    too_little = next(task for task in drawn("decide-first") if right(task, "way") == {"aliquot"})
    assert 'Way: "weigh directly" is not safe here.' in typed(too_little, way="directly").clearance.reasons


# Estimate first ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("family", ["estimate-drug", "estimate-batch", "estimate-mixture"])
def test_an_estimate_is_right_by_its_power_of_ten(family: str) -> None:
    """Three times too much or too little is good enough, four times is not; the calculation is judged by itself."""
    for task in drawn(family, 20):
        asked = task.amounts[1]
        for times, good in ((3, True), (1, True), (4, False), (10, False)):
            for value in (task.values[asked.name] * times, task.values[asked.name] / times):
                mark = typed(task, estimate=task.typed(asked, value))
                assert (status(mark)["estimate"] is Status.RIGHT) is good, (family, times)
                assert mark.marks == task.out_of - (0 if good else 1)
                assert mark.cleared


# Own orders ----------------------------------------------------------------------------------------------------------

ORDER = '[[order]]\nname = "Order 7"\ndrug = "menthol"\nstrength = "2 % w/w"\namount = "50 g"\n'


def rules_with(order: str) -> HouseRules:
    """Return house rules with one order only."""
    return read_house_rules(HOUSE.text.split("[[order]]")[0] + order)


def test_an_instructor_orders_without_python() -> None:
    """Five lines of text become a task: 2 % w/w of 50 g are 1 g."""
    task = family_called("own-order-ww").task("q1", "any", rules_with(ORDER))
    assert "Order 7: 50 g of 2 % w/w with menthol." in task.question_text()
    assert task.values["drug_for_percentage_ww"] == quantity(1, "g")


@pytest.mark.parametrize(
    ("order", "said"),
    [
        (ORDER.replace("2 % w/w", "2 %").replace("50 g", "50 mL"), "must be a mass"),
        (ORDER.replace('"50 g"', "50"), "between quotation marks"),
        (ORDER.replace('drug = "menthol"\n', ""), "drug"),
        (ORDER.replace("strength", "dose"), "entries are"),
        (ORDER.replace('"2 % w/w"', "[]"), "1 to 50 values"),
        ('[[order]]\nname = "x"\ndrug = "y"\ndose = "1 mg"\nunits = 0\nunit-weight = "1 g"\n', "at least 1"),
        ("order = 3\n", "Begin each with a line [[order]]"),
    ],
)
def test_an_order_that_cannot_be_is_refused_by_its_entry(order: str, said: str) -> None:
    """The instructor reads which order, which entry, what it says and what may stand there."""
    before, after = (order, "") if order.startswith("order =") else ("", order)
    with pytest.raises(RefusedError) as caught:
        read_house_rules(before + HOUSE.text.split("[[order]]")[0] + after)
    assert said in str(caught.value)


def test_a_house_without_orders_is_told_what_to_add() -> None:
    """The task cannot be drawn, and the sentence says which entry is missing."""
    with pytest.raises(RefusedError, match=r"there is no order with a dose.*\[\[order\]\]|no order with a dose"):
        family_called("own-order-units").task("q1", "any", rules_with(""))
    assert house().orders
