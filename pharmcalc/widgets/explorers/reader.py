"""Type an amount, and see how it is read: the same reader as in every card and assignment."""

from typing import TYPE_CHECKING

from pharmcalc.errors import ReadingError
from pharmcalc.language import later, say
from pharmcalc.reading import read
from pharmcalc.widgets.markup import Shown, heading, note, table

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Card

__all__ = ["read_lines", "type_and_see"]

STARTS_WITH = later("250 mg\n.5 g\n1 in 200\n20 x 6 mg = 120 mg\n5 spoons")
MOST_LINES = 12


def read_lines(text: str) -> Shown:
    """Return how each line of a text is read, or what could not be read and what to write instead.

    >>> print(read_lines("250 mg"))
    How your lines are read
    250 mg: read as 250 mg
    """
    lines = [line.strip() for line in text.splitlines() if line.strip()][:MOST_LINES]
    if not lines:
        return note(say("Nothing is typed yet. Write an amount with its unit, for example `250 mg`."))
    return table(
        say("How your lines are read"), (say("You typed"), say("Read as")), [(line[:60], _read(line)) for line in lines]
    )


def _read(line: str) -> str:
    """Return how the last part of a chain is read: that is the part that counts."""
    parts = [part.strip() for part in line.split("=") if part.strip()]
    try:
        found = read(parts[-1] if parts else line)
    except ReadingError as problem:
        return say("could not be read. {problem}", problem=problem)
    remarks = "".join(f" ({remark})" for remark in found.remarks)
    return say("read as {shown}{remarks}", shown=found.shown, remarks=remarks)


def type_and_see() -> "Card":
    """Return a box to type amounts in, a line each, and a button that shows how they are read.

    It starts with five lines, one of which cannot be read.
    """
    from pharmcalc.widgets.controls import Card, button, buttons, live, page, text_area, write  # here: needs ipywidgets

    box = text_area(say("Your amounts, one on each line"), STARTS_WITH, rows=6)
    said = live()
    show = button(say("Show how they are read"), lambda: write(said, read_lines(box.value).html), first=True)
    title = page(heading(say("Type an amount")).html)
    return Card([title, box, buttons(show), said], lambda: read_lines(STARTS_WITH).text)
