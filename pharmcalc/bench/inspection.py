"""What an inspector would write down about a session: for each step of the routine, how it was done.

An inspector looks at the order of things as well: a balance that is levelled after it was zeroed was not levelled.
"""

from collections.abc import Callable
from dataclasses import dataclass

from pharmcalc.bench.actions import FIELDS
from pharmcalc.bench.instrument import WARM_AFTER, Instrument
from pharmcalc.bench.session import Moment, Session
from pharmcalc.bench.state import instrument_of
from pharmcalc.bench.things import Order, micrograms, vessel_called
from pharmcalc.errors import ReadingError, RefusedError
from pharmcalc.kinds import MASS

__all__ = ["DONE", "OUTCOME", "STEPS", "Finding", "Step", "inspect"]

OUTCOME = "outcome"
DONE, NOT_REACHED = "done", "not-reached"


class _Story:
    """A session as an inspector reads it: the moments that matter, found once."""

    def __init__(self, session: Session) -> None:
        self.order: Order = session.order
        self.moments = session.since_begun()
        self.end = session.state
        self.powders = self._all("add")
        self.first_powder = self.powders[0].place if self.powders else len(session.moments) + 1
        self.changes = [m for m in self.moments if m.event.action in ("add", "take out")]
        self.readings = self._all("read")
        self.reading = self.readings[-1] if self.readings else None

    def _all(self, *actions: str) -> list[Moment]:
        return [moment for moment in self.moments if moment.event.action in actions]

    def last(self, *actions: str, before: int | None = None) -> Moment | None:
        """Return the last moment of some actions, before a place of the record."""
        found = [m for m in self._all(*actions) if before is None or m.place < before]
        return found[-1] if found else None

    def first(self, *actions: str, after: int = 0) -> Moment | None:
        """Return the first moment of some actions after a place of the record."""
        return next((m for m in self._all(*actions) if m.place > after), None)

    @property
    def weighed(self) -> bool:
        """Whether a reading was taken of powder that lay in the vessel."""
        return self.reading is not None and bool(self.powders) and self.reading.place > self.changes[-1].place

    def instrument(self, moment: Moment) -> Instrument:
        """Return the balance that a moment happened at."""
        found = instrument_of(self.order, moment.before)
        assert found is not None
        return found


def _outcome(story: _Story) -> str:
    if story.end.stopped:
        return f"stopped-{story.end.stopped.replace(' ', '-')}"
    return "weighed" if story.end.signed else "unfinished"


def _balance(story: _Story) -> str:
    chosen = story.last("use balance", before=story.first_powder)
    if chosen is None or not story.powders:
        return NOT_REACHED
    return DONE if chosen.event.what in story.order.fit_balances else "balance-not-fit"


def _level(story: _Story) -> str:
    zero = story.last("zero", "tare", before=story.first_powder)
    if zero is None or not story.powders:
        return NOT_REACHED
    turned = any(m.place > zero.place for m in story._all("turn"))
    return "not-level" if zero.after.tilt or turned else DONE


def _warm(story: _Story) -> str:
    zero = story.last("zero", "tare", before=story.first_powder)
    if zero is None or not story.powders:
        return NOT_REACHED
    return DONE if zero.after.warm_for() >= WARM_AFTER else "cold"


def _zero(story: _Story) -> str:
    zero = story.last("zero", before=story.first_powder)
    if zero is None:
        return "not-zeroed"
    return DONE if zero.shown.steady else "zero-unsteady"


def _vessel(story: _Story) -> str:
    if not story.powders:
        return NOT_REACHED
    vessel = vessel_called(story.powders[-1].after.vessel)
    if vessel.holds < micrograms(story.order.target):
        return "vessel-too-small"
    return DONE if story.order.fits(vessel) else "vessel-too-large"


def _tare(story: _Story) -> str:
    if not story.powders:
        return NOT_REACHED
    tare = story.last("tare", before=story.first_powder)
    put = story.last("put on", before=story.first_powder)
    if tare is None or put is None or tare.place < put.place or tare.before.vessel == "":
        return "not-tared"
    later = [m for m in story._all("tare", "zero") if m.place > story.first_powder]
    if later:
        return "tared-again"
    return DONE if tare.shown.steady else "tare-unsteady"


def _product(story: _Story) -> str:
    if not story.powders:
        return NOT_REACHED
    used = {letter for m in story.powders for letter, amount in m.after.powder if amount}
    if len(used) > 1:
        return "mixed-up"
    return story.order.what_is_wrong(story.order.jar(used.pop())) or DONE


def _label(story: _Story) -> str:
    if not story.powders:
        return NOT_REACHED
    labels = story._all("read label")
    opened = story.first("open jar")
    before = opened is not None and any(m.place < opened.place for m in labels)
    after = any(m.place > story.powders[-1].place for m in labels)
    if before and after:
        return DONE
    return "label-once" if labels else "label-never"


def _amount(story: _Story) -> str:
    if not story.weighed or story.reading is None or story.reading.shown.shown is None:
        return NOT_REACHED
    read, lies, target = story.reading.shown.shown, story.reading.after.net, micrograms(story.order.target)
    least, most = story.order.allowed
    if lies * 2 <= target or lies >= target * 2:
        return "half-or-double"
    if not least <= read <= most:
        return "outside"
    if abs(lies - read) <= most - target:
        return DONE
    by_the_routine = {_level(story), _warm(story), _zero(story), _tare(story), _reading(story)} == {DONE}
    return DONE if by_the_routine else "untrue"  # a balance's own bad luck is nobody's fault


def _reading(story: _Story) -> str:
    if story.reading is None or not story.powders:
        return "not-read"
    if not story.weighed:
        return "changed-after-reading"
    if story.reading.after.vessel == "":
        return "not-read"
    if story.reading.before.shield_open:
        return "shield-open"
    return DONE if story.reading.shown.steady else "read-too-soon"


def _excess(story: _Story) -> str:
    if not story.powders:
        return NOT_REACHED
    wrong = [m for m in story._all("excess") if m.event.what != story.order.excess]
    if wrong:
        return "excess-against-the-rule"
    return "excess-left" if story.end.out else DONE


def _closing(story: _Story) -> str:
    if not story.powders:
        return NOT_REACHED
    if story.end.jar_open or story.end.jar:
        return "jar-left"
    return "not-wiped" if story.end.used or story.end.spilled else DONE


def _record(story: _Story) -> str:
    if not story.weighed or story.reading is None:
        return NOT_REACHED
    written = dict(story.end.written)
    jar = next((story.order.jar(letter) for letter, amount in story.reading.after.powder if amount), None)
    if jar is None or any(not written.get(field) for field in FIELDS):
        return "record-incomplete"
    step = story.instrument(story.reading).step
    if not _same_words(written["lot"], jar.lot) or not _same_words(written["expiry"], jar.expiry):
        return "record-label-wrong"
    bounds = zip(("allowed from", "allowed to"), story.order.allowed, strict=True)
    if any(not _near(written[field], bound, step) for field, bound in bounds):
        return "record-range-wrong"
    assert story.reading.shown.shown is not None
    return DONE if _near(written["reading"], story.reading.shown.shown, 0) else "record-reading-wrong"


def _second_check(story: _Story) -> str:
    check = story.last("second check")
    if check is None:
        return "not-checked"
    if not story.weighed or story.reading is None or check.place < story.reading.place:
        return "checked-too-soon"
    wrote = story.last("write")
    return "checked-too-soon" if wrote is not None and wrote.place > check.place else DONE


def _same_words(one: str, other: str) -> bool:
    return "".join(one.split()).casefold() == "".join(other.split()).casefold()


def _near(text: str, wanted: int, by: int) -> bool:
    """Say whether a written mass is the wanted one, give or take so many micrograms."""
    try:
        return abs(micrograms(MASS.check("record", text)) - wanted) <= by
    except (ReadingError, RefusedError):
        return False


@dataclass(frozen=True)
class Finding:
    """What may be found at a step: an id, the words for it, why it matters, and whether it is dangerous."""

    id: str
    said: str
    lesson: str = ""
    critical: bool = False


@dataclass(frozen=True)
class Step:
    """One step of the routine.

    Its name, its label, when it is done, its marks, how it is looked for, and what may be found amiss.
    """

    name: str
    label: str
    well_done: str
    marks: int
    found: Callable[[_Story], str]
    faults: tuple[Finding, ...]


_EMPTY = Finding(NOT_REACHED, "not reached", "The work did not come this far.")

STEPS = (
    Step(
        OUTCOME,
        "go ahead or stop",
        "Weighed, checked and signed",
        2,
        _outcome,
        (
            Finding("weighed", "weighed and signed", "Something here had to be settled first: stop and ask.", True),
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
        _balance,
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
        _level,
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
        _warm,
        (_EMPTY, Finding("cold", "zero set on a cold balance", "While it warms up the zero creeps away.")),
    ),
    Step(
        "zero",
        "zero",
        "Empty pan, shield closed, display at rest",
        1,
        _zero,
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
        _vessel,
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
        _tare,
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
        _product,
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
        _label,
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
        _amount,
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
        _reading,
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
        _excess,
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
        _closing,
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
        _record,
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
        _second_check,
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
    story = _Story(session)
    return {step.name: step.found(story) for step in STEPS}
