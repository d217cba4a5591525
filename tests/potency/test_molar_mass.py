"""The molar mass of a chemical formula, against monographs and against another library."""

import periodictable
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.potency import ATOMIC_WEIGHTS, molar_mass
from pharmcalc.units import quantity
from tests.published import as_printed

elements = st.sampled_from(sorted(ATOMIC_WEIGHTS))
counts = st.integers(min_value=1, max_value=40)


def grams(formula: str) -> float:
    """Return a molar mass in g/mol as a plain number."""
    return float(molar_mass(formula).to("gram / mole").magnitude)


@pytest.mark.parametrize(
    ("formula", "printed"),
    [
        # molar masses as pharmacopoeial monographs print them, from memory
        ("C6H8O7", "192.12"),  # citric acid, anhydrous
        ("C6H8O7.H2O", "210.14"),  # citric acid monohydrate
        ("FeSO4.7H2O", "278.0"),  # ferrous sulfate heptahydrate (278.01 with older weights)
        ("MgSO4", "120.4"),  # magnesium sulfate, anhydrous (120.37 with older weights)
        ("MgSO4.7H2O", "246.5"),  # magnesium sulfate heptahydrate (246.47)
        ("C18H25NO", "271.4"),  # dextromethorphan
        ("C18H25NO.HBr", "352.3"),  # its hydrobromide, anhydrous
        ("C18H25NO.HBr.H2O", "370.3"),  # and the monohydrate
    ],
)
def test_a_molar_mass_as_monographs_print_it(formula: str, printed: str) -> None:
    """Citric acid is 192.12 g/mol anhydrous and 210.14 with its water."""
    assert as_printed(molar_mass(formula), printed, "gram / mole")


@pytest.mark.parametrize("symbol", sorted(ATOMIC_WEIGHTS))
def test_every_atomic_weight_agrees_with_a_periodic_table(symbol: str) -> None:
    """Five figures, against an independent table."""
    assert float(ATOMIC_WEIGHTS[symbol]) == pytest.approx(getattr(periodictable, symbol).mass, rel=1e-4)


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        ("C6H8O7.H2O", "C6H8O7+H2O"),
        ("MgSO4.7H2O", "MgSO4+7H2O"),
        ("FeSO4·7H2O", "FeSO4+7H2O"),
        ("Ca(OH)2", "Ca(OH)2"),
        ("C18H25NO.HBr.H2O", "C18H25NO+HBr+H2O"),
        ("(C17H23NO3)2.H2SO4.H2O", "(C17H23NO3)2+H2SO4+H2O"),  # atropine sulfate
        ("C9H8O4", "C9H8O4"),  # aspirin
        ("Al2(SO4)3", "Al2(SO4)3"),
        ("KMnO4", "KMnO4"),
        ("AgNO3", "AgNO3"),
        ("ZnO", "ZnO"),
        ("NaHCO3", "NaHCO3"),
        ("As2O3", "As2O3"),
    ],
)
def test_a_molar_mass_agrees_with_another_library(ours: str, theirs: str) -> None:
    """Brackets, water of hydration and salts: the same sum, made elsewhere."""
    assert grams(ours) == pytest.approx(periodictable.formula(theirs).mass, rel=1e-4)


@given(st.lists(st.tuples(elements, counts), min_size=1, max_size=6))
def test_a_molar_mass_is_the_sum_of_its_atoms(atoms: list[tuple[str, int]]) -> None:
    """Order does not matter; brackets and a dot multiply."""
    formula = "".join(f"{symbol}{count}" for symbol, count in atoms)
    total = sum(ATOMIC_WEIGHTS[symbol] * count for symbol, count in atoms)
    assert molar_mass(formula) == quantity(total, "gram / mole")
    assert molar_mass(f"({formula})3") == quantity(total * 3, "gram / mole")
    assert molar_mass(f"{formula}.2{formula}") == quantity(total * 3, "gram / mole")


@pytest.mark.parametrize(
    ("formula", "said"),
    [
        ("", "is empty or too long"),
        ("C" * 101, "is empty or too long"),
        ("water", 'has "w", which is no element'),
        ("Xx2", 'has "Xx", which is not an element known here'),
        ("Ca(OH2", "has a bracket that is not closed"),
        ("CaOH)2", "closes a bracket that was not opened"),
        ("C6H8O7.", "has a part without an element"),
        ("7", "has a part without an element"),
        ("()", "has a part without an element"),
        ("H0", "counts 0 atoms"),
        ("H99999", "counts 99999 atoms"),
        ("H2O+", 'has "+"'),
        ("__import__('os')", 'has "_"'),
    ],
)
def test_what_is_no_formula_is_refused(formula: str, said: str) -> None:
    """An unknown element, brackets that do not match, no atoms at all: refused with an example."""
    with pytest.raises(RefusedError) as caught:
        molar_mass(formula)
    assert said in str(caught.value)
    assert "C6H8O7.H2O" in caught.value.cure
