"""Task families and tasks: a family draws numbers and asks for named answers; a task is one draw.

A family adds nothing to the mathematics: what it asks for are formulas, and its working is those formulas in order.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from html import escape

from pharmcalc.aliquots import Limits, Rule
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Formula, Mistake, Values, words
from pharmcalc.kinds import Kind
from pharmcalc.rounding import Precision
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.house import HouseRules
from pharmcalc.units import Quantity
from pharmcalc.working import Working, WorkingStep, estimate, step_of

__all__ = ["FAMILIES", "Asked", "Drawn", "Family", "Proof", "Task", "family_called", "register"]

MOST_DRAWS = 500


@dataclass(frozen=True)
class Asked:
    """One named answer.

    ``choice`` marks a free choice, judged by rules and not by one value; ``weighed`` marks what goes on the pan, asked
    to the display step of the balance. ``sometimes_right`` are ids of mistakes that may give the right number: where
    the step that they leave out changes nothing, as the floor of 0.41 d under a larger standard deviation.
    """

    formula: Formula
    label: str = ""
    called: str = ""
    marks: int = 2
    choice: bool = False
    weighed: bool = False
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


@dataclass(frozen=True)
class Drawn:
    """The numbers and words of one draw; ``limits`` where a plan has to be made."""

    values: Mapping[str, Quantity]
    words: Mapping[str, str] = field(default_factory=dict)
    limits: Limits | None = None


@dataclass(frozen=True)
class Proof:
    """The formula that shows an answer right; ``using`` says which value stands for which of its arguments."""

    formula: Formula
    using: Mapping[str, str] = field(default_factory=dict)

    def step(self, values: Values) -> WorkingStep:
        """Return the proof as a step of the working."""
        named = {name: values[self.using.get(name, name)] for name in self.formula.kinds}
        return step_of(self.formula, named)


@dataclass(frozen=True)
class Family:
    """A kind of task.

    ``text`` is the question, with ``{name}`` for each drawn value or word. ``solve`` returns the values of the free
    choices; ``complete`` works out choices that a student left unsaid from those said; ``why_not`` says why going on
    from a student's own value would make no sense (empty: it does make sense); ``judged_by`` are the rules of the
    choices; ``proof`` shows the answer right; ``consequence`` says what a wrong answer would have done.
    """

    id: str
    title: str
    subject: str
    text: str
    draw: Callable[[Dice, HouseRules], Drawn]
    asked: tuple[Asked, ...]
    proof: Proof | None = None
    solve: Callable[[Values, Limits], Values] | None = None
    complete: Callable[[Values], Values] | None = None
    why_not: Callable[[str, Values, Limits], str] | None = None
    judged_by: tuple[Rule, ...] = ()
    consequence: Callable[["Task", Values], str] | None = None

    @property
    def out_of(self) -> int:
        """The marks of the whole task."""
        return sum(asked.marks for asked in self.asked)

    @cached_property
    def kinds(self) -> dict[str, Kind]:
        """The kind of every value that this family speaks of."""
        found: dict[str, Kind] = {}
        for asked in self.asked:
            for mistake in asked.formula.mistakes:
                found |= mistake.kinds
        for asked in self.asked:
            found |= asked.formula.kinds | {asked.name: asked.kind}
        return found

    def task(self, id: str, key: str, house: HouseRules) -> "Task":
        """Draw a task; numbers with which a known mistake gives the right answer are drawn again."""
        dice = Dice(f"{key}|{id}|{self.id}")
        for _ in range(MOST_DRAWS):
            try:
                task = Task(id, self, self.draw(dice, house), house)
                if task.is_fair():
                    return task
            except RefusedError:
                continue
        raise RefusedError(
            f"task {id} ({self.id})",
            "no fair numbers can be drawn under these house rules.",
            "Check the balances in the house rules.",
        )


class Task:
    """One draw of a family: the question a student sees, the answers asked for, and the working."""

    def __init__(self, id: str, family: Family, drawn: Drawn, house: HouseRules) -> None:
        self.id, self.family, self.drawn, self.house = id, family, drawn, house

    @property
    def asked(self) -> tuple[Asked, ...]:
        """The answers asked for, in order."""
        return self.family.asked

    @property
    def out_of(self) -> int:
        """The marks of the whole task."""
        return self.family.out_of

    @property
    def limits(self) -> Limits | None:
        """What a plan must keep, where one is asked for."""
        return self.drawn.limits

    @cached_property
    def values(self) -> dict[str, Quantity]:
        """The given values, the choices of the worked solution, and every value that follows."""
        values = dict(self.drawn.values)
        for asked in self.asked:
            if self.family.solve and self.limits and asked.choice and asked.name not in values:
                values |= self.family.solve(values, self.limits)
            if asked.name not in values:
                values[asked.name] = asked.formula.evaluate(values)
        return values

    def precision(self, asked: Asked) -> Precision:
        """Return how closely an answer is asked for."""
        step = self.limits.display_step if asked.weighed and self.limits else None
        return Precision(step=step)

    def shown(self, name: str, value: Quantity | None = None) -> str:
        """Write one of the values as it is written at the bench."""
        return self.family.kinds[name].show(self.values[name] if value is None else value)

    def question_text(self) -> str:
        """Return the question, in plain text."""
        known = {name: self.shown(name) for name in self.drawn.values if name in self.family.kinds}
        return self.family.text.format(**known, **self.drawn.words)

    def asked_text(self) -> list[str]:
        """Return what is asked for, a line an answer: its label, how closely, and its marks."""
        return [f"{asked.said}{self._closely(asked)} ({asked.marks} marks)" for asked in self.asked]

    def question_html(self) -> str:
        """Return the question as an HTML fragment; every text in it is escaped."""
        paragraphs = "".join(f"<p>{escape(part)}</p>" for part in self.question_text().split("\n\n"))
        items = "".join(f"<li>{escape(line)}</li>" for line in self.asked_text())
        return f'<div class="question">{paragraphs}<p>Find:</p><ul>{items}</ul></div>'

    def working(self) -> Working:
        """Return the whole working: estimate, steps, proof."""
        steps = tuple(self._step(asked) for asked in self.asked)
        proof = self.family.proof
        first = next((asked.formula for asked in self.asked if len(asked.formula.kinds) > 1), self.asked[0].formula)
        return Working(steps, estimate(first, self.values), proof.step(self.values) if proof else None)

    def answer_lines(self) -> str:
        """Return the worked answers as a student would type them."""
        return "\n".join(f"{asked.said} = {self.typed(asked)}" for asked in self.asked)

    def typed(self, asked: Asked, value: Quantity | None = None) -> str:
        """Write a value as a student would type it as this answer."""
        right = self.values[asked.name] if value is None else value
        return asked.kind.show_exactly(right)[0]

    def mistakes_of(self, asked: Asked) -> list[Mistake]:
        """Return the known mistakes that can be made here: those whose values this task has."""
        return [mistake for mistake in asked.formula.mistakes if mistake.kinds.keys() <= self.values.keys()]

    def is_fair(self) -> bool:
        """Say whether no known mistake happens to give a right answer with these numbers.

        What follows from a free choice is left out: whether a mistake shows there is decided by the student's choice.
        """
        free: set[str] = set()
        for asked in self.asked:
            follows = bool(free & asked.formula.kinds.keys())
            if asked.choice or follows:
                free.add(asked.name)
            if follows and not asked.choice:
                continue
            right, precision = self.values[asked.name], self.precision(asked)
            if any(precision.accepts(wrong, right) for wrong in self._wrong_values(asked)):
                return False
        return True

    def _wrong_values(self, asked: Asked) -> list[Quantity]:
        wrong = []
        for mistake in self.mistakes_of(asked):
            if mistake.id in asked.sometimes_right:
                continue
            try:
                wrong.append(mistake.evaluate(self.values))
            except ZeroDivisionError:
                continue
        return wrong

    def _closely(self, asked: Asked) -> str:
        return "" if asked.choice else f", {self.precision(asked).says()}"

    def _step(self, asked: Asked) -> WorkingStep:
        value, least = self.values[asked.name], asked.formula.evaluate(self.values)
        if asked.choice and value != least:
            note = f"At least {asked.kind.show(least)}; {asked.kind.show(value)} keeps every rule"
            return WorkingStep(
                asked.said,
                f"your choice, at least {asked.formula.equation()}",
                asked.kind.show(value),
                asked.kind.show(value),
                "",
                note,
            )
        note = "Any larger one that keeps the rules is right as well" if asked.choice else ""
        return step_of(asked.formula, self.values, label=asked.said, note=note)


FAMILIES: dict[str, Family] = {}


def register(family: Family) -> Family:
    """Add a family to the list of those that assignments and practice can ask for."""
    if family.id in FAMILIES:
        raise ValueError(f"there is already a family {family.id}")
    FAMILIES[family.id] = family
    return family


def family_called(id: str) -> Family:
    """Return the family with this id; RefusedError lists those there are."""
    if id not in FAMILIES:
        raise RefusedError(
            "task",
            f'there is no kind of task called "{id[:60]}".',
            f"There are: {', '.join(sorted(FAMILIES))}.",
        )
    return FAMILIES[id]
