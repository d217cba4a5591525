"""The simulated balance against its specification: what was put in is found again in the readings.

Chance is drawn from fixed seeds, so each test gives the same result for ever. The bounds are four standard errors.
"""

from fractions import Fraction
from itertools import pairwise
from math import sqrt
from statistics import fmean, stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.balances import Balance
from pharmcalc.bench import Session
from pharmcalc.bench.instrument import COLD_STEPS, DRAUGHT, TILT, WARM_AFTER, Instrument, scatter, unsettled
from pharmcalc.bench.things import micrograms, vessel_called
from pharmcalc.bench.trial import WAYS, repeated_readings
from pharmcalc.units import quantity
from tests.bench.orders import did, order
from tests.questions import HOUSE

MANY = 4000
WARMED = 250  # micrograms: the seconds that the other actions take, at the hourly drift or the first creep
INSTRUMENTS = [Instrument.of(balance) for balance in HOUSE.balances]
each = pytest.mark.parametrize("instrument", INSTRUMENTS, ids=lambda one: one.name)


@each
def test_repeatability_is_recovered_from_the_readings(instrument: Instrument) -> None:
    """Standard deviation of 4000 readings: that of the specification, with the rounding of the display, d² / 12."""
    load = 10_000_000
    shown = [instrument.shown(load + scatter(f"r{n}", instrument.repeatability)) for n in range(MANY)]
    expected = sqrt(instrument.repeatability**2 + instrument.step**2 / 12)
    assert stdev(shown) == pytest.approx(expected, abs=4 * expected / sqrt(2 * MANY))
    assert fmean(shown) == pytest.approx(load, abs=4 * expected / sqrt(MANY))


def test_chance_is_bell_shaped() -> None:
    """About 68 % within one standard deviation and 95 % within two: four standard errors of a proportion."""
    drawn = [scatter(f"bell {n}", 100_000) for n in range(MANY)]
    for width, share in ((1, 0.6827), (2, 0.9545)):
        within = sum(abs(one) <= width * 100_000 for one in drawn) / MANY
        assert within == pytest.approx(share, abs=4 * sqrt(share * (1 - share) / MANY))


@each
def test_linearity_is_recovered_over_the_whole_range(instrument: Instrument) -> None:
    """The scale is off by nothing at both ends and by its largest bow in the middle."""

    def off(load: int) -> float:
        readings = [
            instrument.sensed(load, tilt=0, on_for=0) + scatter(f"{load} {n}", instrument.repeatability)
            for n in range(MANY)
        ]
        return fmean(readings) - load

    bound = 4 * instrument.repeatability / sqrt(MANY)
    assert off(0) == pytest.approx(0, abs=bound)
    assert off(instrument.capacity) == pytest.approx(0, abs=bound)
    assert off(instrument.capacity // 2) == pytest.approx(instrument.bow, abs=bound)
    assert off(instrument.capacity // 4) == pytest.approx(instrument.bow * 3 / 4, abs=bound)


@each
def test_drift_is_recovered_from_readings_an_hour_apart(instrument: Instrument) -> None:
    """Once warm, the zero creeps by its specified drift in every hour, and at a steady rate."""
    for hours in (1, 2, 5):
        first = instrument.sensed(0, tilt=0, on_for=WARM_AFTER)
        later = instrument.sensed(0, tilt=0, on_for=WARM_AFTER + hours * 3600)
        assert (later - first) / hours == pytest.approx(instrument.drift, abs=1)


@each
def test_a_cold_balance_creeps_quickly_at_first_and_no_more_once_warm(instrument: Instrument) -> None:
    """Forty display steps in half an hour, three quarters of them in the first half of it."""
    whole = instrument.crept(WARM_AFTER) - instrument.drift * WARM_AFTER // 3600
    half = instrument.crept(WARM_AFTER // 2) - instrument.drift * (WARM_AFTER // 2) // 3600
    assert abs(whole) == COLD_STEPS * instrument.step
    assert half / whole == pytest.approx(3 / 4, abs=0.001)


@each
def test_the_cold_drift_is_recovered_from_readings_of_a_session(instrument: Instrument) -> None:
    """Switched on and read every half hour: forty steps in the first one, the hourly drift in the others.

    Each difference is the mean of many orders, within four standard errors of it.
    """
    orders, halves = 40, 6
    begun = did(f"use balance: {instrument.name}", "switch on", "read", *["wait half an hour", "read"] * halves)
    readings = [Session(order(seed=f"drift {n}"), begun).state.readings for n in range(orders)]
    by_place = [fmean(one[place] for one in readings) for place in range(halves + 1)]
    bound = 4 * sqrt(2) * sqrt(instrument.repeatability**2 + instrument.step**2 / 12) / sqrt(orders)
    assert by_place[1] - by_place[0] == pytest.approx(instrument.cold + instrument.drift / 2, abs=bound + WARMED)
    rate = (by_place[-1] - by_place[1]) / (halves - 1) * 2
    assert rate == pytest.approx(instrument.drift, abs=bound / (halves - 1) * 2 + WARMED)


@each
def test_settling_is_recovered_from_the_looks_at_a_display(instrument: Instrument) -> None:
    """A boat of 1.1 g put on: after 6 s of waiting an eighth is missing, after 12 s a sixty-fourth."""
    boat, orders = vessel_called("small boat").tare, 60
    begun = did(f"use balance: {instrument.name}", "switch on", "wait half an hour", "zero", "open shield",
                "put on: small boat", "wait", "wait", *["wait half an hour"] * 2)  # fmt: skip
    shown = [
        [moment.shown.shown or 0 for moment in Session(order(seed=f"settling {n}"), begun).moments]
        for n in range(orders)
    ]
    at_once, six, twelve, _, rested = ([one[place] for one in shown] for place in range(5, 10))
    spread = sqrt((DRAUGHT * instrument.repeatability) ** 2 + instrument.step**2 / 12)
    bound = 4 * sqrt(2) * spread / sqrt(orders) + abs(instrument.drift)
    for shows, missing in ((at_once, 1), (six, 1 / 8), (twelve, 1 / 64)):
        assert fmean(rested) - fmean(shows) == pytest.approx(boat * missing, abs=bound)


def readings(instrument: Instrument, seeds: int, *lines: str) -> list[int]:
    """Return what is read at the end of the same work on many orders, switched on and warmed up first."""
    begun = did(f"use balance: {instrument.name}", "switch on", "wait half an hour", *lines, "read")
    return [Session(order(seed=f"readings {n}"), begun).state.readings[-1] for n in range(seeds)]


@each
def test_the_draught_is_recovered_from_the_readings_of_sessions(instrument: Instrument) -> None:
    """With the shield open a zero display scatters six times as much as with it closed."""
    orders = 400
    for lines, factor in (((), 1), (("open shield",), 6)):
        spread = stdev(readings(instrument, orders, *lines))
        expected = sqrt((factor * instrument.repeatability) ** 2 + instrument.step**2 / 12)
        assert spread == pytest.approx(expected, abs=4 * expected / sqrt(2 * orders))


@each
def test_the_tilt_is_recovered_from_the_readings_of_sessions(instrument: Instrument) -> None:
    """A beaker of 31 g on a balance turned to six quarter turns more: 150 in a million for each turn, squared."""
    seeds = 100
    put_on = ("open shield", "put on: beaker", "close shield", *["wait"] * 10)
    turned = [Session(order(seed=f"readings {n}"), did(f"use balance: {instrument.name}")).state for n in range(seeds)]
    up = ("turn: left foot up",) * 3
    lost = fmean(readings(instrument, seeds, *put_on)) - fmean(readings(instrument, seeds, *up, *put_on))
    more = fmean((state.feet[0] + 3) ** 2 - state.feet[0] ** 2 for state in turned)
    spread = sqrt(instrument.repeatability**2 + instrument.step**2 / 12)
    assert lost == pytest.approx(31_000_000 * 150 / 10**6 * more, abs=4 * sqrt(2) * spread / sqrt(seeds) + WARMED)


@each
def test_a_tilted_balance_reads_too_little_in_proportion_to_the_load(instrument: Instrument) -> None:
    """The cosine of a small angle: the loss grows with the square of the tilt and with the load."""
    load = 20_000_000

    def lost(tilt: int, on: int = load) -> int:
        return instrument.sensed(on, tilt=0, on_for=0) - instrument.sensed(on, tilt=tilt, on_for=0)

    assert lost(1) == load * TILT // 10**6
    assert lost(4) == pytest.approx(4 * lost(1), abs=1)
    assert lost(4, load // 2) == pytest.approx(lost(4) / 2, abs=1)


def test_a_draught_scatters_the_readings_six_times_more() -> None:
    """What the open shield does is found again in the standard deviation."""
    closed, opened = (
        [*repeated_readings(HOUSE.balances[0], quantity(1, "g"), way, MANY)] for way in (WAYS[0], WAYS[2])
    )

    def spread(values: list[int]) -> float:
        """Return the scatter of neighbours: what drifts in a day of readings is taken out so."""
        return stdev(b - a for a, b in pairwise(values)) / sqrt(2)

    instrument, step = INSTRUMENTS[0], INSTRUMENTS[0].step
    for values, factor in ((closed, 1), (opened, DRAUGHT)):
        expected = sqrt((factor * instrument.repeatability) ** 2 + step**2 / 12)
        assert spread(values) == pytest.approx(expected, rel=4 / sqrt(MANY))


def test_half_of_a_change_is_still_missing_after_two_seconds() -> None:
    """And a quarter after four, whichever way the load changed; in the end nothing."""
    for moved in (100_000, -100_000):
        assert unsettled(moved, 0) == moved
        assert unsettled(moved, 2) == moved / 2
        assert unsettled(moved, 4) == moved / 4
        assert unsettled(moved, 120) == 0


def test_the_display_rounds_to_its_step_and_writes_all_its_places() -> None:
    """0.250 g has its last zero: a reading is written as displayed."""
    fine = Instrument("fine", 100, 10_000_000, 100, 0, 0, 0)
    coarse = Instrument("coarse", 10_000, 10_000_000, 10_000, 0, 0, 0)
    assert (INSTRUMENTS[0].shown(249_500), INSTRUMENTS[0].shown(249_499)) == (250_000, 249_000)
    assert INSTRUMENTS[0].text(250_000) == "0.250 g"
    assert fine.text(fine.shown(1_234_567)) == "1.2346 g"
    assert coarse.text(coarse.shown(-1_234_567)) == "-1.23 g"


@pytest.mark.parametrize(
    ("step", "places", "shown"),
    [(1000, 3, "0.253 g"), (2000, 3, "0.252 g"), (5000, 3, "0.255 g"), (500, 4, "0.2525 g"), (250, 5, "0.25275 g"),
     (10_000, 2, "0.25 g"), (100_000, 1, "0.3 g"), (1_000_000, 0, "0 g"), (1, 6, "0.252700 g")],
)  # fmt: skip
def test_a_display_has_as_many_places_as_its_steps_need(step: int, places: int, shown: str) -> None:
    """In steps of 5 mg the third place is there: what is read is what the balance means."""
    balance = Instrument("any", step, 10_000_000, step, 0, 0, 0)
    assert balance.decimals() == places
    assert balance.text(balance.shown(252_700)) == shown


@given(step=st.sampled_from((1, 10, 100, 200, 500, 1000, 2000, 5000, 10_000, 64_799)), net=st.integers(-(10**8), 10**8))
def test_the_text_of_a_reading_is_its_number(step: int, net: int) -> None:
    """Nothing is lost between what the balance shows and what is read off it."""
    balance = Instrument("any", step, 10**8, step, 0, 0, 0)
    shown = balance.shown(net)
    assert abs(shown - net) * 2 <= step
    assert Fraction(balance.text(shown).removesuffix(" g")) * 1_000_000 == shown


def test_a_display_finer_than_a_microgram_is_taken_as_one_in_micrograms() -> None:
    """The bench counts in whole micrograms; no laboratory that compounds reads less."""
    fine = Instrument.of(
        Balance("fine", quantity("0.0001", "mg"), quantity(5, "gram"), stated_minimum=quantity(2, "mg"))
    )
    assert fine.step == 1
    assert fine.text(fine.shown(1_234_567)) == "1.234567 g"


def test_at_rest_the_third_decimal_wanders_by_a_few_counts() -> None:
    """Common practice, no source: on a display of 0.001 g the last digit moves by some counts, not by ten."""
    for instrument in INSTRUMENTS:
        shown = {instrument.shown(5_000_000 + scatter(f"w{n}", instrument.repeatability)) for n in range(50)}
        assert 2 <= (max(shown) - min(shown)) / instrument.step <= 7


def test_every_balance_has_errors_of_its_own_and_keeps_them() -> None:
    """The same balance is the same again; no two of the house are alike."""
    assert [Instrument.of(balance) for balance in HOUSE.balances] == INSTRUMENTS
    assert len({(one.repeatability, one.bow, one.cold, one.drift) for one in INSTRUMENTS}) == len(INSTRUMENTS)


def test_by_the_routine_every_reading_is_good_enough_at_the_least_weighable_quantity() -> None:
    """Whoever follows the routine stays within the allowed error where the house says that it may be weighed."""
    for balance in HOUSE.balances:
        least = balance.least_weighable(HOUSE.allowed_error)
        allowed = micrograms(least * HOUSE.allowed_error.to_base_units())
        readings = repeated_readings(balance, least, WAYS[0], 200)
        assert all(abs(reading - micrograms(least)) <= allowed for reading in readings)
