"""Entries of the house rules' file, each read strictly and refused in words."""

from collections.abc import Mapping
from typing import Any

from pharmcalc.errors import RefusedError
from pharmcalc.units import Quantity

__all__ = ["amount", "count", "one_of", "only_known", "yes_or_no"]


def only_known(table: Mapping[str, Any], known: tuple[str, ...], where: str) -> None:
    """Refuse an entry that is not one of those known."""
    for key in table:
        if key not in known:
            raise RefusedError(
                where, f'"{key[:40]}" is not one of the entries.', f"The entries are: {', '.join(known)}."
            )


def amount(table: Mapping[str, Any], key: str, check: Any, where: str = "house rules") -> Quantity:
    """Return an amount with its unit, as a kind checks it."""
    value = table.get(key)
    if not isinstance(value, str):
        raise RefusedError(
            f"{where}: {key}", f"it was {value!r}.", "Write a number and a unit between quotation marks."
        )
    checked: Quantity = check(f"{where}: {key}", value)
    return checked


def one_of(table: Mapping[str, Any], key: str, allowed: tuple[str, ...]) -> str:
    """Return one of a few words."""
    value = table.get(key)
    if value not in allowed:
        choices = " or ".join(f'"{word}"' for word in allowed)
        raise RefusedError(f"house rules: {key}", f"it was {value!r}.", f"Write {choices}.")
    return str(value)


def yes_or_no(table: Mapping[str, Any], key: str) -> bool:
    """Return true or false."""
    value = table.get(key)
    if not isinstance(value, bool):
        raise RefusedError(f"house rules: {key}", f"it was {value!r}.", "Write true or false, without quotation marks.")
    return value


def count(table: Mapping[str, Any], key: str, where: str = "house rules") -> int:
    """Return a whole number from 0 to 100."""
    value = table.get(key)
    if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value <= 100:
        raise RefusedError(
            f"{where}: {key}",
            f"it was {value!r}.",
            "Write a whole number from 0 to 100, without quotation marks.",
        )
    return value
