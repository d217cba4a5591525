"""Mark: the verdict on each answer of a task, and whether the student may go to the balance.

Four habits of a good human marker: judge by rules and not by one key; follow a slip through, so that it costs once;
name the mistake when it is recognised, and only then; keep marks and clearance apart. Nothing here runs what a student
typed, nothing raises on it, and what is in doubt earns nothing.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction

from pharmcalc.aliquots import Limits, Rule
from pharmcalc.answers import AnswerLine, AnswerSheet, read_answers
from pharmcalc.clearance import Clearance, clearance
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Mistake, Values
from pharmcalc.kinds import BasisError
from pharmcalc.rounding import Precision
from pharmcalc.tasks.family import Asked, Task
from pharmcalc.units import Quantity, quantity

__all__ = ["Status", "TaskMark", "Verdict", "mark_task"]


class Status(Enum):
    """What an answer turned out to be; the value is how a mark sheet says it."""

    RIGHT = "right"
    FOLLOWS = "right from an earlier number"
    ARITHMETIC = "set-up right, arithmetic slip"
    COARSE = "rounded too far"
    UNIT = "right number, wrong unit"
    POWER = "off by a power of ten"
    MISTAKE = "mistake recognised"
    RULE = "breaks a rule"
    BASIS = "another kind of percentage"
    UNRECOGNISED = "not recognised"
    UNREADABLE = "could not be read"
    MISSING = "not answered"


SHARE = {Status.RIGHT: Fraction(1), Status.FOLLOWS: Fraction(1)} | dict.fromkeys(
    (Status.ARITHMETIC, Status.COARSE, Status.UNIT), Fraction(1, 2)
)
"""The part of an answer's marks that each status earns; every other status earns nothing."""

OTHER_UNITS = ("gram", "milligram", "microgram", "grain", "litre", "millilitre", "microlitre")


@dataclass(frozen=True)
class Verdict:
    """The verdict on one answer.

    ``right`` is the value that this student's own numbers lead to (for a free choice: one that would do); ``values``
    are the numbers it was judged on. ``mistake``, ``rule`` and ``not_gone_on`` (why the later answers were not judged
    on this one) are set where they apply.
    """

    asked: Asked
    line: AnswerLine
    status: Status
    right: Quantity
    values: Values
    mistake: Mistake | None = None
    mistake_values: Values | None = None
    rule: Rule | None = None
    not_gone_on: str = ""

    @property
    def label(self) -> str:
        """The words of the answer."""
        return self.asked.said

    @property
    def out_of(self) -> int:
        """The marks it could earn."""
        return self.asked.marks

    @property
    def marks(self) -> Fraction:
        """The marks it earns."""
        return self.out_of * SHARE.get(self.status, Fraction(0))

    @property
    def earned(self) -> bool:
        """Whether it earns all its marks."""
        return self.status in (Status.RIGHT, Status.FOLLOWS)

    @property
    def mistake_id(self) -> str:
        """The stable id of the mistake or broken rule, or an empty text."""
        return self.mistake.id if self.mistake else (self.rule.id if self.rule else "")

    @property
    def mistake_name(self) -> str:
        """The mistake or broken rule in words, or an empty text."""
        return self.mistake.name if self.mistake else (self.rule.says if self.rule else "")

    def as_record(self) -> dict[str, object]:
        """Return the verdict as plain data, for reports."""
        return {
            "answer": self.label,
            "typed": self.line.text,
            "marks": float(self.marks),
            "out_of": self.out_of,
            "status": self.status.value,
            "mistake": self.mistake_id,
            "mistake_name": self.mistake_name,
        }


@dataclass(frozen=True)
class TaskMark:
    """The marks, the verdicts and the clearance of one task."""

    task: Task
    sheet: AnswerSheet
    verdicts: tuple[Verdict, ...]
    clearance: Clearance
    values: Values
    needs_eyes: str = ""

    @property
    def marks(self) -> Fraction:
        """The marks earned."""
        return sum((verdict.marks for verdict in self.verdicts), Fraction(0))

    @property
    def out_of(self) -> int:
        """The marks of the whole task."""
        return self.task.out_of

    @property
    def cleared(self) -> bool:
        """Whether the student may go to the balance with this task."""
        return self.clearance.cleared

    def as_record(self) -> dict[str, object]:
        """Return the mark as plain data, for reports."""
        return {
            "task": self.task.id,
            "family": self.task.family.id,
            "marks": float(self.marks),
            "out_of": self.out_of,
            "cleared": self.cleared,
            "critical": self.clearance.critical,
            "reasons": list(self.clearance.reasons),
            "mistakes": [verdict.mistake_id for verdict in self.verdicts if verdict.mistake_id],
            "verdicts": [verdict.as_record() for verdict in self.verdicts],
            "needs_eyes": self.needs_eyes,
        }


def mark_task(task: Task, text: str | None) -> TaskMark:
    """Mark a student's answer cell for a task. Never raises on any text.

    text: the cell's source (``None``: there is no such cell, which earns nothing and asks for a look).
    """
    sheet = read_answers(text or "", task.asked)
    sheet = replace(sheet, lines={name: _on_its_basis(line, task.values[name]) for name, line in sheet.lines.items()})
    said = {name: line.value for name, line in sheet.lines.items() if line.value is not None}
    marker = _Marker(task, said)
    verdicts = tuple(marker.judge(asked, sheet.lines[asked.name]) for asked in task.asked)
    told = [verdict for verdict in verdicts if verdict.asked.weighed or task.limits is None]
    slipped = [verdict.label for verdict in told if _slipped(verdict, task)]
    other_basis = [verdict.label for verdict in told if verdict.status is Status.BASIS]
    cleared = clearance(task, marker.as_said, slipped, other_basis)
    why = "the answer cell is not there" if text is None else ""
    return TaskMark(task, sheet, verdicts, cleared, marker.as_said, why)


class _Marker:
    """Marks one task step by step, carrying the student's own numbers along."""

    def __init__(self, task: Task, said: Mapping[str, Quantity]) -> None:
        self.task, self.said = task, said
        given = dict(task.drawn.values)
        complete = task.family.complete or (lambda values: values)
        self.as_said: Values = complete({**given, **said})
        self.own: dict[str, Quantity] = dict(given)
        self.ideal: dict[str, Quantity] = dict(given)
        self.unrounded: dict[str, Quantity] = dict(given)

    def judge(self, asked: Asked, line: AnswerLine) -> Verdict:
        """Judge one answer, then go on from it where that makes sense."""
        verdict = self._choice(asked, line) if asked.choice else self._value(asked, line)
        value = self.as_said.get(asked.name) if asked.choice else line.value
        why_not = "" if value is None else self._why_not(asked, value)
        gone_on = value is not None and not why_not
        if asked.choice and why_not and verdict.earned:  # no rule is broken yet, but no plan can come of it
            verdict = replace(verdict, status=Status.UNRECOGNISED, right=self._example(asked))
        if asked.choice and line.value is not None and not verdict.earned and (meant := self._meant(asked)) is not None:
            verdict, value, gone_on = replace(verdict, right=meant), meant, True
        if asked.choice:
            self.own[asked.name] = self.ideal[asked.name] = value if value and gone_on else self._example(asked)
        else:
            self.ideal[asked.name] = self._expected(asked, self.ideal)
            self.own[asked.name] = verdict.right if value is None else value if gone_on else self.ideal[asked.name]
        self.unrounded[asked.name] = self._unrounded(asked)
        if why_not and not verdict.earned and asked is not self.task.asked[-1]:
            return replace(verdict, not_gone_on=why_not)
        return verdict

    def _unrounded(self, asked: Asked) -> Quantity:
        """Return the student's own number as it was before it was rounded to be typed: full precision to the end."""
        own = self.own[asked.name]
        if asked.choice:
            return own
        exact = self._expected(asked, self.unrounded)
        return exact if self.task.precision(asked).accepts(own, exact) else own

    def _meant(self, asked: Asked) -> Quantity | None:
        """Return the choice that the other answers speak of, where the one typed cannot be and this one can."""
        complete = self.task.family.complete
        if complete is None:
            return None
        others = {name: value for name, value in self.said.items() if name != asked.name}
        meant = complete({**self.task.drawn.values, **others}).get(asked.name)
        if meant is None or meant == self.said[asked.name]:
            return None
        return None if self._why_not(asked, meant) or self._broken(asked, meant) else meant

    def _example(self, asked: Asked) -> Quantity:
        """Return a free choice that would do, on the student's own numbers."""
        family, limits, worked = self.task.family, self.task.limits, self.task.values
        if family.solve is None or limits is None or self.own.items() <= worked.items():
            return worked[asked.name]
        try:
            return family.solve(self.own, limits)[asked.name]
        except RefusedError:
            return worked[asked.name]

    def _expected(self, asked: Asked, values: Values) -> Quantity:
        try:
            return asked.formula.evaluate(values)
        except ZeroDivisionError:
            return self.task.values[asked.name]

    def _why_not(self, asked: Asked, value: Quantity) -> str:
        family, limits = self.task.family, self.task.limits
        if value.magnitude <= 0:
            return "nothing would be left"
        if family.why_not is None or limits is None:
            return ""
        return family.why_not(asked.name, {**self.own, asked.name: value}, limits)

    def _value(self, asked: Asked, line: AnswerLine) -> Verdict:
        """Judge an answer that has one right value: the true one, or the one that the student's own numbers lead to."""
        value, values, right = line.value, dict(self.own), self._expected(asked, self.own)
        if value is None:
            return Verdict(asked, line, _unsaid(line), right, values)
        precision, truth = self.task.precision(asked), self._expected(asked, self.ideal)
        for wanted in (truth, right, self._expected(asked, self.unrounded)):
            if precision.accepts(value, wanted):
                rule = self._broken(asked, value)
                if rule is not None:
                    return Verdict(asked, line, Status.RULE, right, values, rule=rule)
                status = (
                    Status.RIGHT
                    if precision.accepts(value, self.task.values[asked.name]) or wanted is truth
                    else Status.FOLLOWS
                )
                return Verdict(asked, line, status, wanted, values)
        return self._wrong(asked, line, value, (right, truth))

    def _choice(self, asked: Asked, line: AnswerLine) -> Verdict:
        """Judge a free choice: by its rules, on the student's own numbers."""
        value, values = line.value, dict(self.own)
        if value is None:
            return Verdict(asked, line, _unsaid(line), self._example(asked), values)
        rule = self._broken(asked, value)
        if rule is None:
            return Verdict(asked, line, Status.RIGHT, value, values)
        right = self._example(asked)
        mistake, used = self._recognise(asked, line, value)
        if mistake is not None:
            return Verdict(asked, line, Status.MISTAKE, right, values, mistake, used)
        return Verdict(asked, line, Status.RULE, right, values, rule=rule)

    def _broken(self, asked: Asked, value: Quantity) -> Rule | None:
        """Return the rule that this answer is to blame for, broken on the true numbers and on the student's own."""
        limits = self.task.limits
        if limits is None:
            return None
        least = self.own.get("least_weighable_quantity", limits.least_weighable_quantity)
        on_own = self._first_broken(asked, value, self.own, replace(limits, least_weighable_quantity=least))
        return self._first_broken(asked, value, self.ideal, limits) if on_own else None

    def _first_broken(self, asked: Asked, value: Quantity, known: Values, limits: Limits) -> Rule | None:
        values = self._forward(asked, value, known)
        for rule in self.task.family.judged_by:
            charged = next((name for name in rule.blame if name in self.said), None)
            if charged == asked.name and rule.broken_by(values, limits):
                return rule
        return None

    def _forward(self, asked: Asked, value: Quantity, known: Values) -> dict[str, Quantity]:
        """Return what the steps known up to here lead to, going on by the formulas as far as they go.

        A later answer that is right, as closely as it is asked for, counts as said: that is what will be weighed.
        """
        values = {**known, asked.name: value}
        later = False
        for one in self.task.asked:
            if later and not one.choice and one.formula.kinds.keys() <= values.keys():
                values[one.name] = computed = one.formula.evaluate(values)
                said = self.said.get(one.name)
                if said is not None and self.task.precision(one).accepts(said, computed):
                    values[one.name] = said
            elif later and one.choice and one.name in self.as_said and asked.choice is False:
                values[one.name] = self.as_said[one.name]
            later = later or one is asked
        return values

    def _wrong(self, asked: Asked, line: AnswerLine, value: Quantity, wanted: tuple[Quantity, Quantity]) -> Verdict:
        """Say what a wrong value is: the cheapest explanation first."""
        right, values = wanted[0], dict(self.own)
        precision = self.task.precision(asked)
        set_up = [part.value for part in line.parts[:-1] if part.worked_out]
        if any(self._accepted(asked, part, precision, wanted) for part in set_up):
            return Verdict(asked, line, Status.ARITHMETIC, right, values)
        mistake, used = self._recognise(asked, line, value)
        exactly = mistake is not None and used is not None and mistake.evaluate(used) == value
        if not exactly and any(precision.too_coarse(value, one, line.half_place) for one in wanted):
            return Verdict(asked, line, Status.COARSE, right, values)
        if mistake is not None:
            return Verdict(asked, line, Status.MISTAKE, right, values, mistake, used)
        if line.reading is not None and any(_another_unit(line.reading.value, one, precision) for one in wanted):
            return Verdict(asked, line, Status.UNIT, right, values)
        if any(_power_of_ten(value, one, precision) for one in wanted):
            return Verdict(asked, line, Status.POWER, right, values)
        return Verdict(asked, line, Status.UNRECOGNISED, right, values)

    @staticmethod
    def _accepted(asked: Asked, part: Quantity, precision: Precision, wanted: Iterable[Quantity]) -> bool:
        return asked.kind.fits(part) and any(precision.accepts(part, one) for one in wanted)

    def _recognise(self, asked: Asked, line: AnswerLine, value: Quantity) -> tuple[Mistake | None, Values | None]:
        """Return the known mistake that gives this very number, and the numbers it was made with."""
        for mistake, values, wrong in self._wrong_values(asked):
            if mistake.kind.fits(value) and _same_as_typed(value, wrong, line.half_place):
                return mistake, values
        return None, None

    def _wrong_values(self, asked: Asked) -> Iterator[tuple[Mistake, Values, Quantity]]:
        for values in (self.own, self.ideal, {**self.task.values, **self.own}):
            for mistake in asked.formula.mistakes:
                if not mistake.kinds.keys() <= values.keys():
                    continue
                try:
                    yield mistake, values, mistake.evaluate(values)
                except ZeroDivisionError:
                    continue


def _on_its_basis(line: AnswerLine, right: Quantity) -> AnswerLine:
    """Refuse a strength in g per mL where one in g per g is asked for, or the reverse: they cannot be compared."""
    if line.value is None or line.value.dimensionality == right.dimensionality:
        return line
    problem = BasisError(
        line.asked.said,
        f'says "{line.text}", a strength on another basis (w/w, w/v, v/v) than is asked for.',
        f'Write, for example, "{line.asked.kind.example}".',
    )
    return replace(line, value=None, problem=problem)


def _unsaid(line: AnswerLine) -> Status:
    """Return the status of an answer that has no value."""
    if line.problem is None:
        return Status.MISSING
    return Status.BASIS if line.wrong_basis else Status.UNREADABLE


def _slipped(verdict: Verdict, task: Task) -> bool:
    """Say whether an answer is a power of ten or a unit away from the right one, whatever else it was recognised as."""
    value = verdict.line.value
    if value is None or verdict.earned or verdict.asked.choice:
        return False
    if verdict.status in (Status.UNIT, Status.POWER):
        return True
    return _power_of_ten(value, verdict.right, task.precision(verdict.asked))


def _same_as_typed(value: Quantity, wrong: Quantity, half_place: Quantity | None) -> bool:
    """Say whether a typed value is this wrong value, as closely as it was typed (never further than 2 %)."""
    distance = abs(value - wrong)
    allowed = abs(wrong) / 2000 if half_place is None else max(half_place, abs(wrong) / 2000)
    return bool(distance <= allowed and distance * 50 <= abs(wrong))


def _another_unit(given: Quantity, right: Quantity, precision: Precision) -> bool:
    """Say whether the number is right and only its unit is not."""
    if given.dimensionless:
        return False
    for unit in OTHER_UNITS:
        if right.is_compatible_with(unit):
            meant = quantity(given.magnitude, unit)
            if precision.accepts(meant, right):
                return True
    return False


def _power_of_ten(value: Quantity, right: Quantity, precision: Precision) -> bool:
    """Say whether the digits are right and the decimal point is not."""
    if right.magnitude == 0:
        return False
    return any(power and precision.accepts(value * Fraction(10) ** power, right) for power in range(-9, 10))
