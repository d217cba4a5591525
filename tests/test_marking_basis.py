"""A strength without its basis, on another one, and an amount of another kind."""

import pytest

from pharmcalc.dilutions import stock_strength_needed
from pharmcalc.errors import RefusedError
from pharmcalc.feedback import feedback_text
from pharmcalc.marking import Status, TaskMark, mark_task
from pharmcalc.tasks.asked import Asked
from pharmcalc.tasks.family import Drawn, Family, Task, family_called
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import Quantity, quantity
from tests.questions import HOUSE, house


def marked(text: str, unit: str = "percent_in_volume") -> TaskMark:
    """Mark the strength of a stock: 5 mL of it in 100 mL are to give 0.25 %, so it is 5 %."""
    given: dict[str, Quantity] = {
        "stock_amount": quantity(5, "mL"),
        "wanted_strength": quantity("0.25", unit),
        "final_amount": quantity(100, "mL"),
    }
    family = Family(
        "stock-test", "A stock", "tests", "?", lambda dice, house: Drawn(given), (Asked(stock_strength_needed),)
    )
    return mark_task(Task("q1", family, Drawn(given), HOUSE), text)


@pytest.mark.parametrize(
    ("text", "unit", "status"),
    [
        ("5 %", "percent_in_volume", Status.RIGHT),
        ("5 % w/v", "percent_in_volume", Status.RIGHT),
        ("50 mg/mL", "percent_in_volume", Status.RIGHT),
        ("5 % w/w", "percent_in_volume", Status.BASIS),
        ("5 %", "percent", Status.RIGHT),
        ("50 mg/mL", "percent", Status.BASIS),
        ("45 mL", "percent", Status.UNREADABLE),
    ],
)
def test_a_percentage_without_its_basis_is_taken_on_the_one_asked_for(text: str, unit: str, status: Status) -> None:
    """A bare 5 % is no mistake; a stated other basis is critical; a volume is no strength at all."""
    mark = marked(text, unit)
    assert mark.verdicts[0].status is status
    assert mark.cleared is (status is Status.RIGHT)
    assert mark.clearance.critical is (status is Status.BASIS)
    assert "basis" in feedback_text(mark) or status is not Status.BASIS


# What the house calls critical ---------------------------------------------------------------------------------------


def wrong_salt(rules: HouseRules) -> TaskMark:
    """Mark a weight of salt for which the mass of the base was weighed: less than double, but another content."""
    family = family_called("salt-form")
    task = next(
        task
        for task in (family.task("q1", f"salt {number}", rules) for number in range(50))
        if task.values["form_to_weigh"] < task.values["drug_wanted"] * quantity("1.9")
    )
    return mark_task(task, f"{task.amounts[0].said} = {task.typed(task.amounts[0], task.values['drug_wanted'])}")


def test_another_salt_is_critical_though_it_is_less_than_double() -> None:
    """The house names it; the reason names the mistake."""
    mark = wrong_salt(HOUSE)
    assert mark.verdicts[0].mistake_id == "salt-factor-left-out"
    assert mark.clearance.critical
    assert any("as if it were the named form, a critical mistake" in reason for reason in mark.clearance.reasons)


def test_a_house_may_edit_the_list_of_critical_mistakes() -> None:
    """Without the entry the slip still blocks the bench where it is outside the allowed error, but is not critical."""
    mark = wrong_salt(house(critical_mistakes="[]"))
    assert not mark.clearance.critical
    assert not mark.cleared


def test_a_doubled_dose_that_was_rounded_is_doubled_all_the_same() -> None:
    """1699 mg for 849.9 mg is 1.999 times, and reads as 2 times."""
    mark = marked("9.99 % w/v")
    assert mark.clearance.critical
    assert "2 times what it should be: a critical mistake" in feedback_text(mark)


def test_an_old_unit_cannot_answer_how_much_it_is_in_metric_ones() -> None:
    """Repeating the question is no answer."""
    task = family_called("old-grains").task("q1", "old", HOUSE)
    mark = mark_task(task, f"mass = {task.shown('grains')} gr")
    assert mark.verdicts[0].status is Status.UNREADABLE
    assert "a metric one is asked for" in feedback_text(mark)


def test_a_house_says_which_mistakes_are_critical_in_a_list() -> None:
    """Anything but a list of names is asked back."""
    with pytest.raises(RefusedError, match="critical-mistakes: it must be a list of names"):
        house(critical_mistakes='"all"')
