"""Orders of an instructor's own, written in the house rules' file: what is wanted, without a line of Python.

An order of units (capsules, powders) gives the dose, the number of units and what each weighs; an order by strength
gives the strength and the amount. A list of values lets each student draw one of them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS, PERCENT_WV, PERCENT_WW, VOLUME, Kind
from pharmcalc.tasks.entries import amount, count, only_known
from pharmcalc.units import Quantity

__all__ = ["Order", "read_orders"]

MOST_ORDERS = 50
MOST_VALUES = 50
_SHARED = ("name", "drug")
_OF_UNITS = ("dose", "units", "unit-weight", "diluent")
_BY_STRENGTH = ("strength", "amount")


@dataclass(frozen=True)
class Order:
    """One order. Either ``doses``, ``units`` and ``unit_weights`` are there, or ``strengths`` and ``amounts``.

    ``basis`` of the strengths is w/w (amounts are masses) or w/v (volumes).
    """

    name: str
    drug: str
    doses: tuple[Quantity, ...] = ()
    units: tuple[int, ...] = ()
    unit_weights: tuple[Quantity, ...] = ()
    diluent: str = "lactose"
    strengths: tuple[Quantity, ...] = ()
    amounts: tuple[Quantity, ...] = ()
    basis: str = ""


def read_orders(table: Mapping[str, Any]) -> tuple[Order, ...]:
    """Read the orders of a house rules' file; RefusedError names the order, the entry and what may stand there."""
    rows = table.get("order", [])
    if not isinstance(rows, list) or len(rows) > MOST_ORDERS or not all(isinstance(row, dict) for row in rows):
        raise RefusedError(
            "house rules: order", f"there may be up to {MOST_ORDERS} orders.", "Begin each with a line [[order]]."
        )
    return tuple(_order(row, number) for number, row in enumerate(rows, 1))


def _order(row: Mapping[str, Any], number: int) -> Order:
    where = f"house rules: order {number}"
    name, drug = (_words(row, key, where) for key in _SHARED)
    where = f"house rules: {name}"
    if "strength" in row:
        only_known(row, (*_SHARED, *_BY_STRENGTH), where)
        basis = "w/v" if "w/v" in str(row["strength"]) else "w/w"
        of, made = (PERCENT_WV, VOLUME) if basis == "w/v" else (PERCENT_WW, MASS)
        return Order(
            name,
            drug,
            strengths=_each(row, "strength", of, where),
            amounts=_each(row, "amount", made, where),
            basis=basis,
        )
    only_known(row, (*_SHARED, *_OF_UNITS), where)
    units = tuple(count({"units": value}, "units", where) for value in _values(row, "units", where))
    if min(units) < 1:
        raise RefusedError(f"{where}: units", "there must be at least 1.", "Write a whole number from 1 to 100.")
    diluent = _words(row, "diluent", where) if "diluent" in row else "lactose"
    return Order(name, drug, _each(row, "dose", MASS, where), units, _each(row, "unit-weight", MASS, where), diluent)


def _words(row: Mapping[str, Any], key: str, where: str) -> str:
    text = row.get(key)
    if not isinstance(text, str) or not 1 <= len(text.strip()) <= 60 or "{" in text:
        raise RefusedError(
            f"{where}: {key}", f"it was {str(text)[:80]!r}.", f'Write a line such as {key} = "...", up to 60 letters.'
        )
    return text.strip()


def _values(row: Mapping[str, Any], key: str, where: str) -> list[Any]:
    given = row.get(key)
    values = given if isinstance(given, list) else [given]
    if not 1 <= len(values) <= MOST_VALUES:
        raise RefusedError(f"{where}: {key}", "the list is empty or far too long.", f"Write 1 to {MOST_VALUES} values.")
    return values


def _each(row: Mapping[str, Any], key: str, kind: Kind, where: str) -> tuple[Quantity, ...]:
    return tuple(amount({key: value}, key, kind.check, where) for value in _values(row, key, where))
