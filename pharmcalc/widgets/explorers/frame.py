"""What every explorer is made of: a picture, what it says in words, and what belongs to it."""

from fractions import Fraction
from math import ceil

from pharmcalc.units import Quantity
from pharmcalc.widgets.markup import Shown

__all__ = ["NOTHING", "STEPS", "Picture", "at_least", "figure", "milligrams", "still"]

Picture = tuple[Shown, Shown, Shown]  # the drawing, what it says in words, and what belongs to it
NOTHING = Shown("", "")
STEPS = 400  # a slider has about so many positions at most


def figure(svg: str) -> Shown:
    """Return a drawing as a part of what is shown; its words stand beside it, so its text is empty."""
    return Shown("", f"<figure>{svg}</figure>")


def still(picture: Picture) -> Shown:
    """Return the picture without sliders."""
    drawing, said, more = picture
    return drawing + said + more


def at_least(number: Fraction, step: Fraction) -> Fraction:
    """Return the multiple of a step that is not below a number."""
    return ceil(number / step) * step


def milligrams(value: Quantity) -> Fraction:
    """Return a mass as a number of milligrams."""
    return value.to("milligram").magnitude
