"""Whose paper is printed: one sheet for each line of the class list, in its order."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

from pharmcalc.language import using
from pharmcalc.sheets.printing import one_line
from pharmcalc.tasks.papers import Issue, Paper

__all__ = ["Person", "Sheet", "sheets_for"]


class Person(Protocol):
    """What a line of the class list tells about a student."""

    @property
    def number(self) -> str:
        """The number that the student's paper is drawn for."""

    @property
    def surname(self) -> str:
        """The family name."""

    @property
    def given_name(self) -> str:
        """The given name; it may be empty."""


@dataclass(frozen=True)
class Sheet:
    """A student's paper as it is printed; ``anchor`` names its place on the page."""

    anchor: str
    number: str
    name: str
    paper: Paper


def sheets_for(issue: Issue, roster: Iterable[Person], attempt: int = 1) -> list[Sheet]:
    """Return a sheet for every student on the class list, each with the student's own numbers."""
    return [
        Sheet(f"s{place}", one_line(person.number), _name(person), _paper(issue, person.number, attempt))
        for place, person in enumerate(roster, 1)
    ]


@lru_cache(maxsize=500)
def _paper(issue: Issue, number: str, attempt: int) -> Paper:
    """Draw a paper once for the sheet and for its key: drawing takes most of the time."""
    with using(issue.house.habits):
        return issue.paper(number, attempt)


def _name(person: Person) -> str:
    return ", ".join(filter(None, (one_line(person.surname), one_line(person.given_name))))
