"""Mastery: what a self-learner has answered, kept in one small file, and what to practise next.

The file is an SQLite database beside the notebook. Each answer is written at once and whole, so a crash loses nothing.
Only the first verdict on a card counts; cards are told apart by their numbers. Nothing leaves the computer.
"""

import csv
import io
import json
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pharmcalc.errors import CourseError
from pharmcalc.language import say
from pharmcalc.marking import TaskMark
from pharmcalc.tasks.family import Family, typed_families

if TYPE_CHECKING:
    import sqlite3

__all__ = ["Mastery", "Standing", "Suggestion"]

IN_A_ROW = 3
"""So many cards in a row, all right and cleared, and a kind of task is mastered (our own choice, as are the others)."""
RECENT = 5
FADES_AFTER = 20
"""A mastered kind of task comes back after so many other cards."""
IN_MEMORY = sys.platform == "emscripten"
"""In a browser SQLite cannot work in a file: it works in memory, and the file is read and written as a whole."""
_COLUMNS = ("at", "card", "family", "subject", "marks", "out_of", "cleared", "mistakes")
_INSERT = (
    "INSERT OR IGNORE INTO answers (at, card, family, subject, marks, out_of, cleared, mistakes) "
    "VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
)
_SCHEMA = (
    "CREATE TABLE IF NOT EXISTS answers (number INTEGER PRIMARY KEY, at TEXT, card TEXT UNIQUE, family TEXT, "
    "subject TEXT, marks REAL, out_of INTEGER, cleared INTEGER, mistakes TEXT)"
)


@dataclass(frozen=True)
class Standing:
    """How a kind of task stands: cards answered, those right of the last few, and whether it is mastered."""

    family: Family
    answered: int
    right_of_recent: int
    recent: int
    mastered: bool
    cards_ago: int

    def says(self) -> str:
        """Say it in words."""
        if not self.answered:
            return say("{title} (not tried yet)", title=self.family.title)
        if self.mastered:
            return say(
                "{title} (mastered, the last {in_a_row} in a row were right)",
                title=self.family.title,
                in_a_row=IN_A_ROW,
            )
        if self.recent == 1:
            return say(
                "{title} (tried once, {outcome})",
                title=self.family.title,
                outcome=say("and it was right") if self.right_of_recent else say("not right yet"),
            )
        return say(
            "{title} ({right_of_recent} right of the last {recent})",
            title=self.family.title,
            right_of_recent=self.right_of_recent,
            recent=self.recent,
        )


@dataclass(frozen=True)
class Suggestion:
    """What to practise next, and why."""

    family: Family
    why: str


class Mastery:
    """A learner's record in one file. ``path``: where it is, or where it will be."""

    def __init__(self, path: str | Path) -> None:
        self.path = Path(path)

    def record(self, card: str, mark: TaskMark) -> bool:
        """Write the verdict on a card; the first one counts. Returns whether it was new."""
        family = mark.task.family
        named = {verdict.mistake_id: verdict.mistake_name for verdict in mark.verdicts if verdict.mistake_id}
        row = (
            datetime.now(UTC).isoformat(timespec="seconds"),
            card,
            family.id,
            family.subject,
            float(mark.marks),
            mark.out_of,
            int(mark.cleared),
            json.dumps(named),
        )
        with self._open() as file, file:
            done = file.execute(_INSERT, row)
            return done.rowcount == 1

    def standing(self, family: Family) -> Standing:
        """Return how one kind of task stands."""
        return self._standings([family])[0]

    def standings(self) -> list[Standing]:
        """Return how every kind of task stands, by subject and level."""
        return self._standings(sorted(typed_families(), key=lambda family: (family.subject, family.level, family.id)))

    def frequent_mistakes(self, most: int = 5) -> list[tuple[str, int]]:
        """Return the mistakes made most often, by name, with how often; the latest wording of a name is shown."""
        counts, names = Counter[str](), dict[str, str]()
        for row in self._rows():
            for id, name in json.loads(row["mistakes"]).items():
                counts[id] += 1
                names[id] = name
        return [(names[id], count) for id, count in counts.most_common(most)]

    def next(self, subject: str = "") -> Suggestion:
        """Choose what to practise next, in one subject or in all.

        What went wrong lately comes first, then what was not tried yet (simple ones first), then what was mastered
        longest ago.
        """
        families = [family for family in typed_families() if subject in ("", family.subject)]
        if not families:
            known = ", ".join(sorted({family.subject for family in typed_families()}))
            raise CourseError(
                say('there is no subject "{subject}". The subjects are: {known}.', subject=subject[:40], known=known)
            )
        standings = self._standings(sorted(families, key=lambda family: (family.level, family.subject, family.id)))
        weak = [one for one in standings if one.answered and not one.mastered]
        faded = [one for one in standings if one.mastered and one.cards_ago >= FADES_AFTER]
        fresh = [one for one in standings if not one.answered]
        if weak and (weak := [one for one in weak if one.cards_ago or len(weak) == 1]):
            worst = min(weak, key=lambda one: (one.right_of_recent / one.recent, -one.cards_ago))
            return Suggestion(worst.family, f"{worst.says()}.")
        if fresh:
            return Suggestion(fresh[0].family, f"{fresh[0].says()}.")
        oldest = max(faded or standings, key=lambda one: one.cards_ago)
        return Suggestion(
            oldest.family, say("{oldest}; {cards_ago} cards ago.", oldest=oldest.says(), cards_ago=oldest.cards_ago)
        )

    def export(self) -> str:
        """Return the whole record as CSV."""
        out = io.StringIO()
        writer = csv.DictWriter(out, _COLUMNS, lineterminator="\n")
        writer.writeheader()
        writer.writerows({name: row[name] for name in _COLUMNS} for row in self._rows())
        return out.getvalue()

    def erase(self) -> None:
        """Erase the record for good."""
        with self._open() as file, file:
            file.execute("DELETE FROM answers")
        with self._open() as file:
            file.execute("VACUUM")

    def cards(self, family: Family) -> set[str]:
        """Return the cards of a kind that were answered."""
        return {row["card"] for row in self._rows() if row["family"] == family.id}

    def _standings(self, families: Sequence[Family]) -> list[Standing]:
        rows = list(self._rows())
        return [self._stands(family, rows) for family in families]

    @staticmethod
    def _stands(family: Family, rows: Sequence[Any]) -> Standing:
        places = [place for place, row in enumerate(rows) if row["family"] == family.id]
        right = [rows[place]["marks"] == rows[place]["out_of"] and rows[place]["cleared"] == 1 for place in places]
        recent = right[-RECENT:]
        ago = len(rows) - 1 - places[-1] if places else 0
        return Standing(family, len(right), sum(recent), len(recent), _mastered(right), ago)

    def _rows(self) -> Iterator[Any]:
        with self._open() as file:
            yield from file.execute("SELECT * FROM answers ORDER BY number").fetchall()

    @contextmanager
    def _open(self) -> "Iterator[sqlite3.Connection]":
        """Open the file, or begin it; what was done to it is written when the block ends."""
        import sqlite3  # here: a first result needs no record

        try:
            with closing(sqlite3.connect(":memory:" if IN_MEMORY else self.path)) as file:
                before = self.path.read_bytes() if IN_MEMORY and self.path.is_file() else b""
                if before:
                    file.deserialize(before)
                file.row_factory = sqlite3.Row
                with file:
                    file.execute(_SCHEMA)
                yield file
                if IN_MEMORY and (after := file.serialize()) != before:
                    self.path.write_bytes(after)
        except sqlite3.Error as problem:
            raise CourseError(
                say(
                    '"{name}" cannot be used as a record of practice: {problem}. Rename or move that file, '
                    "and a new one is begun.",
                    name=self.path.name,
                    problem=problem,
                )
            ) from None


def _mastered(right: Sequence[bool]) -> bool:
    return len(right) >= IN_A_ROW and all(right[-IN_A_ROW:])
