"""Making a preparation stronger: drug added, a stronger preparation added, solvent driven off."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.dilutions import (
    amount_after_evaporation,
    medial,
    pure_drug_in_total,
    pure_drug_to_add,
    solvent_driven_off,
    solvent_to_remove,
    strength_after_evaporation,
    stronger_to_add,
)
from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.units import quantity
from tests.published import as_printed, exactly

masses = st.fractions(min_value="1/10", max_value=10000, max_denominator=10)
rising = st.lists(
    st.fractions(min_value=0, max_value=100, max_denominator=100), min_size=3, max_size=3, unique=True
).map(sorted)


# Published values ----------------------------------------------------------------------------------------------------


def test_coal_tar_for_a_pound_of_ointment() -> None:
    """454 g of 2 % brought to 4 % take 9.46 g of coal tar; the simple difference, 9.08 g, is the mistake."""
    # U.S. Army Medical Department, MD0802 (seen); 454/48 = 9.4583
    values = {"preparation": quantity(454, "gram"), "strength": quantity(2, "percent")}
    values["wanted_strength"] = quantity(4, "percent")
    assert as_printed(pure_drug_to_add(**values), "9.46", "gram")
    assert as_printed(MISTAKES["fortify-simple-difference"].evaluate(values), "9.08", "gram")


def test_total_given_and_start_given_are_two_questions() -> None:
    """200 g of 4 % from coal tar and 1 % ointment: 6.06 g; 200 g of 1 % strengthened to 4 %: 6.25 g."""
    # U.S. Army Medical Department, MD0802 (seen)
    strengths = {"strength": "1 %", "wanted_strength": "4 %"}
    in_total, to_add = (
        pure_drug_in_total(total="200 g", **strengths),
        pure_drug_to_add(preparation="200 g", **strengths),
    )
    assert as_printed(in_total, "6.06", "gram")
    assert as_printed(quantity(200, "gram") - in_total, "193.94", "gram")
    assert exactly(to_add, "6.25", "gram")
    checked = {"strength": quantity(1, "percent"), "wanted_strength": quantity(4, "percent")}
    whole = quantity(200, "gram")
    assert MISTAKES["fortify-as-if-total-fixed"].evaluate({**checked, "preparation": whole}) == in_total
    assert MISTAKES["total-as-if-start-fixed"].evaluate({**checked, "total": whole}) == to_add
    assert exactly(MISTAKES["total-simple-difference"].evaluate({**checked, "total": whole}), "6", "gram")
    assert exactly(MISTAKES["fortify-own-drug-forgotten"].evaluate({**checked, "preparation": whole}), "8", "gram")
    assert exactly(MISTAKES["total-own-drug-forgotten"].evaluate({**checked, "total": whole}), "8", "gram")


def test_zinc_oxide_into_an_ointment() -> None:
    """3200 g of 5 % brought to 20 % take 600 g of zinc oxide."""
    # common classroom practice, no source (numbers seen)
    added = pure_drug_to_add(preparation="3200 g", strength="5 %", wanted_strength="20 %")
    assert exactly(added, "600", "gram")


def test_a_stronger_solution_into_the_whole_of_a_weaker_one() -> None:
    """120 mL of morphine 20 mg/5 mL reach 1 % with 72 mL of 100 mg/5 mL; the total is not given."""
    # common classroom practice, no source (worked course problem seen); exact
    values = {
        "preparation": "120 mL",
        "strength": "20 mg/5 mL",
        "wanted_strength": "1 % w/v",
        "stronger_strength": "100 mg/5 mL",
    }
    assert exactly(stronger_to_add(**values), "72", "millilitre")
    checked = {name: stronger_to_add.kinds[name].check(name, value) for name, value in values.items()}
    # the three slips, derived: 120 x 6 / 16, 120 x 10 / 6, 120 x 10 / 20
    assert exactly(MISTAKES["stronger-as-if-total-fixed"].evaluate(checked), "45", "millilitre")
    assert exactly(MISTAKES["stronger-crossed"].evaluate(checked), "200", "millilitre")
    assert exactly(MISTAKES["stronger-by-dilution-formula"].evaluate(checked), "60", "millilitre")


def test_driving_off_solvent_keeps_the_drug() -> None:
    """500 mL of 2 % w/v hold 10 g; at 5 % w/v these are 200 mL, so 300 mL leave."""
    # numbers chosen here; derived from the definition
    strengths = {"strength": "2 % w/v", "wanted_strength": "5 % w/v"}
    assert exactly(amount_after_evaporation(preparation="500 mL", **strengths), "200", "millilitre")
    assert exactly(solvent_to_remove(preparation="500 mL", **strengths), "300", "millilitre")
    after = strength_after_evaporation(preparation="500 mL", strength="2 % w/v", solvent_removed="300 mL")
    assert exactly(after, "5", "percent_in_volume")
    checked = {
        "preparation": quantity(500, "mL"),
        "strength": quantity(2, "percent_in_volume"),
        "wanted_strength": quantity(5, "percent_in_volume"),
        "solvent_removed": quantity(300, "mL"),
        "amount_left": quantity(200, "mL"),
    }
    for mistake, number, unit in (
        ("evaporation-upside-down", "1250", "millilitre"),
        ("evaporation-is-what-leaves", "300", "millilitre"),
        ("driven-off-is-what-is-left", "200", "millilitre"),
        ("driven-off-is-all", "500", "millilitre"),
        ("driven-off-left-added", "700", "millilitre"),
        ("removed-over-first-strength", "750", "millilitre"),
        ("removed-is-what-is-left", "200", "millilitre"),
        ("evaporated-over-removed", "10/3", "percent_in_volume"),
        ("evaporated-weaker", "4/5", "percent_in_volume"),
    ):
        assert exactly(MISTAKES[mistake].evaluate(checked), number, unit)


# Laws ----------------------------------------------------------------------------------------------------------------


@given(rising, masses)
def test_what_is_made_has_the_wanted_strength(percents: list[Fraction], grams: Fraction) -> None:
    """Mixed again by the general rule, start and stronger part give exactly what was asked for."""
    weak, wanted, strong = (quantity(percent, "percent") for percent in percents)
    start = quantity(grams, "gram")
    added = stronger_to_add(preparation=start, strength=weak, wanted_strength=wanted, stronger_strength=strong)
    assert medial([(weak, start), (strong, added)]) == wanted


@given(rising, masses)
def test_drug_added_to_a_start_or_inside_a_total_gives_the_wanted_strength(
    percents: list[Fraction], grams: Fraction
) -> None:
    """The pure drug counts as 100 %, whether the start or the total is given."""
    weak, wanted, _ = (quantity(percent, "percent") for percent in percents)
    pure, mass = quantity(100, "percent"), quantity(grams, "gram")
    added = pure_drug_to_add(preparation=mass, strength=weak, wanted_strength=wanted)
    assert medial([(weak, mass), (pure, added)]) == wanted
    inside = pure_drug_in_total(total=mass, strength=weak, wanted_strength=wanted)
    assert medial([(weak, mass - inside), (pure, inside)]) == wanted
    assert inside < added


@given(rising, masses)
def test_solvent_driven_off_leads_there_and_back(percents: list[Fraction], millilitres: Fraction) -> None:
    """What is left and what has left add up, and the strength after it is the wanted one."""
    weak, wanted = (quantity(percent + 1, "percent_in_volume") for percent in percents[:2])
    before = quantity(millilitres, "mL")
    strengths = {"strength": weak, "wanted_strength": wanted}
    removed = solvent_to_remove(preparation=before, **strengths)
    left = amount_after_evaporation(preparation=before, **strengths)
    assert removed + left == before
    assert solvent_driven_off(preparation=before, amount_left=left) == removed
    assert strength_after_evaporation(preparation=before, strength=weak, solvent_removed=removed) == wanted


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        (
            "pure_drug_to_add",
            {"preparation": "200 g", "strength": "4 %", "wanted_strength": "3 %"},
            "wanted_strength: must be more than strength (4 % w/w); it was 3 % w/w",
        ),
        (
            "pure_drug_to_add",
            {"preparation": "200 g", "strength": "4 %", "wanted_strength": "100 %"},
            "wanted_strength: must be less than 100 %; it was 100 % w/w",
        ),
        (
            "pure_drug_in_total",
            {"total": "200 g", "strength": "4 %", "wanted_strength": "4 %"},
            "wanted_strength: must be more than strength (4 % w/w)",
        ),
        (
            "pure_drug_to_add",
            {"preparation": "200 mL", "strength": "1 %", "wanted_strength": "4 %"},
            "preparation: must be a mass",
        ),
        (
            "pure_drug_to_add",
            {"preparation": "200 g", "strength": "1 % w/v", "wanted_strength": "4 %"},
            "w/w is asked for",
        ),
        (
            "stronger_to_add",
            {"preparation": "9 mL", "strength": "1 %", "wanted_strength": "6 %", "stronger_strength": "5 %"},
            "wanted_strength: must be less than stronger strength (5 %); it was 6 %. Mixing two preparations only",
        ),
        (
            "stronger_to_add",
            {"preparation": "9 mL", "strength": "1 %", "wanted_strength": "10 mg/mL", "stronger_strength": "5 %"},
            "cannot be compared with",
        ),
        (
            "solvent_to_remove",
            {"preparation": "9 mL", "strength": "5 %", "wanted_strength": "2 %"},
            "wanted_strength: must be more than strength (5 %); it was 2 %. Driving off solvent only",
        ),
        (
            "solvent_driven_off",
            {"preparation": "9 mL", "amount_left": "9 mL"},
            "amount_left: must be less than preparation (9 mL); it was 9 mL. Driving off solvent leaves less",
        ),
        (
            "amount_after_evaporation",
            {"preparation": "9 g", "strength": "2 % w/v", "wanted_strength": "5 % w/v"},
            "preparation: must be a volume",
        ),
        (
            "strength_after_evaporation",
            {"preparation": "9 mL", "strength": "2 %", "solvent_removed": "9 mL"},
            "solvent_removed: must be less than preparation (9 mL); it was 9 mL",
        ),
        (
            "strength_after_evaporation",
            {"preparation": "10 mL", "strength": "50 %", "solvent_removed": "8 mL"},
            "cannot be above 100 %; it was 250 %",
        ),
    ],
)
def test_a_strength_that_cannot_be_reached_is_refused(name: str, values: dict[str, str], said: str) -> None:
    """Adding and driving off make stronger, up to what is added and never to 100 %."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert str(caught.value).startswith(name)
    assert said in str(caught.value)
    assert caught.value.cure
