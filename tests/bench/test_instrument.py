"""The simulated balance against its specification: what was put in is found again in the readings.

Chance is drawn from fixed seeds, so each test gives the same result for ever. The bounds are four standard errors.
"""

from itertools import pairwise
from math import sqrt
from statistics import fmean, stdev

import pytest

from pharmcalc.bench.instrument import COLD_STEPS, DRAUGHT, TILT, WARM_AFTER, Instrument, scatter, unsettled
from pharmcalc.bench.things import micrograms
from pharmcalc.bench.trial import WAYS, repeated_readings
from pharmcalc.units import quantity
from tests.questions import HOUSE

MANY = 4000
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
