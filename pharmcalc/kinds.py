"""What an amount is *of*: a mass, a volume, a percentage, a strength, a plain number.

A kind says how a value is checked, how a typed text is taken for it and how it is written at the bench.
Percentages, ratio strengths and plain numbers all have no unit; their kind keeps them apart.
"""

from dataclasses import dataclass
from fractions import Fraction

from pharmcalc.errors import RefusedError
from pharmcalc.reading import Reading, read
from pharmcalc.units import Quantity, number_text, quantity, unit_name, unit_text

__all__ = [
    "COUNT", "KINDS", "MASS", "MASS_PER_VOLUME", "MG_PERCENT", "NUMBER", "PERCENT", "PERCENT_VV", "PERCENT_WV",
    "PERCENT_WW", "PPM", "RATIO", "STRENGTH", "VOLUME", "BasisError", "Kind",
]  # fmt: skip


class BasisError(RefusedError):
    """The value is a percentage of another kind (w/w, w/v, v/v) than was asked for."""


@dataclass(frozen=True)
class Kind:
    """One kind of amount.

    ``units`` are the units it is written in (the first is the usual one); ``example`` is what a user may type;
    ``most`` is an upper bound; ``whole`` asks for a whole number; ``zero`` allows nothing at all.
    """

    name: str
    units: tuple[str, ...]
    example: str
    basis: str = ""
    most: Fraction | None = None
    whole: bool = False
    zero: bool = False

    def fits(self, value: Quantity) -> bool:
        """Say whether a value has this kind's dimension."""
        return any(value.is_compatible_with(unit) for unit in self.units)

    def check(self, where: str, value: object) -> Quantity:
        """Return the value if it is a possible amount of this kind; refuse it with the cure if not."""
        cure = f'Write, for example, "{self.example}".'
        if isinstance(value, str):
            return self.take(where, read(value))
        if not isinstance(value, Quantity):
            raise RefusedError(
                where,
                f"must be {self.name}, such as {self.example}; it was {value!r}, a number without a unit.",
                cure,
            )
        if not self.fits(value):
            raise RefusedError(
                where, f"must be {self.name}, such as {self.example}; it was {self._as_given(value)}.", cure
            )
        return self._within(where, value, cure)

    def take(self, where: str, reading: Reading) -> Quantity:
        """Return what a typed text means for this kind, or refuse it with the cure."""
        value, cure = reading.value, f'Write, for example, "{self.example}".'
        if self.basis and reading.basis and reading.basis != self.basis:
            raise BasisError(
                where,
                f'says "{reading.text}", a {reading.basis} strength, but {self.basis} is asked for.',
                cure,
            )
        if not value.dimensionless:
            fitting = self.fits(value)
        elif self in (NUMBER, COUNT):
            fitting = reading.form == "number"
        else:
            fitting = reading.form != "number" or reading.worked_out
        if value.dimensionless and self.basis == "w/v" and fitting:
            value, fitting = quantity(value.to_base_units().magnitude, "gram / millilitre"), True
        elif not self.fits(value):
            fitting = False
        if not fitting:
            raise RefusedError(
                where,
                f'must be {self.name}, such as {self.example}; "{reading.text}" was read as {reading.shown}.',
                cure,
            )
        return self._within(where, value, cure)

    def show(self, value: Quantity) -> str:
        """Write a value as it is written at the bench, for example ``120 mg`` or ``about 3.158 %``."""
        text, exact = self.show_exactly(value)
        return text if exact else f"about {text}"

    def show_exactly(self, value: Quantity) -> tuple[str, bool]:
        """Write a value and say whether the written value is exact."""
        if self is RATIO or (self is STRENGTH and not value.dimensionless and unit_name(value) == "gram / millilitre"):
            strength = (
                value.to_base_units().magnitude if value.dimensionless else value.to("gram / millilitre").magnitude
            )
            number, exact = number_text(1 / strength)
            return f"1:{number}" + ("" if value.dimensionless else " w/v"), exact
        scaled = value.to(self._unit_for(value))
        number, exact = number_text(scaled.magnitude)
        unit = unit_text(scaled)
        if self.basis and unit == "%":
            unit = f"% {self.basis}"
        if self.basis == "w/v" and unit == "ppm w/v":
            unit = "ppm"
        return f"{number} {unit}".strip(), exact

    def _unit_for(self, value: Quantity) -> str:
        fitting = [unit for unit in self.units if value.is_compatible_with(unit)] or [self.units[0]]
        if len(fitting) == 1:
            return fitting[0]
        given = unit_name(value)
        if given in fitting and Fraction(1, 1000) <= abs(value.magnitude) < 10000:
            return given
        for unit in fitting:
            if 1 <= abs(value.to(unit).magnitude) < 10000:
                return unit
        return fitting[0]

    def _as_given(self, value: Quantity) -> str:
        number, _ = number_text(value.magnitude)
        return (
            f"{number} {unit_text(value)}".strip()
            if unit_name(value) != "dimensionless"
            else f"{number}, a number without a unit"
        )

    def _within(self, where: str, value: Quantity, cure: str) -> Quantity:
        number = value.to_base_units().magnitude if value.dimensionless else value.magnitude
        if number < 0 or (number == 0 and not self.zero):
            raise RefusedError(where, f"must be more than zero; it was {self._as_given(value)}.", cure)
        if self.most is not None and number > self.most:
            raise RefusedError(
                where, f"cannot be above {self.show(quantity(self.most))}; it was {self.show(value)}.", cure
            )
        if self.whole and number.denominator != 1:
            raise RefusedError(where, f"must be a whole number; it was {self._as_given(value)}.", cure)
        return value


_FULL = Fraction(1)
MASS = Kind("a mass", ("milligram", "gram", "microgram"), "6 mg")
VOLUME = Kind("a volume", ("millilitre", "litre", "microlitre"), "30 mL")
PERCENT = Kind("a percentage", ("percent",), "5 %", zero=True)
NUMBER = Kind("a plain number", ("dimensionless",), "20")
COUNT = Kind("a whole number", ("dimensionless",), "10", whole=True)
PERCENT_WW = Kind("a percentage strength (w/w)", ("percent",), "5 % w/w", basis="w/w", most=_FULL)
PERCENT_WV = Kind("a percentage strength (w/v)", ("percent_in_volume",), "5 % w/v", basis="w/v")
PERCENT_VV = Kind("a percentage strength (v/v)", ("percent",), "5 % v/v", basis="v/v", most=_FULL)
STRENGTH = Kind("a strength", ("percent", "percent_in_volume"), "5 % w/w")
RATIO = Kind("a ratio strength", ("percent", "gram / millilitre"), "1:200")
MASS_PER_VOLUME = Kind("a strength in mg/mL", ("milligram / millilitre", "microgram / millilitre"), "10 mg/mL")
MG_PERCENT = Kind("a strength in mg%", ("milligram_percent",), "125 mg%")
PPM = Kind("a strength in ppm (w/v)", ("part_per_million_in_volume",), "40 ppm", basis="w/v")

KINDS = (
    MASS,
    VOLUME,
    PERCENT,
    NUMBER,
    COUNT,
    PERCENT_WW,
    PERCENT_WV,
    PERCENT_VV,
    STRENGTH,
    RATIO,
    MASS_PER_VOLUME,
    MG_PERCENT,
    PPM,
)
