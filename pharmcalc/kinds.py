"""What an amount is *of*: a mass, a volume, a percentage, a strength, a plain number.

A kind says how a value is checked, how a typed text is taken for it and how it is written at the bench.
Percentages, ratio strengths and plain numbers all have no unit; their kind keeps them apart.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from pharmcalc.errors import ReadingError, RefusedError
from pharmcalc.language import say, worded
from pharmcalc.reading import Reading, read
from pharmcalc.units import Quantity, dimension_of, in_unit, is_plain, number_text, quantity, unit_name, unit_text

__all__ = [
    "AMOUNT", "COUNT", "DENSITY", "KINDS", "LENGTH", "MASS", "MASS_DIFFERENCE", "MASS_OR_NONE", "MASS_PER_VOLUME",
    "MEASURED",
    "MG_PERCENT", "MOLAR_MASS", "NUMBER", "PERCENT", "PERCENT_VV", "PERCENT_WV", "PERCENT_WW", "PERCENT_WW_OR_NONE",
    "PPB", "PPM", "PURITY", "RATIO", "STRENGTH", "STRENGTH_OR_NONE", "VOLUME", "VOLUME_OR_NONE", "BasisError", "Kind",
    "one_basis", "written",
]  # fmt: skip


LARGEST_TOLD = 10**12


class BasisError(RefusedError):
    """The value is a percentage of another kind (w/w, w/v, v/v) than was asked for."""


@worded("name", "example")
@dataclass(frozen=True)
class Kind:
    """One kind of amount.

    ``units`` are the units it is written in (the first is the usual one); ``example`` is what a user may type;
    ``forms`` are the ways of writing that count as an answer (empty: any): "say it in mg%" is not answered in per cent;
    ``most`` is an upper bound, for values without a unit; ``whole`` asks for a whole number; ``zero`` allows nothing
    at all; ``signed`` allows less than nothing, for a difference.
    """

    name: str
    units: tuple[str, ...]
    example: str
    basis: str = ""
    most: Fraction | None = None
    whole: bool = False
    zero: bool = False
    signed: bool = False
    forms: tuple[str, ...] = ()

    def fits(self, value: Quantity) -> bool:
        """Say whether a value has this kind's dimension."""
        dimension = value.dimensionality
        return any(dimension == dimension_of(unit) for unit in self.units)

    def check(self, where: str, value: object) -> Quantity:
        """Return the value if it is a possible amount of this kind; refuse it with the cure if not."""
        cure = say('Write, for example, "{example}".', example=self.example)
        if isinstance(value, str):
            return self.take(where, _read_for(where, value))
        if not isinstance(value, Quantity):
            raise RefusedError(where, self._another(_told(value)), cure)
        if not isinstance(value.magnitude, Fraction):
            raise RefusedError(
                where, say("must be an exact amount; it was {magnitude!r} as a float.", magnitude=value.magnitude), cure
            )
        if not self.fits(value):
            raise RefusedError(where, self._another(self._as_given(value)), cure)
        return self._within(where, value, cure)

    def take(self, where: str, reading: Reading, *, as_answer: bool = False) -> Quantity:
        """Return what a typed text means for this kind, or refuse it with the cure.

        ``as_answer`` asks for the form of this kind as well: a percentage with its sign, a ratio strength as a ratio.
        A wrong answer may be an impossible amount, such as 180 % w/w; it is read, so that it can be judged.
        """
        value, cure = reading.value, say('Write, for example, "{example}".', example=self.example)
        if self.basis and reading.basis and reading.basis != self.basis:
            raise BasisError(
                where,
                say(
                    'says "{text}", a {basis} strength, but {wanted} is asked for.',
                    text=reading.text,
                    basis=reading.basis,
                    wanted=self.basis,
                ),
                cure,
            )
        if not is_plain(value):
            fitting = self.fits(value)
        elif self in (NUMBER, COUNT):
            fitting = reading.form == "number"
        else:
            fitting = reading.form != "number" or reading.worked_out
        if is_plain(value) and self.basis == "w/v" and fitting:
            value = quantity(value.to_base_units().magnitude, "gram / millilitre").to(self.units[0])
        elif not self.fits(value):
            fitting = False
        if as_answer and self.forms and reading.form not in self.forms:
            fitting = False
        if not fitting:
            raise RefusedError(
                where,
                say(
                    'must be {name}, such as {example}; "{text}" was read as {shown}.',
                    name=self.name,
                    example=self.example,
                    text=reading.text,
                    shown=reading.shown,
                ),
                cure,
            )
        return self._within(where, value, cure, bounded=not as_answer)

    def show(self, value: Quantity) -> str:
        """Write a value as it is written at the bench, for example ``120 mg`` or ``about 3.158 %``."""
        text, exact = self.show_exactly(value)
        return text if exact else say("about {text}", text=text)

    def show_exactly(self, value: Quantity) -> tuple[str, bool]:
        """Write a value and say whether the written value is exact."""
        if self is RATIO or (self is STRENGTH and not is_plain(value) and unit_name(value) == "gram / millilitre"):
            strength = value.to_base_units().magnitude if is_plain(value) else value.to("gram / millilitre").magnitude
            number, exact = number_text(1 / strength)
            return f"1:{number}" + ("" if is_plain(value) else " w/v"), exact
        scaled = in_unit(value, self._unit_for(value))
        number, exact = number_text(scaled.magnitude)
        unit = unit_text(scaled)
        if self.basis and unit == "%":
            unit = f"% {self.basis}"
        if self.basis == "w/v" and unit == "ppm w/v":
            unit = "ppm"
        return f"{number} {unit}".strip(), exact

    def _unit_for(self, value: Quantity) -> str:
        dimension = value.dimensionality
        fitting = [unit for unit in self.units if dimension == dimension_of(unit)] or [self.units[0]]
        if len(fitting) == 1:
            return fitting[0]
        given = unit_name(value)
        if given in fitting and Fraction(1, 1000) <= abs(value.magnitude) < 10000:
            return given
        for unit in fitting:
            if 1 <= abs(in_unit(value, unit).magnitude) < 10000:
                return unit
        nearest = max if 0 < abs(in_unit(value, fitting[0]).magnitude) < 1 else min
        return nearest(fitting, key=lambda unit: abs(in_unit(value, unit).magnitude))

    def _another(self, told: str) -> str:
        return say(
            "must be {name}, such as {example}; it was {value}.", name=self.name, example=self.example, value=told
        )

    def _as_given(self, value: Quantity) -> str:
        number, _ = number_text(value.magnitude)
        return (
            f"{number} {unit_text(value)}".strip()
            if unit_name(value) != "dimensionless"
            else say("{number}, a number without a unit", number=number)
        )

    def _within(self, where: str, value: Quantity, cure: str, *, bounded: bool = True) -> Quantity:
        number = value.to_base_units().magnitude if is_plain(value) else value.magnitude
        if (number < 0 and not self.signed) or (number == 0 and not self.zero):
            rule = say("must not be less than zero") if self.zero else say("must be more than zero")
            raise RefusedError(where, say("{rule}; it was {value}.", rule=rule, value=self._as_given(value)), cure)
        if bounded and self.most is not None and is_plain(value) and number > self.most:
            raise RefusedError(
                where,
                say(
                    "cannot be above {most}; it was {value}.",
                    most=self.show(quantity(self.most)),
                    value=self.show(value),
                ),
                cure,
            )
        if self.whole and number.denominator != 1:
            raise RefusedError(where, say("must be a whole number; it was {value}.", value=self._as_given(value)), cure)
        return value


def _read_for(where: str, text: str) -> Reading:
    """Read a text for an argument; an error names the argument too."""
    try:
        return read(text)
    except ReadingError as error:
        raise RefusedError(
            where, say('"{text}" could not be read: {problem}', text=error.text[:60], problem=error.problem), error.cure
        ) from None


def _told(value: object) -> str:
    """Say what was given instead of a quantity."""
    if not isinstance(value, int | float | Fraction | Decimal):
        return f"a {type(value).__name__}"
    if isinstance(value, int) and abs(value) > LARGEST_TOLD:
        return say("a very long number without a unit")
    return say("{value}, a number without a unit", value=value)


_FULL = Fraction(1)
MASS = Kind("a mass", ("milligram", "gram", "microgram"), "6 mg")
MASS_OR_NONE = Kind("a mass (0 mg is possible)", MASS.units, "6 mg", zero=True)
MASS_DIFFERENCE = Kind("a difference of two masses", MASS.units, "-2 mg", zero=True, signed=True)
LENGTH = Kind("a length", ("millimetre", "centimetre"), "1 mm")
VOLUME = Kind("a volume", ("millilitre", "litre", "microlitre"), "30 mL")
VOLUME_OR_NONE = Kind("a volume (0 mL is possible)", VOLUME.units, "30 mL", zero=True)
PERCENT = Kind("a percentage", ("percent",), "5 %", zero=True, forms=("percent",))
NUMBER = Kind("a plain number", ("dimensionless",), "20")
COUNT = Kind("a whole number", ("dimensionless",), "10", whole=True)
PERCENT_WW = Kind("a percentage strength (w/w)", ("percent",), "5 % w/w", basis="w/w", most=_FULL, forms=("percent",))
PERCENT_WV = Kind("a percentage strength (w/v)", ("percent_in_volume",), "5 % w/v", basis="w/v", forms=("percent",))
PERCENT_VV = Kind("a percentage strength (v/v)", ("percent",), "5 % v/v", basis="v/v", most=_FULL, forms=("percent",))
STRENGTH = Kind("a strength", ("percent", "percent_in_volume"), "5 % w/w", most=_FULL)
STRENGTH_OR_NONE = Kind("a strength (0 % for a diluent)", STRENGTH.units, "5 %", most=_FULL, zero=True)
PERCENT_WW_OR_NONE = Kind(
    "a percentage strength (w/w), 0 % for a plain base", ("percent",), "5 % w/w", basis="w/w", most=_FULL, zero=True
)
PURITY = Kind("a purity, an assay or a potency", ("percent",), "98.5 %", most=Fraction(11, 10))
"""An assay may read a little above 100 %, because it is a measurement too."""
RATIO = Kind("a ratio strength", ("percent", "gram / millilitre"), "1:200", forms=("ratio", "number"))
MASS_PER_VOLUME = Kind(
    "a strength in mg/mL", ("milligram / millilitre", "microgram / millilitre"), "10 mg/mL", forms=("amount",)
)
MG_PERCENT = Kind("a strength in mg%", ("milligram_percent",), "125 mg%", forms=("mg%",))
PPM = Kind("a strength in ppm (w/v)", ("part_per_million_in_volume",), "40 ppm", basis="w/v", forms=("ppm",))
PPB = Kind("a strength in ppb (w/v)", ("part_per_billion_in_volume",), "15 ppb", basis="w/v")
AMOUNT = Kind("a mass or a volume", ("millilitre", "litre", "microlitre", "gram", "milligram", "microgram"), "60 mL")
MEASURED = Kind(
    "a mass, a volume or a percentage",
    ("milligram", "gram", "microgram", "millilitre", "litre", "microlitre", "percent"),
    "0.5 mg",
)
DENSITY = Kind("a density", ("gram / millilitre",), "0.75 g/mL")
MOLAR_MASS = Kind("a molar mass", ("gram / mole",), "180.16 g/mol")

KINDS = (
    MASS,
    MASS_OR_NONE,
    MASS_DIFFERENCE,
    LENGTH,
    VOLUME,
    VOLUME_OR_NONE,
    PERCENT,
    NUMBER,
    COUNT,
    PERCENT_WW,
    PERCENT_WV,
    PERCENT_VV,
    STRENGTH,
    STRENGTH_OR_NONE,
    PERCENT_WW_OR_NONE,
    PURITY,
    RATIO,
    MASS_PER_VOLUME,
    MG_PERCENT,
    PPM,
    PPB,
    AMOUNT,
    DENSITY,
    MEASURED,
    MOLAR_MASS,
)


def one_basis(where: str, kinds: Mapping[str, Kind], given: Mapping[str, object]) -> None:
    """Refuse strengths that are typed on two bases, such as 10 % w/w with 5 % v/v.

    Only a text can say w/w or v/v: inside, both are plain fractions, and a quantity of 5 % does not tell which it is.
    A strength w/v is told apart by its dimension, as text and as quantity.
    """
    stated: dict[str, tuple[str, object]] = {}
    for name, value in given.items():
        if isinstance(value, str) and kinds[name] in (STRENGTH, STRENGTH_OR_NONE, RATIO):
            basis = _read_for(f"{where}: {name}", value).basis
            if basis in ("w/w", "v/v"):
                stated[name] = (basis, value)
    for name, (basis, text) in stated.items():
        first, (other, first_text) = next(iter(stated.items()))
        if basis != other:
            raise BasisError(
                f"{where}: {name}",
                say(
                    'says "{text}", a {basis} strength, but {first} says "{first_text}", a {other} one.',
                    text=text,
                    basis=basis,
                    first=say(first.replace("_", " ")),
                    first_text=first_text,
                    other=other,
                ),
                say("Write both on one basis. Only a specific gravity of each leads from v/v to w/w."),
            )


_BY_DIMENSION = (MASS, VOLUME, MASS_PER_VOLUME, LENGTH, MOLAR_MASS)


def written(value: object) -> str:
    """Write an amount as the kind of its dimension does; what is no amount, such as a vessel's range, says itself.

    >>> [written(quantity(number, unit)) for number, unit in ((120, "mg"), (30, "mL"), (20, "mg / mL"), (100, ""))]
    ['120 mg', '30 mL', '20 mg/mL', '100']
    """
    if not isinstance(value, Quantity):
        return str(value)
    kind = next(
        (kind for kind in _BY_DIMENSION if kind.fits(value)), PERCENT if unit_name(value) == "percent" else NUMBER
    )
    return kind.show(value)
