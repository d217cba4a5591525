"""The forms that tasks speak of: molar masses as references print them, and doses that a unit can hold."""

import pytest

from pharmcalc.kinds import MOLAR_MASS
from pharmcalc.tasks.forms import HYDRATES, SALTS, Salt
from pharmcalc.units import quantity

PRINTED = {
    # as pharmacopoeias and reference works print them, from memory; the last figure differs between editions
    "citric acid": "192.12",
    "magnesium sulfate": "120.37",
    "sodium citrate": "258.07",
    "zinc sulfate": "161.44",
    "ferrous sulfate": "151.90",
    "calcium lactate": "218.22",
    "calcium chloride": "110.98",
    "theophylline": "180.16",
    "caffeine": "194.19",
    "glucose": "180.16",
    "amoxicillin": "365.40",
    "codeine phosphate": "397.36",
    "codeine": "299.37",
    "ephedrine": "165.23",
    "ephedrine hydrochloride": "201.69",
    "ephedrine sulfate": "428.54",
    "propranolol": "259.34",
    "propranolol hydrochloride": "295.80",
    "pyridoxine": "169.18",
    "pyridoxine hydrochloride": "205.64",
    "papaverine": "339.39",
    "papaverine hydrochloride": "375.85",
    "diphenhydramine": "255.36",
    "diphenhydramine hydrochloride": "291.82",
    "lidocaine": "234.34",
    "lidocaine hydrochloride": "270.80",
    "quinine": "324.42",
    "quinine sulfate dihydrate": "782.95",
    "morphine": "285.34",
    "morphine sulfate": "668.76",
}
MASSES = (
    {form.name: form.molar_mass for form in HYDRATES}
    | {form.base: form.molar_mass_of_base for form in SALTS}
    | {form.salt: form.molar_mass_of_salt for form in SALTS}
)


@pytest.mark.parametrize("name", sorted(MASSES))
def test_a_molar_mass_is_the_printed_one(name: str) -> None:
    """Every form has the molar mass that references print, to within two in the second place."""
    printed = quantity(PRINTED[name], "gram / mole")
    assert abs(MASSES[name] - printed) <= quantity("0.02", "gram / mole"), MOLAR_MASS.show(MASSES[name])


@pytest.mark.parametrize("form", SALTS, ids=lambda form: form.salt)
def test_a_salt_holds_less_base_than_it_weighs(form: Salt) -> None:
    """The bases in one salt weigh less than the salt: the acid and the water are the rest."""
    assert form.molar_mass_of_base * form.held < form.molar_mass_of_salt
    assert form.molar_mass_of_base * (form.held + 1) > form.molar_mass_of_salt


def test_the_names_say_how_many_waters() -> None:
    """Hemihydrate a half, monohydrate one, heptahydrate seven."""
    waters = {form.with_water: float(form.waters) for form in HYDRATES}
    assert waters == {
        "hemihydrate": 0.5,
        "monohydrate": 1,
        "dihydrate": 2,
        "trihydrate": 3,
        "pentahydrate": 5,
        "heptahydrate": 7,
    }
