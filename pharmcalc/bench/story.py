"""A session as an inspector reads it: what matters at each step of the routine, and what is found there.

The order of things counts: a balance that is levelled after it was zeroed was not levelled. So does at which balance,
in which vessel and from which jar: what was done with another one proves nothing.
"""

from collections.abc import Iterator

from pharmcalc.bench.actions import FIELDS
from pharmcalc.bench.instrument import WARM_AFTER, Instrument
from pharmcalc.bench.session import Moment, Session
from pharmcalc.bench.state import instrument_of
from pharmcalc.bench.things import Order, micrograms, vessel_called
from pharmcalc.errors import ReadingError, RefusedError
from pharmcalc.kinds import MASS

__all__ = ["DONE", "NOT_REACHED", "Story"]

DONE, NOT_REACHED = "done", "not-reached"


class Story:
    """A session since work began, or began again. Each step is a method that returns what is found there.

    ``reading`` is the last one that was taken of powder in its vessel on the pan: to look at the empty pan afterwards
    changes nothing. ``begun`` is the setting of zero or tare, at the same balance, that came before the powder.
    """

    def __init__(self, session: Session) -> None:
        self.order: Order = session.order
        self.moments = session.since_begun()
        self.end = session.state
        self.powders = list(self._all("add"))
        self.first_powder = self.powders[0].place if self.powders else len(session.moments) + 1
        self.changes = list(self._all("add", "take out"))
        self.readings = [m for m in self._all("read") if m.after.vessel and m.after.net]
        self.reading = self.readings[-1] if self.readings else None
        self.begun = self._last_setting("zero", "tare", before=self.first_powder)

    def _all(self, *actions: str) -> Iterator[Moment]:
        return (moment for moment in self.moments if moment.event.action in actions)

    def _last(self, *actions: str, before: int | None = None) -> Moment | None:
        """Return the last moment of some actions, before a place of the record."""
        return next((m for m in reversed(list(self._all(*actions))) if before is None or m.place < before), None)

    def _last_setting(self, *actions: str, before: int | None = None) -> Moment | None:
        """Return the last moment of some actions, unless another balance was gone to since."""
        found = self._last(*actions, "use balance", before=before)
        return None if found is None or found.event.action == "use balance" else found

    @property
    def until(self) -> int | None:
        """The place of the reading; what comes later can no longer change it."""
        return None if self.reading is None else self.reading.place

    @property
    def weighed(self) -> bool:
        """Whether powder was read as it lies in the vessel now."""
        return self.reading is not None and self.reading.place > self.changes[-1].place

    def outcome(self) -> str:
        """How the work ended."""
        if self.end.stopped:
            return f"stopped-{self.end.stopped.replace(' ', '-')}"
        if not self.end.signed:
            return "unfinished"
        return "weighed" if self.reading is not None else "signed-without-reading"

    def balance(self) -> str:
        """Whether powder was put in and read at balances that may weigh the amount."""
        if not self.powders:
            return NOT_REACHED
        used = {moment.before.balance for moment in (*self.powders, *self.readings)}
        return DONE if used <= self.order.fit_balances else "balance-not-fit"

    def level(self) -> str:
        """Whether the bubble was in its ring from the setting of zero or tare up to the reading."""
        if not self.powders:
            return NOT_REACHED
        at = self.begun or self.powders[0]
        turned = any(m.place > at.place and (self.until is None or m.place < self.until) for m in self._all("turn"))
        return "not-level" if at.after.tilt or turned else DONE

    def warm_up(self) -> str:
        """Whether the balance was warm when zero or tare was set."""
        if not self.powders:
            return NOT_REACHED
        return DONE if (self.begun or self.powders[0]).after.warm_for() >= WARM_AFTER else "cold"

    def zero(self) -> str:
        """Whether zero was set, at this balance and at rest."""
        zeros = self._last_setting("zero", before=self.first_powder)
        if zeros is None:
            return "not-zeroed"
        return DONE if zeros.shown.steady else "zero-unsteady"

    def vessel(self) -> str:
        """Whether the vessel fits the amount."""
        if not self.powders:
            return NOT_REACHED
        vessel = vessel_called(self.powders[-1].after.vessel)
        if vessel.holds < micrograms(self.order.target):
            return "vessel-too-small"
        return DONE if self.order.fits(vessel) else "vessel-too-large"

    def tare(self) -> str:
        """Whether the reading counts from the empty vessel: what was set last, before it was read, decides."""
        if not self.powders:
            return NOT_REACHED
        tare = self._last_setting("tare", "zero", before=self.until)
        if tare is None or tare.before.vessel != self.powders[-1].before.vessel:
            return "not-tared"
        if tare.before.net:
            return "tared-again"
        return DONE if tare.shown.steady else "tare-unsteady"

    def product(self) -> str:
        """Whether the powder came from one jar, and from the right one."""
        if not self.powders:
            return NOT_REACHED
        used = {letter for m in self.powders for letter, amount in m.after.powder if amount}
        if len(used) > 1:
            return "mixed-up"
        return self.order.what_is_wrong(self.order.jar(used.pop())) or DONE

    def label(self) -> str:
        """Whether the label of the jar that was used was read before it was opened and after the last of it went in."""
        if not self.powders:
            return NOT_REACHED
        last = self.powders[-1]
        labels, opened = (
            [m.place for m in self._all(action) if m.before.jar == last.before.jar]
            for action in ("read label", "open jar")
        )
        if not labels:
            return "label-never"
        return DONE if labels[0] < opened[0] and labels[-1] > last.place else "label-once"

    def amount(self) -> str:
        """Whether the reading is within the allowed error, and true."""
        if not self.weighed or self.reading is None or self.reading.shown.shown is None:
            return NOT_REACHED
        read, lies, target = self.reading.shown.shown, self.reading.after.net, micrograms(self.order.target)
        least, most = self.order.allowed
        if lies * 2 <= target or lies >= target * 2:
            return "half-or-double"
        if not least <= read <= most:
            return "outside"
        if abs(lies - read) <= most - target:
            return DONE
        by_the_routine = {self.level(), self.warm_up(), self.zero(), self.tare(), self.read()} == {DONE}
        spilled = self.reading.after.spilled
        return DONE if by_the_routine and not spilled else "untrue"  # a balance's own bad luck is nobody's fault

    def read(self) -> str:
        """Whether the powder was read at rest, with the shield closed, and left alone afterwards."""
        if self.reading is None:
            return "not-read"
        if not self.weighed:
            return "changed-after-reading"
        if self.reading.before.shield_open:
            return "shield-open"
        return DONE if self.reading.shown.steady else "read-too-soon"

    def excess(self) -> str:
        """Whether powder that was taken out again went where the house says; a jar only takes back its own."""
        if not self.powders:
            return NOT_REACHED
        for moment in self._all("excess"):
            own = moment.before.jar in dict(moment.before.powder)
            if moment.event.what != self.order.excess or (moment.event.what == "return" and not own):
                return "excess-against-the-rule"
        return "excess-left" if self.end.out else DONE

    def closing(self) -> str:
        """Whether jar, pan and spatula were left as they should be."""
        if not self.powders:
            return NOT_REACHED
        if self.end.jar_open or self.end.jar:
            return "jar-left"
        return "not-wiped" if self.end.used or self.end.spilled else DONE

    def record(self) -> str:
        """Whether the lines written by hand are all there, and true to the label, the order and the display."""
        if not self.weighed or self.reading is None:
            return NOT_REACHED
        written = dict(self.end.written)
        jar = next((self.order.jar(letter) for letter, amount in self.reading.after.powder if amount), None)
        if jar is None or any(not written.get(field) for field in FIELDS):
            return "record-incomplete"
        if not _same_words(written["lot"], jar.lot) or not _same_words(written["expiry"], jar.expiry):
            return "record-label-wrong"
        step = self._instrument(self.reading).step
        bounds = zip(("allowed from", "allowed to"), self.order.allowed, strict=True)
        if any(not _near(written[field], bound, step) for field, bound in bounds):
            return "record-range-wrong"
        assert self.reading.shown.shown is not None
        return DONE if _near(written["reading"], self.reading.shown.shown, 0) else "record-reading-wrong"

    def second_check(self) -> str:
        """Whether a second person was asked once everything was there to be checked."""
        check = self._last("second check")
        if check is None:
            return "not-checked"
        if not self.weighed or self.reading is None or check.place < self.reading.place:
            return "checked-too-soon"
        wrote = self._last("write")
        return "checked-too-soon" if wrote is not None and wrote.place > check.place else DONE

    def _instrument(self, moment: Moment) -> Instrument:
        """Return the balance that a moment happened at."""
        found = instrument_of(self.order, moment.before)
        assert found is not None
        return found


def _same_words(one: str, other: str) -> bool:
    return "".join(one.split()).casefold() == "".join(other.split()).casefold()


def _near(text: str, wanted: int, by: int) -> bool:
    """Say whether a written mass is the wanted one, give or take so many micrograms."""
    try:
        return abs(micrograms(MASS.check("record", text)) - wanted) <= by
    except (ReadingError, RefusedError):
        return False
