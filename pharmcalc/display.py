"""What a display says and does not say: its step, a last digit that wanders, and readings written as displayed.

A balance shows whole steps only. A reading of 120 mg with a step of 1 mg means a true mass somewhere from 119.5 mg to
120.5 mg at best. When the last digit wanders, the spread of the readings says more than any single one of them.
"""

from fractions import Fraction

from pharmcalc.conditions import in_order
from pharmcalc.constants import HUNDRED_PERCENT
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Mass, MassOrNone, Percent, formula, mistake_of
from pharmcalc.kinds import MASS, MASS_OR_NONE
from pharmcalc.rounding import round_to_step
from pharmcalc.units import Quantity, quantity, quotient, unit_name, unit_text

__all__ = ["as_displayed", "reading_text", "spread_of_load", "spread_of_readings", "true_mass_band"]


@formula(
    source="classroom",
    symbol="spread",
    checks=(
        in_order(
            "lowest <= highest",
            blame="lowest",
            cure="The lowest reading is the smaller one. Check which reading is which.",
        ),
    ),
)
def spread_of_readings(*, highest: Mass, lowest: Mass) -> MassOrNone:
    """Return the spread of readings of one load: how far its last digits wander.

    Formula: highest - lowest.

    highest, lowest: two readings of the same load, masses above zero, the first not the smaller. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, or readings the wrong way round.
    Does not say why the reading wanders: look for draught, warmth, vibration, static charge, or a load that dries.

    >>> print(spread_of_readings.kind.show(spread_of_readings(highest="124 mg", lowest="115 mg")))
    9 mg

    Source: common classroom practice.
    """
    return highest - lowest


@mistake_of(spread_of_readings, id="spread-halved")
def half_the_spread(*, highest: Mass, lowest: Mass) -> MassOrNone:
    """Half of the spread was given.

    The spread is the whole way from the lowest reading to the highest. Half of it is how far they lie from the middle.
    """
    return (highest - lowest) / 2


@formula(source="classroom", symbol="% spread")
def spread_of_load(*, spread: MassOrNone, load: Mass) -> Percent:
    """Return a wandering last digit as a percentage of the load.

    Formula: spread ÷ load × 100 %. Compare it with the allowed error: the same spread is a large part of a small
    load.

    spread: how far the readings wander, a mass, 0 mg where they stand. load: what is weighed, a mass above zero.
    Returns a percentage. Raises RefusedError for a bare number, another kind of amount, or a negative mass.
    Does not take the place of a repeatability test of ten weighings.

    >>> print(spread_of_load.kind.show(spread_of_load(spread="9 mg", load="120 mg")))
    7.5 %

    Source: common classroom practice.
    """
    return spread / load * HUNDRED_PERCENT


@mistake_of(spread_of_load, id="spread-upside-down")
def load_over_spread(*, spread: MassOrNone, load: Mass) -> Percent:
    """The load was divided by the spread.

    The spread is a part of the load, so the load stands below the line.
    """
    return load / spread * HUNDRED_PERCENT


@mistake_of(spread_of_load, id="spread-not-times-100")
def spread_fraction_called_percent(*, spread: MassOrNone, load: Mass) -> Percent:
    """The fraction was written as a percentage without multiplying by 100.

    Per cent means in a hundred: 0.075 of the load is 7.5 % of it.
    """
    return spread / load * quantity(1, "percent")


@mistake_of(spread_of_load, id="spread-is-display-step")
def display_step_for_spread(*, display_step: Mass, load: Mass) -> Percent:
    """The display step was used although the reading wanders further.

    The step is the least that can be seen. What counts is how far the readings really wander.
    """
    return display_step / load * HUNDRED_PERCENT


def as_displayed(mass: Quantity | str, *, display_step: Quantity | str) -> Quantity:
    """Return what a balance without any error shows for a mass: the nearest whole step (half a step goes up).

    >>> MASS.show(as_displayed("62.5 mg", display_step="1 mg"))
    '63 mg'
    """
    step = MASS.check("display: step", display_step)
    return round_to_step(MASS_OR_NONE.check("display: mass", mass), step).to(unit_name(step))


def true_mass_band(reading: Quantity | str, *, display_step: Quantity | str) -> tuple[Quantity, Quantity]:
    """Return the smallest and the largest true mass that a balance without any other error shows as this reading.

    >>> [MASS.show(end) for end in true_mass_band("120 mg", display_step="1 mg")]
    ['119.5 mg', '120.5 mg']
    """
    step = MASS.check("display: step", display_step)
    shown = _on_the_display(reading, step)
    return shown - step / 2, shown + step / 2


def reading_text(reading: Quantity | str, *, display_step: Quantity | str) -> str:
    """Return a reading as it is written down: as displayed, with every place of the step, closing zeros too.

    A reading is not a dose: in a prescription no zero is left over behind the point.

    >>> reading_text("120 mg", display_step="0.001 g"), reading_text("0.5 g", display_step="0.01 g")
    ('0.120 g', '0.50 g')
    """
    step = MASS.check("display: step", display_step)
    shown = _on_the_display(reading, step)
    places, places_left = 0, step.magnitude
    while places_left.denominator != 1:
        places, places_left = places + 1, places_left * 10
        if places > 12:
            raise RefusedError("display: step", "must be a decimal number, such as 0.1 mg.", "Write the step as shown.")
    digits = f"{int(shown.magnitude * Fraction(10) ** places):0{places + 1}d}"
    number = f"{digits[:-places]}.{digits[-places:]}" if places else digits
    return f"{number} {unit_text(step)}"


def _on_the_display(reading: Quantity | str, step: Quantity) -> Quantity:
    """Return a reading in the unit of the step; refuse one that this display cannot show."""
    shown = MASS_OR_NONE.check("display: reading", reading).to(unit_name(step))
    if quotient(shown, step).denominator != 1:
        raise RefusedError(
            "display: reading",
            f"must be a whole number of steps of {MASS.show(step)}; it was {MASS.show(shown)}.",
            "Read the display again, or check the step.",
        )
    return shown
