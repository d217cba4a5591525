"""The weighing record: which lines a person at the bench fills in for each weighing, and in which order."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from pharmcalc.kinds import MASS, PERCENT
from pharmcalc.language import say, worded
from pharmcalc.sheets.weighings import Weighing, weighings
from pharmcalc.tasks.family import Task

__all__ = ["AFTER", "BEFORE", "GROUPS", "Group", "Line", "Record", "record_of"]


@worded("label")
@dataclass(frozen=True)
class Line:
    """One line of the record: what is written, then boxes to tick, or words with room behind them."""

    label: str
    boxes: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()
    tall: bool = False


@worded("title")
@dataclass(frozen=True)
class Group:
    """Lines that belong together; ``ranged`` where the allowed range is among them and is explained."""

    title: str
    lines: tuple[Line, ...]
    ranged: bool = False


BEFORE = (
    "calibration status in date",
    "balance clean",
    "warmed up",
    "draught shield closed",
    "daily check weight in the log",
)
"""What is looked at once, before the first weighing."""

GROUPS = (
    Group(
        "From the label",
        (
            Line("Product and its salt form", tall=True),
            Line("Grade"),
            Line("Lot"),
            Line("Expiry or beyond-use date"),
            Line("Label checked against the order, three times", boxes=("taking", "weighing", "returning")),
            Line("Container closed again", boxes=("closed",)),
        ),
    ),
    Group(
        "Balance and tare",
        (
            Line("Balance"),
            Line("Made ready", boxes=("levelled", "zeroed")),
            Line("Vessel or paper, and its tare", blanks=("vessel", "tare")),
        ),
    ),
    Group(
        "Weighing",
        (
            Line("Target, from my plan"),
            Line("Allowed range", blanks=("from", "to")),
            Line("Reading as displayed, with its unit", tall=True),
            Line("Time and initials"),
            Line("Balance wiped down", boxes=("wiped down",)),
        ),
        ranged=True,
    ),
    Group(
        "Second person, working alone",
        (
            Line("Checked before it is used", boxes=("identity", "calculation", "weight")),
            Line("Time and initials"),
        ),
    ),
)
"""What is written for each weighing."""

AFTER = (
    Line("Discarded mixture", blanks=("amount", "how", "initials")),
    Line("Deviations, and what was done", tall=True),
    Line("Weighed by", blanks=("name", "signature", "date")),
    Line("Second person", blanks=("name", "signature", "date")),
    Line("Assessor who watched", blanks=("name", "signature", "date")),
)
"""What closes the record."""


@dataclass(frozen=True)
class Record:
    """The weighing record of one task."""

    task: Task
    weighings: tuple[Weighing, ...]

    @property
    def how_to(self) -> str:
        """Say how the allowed range is found and how it is written on this balance's display."""
        allowed = PERCENT.show(self.task.house.allowed_error)
        says = say(
            "Allowed range: from your target less {allowed} of it to your target plus {allowed} of it.", allowed=allowed
        )
        if self.task.limits is None:
            return says
        step = MASS.show(self.task.limits.display_step)
        steps = say("The display steps by {step}: round the lower limit up and the upper limit down.", step=step)
        return f"{says} {steps}"

    def tables(self, columns: int) -> Iterator[Sequence[tuple[int, Weighing]]]:
        """Yield the weighings, each with its number, in as few tables as the columns allow, about as many in each."""
        numbered = list(enumerate(self.weighings, 1))
        width = ceil(len(numbered) / ceil(len(numbered) / columns))
        for first in range(0, len(numbered), width):
            yield numbered[first : first + width]


def record_of(task: Task) -> Record | None:
    """Return the weighing record of a task, or None where nothing is weighed."""
    found = tuple(weighings(task))
    return Record(task, found) if found else None
