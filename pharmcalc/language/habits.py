"""Habits of reading and writing: the language, the decimal mark and the spelling of units; and which are in use."""

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from pharmcalc.errors import RefusedError

__all__ = [
    "DECIMAL_MARKS", "ENGLISH", "LANGUAGES", "LITRES", "MICROGRAMS", "NEUTRAL", "POINT", "Habits", "habits", "use",
    "using",
]  # fmt: skip

ENGLISH = "en"
LANGUAGES = {ENGLISH: "English", "de": "Deutsch"}
"""The languages there are, each by its own name."""
POINT, COMMA = "point", "comma"
DECIMAL_MARKS = {POINT: ".", COMMA: ","}
MICROGRAMS = ("microgram", "mcg", "µg")
"""Written out is safest by hand; many laboratories write one of the others."""
LITRES = ("L", "l")


def _one_of(name: str, given: str, known: Collection[str]) -> None:
    if given not in known:
        raise RefusedError(name, f'it was "{given}".', f"Write one of: {', '.join(known)}.")


@dataclass(frozen=True)
class Habits:
    """How one course reads and writes: ``language`` and ``decimal_mark`` by name, two units by their spelling."""

    language: str = ENGLISH
    decimal_mark: str = POINT
    microgram: str = MICROGRAMS[0]
    litre: str = LITRES[0]

    def __post_init__(self) -> None:
        """Refuse what is not known."""
        _one_of("language", self.language, LANGUAGES)
        _one_of("decimal-mark", self.decimal_mark, DECIMAL_MARKS)
        _one_of("microgram-written", self.microgram, MICROGRAMS)
        _one_of("litre-written", self.litre, LITRES)


NEUTRAL = Habits()
"""English, a decimal point, units as in this library's own texts: what files are written and read in."""

_in_use: list[Habits] = [NEUTRAL]


def habits() -> Habits:
    """Return the habits in use."""
    return _in_use[-1]


def use(chosen: Habits) -> None:
    """Take up habits for the rest of this process, as a notebook does whose house rules name them."""
    _in_use[-1] = chosen


@contextmanager
def using(chosen: Habits) -> Iterator[None]:
    """Take up habits for a while, as the marking of one class does."""
    _in_use.append(chosen)
    try:
        yield
    finally:
        _in_use.pop()
