"""What the competency record is made of: eight competencies, three levels, entries, and what holds of them now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from pharmcalc.errors import CourseError

__all__ = [
    "HOW",
    "LEVELS",
    "MARKED",
    "NEVER_COUNTS",
    "OBSERVED",
    "SIMULATED",
    "WITHDRAWN",
    "Competency",
    "Entry",
    "competency_called",
    "level_called",
    "replacements",
    "standing",
]


class Competency(StrEnum):
    """What a student shows in the lab; the value is its name in words."""

    CALCULATION = "calculation cleared"
    SET_UP = "set-up and tare"
    DIRECT = "direct weighing"
    SOLID = "solid aliquot"
    LIQUID = "liquid aliquot"
    RECORD = "record"
    GIVEN = "second check given"
    RECEIVED = "second check received"


LEVELS = ("not yet", "prompted", "independent")
#: In the place of a level: the entry that it corrects should never have been made, and nothing stands in its place.
WITHDRAWN = "withdrawn"

OBSERVED, SIMULATED, MARKED = "observed", "simulated", "marked"
NEVER_COUNTS = "A simulated weighing is practice. It never counts as an observed one."
HOW: Mapping[str, str] = {
    OBSERVED: "observed",
    SIMULATED: "SIMULATED: practice only, ticks nothing",
    MARKED: "marked calculation: neither observed nor simulated",
}
"""How an entry came about, in the words of pages."""


@dataclass(frozen=True)
class Entry:
    """One entry about a student and a competency.

    ``entry`` is its number in the list, 0 for what the marking knows by itself. ``instead_of`` is the entry that it
    corrects, ``because`` says why. ``on`` is the day, ``written`` when it was written down. ``assignment`` is where the
    marking knows it from; an assessor's entry has none.
    """

    entry: int
    on: str
    number: str
    competency: Competency
    attempt: int
    how: str
    level: str
    by: str
    note: str = ""
    instead_of: int = 0
    because: str = ""
    written: str = ""
    assignment: str = ""

    @property
    def counts(self) -> bool:
        """Whether it can tick anything off: only what somebody observed at a level."""
        return self.how == OBSERVED and self.level in LEVELS

    def says(self) -> str:
        """Say it in one line."""
        name = f"entry {self.entry} · " if self.entry else ""
        line = f"{name}{self.on} · attempt {self.attempt} · {HOW[self.how]} · {self.level} · {self.by}"
        return f"{line}: {self.note}" if self.note else line


def replacements(entries: Iterable[Entry]) -> dict[int, Entry]:
    """Return the entries that correct another one, by the number of the one they stand in the place of."""
    return {one.instead_of: one for one in entries if one.instead_of and one.how == OBSERVED}


def standing(entries: Iterable[Entry]) -> dict[tuple[str, Competency], Entry]:
    """Return what holds now for a student and a competency: the newest observed entry that nobody corrected.

    Where there is none, nothing was observed yet. Neither a simulated entry nor a marked calculation is ever returned.
    """
    entries = list(entries)
    replaced = replacements(entries)
    counting = (one for one in entries if one.counts and one.entry not in replaced)
    return {(one.number, one.competency): one for one in sorted(counting, key=lambda one: (one.on, one.entry))}


def competency_called(text: str) -> Competency:
    """Return the competency that a text names; the beginning of it, or of one of its later words, is enough.

    >>> competency_called("direct").value, competency_called("setup").value, competency_called("given").value
    ('direct weighing', 'set-up and tare', 'second check given')
    """
    return Competency(_called(text, list(Competency), "competency"))


def level_called(text: str) -> str:
    """Return the level that a text names, by its beginning.

    >>> level_called("ind"), level_called("not-yet")
    ('independent', 'not yet')
    """
    return _called(text, [*LEVELS, WITHDRAWN], "level")


def _called(text: str, names: list[str] | list[Competency], what: str) -> str:
    wanted = _letters(text)
    if not wanted:
        raise CourseError(f"No {what} is written. There are: {', '.join(names)}.")
    found = [name for name in names if _letters(name).startswith(wanted)]
    found = found or [name for name in names if any(tail.startswith(wanted) for tail in _tails(name))]
    if not found:
        raise CourseError(f'"{text[:40]}" is no {what}. There are: {", ".join(names)}.')
    if len(found) > 1:
        raise CourseError(f'"{text[:40]}" may be {" or ".join(found)}. Write more of it.')
    return found[0]


def _letters(text: str) -> str:
    return "".join(sign for sign in text.casefold() if sign.isalnum())


def _tails(name: str) -> list[str]:
    words = name.replace("-", " ").split()
    return [_letters("".join(words[place:])) for place in range(len(words))]
