"""The equations of the liquid aliquot: a drug made up *to* a volume, of which the aliquot is measured.

Weigh a multiple of the drug wanted, make it up to a volume, and measure the aliquot that holds what is wanted. Each
step is one small equation; the multiple and the drug weighed are those of the solid aliquot.
"""

from pharmcalc.conditions import in_order
from pharmcalc.formula import Concentration, Mass, Number, Volume, VolumeOrNone, formula, mistake_of

__all__ = [
    "concentration_made",
    "drug_in_aliquot",
    "smallest_aliquot_volume",
    "solution_volume",
    "vehicle_to_finish",
]


@formula(source="unc-liquid", symbol="A")
def smallest_aliquot_volume(*, least_measurable_volume: Volume) -> Volume:
    """Return the smallest aliquot that may be measured: the least measurable volume itself.

    Formula: least measurable volume. Any larger aliquot on a mark, up to the final volume, is right as well.

    least_measurable_volume: of the vessel, above zero. Returns a volume.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative volume.

    >>> print(smallest_aliquot_volume.kind.show(smallest_aliquot_volume(least_measurable_volume="5 mL")))
    5 mL

    Source: UNC compounding laboratory, Liquid Aliquot Method (5 mL).
    """
    return least_measurable_volume


@mistake_of(smallest_aliquot_volume, id="aliquot-volume-is-whole-solution")
def whole_solution(*, multiple_factor: Number, least_measurable_volume: Volume) -> Volume:
    """The whole solution was taken instead of the aliquot.

    The whole solution holds the multiple of the drug wanted. Only the aliquot holds the drug wanted.
    """
    return multiple_factor * least_measurable_volume


@mistake_of(smallest_aliquot_volume, id="aliquot-volume-over-multiple")
def smallest_volume_over_multiple(*, multiple_factor: Number, least_measurable_volume: Volume) -> Volume:
    """The smallest volume was divided by the multiple factor.

    The multiple belongs to the solution, not to the aliquot: the aliquot itself must be large enough to measure.
    """
    return least_measurable_volume / multiple_factor


@formula(source="unc-liquid", symbol="V")
def solution_volume(*, multiple_factor: Number, aliquot_volume: Volume) -> Volume:
    """Return the volume to make the drug up to: the multiple factor times the aliquot.

    Formula: multiple factor × aliquot volume. Make up *to* this volume; do not dissolve *in* it.

    multiple_factor: a plain number above zero. aliquot_volume: above zero. Returns a volume.
    Raises RefusedError for a bare number as volume, another kind of amount, zero or a negative value.

    >>> print(solution_volume.kind.show(solution_volume(multiple_factor="6", aliquot_volume="5 mL")))
    30 mL

    Source: UNC compounding laboratory, Liquid Aliquot Method (30 mL).
    """
    return multiple_factor * aliquot_volume


@mistake_of(solution_volume, id="solution-volume-as-solvent")
def aliquot_left_out(*, multiple_factor: Number, aliquot_volume: Volume) -> Volume:
    """One aliquot was left out of the volume.

    The whole solution holds the multiple factor times the aliquot, the aliquot itself included.
    """
    return (multiple_factor - 1) * aliquot_volume


@mistake_of(solution_volume, id="solution-volume-divided")
def aliquot_over_multiple(*, multiple_factor: Number, aliquot_volume: Volume) -> Volume:
    """The aliquot was divided by the multiple factor.

    The solution holds the multiple of the drug wanted, so it is the multiple factor times the aliquot.
    """
    return aliquot_volume / multiple_factor


@mistake_of(solution_volume, id="solution-volume-is-final")
def made_up_to_the_final_volume(*, final_volume: Volume) -> Volume:
    """The drug was made up to the volume of the whole preparation.

    The weighed drug is a multiple of the drug wanted, so it goes into the solution that the aliquot is taken from.
    """
    return final_volume


@formula(source="unc-liquid", symbol="c")
def concentration_made(*, drug_weighed: Mass, solution_volume: Volume) -> Concentration:
    """Return the strength of the solution that the aliquot is measured from.

    Formula: drug weighed ÷ solution volume, with the drug made up *to* the volume.

    drug_weighed: a mass above zero. solution_volume: above zero. Returns mg/mL.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> print(concentration_made.kind.show(concentration_made(drug_weighed="120 mg", solution_volume="30 mL")))
    4 mg/mL

    Source: UNC compounding laboratory, Liquid Aliquot Method (4 mg/mL).
    """
    return drug_weighed / solution_volume


@mistake_of(concentration_made, id="dissolved-in-not-to")
def dissolved_in_the_volume(*, drug_weighed: Mass, solution_volume: Volume, drug_volume: Volume) -> Concentration:
    """The drug was dissolved in the volume instead of made up to it.

    The drug takes up room too, so the solution comes out larger and weaker. Dissolve in less, then fill up to the mark.
    """
    return drug_weighed / (solution_volume + drug_volume)


@mistake_of(concentration_made, id="concentration-of-drug-wanted")
def drug_wanted_in_solution(*, drug_wanted: Mass, solution_volume: Volume) -> Concentration:
    """The drug wanted was used instead of the drug weighed.

    The solution holds all the drug that was weighed, the multiple of the drug wanted.
    """
    return drug_wanted / solution_volume


@mistake_of(concentration_made, id="concentration-weight-in-aliquot")
def weight_over_aliquot(*, drug_weighed: Mass, aliquot_volume: Volume) -> Concentration:
    """The drug weighed was divided by the aliquot.

    The drug weighed is in the whole solution. The aliquot holds only its part.
    """
    return drug_weighed / aliquot_volume


@formula(source="unc-liquid definition", symbol="N")
def drug_in_aliquot(*, drug_weighed: Mass, aliquot_volume: Volume, solution_volume: Volume) -> Mass:
    """Return the drug that the aliquot really holds; the proof of a liquid plan.

    Formula: drug weighed × aliquot volume ÷ solution volume.

    drug_weighed: a mass above zero. aliquot_volume, solution_volume: volumes above zero. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> held = drug_in_aliquot(drug_weighed="120 mg", aliquot_volume="5 mL", solution_volume="30 mL")
    >>> print(drug_in_aliquot.kind.show(held))
    20 mg

    Source: the definition; UNC compounding laboratory, Liquid Aliquot Method (20 mg in 5 mL).
    """
    return drug_weighed * (aliquot_volume / solution_volume)


@mistake_of(drug_in_aliquot, id="held-upside-down")
def held_upside_down(*, drug_weighed: Mass, aliquot_volume: Volume, solution_volume: Volume) -> Mass:
    """The solution was divided by the aliquot.

    The aliquot is a part of the solution, so it holds a part of the drug: the aliquot stands above the line.
    """
    return drug_weighed * (solution_volume / aliquot_volume)


@formula(
    source="unc-liquid definition",
    symbol="vehicle",
    checks=(
        in_order(
            "aliquot_volume <= final_volume",
            blame="aliquot_volume",
            cure="Take a smaller aliquot of a stronger solution, or make more of the preparation.",
        ),
    ),
)
def vehicle_to_finish(*, final_volume: Volume, aliquot_volume: Volume) -> VolumeOrNone:
    """Return the vehicle that brings the aliquot to the final volume.

    Formula: final volume - aliquot volume. Volumes are taken as additive; in practice, fill up *to* the final volume.

    final_volume, aliquot_volume: volumes above zero, the first not the smaller. Returns a volume, 0 mL where the
    aliquot is the whole preparation.
    Raises RefusedError for a bare number, another kind of amount, or an aliquot above the final volume.

    >>> print(vehicle_to_finish.kind.show(vehicle_to_finish(final_volume="100 mL", aliquot_volume="5 mL")))
    95 mL

    Source: UNC compounding laboratory, Liquid Aliquot Method; the definition.
    """
    return final_volume - aliquot_volume


@mistake_of(vehicle_to_finish, id="vehicle-is-final-volume")
def aliquot_forgotten(*, final_volume: Volume) -> Volume:
    """The whole final volume was taken as vehicle.

    The aliquot is part of the preparation, so take it off; otherwise the preparation is too large and too weak.
    """
    return final_volume


@mistake_of(vehicle_to_finish, id="vehicle-less-solution")
def less_the_solution(*, final_volume: Volume, solution_volume: Volume) -> Volume:
    """The whole solution was taken off instead of the aliquot.

    Only the aliquot goes into the preparation; the rest of the solution is labelled or thrown away.
    """
    return final_volume - solution_volume
