"""A session at the bench: what was done, one event after another, and what the display showed.

The record is the list of events. Replaying it for the same order gives the same readings, on every machine, for ever.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from pharmcalc.bench.actions import Event, follow
from pharmcalc.bench.state import Display, State, display
from pharmcalc.bench.things import Order
from pharmcalc.errors import RefusedError
from pharmcalc.language import say

__all__ = ["LOOKS", "MOST_EVENTS", "Moment", "Session"]

MOST_EVENTS = 1000
LOOKS = 5  # how often the display flickers while one looks at it


@dataclass(frozen=True)
class Moment:
    """One event with its place in the record, the states before and after it, what was said, and what was shown."""

    place: int
    event: Event
    before: State
    after: State
    said: str
    shown: Display


class Session:
    """Work on one order. ``act`` does one thing more, or refuses it and changes nothing."""

    def __init__(self, order: Order, events: Iterable[Event] = ()) -> None:
        self.order = order
        self.moments: list[Moment] = []
        for event in events:
            self.act(event.action, event.what)

    @property
    def state(self) -> State:
        """How the bench stands now."""
        return self.moments[-1].after if self.moments else State()

    @property
    def events(self) -> list[Event]:
        """Everything that was done."""
        return [moment.event for moment in self.moments]

    def act(self, action: str, what: str = "") -> Moment:
        """Do one thing. Raises RefusedError where it cannot be done; then nothing has changed."""
        place, before, event = len(self.moments) + 1, self.state, Event(action, what)
        if place > MOST_EVENTS:
            raise RefusedError(
                action,
                say("the record is full ({most_events} actions).", most_events=MOST_EVENTS),
                say("Hand it in as it is."),
            )
        after, said = follow(self.order, before, event, place)
        moment = Moment(place, event, before, after, said, display(self.order, after, place))
        self.moments.append(moment)
        return moment

    def flicker(self) -> list[Display]:
        """Return what the display shows while one looks at it now; the first is what the record says it showed."""
        return [display(self.order, self.state, len(self.moments), look) for look in range(LOOKS)]

    def since_begun(self) -> list[Moment]:
        """Return the moments since work began, or began again."""
        places = [moment.place for moment in self.moments if moment.event.action == "start again"]
        return self.moments[places[-1] :] if places else list(self.moments)
