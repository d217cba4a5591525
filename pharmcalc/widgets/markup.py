"""Small pieces of output, each as HTML and as plain text: a note, a list, a table.

Every text given to them is escaped, so that nothing that a student types becomes markup.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from pharmcalc.widgets.style import dressed

__all__ = ["Shown", "folded", "heading", "listed", "marked", "note", "table"]

NEW_LINE = "\n"


@dataclass(frozen=True, repr=False)
class Shown:
    """Something to read: HTML in a notebook, the same in plain text everywhere else."""

    text: str
    html: str

    def __add__(self, other: "Shown") -> "Shown":
        return Shown("\n".join(part for part in (self.text, other.text) if part), self.html + other.html)

    def __repr__(self) -> str:
        return self.text

    def _repr_html_(self) -> str:
        return dressed(self.html)

    def announced(self) -> "Shown":
        """Return the same as a region whose changes a screen reader tells."""
        return Shown(self.text, f'<div role="status">{self.html}</div>')

    def bundle(self) -> dict[str, str]:
        """Return both forms as Jupyter's display takes them."""
        return {"text/html": self._repr_html_(), "text/plain": self.text}


def heading(words: str) -> Shown:
    """Return a heading."""
    return Shown(words, f"<h3>{escape(words)}</h3>")


def note(words: str, kind: str = "note") -> Shown:
    """Return a paragraph; text between backquotes is shown as something to type, and every line stays a line."""
    pieces = words.split("`")
    html = "".join(f"<code>{escape(piece)}</code>" if n % 2 else escape(piece) for n, piece in enumerate(pieces))
    return Shown(words.replace("`", ""), f'<p class="pc-{kind}">{html.replace(NEW_LINE, "<br>")}</p>')


def listed(steps: Iterable[str]) -> Shown:
    """Return numbered steps; text between backquotes is shown as something to type."""
    notes = [note(step) for step in steps]
    text = "\n".join(f"{number}. {one.text}" for number, one in enumerate(notes, 1))
    return Shown(text, f"<ol>{''.join(f'<li>{one.html}</li>' for one in notes)}</ol>")


def folded(summary: str, inside: Shown) -> Shown:
    """Return something that is opened when the reader wants it."""
    return Shown(f"{summary}:\n{inside.text}", f"<details><summary>{escape(summary)}</summary>{inside.html}</details>")


def marked(words: str, kind: str) -> Shown:
    """Return a few words set apart; what sets them apart must stand in the words as well."""
    return Shown(words, f'<span class="pc-{kind}">{escape(words)}</span>')


def table(caption: str, head: Sequence[str], rows: Iterable[Sequence[str | Shown]]) -> Shown:
    """Return a table with a caption; the first cell of each row names it."""
    lines, body = [caption], []
    for row in rows:
        first, *rest = (cell if isinstance(cell, Shown) else Shown(cell, escape(cell)) for cell in row)
        lines.append(f"{first.text}: {', '.join(cell.text for cell in rest if cell.text)}")
        cells = "".join(f"<td>{cell.html}</td>" for cell in rest)
        body.append(f'<tr><th scope="row">{first.html}</th>{cells}</tr>')
    columns = "".join(f'<th scope="col">{escape(column)}</th>' for column in head)
    html = (
        f"<table><caption>{escape(caption)}</caption>"
        f"<thead><tr>{columns}</tr></thead><tbody>{''.join(body)}</tbody></table>"
    )
    return Shown("\n".join(lines), html)
