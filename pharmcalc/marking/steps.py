"""Marking a task step by step: judge each answer, then go on from it where that makes sense."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from pharmcalc.aliquots import Limits, Rule
from pharmcalc.answers import AnswerLine
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Mistake, Values
from pharmcalc.language import say
from pharmcalc.marking.slips import another_unit, on_the_display, power_of_ten, same_as_typed, unsaid
from pharmcalc.marking.verdicts import DecisionVerdict, Status, Verdict
from pharmcalc.rounding import Precision
from pharmcalc.tasks.asked import Asked, Decision
from pharmcalc.tasks.family import Task
from pharmcalc.units import Quantity

__all__ = ["Marker"]


class Marker:
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
        self.unrounded[asked.name] = self._unrounded(asked, verdict)
        if why_not and not verdict.earned and asked is not self.task.amounts[-1]:
            return replace(verdict, not_gone_on=why_not)
        return verdict

    def decide(self, asked: Decision, line: AnswerLine) -> DecisionVerdict:
        """Judge a decision: on the true numbers, or on those that the student's own answers lead to."""
        true, own = (asked.rights(self.task, values) for values in (self.task.values, {**self.task.values, **self.own}))
        if line.chosen is None:
            return DecisionVerdict(asked, line, unsaid(line), own, asked.why(self.task), unsafe=True)
        status = Status.RIGHT if line.chosen in true else Status.FOLLOWS if line.chosen in own else Status.DECIDED
        return DecisionVerdict(asked, line, status, own, asked.why(self.task), unsafe=line.chosen not in true)

    def _unrounded(self, asked: Asked, verdict: Verdict) -> Quantity:
        """Return the student's own number as it was before it was rounded to be typed: full precision to the end."""
        own = self.own[asked.name]
        if asked.choice:
            return own
        if verdict.mistake is not None and verdict.mistake_values is not None and own == verdict.line.value:
            return verdict.mistake.evaluate(verdict.mistake_values)
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
            return say("nothing would be left")
        if family.why_not is None:
            return ""
        return family.why_not(asked.name, {**self.own, asked.name: value}, limits)

    def _value(self, asked: Asked, line: AnswerLine) -> Verdict:
        """Judge an answer that has one right value: the true one, or the one that the student's own numbers lead to."""
        value, values, right = line.value, dict(self.own), self._expected(asked, self.own)
        if value is None:
            return Verdict(asked, line, unsaid(line), right, values)
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
            return Verdict(asked, line, unsaid(line), self._example(asked), values)
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
        for one in self.task.amounts:
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
        if asked.estimate:
            return Verdict(asked, line, Status.ESTIMATE, right, values)
        mistake, used = self._recognise(asked, line, value)
        exactly = mistake is not None and used is not None and mistake.evaluate(used) == value
        if not exactly and any(precision.too_coarse(value, one, line.half_place) for one in wanted):
            return Verdict(asked, line, Status.COARSE, right, values)
        if not exactly and any(precision.another_way(value, one) for one in wanted):
            return Verdict(asked, line, Status.ROUNDED, right, values)
        if mistake is not None:
            return Verdict(asked, line, Status.MISTAKE, right, values, mistake, used)
        if any(precision.nearly(value, one) for one in wanted):
            return Verdict(asked, line, Status.NEARLY, right, values)
        if line.reading is not None and any(another_unit(line.reading.value, one, precision) for one in wanted):
            return Verdict(asked, line, Status.UNIT, right, values)
        if any(power_of_ten(value, one, precision) for one in wanted):
            return Verdict(asked, line, Status.POWER, right, values)
        return Verdict(asked, line, Status.UNRECOGNISED, right, values)

    @staticmethod
    def _accepted(asked: Asked, part: Quantity, precision: Precision, wanted: Iterable[Quantity]) -> bool:
        return asked.kind.fits(part) and any(precision.accepts(part, one) for one in wanted)

    def _recognise(self, asked: Asked, line: AnswerLine, value: Quantity) -> tuple[Mistake | None, Values | None]:
        """Return the known mistake that gives this very number, and the numbers it was made with."""
        precision = self.task.precision(asked)
        for mistake, values, wrong in self._wrong_values(asked):
            if wrong.dimensionality == value.dimensionality and (
                same_as_typed(value, wrong, line.half_place) or on_the_display(value, wrong, precision)
            ):
                return mistake, values
        return None, None

    def _wrong_values(self, asked: Asked) -> Iterator[tuple[Mistake, Values, Quantity]]:
        for values in (self.own, self.ideal, {**self.task.values, **self.own}):
            for mistake in asked.formula.mistakes:
                if not mistake.kinds.keys() <= values.keys():
                    continue
                try:
                    yield mistake, values, mistake.evaluate(values)
                except (ZeroDivisionError, RefusedError):
                    continue
