"""The doors of the desk: what it does is told through one of them, at the terminal or in a notebook.

A line is made of parts, texts and the paths of files; each door shows paths in its own way.
"""

from __future__ import annotations

import traceback
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Protocol

from rich.console import Console
from rich.text import Text

from pharmcalc.classroom.marking.outcomes import Outcome, ignore

__all__ = ["Door", "Terminal", "shown", "unexpected"]

LOG = "pharmcalc-error.txt"


class Door(Protocol):
    """Where the desk's lines go, and who watches its progress."""

    def say(self, *parts: str | Path) -> None:
        """Tell one line."""

    def begin(self, words: str) -> None:
        """Tell what is done next."""

    def waiting(self, words: str) -> AbstractContextManager[object]:
        """Say that something takes a moment, for as long as the block lasts."""

    def counting(self, what: str, total: int) -> AbstractContextManager[Callable[[Outcome], None]]:
        """Show how far a run has come; what the block gets is to be called after each student."""


class Terminal:
    """The door of the command line."""

    def __init__(self, console: Console) -> None:
        self._console = console

    def say(self, *parts: str | Path) -> None:
        """Print one line; a path is as short as it can be said from where the instructor is."""
        line = "".join(shown(part) if isinstance(part, Path) else part for part in parts)
        self._console.print(Text(line), highlight=False)

    def begin(self, words: str) -> None:
        """Print a line that stands out, below an empty one."""
        self._console.print(Text(f"\n{words}", style="bold"), highlight=False)

    def waiting(self, words: str) -> AbstractContextManager[object]:
        """Show that something goes on."""
        return self._console.status(words)

    @contextmanager
    def counting(self, what: str, total: int) -> Iterator[Callable[[Outcome], None]]:
        """Show a bar, which goes when the block is done; none where nobody would see it move."""
        if not self._console.is_terminal:
            yield ignore
            return
        from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

        columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
        with Progress(*columns, console=self._console, transient=True) as bar:
            task = bar.add_task(what, total=total)
            yield lambda outcome: bar.advance(task)


def shown(path: Path) -> str:
    """Return a path as short as it can be said from the folder that one is in."""
    try:
        return str(path.relative_to(Path.cwd()))
    except ValueError:
        return str(path)


def unexpected(folder: Path) -> str:
    """Write the details of the error that is being handled into a file in ``folder``; return one sentence about it."""
    log = folder / LOG
    log.write_text(traceback.format_exc(), encoding="utf-8")
    return (
        f"Something went wrong that pharmcalc did not expect. The details are in {log.resolve()}; "
        "nothing was removed. Please report it with that file."
    )
