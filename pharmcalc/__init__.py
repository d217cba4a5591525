"""The mathematics of weighing in a pharmacy compounding lab: a table of contents, by subject.

- Read an amount: ``metric`` (the same amount in another metric unit).
- Weigh: ``balances`` (error, least weighable quantity, what rules and law say, which balance), ``display`` (readings).
- Measure: ``volumes`` (cylinders, pipettes, flasks, syringes, and which one).
- Weigh what is too small: ``aliquots`` (solid, liquid and serial aliquots, plans, conventions, remedies).
- Say how strong: ``strengths`` (percentages, ratios, parts, mg%, ppm, labels, solubility, specific gravity).
- Change how strong: ``dilutions`` (stock solutions, adding, evaporating, alligation, triturations).
- Make a recipe: ``recipes`` (scaling, batches, capsules, tablets, old units), ``potency`` (salts, hydrates, assay).
- Say how sure: ``uncertainty`` (budgets, worst case, simulation), ``rounding`` (figures, places, ties by name).
- Take part: ``conditions`` (what must hold between amounts), ``sources`` (where every rule and number comes from).

Each is loaded when it is first asked for, so that a first result is quick. ``FORMULAS`` and ``MISTAKES`` are the
whole list: asking for one of them loads every room.

For education only. Not for preparing or dispensing medicines. Local law, the pharmacopoeia in force, site procedures
and licensed practice decide; have every result verified by a second person.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # what a type checker and an editor see; __getattr__ below does the same when it is asked
    from pharmcalc import (
        aliquots,
        balances,
        conditions,
        dilutions,
        display,
        metric,
        potency,
        recipes,
        rounding,
        sources,
        strengths,
        uncertainty,
        volumes,
    )
    from pharmcalc.errors import PharmcalcError, ReadingError, RefusedError
    from pharmcalc.formula import FORMULAS, MISTAKES, Formula, Mistake
    from pharmcalc.reading import Reading, read, read_text
    from pharmcalc.units import Quantity, quantity

__all__ = [
    "FORMULAS",
    "MISTAKES",
    "Formula",
    "Mistake",
    "PharmcalcError",
    "Quantity",
    "Reading",
    "ReadingError",
    "RefusedError",
    "aliquots",
    "balances",
    "conditions",
    "dilutions",
    "display",
    "metric",
    "potency",
    "quantity",
    "read",
    "read_text",
    "recipes",
    "rounding",
    "sources",
    "strengths",
    "uncertainty",
    "volumes",
]

__version__ = "0.1.0"

if not TYPE_CHECKING:
    _LISTS = {"FORMULAS", "MISTAKES"}
    #: The names that are no rooms, and the module that each is in.
    _HOMES = {
        "errors": ("PharmcalcError", "ReadingError", "RefusedError"),
        "formula": ("Formula", "Mistake", *_LISTS),
        "reading": ("Reading", "read", "read_text"),
        "units": ("Quantity", "quantity"),
    }
    _HOME = {name: home for home, names in _HOMES.items() for name in names}

    def __getattr__(name: str) -> object:
        """Load a name when it is first asked for; for the whole list of formulas or mistakes, load every room."""
        if name not in __all__:
            raise AttributeError(f"module 'pharmcalc' has no attribute {name!r}")
        if name in _LISTS:
            for room in set(__all__) - set(_HOME):
                import_module(f"pharmcalc.{room}")
        if name in _HOME:
            return getattr(import_module(f"pharmcalc.{_HOME[name]}"), name)
        return import_module(f"pharmcalc.{name}")

    def __dir__() -> list[str]:
        """Name what is not loaded yet as well."""
        return sorted({*globals(), *__all__})
