"""The equations of the solid aliquot method.

Weigh a multiple of the drug wanted (enough for the balance), mix it with diluent, and weigh out the aliquot that
holds what is wanted. Each step is one small equation; the names are those said at the bench.
"""

from pharmcalc.equations import round_down, round_up
from pharmcalc.formula import Count, Mass, MassOrNone, Number, formula, mistake_of

__all__ = [
    "diluent", "diluent_to_finish", "drug_delivered", "drug_wanted", "drug_weighed", "multiple_factor",
    "smallest_aliquot", "total_mixture",
]  # fmt: skip


@formula(source="definition unc-powders", symbol="N")
def drug_wanted(*, dose: Mass, number_of_units: Count) -> Mass:
    """Return the drug wanted for a whole batch: dose × number of units.

    Formula: dose × number of units. The number includes extra units for loss where the house makes them.

    dose: the mass of drug in one unit, above zero. number_of_units: a whole number above zero. Returns a mass.
    Raises RefusedError for a bare number as dose, zero, or a number of units that is not whole.

    >>> print(drug_wanted.kind.show(drug_wanted(dose="0.6 mg", number_of_units="10")))
    6 mg

    Source: the definition; UNC compounding laboratory, powders (two extra units for loss).
    """
    return dose * number_of_units


@mistake_of(drug_wanted, id="dose-for-batch")
def one_unit_only(*, dose: Mass) -> Mass:
    """The dose of one unit was used for the whole batch.

    Every unit needs its own dose, so multiply by the number of units.
    """
    return dose


@mistake_of(drug_wanted, id="batch-divided")
def divided_by_units(*, dose: Mass, number_of_units: Count) -> Mass:
    """The dose was divided by the number of units.

    Every unit needs the whole dose, so multiply by the number of units.
    """
    return dose / number_of_units


@mistake_of(drug_wanted, id="extra-units-left-out")
def extra_units_left_out(*, dose: Mass, units_ordered: Count) -> Mass:
    """The extra units for loss were left out.

    The house makes extra units because some powder is always lost; calculate for the whole number that is made.
    """
    return dose * units_ordered


@formula(source="unc-trituration classroom", symbol="k")
def multiple_factor(*, least_weighable_quantity: Mass, drug_wanted: Mass) -> Number:
    """Return the smallest whole multiple of the drug wanted that the balance may weigh.

    Formula: round up (least weighable quantity ÷ drug wanted). Any larger multiple is right as well.

    least_weighable_quantity, drug_wanted: masses above zero. Returns a whole number.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(multiple_factor.kind.show(multiple_factor(least_weighable_quantity="200 mg", drug_wanted="30 mg")))
    7

    Source: UNC compounding laboratory, Trituration Method; the smallest whole number is common practice.
    """
    return round_up(least_weighable_quantity / drug_wanted)


@mistake_of(multiple_factor, id="multiple-upside-down")
def multiple_upside_down(*, least_weighable_quantity: Mass, drug_wanted: Mass) -> Number:
    """The multiple factor is upside down.

    It says how many times the drug wanted must be weighed, so the least weighable quantity stands above the line.
    """
    return drug_wanted / least_weighable_quantity


@mistake_of(multiple_factor, id="multiple-rounded-down")
def multiple_rounded_down(*, least_weighable_quantity: Mass, drug_wanted: Mass) -> Number:
    """The multiple factor was rounded down.

    Rounded down, the drug weighed stays below the least weighable quantity. Round up.
    """
    return round_down(least_weighable_quantity / drug_wanted)


@formula(source="unc-trituration", symbol="W")
def drug_weighed(*, multiple_factor: Number, drug_wanted: Mass) -> Mass:
    """Return the drug to weigh: the multiple factor times the drug wanted.

    Formula: multiple factor × drug wanted.

    multiple_factor: above zero. drug_wanted: a mass above zero. Returns a mass.
    Raises RefusedError for a bare number as mass, another kind of amount, zero or a negative value.

    >>> print(drug_weighed.kind.show(drug_weighed(multiple_factor="20", drug_wanted="6 mg")))
    120 mg

    Source: UNC compounding laboratory, Trituration Method.
    """
    return multiple_factor * drug_wanted


@mistake_of(drug_weighed, id="weight-left-at-lwq")
def weight_left_at_lwq(*, least_weighable_quantity: Mass) -> Mass:
    """The weight was left at the least weighable quantity after the multiple factor was rounded.

    Once the multiple factor is chosen, the weight is the multiple factor times the drug wanted; otherwise the dose is
    wrong.
    """
    return least_weighable_quantity


@mistake_of(drug_weighed, id="weighed-directly")
def weighed_directly(*, drug_wanted: Mass) -> Mass:
    """The drug wanted was to be weighed directly.

    It is less than the least weighable quantity, so this balance cannot weigh it well enough. Weigh the multiple.
    """
    return drug_wanted


@mistake_of(drug_weighed, id="multiple-of-dose")
def multiple_of_one_dose(*, multiple_factor: Number, dose: Mass) -> Mass:
    """The multiple was taken of one dose instead of the drug wanted for the batch.

    The multiple factor belongs to the drug wanted for the whole batch.
    """
    return multiple_factor * dose


@formula(source="unc-trituration textbook-chapter", symbol="A")
def smallest_aliquot(*, least_weighable_quantity: Mass) -> Mass:
    """Return the smallest aliquot that may be weighed out: the least weighable quantity itself.

    Formula: least weighable quantity. Any larger aliquot that fits the preparation is right as well.

    least_weighable_quantity: a mass above zero. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(smallest_aliquot.kind.show(smallest_aliquot(least_weighable_quantity="120 mg")))
    120 mg

    Source: UNC compounding laboratory, Trituration Method; a textbook chapter (125 mg for 120 mg).
    """
    return least_weighable_quantity


@mistake_of(smallest_aliquot, id="aliquot-is-weight-over-multiple")
def weight_over_multiple(*, drug_weighed: Mass, multiple_factor: Number) -> Mass:
    """The aliquot was taken as the drug weighed divided by the multiple factor.

    That is the drug inside the aliquot. The aliquot is mixture, and it must itself reach the least weighable quantity.
    """
    return drug_weighed / multiple_factor


@mistake_of(smallest_aliquot, id="aliquot-is-whole-mixture")
def whole_mixture(*, multiple_factor: Number, least_weighable_quantity: Mass) -> Mass:
    """The whole mixture was used instead of the aliquot.

    The whole mixture holds the multiple of the drug wanted. Only the aliquot holds the drug wanted.
    """
    return multiple_factor * least_weighable_quantity


@formula(source="unc-trituration textbook-chapter", symbol="T")
def total_mixture(*, multiple_factor: Number, aliquot: Mass) -> Mass:
    """Return the total mixture: the multiple factor times the aliquot.

    Formula: multiple factor × aliquot. So the aliquot is the same part of the mixture as the drug wanted is of the
    drug weighed.

    multiple_factor: above zero. aliquot: a mass above zero. Returns a mass.
    Raises RefusedError for a bare number as mass, another kind of amount, zero or a negative value.

    >>> print(total_mixture.kind.show(total_mixture(multiple_factor="60", aliquot="125 mg")))
    7500 mg

    Source: UNC compounding laboratory, Trituration Method; a textbook chapter (7500 mg).
    """
    return multiple_factor * aliquot


@mistake_of(total_mixture, id="mixture-of-lwq")
def multiple_of_lwq(*, multiple_factor: Number, least_weighable_quantity: Mass) -> Mass:
    """The total mixture was taken as a multiple of the least weighable quantity instead of the aliquot.

    The mixture must hold the multiple factor times the aliquot that you chose.
    """
    return multiple_factor * least_weighable_quantity


@mistake_of(total_mixture, id="mixture-drug-plus-aliquot")
def drug_plus_aliquot(*, drug_weighed: Mass, aliquot: Mass) -> Mass:
    """The drug weighed and the aliquot were added.

    The aliquot is taken from the mixture; the mixture is the multiple factor times the aliquot.
    """
    return drug_weighed + aliquot


@formula(source="unc-trituration", symbol="D")
def diluent(*, total_mixture: Mass, drug_weighed: Mass) -> Mass:
    """Return the diluent to weigh: the total mixture less the drug weighed.

    Formula: total mixture - drug weighed.

    total_mixture, drug_weighed: masses above zero, the first the larger. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, or a mixture that is not larger than the drug.

    >>> print(diluent.kind.show(diluent(total_mixture="2400 mg", drug_weighed="120 mg")))
    2280 mg

    Source: UNC compounding laboratory, Trituration Method.
    """
    return total_mixture - drug_weighed


@mistake_of(diluent, id="diluent-is-total")
def total_taken_as_diluent(*, total_mixture: Mass) -> Mass:
    """The total mixture was taken as the diluent.

    The drug is part of the total mixture; take it off, or the mixture comes out too weak.
    """
    return total_mixture


@mistake_of(diluent, id="diluent-drug-added")
def drug_added_to_total(*, total_mixture: Mass, drug_weighed: Mass) -> Mass:
    """The drug weighed was added to the total mixture.

    The total mixture is drug and diluent together, so take the drug off.
    """
    return total_mixture + drug_weighed


@mistake_of(diluent, id="diluent-less-drug-wanted")
def less_drug_wanted(*, total_mixture: Mass, drug_wanted: Mass) -> Mass:
    """The drug wanted was taken off instead of the drug weighed.

    All of the drug weighed goes into the mixture.
    """
    return total_mixture - drug_wanted


@formula(source="unc-trituration", symbol="N")
def drug_delivered(*, drug_weighed: Mass, aliquot: Mass, total_mixture: Mass) -> Mass:
    """Return the drug in the aliquot: the proof of an aliquot plan.

    Formula: drug weighed × aliquot ÷ total mixture. It must be the drug wanted. Takes the mixture as perfectly uniform.

    drug_weighed, aliquot, total_mixture: masses above zero. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> held = drug_delivered(drug_weighed="120 mg", aliquot="120 mg", total_mixture="2400 mg")
    >>> print(drug_delivered.kind.show(held))
    6 mg

    Source: UNC compounding laboratory, Trituration Method.
    """
    return drug_weighed * aliquot / total_mixture


@mistake_of(drug_delivered, id="delivered-upside-down")
def delivered_upside_down(*, drug_weighed: Mass, aliquot: Mass, total_mixture: Mass) -> Mass:
    """The mixture was divided by the aliquot.

    The aliquot holds only a part of the drug weighed: aliquot ÷ total mixture.
    """
    return drug_weighed * total_mixture / aliquot


@formula(source="unc-trituration", symbol="rest")
def diluent_to_finish(*, final_quantity: Mass, aliquot: Mass) -> MassOrNone:
    """Return the diluent that fills the aliquot up to the final quantity.

    Formula: final quantity - aliquot. The aliquot counts with its own diluent.

    final_quantity, aliquot: masses above zero, the first not the smaller. Returns a mass, 0 mg when they are equal.
    Raises RefusedError for a bare number, another kind of amount, zero, or an aliquot that is larger.

    >>> print(diluent_to_finish.kind.show(diluent_to_finish(final_quantity="2000 mg", aliquot="120 mg")))
    1880 mg

    Source: UNC compounding laboratory, Trituration Method.
    """
    return final_quantity - aliquot


@mistake_of(diluent_to_finish, id="finish-diluent-in-aliquot-forgotten")
def diluent_in_aliquot_forgotten(*, final_quantity: Mass, drug_wanted: Mass) -> Mass:
    """The diluent that is already in the aliquot was forgotten.

    The whole aliquot goes into the preparation, not only the drug in it.
    """
    return final_quantity - drug_wanted


@mistake_of(diluent_to_finish, id="finish-less-mixture")
def whole_mixture_taken_off(*, final_quantity: Mass, drug_weighed: Mass) -> Mass:
    """The drug weighed was taken off instead of the aliquot.

    What goes into the preparation is the aliquot.
    """
    return final_quantity - drug_weighed
