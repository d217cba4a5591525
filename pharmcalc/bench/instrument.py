"""The physics of a simulated electronic balance, in whole micrograms and exact: no two machines can disagree.

What a balance shows is not what lies on it: the display has steps, readings scatter, the scale is slightly bowed, the
zero drifts while the balance warms up and a little ever after, a tilted balance reads too little, a draught shakes it,
and a new load takes some seconds to settle. The sizes are made up, in display steps of a usual order.
"""

from dataclasses import dataclass
from hashlib import sha256

from pharmcalc.balances import Balance
from pharmcalc.bench.things import micrograms
from pharmcalc.tasks.dice import Dice

__all__ = ["DRAUGHT", "WARM_AFTER", "Instrument", "scatter", "unsettled"]

WARM_AFTER = 30 * 60
"""Seconds of warming up: half an hour is common practice; the maker's instructions decide."""
COLD_STEPS = 40
"""Display steps that the zero of a cold balance creeps until it is warm."""
TILT = 150
"""Parts in a million that a reading loses for each quarter turn of a foot, squared."""
DRAUGHT = 6
"""How many times more the readings scatter while the draught shield is open."""
HALVES_EVERY = 2
"""Seconds in which half of what is still missing after a change of load comes in."""


@dataclass(frozen=True)
class Instrument:
    """One balance, all in micrograms.

    Display step, capacity, standard deviation of repeated readings, largest bow of the scale, and how far the zero
    creeps while it is cold and in each hour.
    """

    name: str
    step: int
    capacity: int
    repeatability: int
    bow: int
    cold: int
    drift: int

    @classmethod
    def of(cls, balance: Balance) -> "Instrument":
        """Return a balance of the house as an instrument with a character of its own: the same name, the same one."""
        step = max(micrograms(balance.display_step), 1) if balance.display_step is not None else 1000
        dice = Dice(f"bench instrument|{balance.name}|{step}")
        return cls(
            balance.name,
            step,
            micrograms(balance.carries),
            repeatability=step * dice.pick((7, 9, 11)) // 10,
            bow=step * dice.pick((-2, -1, 1, 2)),
            cold=step * COLD_STEPS * dice.pick((-1, 1)),
            drift=step * dice.pick((-3, -2, 2, 3)),
        )

    def crept(self, on_for: int) -> int:
        """Return how far the zero has crept since the balance was switched on, so many seconds ago."""
        cold = min(on_for, WARM_AFTER)
        return self.cold * cold * (2 * WARM_AFTER - cold) // WARM_AFTER**2 + self.drift * on_for // 3600

    def bowed(self, load: int) -> int:
        """Return by how much the scale itself is off at a load: nothing at both ends, most in the middle."""
        load = min(max(load, 0), self.capacity)
        return 4 * self.bow * load * (self.capacity - load) // self.capacity**2

    def sensed(self, load: int, *, tilt: int, on_for: int) -> int:
        """Return what a load feels like, before scatter and before the display. tilt: quarter turns, squared."""
        return load + self.bowed(load) - load * TILT * tilt // 10**6 + self.crept(on_for)

    def shown(self, net: int) -> int:
        """Return what the display makes of a net mass: the nearest step."""
        return (2 * net + self.step) // (2 * self.step) * self.step

    def decimals(self) -> int:
        """Return how many places behind the point of a gram the display needs for its steps: three for 1, 2 or 5 mg."""
        return next(places for places in range(7) if self.step * 10**places % 1_000_000 == 0)

    def text(self, shown: int) -> str:
        """Return a reading as it stands on the display.

        >>> Instrument("demo", 1000, 120_000_000, 900, 1000, 40_000, 2000).text(-12_000)
        '-0.012 g'
        """
        places = self.decimals()
        whole, rest = divmod(abs(shown), 1_000_000)
        behind = f".{rest:06d}"[: places + 1] if places else ""
        return f"{'-' if shown < 0 else ''}{whole}{behind} g"


def scatter(key: str, spread: int) -> int:
    """Return a chance deviation with a standard deviation of ``spread``, near enough to a bell: twelve dice in one."""
    digest = sha256(key.encode()).digest()
    twelve = sum(int.from_bytes(digest[place : place + 2], "big") for place in range(0, 24, 2))
    return (twelve - 6 * 65_535) * spread // 65_536


def unsettled(moved: int, seconds: int) -> int:
    """Return what of a change of load the display does not show yet, some seconds after it."""
    left = abs(moved) >> min(seconds // HALVES_EVERY, 60)
    return left if moved > 0 else -left
