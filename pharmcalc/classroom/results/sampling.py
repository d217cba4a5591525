"""Which ten marked scripts an instructor looks at before trusting the marker, and why these.

Not by chance alone: chance shows mostly what is easy to mark. First the extremes, then each case in which a marker can
go wrong, then every mistake that several students made, then every verdict that was given; the dice draw the rest. The
same class and the same assignment give the same ten.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from pharmcalc.tasks.dice import Dice

__all__ = ["DRAWN", "FREQUENT", "KINDS", "MOST", "Candidate", "Chosen", "Sample", "choose"]

MOST = 10
"""How many scripts are laid side by side."""
FREQUENT = 2
"""From how many students on a mistake counts as frequent."""

MOST_MARKS, FEWEST_MARKS = "the most marks", "the fewest marks"
FOLLOWS = "an answer marked on an earlier slip"
UNRECOGNISED = "a mistake that was not recognised"
ANOTHER_PLAN = "a right answer by another plan than the key's"
APART = "marks and clearance apart: cleared with marks lost, or all marks and not cleared"
KINDS = (FOLLOWS, UNRECOGNISED, ANOTHER_PLAN, APART)
"""The cases of which one is always among the ten, where the class has one."""
DRAWN = "drawn by the dice"


@dataclass(frozen=True)
class Candidate:
    """A marked script, as far as choosing goes.

    ``shows``: those of ``KINDS`` that can be seen in it. ``mistakes``: the names of those that were recognised.
    ``verdicts``: those that were given. Each with the tasks in which it stands. ``in_doubt``: an instructor has to look
    at it anyway; it stands for others only where nobody else does.
    """

    number: str
    marks: float
    shows: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    mistakes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    verdicts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    in_doubt: bool = False


@dataclass(frozen=True)
class Chosen:
    """One script of the sample, and why it is there."""

    number: str
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Sample:
    """The scripts that were chosen, in the order of choosing, and the mistakes and verdicts there was no room for."""

    chosen: tuple[Chosen, ...]
    no_room_for: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Want:
    """Something that one script at least should show; ``holders`` says in which tasks each candidate shows it."""

    words: str
    holders: Mapping[str, tuple[str, ...]]

    def reason(self, number: str) -> str:
        tasks = self.holders[number]
        return f"{self.words} ({', '.join(tasks)})" if tasks else self.words


def choose(candidates: Iterable[Candidate], assignment: str, most: int = MOST) -> Sample:
    """Choose the scripts to look at.

    Each want is met in turn by the script that meets the most wants still open; where several do, the dice decide. A
    script in doubt meets a want only where no other does.

    candidates: every marked script of the class, in any order. assignment: its name, from which the dice are thrown.

    >>> choose([Candidate("A-1", 4), Candidate("A-2", 9)], "weighing-1").chosen[0]
    Chosen(number='A-2', reasons=('the most marks',))
    """
    left = Dice(f"scripts|{assignment}").shuffled(sorted(candidates, key=lambda one: one.number))
    wants = _wants(left)
    chosen: list[Chosen] = []
    while left and len(chosen) < most:
        able = [one for one in left if wants and one.number in wants[0].holders] or left
        best = max(able, key=lambda one: (not one.in_doubt, sum(one.number in want.holders for want in wants)))
        met = [want for want in wants if best.number in want.holders]
        chosen.append(Chosen(best.number, tuple(want.reason(best.number) for want in met) or (DRAWN,)))
        left.remove(best)
        wants = [want for want in wants if want not in met]
    return Sample(tuple(chosen), tuple(want.words for want in wants))


def _wants(candidates: list[Candidate]) -> list[_Want]:
    """Return what the class has to show, the most important first."""
    if not candidates:
        return []
    marks = [one.marks for one in candidates]
    wants = [
        _Want(words, {one.number: () for one in candidates if one.marks == end})
        for words, end in ((MOST_MARKS, max(marks)), (FEWEST_MARKS, min(marks)))
    ]
    shown, made, given = (
        _held([(one.number, one.shows) for one in candidates]),
        _held([(one.number, one.mistakes) for one in candidates]),
        _held([(one.number, one.verdicts) for one in candidates]),
    )
    wants += sorted(shown, key=lambda want: KINDS.index(want.words))
    wants += sorted((want for want in made if len(want.holders) >= FREQUENT), key=lambda want: -len(want.holders))
    return wants + [_Want(f'the verdict "{want.words}"', want.holders) for want in given]


def _held(seen: list[tuple[str, Mapping[str, tuple[str, ...]]]]) -> list[_Want]:
    """Return a want for everything that was seen, by its words."""
    return [
        _Want(words, {number: found[words] for number, found in seen if words in found})
        for words in sorted({words for _, found in seen for words in found})
    ]
