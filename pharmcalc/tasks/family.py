"""Task families and tasks: a family draws numbers and asks for named answers; a task is one draw.

A family adds nothing to the mathematics: what it asks for are formulas, and its working is those formulas in order.
"""

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from html import escape
from importlib import import_module

from pharmcalc.aliquots import Limits, Rule
from pharmcalc.bench import Order, record_text, weigh_by_the_book
from pharmcalc.equations import rounds_up
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Formula, Mistake, Values
from pharmcalc.kinds import Kind, written
from pharmcalc.language import say, worded
from pharmcalc.rounding import PowerOfTen, Precision
from pharmcalc.tasks.asked import Asked, Decision, Question
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.house import HouseRules
from pharmcalc.tasks.subjects import MODULE_OF
from pharmcalc.units import Quantity
from pharmcalc.working import Working, WorkingStep, estimate, step_of

__all__ = [
    "FAMILIES",
    "Asked",
    "Drawn",
    "Family",
    "Made",
    "Proof",
    "Task",
    "family_called",
    "register",
    "typed_families",
]

MOST_DRAWS = 500


@dataclass(frozen=True)
class Drawn:
    """The numbers and words of one draw.

    ``limits`` where a plan has to be made, ``order`` where something is to be weighed at the simulated bench.
    """

    values: Mapping[str, Quantity]
    words: Mapping[str, str] = field(default_factory=dict)
    limits: Limits | None = None
    order: Order | None = None


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
class Made:
    """What a student's own plan would really make, recomputed from what goes on the pan and into the vessels.

    ``values`` is the whole plan as its rules know it; ``amounts`` are (what, amount made, amount wanted), for example
    ("The aliquot would hold", 5 mg, 6 mg).
    """

    values: Values
    amounts: tuple[tuple[str, Quantity, Quantity], ...]


@worded("title")
@dataclass(frozen=True)
class Family:
    """A kind of task.

    ``text`` is the question, with ``{name}`` for each drawn value or word. ``solve`` returns the values of the free
    choices; ``complete`` works out choices that a student left unsaid from those said; ``why_not`` says why going on
    from a student's own value would make no sense (empty: it does make sense); ``judged_by`` are the rules of the
    choices; ``made`` recomputes a student's plan for clearance (None: too little of it is said); ``proof`` shows the
    answer right; ``consequence`` says what a wrong answer would have done. ``level`` is 1 for one step, 2 for several,
    3 for a whole order, from what is wanted to what goes on the pan. ``shown_later`` is a text that a student sees once
    every amount is answered: a colleague's plan to be checked. ``recorded``: nothing is typed; the answer is the record
    of the simulated bench, and each thing asked is what an inspector finds in it.
    """

    id: str
    title: str
    subject: str
    text: str
    draw: Callable[[Dice, HouseRules], Drawn]
    asked: tuple[Question, ...]
    proof: Proof | None = None
    solve: Callable[[Values, Limits], Values] | None = None
    complete: Callable[[Values], Values] | None = None
    why_not: Callable[[str, Values, Limits | None], str] | None = None
    judged_by: tuple[Rule, ...] = ()
    made: Callable[["Task", Values], Made | None] | None = None
    consequence: Callable[["Task", Values], str] | None = None
    level: int = 1
    shown_later: Callable[["Task"], str] | None = None
    recorded: bool = False

    @property
    def amounts(self) -> tuple[Asked, ...]:
        """The amounts asked for, without the decisions."""
        return tuple(asked for asked in self.asked if isinstance(asked, Asked))

    @property
    def decides(self) -> bool:
        """Whether a decision in words is asked for."""
        return len(self.amounts) < len(self.asked)

    @property
    def out_of(self) -> int:
        """The marks of the whole task."""
        return sum(asked.marks for asked in self.asked)

    @cached_property
    def kinds(self) -> dict[str, Kind]:
        """The kind of every value that this family speaks of."""
        found: dict[str, Kind] = {}
        for asked in self.amounts:
            for mistake in asked.formula.mistakes:
                found |= mistake.kinds
        for asked in self.amounts:
            found |= asked.formula.kinds | {asked.name: asked.kind}
        return found

    def task(self, id: str, key: str, house: HouseRules) -> "Task":
        """Draw a task; numbers with which a known mistake gives the right answer are drawn again."""
        dice, why = Dice(f"{key}|{id}|{self.id}"), say("no fair numbers can be drawn under these house rules.")
        for _ in range(MOST_DRAWS):
            try:
                task = Task(id, self, self.draw(dice, house), house)
                if task.is_fair():
                    return task
            except RefusedError as refusal:
                why = say("no numbers can be drawn under these house rules: {problem}", problem=refusal.problem)
        raise RefusedError(f"task {id} ({self.id})", why, "Check the balances and orders in the house rules.")


class Task:
    """One draw of a family: the question a student sees, the answers asked for, and the working."""

    def __init__(self, id: str, family: Family, drawn: Drawn, house: HouseRules) -> None:
        self.id, self.family, self.drawn, self.house = id, family, drawn, house

    @property
    def asked(self) -> tuple[Question, ...]:
        """The answers asked for, in order."""
        return self.family.asked

    @property
    def amounts(self) -> tuple[Asked, ...]:
        """The amounts asked for, in order."""
        return self.family.amounts

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
        for asked in self.amounts:
            if self.family.solve and self.limits and asked.choice and asked.name not in values:
                values |= self.family.solve(values, self.limits)
            if asked.name not in values:
                values[asked.name] = asked.formula.evaluate(values)
        return values

    def precision(self, asked: Asked) -> Precision:
        """Return how closely an answer is asked for."""
        if asked.estimate:
            return PowerOfTen()
        step = self.limits.display_step if asked.weighed and self.limits else None
        return Precision(step=step)

    def shown(self, name: str, value: Quantity | None = None) -> str:
        """Write one of the values as it is written at the bench."""
        amount, kind = self.values[name] if value is None else value, self.family.kinds.get(name)
        return written(amount) if kind is None else kind.show(amount)

    def question_text(self) -> str:
        """Return the question, in plain text."""
        known = {name: self.shown(name) for name in self.drawn.values}
        return say(self.family.text, **known, **{name: say(word) for name, word in self.drawn.words.items()})

    def asked_text(self) -> list[str]:
        """Return what is asked for, a line an answer: its label, how closely, and its marks."""
        if self.family.recorded:
            return [f"{asked.said} ({_marks(asked.marks)})" for asked in self.asked]
        return [f"{asked.said}{_joined(asked)}{self.closely(asked)} ({_marks(asked.marks)})" for asked in self.asked]

    def question_html(self) -> str:
        """Return the question as an HTML fragment; every text in it is escaped."""
        paragraphs = "".join(f"<p>{escape(part)}</p>" for part in self.question_text().split("\n\n"))
        items = "".join(f"<li>{escape(line)}</li>" for line in self.asked_text())
        return f'<div class="question">{paragraphs}<p>{escape(say("Find:"))}</p><ul>{items}</ul></div>'

    def now_to_be_shown(self, answered: Collection[str]) -> str:
        """Return the text that is held back until every amount is answered, given the names answered so far."""
        held_back = self.family.shown_later
        if held_back is None or any(asked.name not in answered for asked in self.amounts):
            return ""
        return held_back(self)

    def working(self) -> Working:
        """Return the whole working: estimate, steps, proof."""
        steps = tuple(self._step(asked) for asked in self.asked)
        proof = self.family.proof
        formulas = [asked.formula for asked in self.amounts]
        first = next((formula for formula in formulas if len(formula.kinds) > 1), formulas[0] if formulas else None)
        return Working(steps, estimate(first, self.values) if first else "", proof.step(self.values) if proof else None)

    def answer_lines(self) -> str:
        """Return the worked answers as a student would type them, or the record of a weighing by the book."""
        if self.drawn.order is not None:
            return record_text(weigh_by_the_book(self.drawn.order))
        return "\n".join(f"{asked.said} = {self.typed(asked)}" for asked in self.asked)

    def typed(self, asked: Question, value: Quantity | None = None) -> str:
        """Write a value as a student would type it as this answer."""
        if isinstance(asked, Decision):
            return asked.rights(self, self.values)[0].said
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
        for asked in self.amounts:
            if asked.estimate:
                continue
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
                value = mistake.evaluate(self.values)
            except (ZeroDivisionError, RefusedError):
                continue
            if value.dimensionality == self.values[asked.name].dimensionality:
                wrong.append(value)
        return wrong

    def closely(self, asked: Question) -> str:
        """Say how closely an answer is asked for, or between what it decides."""
        if isinstance(asked, Decision):
            return asked.example
        counted = asked.kind.whole or rounds_up(asked.formula.tree)
        if counted and not asked.choice:
            return say("a whole number")
        return say("your own choice") if asked.choice else self.precision(asked).says()

    def _step(self, asked: Question) -> WorkingStep:
        if isinstance(asked, Decision):
            said = say(" or ").join(option.said for option in asked.rights(self, self.values))
            return WorkingStep(asked.said, "", "", said, "", asked.why(self))
        value, least = self.values[asked.name], asked.formula.evaluate(self.values)
        if asked.choice and value != least:
            note = say(
                "At least {least}; {value} keeps every rule", least=asked.kind.show(least), value=asked.kind.show(value)
            )
            return WorkingStep(
                asked.said,
                say("your choice, at least {formula}", formula=asked.formula.equation()),
                asked.kind.show(value),
                asked.kind.show(value),
                "",
                note,
            )
        note = say("Any larger one that keeps the rules is right as well") if asked.choice else ""
        return step_of(asked.formula, self.values, label=asked.said, note=note)


def _joined(asked: Question) -> str:
    return ": " if isinstance(asked, Decision) else ", "


def _marks(marks: int) -> str:
    return say("1 mark") if marks == 1 else say("{marks} marks", marks=marks)


class _Families(Mapping[str, Family]):
    """Every family by its id, loaded with its module when it is first asked for."""

    def __init__(self) -> None:
        self._loaded: dict[str, Family] = {}

    def __getitem__(self, id: str) -> Family:
        if id not in self._loaded:
            import_module(MODULE_OF[id])
        return self._loaded[id]

    def __iter__(self) -> Iterator[str]:
        return iter(MODULE_OF)

    def __len__(self) -> int:
        return len(MODULE_OF)

    def add(self, family: Family) -> None:
        if family.id not in MODULE_OF:
            raise ValueError(f"name the family {family.id} in tasks/subjects.py")
        if family.id in self._loaded:
            raise ValueError(f"there is already a family {family.id}")
        self._loaded[family.id] = family


_FAMILIES = _Families()
FAMILIES: Mapping[str, Family] = _FAMILIES
"""Every family by its id, in the order of ``subjects.py``."""


def register(family: Family) -> Family:
    """Add a family to those that assignments and practice can ask for, and return it.

    Raises ValueError where ``subjects.py`` does not name it, or there is one of that name already.
    """
    _FAMILIES.add(family)
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


def typed_families() -> list[Family]:
    """Return the families whose answers are typed; the others are worked at the simulated bench."""
    return [family for family in FAMILIES.values() if not family.recorded]
