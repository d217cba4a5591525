"""The liquid plan that a lesson shows: nothing that the marking or the rules would contradict."""

import pytest

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS, VOLUME
from pharmcalc.marking import mark_task
from pharmcalc.widgets.liquid_workings import liquid_plan_task, show_liquid_plan
from pharmcalc.widgets.workings import GAP

EIGHT = {"drug_wanted": "8 mg", "solubility": "20 mg/mL", "final_volume": "60 mL"}
HARD_TO_DISSOLVE = {"balance": "Balance 2", "drug_wanted": "10 mg", "solubility": "2 mg/mL", "final_volume": "60 mL"}


@pytest.mark.parametrize("given", [EIGHT, HARD_TO_DISSOLVE])
def test_the_working_of_a_liquid_example_would_earn_full_marks(given: dict[str, str]) -> None:
    """An example in a lesson is a task like any other, and its answers are right by the marking."""
    task = liquid_plan_task(**given)
    mark = mark_task(task, task.answer_lines())
    assert (mark.marks, mark.cleared) == (task.out_of, True)
    assert task.working().text() in show_liquid_plan(**given).text


def test_a_half_finished_liquid_plan_has_gaps_and_the_whole_working_folded() -> None:
    """The first steps are written out, the others are gaps, and what fills them is one click away."""
    begun, folded = show_liquid_plan(steps=2, **HARD_TO_DISSOLVE).html.split("<details>")
    assert begun.count(GAP) == 3
    assert GAP not in folded
    assert "Proof" in folded
    assert "Proof" not in begun


def test_a_drug_that_hardly_dissolves_needs_a_larger_aliquot() -> None:
    """80 mg at 2 mg/mL need 40 mL, so the aliquot is 5 mL, although 2 mL could be measured."""
    values = liquid_plan_task(**HARD_TO_DISSOLVE).values
    assert VOLUME.show(values["aliquot_volume"]) == "5 mL"
    easy = liquid_plan_task(**{**HARD_TO_DISSOLVE, "solubility": "20 mg/mL"}).values
    assert VOLUME.show(easy["aliquot_volume"]) == "2 mL"


def test_the_balance_decides_how_much_drug_is_weighed() -> None:
    """The balance that is named is the one whose least weighable quantity must be reached."""
    assert MASS.show(liquid_plan_task(**EIGHT).values["drug_weighed"]) == "120 mg"
    assert MASS.show(liquid_plan_task(**EIGHT, balance="Balance 2").values["drug_weighed"]) == "80 mg"


def test_an_example_without_a_plan_is_refused_with_the_reason() -> None:
    """Enough to be weighed directly, or so hard to dissolve that no solution fits its cylinder."""
    with pytest.raises(RefusedError, match="can be weighed directly"):
        liquid_plan_task(**{**EIGHT, "drug_wanted": "200 mg"})
    with pytest.raises(RefusedError, match="no plan for 8 mg"):
        liquid_plan_task(**{**EIGHT, "solubility": "0.1 mg/mL"})
    with pytest.raises(RefusedError, match=r'none called "Balance 9"'):
        liquid_plan_task(**EIGHT, balance="Balance 9")
