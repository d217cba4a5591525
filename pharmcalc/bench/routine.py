"""The whole routine as somebody does it who follows the book: a worked weighing, made with the display alone."""

from collections.abc import Collection

from pharmcalc.bench.actions import AMOUNTS
from pharmcalc.bench.session import Session
from pharmcalc.bench.things import VESSELS, Order, mass, micrograms
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS
from pharmcalc.language import say

__all__ = ["Weigher", "weigh_by_the_book"]

STOPS = {"hazardous": "hazardous drug", "no-balance": "no balance can weigh it", "no-product": "no jar is right"}
MOST_ADDED = 400
LONGEST_WAIT = 20
MOST_READINGS = 5
CLOSE_ENOUGH = 4  # a by-the-book weigher goes on until the target is this many times closer than is allowed


def weigh_by_the_book(order: Order, *, without: Collection[str] = ()) -> Session:
    """Return a session in which every step is done in order; or the one in which the work is rightly stopped.

    without: actions that this weigher leaves out, such as ``tare``; everything else follows the book and the display.
    Raises RefusedError where it cannot go on without them, as without ``switch on``.
    """
    weigher = Weigher(order, without)
    if order.halts:
        weigher.do("stop and ask", STOPS[order.halts])
    else:
        weigher.weigh()
    return weigher.session


class Weigher:
    """Somebody at the bench who looks at nothing but the display."""

    def __init__(self, order: Order, without: Collection[str] = ()) -> None:
        self.order, self.session, self.without = order, Session(order), without

    def do(self, action: str, what: str = "") -> None:
        """Do one thing, unless it is one that is left out."""
        if action not in self.without:
            self.session.act(action, what)

    def weigh(self) -> None:
        """Weigh what is ordered, from the choice of the balance to the signature."""
        jar = self.order.right_jar
        assert jar is not None
        self._set_up()
        self.do("take jar", jar.letter)
        self.do("read label")
        self.do("open jar")
        reading = self._weigh_out()
        for action in ("close jar", "read label", "put jar back", "open shield", "take off", "wipe", "close shield"):
            self.do(action)
        least, most = self.order.allowed
        lines = {
            "lot": jar.lot,
            "expiry": jar.expiry,
            "allowed from": MASS.show_exactly(mass(least))[0],
            "allowed to": MASS.show_exactly(mass(most))[0],
            "reading": reading,
        }
        self.do("write", "\n".join(f"{say(label)} = {value}" for label, value in lines.items()))
        self.do("second check")
        self.do("sign", "AB")

    def _weigh_out(self) -> str:
        """Approach the target and read, once more where the reading itself wandered out of the allowed range."""
        least, most = self.order.allowed
        for _ in range(MOST_READINGS):
            self._approach()
            self.do("read")
            shown = self.session.moments[-1].shown
            if shown.shown is not None and least <= shown.shown <= most:
                break
        return self.session.moments[-1].shown.written

    def _set_up(self) -> None:
        order = self.order
        self.do("use balance", next(one.name for one in order.balances if one.name in order.fit_balances))
        self.do("switch on")
        for foot, turns in zip(("left", "right"), self.session.state.feet, strict=True):
            for _ in range(abs(turns)):
                self.do("turn", f"{foot} foot {'down' if turns > 0 else 'up'}")
        self.do("wait half an hour")
        self._at_rest()
        self.do("zero")
        self.do("open shield")
        self.do("put on", next(vessel.name for vessel in VESSELS if order.fits(vessel)))
        self.do("close shield")
        self._at_rest()
        self.do("tare")

    def _at_rest(self) -> int:
        """Wait until the display rests, and return what it shows, in micrograms."""
        for _ in range(LONGEST_WAIT):
            self.do("wait")
            if self.session.moments[-1].shown.steady or "wait" in self.without:
                break
        shown = self.session.flicker()[0].shown
        if shown is None:
            raise RefusedError("routine", "the display shows no number.", "Leave out something else.")
        return shown

    def _approach(self) -> None:
        """Add powder, less at a time the closer the display comes; take some out again where it was too much.

        What counts is what the display shows when the shield is closed and it has come to rest.
        """
        target = micrograms(self.order.target)
        close = max((self.order.allowed[1] - target) // CLOSE_ENOUGH, AMOUNTS["light tap"] // 2)
        for _ in range(MOST_ADDED):
            missing = target - self._at_rest()
            if abs(missing) <= close or (missing < 0 and not self.session.state.net):
                return
            self.do("open shield")
            if missing > 0:
                self.do("add", _how_much(missing))
            else:
                self.do("take out", _how_much(-missing))
                self.do("excess", self.order.excess)
            self.do("close shield")


def _how_much(missing: int) -> str:
    return next((name for name, amount in AMOUNTS.items() if amount * 13 // 10 <= missing), "light tap")
