"""Working: the ordered steps from the given numbers to the answer, each with its equation, numbers and value.

It opens with an estimate and ends with the proof, and can be written as plain text, Markdown with LaTeX, or HTML.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction
from html import escape

from pharmcalc.formula import Formula, Values
from pharmcalc.kinds import RATIO
from pharmcalc.language import say
from pharmcalc.units import Quantity, quantity, unit_name

__all__ = ["Working", "WorkingStep", "estimate", "step_of"]


@dataclass(frozen=True)
class WorkingStep:
    """One step: what it is called, its equation in words, the numbers put in, the value, and a remark."""

    label: str
    equation: str
    numbers: str
    value: str
    latex: str = ""
    note: str = ""

    @property
    def line(self) -> str:
        """The step on one line: ``least weighable quantity = 6 mg ÷ 5 % = 120 mg``."""
        middle = f" = {self.numbers}" if self.numbers and self.numbers != self.value else ""
        return f"{self.label}{middle} = {self.value}"


def step_of(
    formula: Formula, values: Values, *, label: str = "", value: Quantity | None = None, note: str = ""
) -> WorkingStep:
    """Return a formula as one step of a working, with the numbers of ``values`` put in."""
    result = formula.evaluate(values) if value is None else value
    numbers = formula.with_numbers(values)
    return WorkingStep(
        label or formula.label, formula.equation(), numbers, formula.kind.show(result), formula.latex(), note
    )


def estimate(formula: Formula, values: Values) -> str:
    """Return a sentence that estimates a result: every number rounded to one figure first."""
    if RATIO in (formula.kind, *formula.kinds.values()):
        return ""  # 1:R rounds in R, not in 1 ÷ R
    if " - " in formula.equation():
        return ""  # a difference of two rounded numbers says nothing about the real one
    rough = {name: _one_figure(values[name]) for name in formula.kinds}
    try:
        value = _one_figure(formula.evaluate(rough))
    except ZeroDivisionError:
        return ""
    if value.magnitude <= 0:
        return ""
    expected = formula.kind.show_exactly(value)[0]
    return say(
        "Estimate first, with one figure in each number: {rough}, so expect roughly {expected}.",
        rough=formula.with_numbers(rough),
        expected=expected,
    )


def _one_figure(value: Quantity) -> Quantity:
    with localcontext() as context:
        context.prec, context.rounding = 1, ROUND_HALF_UP
        rough = Decimal(value.magnitude.numerator) / Decimal(value.magnitude.denominator)
    return quantity(Fraction(rough), unit_name(value))


@dataclass(frozen=True)
class Working:
    """The whole working of a task."""

    steps: tuple[WorkingStep, ...]
    opening: str = ""
    proof: WorkingStep | None = None

    def text(self) -> str:
        """Write the working as plain text, for the command line and for screen readers."""
        lines = [self.opening] if self.opening else []
        for number, step in enumerate(self.steps, 1):
            lines.append(f"{number}. {step.line}" + (f". {step.note}" if step.note else ""))
        if self.proof:
            lines.append(f"{say('Proof')}: {self.proof.line}" + (f". {self.proof.note}" if self.proof.note else ""))
        return "\n".join(lines)

    def markdown(self) -> str:
        """Write the working as Markdown with LaTeX equations, for notebooks."""
        lines = [self.opening, ""] if self.opening else []
        for number, step in enumerate(self.steps, 1):
            equation = f" $= {step.latex}$" if step.latex else ""
            lines.append(
                f"{number}. **{step.label}**{equation} = {step.numbers} = **{step.value}**"
                + (f" *{step.note}*" if step.note else "")
            )
        if self.proof:
            lines += ["", f"**{say('Proof')}:** {self.proof.line}"]
        return "\n".join(lines)

    def html(self) -> str:
        """Write the working as an HTML fragment; every text in it is escaped."""
        items = "".join(self._item(step) for step in self.steps)
        opening = f"<p>{escape(self.opening)}</p>" if self.opening else ""
        proof = (
            f"<p><strong>{escape(say('Proof'))}:</strong> {escape(self.proof.line)}. {escape(self.proof.note)}</p>"
            if self.proof
            else ""
        )
        return f'<div class="working">{opening}<ol>{items}</ol>{proof}</div>'

    @staticmethod
    def _item(step: WorkingStep) -> str:
        how = (
            f'<br><span class="equation">{escape(step.label)} = {escape(step.equation)}</span>'
            if step.equation != step.numbers
            else ""
        )
        note = f"<br><em>{escape(step.note)}</em>" if step.note else ""
        return f"<li><strong>{escape(step.line)}</strong>{how}{note}</li>"
