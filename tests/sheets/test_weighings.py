"""What is put on the pan, and which readings are near enough."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.sheets.weighings import allowed_range, weighings
from pharmcalc.tasks.family import FAMILIES
from pharmcalc.units import quantity
from tests.sheets.building import issue


@pytest.mark.parametrize(
    ("target", "allowed", "step", "says"),
    [
        ("120", "5", "1", "114 mg to 126 mg"),  # both limits fall on the display: arithmetic
        ("116", "5", "1", "111 mg to 121 mg"),  # 110.2 to 121.8: arithmetic
        ("116", "5", "0.1", "110.2 mg to 121.8 mg"),
        ("100", "0.5", "1", "100 mg to 100 mg"),  # nothing but the target itself
        ("4724", "5", "10", "4490 mg to 4960 mg"),  # 4487.8 to 4960.2
        ("2.5", "5", "1", "no reading of this display is near enough"),  # 2.375 to 2.625
    ],
)
def test_limits_stand_on_the_display(target: str, allowed: str, step: str, says: str) -> None:
    """A limit is a reading that the display can show and that is still within the allowed error."""
    found = allowed_range(quantity(target, "mg"), quantity(allowed, "percent"), quantity(step, "mg"))
    assert found.says() == says


def test_the_unit_of_the_step_makes_no_difference() -> None:
    """A display step in grams gives the same range as the same step in milligrams."""
    target, allowed = quantity("2.5", "g"), quantity(5, "percent")
    in_grams = allowed_range(target, allowed, quantity("0.001", "g"))
    in_milligrams = allowed_range(target, allowed, quantity(1, "mg"))
    assert (in_grams.lowest, in_grams.highest) == (in_milligrams.lowest, in_milligrams.highest)


@given(
    target=st.fractions(min_value=Fraction(1, 10), max_value=100_000),
    allowed=st.fractions(min_value=Fraction(1, 1000), max_value=50),
    step=st.sampled_from(["0.01", "0.1", "0.2", "0.5", "1", "2", "5", "10"]),
)
def test_a_range_is_as_wide_as_it_may_be_and_no_wider(target: Fraction, allowed: Fraction, step: str) -> None:
    """Both limits are within the allowed error, and one display step further out is not."""
    wanted, share, one = quantity(target, "mg"), quantity(allowed, "percent"), quantity(step, "mg")
    exact, shown = allowed_range(wanted, share), allowed_range(wanted, share, one)
    assert exact.lowest <= shown.lowest < exact.lowest + one
    assert exact.highest - one < shown.highest <= exact.highest
    assert exact.highest - wanted == wanted - exact.lowest == wanted * (allowed / 100)
    assert all((limit / one).to_base_units().magnitude.denominator == 1 for limit in (shown.lowest, shown.highest))


def test_weighings_stand_in_the_order_of_the_bench() -> None:
    """Drug and diluent are weighed first, then the aliquot of their mixture, then what fills it up."""
    batch = issue(["aliquot-batch"]).paper("A-07").task("q1")
    words = batch.drawn.words
    assert [(one.label, one.material) for one in weighings(batch)] == [
        ("drug to weigh", words["drug"]),
        ("diluent to weigh", words["diluent_name"]),
        ("aliquot", "the mixture you made"),
        ("diluent to finish", words["diluent_name"]),
    ]


def test_the_mixture_is_not_weighed() -> None:
    """The total mixture comes of mixing what was weighed; it is no weighing of its own."""
    plan = issue(["aliquot-plan"]).paper("A-07").task("q1")
    assert [one.asked.name for one in weighings(plan)] == ["drug_weighed", "diluent", "aliquot"]


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_every_weighed_answer_is_recorded_once(family: str) -> None:
    """Whatever an assignment asks to be put on the pan is recorded, once, and nothing else is."""
    task = issue([family]).paper("A-07").task("q1")
    expected = {asked.name for asked in task.asked if asked.weighed} - {"total_mixture"}
    found = [one.asked.name for one in weighings(task)]
    assert sorted(found) == sorted(expected)
