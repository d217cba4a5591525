"""Tasks about measuring volumes: published limits, a misread meniscus, and slips by name."""

import math

import pytest

from pharmcalc.feedback import feedback_text
from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.tasks.family import Task
from pharmcalc.units import Quantity, quantity
from tests.questions import statuses, task_with


def ml(number: str) -> Quantity:
    """Return millilitres."""
    return quantity(number, "millilitre")


def percent(number: str) -> Quantity:
    """Return a percentage."""
    return quantity(number, "percent")


def named(mark: TaskMark) -> list[str]:
    """Return the mistakes that were named."""
    return [verdict.mistake_id for verdict in mark.verdicts if verdict.mistake_id]


PIPETTE = task_with("measuring-error", volume_error=ml("0.03"), volume=ml("1"), capacity=ml("10"))
LEAST = task_with("least-measurable-volume", volume_error=ml("0.1"), allowed_error=percent("5"))


def cylinder() -> Task:
    """Return a task about a 10 mL graduate of 1.18 cm (USP <1176>, from memory), read 1 mm wrong."""
    return task_with(
        "cylinder-reading-error",
        inner_diameter=quantity("1.18", "centimetre"),
        misreading=quantity(1, "millimetre"),
        volume=ml("4"),
        allowed_error=percent("5"),
        capacity=ml("10"),
    )


READ = {"volume error": "0.109 mL", "percentage of error": "2.73 %", "least volume": "2.19 mL"}


def marked(**typed: str) -> TaskMark:
    """Mark the right answers about the graduate with some changed."""
    lines = {**READ, **{label.replace("_", " "): text for label, text in typed.items()}}
    return mark_task(cylinder(), "\n".join(f"{label} = {text}" for label, text in lines.items()))


def test_the_published_error_of_a_tenth_of_a_pipette() -> None:
    """0.03 mL off in 1 mL of a 10 mL pipette is 3 % (USP 28 <31>), and 0.1 mL at 5 % needs 2 mL."""
    assert mark_task(PIPETTE, "percentage of error = 3 %").cleared
    assert mark_task(LEAST, "least volume = 2 mL").cleared


def test_the_published_deviation_of_a_graduate() -> None:
    """1 mm at 1.18 cm is 0.109 mL, so 2.19 mL is the least at 5 % (USP <1176>, from memory)."""
    mark = marked()
    assert (mark.marks, mark.out_of, mark.cleared) == (6, 6, True)
    slice_misread = math.pi / 4 * 1.18**2 * 0.1
    assert float(cylinder().values["volume_error"].to("millilitre").magnitude) == pytest.approx(slice_misread)


@pytest.mark.parametrize(
    ("task", "typed", "mistake"),
    [
        # 0.03 mL in 1 mL of 10 mL; 0.1 mL at 5 %; each number worked out from what was done
        (PIPETTE, "0.3 %", "volume-error-of-capacity"),  # 0.03 / 10
        (PIPETTE, "3333 %", "volume-error-upside-down"),  # 1 / 0.03
        (PIPETTE, "0.03 %", "volume-error-not-times-100"),
        (LEAST, "0.005 mL", "smallest-volume-upside-down"),  # 0.1 x 5 %: mistake 1 with a liquid
        (LEAST, "0.02 mL", "smallest-volume-percent-as-number"),  # 0.1 / 5: mistake 2 with a liquid
    ],
)
def test_a_slip_of_one_step_is_named(task: Task, typed: str, mistake: str) -> None:
    """The same slips as at the balance have their own names at the cylinder."""
    mark = mark_task(task, typed)
    assert named(mark) == [mistake]
    assert (mark.marks, mark.cleared) == (0, False)
    assert "What it would have done" in feedback_text(mark)


@pytest.mark.parametrize(
    ("label", "typed", "mistake"),
    [
        # pi/4 x 1.18 x 1.18 x 0.1 = 0.10936 mL; each number worked out from what was done
        ("volume error", "0.437 mL", "diameter-as-radius"),  # four times
        ("volume error", "1.09 mL", "misreading-tenfold"),
        ("percentage of error", "1.09 %", "volume-error-of-capacity"),  # 0.109 / 10
        ("least volume", "0.0219 mL", "smallest-volume-percent-as-number"),  # 0.109 / 5
    ],
)
def test_a_slip_at_the_meniscus_is_named_and_costs_one_step(label: str, typed: str, mistake: str) -> None:
    """The rest as it should be, exactly one of three answers is lost."""
    mark = marked(**{label: typed})
    assert named(mark) == [mistake]
    assert mark.marks == 4


def test_a_diameter_for_a_radius_is_followed_through() -> None:
    """0.437 mL of 4 mL are 10.9 %, and 8.74 mL the least: right from the student's own number."""
    mark = marked(volume_error="0.437 mL", percentage_of_error="10.9 %", least_volume="8.74 mL")
    assert statuses(mark) == {
        "volume error": "MISTAKE",
        "percentage of error": "FOLLOWS",
        "least volume": "FOLLOWS",
    }


def test_a_least_volume_that_is_too_small_says_what_comes_of_it() -> None:
    """1 mL instead of 2.19 mL: 0.109 mL off are 11 % of it."""
    text = feedback_text(marked(least_volume="1 mL"))
    assert "If 1 mL were measured in it, a meniscus misread that far would make it wrong by about 10.94 %." in text
    assert "What it would have done" not in feedback_text(marked(percentage_of_error="9 %"))
