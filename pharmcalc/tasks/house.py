"""House rules: what this lab allows, read from one small file that the instructor edits."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from importlib.resources import files
from typing import Any

from pharmcalc.aliquots import Limits
from pharmcalc.balances import least_weighable_quantity
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS, PERCENT
from pharmcalc.units import Quantity

__all__ = ["Balance", "HouseRules", "default_house_rules_text", "read_house_rules"]

_MULTIPLES = ("whole", "any")
_ROUNDINGS = ("half up", "half even")
_KEYS = ("allowed-error", "multiple-factor", "diluent-checked", "rounding", "extra-units-for-loss", "balance")
_BALANCE_KEYS = ("name", "sensitivity-requirement", "minimum-weight", "display-step", "capacity")
LONGEST_FILE = 20_000
MOST_BALANCES = 20


@dataclass(frozen=True)
class Balance:
    """One balance of the lab. Either its sensitivity requirement or a stated minimum weight is known."""

    name: str
    display_step: Quantity
    capacity: Quantity
    sensitivity: Quantity | None = None
    stated_minimum: Quantity | None = None

    def least_weighable(self, allowed_error: Quantity) -> Quantity:
        """Return the smallest mass to weigh on it: the stated minimum weight, else from the sensitivity requirement."""
        if self.stated_minimum is not None:
            return self.stated_minimum
        return least_weighable_quantity(sensitivity=self.sensitivity or self.display_step, allowed_error=allowed_error)

    def error_at_most(self, allowed_error: Quantity) -> Quantity:
        """Return what it may be off by, either way: the sensitivity requirement, or what the stated minimum implies."""
        return self.least_weighable(allowed_error) * allowed_error.to_base_units()

    def summary(self) -> str:
        """Return the balance in one line, as it stands on a paper."""
        known = f"sensitivity requirement {MASS.show(self.sensitivity)}" if self.sensitivity else ""
        stated = f"stated minimum weight {MASS.show(self.stated_minimum)}" if self.stated_minimum else ""
        said = ", ".join(part for part in (known, stated) if part)
        return f"{said}, display step {MASS.show(self.display_step)}, capacity {MASS.show(self.capacity)}"


@dataclass(frozen=True)
class HouseRules:
    """The rules of one course; ``text`` is the file they were read from."""

    allowed_error: Quantity
    balances: tuple[Balance, ...]
    whole_multiple: bool
    diluent_checked: bool
    rounding: str
    extra_units: int
    text: str

    def limits(self, balance: Balance, final_quantity: Quantity | None = None) -> Limits:
        """Return what an aliquot plan on this balance must keep."""
        least = balance.least_weighable(self.allowed_error)
        return Limits(
            least,
            balance.display_step,
            balance.capacity,
            self.diluent_checked,
            self.whole_multiple,
            final_quantity,
        )

    def summary(self) -> list[tuple[str, str]]:
        """Return the rules as (what, value), in the order they are printed on a paper."""
        diluent = "must reach the least weighable quantity" if self.diluent_checked else "may be any amount"
        multiple = "any whole number that is large enough" if self.whole_multiple else "any number that is large enough"
        return [
            ("Allowed error of one weighing", PERCENT.show(self.allowed_error)),
            ("Multiple factor", multiple),
            ("Diluent", diluent),
            ("Rounding of ties", self.rounding),
            ("Extra units for loss", str(self.extra_units)),
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
    text = default_house_rules_text() if text is None or not text.strip() else text
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
    _only_known(table, _KEYS, "house rules")
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
    allowed = _amount(table, "allowed-error", PERCENT.check)
    if not 0 < allowed.to_base_units().magnitude <= Fraction(1, 2):
        raise RefusedError(
            "house rules: allowed-error",
            f"it was {PERCENT.show(allowed)}.",
            'Write a percentage above 0 % and up to 50 %, such as "5 %".',
        )
    return HouseRules(
        allowed_error=allowed,
        balances=tuple(_balance(row, number) for number, row in enumerate(rows, 1)),
        whole_multiple=_one_of(table, "multiple-factor", _MULTIPLES) == "whole",
        diluent_checked=_yes_or_no(table, "diluent-checked"),
        rounding=_one_of(table, "rounding", _ROUNDINGS),
        extra_units=_count(table, "extra-units-for-loss"),
        text=text,
    )


def _balance(row: Mapping[str, Any], number: int) -> Balance:
    where = f"house rules: balance {number}"
    _only_known(row, _BALANCE_KEYS, where)
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
        return _amount(row, key, MASS.check, f"house rules: {name}") if key in row else None

    step = _amount(row, "display-step", MASS.check, f"house rules: {name}")
    capacity = _amount(row, "capacity", MASS.check, f"house rules: {name}")
    return Balance(name, step, capacity, mass("sensitivity-requirement"), mass("minimum-weight"))


def _only_known(table: Mapping[str, Any], known: tuple[str, ...], where: str) -> None:
    for key in table:
        if key not in known:
            raise RefusedError(
                where, f'"{key[:40]}" is not one of the entries.', f"The entries are: {', '.join(known)}."
            )


def _amount(table: Mapping[str, Any], key: str, check: Any, where: str = "house rules") -> Quantity:
    value = table.get(key)
    if not isinstance(value, str):
        raise RefusedError(
            f"{where}: {key}", f"it was {value!r}.", "Write a number and a unit between quotation marks."
        )
    checked: Quantity = check(f"{where}: {key}", value)
    return checked


def _one_of(table: Mapping[str, Any], key: str, allowed: tuple[str, ...]) -> str:
    value = table.get(key)
    if value not in allowed:
        choices = " or ".join(f'"{word}"' for word in allowed)
        raise RefusedError(f"house rules: {key}", f"it was {value!r}.", f"Write {choices}.")
    return str(value)


def _yes_or_no(table: Mapping[str, Any], key: str) -> bool:
    value = table.get(key)
    if not isinstance(value, bool):
        raise RefusedError(f"house rules: {key}", f"it was {value!r}.", "Write true or false, without quotation marks.")
    return value


def _count(table: Mapping[str, Any], key: str) -> int:
    value = table.get(key)
    if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value <= 100:
        raise RefusedError(
            f"house rules: {key}",
            f"it was {value!r}.",
            "Write a whole number from 0 to 100, without quotation marks.",
        )
    return value
