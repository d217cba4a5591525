"""Making a page to print: the room's templates, and how a text stands on paper."""

import re

from pharmcalc.pages import render

__all__ = ["one_line", "printed", "unbroken"]

_BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:%|k?g|mg|m?L|microgram|nanogram|ppm)(?!\w))")


def printed(template: str, **values: object) -> str:
    """Return a page made from one of this room's templates, in which no line ends between a number and its unit."""
    return unbroken(render("pharmcalc.sheets", template, **values))


def one_line(text: str) -> str:
    """Return a text on one line, without the control characters that no page may hold.

    >>> one_line("Brook\\x00 \\n Ines")
    'Brook Ines'
    """
    return " ".join("".join(sign if sign.isprintable() or sign > "\x9f" else " " for sign in text).split())


def unbroken(text: str) -> str:
    """Return a text in which a number and its unit stay on one line.

    >>> unbroken("5 % of 120 mg, in 20 capsules")
    '5\\xa0% of 120\\xa0mg, in 20 capsules'
    """
    return _BEFORE_UNIT.sub("\N{NO-BREAK SPACE}", text)
