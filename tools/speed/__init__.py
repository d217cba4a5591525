"""The benchmarks: `make speed` prints one line a figure, `name value unit`.

A figure is a function without arguments that returns a number. Write it in a module of this folder, mark it
`@figure(unit)`, and it is printed under its own name: no list has to be kept.
"""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Figure:
    """A number worth watching, and how it is measured."""

    name: str
    unit: str
    measure: Callable[[], float]


FIGURES: dict[str, Figure] = {}


def figure(unit: str) -> Callable[[Callable[[], float]], Callable[[], float]]:
    """Register the function below as a figure in `unit`: "s", "ms", "x" (a ratio: times) ..."""

    def register(measure: Callable[[], float]) -> Callable[[], float]:
        name = measure.__name__
        if name in FIGURES:
            raise ValueError(f"There are two figures called {name}. Give one another name.")
        FIGURES[name] = Figure(name, unit, measure)
        return measure

    return register
