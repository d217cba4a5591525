"""Formula and Mistake: an equation stated once, and the known ways to get it wrong.

From the one statement come the number, the written working, the marking and the feedback. A formula's arguments and
its result say what they are by their annotation (``Mass``, ``Percent``, ...), so the checks and the printed units
need no second list.
"""

import functools
import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, NoReturn, TypeAlias, cast, get_args, get_type_hints

from pharmcalc import kinds
from pharmcalc.equations import Name, Node
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import Kind
from pharmcalc.language import say
from pharmcalc.sources import Source, source
from pharmcalc.units import Incompatible, Quantity, dimension_of, in_unit, unit_name

__all__ = [
    "FORMULAS", "MISTAKES", "Amount", "Check", "Concentration", "Count", "Density", "Formula", "Length", "Mass",
    "MassDifference", "MassOrNone", "Measured", "MgPercent", "Mistake", "MolarMass", "Number", "Percent", "PercentVV",
    "PercentWV", "PercentWW", "PercentWWOrNone", "Ppb", "Ppm", "Purity", "Ratio", "Strength", "StrengthOrNone",
    "Volume", "VolumeOrNone", "formula", "mistake_of", "words",
]  # fmt: skip

Mass: TypeAlias = Annotated[Quantity, kinds.MASS]
MassOrNone: TypeAlias = Annotated[Quantity, kinds.MASS_OR_NONE]
MassDifference: TypeAlias = Annotated[Quantity, kinds.MASS_DIFFERENCE]
Length: TypeAlias = Annotated[Quantity, kinds.LENGTH]
Volume: TypeAlias = Annotated[Quantity, kinds.VOLUME]
VolumeOrNone: TypeAlias = Annotated[Quantity, kinds.VOLUME_OR_NONE]
Percent: TypeAlias = Annotated[Quantity, kinds.PERCENT]
Number: TypeAlias = Annotated[Quantity, kinds.NUMBER]
Count: TypeAlias = Annotated[Quantity, kinds.COUNT]
PercentWW: TypeAlias = Annotated[Quantity, kinds.PERCENT_WW]
PercentWV: TypeAlias = Annotated[Quantity, kinds.PERCENT_WV]
PercentVV: TypeAlias = Annotated[Quantity, kinds.PERCENT_VV]
Strength: TypeAlias = Annotated[Quantity, kinds.STRENGTH]
Ratio: TypeAlias = Annotated[Quantity, kinds.RATIO]
Concentration: TypeAlias = Annotated[Quantity, kinds.MASS_PER_VOLUME]
MgPercent: TypeAlias = Annotated[Quantity, kinds.MG_PERCENT]
Ppm: TypeAlias = Annotated[Quantity, kinds.PPM]
Ppb: TypeAlias = Annotated[Quantity, kinds.PPB]
Amount: TypeAlias = Annotated[Quantity, kinds.AMOUNT]
StrengthOrNone: TypeAlias = Annotated[Quantity, kinds.STRENGTH_OR_NONE]
PercentWWOrNone: TypeAlias = Annotated[Quantity, kinds.PERCENT_WW_OR_NONE]
Purity: TypeAlias = Annotated[Quantity, kinds.PURITY]
Measured: TypeAlias = Annotated[Quantity, kinds.MEASURED]
Density: TypeAlias = Annotated[Quantity, kinds.DENSITY]
MolarMass: TypeAlias = Annotated[Quantity, kinds.MOLAR_MASS]

Body: TypeAlias = Callable[..., Quantity]
Values: TypeAlias = Mapping[str, Quantity]
Check: TypeAlias = Callable[[str, Mapping[str, Kind], Values], None]
"""What must hold between the amounts of a formula; it raises RefusedError when it does not (see conditions.py)."""


def words(name: str) -> str:
    """Return the words of a name as they are said: ``least_weighable_quantity`` is *least weighable quantity*."""
    return say(name.replace("_", " "))


def _kinds(body: Body) -> dict[str, Kind]:
    hints = get_type_hints(body, include_extras=True)
    return {name: get_args(hint)[1] for name, hint in hints.items()}


@functools.lru_cache(1000)
def _fitting(units: tuple[str, ...], unit: str) -> tuple[str, ...]:
    """Return those of a kind's units that another unit can be converted to; it is worked out once."""
    dimension = dimension_of(unit)
    return tuple(one for one in units if dimension_of(one) == dimension)


class _Equation:
    """What a formula and a mistake share: a body of arithmetic that can be evaluated and printed."""

    def __init__(self, body: Body) -> None:
        functools.update_wrapper(cast(Body, self), body)
        self.body = body
        found = _kinds(body)
        self.kind: Kind = found.pop("return")
        self.kinds: dict[str, Kind] = found

    @functools.cached_property
    def tree(self) -> Node:
        """The equation as a tree, traced from the body."""
        drawn: Any = self.body(**{name: Name(name) for name in self.kinds})
        return drawn if isinstance(drawn, Node) else Name(str(drawn))

    def evaluate(self, values: Values) -> Quantity:
        """Return the value from quantities that are already checked, in their unit or in the kind's usual one.

        A unit that comes of the arithmetic alone (g/mL times mL) is kept only where the number is at least 1; less than
        a litre is said in mL.
        """
        try:
            result = self.body(**{name: values[name] for name in self.kinds})
        except Incompatible:
            self._refuse_kinds()
        unit = unit_name(result)
        fitting = _fitting(self.kind.units, unit)
        if unit in fitting and (
            abs(result.magnitude) >= 1
            or (unit != "litre" and any(unit_name(values[name]) == unit for name in self.kinds))
        ):
            return result
        if not fitting:
            self._refuse_kinds()
        return in_unit(result, fitting[0])

    def _refuse_kinds(self) -> NoReturn:
        raise RefusedError(
            self.body.__name__,
            f"these amounts do not go together: the result would not be {self.kind.name}.",
            "Check whether each strength is w/w or w/v.",
        )

    def equation(self) -> str:
        """Return the equation in words: ``sensitivity requirement ÷ allowed error``."""
        return self.tree.text(words)

    def latex(self) -> str:
        """Return the equation as LaTeX."""
        return self.tree.latex(words)

    def with_numbers(self, values: Values) -> str:
        """Return the equation with the numbers put in: ``6 mg ÷ 5 %``."""
        return self.tree.text(lambda name: self.kinds[name].show(values[name]))


class Mistake(_Equation):
    """A known way to get a formula wrong: a named function of the same amounts, with a stable id.

    Its docstring names it: the first line says what was done (``named``), the rest why the right way is right
    (``taught``).
    """

    def __init__(self, body: Body, *, id: str, of: "Formula") -> None:
        super().__init__(body)
        self.id, self.of = id, of
        name, _, lesson = inspect.cleandoc(body.__doc__ or "").partition("\n\n")
        self.named, self.taught = " ".join(name.split()).rstrip("."), " ".join(lesson.split())

    @property
    def name(self) -> str:
        """What was done, as an action, in the language in use."""
        return say(self.named)

    @property
    def lesson(self) -> str:
        """Why the right way is right, in the language in use."""
        return say(self.taught)


class Formula(_Equation):
    """An equation stated once. Call it with quantities (or texts such as ``"6 mg"``), by name."""

    def __init__(
        self, body: Body, *, sources: tuple[Source, ...], symbol: str, label: str, checks: tuple[Check, ...] = ()
    ) -> None:
        super().__init__(body)
        self.sources, self.symbol, self.checks = sources, symbol, checks
        self.name: str = body.__name__
        self.labelled = label
        self.mistakes: list[Mistake] = []

    @property
    def label(self) -> str:
        """What the result is called, in the language in use."""
        return say(self.labelled) if self.labelled else words(self.name)

    def __call__(self, **values: Quantity | str) -> Quantity:
        """Return the result, exactly; refuse what is missing, unknown, of the wrong kind or impossible."""
        if values.keys() != self.kinds.keys():
            self._refuse_names(values)
        checked = {name: kind.check(f"{self.name}: {name}", values[name]) for name, kind in self.kinds.items()}
        kinds.one_basis(self.name, self.kinds, values)
        for check in self.checks:
            check(self.name, self.kinds, checked)
        try:
            result = self.evaluate(checked)
        except ZeroDivisionError:
            raise RefusedError(self.name, "divides by zero with these values.", "Check the numbers.") from None
        try:
            return self.kind.check(self.name, result)
        except RefusedError as error:
            raise RefusedError(self.name, f"the result {error.problem}", "Check the numbers that were given.") from None

    def _refuse_names(self, values: Mapping[str, object]) -> None:
        missing = [name for name in self.kinds if name not in values]
        extra = [name for name in values if name not in self.kinds]
        what = f"needs {', '.join(missing)}" if missing else f"does not know {', '.join(extra)}"
        shown = ", ".join(f'{name}="{kind.example}"' for name, kind in self.kinds.items())
        raise RefusedError(self.name, f"{what}.", f"Write {self.name}({shown}).")

    def __repr__(self) -> str:
        return f"<Formula {self.name}: {self.equation()}>"


FORMULAS: dict[str, Formula] = {}
MISTAKES: dict[str, Mistake] = {}


@dataclass(frozen=True)
class formula:  # noqa: N801  # a decorator, read as a word
    """Make a Formula of a function, registered under its name; ``source`` names entries of sources.py.

    ``checks`` (from conditions.py) say what must hold between its amounts.
    """

    source: str
    symbol: str
    label: str = ""
    checks: tuple[Check, ...] = ()

    def __call__(self, body: Body) -> Formula:
        """Make and register the formula."""
        sources = tuple(source(key) for key in self.source.split())
        made = Formula(body, sources=sources, symbol=self.symbol, label=self.label, checks=self.checks)
        if made.name in FORMULAS:
            raise ValueError(f"there is already a formula {made.name}")
        FORMULAS[made.name] = made
        return made


@dataclass(frozen=True)
class mistake_of:  # noqa: N801  # a decorator, read as a word
    """Make a Mistake of a function and hang it on its formula; ``id`` is stable for ever."""

    of: Formula
    id: str

    def __call__(self, body: Body) -> Mistake:
        """Make the mistake, register it, and hang it on its formula."""
        made = Mistake(body, id=self.id, of=self.of)
        if made.id in MISTAKES:
            raise ValueError(f"there is already a mistake {made.id}")
        MISTAKES[made.id] = made
        self.of.mistakes.append(made)
        return made
