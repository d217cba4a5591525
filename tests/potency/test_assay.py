"""Purity, potency and assay: less than pure means more powder; the dried basis does not see the water."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.potency import (
    assay_as_is,
    drug_in_powder,
    drug_on_dried_basis,
    powder_for_purity,
    powder_on_dried_basis,
)
from pharmcalc.units import quantity
from tests.published import as_printed, exactly

masses = st.fractions(min_value="1/10", max_value=1000, max_denominator=10)
purities = st.fractions(min_value="1/2", max_value="102/100", max_denominator=1000)
losses = st.fractions(min_value=0, max_value="1/2", max_denominator=1000)


def test_a_potency_label_divides() -> None:
    """1 g of gentamicin from a sulfate of 620 micrograms per mg: 1.613 g of powder; multiplied it would be 0.62 g."""
    # potency-label convention; numbers of the published check list
    assert as_printed(powder_for_purity(drug_wanted="1 g", purity="620 microgram/mg"), "1.613", "gram")
    values = {"drug_wanted": quantity(1, "gram"), "purity": quantity("0.62")}
    assert exactly(MISTAKES["purity-upside-down"].evaluate(values), "0.62", "gram")
    assert exactly(MISTAKES["purity-missing-part-added"].evaluate(values), "1.38", "gram")
    assert exactly(MISTAKES["purity-left-out"].evaluate(values), "1", "gram")


def test_the_dried_basis_needs_the_loss_on_drying() -> None:
    """500 mg at 98 % on the dried basis with 5 % loss: 537.06 mg of powder."""
    # numbers chosen here; derived: 500 / (0.98 x 0.95)
    powder = powder_on_dried_basis(drug_wanted="500 mg", assay_dried="98 %", loss_on_drying="5 %")
    assert as_printed(powder, "537.06", "milligram")
    assert exactly(assay_as_is(assay_dried="98 %", loss_on_drying="5 %"), "93.1", "percent")
    assert exactly(drug_in_powder(powder="500 mg", purity="98 %"), "490", "milligram")


@pytest.mark.parametrize(
    ("mistake", "printed", "unit"),
    [
        # 500 mg, 98 %, 5 %; a monohydrate of 192.12 and 210.14 g/mol; derived from the slips
        ("dried-basis-loss-subtracted", "537.63", "milligram"),  # 500 / (0.98 - 0.05)
        ("dried-basis-loss-left-out", "510.20", "milligram"),
        ("dried-basis-assay-left-out", "526.32", "milligram"),
        ("dried-basis-upside-down", "465.50", "milligram"),
        ("dried-basis-loss-multiplied", "484.69", "milligram"),
        ("dried-basis-water-twice", "587.43", "milligram"),
        ("drug-dried-basis-loss-left-out", "490.00", "milligram"),
        ("assay-loss-subtracted", "93.0", "percent"),
        ("assay-loss-divided", "103.16", "percent"),
        ("assay-loss-left-out", "98", "percent"),
        ("drug-in-powder-divided", "510.20", "milligram"),
    ],
)
def test_each_known_slip_gives_its_number(mistake: str, printed: str, unit: str) -> None:
    """Subtracted instead of multiplied, left out, upside down, or the water counted twice."""
    values = {
        "drug_wanted": quantity(500, "mg"),
        "powder": quantity(500, "mg"),
        "purity": quantity(98, "percent"),
        "assay_dried": quantity(98, "percent"),
        "loss_on_drying": quantity(5, "percent"),
        "molar_mass_anhydrous": quantity("192.12", "gram / mole"),
        "molar_mass_hydrate": quantity("210.14", "gram / mole"),
    }
    assert as_printed(MISTAKES[mistake].evaluate(values), printed, unit)


@given(masses, purities)
def test_powder_and_drug_lead_there_and_back(mass: Fraction, purity: Fraction) -> None:
    """The powder holds the drug wanted."""
    powder = powder_for_purity(drug_wanted=quantity(mass, "mg"), purity=quantity(purity))
    assert drug_in_powder(powder=powder, purity=quantity(purity)) == quantity(mass, "mg")


@given(masses, purities, losses)
def test_the_dried_basis_is_the_assay_as_is_in_two_steps(mass: Fraction, assay: Fraction, loss: Fraction) -> None:
    """First the assay of the powder in the bottle, then the powder: the same as in one step."""
    dried = {"assay_dried": quantity(assay), "loss_on_drying": quantity(loss)}
    wanted = quantity(mass, "mg")
    in_two = powder_for_purity(drug_wanted=wanted, purity=assay_as_is(**dried))
    assert powder_on_dried_basis(drug_wanted=wanted, **dried) == in_two
    assert drug_in_powder(powder=in_two, purity=assay_as_is(**dried)) == wanted
    assert drug_on_dried_basis(powder=in_two, **dried) == wanted


@given(masses, purities, losses, losses)
def test_a_damper_powder_is_weighed_heavier(mass: Fraction, assay: Fraction, dry: Fraction, damp: Fraction) -> None:
    """The more is lost on drying, the more powder is needed."""
    less, more = sorted((dry, damp))
    values = {"drug_wanted": quantity(mass, "mg"), "assay_dried": quantity(assay)}
    first = powder_on_dried_basis(loss_on_drying=quantity(less), **values)
    second = powder_on_dried_basis(loss_on_drying=quantity(more), **values)
    assert (first < second) is (less < more)


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        (
            "powder_on_dried_basis",
            {"drug_wanted": "500 mg", "assay_dried": "98 %", "loss_on_drying": "100 %"},
            "loss_on_drying: must be less than 100 %; it was 100 %. Something must be left after drying",
        ),
        ("assay_as_is", {"assay_dried": "98 %", "loss_on_drying": "120 %"}, "loss_on_drying: must be less than 100 %"),
        (
            "powder_for_purity",
            {"drug_wanted": "1 g", "purity": "620"},
            "purity: must be a purity, an assay or a potency",
        ),
        ("powder_for_purity", {"drug_wanted": "1 g", "purity": "985 %"}, "purity: cannot be above 110 %; it was 985 %"),
        ("powder_for_purity", {"drug_wanted": "1 g", "purity": "0 %"}, "purity: must be more than zero"),
        ("drug_in_powder", {"powder": "1 mL", "purity": "98 %"}, "powder: must be a mass"),
    ],
)
def test_an_assay_that_cannot_be_is_refused(name: str, values: dict[str, str], said: str) -> None:
    """A decimal point lost (985 %), a loss of everything, a bare number."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert said in str(caught.value)


def test_an_assay_may_read_a_little_above_a_hundred() -> None:
    """An assay is a measurement too: 101.2 % is possible, and a little less powder is weighed."""
    # derived: 500 / 1.012
    assert as_printed(powder_for_purity(drug_wanted="500 mg", purity="101.2 %"), "494.07", "milligram")
