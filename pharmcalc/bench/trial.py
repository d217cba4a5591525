"""One load weighed again and again, in the same way: what the way of working does to the readings."""

from collections.abc import Sequence
from dataclasses import dataclass

from pharmcalc.balances import Balance
from pharmcalc.bench.instrument import DRAUGHT, WARM_AFTER, Instrument, scatter, unsettled
from pharmcalc.bench.things import micrograms
from pharmcalc.language import later
from pharmcalc.units import Quantity

__all__ = ["WAYS", "Way", "repeated_readings"]

BETWEEN = 20  # seconds from one reading to the next


@dataclass(frozen=True)
class Way:
    """A way of working: how far the feet are off, whether the shield is open, and how long one waits before reading.

    ``tilt``: quarter turns, squared. ``warm``: whether the balance has warmed up before it is zeroed.
    """

    words: str
    tilt: int = 0
    warm: bool = True
    shield_open: bool = False
    waits: int = 60


WAYS = (
    Way(later("by the routine")),
    Way(later("read at once"), waits=5),
    Way(later("draught shield open"), shield_open=True),
    Way(later("bubble outside its ring"), tilt=32),
    Way(later("switched on just now"), warm=False),
)
"""The routine, and four ways to leave something of it out."""


def repeated_readings(balance: Balance, load: Quantity, way: Way, count: int = 24) -> Sequence[int]:
    """Return what a balance shows for one load, weighed again and again, each time put on anew, in micrograms.

    balance: one of the house. load: a mass above zero and within its capacity. way: how it is done. The zero is set
    once, at the start.
    """
    instrument, lies = Instrument.of(balance), micrograms(load)
    begun = WARM_AFTER if way.warm else 0
    spread = instrument.repeatability * (DRAUGHT if way.shield_open else 1)
    zero = instrument.sensed(0, tilt=way.tilt, on_for=begun)
    readings = []
    for number in range(count):
        felt = instrument.sensed(lies, tilt=way.tilt, on_for=begun + BETWEEN * (number + 1))
        chance = scatter(f"trial|{balance.name}|{way.words}|{lies}|{number}", spread)
        readings.append(instrument.shown(felt - zero - unsettled(lies, way.waits) + chance))
    return readings
