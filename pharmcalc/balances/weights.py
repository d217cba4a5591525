"""Check weights: how wrong a weight of each class may be, and which class is good enough for a test.

Two families of classes live side by side: OIML R 111 (E1 the best, then E2, F1, F2, M1, M2, M3) and ASTM E617 (1 the
best of the four listed, then 2, 3, 4). Their limits differ, so a class without its standard says nothing.
"""

from dataclasses import dataclass
from fractions import Fraction

from pharmcalc.errors import RefusedError
from pharmcalc.formula import Mass, formula, mistake_of
from pharmcalc.kinds import MASS
from pharmcalc.sources import Source, source
from pharmcalc.units import Quantity, quantity

__all__ = [
    "WEIGHT_STANDARDS",
    "WeightStandard",
    "largest_error_of_weight",
    "permissible_error_of_weight",
    "weight_class_for",
]


@dataclass(frozen=True)
class WeightStandard:
    """The limits of one standard: ``rows`` hold a nominal mass in mg and the ± limit of each class in mg ("": none)."""

    name: str
    classes: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    source: Source

    def limits(self, nominal: Quantity) -> dict[str, Quantity]:
        """Return the limit of each class that has this nominal mass, the best first; refuse a mass without weights."""
        milligrams = nominal.to("milligram").magnitude
        for listed, row in self.rows:
            if listed == milligrams:
                pairs = zip(self.classes, row, strict=True)
                return {name: quantity(Fraction(limit), "milligram") for name, limit in pairs if limit}
        nearest = min((listed for listed, _ in self.rows), key=lambda listed: abs(listed - milligrams))
        raise RefusedError(
            f"{self.name}: nominal",
            f"there is no weight of {MASS.show(nominal)} in the table.",
            f"The nearest one is {MASS.show(quantity(nearest, 'milligram'))}; other loads are made of several weights.",
        )


def _row(nominal_in_mg: int, limits: str) -> tuple[int, tuple[str, ...]]:
    return nominal_in_mg, tuple(limit.strip("-") for limit in limits.split())


WEIGHT_STANDARDS = {
    standard.name: standard
    for standard in (
        WeightStandard(
            "OIML R 111",
            ("E1", "E2", "F1", "F2", "M1", "M2", "M3"),
            (
                _row(1, "0.003 0.006 0.020 0.06 0.20 - -"),
                _row(2, "0.003 0.006 0.020 0.06 0.20 - -"),
                _row(5, "0.003 0.006 0.020 0.06 0.20 - -"),  # one reproduction prints 0.02 for M1
                _row(10, "0.003 0.008 0.025 0.08 0.25 - -"),
                _row(20, "0.003 0.010 0.03 0.10 0.3 - -"),
                _row(50, "0.004 0.012 0.04 0.12 0.4 - -"),
                _row(100, "0.005 0.016 0.05 0.16 0.5 1.6 -"),
                _row(200, "0.006 0.020 0.06 0.20 0.6 2.0 -"),
                _row(500, "0.008 0.025 0.08 0.25 0.8 2.5 -"),
                _row(1_000, "0.010 0.03 0.10 0.3 1.0 3.0 10"),
                _row(2_000, "0.012 0.04 0.12 0.4 1.2 4.0 12"),
                _row(5_000, "0.016 0.05 0.16 0.5 1.6 5.0 16"),
                _row(10_000, "0.020 0.06 0.20 0.6 2.0 6.0 20"),
                _row(20_000, "0.025 0.08 0.25 0.8 2.5 8.0 25"),
                _row(50_000, "0.03 0.10 0.3 1.0 3.0 10 30"),
                _row(100_000, "0.05 0.16 0.5 1.6 5.0 16 50"),
                _row(200_000, "0.10 0.3 1.0 3.0 10 30 100"),
                _row(500_000, "0.25 0.8 2.5 8.0 25 80 250"),
                _row(1_000_000, "0.5 1.6 5.0 16 50 160 500"),
                _row(2_000_000, "1.0 3.0 10 30 100 300 1000"),
                _row(5_000_000, "2.5 8.0 25 80 250 800 2500"),
            ),
            source("oiml-r111"),
        ),
        WeightStandard(
            "ASTM E617",
            ("1", "2", "3", "4"),
            (
                _row(10, "0.010 0.014 0.030 0.060"),
                _row(20, "0.010 0.014 0.035 0.070"),
                _row(50, "0.010 0.014 0.042 0.085"),
                _row(100, "0.010 0.025 0.050 0.10"),
                _row(200, "0.010 0.025 0.060 0.12"),
                _row(500, "0.010 0.025 0.080 0.16"),
                _row(1_000, "0.034 0.054 0.10 0.20"),
                _row(2_000, "0.034 0.054 0.13 0.26"),
                _row(5_000, "0.034 0.054 0.18 0.36"),
                _row(10_000, "0.050 0.074 0.25 0.50"),
                _row(20_000, "0.074 0.10 0.35 0.70"),
                _row(50_000, "0.12 0.25 0.60 1.2"),
                _row(100_000, "0.25 0.50 1.0 2.0"),
                _row(200_000, "0.50 1.0 2.0 4.0"),
                _row(500_000, "1.2 2.5 5.0 10"),
                _row(1_000_000, "2.5 5.0 10 20"),
            ),
            source("astm-e617"),
        ),
    )
}
"""The two standards by name; ASTM E617 from memory. Every limit holds either way."""


def permissible_error_of_weight(
    *, nominal: Quantity | str, weight_class: str, standard: str = "OIML R 111"
) -> Quantity:
    """Return how far a weight of a class may be from its nominal mass, either way.

    nominal: a mass that is made as one weight, from 1 mg to 5 kg. weight_class: such as "F1" or, for ASTM E617, "2".
    Returns a mass. Does not look at a certificate: a calibrated weight has its own error and uncertainty.
    Raises RefusedError for an unknown standard or class, a class without this weight, or a mass without weights.

    >>> MASS.show(permissible_error_of_weight(nominal="100 g", weight_class="F1"))
    '0.5 mg'

    Source: OIML R 111-1:2004, Table 1 (second-hand); ASTM E617 (from memory).
    """
    table = _standard(standard)
    mass = MASS.check("permissible_error_of_weight: nominal", nominal)
    if weight_class not in table.classes:
        raise RefusedError(
            "permissible_error_of_weight: weight_class",
            f"{weight_class!r} is not a class of {table.name}.",
            f"Write one of {', '.join(table.classes)}.",
        )
    limits = table.limits(mass)
    if weight_class not in limits:
        raise RefusedError(
            "permissible_error_of_weight: weight_class",
            f"{table.name} has no weight of {MASS.show(mass)} in class {weight_class}.",
            f"Write one of {', '.join(limits)}.",
        )
    return limits[weight_class]


@formula(source="usp-41-test-weight oiml-r76-weights", symbol="limit ÷ 3")
def largest_error_of_weight(*, permissible_error: Mass) -> Mass:
    """Return how far a check weight itself may be off, so that it can judge a balance.

    Formula: permissible error of the balance ÷ 3. What judges must be clearly better than what is judged.

    permissible_error: what the balance may be off by at this load, a mass above zero. Returns a mass.
    Raises RefusedError for a bare number, another kind of amount, zero or a negative mass.

    >>> print(largest_error_of_weight.kind.show(largest_error_of_weight(permissible_error="100 mg")))
    about 33.33 mg

    Source: USP <41>, accuracy test, and OIML R 76-1, 3.7.1 (both from memory).
    """
    return permissible_error / 3


@mistake_of(largest_error_of_weight, id="weight-takes-whole-limit")
def whole_limit_for_the_weight(*, permissible_error: Mass) -> Mass:
    """The whole limit was allowed to the weight.

    Then a right balance could fail, or a wrong one pass, through the weight alone. A third is left to the weight.
    """
    return permissible_error


def weight_class_for(*, nominal: Quantity | str, largest_error: Quantity | str, standard: str = "OIML R 111") -> str:
    """Return the least demanding class of check weight that is good enough.

    nominal: the mass of the weight. largest_error: what the weight may be off by, see :func:`largest_error_of_weight`.
    Returns the class, such as ``"F2"``; every class before it is good enough too.
    Raises RefusedError for an unknown standard, a mass without weights, or when no class of the table is good enough.

    >>> weight_class_for(nominal="100 g", largest_error="33.3 mg")
    'M2'

    Source: OIML R 111-1:2004, Table 1 (second-hand); ASTM E617 (from memory).
    """
    table = _standard(standard)
    mass = MASS.check("weight_class_for: nominal", nominal)
    most = MASS.check("weight_class_for: largest_error", largest_error)
    limits = table.limits(mass)
    good = [name for name, limit in limits.items() if limit <= most]
    if not good:
        best, limit = next(iter(limits.items()))
        raise RefusedError(
            "weight_class_for: largest_error",
            f"no class of {table.name} is within {MASS.show(most)} at {MASS.show(mass)}; "
            f"the best, {best}, may be off by {MASS.show(limit)}.",
            "Use a calibrated weight and the value and uncertainty on its certificate.",
        )
    return good[-1]


def _standard(name: str) -> WeightStandard:
    if name not in WEIGHT_STANDARDS:
        raise RefusedError(
            "standard of the weights", f"{name!r} is not known here.", f"Write one of {', '.join(WEIGHT_STANDARDS)}."
        )
    return WEIGHT_STANDARDS[name]
