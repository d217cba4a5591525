"""House rules: what this lab allows, read from one small file that the instructor edits."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from importlib.resources import files
from typing import Any

from pharmcalc.aliquots import Limits
from pharmcalc.aliquots.conventions import ANY_MULTIPLE, CONVENTIONS
from pharmcalc.balances import Balance
from pharmcalc.bench.things import EXCESS
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS, NUMBER, PERCENT
from pharmcalc.language import DECIMAL_MARKS, LANGUAGES, LITRES, MICROGRAMS, NEUTRAL, Habits, later, say, using
from pharmcalc.tasks import late
from pharmcalc.tasks.entries import amount, count, one_of, only_known, yes_or_no
from pharmcalc.tasks.late import NO_PENALTY, LateRule, read_late
from pharmcalc.tasks.orders import Order, read_orders
from pharmcalc.units import Quantity, quantity

__all__ = ["HouseRules", "default_house_rules_text", "read_house_rules"]

_MULTIPLES = ("whole", "any")
_ROUNDINGS = ("half up", "half even")
_NO_LIMIT = "none"
_KEYS = (
    "allowed-error",
    "multiple-factor",
    "preferred-plan",
    "diluent-checked",
    "largest-ratio",
    "critical-mistakes",
    "attempt-that-counts",
    "later-attempts-at-most",
    *late.KEYS,
    "rounding",
    "extra-units-for-loss",
    "excess-powder",
    "language",
    "decimal-mark",
    "microgram-written",
    "litre-written",
    "balance",
    "order",
)
_BALANCE_KEYS = ("name", "sensitivity-requirement", "minimum-weight", "display-step", "capacity")
LONGEST_FILE = 20_000
MOST_BALANCES = 20
MOST_CRITICAL = 100
COUNTS = ("last", "best")
WHOLE = quantity(100, "percent")
CRITICAL = ("salt-factor-left-out", "salt-factor-upside-down", "hydrate-water-left-out", "label-volume-left-out")
"""Mistakes that block clearance even where they change the amount by less than half or double."""
MOST_THINNED = 10_000
EXCESS_SAID = {"discard": later("is discarded"), "return": later("goes back into its jar")}


@dataclass(frozen=True)
class HouseRules:
    """The rules of one course; ``text`` is the file they were read from.

    ``convention`` is no rule: it says which of the right plans a worked solution shows.
    """

    allowed_error: Quantity
    balances: tuple[Balance, ...]
    whole_multiple: bool
    convention: str
    diluent_checked: bool
    largest_ratio: Quantity | None
    rounding: str
    extra_units: int
    text: str
    orders: tuple[Order, ...] = ()
    critical_mistakes: tuple[str, ...] = CRITICAL
    attempt_that_counts: str = COUNTS[0]
    later_attempts_at_most: Quantity = WHOLE
    excess_powder: str = EXCESS[0]
    late: LateRule = NO_PENALTY
    habits: Habits = NEUTRAL

    def limits(self, balance: Balance, final_quantity: Quantity | None = None) -> Limits:
        """Return what an aliquot plan on this balance must keep."""
        least = balance.least_weighable(self.allowed_error)
        return Limits(
            least,
            balance.display_step or least,
            balance.carries,
            self.diluent_checked,
            self.whole_multiple,
            final_quantity,
            self.largest_ratio,
            self.convention,
        )

    def summary(self) -> list[tuple[str, str]]:
        """Return the rules as (what, value), in the order they are printed on a paper."""
        diluent = say("must reach the least weighable quantity") if self.diluent_checked else say("may be any amount")
        multiple = (
            say("any whole number that is large enough")
            if self.whole_multiple
            else say("any number that is large enough")
        )
        thinnest = self.largest_ratio
        thinned = (
            [(say("Largest ratio of one mixing"), say("1 in {parts}", parts=NUMBER.show(thinnest)))] if thinnest else []
        )
        return [
            (say("Allowed error of one weighing"), PERCENT.show(self.allowed_error)),
            (say("Multiple factor"), multiple),
            (say("Diluent"), diluent),
            *thinned,
            (say("Rounding of ties"), say(self.rounding)),
            (say("Extra units for loss"), str(self.extra_units)),
            (say("Excess powder"), say(EXCESS_SAID[self.excess_powder])),
            *([(say("Handing in late"), self.late.says())] if self.late.costs else []),
            *((balance.name, balance.summary()) for balance in self.balances),
        ]


def default_house_rules_text() -> str:
    """Return the house rules that come with the course, as the text of the file."""
    return files("pharmcalc.tasks").joinpath("house_rules.toml").read_text(encoding="utf-8")


def read_house_rules(text: str | None = None) -> HouseRules:
    """Read house rules from the text of their file (the course's own when there is no text).

    Raises RefusedError naming the line or the entry, what it says, and what may stand there.

    >>> house = read_house_rules()
    >>> print(MASS.show(house.limits(house.balances[0]).least_weighable_quantity))
    120 mg
    """
    with using(NEUTRAL):  # the file is the same wherever it is read
        return _read(default_house_rules_text() if text is None or not text.strip() else text)


@lru_cache(maxsize=8)
def _read(text: str) -> HouseRules:
    if len(text) > LONGEST_FILE:
        raise RefusedError(
            "house rules",
            "the file is far too long.",
            "Start again from the file that comes with the course.",
        )
    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # a number of 5000 digits, a thousand brackets: tomllib lets them out
        raise RefusedError(
            "house rules", f"the file cannot be read: {error}.", 'Each line reads: name = "value".'
        ) from None
    only_known(table, _KEYS, "house rules")
    rows = table.get("balance", [])
    if (
        not isinstance(rows, list)
        or not 1 <= len(rows) <= MOST_BALANCES
        or not all(isinstance(row, dict) for row in rows)
    ):
        raise RefusedError(
            "house rules: balance",
            f"there must be 1 to {MOST_BALANCES} balances.",
            "Begin each with a line [[balance]].",
        )
    names = [str(row.get("name")) for row in rows]
    if len(set(names)) < len(names):
        raise RefusedError(
            "house rules: balance", "two balances have the same name.", "Give each its own, as it stands on its plate."
        )
    allowed = amount(table, "allowed-error", PERCENT.check)
    if not 0 < allowed.to_base_units().magnitude <= Fraction(1, 2):
        raise RefusedError(
            "house rules: allowed-error",
            f"it was {PERCENT.show(allowed)}.",
            'Write a percentage above 0 % and up to 50 %, such as "5 %".',
        )
    whole = one_of(table, "multiple-factor", _MULTIPLES) == "whole"
    return HouseRules(
        allowed_error=allowed,
        balances=tuple(_balance(row, number) for number, row in enumerate(rows, 1)),
        whole_multiple=whole,
        convention=_convention(table, whole),
        diluent_checked=yes_or_no(table, "diluent-checked"),
        largest_ratio=_largest_ratio(table),
        rounding=one_of(table, "rounding", _ROUNDINGS),
        extra_units=count(table, "extra-units-for-loss"),
        text=text,
        orders=read_orders(table),
        critical_mistakes=_critical(table),
        attempt_that_counts=one_of({"attempt-that-counts": COUNTS[0], **table}, "attempt-that-counts", COUNTS),
        later_attempts_at_most=_at_most(table),
        excess_powder=one_of({"excess-powder": EXCESS[0], **table}, "excess-powder", EXCESS),
        late=read_late(table),
        habits=_habits(table),
    )


def _habits(table: Mapping[str, Any]) -> Habits:
    """Return how this course reads and writes: as the course's own texts do where nothing is said."""
    return Habits(
        one_of({"language": NEUTRAL.language, **table}, "language", tuple(LANGUAGES)),
        one_of({"decimal-mark": NEUTRAL.decimal_mark, **table}, "decimal-mark", tuple(DECIMAL_MARKS)),
        one_of({"microgram-written": NEUTRAL.microgram, **table}, "microgram-written", MICROGRAMS),
        one_of({"litre-written": NEUTRAL.litre, **table}, "litre-written", LITRES),
    )


def _convention(table: Mapping[str, Any], whole: bool) -> str:
    """Return the right plan that worked solutions show: the smallest whole multiple where nothing is said."""
    convention = one_of({"preferred-plan": "smallest whole", **table}, "preferred-plan", tuple(CONVENTIONS))
    if whole and convention in ANY_MULTIPLE:
        raise RefusedError(
            "house rules: preferred-plan",
            f'"{convention}" needs multiple factors that are not whole, but multiple-factor says "whole".',
            'Write multiple-factor = "any", or another preferred plan.',
        )
    return convention


def _critical(table: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the ids of the mistakes that block clearance; the course's own where nothing is said."""
    ids = table.get("critical-mistakes", list(CRITICAL))
    if not isinstance(ids, list) or len(ids) > MOST_CRITICAL or not all(isinstance(one, str) for one in ids):
        raise RefusedError(
            "house rules: critical-mistakes",
            "it must be a list of names.",
            f"Write, for example, [{', '.join(repr(one) for one in CRITICAL[:2])}].".replace("'", '"'),
        )
    return tuple(ids)


def _at_most(table: Mapping[str, Any]) -> Quantity:
    """Return the share of the marks that a later attempt may earn."""
    if "later-attempts-at-most" not in table:
        return WHOLE
    share = amount(table, "later-attempts-at-most", PERCENT.check)
    if share > WHOLE:
        raise RefusedError(
            "house rules: later-attempts-at-most", f"it was {PERCENT.show(share)}.", 'Write a percentage up to "100 %".'
        )
    return share


def _largest_ratio(table: Mapping[str, Any]) -> Quantity | None:
    """Return how far one mixing may thin, 100 for 1 in 100; None where nothing is said."""
    if table.get("largest-ratio", _NO_LIMIT) == _NO_LIMIT:
        return None
    ratio = amount(table, "largest-ratio", NUMBER.check)
    if not 2 <= ratio.to_base_units().magnitude <= MOST_THINNED:
        raise RefusedError(
            "house rules: largest-ratio",
            f"it was {NUMBER.show(ratio)}.",
            f'Write 2 to {MOST_THINNED}, or "{_NO_LIMIT}".',
        )
    return ratio


def _balance(row: Mapping[str, Any], number: int) -> Balance:
    where = f"house rules: balance {number}"
    only_known(row, _BALANCE_KEYS, where)
    name = row.get("name")
    if not isinstance(name, str) or not 1 <= len(name) <= 40:
        raise RefusedError(where, "it has no name.", 'Write a line such as name = "Balance 1".')
    if "sensitivity-requirement" not in row and "minimum-weight" not in row:
        raise RefusedError(
            f"house rules: {name}",
            "neither a sensitivity requirement nor a minimum weight is given.",
            'Write one of them, such as sensitivity-requirement = "6 mg".',
        )

    def mass(key: str) -> Quantity | None:
        return amount(row, key, MASS.check, f"house rules: {name}") if key in row else None

    step = amount(row, "display-step", MASS.check, f"house rules: {name}")
    capacity = amount(row, "capacity", MASS.check, f"house rules: {name}")
    return Balance(name, step, capacity, mass("sensitivity-requirement"), mass("minimum-weight"))
