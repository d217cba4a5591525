"""What became of each hand-in in a run over the class."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

__all__ = ["Outcome", "Run", "ignore"]


@dataclass(frozen=True)
class Outcome:
    """What became of one hand-in: ``marked``, ``unchanged`` (marked before) or ``failed`` with the reason."""

    number: str
    state: str
    reason: str = ""


@dataclass
class Run:
    """One run over the class."""

    outcomes: list[Outcome] = field(default_factory=list)
    backup: Path | None = None

    def count(self, *states: str) -> int:
        """Return how many hand-ins ended in one of these states."""
        return sum(outcome.state in states for outcome in self.outcomes)


def ignore(_: Outcome) -> None:
    """Watch nothing."""
