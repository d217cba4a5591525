"""How the bench stands at one moment. A state is never changed; an action returns the next one."""

from dataclasses import dataclass

from pharmcalc.bench.instrument import DRAUGHT, Instrument, scatter, unsettled
from pharmcalc.bench.things import Order, vessel_called
from pharmcalc.language import later, say
from pharmcalc.tasks.dice import Dice

__all__ = ["Display", "State", "display"]

OVER = later("over capacity")


@dataclass(frozen=True)
class State:
    """Everything that can differ from one moment to the next; masses in micrograms, times in seconds.

    ``feet`` are the quarter turns by which the left and the right foot are off; the bubble is in its ring at (0, 0).
    ``vessel`` stands on the pan; ``set_down`` is one that was set beside the balance with its powder.
    ``powder`` is what lies in the vessel, by the letter of the jar it came from; ``out`` is powder on the spatula that
    was taken out of the vessel again. ``offset`` is what zero or tare took off. ``moved`` is the last change of load
    and ``moved_at`` its time.
    """

    clock: int = 0
    balance: str = ""
    on_since: int | None = None
    feet: tuple[int, int] = (0, 0)
    shield_open: bool = False
    vessel: str = ""
    set_down: str = ""
    jar: str = ""
    jar_open: bool = False
    powder: tuple[tuple[str, int], ...] = ()
    out: int = 0
    spilled: int = 0
    offset: int = 0
    moved: int = 0
    moved_at: int = 0
    used: bool = False
    readings: tuple[int, ...] = ()
    written: tuple[tuple[str, str], ...] = ()
    checked: bool = False
    signed: str = ""
    stopped: str = ""

    @property
    def net(self) -> int:
        """The powder in the vessel."""
        return sum(amount for _, amount in self.powder)

    @property
    def load(self) -> int:
        """Everything that lies on the pan."""
        return (vessel_called(self.vessel).tare + self.net if self.vessel else 0) + self.spilled

    @property
    def ended(self) -> bool:
        """Whether the work was signed or stopped."""
        return bool(self.signed or self.stopped)

    @property
    def tilt(self) -> int:
        """How far off level the balance stands: the quarter turns of its feet, squared."""
        return self.feet[0] ** 2 + self.feet[1] ** 2

    @property
    def bubble(self) -> tuple[int, int]:
        """Where the bubble stands beside its ring: to the right and to the back."""
        left, right = self.feet
        return right - left, left + right

    def warm_for(self) -> int:
        """Return how many seconds the balance has been on."""
        return 0 if self.on_since is None else self.clock - self.on_since

    def left_to_come(self) -> int:
        """Return what of the last change of load the display does not show yet."""
        return unsettled(self.moved, self.clock - self.moved_at)


@dataclass(frozen=True)
class Display:
    """What the display of a balance shows: its text, the number behind it where there is one, and whether it rests."""

    text: str
    shown: int | None = None
    steady: bool = False

    @property
    def written(self) -> str:
        """The text as it is read here, with the decimal mark in use; a record keeps ``text``, whatever the habits."""
        return say(self.text)


def feet_at_first(order: Order, balance: str) -> tuple[int, int]:
    """Return how the feet of a balance stand when work begins: never level."""
    dice = Dice(f"{order.seed}|feet|{balance}")
    return dice.pick((-3, -2, -1, 1, 2, 3)), dice.pick((-2, -1, 0, 1, 2))


def instrument_of(order: Order, state: State) -> Instrument | None:
    """Return the balance that is worked at, if one is chosen."""
    found = next((balance for balance in order.balances if balance.name == state.balance), None)
    return None if found is None else Instrument.of(found)


def felt(order: Order, state: State, instrument: Instrument, place: int, look: int = 0) -> int:
    """Return what the balance feels at a place of the record, before zero and display: a look flickers by itself."""
    spread = instrument.repeatability * (DRAUGHT if state.shield_open else 1)
    chance = scatter(f"{order.seed}|{place}|look {look}", spread)
    sensed = instrument.sensed(state.load, tilt=state.tilt, on_for=state.warm_for())
    return sensed - state.left_to_come() + chance


def display(order: Order, state: State, place: int, look: int = 0) -> Display:
    """Return what the display shows at a place of the record. look: from 0; each look shows the flicker anew."""
    instrument = instrument_of(order, state)
    if instrument is None or state.on_since is None:
        return Display("")
    if state.load > instrument.capacity:
        return Display(OVER)
    shown = instrument.shown(felt(order, state, instrument, place, look) - state.offset)
    rests = not state.shield_open and 2 * abs(state.left_to_come()) < instrument.step
    return Display(instrument.text(shown), shown, rests)
