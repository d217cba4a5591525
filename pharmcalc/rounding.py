"""How closely an answer is asked for: to a step of the display, or to significant figures; and ties by name.

A tie is a value exactly in the middle, such as 8.25 to one decimal place. Half up makes it 8.3, half even 8.2 (the even
digit). Which one is used is always said by name; and because the numbers are exact fractions, no tie is ever decided by
accident.
"""

from dataclasses import dataclass
from fractions import Fraction

from pharmcalc.errors import RefusedError
from pharmcalc.language import later, say
from pharmcalc.reading import Reading, read
from pharmcalc.units import Quantity, number_in, number_text, quantity, quotient, unit_name, unit_text

__all__ = [
    "TIES",
    "PowerOfTen",
    "Precision",
    "Reported",
    "figures_written",
    "reported",
    "round_to_figures",
    "round_to_places",
    "round_to_step",
    "sum_as_written",
    "to_fewest_figures",
]

TIES = (later("half up"), later("half even"))
"""Two ways to round a tie: most classrooms go half up, NIST SP 811 half even (source "nist-sp811-rounding")."""
MOST_PLACES = 30


def round_to_step(value: Quantity, step: Quantity, ties: str = "half up") -> Quantity:
    """Return the multiple of a step that is nearest to a value; ``ties`` is ``"half up"`` or ``"half even"``.

    >>> half = quantity("62.5", "mg")
    >>> [int(round_to_step(half, quantity(1, "mg"), ties).magnitude) for ties in ("half up", "half even")]
    [63, 62]
    """
    _known(ties)
    return step * _whole(quotient(value, step), ties)


def _whole(steps: Fraction, ties: str) -> int:
    whole, rest = divmod(abs(steps), 1)
    half = Fraction(1, 2)
    up = rest > half or (rest == half and (ties == "half up" or whole % 2 == 1))
    return (whole + up) * (1 if steps >= 0 else -1)


def round_to_places(value: Quantity, places: int, ties: str = "half up") -> Quantity:
    """Return a value rounded to so many decimal places of the unit it is written in.

    >>> [str(float(round_to_places(quantity("8.25", "mg"), 1, ties).magnitude)) for ties in TIES]
    ['8.3', '8.2']
    """
    if not 0 <= places <= MOST_PLACES:
        raise RefusedError("round to places", f"places must be from 0 to {MOST_PLACES}; it was {places}.", "Write 2.")
    return round_to_step(value, quantity(Fraction(1, 10**places), unit_name(value)), ties)


def round_to_figures(value: Quantity, figures: int, ties: str = "half up") -> Quantity:
    """Return a value rounded to so many significant figures, in the unit it is written in.

    >>> str(float(round_to_figures(quantity("0.0831725", "mg"), 3).magnitude))
    '0.0832'
    """
    if not 1 <= figures <= MOST_PLACES:
        raise RefusedError(
            "round to figures", f"figures must be from 1 to {MOST_PLACES}; it was {figures}.", "Write 3."
        )
    return round_to_step(value, _step_of_figures(value, figures), ties)


def figures_written(text: str) -> int:
    """Return how many significant figures a written amount has: every digit from the first that is not zero.

    Closing zeros count, because a reading is written as displayed: 120 mg and 0.120 g have three.

    >>> [figures_written(text) for text in ("120 mg", "0.120 g", "0.0050 g", "7 mg")]
    [3, 3, 2, 1]
    """
    reading = _single(text)
    step = _last_place(reading)
    steps = abs(quotient(reading.value, step))
    return len(str(int(steps)))


def sum_as_written(*terms: str, ties: str = "half up") -> Quantity:
    """Return the sum of written amounts, rounded to the coarsest last place among them; a minus sign subtracts.

    >>> print(float(sum_as_written("234.56 mg", "876.5 mg", "-654.321 mg").magnitude))
    456.7

    Source: Rees, Smith & Watson p. 217 (the least precise decimal place governs a sum).
    """
    if not terms:
        raise RefusedError("sum", "has nothing to add.", 'Write, for example, sum_as_written("234.56 mg", "1.5 mg").')
    readings = [_single(term) for term in terms]
    first, *others = (reading.value for reading in readings)
    for term, value in zip(terms[1:], others, strict=True):
        if value.dimensionality != first.dimensionality:
            raise RefusedError("sum", f'"{term}" is not the same kind of amount as "{terms[0]}".', "Add like to like.")
    coarsest, *places = (_last_place(reading) for reading in readings)
    for place in places:
        coarsest = max(coarsest, place)
    return round_to_step(sum(others, first), coarsest.to(unit_name(first)), ties)


def to_fewest_figures(result: Quantity, *factors: str, ties: str = "half up") -> Quantity:
    """Return a product or quotient rounded to the fewest significant figures among the amounts it was made of.

    Counted things (10 capsules) and exact factors are no measurements: leave them out.

    >>> print(float(to_fewest_figures(quantity("3.0303", "mg"), "120 mg", "4.1 mL").magnitude))
    3.0
    """
    if not factors:
        raise RefusedError("fewest figures", "has no amounts to count.", 'Write the amounts, for example "120 mg".')
    return round_to_figures(result, min(figures_written(factor) for factor in factors), ties)


@dataclass(frozen=True)
class Reported:
    """A value and its uncertainty, both rounded to the same last place for reporting."""

    value: Quantity
    uncertainty: Quantity


def reported(value: Quantity, uncertainty: Quantity, *, figures: int = 2, upwards: bool = False) -> Reported:
    """Return a value and its uncertainty as they are reported: the uncertainty to 1 or 2 figures, the value to match.

    ``upwards`` rounds the uncertainty up instead of to the nearest; that is allowed, not compulsory.

    >>> result = reported(quantity("10.05762", "g"), quantity("27", "mg"))
    >>> float(result.value.magnitude), float(result.uncertainty.to("mg").magnitude)
    (10.058, 27.0)

    Source: JCGM 100:2008 (GUM), 7.2.6 (source "gum").
    """
    if figures not in (1, 2):
        raise RefusedError(
            "reported", f"figures must be 1 or 2; it was {figures}.", "An uncertainty is no better known."
        )
    if uncertainty.dimensionality != value.dimensionality or uncertainty.magnitude <= 0:
        raise RefusedError(
            "reported: uncertainty", "must be more than zero and of the value's kind.", "Give both, for example in mg."
        )
    own = uncertainty.to(unit_name(value))
    step = _step_of_figures(own, figures)
    rounded = round_to_step(own, step)
    if upwards and rounded < own:
        rounded = rounded + step
    return Reported(round_to_step(value, _step_of_figures(rounded, figures)), rounded)


def _known(ties: str) -> None:
    if ties not in TIES:
        raise RefusedError("ties", f'must be "half up" or "half even"; it was "{ties}".', "Name one of the two.")


def _step_of_figures(value: Quantity, figures: int) -> Quantity:
    """Return one unit of the last of so many figures of a value."""
    return quantity(_last_figure(value.magnitude, figures), unit_name(value))


def _last_figure(number: Fraction, figures: int) -> Fraction:
    """Return one of the last of so many figures of a number; nothing is taken as about 1."""
    number = abs(number) or Fraction(1)
    power = len(str(number.numerator)) - len(str(number.denominator))
    if Fraction(10) ** power > number:
        power -= 1
    return Fraction(10) ** (power - figures + 1)


def _single(text: str) -> Reading:
    """Read one written amount; a sum that was worked out has no last place of its own."""
    reading = read(text)
    if reading.half_place is None:
        raise RefusedError("rounding", f'"{text}" is not one plain amount.', "Write one reading, for example 120 mg.")
    return reading


def _last_place(reading: Reading) -> Quantity:
    if reading.half_place is None:
        raise RefusedError("rounding", f'"{reading.text}" has no last place.', "Write one reading, for example 120 mg.")
    return reading.half_place * 2


@dataclass(frozen=True)
class Precision:
    """What an answer is asked to: the display step of the balance, or a number of significant figures."""

    step: Quantity | None = None
    figures: int = 3

    def step_at(self, value: Quantity) -> Fraction:
        """Return the step that this precision means at a value, as a number in the value's unit."""
        if self.step is not None:
            return number_in(self.step, value)
        return _last_figure(value.magnitude, self.figures)

    def accepts(self, given: Quantity, right: Quantity) -> bool:
        """Say whether a given answer is the right value, as closely as it was asked for; ties may go either way."""
        return self.accepts_number(number_in(given, right), right)

    def accepts_number(self, given: Fraction, right: Quantity) -> bool:
        """Say the same of a given number in the unit of the right value."""
        step, exact = self.step_at(right), right.magnitude
        distance = abs(given - exact)
        if distance * 2 < step:
            return True
        return distance * 2 == step and any(given == step * _whole(exact / step, ties) for ties in TIES)

    def too_coarse(self, given: Quantity, right: Quantity, half_place: Quantity | None) -> bool:
        """Say whether a given answer is the right value rounded more than was asked for (but within 10 %)."""
        if half_place is None:
            return False
        half, distance = number_in(half_place, right), abs(number_in(given, right) - right.magnitude)
        return half * 2 > self.step_at(right) and distance <= half and distance * 10 <= abs(right.magnitude)

    def another_way(self, given: Quantity, right: Quantity) -> bool:
        """Say whether a given answer is the right value rounded, to the place asked for, in the wrong direction."""
        step, number = self.step_at(right), number_in(given, right)
        return abs(number - right.magnitude) < step and (number / step).denominator == 1

    def nearly(self, given: Quantity, right: Quantity) -> bool:
        """Say whether a given answer is within 1 % of the right value, as when a number was rounded on the way.

        Never where the display step decides: a weight is right or it is not.
        """
        return self.step is None and abs(number_in(given, right) - right.magnitude) * 100 <= abs(right.magnitude)

    def says(self) -> str:
        """Return how this is said in a task: ``to the nearest 1 mg``."""
        if self.step is not None:
            return say(
                "to the nearest {magnitude} {step}",
                magnitude=number_text(self.step.magnitude)[0],
                step=unit_text(self.step),
            )
        return say("to {figures} significant figures", figures=self.figures)


@dataclass(frozen=True)
class PowerOfTen(Precision):
    """An estimate: right when it is less than a factor of about 3 (the square root of 10) away."""

    def accepts_number(self, given: Fraction, right: Quantity) -> bool:
        """Say whether an estimate has the right power of ten."""
        times = given / right.magnitude
        return times > 0 and Fraction(1, 10) <= times**2 <= 10

    def too_coarse(self, given: Quantity, right: Quantity, half_place: Quantity | None) -> bool:
        """An estimate cannot be too coarse."""
        return False

    def another_way(self, given: Quantity, right: Quantity) -> bool:
        """An estimate is not rounded."""
        return False

    def nearly(self, given: Quantity, right: Quantity) -> bool:
        """An estimate is right or it is not."""
        return False

    def says(self) -> str:
        """Return how this is said in a task."""
        return say("the power of ten is enough")
