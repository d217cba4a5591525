"""How wrong a weighing may be, and the smallest amount a balance may weigh.

The *sensitivity requirement* is the change of load that moves the pointer one division: what the balance may be off by,
either way. The same error is a large part of a small load and a small part of a large one; that is the whole idea of
the least weighable quantity.
"""

from pharmcalc.constants import HUNDRED_PERCENT
from pharmcalc.equations import size_of
from pharmcalc.formula import Mass, Percent, formula, mistake_of
from pharmcalc.units import quantity

__all__ = ["error_found", "least_weighable_quantity", "percentage_of_error", "sensitivity_requirement"]


@formula(source="ansel-measurement unc-weighing", symbol="% error")
def percentage_of_error(*, sensitivity: Mass, load: Mass) -> Percent:
    """Return the largest percentage of error when a load is weighed on a balance.

    Formula: sensitivity requirement ÷ load × 100 %. Does not look at drift, draught or technique.

    sensitivity: the sensitivity requirement, a mass above zero, for example 6 mg.
    load: what is weighed, a mass above zero. Returns a percentage; it may be above 100 %.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(percentage_of_error.kind.show(percentage_of_error(sensitivity="6 mg", load="50 mg")))
    12 %

    Source: Ansel & Stoklosa, chapter on measurement; UNC compounding laboratory, Weighing.
    """
    return sensitivity / load * HUNDRED_PERCENT


@mistake_of(percentage_of_error, id="error-upside-down")
def load_divided_by_sensitivity(*, sensitivity: Mass, load: Mass) -> Percent:
    """The division is upside down.

    The error is what the balance may be off by, as a part of what you weigh. A larger load gives a smaller percentage.
    """
    return load / sensitivity * HUNDRED_PERCENT


@mistake_of(percentage_of_error, id="error-upside-down-not-times-100")
def load_divided_called_percent(*, sensitivity: Mass, load: Mass) -> Percent:
    """The division is upside down, and the result was called a percentage.

    The error is what the balance may be off by, as a part of what you weigh, times 100 %.
    """
    return load / sensitivity * quantity(1, "percent")


@mistake_of(percentage_of_error, id="error-not-times-100")
def fraction_called_percent(*, sensitivity: Mass, load: Mass) -> Percent:
    """The fraction was written as a percentage without multiplying by 100.

    Per cent means in a hundred: 0.12 of the load is 12 % of it.
    """
    return sensitivity / load * quantity(1, "percent")


@formula(source="ansel-measurement", symbol="% error")
def error_found(*, wanted: Mass, found: Mass) -> Percent:
    """Return the percentage of error of a weighing that was checked on a better balance.

    Formula: size of (found - wanted) ÷ wanted × 100 %. The quantity *wanted* stands below the line, not the one found.

    wanted, found: masses above zero. Returns a percentage (0 % when they agree).
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(error_found.kind.show(error_found(wanted="800 mg", found="750 mg")))
    6.25 %

    Source: Ansel & Stoklosa, chapter on measurement.
    """
    return size_of(found - wanted) / wanted * HUNDRED_PERCENT


@mistake_of(error_found, id="error-relative-to-found")
def divided_by_found(*, wanted: Mass, found: Mass) -> Percent:
    """The error was divided by the quantity found.

    The prescriber asked for the quantity wanted, so the error is a part of that quantity.
    """
    return size_of(found - wanted) / found * HUNDRED_PERCENT


@mistake_of(error_found, id="found-as-percent-of-wanted")
def found_over_wanted(*, wanted: Mass, found: Mass) -> Percent:
    """The quantity found was divided by the quantity wanted, without taking the difference.

    That says how much of the wanted quantity is there. The error is only the part that is missing or too much.
    """
    return found / wanted * HUNDRED_PERCENT


@formula(source="ansel-measurement unc-weighing", symbol="LWQ")
def least_weighable_quantity(*, sensitivity: Mass, allowed_error: Percent) -> Mass:
    """Return the smallest mass whose weighing error stays within the allowed error.

    Formula: sensitivity requirement ÷ allowed error. It is a rule for *each* weighing: several weighings at the
    limit add up to more than the limit.

    sensitivity: the sensitivity requirement, a mass above zero. allowed_error: a percentage above zero, for example 5
    %. Returns a mass. Raises RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> print(least_weighable_quantity.kind.show(least_weighable_quantity(sensitivity="6 mg", allowed_error="5 %")))
    120 mg

    Source: Ansel & Stoklosa, chapter on measurement; UNC compounding laboratory, Weighing (120 mg).
    """
    return sensitivity / allowed_error


@mistake_of(least_weighable_quantity, id="lwq-upside-down")
def sensitivity_times_error(*, sensitivity: Mass, allowed_error: Percent) -> Mass:
    """The sensitivity requirement was multiplied by the allowed error instead of divided by it.

    The stricter the allowed error, the more you must weigh.
    """
    return sensitivity * allowed_error


@mistake_of(least_weighable_quantity, id="lwq-percent-as-number")
def percent_not_divided_by_100(*, sensitivity: Mass, allowed_error: Percent) -> Mass:
    """The percentage was used as a plain number.

    5 % means 5 in 100, so it is 0.05 and not 5.
    """
    return sensitivity / (allowed_error * 100)


@mistake_of(least_weighable_quantity, id="lwq-is-sensitivity")
def sensitivity_itself(*, sensitivity: Mass) -> Mass:
    """The sensitivity requirement itself was given as the least weighable quantity.

    At that load the balance may be off by the whole amount: an error of 100 %.
    """
    return sensitivity


@formula(source="ansel-measurement", symbol="SR")
def sensitivity_requirement(*, least_weighable_quantity: Mass, allowed_error: Percent) -> Mass:
    """Return the sensitivity requirement that a balance must have to weigh a given least quantity.

    Formula: least weighable quantity × allowed error; the inverse of :func:`least_weighable_quantity`.

    least_weighable_quantity: a mass above zero. allowed_error: a percentage above zero, for example 5 %. Returns a
    mass. Raises RefusedError for a bare number, another kind of amount, zero or a negative value.

    >>> needed = sensitivity_requirement(least_weighable_quantity="120 mg", allowed_error="5 %")
    >>> print(sensitivity_requirement.kind.show(needed))
    6 mg

    Source: Ansel & Stoklosa, chapter on measurement.
    """
    return least_weighable_quantity * allowed_error


@mistake_of(sensitivity_requirement, id="sensitivity-divided")
def quantity_divided_by_error(*, least_weighable_quantity: Mass, allowed_error: Percent) -> Mass:
    """The least weighable quantity was divided by the allowed error instead of multiplied by it.

    The sensitivity requirement is a small part of the least weighable quantity, never larger than it.
    """
    return least_weighable_quantity / allowed_error


@mistake_of(sensitivity_requirement, id="sensitivity-percent-as-number")
def quantity_times_percent_number(*, least_weighable_quantity: Mass, allowed_error: Percent) -> Mass:
    """The percentage was used as a plain number.

    5 % means 5 in 100, so it is 0.05 and not 5.
    """
    return least_weighable_quantity * (allowed_error * 100)
