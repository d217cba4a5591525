"""What a task asks for: amounts, each the result of a formula, and decisions in words."""

import re
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from string import ascii_lowercase
from typing import TYPE_CHECKING, ClassVar, TypeVar

from pharmcalc.errors import RefusedError
from pharmcalc.formula import Formula, Values, words
from pharmcalc.kinds import Kind
from pharmcalc.language import ENGLISH, NEUTRAL, habits, say, using, worded

if TYPE_CHECKING:
    from pharmcalc.tasks.family import Task

__all__ = ["Asked", "Decision", "Finding", "Option", "Question", "matching"]

Named = TypeVar("Named", "Asked", "Decision", "Option", "Asked | Decision")


@worded("label")
@dataclass(frozen=True)
class Asked:
    """One named answer.

    ``choice`` marks a free choice, judged by rules and not by one value; ``weighed`` marks what goes on the pan, asked
    to the display step of the balance; ``estimate`` asks for the power of ten and no more;
    ``metric`` takes no old units. ``sometimes_right`` are ids
    of mistakes that may give the right number: where the step that they leave out changes nothing, as the floor of
    0.41 d under a larger standard deviation.
    """

    formula: Formula
    label: str = ""
    called: str = ""
    marks: int = 2
    choice: bool = False
    weighed: bool = False
    estimate: bool = False
    metric: bool = False
    aliases: tuple[str, ...] = ()
    sometimes_right: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The name of the value: the formula's, unless it is called otherwise."""
        return self.called or self.formula.name

    @property
    def said(self) -> str:
        """The words a student writes before the equals sign."""
        return self.label or words(self.name)

    @property
    def kind(self) -> Kind:
        """What the answer is of."""
        return self.formula.kind

    @property
    def example(self) -> str:
        """What a student may type."""
        return self.kind.example


@worded("said", "lesson")
@dataclass(frozen=True)
class Option:
    """One answer to a decision.

    ``lesson`` says why it is wrong where it is; ``critical``: then it is dangerous. ``halts``: where it is right,
    nothing is weighed as things stand.
    """

    id: str
    said: str
    lesson: str = ""
    critical: bool = False
    halts: bool = False
    aliases: tuple[str, ...] = ()


@worded("label")
@dataclass(frozen=True)
class Decision:
    """An answer in words: one of a few options.

    ``right`` returns the ids of the options that are right for given values of a task: the true ones, or a student's
    own. ``why`` says why they are right.
    """

    name: str
    label: str
    options: tuple[Option, ...]
    right: Callable[["Task", Values], Collection[str]]
    why: Callable[["Task"], str]
    marks: int = 2
    aliases: tuple[str, ...] = ()
    choice: ClassVar[bool] = False
    weighed: ClassVar[bool] = False
    estimate: ClassVar[bool] = False

    @property
    def said(self) -> str:
        """The words a student writes before the equals sign."""
        return self.label

    @property
    def example(self) -> str:
        """The options, as they may be typed."""
        return " / ".join(option.said for option in self.options)

    @property
    def lettered(self) -> tuple[tuple[str, Option], ...]:
        """The options with the letters that they have on paper: a, b, c ..."""
        return tuple(zip(ascii_lowercase, self.options, strict=False))

    def option(self, id: str) -> Option:
        """Return an option by its id."""
        return next(option for option in self.options if option.id == id)

    def rights(self, task: "Task", values: Values) -> tuple[Option, ...]:
        """Return the options that are right for these values, in the order of the options."""
        ids = self.right(task, values)
        return tuple(option for option in self.options if option.id in ids)

    def wrongs(self, task: "Task", values: Values) -> tuple[Option, ...]:
        """Return the other options."""
        rights = self.rights(task, values)
        return tuple(option for option in self.options if option not in rights)

    def take(self, text: str) -> Option:
        """Return the option that a text means; RefusedError lists those there are."""
        found = matching(text, self.options)
        if len(found) != 1:
            what = say("can mean more than one answer") if found else say("is not one of the answers")
            raise RefusedError(
                self.label,
                say('says "{text}", which {what}.', text=" ".join(text.split())[:40], what=what),
                say("Write one of: {example}.", example=self.example),
            )
        return found[0]


@dataclass(frozen=True)
class Finding(Decision):
    """A decision that is not typed: what an inspector finds in the record of the simulated bench."""


Question = Asked | Decision
"""What a line of an answer cell may be asked for."""


def matching(text: str, candidates: Sequence[Named]) -> list[Named]:
    """Return the candidates that a typed text can mean: the same words, an alias, or an abbreviation.

    What is meant in no other language is looked for in English.
    """
    found = _meant(text, candidates)
    if found or habits().language == ENGLISH:
        return found
    with using(NEUTRAL):
        return _meant(text, candidates)


def _meant(text: str, candidates: Sequence[Named]) -> list[Named]:
    typed = _plain(text)
    if not typed:
        return []
    same = [one for one in candidates if typed == _plain(one.said)]
    if same:
        return same
    alias = [one for one in candidates if typed in {_plain(name) for name in one.aliases}]
    if alias:
        return alias
    return [one for one in candidates if _abbreviates(typed.split(), _plain(one.said).split())]


@lru_cache(maxsize=4096)
def _plain(label: str) -> str:
    return " ".join(re.sub(r"[^\w%/ ]|_", " ", label.casefold()).split())


def _abbreviates(typed: Sequence[str], full: Sequence[str]) -> bool:
    """Say whether the typed words begin some of the label's words, in order."""
    rest: Iterable[str] = iter(full)
    return all(any(word.startswith(short) for word in rest) for short in typed)
