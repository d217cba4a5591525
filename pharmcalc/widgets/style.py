"""The look of what a notebook shows, in one place: ``style.css``, and the wrapper that carries it.

Every piece of output carries its own copy. So it looks the same wherever it stands, also when the notebook has put the
set-up cell out of sight.
"""

import re
from functools import cache
from importlib.resources import files

__all__ = ["css", "dressed", "labels_script", "style_tag", "unbroken"]

_AMOUNT = re.compile(r"(?<=\d) (?=(?:%|ppm|mg|g|kg|mL|L|microgram)(?![\w/-]))")
_SPARE = re.compile(r"/\*.*?\*/|\n\s*", re.DOTALL)


@cache
def css() -> str:
    """Return the style sheet, without its comments."""
    return _SPARE.sub(" ", _text("style.css")).strip()


@cache
def labels_script() -> str:
    """Return the script that tells screen readers what ipywidgets leaves unsaid."""
    return _text("labels.js")


def style_tag() -> str:
    """Return the style sheet as an HTML element."""
    return f"<style>{css()}</style>"


def dressed(html: str) -> str:
    """Return an HTML fragment on our paper, with its style."""
    return f'<div class="pc">{style_tag()}{unbroken(html)}</div>'


def unbroken(html: str) -> str:
    """Return HTML in which no line ends between a number and its unit.

    >>> unbroken("no more than 2 %, or 3 mg of 40").split(" ")
    ['no', 'more', 'than', '2\\xa0%,', 'or', '3\\xa0mg', 'of', '40']
    """
    return _AMOUNT.sub("\u00a0", html)


def _text(name: str) -> str:
    return files("pharmcalc.widgets").joinpath(name).read_text(encoding="utf-8")
