"""Orders for the tests of the bench, and sessions that differ from the book in one thing."""

from collections.abc import Callable, Iterable

from pharmcalc.balances import Balance
from pharmcalc.bench import Event, Jar, Order, Session, weigh_by_the_book
from pharmcalc.errors import RefusedError
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


def changed(wanted: Order, change: Callable[[list[Event]], Iterable[Event]]) -> Session:
    """Return a weighing by the book with its events changed; what can no longer be done is left out."""
    session = Session(wanted)
    for event in change(weigh_by_the_book(wanted).events):
        try:
            session.act(event.action, event.what)
        except RefusedError:
            continue
    return session


def before(events: list[Event], action: str, *new: Event) -> list[Event]:
    """Return the events with others put in before the first of an action."""
    place = next(n for n, event in enumerate(events) if event.action == action)
    return [*events[:place], *new, *events[place:]]


def without(events: list[Event], *actions: str) -> list[Event]:
    """Return the events without some actions."""
    return [event for event in events if event.action not in actions]


def replaced(events: list[Event], old: Event, new: Event) -> list[Event]:
    """Return the events with one of them replaced wherever it stands."""
    return [new if event == old else event for event in events]
