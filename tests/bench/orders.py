"""Orders for the tests of the bench, and people who weigh by the book but for one thing."""

from collections.abc import Callable, Iterable

from pharmcalc.balances import Balance
from pharmcalc.bench import Event, Jar, Order, Session
from pharmcalc.bench.routine import Weigher
from pharmcalc.units import Quantity, quantity
from tests.questions import HOUSE

NAME, GRADE = "zinc sulfate heptahydrate", "pharmacopoeial grade"
SHELF = (
    Jar("A", NAME, GRADE, "K1111", "2028-01"),
    Jar("B", "zinc sulfate monohydrate", GRADE, "K2222", "2028-02"),
    Jar("C", NAME, "technical grade", "K3333", "2028-03"),
    Jar("D", NAME, GRADE, "K4444", "2026-01"),
)
HAZARD = "HAZARDOUS DRUG: handle in containment"


def order(
    target: Quantity | None = None,
    *,
    seed: str = "a test",
    shelf: tuple[Jar, ...] = SHELF,
    balances: tuple[Balance, ...] = HOUSE.balances,
    excess: str = "discard",
    allowed: int = 5,
) -> Order:
    """Return an order for 250 mg, or another target."""
    return Order(
        seed=seed,
        product=NAME,
        grade=GRADE,
        target=target or quantity(250, "mg"),
        allowed_error=quantity(allowed, "percent"),
        today="2026-11",
        balances=balances,
        shelf=shelf,
        excess=excess,
    )


Change = Callable[[Session, Event], Iterable[Event]]
"""What somebody does in the place of a thing that the book says, given what was done so far."""


class Otherwise(Weigher):
    """Somebody who weighs by the book and the display, but for one thing."""

    def __init__(self, wanted: Order, change: Change) -> None:
        super().__init__(wanted)
        self.change = change

    def do(self, action: str, what: str = "") -> None:
        """Do what is done in the place of a thing that the book says."""
        for event in self.change(self.session, Event(action, what)):
            self.session.act(event.action, event.what)


def weighed(wanted: Order, change: Change) -> Session:
    """Return a weighing that differs from the book in one thing; the rest follows the display."""
    somebody = Otherwise(wanted, change)
    somebody.weigh()
    return somebody.session


def did(*lines: str) -> list[Event]:
    """Return events, from lines such as ``add: tap``."""
    return [Event(action, what.strip()) for action, _, what in (line.partition(":") for line in lines)]


def was(session: Session, action: str) -> bool:
    """Say whether something was done."""
    return any(event.action == action for event in session.events)


def both(first: Change, then: Change) -> Change:
    """Do two things differently: what the first adds is left alone by the second."""

    def change(session: Session, event: Event) -> list[Event]:
        parts = [list(then(session, one)) if one is event else [one] for one in first(session, event)]
        return [one for part in parts for one in part]

    return change


def drop(*actions: str, after: str = "", until: str = "") -> Change:
    """Leave some actions out: all the time, only after another was done, or only until another was done."""

    def change(session: Session, event: Event) -> list[Event]:
        now = (not after or was(session, after)) and not (until and was(session, until))
        return [] if event.action in actions and now else [event]

    return change


def instead(action: str, *lines: str) -> Change:
    """Do other things in the place of an action."""
    return lambda session, event: did(*lines) if event.action == action else [event]


def ahead(action: str, *lines: str, number: int = 1) -> Change:
    """Do more before an action is done for the first time, the time with another number, or every time (0)."""

    def change(session: Session, event: Event) -> list[Event]:
        times = sum(one.action == action for one in session.events) + 1
        return [*did(*lines), event] if event.action == action and number in (0, times) else [event]

    return change


def written(label: str, value: str) -> Change:
    """Write something else on one line of the record."""

    def change(session: Session, event: Event) -> list[Event]:
        if event.action != "write":
            return [event]
        lines = [f"{label} = {value}" if line.startswith(label) else line for line in event.what.splitlines()]
        return [Event("write", "\n".join(lines))]

    return change


def from_jar(letter: str, shelf: tuple[Jar, ...] = SHELF) -> Change:
    """Take another jar, and copy its label."""
    right, wrong = shelf[0], next(jar for jar in shelf if jar.letter == letter)

    def change(session: Session, event: Event) -> list[Event]:
        if event.action == "take jar":
            return [Event("take jar", letter)]
        return [Event(event.action, event.what.replace(right.lot, wrong.lot).replace(right.expiry, wrong.expiry))]

    return change
