"""Tasks about how sure a number is: a wandering display, its step, two measurements together, and slips by name."""

import math

import pytest

from pharmcalc.feedback import feedback_text
from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.tasks.family import Task
from tests.questions import mg, statuses, task_with


def named(mark: TaskMark) -> list[str]:
    """Return the mistakes that were named."""
    return [verdict.mistake_id for verdict in mark.verdicts if verdict.mistake_id]


WANDERS = task_with("reading-on-display", load=mg(120), lowest=mg(115), highest=mg(124), display_step=mg(1))
STEP = task_with("resolution-uncertainty", display_step=mg(1))
TWO = task_with("combined-uncertainty", first=mg(3), second=mg(4))
ROOTS = task_with("combined-uncertainty", first=mg(2), second=mg(5))


@pytest.mark.parametrize(
    ("task", "typed"),
    [
        (WANDERS, "spread = 9 mg\npercentage of the load = 7.5 %"),  # 9 / 120
        (STEP, "u = 0.289 mg"),  # GUM F.2.2.1: 0.29 d
        (STEP, "standard uncertainty = 0.28868 mg"),
        (TWO, "combined = 5 mg\nexpanded = 10 mg"),
        (ROOTS, f"combined = {math.sqrt(29):.4g} mg\nexpanded = {2 * math.sqrt(29):.4g} mg"),
    ],
)
def test_the_right_numbers_earn_everything(task: Task, typed: str) -> None:
    """Published or worked out by hand; a root is asked to three figures, and more figures are as right."""
    mark = mark_task(task, typed)
    assert (mark.marks, mark.cleared) == (mark.out_of, True)


@pytest.mark.parametrize(
    ("task", "typed", "mistakes"),
    [
        # each number worked out from what was done; the rest of the chain as it should be
        (WANDERS, "spread = 4.5 mg\npercentage = 7.5 %", ["spread-halved"]),
        (WANDERS, "spread = 9 mg\npercentage = 1333 %", ["spread-upside-down"]),  # 120 / 9
        (WANDERS, "spread = 9 mg\npercentage = 0.075 %", ["spread-not-times-100"]),
        (WANDERS, "spread = 9 mg\npercentage = 0.833 %", ["spread-is-display-step"]),  # 1 / 120
        (STEP, "0.577 mg", ["whole-step-as-half-width"]),  # 1 / root of 3
        (STEP, "0.5 mg", ["half-step-as-standard-uncertainty"]),
        (TWO, "combined = 7 mg\nexpanded = 14 mg", ["uncertainties-added"]),
        (TWO, "combined = 3.5 mg\nexpanded = 7 mg", ["uncertainties-averaged"]),
        (TWO, "combined = 5 mg\nexpanded = 5 mg", ["expanded-factor-left-out"]),
        (TWO, "combined = 5 mg\nexpanded = 2.5 mg", ["expanded-halved"]),
    ],
)
def test_a_slip_is_named_and_costs_its_own_step(task: Task, typed: str, mistakes: list[str]) -> None:
    """A half width, a standard and an expanded uncertainty are three things, each with its own way to go wrong."""
    mark = mark_task(task, typed)
    assert named(mark) == mistakes
    assert mark.out_of - mark.marks == 2


def test_half_a_spread_is_followed_through() -> None:
    """4.5 mg of 120 mg are 3.75 %: right from the student's own number, and the weighing would be trusted too far."""
    mark = mark_task(WANDERS, "spread = 4.5 mg\npercentage = 3.75 %")
    assert statuses(mark) == {"spread": "MISTAKE", "percentage of the load": "FOLLOWS"}
    assert "You would trust this weighing to 3.75 %, while its reading wanders by 7.5 %." in feedback_text(mark)


def test_a_consequence_is_told_only_where_the_result_is_wrong() -> None:
    """Where the last line is right all the same, nothing would have come of the slip."""
    assert "What it would have done" not in feedback_text(mark_task(TWO, "combined = 7 mg\nexpanded = 10 mg"))
    assert "promise 5 mg either way, where it takes 10 mg" in feedback_text(
        mark_task(TWO, "combined = 5 mg\nexpanded = 5 mg")
    )
