"""How a reader is spoken to: language, decimal mark, units. Every text that a student reads goes through ``say``.

Languages are gettext catalogues in this folder, kept by ``make messages``. Nothing that is computed, kept in a file or
compared by its name depends on any of this.
"""

from pharmcalc.language.habits import (
    DECIMAL_MARKS,
    ENGLISH,
    LANGUAGES,
    LITRES,
    MICROGRAMS,
    NEUTRAL,
    Habits,
    habits,
    use,
    using,
)
from pharmcalc.language.messages import CATALOGUES, as_written, capital, in_every_language, later, say, worded

__all__ = [
    "CATALOGUES",
    "DECIMAL_MARKS",
    "ENGLISH",
    "LANGUAGES",
    "LITRES",
    "MICROGRAMS",
    "NEUTRAL",
    "Habits",
    "as_written",
    "capital",
    "habits",
    "in_every_language",
    "later",
    "say",
    "use",
    "using",
    "worded",
]
