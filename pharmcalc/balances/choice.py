"""Which balance of a lab may weigh a quantity, and why the others may not."""

from collections.abc import Iterable
from dataclasses import dataclass

from pharmcalc.balances.legal import minimum_capacity
from pharmcalc.balances.sensitivity import least_weighable_quantity, percentage_of_error
from pharmcalc.choosing import Choice, Reason, Verdict
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS, MASS_OR_NONE, PERCENT
from pharmcalc.language import say
from pharmcalc.units import Quantity, quantity, quotient

__all__ = ["UNMARKED_CAPACITY", "Balance", "choose_balance"]

UNMARKED_CAPACITY = quantity("15.5", "gram")
"""USP 29 <1176>: what an unmarked Class A balance is taken to carry (half an apothecaries' ounce, rounded)."""


@dataclass(frozen=True)
class Balance:
    """One balance of a lab. What is not known is None; amounts may be handed in as text (``"6 mg"``) and are read once.

    ``sensitivity`` is the sensitivity requirement of a prescription balance; ``stated_minimum`` comes from a
    certificate or the site and goes before it; with neither, the display step d counts as the sensitivity requirement
    (a classroom rule). ``capacity`` may be left out for a prescription balance: unmarked, it is taken as 15.5 g.
    ``accuracy_class`` and ``verification_interval`` (OIML R 76) give the minimum capacity of a verified balance.
    """

    name: str
    display_step: Quantity | None = None
    capacity: Quantity | None = None
    sensitivity: Quantity | None = None
    stated_minimum: Quantity | None = None
    accuracy_class: str = ""
    verification_interval: Quantity | None = None

    def __post_init__(self) -> None:
        """Check every amount, and that enough is known to judge by."""
        where = say("balance {name}", name=self.name)
        for field in ("display_step", "capacity", "sensitivity", "stated_minimum", "verification_interval"):
            value = getattr(self, field)
            if value is not None:
                object.__setattr__(self, field, MASS.check(f"{where}: {field}", value))
        if self.sensitivity is None and self.stated_minimum is None and self.display_step is None:
            raise RefusedError(
                where, "nothing says what it can weigh.", "Give its sensitivity, a stated_minimum or its display_step."
            )
        if self.capacity is None and self.sensitivity is None:
            raise RefusedError(
                f"{where}: capacity",
                f"is not given; only a prescription balance is taken to carry {MASS.show(UNMARKED_CAPACITY)} unmarked.",
                "Read the capacity from its plate.",
            )
        if bool(self.accuracy_class) != (self.verification_interval is not None):
            raise RefusedError(
                where, "accuracy_class and verification_interval belong together.", "Give both, or neither."
            )

    @property
    def carries(self) -> Quantity:
        """The most that may lie on the pan, tare and sample together."""
        return UNMARKED_CAPACITY if self.capacity is None else self.capacity

    @property
    def minimum_capacity(self) -> Quantity | None:
        """The minimum capacity of a verified balance (OIML R 76), or None where its class is not known.

        A display step finer than the verification interval is an auxiliary digit, and counts in its place.
        """
        if self.verification_interval is None:
            return None
        finer = self.display_step is not None and self.display_step < self.verification_interval
        return minimum_capacity(
            accuracy_class=self.accuracy_class,
            verification_interval=self.verification_interval,
            display_step=self.display_step if finer else None,
        )

    def least_weighable(self, allowed_error: Quantity) -> Quantity:
        """Return the smallest mass to weigh: the stated minimum, else from the sensitivity requirement, else from d."""
        if self.stated_minimum is not None:
            return self.stated_minimum
        known = [value for value in (self.sensitivity, self.display_step) if value is not None]
        return least_weighable_quantity(sensitivity=known[0], allowed_error=allowed_error)

    def error_at_most(self, allowed_error: Quantity) -> Quantity:
        """Return what it may be off by, either way, in mass: what the smallest mass to weigh on it implies."""
        return self.least_weighable(allowed_error) * allowed_error.to_base_units()

    def summary(self) -> str:
        """Return what is known of the balance, in one line."""
        known = (
            (say("sensitivity requirement"), self.sensitivity),
            (say("stated minimum weight"), self.stated_minimum),
            (say("display step"), self.display_step),
            (say("capacity"), self.carries),
        )
        return ", ".join(f"{what} {MASS.show(value)}" for what, value in known if value is not None)


def choose_balance(
    *,
    quantity_wanted: Quantity | str,
    balances: Iterable[Balance],
    allowed_error: Quantity | str = "5 %",
    tare: Quantity | str = "0 mg",
) -> Choice[Balance]:
    """Return the verdict on every balance: may it weigh this quantity, and if not, every rule that speaks against it.

    quantity_wanted: the net sample, above zero. allowed_error: of this one weighing, above 0 %. tare: the vessel that
    lies on the pan with it; it counts towards the capacity and never towards the least weighable quantity. Returns a
    Choice: ``allowed``, ``refused`` with reasons, ``best`` (the smallest percentage of error), ``text()``.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative value, or when there is no
    balance.

    >>> shelf = [Balance("A", sensitivity="6 mg"), Balance("B", display_step="1 mg", capacity="200 g")]
    >>> print(choose_balance(quantity_wanted="50 mg", balances=shelf).text())
    A: no. 50 mg is below the least weighable quantity of 120 mg; the error could be 12 %.
    B: yes.

    Source: Ansel & Stoklosa, chapter on measurement; USP 29 <1176> (15.5 g); OIML R 76-1:2006 (minimum capacity).
    """
    where = "choose_balance"
    wanted = MASS.check(f"{where}: quantity_wanted", quantity_wanted)
    allowed = PERCENT.check(f"{where}: allowed_error", allowed_error)
    vessel = MASS_OR_NONE.check(f"{where}: tare", tare)
    if allowed.magnitude == 0:
        raise RefusedError(f"{where}: allowed_error", "must be more than 0 %.", 'Write, for example, "5 %".')
    shelf = tuple(balances)
    if not shelf:
        raise RefusedError(f"{where}: balances", "there is no balance to choose from.", "Give at least one balance.")
    return Choice(tuple(_verdict(balance, wanted, allowed, vessel) for balance in shelf))


def _verdict(balance: Balance, wanted: Quantity, allowed: Quantity, tare: Quantity) -> Verdict[Balance]:
    error = percentage_of_error(sensitivity=balance.error_at_most(allowed), load=wanted)
    least, gross, shown = balance.least_weighable(allowed), wanted + tare, MASS.show(wanted)
    reasons = []
    if wanted < least:
        reasons.append(
            Reason(
                "below-least-weighable",
                say(
                    "{shown} is below the least weighable quantity of {least}; the error could be {error}.",
                    shown=shown,
                    least=MASS.show(least),
                    error=PERCENT.show(error),
                ),
            )
        )
    if gross > balance.carries:
        with_tare = say(" with the tare of {tare}", tare=MASS.show(tare)) if tare.magnitude else ""
        unmarked = say(" (its capacity is not marked)") if balance.capacity is None else ""
        reasons.append(
            Reason(
                "above-capacity",
                say(
                    "{shown}{with_tare} is above its capacity of {carries}{unmarked}.",
                    shown=shown,
                    with_tare=with_tare,
                    carries=MASS.show(balance.carries),
                    unmarked=unmarked,
                ),
            )
        )
    smallest = balance.minimum_capacity
    if smallest is not None and wanted < smallest:
        reasons.append(
            Reason(
                "below-minimum-capacity",
                say(
                    "{shown} is below its minimum capacity of {smallest} (class {accuracy_class}).",
                    shown=shown,
                    smallest=MASS.show(smallest),
                    accuracy_class=balance.accuracy_class,
                ),
            )
        )
    step = balance.display_step
    if step is not None and quotient(wanted, step).denominator != 1:
        reasons.append(
            Reason(
                "not-on-display",
                say(
                    "{shown} cannot be shown: the display moves in steps of {step}.", shown=shown, step=MASS.show(step)
                ),
            )
        )
    return Verdict(balance, tuple(reasons), error)
