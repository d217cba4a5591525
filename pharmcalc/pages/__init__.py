"""HTML pages: the base page and the style that reports, feedback and printed sheets share."""

from pharmcalc.pages.render import render

__all__ = ["render"]
