"""The mathematics of weighing in a pharmacy compounding lab: a table of contents.

For education only. Not for preparing or dispensing medicines. Local law, the pharmacopoeia in force, site procedures
and licensed practice decide; have every result verified by a second person.
"""

from pharmcalc import aliquots, balances, strengths
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
    "quantity",
    "read",
    "read_text",
    "strengths",
]

__version__ = "0.1.0"
