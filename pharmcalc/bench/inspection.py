"""What an inspector would write down about a session: for each step of the routine, how it was done."""

from collections.abc import Callable
from dataclasses import dataclass

from pharmcalc.bench.session import Session
from pharmcalc.bench.story import DONE, NOT_REACHED, Story
from pharmcalc.language import worded

__all__ = ["DONE", "NOT_REACHED", "OUTCOME", "STEPS", "Finding", "Step", "inspect"]

OUTCOME = "outcome"


@worded("said", "lesson")
@dataclass(frozen=True)
class Finding:
    """What may be found at a step: an id, the words for it, why it matters, and whether it is dangerous."""

    id: str
    said: str
    lesson: str = ""
    critical: bool = False


@worded("label", "well_done")
@dataclass(frozen=True)
class Step:
    """One step of the routine.

    Its name, its label, when it is done, its marks, how it is looked for, and what may be found amiss.
    """

    name: str
    label: str
    well_done: str
    marks: int
    found: Callable[[Story], str]
    faults: tuple[Finding, ...]


_EMPTY = Finding(NOT_REACHED, "not reached", "The work did not come this far.")

STEPS = (
    Step(
        OUTCOME,
        "go ahead or stop",
        "Weighed, checked and signed",
        2,
        Story.outcome,
        (
            Finding("weighed", "weighed and signed", "Something here had to be settled first: stop and ask.", True),
            Finding(
                "signed-without-reading",
                "signed, and no powder was read",
                "A signature says that powder was weighed and read. Never sign for what was not done.",
                True,
            ),
            Finding(
                "stopped-hazardous-drug",
                "stopped: hazardous drug",
                "To ask is never wrong; but no label here speaks of a hazard.",
            ),
            Finding(
                "stopped-no-balance-can-weigh-it",
                "stopped: no balance can weigh it",
                "One of the balances may weigh this amount: compare it with their least weighable quantities.",
            ),
            Finding(
                "stopped-no-jar-is-right",
                "stopped: no jar is right",
                "Read every label word by word: name and form, grade, expiry.",
            ),
            Finding("unfinished", "not finished", "A weighing ends with a signature, or with a reason to stop."),
        ),
    ),
    Step(
        "balance",
        "balance",
        "The amount is neither below its least weighable quantity nor above its capacity",
        2,
        Story.balance,
        (
            _EMPTY,
            Finding(
                "balance-not-fit",
                "a balance that may not weigh this amount",
                "Compare the amount with its least weighable quantity and its capacity before you begin.",
            ),
        ),
    ),
    Step(
        "level",
        "level",
        "The bubble is in its ring before anything is zeroed, and stays there",
        1,
        Story.level,
        (
            _EMPTY,
            Finding("not-level", "not level", "Bring the bubble into its ring first: a tilted balance reads wrong."),
        ),
    ),
    Step(
        "warm_up",
        "warm-up",
        "Half an hour after it was switched on, or as its maker says",
        1,
        Story.warm_up,
        (_EMPTY, Finding("cold", "zero set on a cold balance", "While it warms up the zero creeps away.")),
    ),
    Step(
        "zero",
        "zero",
        "Empty pan, shield closed, display at rest",
        1,
        Story.zero,
        (
            Finding("not-zeroed", "not zeroed before the powder", "Begin from zero with an empty pan."),
            Finding(
                "zero-unsteady",
                "zero set before the display had come to rest",
                "Close the draught shield, wait until it rests, then zero.",
            ),
        ),
    ),
    Step(
        "vessel",
        "vessel",
        "It holds the amount, and not a hundred times as much",
        1,
        Story.vessel,
        (
            _EMPTY,
            Finding("vessel-too-small", "a vessel that is too small", "Powder that falls beside it is lost."),
            Finding(
                "vessel-too-large",
                "a vessel that is far too large",
                "Much of a small amount stays on its walls, and its weight uses up the capacity.",
            ),
        ),
    ),
    Step(
        "tare",
        "tare",
        "The vessel on the pan, shield closed, display at rest, no powder yet",
        1,
        Story.tare,
        (
            _EMPTY,
            Finding("not-tared", "not tared", "Take the vessel off the reading before powder goes in.", True),
            Finding(
                "tare-unsteady",
                "tared before the display had come to rest",
                "Close the draught shield, wait until it rests, then tare.",
            ),
            Finding(
                "tared-again",
                "tared again with powder in the vessel",
                "What lay in the vessel then is no longer in the reading.",
                True,
            ),
        ),
    ),
    Step(
        "product",
        "product",
        "Name, form and grade as ordered, and in date",
        2,
        Story.product,
        (
            _EMPTY,
            Finding(
                "another-form",
                "another product or form",
                "The same mass of another salt or hydrate holds another amount of drug.",
                True,
            ),
            Finding("another-grade", "another grade", "The order names the grade; another may not be used.", True),
            Finding("expired", "past its expiry date", "What is past its expiry date is not used.", True),
            Finding("mixed-up", "powder from two jars", "Two jars in one vessel: what it holds nobody knows.", True),
        ),
    ),
    Step(
        "label",
        "label",
        "Read it when you take the jar, and again when the powder is weighed",
        1,
        Story.label,
        (
            _EMPTY,
            Finding(
                "label-once",
                "label not read both before opening and after weighing",
                "Compare it with the order when you take the jar and again when you put it away.",
            ),
            Finding("label-never", "label not read", "Most mix-ups are two jars that look alike."),
        ),
    ),
    Step(
        "amount",
        "amount",
        "The reading is within the allowed error, and the vessel holds what the display says",
        2,
        Story.amount,
        (
            _EMPTY,
            Finding("outside", "reading outside the allowed range", "Add or take out until it is within."),
            Finding(
                "untrue",
                "the vessel holds something else than the display said",
                "The reading looked right. Look for what went before it: level, warm-up, zero, tare, rest.",
            ),
            Finding("half-or-double", "half or double the amount, or worse", "This must never leave the bench.", True),
        ),
    ),
    Step(
        "reading",
        "reading",
        "Shield closed, display at rest, nothing changed afterwards",
        1,
        Story.read,
        (
            Finding("not-read", "no reading of the powder", "What is not read and written down was not weighed."),
            Finding("changed-after-reading", "powder changed after the last reading", "Read again after every change."),
            Finding("shield-open", "read with the draught shield open", "A draught shakes the reading: close it."),
            Finding("read-too-soon", "read before the display had come to rest", "Wait a few seconds, then read."),
        ),
    ),
    Step(
        "excess",
        "excess powder",
        "As the house rules say",
        1,
        Story.excess,
        (
            _EMPTY,
            Finding(
                "excess-against-the-rule",
                "excess powder not treated as the house rules say",
                "Good practice does not return powder to the jar; your house rules decide.",
            ),
            Finding("excess-left", "excess powder left on the spatula", "Say where it goes."),
        ),
    ),
    Step(
        "closing",
        "closed and clean",
        "Jar closed and back on the shelf, pan and spatula wiped",
        1,
        Story.closing,
        (
            _EMPTY,
            Finding("jar-left", "the jar was left out", "Close it, read its label, put it back."),
            Finding("not-wiped", "not wiped down", "The next person weighs your residue."),
        ),
    ),
    Step(
        "record",
        "record",
        "Lot and expiry from the label, the allowed range, the reading as displayed",
        2,
        Story.record,
        (
            _EMPTY,
            Finding("record-incomplete", "record not complete", "Every line of it is needed to prove the weighing."),
            Finding("record-label-wrong", "lot or expiry not as on the label", "Copy them from the jar in your hand."),
            Finding("record-range-wrong", "allowed range not right", "Target less and plus the allowed error."),
            Finding("record-reading-wrong", "another reading than the display's last", "Write what the display shows."),
        ),
    ),
    Step(
        "second_check",
        "second check",
        "After the reading and the record, before the signature",
        1,
        Story.second_check,
        (
            Finding("not-checked", "no second check", "A second person verifies product, calculation and weight."),
            Finding(
                "checked-too-soon",
                "second check before reading and record were there",
                "There must be something to check: read and write first.",
            ),
        ),
    ),
)
"""The routine as this course teaches it: customary steps, common practice without one published source."""


def inspect(session: Session) -> dict[str, str]:
    """Return for each step what was found: ``done``, the id of a fault, or for the outcome how the work ended."""
    story = Story(session)
    return {step.name: step.found(story) for step in STEPS}
