"""Salts, bases and hydrates: equal moles, other masses, corrected once."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.potency import (
    anhydrous_in_hydrate,
    drug_in_form,
    form_to_weigh,
    hydrate_to_weigh,
    molar_mass,
    molar_mass_of_hydrate,
    water_in_hydrate,
)
from pharmcalc.units import quantity
from tests.published import as_printed, exactly

masses = st.fractions(min_value="1/10", max_value=1000, max_denominator=10)
molar = st.fractions(min_value=20, max_value=900, max_denominator=100)
waters = st.sampled_from([Fraction(1, 2), *map(Fraction, range(1, 13))])


# Published values ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("form", "named", "used", "printed", "unit"),
    [
        # Comprehensive Pharmacy Review (statement seen, value derived): dextromethorphan hydrobromide as base
        ("10 mg", "271.4 g/mol", "352.3 g/mol", "7.70", "milligram"),
        # the note of the same item: USP material is the monohydrate
        ("10 mg", "271.4 g/mol", "370.3 g/mol", "7.33", "milligram"),
        # molar masses as monographs print them, from memory: iron in ferrous sulfate heptahydrate (labels say 60 mg)
        ("300 mg", "55.845 g/mol", "278.01 g/mol", "60.3", "milligram"),
        # magnesium sulfate heptahydrate as anhydrous; from memory
        ("10 g", "120.37 g/mol", "246.47 g/mol", "4.884", "gram"),
    ],
)
def test_how_much_of_the_named_form_is_in_the_bottle(form: str, named: str, used: str, printed: str, unit: str) -> None:
    """10 mg of dextromethorphan hydrobromide hold 7.70 mg of the base."""
    values = {"form_weighed": form, "molar_mass_named": named, "molar_mass_used": used, "named_in_one_used": "1"}
    assert as_printed(drug_in_form(**values), printed, unit)


@pytest.mark.parametrize(
    ("form", "named", "used", "printed"),
    [
        # the same cases from chemical formulas alone; printed as above
        ("10 mg", "C18H25NO", "C18H25NO.HBr", "7.70"),
        ("10 mg", "C18H25NO", "C18H25NO.HBr.H2O", "7.33"),
        ("300 mg", "Fe", "FeSO4.7H2O", "60.3"),
        ("10 mg", "MgSO4", "MgSO4.7H2O", "4.883"),  # 4.8835 with today's weights, 4.8837 with the printed molar masses
    ],
)
def test_chemical_formulas_lead_to_the_same_factor(form: str, named: str, used: str, printed: str) -> None:
    """The molar masses need not be looked up: the formulas hold them."""
    found = drug_in_form(
        form_weighed=form,
        molar_mass_named=molar_mass(named),
        molar_mass_used=molar_mass(used),
        named_in_one_used="1",
    )
    assert as_printed(found, printed, "milligram")


CITRIC = {
    "drug_wanted": quantity(50, "mg"),
    "molar_mass_named": quantity("192.12", "gram / mole"),
    "molar_mass_used": quantity("210.14", "gram / mole"),
    "named_in_one_used": quantity(1),
}


def test_the_monohydrate_for_an_anhydrous_acid() -> None:
    """50 mg of anhydrous citric acid are 54.69 mg of the monohydrate; a factor rounded first makes it 54.70."""
    # molar masses as monographs print them, from memory
    weighed = form_to_weigh(**CITRIC)
    assert as_printed(weighed, "54.69", "milligram")
    assert as_printed(quantity(50, "mg") * Fraction("1.094"), "54.70", "milligram")
    assert not as_printed(weighed, "54.70", "milligram")
    assert as_printed(MISTAKES["salt-factor-upside-down"].evaluate(CITRIC), "45.7", "milligram")
    assert exactly(MISTAKES["salt-factor-left-out"].evaluate(CITRIC), "50", "milligram")
    by_water = hydrate_to_weigh(anhydrous_wanted="50 mg", molar_mass_anhydrous="192.12 g/mol", waters="1")
    assert as_printed(by_water, "54.69", "milligram")


def test_a_sulfate_of_two_bases_brings_two() -> None:
    """Atropine sulfate holds two atropines: for 10 mg of base 12.0 mg are weighed, not 24.0."""
    # chemical formulas; derived
    values = {
        "drug_wanted": quantity(10, "mg"),
        "molar_mass_named": molar_mass("C17H23NO3"),
        "molar_mass_used": molar_mass("(C17H23NO3)2.H2SO4.H2O"),
        "named_in_one_used": quantity(2),
    }
    assert as_printed(form_to_weigh(**values), "12.0", "milligram")
    assert as_printed(MISTAKES["salt-count-left-out"].evaluate(values), "24.0", "milligram")


def test_the_water_of_hydration_is_corrected_once() -> None:
    """8.57 % of citric acid monohydrate is water; corrected twice, 54.69 mg would become 59.82 mg."""
    # derived: 50 x (210.135 / 192.12) once and twice
    values = {
        "anhydrous_wanted": quantity(50, "mg"),
        "molar_mass_anhydrous": quantity("192.12", "gram / mole"),
        "waters": quantity(1),
    }
    water = water_in_hydrate(molar_mass_anhydrous="192.12 g/mol", waters="1")
    assert as_printed(water, "8.57", "percent")
    assert as_printed(MISTAKES["hydrate-water-twice"].evaluate(values), "59.82", "milligram")
    assert as_printed(MISTAKES["hydrate-upside-down"].evaluate(values), "45.71", "milligram")
    assert exactly(MISTAKES["hydrate-water-left-out"].evaluate(values), "50", "milligram")
    assert as_printed(MISTAKES["water-over-anhydrous"].evaluate(values), "9.38", "percent")


def test_a_hydrate_holds_less_drug_than_it_weighs() -> None:
    """50 mg of citric acid monohydrate hold 45.71 mg of the acid; upside down it would be 54.69 mg."""
    # molar masses as monographs print them, from memory; derived: 50 x 192.12 / 210.135
    drug = anhydrous_in_hydrate(hydrate="50 mg", molar_mass_anhydrous="192.12 g/mol", waters="1")
    assert as_printed(drug, "45.71", "milligram")
    values = {
        "hydrate": quantity(50, "mg"),
        "molar_mass_anhydrous": quantity("192.12", "gram / mole"),
        "waters": quantity(1),
    }
    assert as_printed(MISTAKES["anhydrous-upside-down"].evaluate(values), "54.69", "milligram")
    assert exactly(MISTAKES["anhydrous-is-hydrate"].evaluate(values), "50", "milligram")


def test_seven_waters_are_seven() -> None:
    """Magnesium sulfate heptahydrate is 246.47 g/mol; with one water it would be 138.39."""
    # molar masses as monographs print them, from memory; 120.37 + 7 x 18.015 = 246.475
    values = {"molar_mass_anhydrous": quantity("120.37", "gram / mole"), "waters": quantity(7)}
    assert exactly(molar_mass_of_hydrate(**values), "246.475", "gram / mole")
    assert exactly(MISTAKES["hydrate-one-water"].evaluate(values), "138.385", "gram / mole")
    one = {**values, "anhydrous_wanted": quantity("120.37", "gram")}
    assert exactly(MISTAKES["hydrate-to-weigh-one-water"].evaluate(one), "138.385", "gram")
    upside_down = {**CITRIC, "form_weighed": quantity(10, "mg")}
    assert as_printed(MISTAKES["drug-in-form-upside-down"].evaluate(upside_down), "10.94", "milligram")
    assert exactly(MISTAKES["drug-in-form-left-out"].evaluate(upside_down), "10", "milligram")


# Laws ----------------------------------------------------------------------------------------------------------------


@given(masses, molar, waters)
def test_hydrate_and_drug_lead_there_and_back(mass: Fraction, anhydrous: Fraction, water: Fraction) -> None:
    """The hydrate that is weighed holds the anhydrous drug that is wanted."""
    form = {"molar_mass_anhydrous": quantity(anhydrous, "gram / mole"), "waters": quantity(water)}
    weighed = hydrate_to_weigh(anhydrous_wanted=quantity(mass, "mg"), **form)
    assert anhydrous_in_hydrate(hydrate=weighed, **form) == quantity(mass, "mg")


@given(masses, molar, molar, st.integers(min_value=1, max_value=3))
def test_form_and_drug_lead_there_and_back(mass: Fraction, named: Fraction, used: Fraction, number: int) -> None:
    """What is weighed holds what is wanted, whatever the forms."""
    forms = {
        "molar_mass_named": quantity(named, "gram / mole"),
        "molar_mass_used": quantity(used, "gram / mole"),
        "named_in_one_used": quantity(number),
    }
    wanted = quantity(mass, "mg")
    assert drug_in_form(form_weighed=form_to_weigh(drug_wanted=wanted, **forms), **forms) == wanted


@given(masses, molar, waters)
def test_water_content_and_molar_masses_say_the_same_once(mass: Fraction, anhydrous: Fraction, water: Fraction) -> None:
    """The hydrate less its water is the anhydrous drug: either correction alone is enough."""
    wanted, light = quantity(mass, "mg"), quantity(anhydrous, "gram / mole")
    weighed = hydrate_to_weigh(anhydrous_wanted=wanted, molar_mass_anhydrous=light, waters=quantity(water))
    content = water_in_hydrate(molar_mass_anhydrous=light, waters=quantity(water))
    assert weighed - weighed * content == wanted
    heavy = molar_mass_of_hydrate(molar_mass_anhydrous=light, waters=quantity(water))
    assert weighed == form_to_weigh(
        drug_wanted=wanted, molar_mass_named=light, molar_mass_used=heavy, named_in_one_used="1"
    )


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "changed", "said"),
    [
        (
            "form_to_weigh",
            {"molar_mass_named": "192.12"},
            "molar_mass_named: must be a molar mass, such as 180.16 g/mol",
        ),
        ("form_to_weigh", {"molar_mass_named": "192.12 g"}, "molar_mass_named: must be a molar mass"),
        ("form_to_weigh", {"molar_mass_used": "0 g/mol"}, "molar_mass_used: must be more than zero"),
        ("form_to_weigh", {"named_in_one_used": "1.5"}, "named_in_one_used: must be a whole number"),
        ("form_to_weigh", {"drug_wanted": "50 mL"}, "drug_wanted: must be a mass"),
    ],
)
def test_a_molar_mass_without_its_unit_is_refused(name: str, changed: dict[str, str], said: str) -> None:
    """A bare number is no molar mass, and moles come in whole numbers."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**{**CITRIC, **changed})
    assert said in str(caught.value)
