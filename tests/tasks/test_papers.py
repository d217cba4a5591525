"""Papers: one student's numbers, the same for ever, and nobody else's."""

import pytest

from pharmcalc.errors import CourseError, RefusedError
from pharmcalc.tasks.family import FAMILIES
from pharmcalc.tasks.house import default_house_rules_text
from pharmcalc.tasks.papers import Issue, answer_id, mark_id, normal_number, read_issue, task_id_of
from tests.questions import HOUSE, house

ASKED = (
    ("q1", "percentage-of-error"),
    ("q2", "least-weighable-quantity"),
    ("q3", "percentage-wv"),
    ("q4", "ratio-of-trituration"),
    ("q5", "aliquot-plan"),
    ("q6", "aliquot-batch"),
)
ISSUE = Issue("weighing-1", 1, "Weighing 1", ASKED, HOUSE)


def numbers(issue: Issue, student: str, attempt: int = 1) -> list[str]:
    """Return all the given numbers of a paper as text."""
    paper = issue.paper(student, attempt)
    return [str(value) for task in paper.tasks for value in task.drawn.values.values()]


# Frozen outputs ------------------------------------------------------------------------------------------------------

FROZEN = {
    "aliquot-batch": {
        "dose": "1/2 milligram",
        "units_ordered": "14 dimensionless",
        "number_of_units": "16 dimensionless",
        "final_quantity": "4800 milligram",
        "fill": "300 milligram",
        "least_weighable_quantity": "100 milligram",
    },
    "aliquot-plan": {
        "drug_wanted": "44 milligram",
        "sensitivity": "4 milligram",
        "allowed_error": "5 percent",
    },
    "drug-for-strength": {
        "strength": "5 percent_in_volume",
        "preparation": "60 millilitre",
    },
    "drug-in-trituration": {
        "ratio": "1/8 dimensionless",
        "preparation": "184 milligram",
    },
    "error-found": {
        "wanted": "1125 milligram",
        "found": "1147 milligram",
    },
    "least-weighable-quantity": {
        "sensitivity": "5 milligram",
        "allowed_error": "1 percent",
    },
    "minimum-weight": {
        "standard_deviation": "1/5 milligram",
        "display_step": "1 milligram",
        "counted_deviation": "41/100 milligram",
    },
    "percentage-of-error": {
        "sensitivity": "4 milligram",
        "load": "265 milligram",
    },
    "percentage-wv": {
        "drug": "610 milligram",
        "preparation": "45 millilitre",
    },
    "percentage-ww": {
        "drug": "280 milligram",
        "preparation": "25 gram",
    },
    "ratio-of-trituration": {
        "drug": "75 milligram",
        "diluent": "1275 milligram",
        "preparation": "1350 milligram",
    },
    "ratio-strength": {
        "strength": "4 percent",
    },
    "sensitivity-requirement": {
        "least_weighable_quantity": "140 milligram",
        "allowed_error": "3 percent",
    },
    "strength-in-other-words": {
        "strength": "67/200 percent_in_volume",
    },
}


@pytest.mark.parametrize("family", sorted(FROZEN))
def test_a_paper_already_issued_keeps_its_numbers(family: str) -> None:
    """Student A-07, attempt 1, version 1: these numbers, on every machine, in every version, for ever."""
    paper = Issue("frozen", 1, "Frozen", (("q1", family),), HOUSE).paper("A-07")
    assert {name: str(value) for name, value in paper.task("q1").drawn.values.items()} == FROZEN[family]


def test_the_code_of_a_paper_is_frozen() -> None:
    """The code printed on a sheet finds the paper again years later."""
    assert ISSUE.paper("A-07").code == "YM6BR3"
    assert ISSUE.paper("A-07", 2).code == "ZPRRQ7"


# Laws ----------------------------------------------------------------------------------------------------------------


def test_the_same_paper_is_the_same_again() -> None:
    """Same assignment, student, attempt and version: same numbers; capitals and spaces around make no difference."""
    assert numbers(ISSUE, "A-07") == numbers(ISSUE, "A-07") == numbers(ISSUE, " a-07 ")


@pytest.mark.parametrize(
    "other",
    [
        numbers(ISSUE, "A-08"),
        numbers(ISSUE, "A-07", 2),
        numbers(Issue("weighing-1", 2, "Weighing 1", ASKED, HOUSE), "A-07"),
        numbers(Issue("weighing-2", 1, "Weighing 2", ASKED, HOUSE), "A-07"),
    ],
    ids=["another student", "another attempt", "another version", "another assignment"],
)
def test_anything_else_is_another_paper(other: list[str]) -> None:
    """Each of the four things changes the numbers."""
    assert numbers(ISSUE, "A-07") != other


def test_in_a_class_of_300_no_two_papers_are_alike() -> None:
    """Three hundred students, three hundred papers, three hundred codes."""
    papers = [ISSUE.paper(f"B-{number:03}") for number in range(300)]
    assert (
        len({tuple(str(value) for task in paper.tasks for value in task.drawn.values.values()) for paper in papers})
        == 300
    )
    assert len({paper.code for paper in papers}) == 300


def test_a_paper_is_marked_out_of_all_its_tasks() -> None:
    """Its marks are the sum of its tasks' marks, and a task is found by its name."""
    paper = ISSUE.paper("A-07")
    assert paper.out_of == sum(task.out_of for task in paper.tasks) == 34
    assert paper.task("q5").family.id == "aliquot-plan"


def test_the_house_rules_decide_what_is_drawn() -> None:
    """With 2 % allowed, the plan is asked about other limits."""
    strict = Issue("weighing-1", 1, "Weighing 1", ASKED, house(allowed_error='"2 %"'))
    assert (
        strict.paper("A-07").task("q5").values["allowed_error"]
        != ISSUE.paper("A-07").task("q5").values["allowed_error"]
    )


# Reading a released notebook -----------------------------------------------------------------------------------------


def notebook(*sources: str | list[str]) -> dict[str, object]:
    """Return a notebook with cells of these sources."""
    return {"cells": [{"cell_type": "code", "source": source} for source in sources]}


BEGIN = 'from pharmcalc import notebook\nnotebook.begin("weighing-1", version=3)'


def test_a_released_notebook_says_what_was_asked() -> None:
    """Assignment, version, title, tasks and house rules are all read from the notebook itself."""
    rules = "%%house_rules\n" + default_house_rules_text().replace('"5 %"', '"2 %"')
    nb = notebook(
        "# Weighing and aliquots\nHow it works", BEGIN, rules, "%task q1 error-found", ["%task q2 ", "aliquot-plan\n"]
    )
    issue = read_issue(nb)
    assert (issue.assignment, issue.version, issue.title) == ("weighing-1", 3, "Weighing and aliquots")
    assert issue.tasks == (("q1", "error-found"), ("q2", "aliquot-plan"))
    assert dict(issue.house.summary())["Allowed error of one weighing"] == "2 %"


def test_without_house_rules_in_it_the_course_s_own_hold() -> None:
    """A notebook with the empty magic line alone is marked by the rules that come with the course."""
    assert (
        read_issue(notebook(BEGIN, "%%house_rules", "%task q1 error-found")).house.allowed_error == HOUSE.allowed_error
    )


@pytest.mark.parametrize(
    ("sources", "said"),
    [
        ((), "no assignment"),
        (("# A lesson", "%task q1 error-found"), "no assignment"),
        ((BEGIN,), "asks for nothing"),
        ((BEGIN, "%task q1"), "asks for nothing"),
        ((BEGIN, "%task q1 error-found", "%task q1 aliquot-plan"), "two tasks of the same name"),
    ],
)
def test_what_is_no_assignment_is_refused_with_what_is_missing(sources: tuple[str, ...], said: str) -> None:
    """The instructor reads which line is not there."""
    with pytest.raises(CourseError, match=said):
        read_issue(notebook(*sources))


def test_an_unknown_task_is_refused_with_those_there_are() -> None:
    """Both on a paper, and in an assignment that asks for a kind that does not exist."""
    with pytest.raises(CourseError, match="q1, q2"):
        ISSUE.paper("A-07").task("q9")
    with pytest.raises(RefusedError, match="error-found"):
        Issue("x", 1, "X", (("q1", "no-such-kind"),), HOUSE).paper("A-07")


def test_cells_are_called_after_their_task() -> None:
    """The ids of a task's cells can be made and taken apart again."""
    assert (answer_id("q1"), mark_id("q1")) == ("answer-q1", "mark-q1")
    assert [task_id_of(one) for one in ("answer-q1", "mark-q1", "task-q1", "explain-1", "setup")] == ["q1"] * 3 + [
        "",
        "",
    ]
    assert normal_number("  a-07\t ") == "A-07"


def test_every_kind_of_task_has_frozen_numbers() -> None:
    """No family can change its draws unnoticed."""
    assert set(FROZEN) == set(FAMILIES)
