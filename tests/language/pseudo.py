"""A language for tests: every letter of a message becomes a wide one, so that whatever was not said stays narrow."""

import html
import re
from collections.abc import Iterator
from functools import cache
from string import ascii_lowercase, ascii_uppercase

import pytest

from pharmcalc.language import ENGLISH, Habits, messages, using
from pharmcalc.language import habits as habits_in_use
from pharmcalc.language.habits import LANGUAGES
from tools.messages import collected

CODE = "xx"
_WIDE = {ord(a): 0xFF21 + n for n, a in enumerate(ascii_uppercase)} | {
    ord(a): 0xFF41 + n for n, a in enumerate(ascii_lowercase)
}
_SIGNS = re.compile(
    r"\b(?:[mk]?g|mL|L|dL|cm|mm|mol|pp[mb]|microgram|w/[wv]|v/v|quot|amp|x\d*"
    r"|q\d+|A-\d+|Balance \d|class [AB]|ASTM E\d+|USP|Practice order|potassium citrate)\b"
)
"""What is the same in every language: signs of units, numbers of tasks, standards, names of the house's things."""


@pytest.fixture
def wide(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Speak the wide language, with a decimal comma."""
    known, real = _known(), messages._translated

    def translated(message: str, language: str) -> str:
        if language != CODE:
            return real(message, language)
        return widened(message) if message in known else message

    monkeypatch.setitem(LANGUAGES, CODE, "wide")
    monkeypatch.setattr(messages, "_translated", translated)
    with using(Habits(CODE, "comma")):
        yield
        assert habits_in_use().language == CODE != ENGLISH


@cache
def _known() -> frozenset[str]:
    return frozenset(str(one.id) for one in collected() if one.id)


def widened(message: str) -> str:
    """Return a message in wide letters; its placeholders stay."""
    return "".join(
        piece if piece.startswith("{") else piece.translate(_WIDE) for piece in re.split(r"(\{[^{}]*\})", message)
    )


def unsaid(text: str, *typed: str) -> list[str]:
    """Return the words of a text, or of a page, that were never said; ``typed`` is what a student typed into it."""
    plain = html.unescape(re.sub(r"<(style|script)\b.*?</\1>|<[^>]*>", " ", text, flags=re.DOTALL))
    for one in typed:
        plain = plain.replace(one, " ")
    return re.findall(r"[A-Za-z]{2,}", _SIGNS.sub(" ", plain))
