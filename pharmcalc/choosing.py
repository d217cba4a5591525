"""Which of the things on the shelf may be used, and why the others may not: verdicts with plain reasons.

The same few words serve balances, vessels and accuracy classes. A candidate is refused by every rule it breaks, each
with a stable id for programs and a sentence for people; a candidate without a reason against it may be used.
"""

from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from pharmcalc.units import Quantity

__all__ = ["Choice", "Reason", "Verdict"]


class Named(Protocol):
    """Anything that can be pointed at by name."""

    @property
    def name(self) -> str:
        """What people call it."""
        ...


Candidate = TypeVar("Candidate", bound=Named)


@dataclass(frozen=True)
class Reason:
    """One rule that a candidate breaks: a stable id, and a sentence that says so with the numbers."""

    id: str
    says: str


@dataclass(frozen=True)
class Verdict(Generic[Candidate]):
    """One candidate, every reason against it, and the largest percentage of error it would bring (None: not known)."""

    candidate: Candidate
    reasons: tuple[Reason, ...]
    error: Quantity | None = None

    @property
    def allowed(self) -> bool:
        """Say whether nothing speaks against this candidate."""
        return not self.reasons

    @property
    def says(self) -> str:
        """The verdict on one line: ``Balance 1: yes.`` or ``Balance 2: no. 50 mg is below ...``."""
        answer = ("yes.",) if self.allowed else ("no.", *(reason.says for reason in self.reasons))
        return f"{self.candidate.name}: {' '.join(answer)}"


@dataclass(frozen=True)
class Choice(Generic[Candidate]):
    """The verdicts on all candidates, in the order they were given."""

    verdicts: tuple[Verdict[Candidate], ...]

    @property
    def allowed(self) -> tuple[Candidate, ...]:
        """The candidates that may be used."""
        return tuple(verdict.candidate for verdict in self.verdicts if verdict.allowed)

    @property
    def refused(self) -> tuple[Verdict[Candidate], ...]:
        """The verdicts on the candidates that may not be used."""
        return tuple(verdict for verdict in self.verdicts if not verdict.allowed)

    @property
    def best(self) -> Candidate | None:
        """The allowed candidate with the smallest percentage of error (the first of equals), or None."""
        usable = [
            (verdict.error, verdict) for verdict in self.verdicts if verdict.allowed and verdict.error is not None
        ]
        if not usable:
            return next(iter(self.allowed), None)
        smallest = min(error for error, _ in usable)
        return next(verdict.candidate for error, verdict in usable if error == smallest)

    def text(self) -> str:
        """Write all verdicts as plain text, one candidate a line."""
        return "\n".join(verdict.says for verdict in self.verdicts)
