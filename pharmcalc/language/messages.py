"""Messages: written in English where they belong, and said in the language in use.

``say`` puts in a message's parts; ``later`` marks one that is said elsewhere; ``worded`` makes fields of a dataclass
messages, said when they are read.
"""

import gettext
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from pharmcalc.language.habits import DECIMAL_MARKS, ENGLISH, LANGUAGES, NEUTRAL, POINT, Habits, habits, using

__all__ = ["CATALOGUES", "as_written", "capital", "in_every_language", "later", "say", "worded"]

Named = TypeVar("Named")

CATALOGUES = Path(__file__).parent
_POINT_BETWEEN_DIGITS = re.compile(r"(?<![\d.])(\d+)\.(\d+)(?![\d.]*\.\d)")


def say(message: str, /, **parts: object) -> str:
    """Return a message in the language in use, with its parts put in where ``{name}`` stands.

    Numbers that stand in the message itself take the decimal mark in use.

    >>> say("at most {limit}", limit="5 %")
    'at most 5 %'
    >>> with using(Habits(decimal_mark="comma")):
    ...     say("Write 0.5 %.")
    'Write 0,5 %.'
    """
    chosen = habits()
    if chosen is not NEUTRAL and message:
        message = _translated(message, chosen.language)
        if chosen.decimal_mark != POINT:
            message = _with_mark(message)
    return message.format(**parts) if parts else message


def _with_mark(text: str) -> str:
    """Return a text in which every number has the decimal mark in use; the text was written with points."""
    mark = DECIMAL_MARKS[habits().decimal_mark]
    return text if mark == "." else _POINT_BETWEEN_DIGITS.sub(rf"\1{mark}\2", text)


def capital(text: str) -> str:
    """Return a text with a capital first letter; the rest stays as it is."""
    return text[:1].upper() + text[1:]


def in_every_language(message: str) -> frozenset[str]:
    """Return a word as it may be typed in any of the languages there are, in small letters."""
    found = set()
    for language in LANGUAGES:
        with using(Habits(language)):
            found.add(say(message).casefold())
    return frozenset(found)


def later(message: str, /) -> str:
    """Return a message as it is, and mark it for the catalogues: it is said later, by :func:`say`."""
    return message


def worded(*fields: str) -> Callable[[type[Named]], type[Named]]:
    """Make fields of a dataclass messages: each is said, in the language in use, whenever it is read.

    Stands above ``@dataclass``. :func:`as_written` returns the English of such a field.
    """

    def dress(owner: type[Named]) -> type[Named]:
        for field in fields:
            setattr(owner, field, _Said(field))
        return owner

    return dress


def as_written(instance: object, field: str) -> str:
    """Return a worded field in English, for what is kept or compared whatever the language."""
    return str(instance.__dict__[field])


@dataclass(frozen=True)
class _Said:
    """The place of a worded field: it keeps the message and says it."""

    field: str

    def __get__(self, instance: Any, owner: type) -> str:
        return say(instance.__dict__[self.field])

    def __set__(self, instance: object, message: str) -> None:
        instance.__dict__[self.field] = message


def _translated(message: str, language: str) -> str:
    return message if language == ENGLISH else _catalogue(language).gettext(message)


@cache
def _catalogue(language: str) -> gettext.NullTranslations:
    return gettext.translation("pharmcalc", CATALOGUES, [language])
