"""Batches: how many units to make, what goes into all of them, and the extra units for loss.

A little powder is always lost, so many houses calculate for a few units more than they hand out. The extra is counted
once, on every ingredient alike; then the strength stays right.
"""

from pharmcalc.conditions import alike, in_order
from pharmcalc.constants import HUNDRED_PERCENT
from pharmcalc.equations import round_up
from pharmcalc.formula import Amount, Count, Mass, Percent, formula, mistake_of

__all__ = [
    "amount_for_batch",
    "amount_per_unit",
    "filler_beside_powder",
    "filler_for_batch",
    "units_to_make",
    "units_with_allowance",
]


@formula(source="unc-powders", symbol="units", label="units to calculate for")
def units_to_make(*, units_ordered: Count, extra_units: Count) -> Count:
    """Return the number of units to calculate for, with extra units for loss.

    Formula: units ordered + extra units.

    units_ordered, extra_units: whole numbers above zero. Returns a whole number.
    Raises RefusedError for an amount with a unit, zero, or a number that is not whole.
    Does not say how many extra units a house makes: that is a house rule.

    >>> print(units_to_make.kind.show(units_to_make(units_ordered="10", extra_units="2")))
    12

    Source: UNC compounding laboratory, powders (12 for 10).
    """
    return units_ordered + extra_units


@mistake_of(units_to_make, id="loss-left-out")
def loss_left_out(*, units_ordered: Count) -> Count:
    """The extra units for loss were left out.

    The house makes extra units because some powder is always lost; calculate for all that are made.
    """
    return units_ordered


@mistake_of(units_to_make, id="loss-counted-twice")
def loss_counted_twice(*, units_ordered: Count, extra_units: Count) -> Count:
    """The extra units for loss were counted twice.

    Count them once, in the number of units. After that every amount is simply per unit × units.
    """
    return units_ordered + extra_units * 2


@formula(source="classroom", symbol="units", label="units to calculate for")
def units_with_allowance(*, units_ordered: Count, allowance: Percent) -> Count:
    """Return the number of units to calculate for when the house allows a percentage for loss.

    Formula: round up (units ordered × (allowance + 100 %)).

    units_ordered: a whole number above zero. allowance: a percentage, at least 0 %, for example 10 %. Returns a whole
    number. Raises RefusedError for an amount with a unit, zero units, or a number that is not whole. Does not say how
    much is lost: that is a house rule.

    >>> print(units_with_allowance.kind.show(units_with_allowance(units_ordered="30", allowance="5 %")))
    32

    Source: common classroom practice.
    """
    return round_up(units_ordered * (allowance + HUNDRED_PERCENT))


@mistake_of(units_with_allowance, id="allowance-left-out")
def allowance_left_out(*, units_ordered: Count) -> Count:
    """The allowance for loss was left out.

    The house calculates for a few more units because some powder is always lost.
    """
    return units_ordered


@mistake_of(units_with_allowance, id="allowance-counted-twice")
def allowance_counted_twice(*, units_ordered: Count, allowance: Percent) -> Count:
    """The allowance for loss was put on twice.

    Put it on once, on the number of units. After that every amount is simply per unit × units.
    """
    return round_up(units_ordered * (allowance + HUNDRED_PERCENT) * (allowance + HUNDRED_PERCENT))


@mistake_of(units_with_allowance, id="allowance-rounded-down")
def allowance_not_rounded_up(*, units_ordered: Count, allowance: Percent) -> Count:
    """The number of units was not rounded up to a whole one.

    Half a unit cannot be made, and rounding down takes the allowance away again.
    """
    return units_ordered * (allowance + HUNDRED_PERCENT)


@formula(source="unc-powders", symbol="batch", label="amount for the batch")
def amount_for_batch(*, per_unit: Amount, units_made: Count) -> Amount:
    """Return the amount of an ingredient for a whole batch.

    Formula: per unit × units made. The units made include extra units for loss.

    per_unit: a mass or a volume above zero. units_made: a whole number above zero. Returns a mass or a volume.
    Raises RefusedError for a bare number as amount, zero, or a number of units that is not whole.

    >>> print(amount_for_batch.kind.show(amount_for_batch(per_unit="30 mg", units_made="12")))
    360 mg

    Source: UNC compounding laboratory, powders (360 mg).
    """
    return per_unit * units_made


@mistake_of(amount_for_batch, id="unit-for-batch")
def one_unit_for_the_batch(*, per_unit: Amount) -> Amount:
    """The amount for one unit was used for the whole batch.

    Every unit needs its own amount, so multiply by the number of units.
    """
    return per_unit


@mistake_of(amount_for_batch, id="batch-loss-left-out")
def batch_without_extra_units(*, per_unit: Amount, units_ordered: Count) -> Amount:
    """The extra units for loss were left out.

    Calculate every ingredient for the number of units that are made, not only for those handed out.
    """
    return per_unit * units_ordered


@mistake_of(amount_for_batch, id="batch-loss-counted-twice")
def batch_with_extra_units_twice(*, per_unit: Amount, units_made: Count, extra_units: Count) -> Amount:
    """The extra units for loss were counted twice.

    They are already in the number of units made.
    """
    return per_unit * (units_made + extra_units)


@formula(source="definition", symbol="unit", label="amount in one unit")
def amount_per_unit(*, batch_amount: Amount, units_made: Count) -> Amount:
    """Return the amount of an ingredient in one unit of a batch; the inverse of :func:`amount_for_batch`.

    Formula: batch amount ÷ units made.

    batch_amount: a mass or a volume above zero. units_made: a whole number above zero. Returns a mass or a volume.
    Raises RefusedError for a bare number as amount, zero, or a number of units that is not whole.
    Takes the batch as shared out evenly.

    >>> print(amount_per_unit.kind.show(amount_per_unit(batch_amount="3000 mg", units_made="12")))
    250 mg

    Source: the definition; UNC compounding laboratory, powders (250 mg).
    """
    return batch_amount / units_made


@mistake_of(amount_per_unit, id="batch-for-unit")
def whole_batch_in_one_unit(*, batch_amount: Amount) -> Amount:
    """The amount for the whole batch was used for one unit.

    The batch is shared between all the units, so divide by their number.
    """
    return batch_amount


@mistake_of(amount_per_unit, id="shared-by-units-ordered")
def shared_by_those_ordered(*, batch_amount: Amount, units_ordered: Count) -> Amount:
    """The batch was shared between the units handed out only.

    It was calculated for all the units made, so each unit gets that smaller share; what is left over is the extra.
    """
    return batch_amount / units_ordered


@formula(
    source="unc-powders",
    symbol="filler",
    label="filler for the batch",
    checks=(
        alike("unit_mass", "dose"),
        in_order(
            "dose < unit_mass",
            blame="dose",
            cure="The unit holds drug and filler. Make the unit larger, or give the dose in two units.",
        ),
    ),
)
def filler_for_batch(*, unit_mass: Mass, dose: Mass, units_made: Count) -> Mass:
    """Return the filler for a whole batch of divided powders.

    Formula: (unit mass - dose) × units made.

    unit_mass, dose: masses above zero, the first the larger. units_made: a whole number above zero. Returns a mass.
    Raises RefusedError for a bare number as mass, a dose that leaves no room, or a number that is not whole.

    >>> print(filler_for_batch.kind.show(filler_for_batch(unit_mass="250 mg", dose="30 mg", units_made="12")))
    2640 mg

    Source: UNC compounding laboratory, powders (2640 mg).
    """
    return (unit_mass - dose) * units_made


@mistake_of(filler_for_batch, id="filler-drug-left-in")
def drug_not_taken_off(*, unit_mass: Mass, units_made: Count) -> Mass:
    """The drug was not taken off the mass of the unit.

    The unit holds drug and filler together. Take the dose off, or every unit comes out too heavy and too weak.
    """
    return unit_mass * units_made


@mistake_of(filler_for_batch, id="filler-for-one-unit")
def filler_for_one_unit(*, unit_mass: Mass, dose: Mass) -> Mass:
    """The filler for one unit was used for the whole batch.

    Every unit needs its own filler, so multiply by the number of units.
    """
    return unit_mass - dose


@mistake_of(filler_for_batch, id="filler-dose-for-batch")
def one_dose_off_the_batch(*, unit_mass: Mass, dose: Mass, units_made: Count) -> Mass:
    """One dose was taken off the mass of the whole batch.

    The batch holds the dose as many times as there are units; take all of it off.
    """
    return unit_mass * units_made - dose


@mistake_of(filler_for_batch, id="filler-loss-left-out")
def filler_without_extra_units(*, unit_mass: Mass, dose: Mass, units_ordered: Count) -> Mass:
    """The extra units for loss were left out of the filler.

    Drug and filler must be calculated for the same number of units, or the strength is wrong.
    """
    return (unit_mass - dose) * units_ordered


@formula(source="definition", symbol="filler", label="filler to weigh")
def filler_beside_powder(*, unit_mass: Mass, units_made: Count, powder: Mass) -> Mass:
    """Return the filler that makes a batch complete beside the powder that is really weighed.

    Formula: unit mass × units made - powder. A salt, a hydrate or an impure powder weighs more than the drug in it, and
    leaves so much less room for filler.

    unit_mass: of one finished unit, a mass above zero. units_made: a whole number above zero. powder: all that is
    weighed for the batch, a mass above zero. Returns a mass. Raises RefusedError for a bare number as mass, a number
    that is not whole, or a powder that leaves no room.

    >>> filler = filler_beside_powder(unit_mass="250 mg", units_made="12", powder="400 mg")
    >>> print(filler_beside_powder.kind.show(filler))
    2600 mg

    Source: the definition.
    """
    return unit_mass * units_made - powder


@mistake_of(filler_beside_powder, id="filler-beside-drug")
def drug_off_instead_of_powder(*, unit_mass: Mass, units_made: Count, drug_wanted: Mass) -> Mass:
    """The drug was taken off instead of the powder that is weighed.

    All of the powder goes into the batch, with its water, its acid and what else it holds.
    """
    return unit_mass * units_made - drug_wanted


@mistake_of(filler_beside_powder, id="filler-powder-left-in")
def powder_not_taken_off(*, unit_mass: Mass, units_made: Count) -> Mass:
    """The powder was not taken off.

    The batch holds powder and filler together; take off what is weighed.
    """
    return unit_mass * units_made


@mistake_of(filler_beside_powder, id="filler-beside-loss-left-out")
def filler_for_units_ordered(*, unit_mass: Mass, units_ordered: Count, powder: Mass) -> Mass:
    """The extra units for loss were left out of the filler.

    Powder and filler must be calculated for the same number of units, or the strength is wrong.
    """
    return unit_mass * units_ordered - powder
