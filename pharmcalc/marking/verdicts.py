"""Verdicts: what each answer turned out to be, what it earns, and the mark of a whole task."""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from pharmcalc.aliquots import Rule
from pharmcalc.answers import AnswerLine, AnswerSheet
from pharmcalc.bench.inspection import NOT_REACHED
from pharmcalc.clearance import Clearance
from pharmcalc.formula import Mistake, Values
from pharmcalc.language import later, say
from pharmcalc.tasks.asked import Asked, Decision, Finding, Option, Question
from pharmcalc.tasks.bench_orders import NOT_NEEDED
from pharmcalc.tasks.family import Task
from pharmcalc.units import Quantity

__all__ = ["SHARE", "DecisionVerdict", "Judged", "Status", "TaskMark", "Verdict"]


class Status(Enum):
    """What an answer turned out to be; the value is how a mark sheet says it."""

    RIGHT = "right"
    FOLLOWS = later("right from an earlier number")
    ARITHMETIC = later("set-up right, arithmetic slip")
    COARSE = later("rounded too far")
    ROUNDED = later("rounded the wrong way")
    NEARLY = later("close: rounded on the way")
    UNIT = later("right number, wrong unit")
    POWER = later("off by a power of ten")
    ESTIMATE = later("another power of ten than the real one")
    MISTAKE = later("mistake recognised")
    DECIDED = later("another decision is right")
    RULE = later("breaks a rule")
    BASIS = later("another kind of percentage")
    UNRECOGNISED = later("not recognised")
    UNREADABLE = later("could not be read")
    MISSING = later("not answered")


UNDONE = (NOT_NEEDED.id, NOT_REACHED)
SHARE = {Status.RIGHT: Fraction(1), Status.FOLLOWS: Fraction(1)} | dict.fromkeys(
    (Status.ARITHMETIC, Status.COARSE, Status.ROUNDED, Status.NEARLY, Status.UNIT), Fraction(1, 2)
)
"""The part of an answer's marks that each status earns; every other status earns nothing."""


@dataclass(frozen=True)
class Judged:
    """What an answer turned out to be, an amount or a decision."""

    asked: Question
    line: AnswerLine
    status: Status

    @property
    def label(self) -> str:
        """The words of the answer."""
        return self.asked.said

    @property
    def out_of(self) -> int:
        """The marks it could earn."""
        return self.asked.marks

    @property
    def marks(self) -> Fraction:
        """The marks it earns."""
        return self.out_of * SHARE.get(self.status, Fraction(0))

    @property
    def earned(self) -> bool:
        """Whether it earns all its marks."""
        return self.status in (Status.RIGHT, Status.FOLLOWS)

    @property
    def mistake_id(self) -> str:
        """The stable id of the mistake, broken rule or wrong decision, or an empty text."""
        return ""

    @property
    def mistake_name(self) -> str:
        """The mistake, broken rule or wrong decision in words, or an empty text."""
        return ""

    def as_record(self) -> dict[str, object]:
        """Return the verdict as plain data, for reports."""
        return {
            "answer": self.label,
            "typed": self.line.text,
            "marks": float(self.marks),
            "out_of": self.out_of,
            "status": self.status.value,
            "mistake": self.mistake_id,
            "mistake_name": self.mistake_name,
        }


@dataclass(frozen=True)
class Verdict(Judged):
    """The verdict on one amount.

    ``right`` is the value that this student's own numbers lead to (for a free choice: one that would do); ``values``
    are the numbers it was judged on. ``mistake``, ``rule`` and ``not_gone_on`` (why the later answers were not judged
    on this one) are set where they apply.
    """

    asked: Asked
    right: Quantity
    values: Values
    mistake: Mistake | None = None
    mistake_values: Values | None = None
    rule: Rule | None = None
    not_gone_on: str = ""

    @property
    def mistake_id(self) -> str:
        """The stable id of the mistake or broken rule, or an empty text."""
        return self.mistake.id if self.mistake else (self.rule.id if self.rule else "")

    @property
    def mistake_name(self) -> str:
        """The mistake or broken rule in words, or an empty text."""
        return self.mistake.name if self.mistake else (self.rule.says if self.rule else "")


@dataclass(frozen=True)
class DecisionVerdict(Judged):
    """The verdict on one decision.

    ``rights`` are the options that this student's own numbers lead to; ``why`` says why the true ones are right;
    ``unsafe`` is set where what was chosen is wrong on the true numbers.
    """

    asked: Decision
    rights: tuple[Option, ...]
    why: str
    unsafe: bool

    @property
    def undone(self) -> bool:
        """Whether this is a step at the bench that the work did not come to: it is no fault by itself."""
        chosen = self.line.chosen
        return isinstance(self.asked, Finding) and chosen is not None and chosen.id in UNDONE

    @property
    def mistake_id(self) -> str:
        """The stable id of a wrong decision: what was asked and what was chosen."""
        chosen = self.line.chosen
        return f"{self.asked.name}-{chosen.id}" if chosen and self.status is Status.DECIDED else ""

    @property
    def mistake_name(self) -> str:
        """A wrong decision in words."""
        chosen = self.line.chosen
        if chosen is None or not self.mistake_id:
            return ""
        if isinstance(self.asked, Finding):
            return say("At the bench, {step}: {found}", step=self.asked.said, found=chosen.said)
        return say('Decided "{said}"', said=chosen.said)


@dataclass(frozen=True)
class TaskMark:
    """The marks, the verdicts and the clearance of one task."""

    task: Task
    sheet: AnswerSheet
    verdicts: tuple[Judged, ...]
    clearance: Clearance
    values: Values
    needs_eyes: str = ""

    @property
    def marks(self) -> Fraction:
        """The marks earned."""
        return sum((verdict.marks for verdict in self.verdicts), Fraction(0))

    @property
    def out_of(self) -> int:
        """The marks of the whole task."""
        return self.task.out_of

    @property
    def cleared(self) -> bool:
        """Whether the student may go to the balance with this task."""
        return self.clearance.cleared

    def as_record(self) -> dict[str, object]:
        """Return the mark as plain data, for reports."""
        return {
            "task": self.task.id,
            "family": self.task.family.id,
            "marks": float(self.marks),
            "out_of": self.out_of,
            "cleared": self.cleared,
            "critical": self.clearance.critical,
            "reasons": list(self.clearance.reasons),
            "mistakes": [verdict.mistake_id for verdict in self.verdicts if verdict.mistake_id],
            "verdicts": [verdict.as_record() for verdict in self.verdicts],
            "needs_eyes": self.needs_eyes,
        }
