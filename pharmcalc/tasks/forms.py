"""The forms of drugs that tasks about potency speak of: hydrates and salts, with molar masses from their formulas."""

from dataclasses import dataclass
from fractions import Fraction

from pharmcalc.language import later, say
from pharmcalc.potency import molar_mass
from pharmcalc.rounding import round_to_places
from pharmcalc.units import Quantity

__all__ = ["HYDRATES", "SALTS", "Hydrate", "Salt"]


def _on_a_label(formula: str) -> Quantity:
    """Return a molar mass as labels print it, to two decimal places."""
    return round_to_places(molar_mass(formula), 2)


@dataclass(frozen=True)
class Hydrate:
    """A drug that is named without water and comes with it; ``waters`` for one of the drug.

    ``doses`` are milligrams of the dry drug that a unit may hold; empty where it is not given in units.
    """

    name: str
    with_water: str
    formula: str
    waters: Fraction
    doses: tuple[str, ...] = ()

    @property
    def named(self) -> str:
        """The form that an order names."""
        return say("anhydrous {name}", name=say(self.name))

    @property
    def used(self) -> str:
        """The form in the jar."""
        return f"{say(self.name)} {say(self.with_water)}"

    @property
    def molar_mass(self) -> Quantity:
        """The molar mass without water."""
        return _on_a_label(self.formula)


@dataclass(frozen=True)
class Salt:
    """A base that comes as a salt.

    ``held`` is how many of the base are in one of the salt; ``doses`` are milligrams of base that a unit may hold.
    """

    base: str
    salt: str
    base_formula: str
    salt_formula: str
    doses: tuple[str, ...]
    held: int = 1

    @property
    def molar_mass_of_base(self) -> Quantity:
        """The molar mass of the base."""
        return _on_a_label(self.base_formula)

    @property
    def molar_mass_of_salt(self) -> Quantity:
        """The molar mass of the salt, with its water where it has some."""
        return _on_a_label(self.salt_formula)


HYDRATES = (
    Hydrate(later("citric acid"), later("monohydrate"), "C6H8O7", Fraction(1)),
    Hydrate(later("magnesium sulfate"), later("heptahydrate"), "MgSO4", Fraction(7)),
    Hydrate(later("sodium citrate"), later("dihydrate"), "Na3C6H5O7", Fraction(2)),
    Hydrate(
        later("zinc sulfate"),
        later("heptahydrate"),
        "ZnSO4",
        Fraction(7),
        ("1", "1.5", "2", "2.5", "3", "5", "8", "10", "15"),
    ),
    Hydrate(
        later("ferrous sulfate"),
        later("heptahydrate"),
        "FeSO4",
        Fraction(7),
        ("1", "1.5", "2", "3", "6", "10", "20", "30"),
    ),
    Hydrate(
        later("calcium lactate"), later("pentahydrate"), "C6H10CaO6", Fraction(5), ("3", "4", "5", "20", "30", "40")
    ),
    Hydrate(later("calcium chloride"), later("dihydrate"), "CaCl2", Fraction(2)),
    Hydrate(later("theophylline"), later("monohydrate"), "C7H8N4O2", Fraction(1)),
    Hydrate(later("caffeine"), later("monohydrate"), "C8H10N4O2", Fraction(1)),
    Hydrate(later("glucose"), later("monohydrate"), "C6H12O6", Fraction(1)),
    Hydrate(later("amoxicillin"), later("trihydrate"), "C16H19N3O5S", Fraction(3), ("20", "25", "40", "50")),
    Hydrate(later("codeine phosphate"), later("hemihydrate"), "C18H21NO3.H3PO4", Fraction(1, 2)),
)

SALTS = (
    Salt(
        later("codeine"),
        later("codeine phosphate"),
        "C18H21NO3",
        "C18H21NO3.H3PO4",
        ("2", "3", "4", "5", "12", "15", "20"),
    ),
    Salt(
        later("ephedrine"),
        later("ephedrine hydrochloride"),
        "C10H15NO",
        "C10H15NO.HCl",
        ("3", "4", "5", "10", "12", "15"),
    ),
    Salt(
        later("propranolol"),
        later("propranolol hydrochloride"),
        "C16H21NO2",
        "C16H21NO2.HCl",
        ("1", "2", "4", "5", "10", "15"),
    ),
    Salt(later("pyridoxine"), later("pyridoxine hydrochloride"), "C8H11NO3", "C8H11NO3.HCl", ("2.5", "5", "20", "25")),
    Salt(
        later("papaverine"), later("papaverine hydrochloride"), "C20H21NO4", "C20H21NO4.HCl", ("20", "25", "30", "40")
    ),
    Salt(
        later("diphenhydramine"),
        later("diphenhydramine hydrochloride"),
        "C17H21NO",
        "C17H21NO.HCl",
        ("2.5", "4", "5", "12.5", "25"),
    ),
    Salt(
        later("lidocaine"), later("lidocaine hydrochloride"), "C14H22N2O", "C14H22N2O.HCl", ("2", "4", "5", "15", "20")
    ),
    Salt(
        later("quinine"),
        later("quinine sulfate dihydrate"),
        "C20H24N2O2",
        "(C20H24N2O2)2.H2SO4.2H2O",
        ("40", "50", "60", "80"),
        held=2,
    ),
    Salt(
        later("ephedrine"),
        later("ephedrine sulfate"),
        "C10H15NO",
        "(C10H15NO)2.H2SO4",
        ("3", "4", "5", "10", "15"),
        held=2,
    ),
    Salt(
        later("morphine"),
        later("morphine sulfate"),
        "C17H19NO3",
        "(C17H19NO3)2.H2SO4",
        ("1", "1.5", "2", "2.5", "3", "10"),
        held=2,
    ),
)
