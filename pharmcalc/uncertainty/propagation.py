"""From the uncertainty of each measurement to the uncertainty of the result: the budget, and the worst case.

A model is ordinary arithmetic on plain numbers. The same model is differentiated here, tried at every combination of
limits, and fed with random numbers by the simulation, so the three cannot speak of different things.
"""

import itertools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from pharmcalc.equations import root
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MEASURED
from pharmcalc.units import Quantity, quotient, ratio, unit_name

__all__ = ["Budget", "BudgetLine", "Input", "Model", "budget", "worst_case"]

Model = Callable[..., Any]
"""A function of keyword arguments by plain arithmetic: it takes fractions, floats and arrays alike."""

NUDGE = Fraction(1, 10**9)
MOST_INPUTS = 12


@dataclass(frozen=True)
class Input:
    """One measured amount with its standard uncertainty, or with its limit for the worst case."""

    name: str
    value: Quantity
    uncertainty: Quantity


@dataclass(frozen=True)
class BudgetLine:
    """What one measurement adds: its relative standard uncertainty, how strongly the result follows it, and its share.

    ``follows`` is the relative change of the result for a relative change of the input (1: in step, -1: against it);
    ``share`` is the part of the squared uncertainty that comes from this input. All plain numbers or percentages.
    """

    name: str
    relative: Quantity
    follows: Quantity
    contribution: Quantity
    share: Quantity


@dataclass(frozen=True)
class Budget:
    """The uncertainty budget of a result: its relative standard uncertainty and where it comes from."""

    relative: Quantity
    lines: tuple[BudgetLine, ...]

    def standard(self, result: Quantity) -> Quantity:
        """Return the standard uncertainty of a result, as an amount."""
        return result * self.relative.to_base_units()


def budget(model: Model, inputs: Sequence[Input]) -> Budget:
    """Return the uncertainty budget of a model by the law of propagation, for independent inputs.

    Derivatives are taken with exact fractions over a step of a thousand-millionth, so they are right to some
    seventeen figures. Raises RefusedError for no inputs, two of one name, or a value that is not above zero.

    >>> from pharmcalc.kinds import PERCENT
    >>> from pharmcalc.reading import read_text
    >>> mass = Input("mass", read_text("300 mg"), read_text("3 mg"))
    >>> volume = Input("volume", read_text("10 mL"), read_text("0.1 mL"))
    >>> PERCENT.show(budget(lambda mass, volume: mass / volume, [mass, volume]).relative)
    'about 1.414 %'

    Source: GUM 5.1.2.
    """
    numbers = _numbers(inputs)
    result = model(**numbers)
    parts = []
    for one in inputs:
        relative = (one.uncertainty / one.value).to_base_units()
        up, down = (model(**{**numbers, one.name: numbers[one.name] * (1 + way * NUDGE)}) for way in (1, -1))
        follows = ratio((up - down) / (2 * NUDGE) / result)
        parts.append((one.name, relative, follows, abs(follows * relative)))
    total = sum((part * part for *_, part in parts), ratio(0))
    shares = [part * part / total if total.magnitude else ratio(0) for *_, part in parts]
    percent = [
        BudgetLine(n, r.to("percent"), f, p.to("percent"), s.to("percent"))
        for (n, r, f, p), s in zip(parts, shares, strict=True)
    ]
    return Budget(root(total).to("percent"), tuple(percent))


def worst_case(model: Model, inputs: Sequence[Input]) -> Quantity:
    """Return the largest relative error of the result when every input may be off by its limit, either way.

    Every combination of signs is tried. ``uncertainty`` of each input is its limit here. At most 12 inputs.
    Raises RefusedError as :func:`budget` does, and for a limit that reaches the value itself.

    >>> from pharmcalc.kinds import PERCENT
    >>> from pharmcalc.units import quantity
    >>> pan = [Input(name, quantity(120, "mg"), quantity(6, "mg")) for name in ("drug", "diluent", "aliquot")]
    >>> PERCENT.show(worst_case(lambda drug, diluent, aliquot: drug * aliquot / (drug + diluent), pan))
    '10.25 %'

    Source: enumeration; three weighings at the least weighable quantity add up to about twice 5 %.
    """
    numbers = _numbers(inputs)
    if len(inputs) > MOST_INPUTS:
        raise RefusedError("worst case", f"there are {len(inputs)} inputs.", f"Give at most {MOST_INPUTS}.")
    off = {one.name: quotient(one.uncertainty, one.value) for one in inputs}
    if any(part >= 1 for part in off.values()):
        raise RefusedError("worst case", "a limit is as large as the value itself.", "Weigh or measure more.")
    result, worst = model(**numbers), Fraction(0)
    for signs in itertools.product((1, -1), repeat=len(inputs)):
        tried = {name: numbers[name] * (1 + sign * off[name]) for name, sign in zip(numbers, signs, strict=True)}
        worst = max(worst, abs(model(**tried) / result - 1))
    return ratio(worst).to("percent")


def _numbers(inputs: Sequence[Input]) -> Mapping[str, Fraction]:
    """Return the checked values as plain numbers; only ratios of them matter, so each may keep its own unit."""
    if not inputs or len({one.name for one in inputs}) < len(inputs):
        raise RefusedError("uncertainty", "each input needs a name of its own.", "Give at least one input.")
    for one in inputs:
        MEASURED.check(f"uncertainty: {one.name}", one.value)
        if not one.uncertainty.is_compatible_with(unit_name(one.value)) or one.uncertainty.magnitude < 0:
            problem = f"its uncertainty, {MEASURED.show(one.uncertainty)}, is no amount of the same kind."
            raise RefusedError(
                f"uncertainty: {one.name}", problem, f'Write, for example, "{MEASURED.show(one.value / 100)}".'
            )
    return {one.name: one.value.to_base_units().magnitude for one in inputs}
