"""What the drawers of the desk are made of: fields, a place for what is told, a bar, and the notebook's own door."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from html import escape
from pathlib import Path
from time import perf_counter
from typing import Any
from urllib.parse import quote

import ipywidgets

from pharmcalc.classroom.desk.door import shown, unexpected
from pharmcalc.classroom.marking.outcomes import Outcome
from pharmcalc.errors import CourseError, PharmcalcError
from pharmcalc.widgets.controls import live, write
from pharmcalc.widgets.markup import Shown, note
from pharmcalc.widgets.style import unbroken

__all__ = [
    "Acting",
    "Clicks",
    "Place",
    "field",
    "in_clicks",
    "link",
    "listed_files",
    "progress_words",
    "typed_path",
    "upload",
]

CLASS_LIST, ISSUE, ISSUE_AGAIN, TAKE_IN, MARK = "Class list", "Issue", "Issue again", "Take in", "Mark"
TAKE_BACK = "Take back from this student"
COMPETENCIES = "Competencies"
PAGES_ANEW, LAY_OUT = "Write pages anew", "Lay out a new course"
TERM_ANEW = "Write the class over the term"
UPGRADE = "Upgrade the course's files"

_NAME = r"[\w.-]*\w"
_CLICKS = (
    (r"pharmcalc start \S+", LAY_OUT),
    (rf"pharmcalc class {_NAME}", CLASS_LIST),
    (rf"pharmcalc issue {_NAME} --again", ISSUE_AGAIN),
    (rf"pharmcalc issue {_NAME}", ISSUE),
    (r"pharmcalc take-in \S+( \S+)?", TAKE_IN),
    (r"pharmcalc take-back \S+ \S+", TAKE_BACK),
    (rf"pharmcalc mark {_NAME} --again", "Mark all again"),
    (rf"pharmcalc mark {_NAME}", MARK),
    (r"pharmcalc record \S+", COMPETENCIES),
    (rf"pharmcalc report {_NAME}", PAGES_ANEW),
    (r"pharmcalc term", TERM_ANEW),
    (r"pharmcalc upgrade", UPGRADE),
    (r"pharmcalc type-in \S+", "Paper"),
    (rf"pharmcalc sheets {_NAME} --pdf", "Write them as PDF"),
    (rf"pharmcalc sheets {_NAME}", "Paper"),
)
_OPENS = (".csv", ".html", ".ipynb", ".pdf", ".toml")
_EVERY = 1.0  # seconds between two changes of what is read aloud


def in_clicks(text: str) -> str:
    """Return a text in which each command is named by what is pressed for it at the desk.

    >>> in_clicks("Issue it first: pharmcalc issue weighing-1")
    'Issue it first: "Issue" at this desk'
    """
    for command, words in _CLICKS:
        text = re.sub(command, f'"{words}" at this desk', text)
    return text


def link(path: Path) -> Shown:
    """Return a link to a page, list or notebook below the notebook's folder; the path of anything else."""
    words = shown(path)
    if not (path.suffix in _OPENS and path.is_file() and path.is_relative_to(Path.cwd())):
        return Shown(words, f"<code>{escape(words)}</code>")
    address = quote(path.relative_to(Path.cwd()).as_posix())
    return Shown(words, f'<a href="{address}">{escape(words)}</a>')


def listed_files(named: dict[str, Path]) -> Shown:
    """Return links to those files that are there, each on its line with its name."""
    made = Shown("", "")
    for name, path in named.items():
        if path.is_file():
            made += _line(f"{name}: ", path)
    return made


def _line(*parts: str | Path) -> Shown:
    pieces = [link(part) if isinstance(part, Path) else _plain(part) for part in parts]
    text, html = ("".join(kind) for kind in zip(*((piece.text, piece.html) for piece in pieces), strict=True))
    inwards = len(text) - len(text.lstrip())
    return Shown(text, f'<p class="pc-told" style="margin-left: {inwards / 2}rem">{html.lstrip()}</p>')


def _plain(text: str) -> Shown:
    text = in_clicks(text)
    return Shown(text, escape(text))


class Place(ipywidgets.Output):  # type: ignore[misc]  # ipywidgets does not tell its types
    """A place for text with links to files. In an output JupyterLab finds the files beside the notebook."""

    def __init__(self, *, told: bool = False) -> None:
        super().__init__()
        self.add_class("pc-place")
        if told:
            self.add_class("pc-live")
        self.text = ""

    def show(self, made: Shown) -> None:
        """Show this and nothing else."""
        self.text = made.text
        data = {"text/html": unbroken(made.html), "text/plain": made.text}
        self.outputs = ({"output_type": "display_data", "data": data, "metadata": {}},) if made.html else ()


def field(label: str, value: str = "", *, short: bool = False) -> Any:
    """Return a labelled line to type in; what was typed is sent when the line is left."""
    made = ipywidgets.Text(value=value, description=label, continuous_update=False)
    made.add_class("pc-short" if short else "pc-field")
    return made


def upload(words: str, accept: str, taken: Callable[[list[dict[str, Any]]], None], *, multiple: bool = False) -> Any:
    """Return a button that asks for files; each time some are chosen they are handed on."""
    made = ipywidgets.FileUpload(description=words, accept=accept, multiple=multiple, icon="")

    def chosen(change: Any) -> None:
        if change["new"]:
            taken(list(change["new"]))
            made.value = ()

    made.observe(chosen, "value")
    return made


def progress_words(done: int, total: int, seconds: float) -> str:
    """Say how far a run has come and how long it will still take.

    seconds: since the first was done. The first is no measure: with it everything is loaded.

    >>> progress_words(12, 24, 2.75)
    '12 of 24, about 3 s left'
    """
    if done < 2 or done >= total:
        return f"{done} of {total}"
    left = seconds / (done - 1) * (total - done)
    return f"{done} of {total}, about {max(1, round(left))} s left"


class Clicks:
    """The notebook's door: lines are shown together at the end, so that they are read aloud once."""

    def __init__(self, place: Place, bar: Any, words: Any) -> None:
        self._place, self._bar, self._words = place, bar, words
        self._made = Shown("", "")

    def say(self, *parts: str | Path) -> None:
        """Keep one line."""
        self._made += _line(*parts)

    def begin(self, words: str) -> None:
        """Keep a line that stands out, and show it while what it names is done."""
        text = in_clicks(words.removeprefix("$ "))
        self._made += Shown(text, f'<p class="pc-told"><strong>{escape(text)}</strong></p>')
        self._place.show(note(f"{text} ..."))

    def refuse(self, sentence: str) -> None:
        """Keep what stands in the way, and what to do."""
        self._made += note(f"Not done. {in_clicks(sentence)}", "change")

    def close(self) -> None:
        """Show everything that was kept."""
        self._place.show(self._made)

    @contextmanager
    def waiting(self, words: str) -> Iterator[None]:
        """Show the words until something else is shown."""
        self._place.show(note(words))
        yield

    @contextmanager
    def counting(self, what: str, total: int) -> Iterator[Callable[[Outcome], None]]:
        """Show a bar, and the same in words."""
        first = told = perf_counter()
        self._bar.max, self._bar.value = max(total, 1), 0
        self._bar.layout.display = None
        self._place.show(Shown("", ""))
        write(self._words, note(f"{what}: {progress_words(0, total, 0)}").html)

        def one_more(_: Outcome) -> None:
            nonlocal first, told
            self._bar.value += 1
            now = perf_counter()
            if self._bar.value == 1:
                first = now
            if now - told >= _EVERY:
                told = now
                write(self._words, note(f"{what}: {progress_words(self._bar.value, total, now - first)}").html)

        try:
            yield one_more
        finally:
            self._bar.layout.display = "none"
            write(self._words, "")


class Acting(ipywidgets.VBox):  # type: ignore[misc]  # ipywidgets does not tell its types
    """Controls, and below them the place where what came of a press is told. An error is a sentence there."""

    def __init__(self) -> None:
        super().__init__()
        self.place = Place(told=True)
        self.bar = ipywidgets.IntProgress(value=0)
        self.bar.layout.display = "none"
        self.bar.add_class("pc-bar")
        self.words = live()
        self.answer = (self.bar, self.words, self.place)

    def act(self, do: Callable[[Clicks], object], after: Callable[[], None], folder: Path) -> None:
        """Do something and tell what came of it; ``after`` brings what else is shown up to date.

        An error that nobody expected is written into ``folder``.
        """
        door = Clicks(self.place, self.bar, self.words)
        try:
            try:
                do(door)
            except PharmcalcError as trouble:
                door.refuse(str(trouble))
            door.close()
            after()
        except Exception:  # noqa: BLE001  # told in one sentence; the details go to a file
            door.refuse(unexpected(folder))
            door.close()


def typed_path(text: str, base: Path, what: str) -> Path:
    """Return the path that was typed or pasted; from ``base`` where it does not begin at the top."""
    text = text.strip().strip("\"'")
    if not text:
        raise CourseError(f"Nothing is written in the line. Write the path of {what}, or choose it with the button.")
    return base / Path(text).expanduser()
