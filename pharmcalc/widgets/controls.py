"""The thin layer over ipywidgets: cards, sliders, buttons, and regions whose changes a screen reader tells.

Everything shown in them is HTML that is already escaped; nothing here computes.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import ipywidgets

from pharmcalc.language import say, worded
from pharmcalc.widgets.markup import Shown
from pharmcalc.widgets.style import labels_script, style_tag, unbroken

__all__ = ["Card", "Choice", "Dial", "Explorer", "button", "buttons", "live", "page", "text_area", "write"]


class Card(ipywidgets.VBox):  # type: ignore[misc]  # ipywidgets does not tell its types
    """A stack of widgets on our paper; ``words`` is what stands there where widgets cannot be shown."""

    def __init__(self, children: Sequence[Any], words: Callable[[], str]) -> None:
        script = {"output_type": "display_data", "data": {"text/html": f"<script>{labels_script()}</script>"}}
        labels = ipywidgets.Output(outputs=({**script, "metadata": {}},))
        labels.add_class("pc-page")
        super().__init__([ipywidgets.HTML(style_tag()), *children, labels])
        self.add_class("pc")
        self._words = words

    def _repr_mimebundle_(self, **kwargs: Any) -> dict[str, Any]:
        return {**super()._repr_mimebundle_(**kwargs), "text/plain": self._words()}


def page(html: str = "") -> Any:
    """Return a piece of text."""
    return ipywidgets.HTML(unbroken(html))


def live() -> Any:
    """Return a place for text whose changes a screen reader tells."""
    region = page()
    region.add_class("pc-live")
    return region


def write(place: Any, html: str) -> None:
    """Put a text in the place of another."""
    place.value = unbroken(html)


def text_area(label: str, value: str, rows: int) -> Any:
    """Return a labelled box to type in.

    Its text is sent when the box is left, and so before a button is pressed. Sent at every key, the last letters could
    arrive after the button.
    """
    area = ipywidgets.Textarea(value=value, description=label, rows=rows, continuous_update=False)
    area.add_class("pc-answer")
    return area


def button(words: str, pressed: Callable[[], None], *, first: bool = False) -> Any:
    """Return a button; ``first`` marks the one that is meant to be pressed."""
    made = ipywidgets.Button(description=words)
    made.on_click(lambda _: pressed())
    if first:
        made.add_class("pc-first")
    return made


def buttons(*row: Any) -> Any:
    """Return buttons side by side."""
    box = ipywidgets.HBox(list(row))
    box.add_class("pc-buttons")
    return box


@worded("label")
@dataclass(frozen=True)
class Dial:
    """A slider before it is one: what it sets, from where to where, in which steps, and where it starts."""

    label: str
    first: Fraction
    last: Fraction
    step: Fraction
    start: Fraction

    def at(self, value: float) -> Fraction:
        """Return the exact number that a slider's value stands for."""
        return self.step * round(Fraction(value) / self.step)

    def control(self) -> Any:
        """Return the slider; whole numbers stay whole."""
        whole = all(number.denominator == 1 for number in (self.first, self.step, self.start))
        kind, number = (ipywidgets.IntSlider, int) if whole else (ipywidgets.FloatSlider, float)
        limits = {"min": number(self.first), "max": number(self.last), "step": number(self.step)}
        return kind(value=number(self.start), description=self.label, readout=False, **limits)


@worded("label")
@dataclass(frozen=True)
class Choice:
    """A list before it is one: what it sets, its entries, and the one it starts with, counted from 0.

    A click on a part of the picture that was drawn with ``pick`` chooses an entry as well.
    """

    label: str
    entries: tuple[str, ...]
    start: int = 0

    def at(self, value: int) -> int:
        """Return the place of the entry that is chosen, counted from 0."""
        return value

    def control(self) -> Any:
        """Return the list."""
        entries = [(say(entry), place) for place, entry in enumerate(self.entries)]
        made = ipywidgets.Dropdown(options=entries, value=self.start, description=self.label)
        made.add_class("pc-choice")
        return made


class Explorer(Card):
    """Sliders or lists, and a picture with its words that is drawn anew when one is moved.

    draw: from the numbers of the sliders and the places in the lists to the picture, the words that say the same, and
    what else belongs to it.
    """

    def __init__(
        self, title: Shown, dials: Sequence[Dial | Choice], draw: Callable[..., tuple[Shown, Shown, Shown]]
    ) -> None:
        self._dials, self._draw = tuple(dials), draw
        self.controls = tuple(dial.control() for dial in dials)
        self.picture, self.said, self.more = page(), live(), page()
        super().__init__([page(title.html), self.picture, *self.controls, self.said, self.more], self._in_words)
        for control in self.controls:
            control.observe(self._redraw, "value")
        self._redraw()

    def _drawn(self) -> tuple[Shown, Shown, Shown]:
        return self._draw(*(dial.at(control.value) for dial, control in zip(self._dials, self.controls, strict=True)))

    def _redraw(self, change: object = None) -> None:
        for place, shown in zip((self.picture, self.said, self.more), self._drawn(), strict=True):
            write(place, shown.html)

    def _in_words(self) -> str:
        return "\n".join(shown.text for shown in self._drawn() if shown.text)
