"""The accuracy test of a balance: one test weight, one reading, within 0.10 % (USP <41>).

Repeatability asks whether the balance says the same each time; accuracy asks whether what it says is true. The test
weight must be heavy enough to try the balance, light enough to be carried, and good enough to judge it.
"""

from dataclasses import dataclass

from pharmcalc.balances.pharmacopoeia import PHARMACOPOEIA_LIMIT
from pharmcalc.balances.weights import largest_error_of_weight
from pharmcalc.choosing import Reason
from pharmcalc.constants import HUNDRED_PERCENT
from pharmcalc.equations import size_of
from pharmcalc.formula import Mass, Percent, formula, mistake_of
from pharmcalc.kinds import MASS, MASS_OR_NONE, PERCENT
from pharmcalc.units import Quantity, quantity

__all__ = ["AccuracyTest", "accuracy_error", "accuracy_limit", "accuracy_test", "smallest_test_weight"]

FIVE_PERCENT = quantity(5, "percent")
"""USP <41>: the test weight is between 5 % and 100 % of the capacity."""


@formula(source="usp-41-accuracy", symbol="% error")
def accuracy_error(*, test_weight: Mass, reading: Mass) -> Percent:
    """Return how far a balance is off, as a percentage of the test weight (USP <41>).

    Formula: size of (reading - test weight) ÷ test weight × 100 %. The balance passes at 0.10 % or less.

    test_weight: its known mass, above zero. reading: what the balance shows, above zero. Returns a percentage (0 % when
    they agree).
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(accuracy_error.kind.show(accuracy_error(test_weight="100 g", reading="100.08 g")))
    0.08 %

    Source: USP <41>, accuracy test.
    """
    return size_of(reading - test_weight) / test_weight * HUNDRED_PERCENT


@mistake_of(accuracy_error, id="accuracy-relative-to-capacity")
def divided_by_capacity(*, test_weight: Mass, reading: Mass, capacity: Mass) -> Percent:
    """The error was divided by the capacity of the balance.

    The error is a part of what lies on the pan: the test weight. Divided by the capacity it looks smaller than it is.
    """
    return size_of(reading - test_weight) / capacity * HUNDRED_PERCENT


@mistake_of(accuracy_error, id="accuracy-not-times-100")
def accuracy_fraction_called_percent(*, test_weight: Mass, reading: Mass) -> Percent:
    """The fraction was written as a percentage without multiplying by 100.

    Per cent means in a hundred: 0.0008 of the test weight is 0.08 % of it.
    """
    return size_of(reading - test_weight) / test_weight * quantity(1, "percent")


@formula(source="usp-41-accuracy", symbol="limit")
def accuracy_limit(*, test_weight: Mass) -> Mass:
    """Return what a balance may be off by at a test weight (USP <41>).

    Formula: test weight × 0.10 %. The inverse question to :func:`accuracy_error`, in mass.

    test_weight: above zero. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(accuracy_limit.kind.show(accuracy_limit(test_weight="100 g")))
    100 mg

    Source: USP <41>, accuracy test.
    """
    return test_weight * PHARMACOPOEIA_LIMIT


@mistake_of(accuracy_limit, id="accuracy-limit-percent-as-number")
def limit_percent_as_number(*, test_weight: Mass) -> Mass:
    """The percentage was used as a plain number.

    0.10 % means 0.10 in 100, so it is 0.001 and not 0.1.
    """
    return test_weight * (PHARMACOPOEIA_LIMIT * 100)


@formula(source="usp-41-accuracy", symbol="smallest test weight")
def smallest_test_weight(*, capacity: Mass) -> Mass:
    """Return the lightest test weight that the accuracy test allows (USP <41>).

    Formula: capacity × 5 %. The heaviest is the capacity itself.

    capacity: of the balance, a mass above zero. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(smallest_test_weight.kind.show(smallest_test_weight(capacity="200 g")))
    10 g

    Source: USP <41>, accuracy test (5 % to 100 % met second-hand).
    """
    return capacity * FIVE_PERCENT


@mistake_of(smallest_test_weight, id="test-weight-divided")
def capacity_over_five(*, capacity: Mass) -> Mass:
    """The capacity was divided by 5.

    That is 20 % of the capacity. 5 % is one twentieth.
    """
    return capacity / 5


@dataclass(frozen=True)
class AccuracyTest:
    """What an accuracy test shows: the error, what the weight itself may be off by, and every reason against a pass."""

    error: Quantity
    error_in_mass: Quantity
    limit: Quantity
    largest_error_of_weight: Quantity
    reasons: tuple[Reason, ...]

    @property
    def passed(self) -> bool:
        """Say whether the balance passed, with a test weight that was fit for it."""
        return not self.reasons


def accuracy_test(
    *,
    capacity: Quantity | str,
    test_weight: Quantity | str,
    reading: Quantity | str,
    error_of_weight: Quantity | str | None = None,
) -> AccuracyTest:
    """Return the verdict on one accuracy test (USP <41>), with a sentence for each rule that is broken.

    ``test_weight`` is the known mass, ``reading`` what the balance shows, ``error_of_weight`` what the weight itself
    may be off by: the limit of its class or the uncertainty on its certificate (left out: not checked). All masses.
    Does not look at drift, eccentricity or linearity. Ph. Eur. 2.1.7 has a test of its own, with a limit of its
    own; it is not offered here.
    Raises RefusedError for a bare number, another kind of amount, or a mass that cannot be.

    >>> test = accuracy_test(capacity="200 g", test_weight="100 g", reading="100.08 g", error_of_weight="5 mg")
    >>> test.passed, PERCENT.show(test.error)
    (True, '0.08 %')

    Source: USP <41>, accuracy test (0.10 % and 5 % to 100 % second-hand; one third of the limit from memory).
    """
    most = MASS.check("accuracy_test: capacity", capacity)
    known = MASS.check("accuracy_test: test_weight", test_weight)
    shown = MASS.check("accuracy_test: reading", reading)
    least, limit = smallest_test_weight(capacity=most), accuracy_limit(test_weight=known)
    third = largest_error_of_weight(permissible_error=limit)
    error = accuracy_error(test_weight=known, reading=shown)
    reasons = []
    if not least <= known <= most:
        reasons.append(
            Reason(
                "test-weight-outside-range",
                f"The test weight of {MASS.show(known)} is not between 5 % and 100 % of the capacity "
                f"({MASS.show(least)} to {MASS.show(most)}).",
            )
        )
    if error_of_weight is not None:
        own = MASS_OR_NONE.check("accuracy_test: error_of_weight", error_of_weight)
        if own > third:
            reasons.append(
                Reason(
                    "test-weight-not-good-enough",
                    f"The test weight itself may be off by {MASS.show(own)}; at most one third of the limit, "
                    f"{MASS.show(third)}, is allowed.",
                )
            )
    if error > PHARMACOPOEIA_LIMIT:
        reasons.append(
            Reason(
                "accuracy-above-limit",
                f"The balance is off by {PERCENT.show(error)} of the test weight; the limit is "
                f"{PERCENT.show(PHARMACOPOEIA_LIMIT)}.",
            )
        )
    return AccuracyTest(error, abs(shown - known), limit, third, tuple(reasons))
