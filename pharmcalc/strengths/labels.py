"""What a label says: so many milligrams in so many millilitres, such as 125 mg per 5 mL.

The label names two amounts. Leaving the second one out (reading "per 5 mL" as "per mL") is one of the dangerous
slips.
"""

from pharmcalc.formula import Concentration, Mass, PercentWV, Volume, formula, mistake_of
from pharmcalc.units import quantity

__all__ = ["concentration_of_label", "drug_in_five_millilitres", "drug_in_measured_volume", "volume_for_dose"]

ONE_ML = quantity(1, "millilitre")
FIVE_ML = quantity(5, "millilitre")


@formula(source="definition kent-strengths", symbol="mg/mL")
def concentration_of_label(*, labelled_drug: Mass, labelled_volume: Volume) -> Concentration:
    """Return the strength in mg/mL that a label such as "125 mg per 5 mL" states.

    Formula: labelled drug ÷ labelled volume.

    labelled_drug: a mass above zero. labelled_volume: a volume above zero. Returns mg/mL.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> strength = concentration_of_label(labelled_drug="125 mg", labelled_volume="5 mL")
    >>> print(concentration_of_label.kind.show(strength))
    25 mg/mL

    Source: the definition; University of Kent, Converting strengths (1 mg/5 mL).
    """
    return labelled_drug / labelled_volume


@mistake_of(concentration_of_label, id="label-volume-left-out")
def label_read_per_millilitre(*, labelled_drug: Mass) -> Concentration:
    """The label was read as milligrams per millilitre, without its volume.

    The label names the drug in all of the volume it states. Divide by that volume.
    """
    return labelled_drug / ONE_ML


@formula(source="definition", symbol="drug")
def drug_in_measured_volume(*, labelled_drug: Mass, labelled_volume: Volume, measured_volume: Volume) -> Mass:
    """Return the drug in a measured volume of a labelled liquid.

    Formula: measured volume × labelled drug ÷ labelled volume.

    labelled_drug: a mass above zero. labelled_volume, measured_volume: volumes above zero. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value.
    Does not look at whether the bottle was shaken, or how well the volume was measured.

    >>> drug = drug_in_measured_volume(labelled_drug="125 mg", labelled_volume="5 mL", measured_volume="2 mL")
    >>> print(drug_in_measured_volume.kind.show(drug))
    50 mg

    Source: the definition.
    """
    return measured_volume * labelled_drug / labelled_volume


@mistake_of(drug_in_measured_volume, id="measured-as-if-per-millilitre")
def drug_as_if_per_millilitre(*, labelled_drug: Mass, measured_volume: Volume) -> Mass:
    """The label was read as milligrams per millilitre, without its volume.

    The label names the drug in all of the volume it states, so divide by that volume too.
    """
    return measured_volume * labelled_drug / ONE_ML


@mistake_of(drug_in_measured_volume, id="labelled-drug-for-all")
def labelled_drug_only(*, labelled_drug: Mass) -> Mass:
    """The drug in the labelled volume was taken for the drug in all of the liquid.

    The label speaks of one part, such as 5 mL. Every such part of the liquid holds that much.
    """
    return labelled_drug


@formula(source="definition", symbol="V")
def volume_for_dose(*, dose: Mass, labelled_drug: Mass, labelled_volume: Volume) -> Volume:
    """Return the volume of a labelled liquid that holds a dose; the inverse of :func:`drug_in_measured_volume`.

    Formula: dose × labelled volume ÷ labelled drug.

    dose, labelled_drug: masses above zero. labelled_volume: a volume above zero. Returns a volume.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value.
    Does not look at whether this volume can be measured.

    >>> volume = volume_for_dose(dose="50 mg", labelled_drug="125 mg", labelled_volume="5 mL")
    >>> print(volume_for_dose.kind.show(volume))
    2 mL

    Source: the definition.
    """
    return labelled_volume * (dose / labelled_drug)


@mistake_of(volume_for_dose, id="dose-as-if-per-millilitre")
def volume_as_if_per_millilitre(*, dose: Mass, labelled_drug: Mass) -> Volume:
    """The label was read as milligrams per millilitre, without its volume.

    The labelled drug is in all of the labelled volume. Read this way, far too little is measured.
    """
    return dose / labelled_drug * ONE_ML


@mistake_of(volume_for_dose, id="dose-upside-down")
def dose_below_the_line(*, dose: Mass, labelled_drug: Mass, labelled_volume: Volume) -> Volume:
    """The dose was put below the line.

    A larger dose needs a larger volume, so the dose stands above the line.
    """
    return labelled_volume * (labelled_drug / dose)


@formula(source="definition kent-strengths", symbol="mg in 5 mL", label="drug in 5 mL")
def drug_in_five_millilitres(*, strength: PercentWV) -> Mass:
    """Return the drug in 5 mL of a liquid of a given strength, as labels of oral liquids state it.

    Formula: strength × 5 mL.

    strength: w/v, for example 0.02 % w/v or 25 mg/mL, above zero. Returns a mass. Raises RefusedError for a bare
    number, another kind of amount, zero or a negative value.

    >>> print(drug_in_five_millilitres.kind.show(drug_in_five_millilitres(strength="0.02 % w/v")))
    1 mg

    Source: the definition; University of Kent, Converting strengths (1 mg/5 mL is 0.02 % w/v).
    """
    return strength * FIVE_ML


@mistake_of(drug_in_five_millilitres, id="five-millilitres-forgotten")
def drug_in_one_millilitre(*, strength: PercentWV) -> Mass:
    """The drug in 1 mL was given as the drug in 5 mL.

    Multiply by the 5 mL that the label will name.
    """
    return strength * ONE_ML


@mistake_of(drug_in_five_millilitres, id="percentage-as-grams-in-five")
def percentage_number_in_five(*, strength: PercentWV) -> Mass:
    """The grams in 100 mL were given as the grams in 5 mL.

    A percentage w/v counts the grams in 100 mL. 5 mL hold a twentieth of them.
    """
    return strength * FIVE_ML * 20
