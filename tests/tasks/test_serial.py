"""Tasks about two aliquots one after the other: published and hand-worked values, and slips by name."""

import pytest

from pharmcalc.balances import Balance
from pharmcalc.feedback import feedback_text
from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.tasks.family import Task
from pharmcalc.units import quantity
from tests.questions import HOUSE, mg, statuses, task_with


def serial_task(wanted: str = "1.3", least: str = "120", first: int = 10) -> Task:
    """Return a task with mg wanted, the least weighable mg, and the multiple of the first step."""
    limits = HOUSE.limits(Balance("Balance 1", mg(1), quantity(120, "gram"), stated_minimum=mg(least)))
    given = {"drug_wanted": mg(wanted), "least_weighable_quantity": mg(least), "first_multiple": quantity(first)}
    return task_with("serial-multiple", HOUSE, limits, **given)


RIGHT = {"multiple needed": "93", "second multiple": "10", "multiple of both steps": "100", "drug": "130 mg"}


def marked(**typed: str) -> TaskMark:
    """Mark the right answers for 1.3 mg with some changed."""
    lines = {**RIGHT, **{label.replace("_", " "): text for label, text in typed.items()}}
    return mark_task(serial_task(), "\n".join(f"{label} = {text}" for label, text in lines.items()))


def test_ten_and_five_make_fifty() -> None:
    """2 mg with a limit of 100 mg: 50 times in all, 10 in the first step and 5 in the second, 100 mg (from memory)."""
    mark = mark_task(
        serial_task("2", "100"), "multiple needed = 50\nk2 = 5\nmultiple of both steps = 10 x 5 = 50\ndrug = 100 mg"
    )
    assert (mark.marks, mark.out_of, mark.cleared) == (8, 8, True)
    assert [verdict.mistake_id for verdict in mark.verdicts] == [""] * 4


def test_what_is_rounded_up_in_the_second_step_is_weighed() -> None:
    """1.3 mg and 120 mg: 92.3, so 93; 9.3, so 10; 100 in all, 130 mg weighed, and not 93 times (derived)."""
    assert marked().cleared
    assert "108" not in serial_task().answer_lines()
    assert serial_task().answer_lines().splitlines()[-1] == "drug to weigh = 130 mg"
    assert "130 mg ÷ 10 ÷ 10 = 1.3 mg" in serial_task().working().text()


@pytest.mark.parametrize(
    ("label", "typed", "mistake"),
    [
        # 120 / 1.3 = 92.3, so 93; 93 / 10 = 9.3, so 10; each number worked out from what was done
        ("multiple needed", "92", "multiple-rounded-down"),  # mistake 5
        ("multiple needed", "0.0108", "multiple-upside-down"),  # 1.3 / 120 (mistake 31)
        ("second multiple", "83", "serial-factor-subtracted"),  # 93 - 10
        ("second multiple", "9", "serial-second-rounded-down"),
        ("multiple of both steps", "20", "serial-factors-added"),  # 10 + 10 (mistake 11)
        ("drug", "120 mg", "weight-left-at-lwq"),  # mistake 4
        ("drug", "1.3 mg", "weighed-directly"),  # mistake 27
    ],
)
def test_a_slip_between_two_steps_is_named_and_costs_one_step(label: str, typed: str, mistake: str) -> None:
    """The rest as it should be, exactly one of four answers is lost."""
    mark = marked(**{label: typed})
    assert [verdict.mistake_id for verdict in mark.verdicts if verdict.mistake_id] == [mistake]
    assert mark.marks == 6


def test_factors_added_are_followed_through_and_never_cleared() -> None:
    """10 and 10 taken for 20: 26 mg follows and costs nothing, but both steps thin it to a fifth of the dose."""
    mark = marked(multiple_of_both_steps="20", drug="26 mg")
    assert statuses(mark)["drug to weigh"] == "FOLLOWS"
    assert mark.marks == 6
    assert (mark.cleared, mark.clearance.critical) == (False, True)
    assert "the last aliquot would hold only 20 % of the drug that is wanted: 0.26 mg" in feedback_text(mark)
