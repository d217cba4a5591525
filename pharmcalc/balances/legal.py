"""Legal metrology: the accuracy classes of balances, and what a verified balance may be off by.

A verified balance has a *verification interval* e. It is the display step d, or ten times d where the last digit is set
apart as auxiliary. Limits are counted in e, and so are loads: 50 g on a balance with e = 10 mg is a load of 5000 e. Two
bodies of rules are used, OIML R 76 and NIST Handbook 44. They agree in much and differ where it hurts, so every answer
names its rules.
"""

from dataclasses import dataclass
from fractions import Fraction

from pharmcalc.choosing import Choice, Reason, Verdict
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Mass, MassDifference, MassOrNone, Number, formula, mistake_of
from pharmcalc.kinds import MASS
from pharmcalc.sources import Source, source
from pharmcalc.units import Quantity, number_text, quantity, quotient

__all__ = [
    "RULES_OF_CLASSES",
    "AccuracyClass",
    "Intervals",
    "RulesOfClasses",
    "classes_allowed",
    "error_before_rounding",
    "maximum_permissible_error",
    "minimum_capacity",
    "number_of_intervals",
]

OIML, HANDBOOK = "OIML R 76", "NIST Handbook 44"


@dataclass(frozen=True)
class Intervals:
    """One range of verification intervals (mg), the numbers of intervals it allows, and the minimum capacity in e."""

    smallest: Fraction
    largest: Fraction | None
    fewest: int
    most: int | None
    minimum_capacity: int

    def holds(self, milligrams: Fraction) -> bool:
        """Say whether a verification interval lies in this range."""
        return self.smallest <= milligrams and (self.largest is None or milligrams <= self.largest)

    @property
    def says(self) -> str:
        """The range in words: ``1 mg to 50 mg``."""
        least = MASS.show(quantity(self.smallest, "milligram"))
        return f"{least} to {MASS.show(quantity(self.largest, 'milligram'))}" if self.largest else f"{least} and above"


@dataclass(frozen=True)
class AccuracyClass:
    """One class: its ranges of e, and its steps (up to how many e of load, None: no end; the limit in e, when new).

    ``prescription`` holds the ranges of a balance that is marked for prescription weighing only, where the rules have
    others.
    """

    name: str
    ranges: tuple[Intervals, ...]
    steps: tuple[tuple[int | None, Fraction], ...]
    prescription: tuple[Intervals, ...] = ()

    def ranges_for(self, prescription: bool) -> tuple[Intervals, ...]:
        """Return the ranges of e of a balance that is, or is not, marked for prescription weighing only."""
        return (self.prescription if prescription else ()) or self.ranges


@dataclass(frozen=True)
class RulesOfClasses:
    """One body of rules: its classes, the best first, and where they come from."""

    name: str
    classes: tuple[AccuracyClass, ...]
    sources: tuple[Source, ...]

    def named(self, accuracy_class: str) -> AccuracyClass:
        """Return a class by its name; refuse one that these rules do not have."""
        for found in self.classes:
            if found.name == accuracy_class:
                return found
        known = ", ".join(found.name for found in self.classes)
        raise RefusedError(
            f"{self.name}: accuracy_class", f"{accuracy_class!r} is not a class here.", f"Write one of {known}."
        )


_FINE = Intervals(Fraction(1), None, 50_000, None, 100)
_HIGH = (Intervals(Fraction(1), Fraction(50), 100, 100_000, 20), Intervals(Fraction(100), None, 5_000, 100_000, 50))
_MEDIUM = (
    Intervals(Fraction(100), Fraction(2_000), 100, 10_000, 20),
    Intervals(Fraction(5_000), None, 500, 10_000, 20),
)
_PRESCRIPTION = (Intervals(Fraction(10), Fraction(2_000), 100, 10_000, 20), _MEDIUM[1])  # Handbook 44, Table 3, note 2
_HALF, _ONE, _ONE_AND_A_HALF = Fraction(1, 2), Fraction(1), Fraction(3, 2)
_STEPS_I = ((50_000, _HALF), (200_000, _ONE), (None, _ONE_AND_A_HALF))
_STEPS_II = ((5_000, _HALF), (20_000, _ONE), (100_000, _ONE_AND_A_HALF))

RULES_OF_CLASSES = {
    rules.name: rules
    for rules in (
        RulesOfClasses(
            OIML,
            (
                AccuracyClass("I", (_FINE,), _STEPS_I),
                AccuracyClass("II", _HIGH, _STEPS_II),
                AccuracyClass("III", _MEDIUM, ((500, _HALF), (2_000, _ONE), (10_000, _ONE_AND_A_HALF))),
                AccuracyClass(
                    "IIII",
                    (Intervals(Fraction(5_000), None, 100, 1_000, 10),),
                    ((50, _HALF), (200, _ONE), (1_000, _ONE_AND_A_HALF)),
                ),
            ),
            (source("oiml-r76"), source("oiml-r76-auxiliary")),
        ),
        RulesOfClasses(
            HANDBOOK,
            (
                AccuracyClass("I", (_FINE,), _STEPS_I),  # steps and smallest loads of I and II from memory
                AccuracyClass("II", _HIGH, _STEPS_II),
                AccuracyClass(
                    "III",
                    _MEDIUM,
                    ((500, _HALF), (2_000, _ONE), (4_000, _ONE_AND_A_HALF), (10_000, Fraction(5, 2))),
                    _PRESCRIPTION,
                ),
            ),
            (source("handbook-44"), source("handbook-44-memory")),
        ),
    )
}
"""The two bodies of rules by name. Handbook 44: classes I to III; its minimum is a recommended minimum load."""


@formula(source="oiml-r76", symbol="n")
def number_of_intervals(*, capacity: Mass, verification_interval: Mass) -> Number:
    """Return how many verification intervals a balance has: the number n that decides its class.

    Formula: capacity ÷ verification interval (n = Max ÷ e).

    capacity: Max, the most it carries, a mass above zero. verification_interval: e, above zero. Returns a plain number.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(number_of_intervals.kind.show(number_of_intervals(capacity="300 g", verification_interval="0.01 g")))
    30000

    Source: OIML R 76-1:2006, Table 3.
    """
    return capacity / verification_interval


@mistake_of(number_of_intervals, id="intervals-upside-down")
def interval_over_capacity(*, capacity: Mass, verification_interval: Mass) -> Number:
    """The division is upside down.

    The question is how often e goes into the capacity, so the capacity stands above the line.
    """
    return verification_interval / capacity


@mistake_of(number_of_intervals, id="intervals-by-display-step")
def display_step_taken_for_e(*, capacity: Mass, display_step: Mass) -> Number:
    """The display step d was used although the last digit is auxiliary.

    With an auxiliary digit e is larger than d, mostly ten times. Classes and limits are counted in e.
    """
    return capacity / display_step


def maximum_permissible_error(
    *,
    accuracy_class: str,
    verification_interval: Quantity | str,
    load: Quantity | str,
    in_service: bool = False,
    prescription: bool = False,
    rules: str = OIML,
) -> Quantity:
    """Return what a verified balance may be off by at a load, either way.

    accuracy_class: "I", "II", "III" or "IIII". verification_interval: e. load: on the pan, above zero. in_service:
    False for a new or repaired balance (initial verification, or acceptance), True for one in use (OIML: in service;
    Handbook 44: maintenance), which may be off by twice as much. prescription: marked for prescription weighing only.
    Returns a mass. Loads at the upper end of a step still belong to it.
    Raises RefusedError for unknown rules or classes, an e that the class does not have, or a load beyond the class.

    >>> MASS.show(maximum_permissible_error(accuracy_class="II", verification_interval="10 mg", load="250 g"))
    '15 mg'

    Source: OIML R 76-1:2006, Table 6; NIST Handbook 44, 2.20, class III steps (classes I and II from memory).
    """
    chosen = _rules(rules).named(accuracy_class)
    interval = MASS.check("maximum_permissible_error: verification_interval", verification_interval)
    mass = MASS.check("maximum_permissible_error: load", load)
    _range_of(chosen, interval, prescription)
    intervals = _ratio(mass, interval)
    for upper, limit in chosen.steps:
        if upper is None or intervals <= upper:
            return interval * limit * (2 if in_service else 1)
    upper = chosen.steps[-1][0] or 0
    raise RefusedError(
        "maximum_permissible_error: load",
        f"{MASS.show(mass)} is {number_text(intervals)[0]} intervals e; class {chosen.name} ends at {upper}.",
        f"Write a load of at most {MASS.show(interval * upper)}.",
    )


def minimum_capacity(
    *,
    accuracy_class: str,
    verification_interval: Quantity | str,
    display_step: Quantity | str | None = None,
    prescription: bool = False,
    rules: str = OIML,
) -> Quantity:
    """Return the minimum capacity Min: below it the relative error may be too large (Handbook 44 recommends the like).

    accuracy_class: "I", "II", "III" or "IIII". verification_interval: e. display_step: d, where the balance has an
    auxiliary digit; then d takes the place of e in the result (from memory). prescription: marked for prescription
    weighing only. Returns a mass. It is a legal limit for the balance, not a least weighable quantity: at Min a class
    III balance may be off by 2.5 % when new.
    Raises RefusedError for unknown rules or classes, an e that the class does not have, or a d larger than e.

    >>> MASS.show(minimum_capacity(accuracy_class="II", verification_interval="10 mg"))
    '200 mg'

    Source: OIML R 76-1:2006, Table 3; 3.4.3 and NIST Handbook 44, 2.20 Table 8 from memory.
    """
    chosen = _rules(rules).named(accuracy_class)
    interval = MASS.check("minimum_capacity: verification_interval", verification_interval)
    counted = interval
    if display_step is not None:
        counted = MASS.check("minimum_capacity: display_step", display_step)
        if counted > interval:
            raise RefusedError(
                "minimum_capacity: display_step",
                f"d of {MASS.show(counted)} is larger than e of {MASS.show(interval)}.",
                "An auxiliary digit is finer than e. Leave display_step out if there is none.",
            )
    return counted * _range_of(chosen, interval, prescription).minimum_capacity


def classes_allowed(
    *, capacity: Quantity | str, verification_interval: Quantity | str, prescription: bool = False, rules: str = OIML
) -> Choice[AccuracyClass]:
    """Return for each accuracy class whether a balance of this capacity and interval may belong to it, and why not.

    capacity: Max. verification_interval: e. prescription: marked "for prescription weighing only", which Handbook 44
    lets have a smaller e in class III. Does not check that e is 1, 2 or 5 times a power of ten.
    Raises RefusedError for unknown rules, a bare number, another kind of amount, zero or a negative mass.

    >>> [found.name for found in classes_allowed(capacity="300 g", verification_interval="0.01 g").allowed]
    ['II']

    Source: OIML R 76-1:2006, Table 3; NIST Handbook 44, 2.20 Table 3 and its note 2.
    """
    body = _rules(rules)
    most = MASS.check("classes_allowed: capacity", capacity)
    interval = MASS.check("classes_allowed: verification_interval", verification_interval)
    count = _ratio(most, interval)
    return Choice(tuple(Verdict(found, _against(found, interval, count, prescription)) for found in body.classes))


def _against(found: AccuracyClass, interval: Quantity, count: Fraction, prescription: bool) -> tuple[Reason, ...]:
    ranges = found.ranges_for(prescription)
    fitting = [one for one in ranges if one.holds(interval.to("milligram").magnitude)]
    counts = fitting or ranges
    fewest = min(one.fewest for one in counts)
    most = None if any(one.most is None for one in counts) else max(one.most or 0 for one in counts)
    reasons = []
    if not fitting:
        reasons.append(Reason("interval-not-in-class", _no_such_interval(found, interval, prescription)))
    shown = number_text(count)[0]
    if count < fewest:
        reasons.append(
            Reason("too-few-intervals", f"Class {found.name} needs at least {fewest} intervals; here {shown}.")
        )
    if most is not None and count > most:
        reasons.append(Reason("too-many-intervals", f"Class {found.name} ends at {most} intervals; here {shown}."))
    return tuple(reasons)


def _no_such_interval(found: AccuracyClass, interval: Quantity, prescription: bool) -> str:
    ranges = ", or ".join(one.says for one in found.ranges_for(prescription))
    return f"Class {found.name} has no verification interval of {MASS.show(interval)}: it has {ranges}."


def _range_of(found: AccuracyClass, interval: Quantity, prescription: bool) -> Intervals:
    for one in found.ranges_for(prescription):
        if one.holds(interval.to("milligram").magnitude):
            return one
    problem = _no_such_interval(found, interval, prescription)
    raise RefusedError("verification_interval", problem, "Check e and the class on the plate.")


def _ratio(mass: Quantity, interval: Quantity) -> Fraction:
    count: Fraction = quotient(mass, interval)
    return count


def _rules(name: str) -> RulesOfClasses:
    if name not in RULES_OF_CLASSES:
        raise RefusedError("rules", f"{name!r} is not known here.", f"Write one of {', '.join(RULES_OF_CLASSES)}.")
    return RULES_OF_CLASSES[name]


@formula(source="oiml-r76-rounding", symbol="E")
def error_before_rounding(
    *, indication: MassOrNone, verification_interval: Mass, added_weights: MassOrNone, load: MassOrNone
) -> MassDifference:
    """Return the error of a balance before the display rounds it.

    Formula: indication + verification interval ÷ 2 - added weights - load (E = I + e/2 - ΔL - L). Small weights are
    added until the display changes to the next step: at that moment the true indication lies half a step above the
    display.

    indication: I, before weights are added, at least 0 mg. verification_interval: e, above zero. added_weights: ΔL,
    what made the display change, at least 0 mg. load: L, the test weight, at least 0 mg. Returns a difference of two
    masses; below zero means that the balance shows too little. Raises RefusedError for a bare number, another kind of
    amount, or a negative mass.

    >>> print(error_before_rounding.kind.show(error_before_rounding(
    ...     indication="1000 g", verification_interval="5 g", added_weights="1.5 g", load="1000 g")))
    1 g

    Source: OIML R 76-1:2006, A.4.4.3 (from memory).
    """
    return indication + verification_interval / 2 - added_weights - load


@mistake_of(error_before_rounding, id="half-interval-left-out")
def half_interval_left_out(*, indication: MassOrNone, added_weights: MassOrNone, load: MassOrNone) -> MassDifference:
    """Half the verification interval was left out.

    The display changes half way between two steps, not at the step itself.
    """
    return indication - added_weights - load


@mistake_of(error_before_rounding, id="added-weights-added")
def added_weights_added(
    *, indication: MassOrNone, verification_interval: Mass, added_weights: MassOrNone, load: MassOrNone
) -> MassDifference:
    """The added weights were added instead of taken off.

    The more had to be added until the display changed, the lower the true indication was.
    """
    return indication + verification_interval / 2 + added_weights - load


@mistake_of(error_before_rounding, id="error-from-display")
def display_only(*, indication: MassOrNone, load: MassOrNone) -> MassDifference:
    """The error was read off the display.

    The display hides up to half a step either way; the added weights show where inside the step it stood.
    """
    return indication - load
