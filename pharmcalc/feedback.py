"""Feedback that teaches: first what is right, then each wrong step, why, what it would have done, and what is next.

The same sentences serve the practice card, the feedback page and the terminal; only the dress differs.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from html import escape

from pharmcalc.bench import OUTCOME, SIMULATED
from pharmcalc.equations import Name
from pharmcalc.errors import RefusedError
from pharmcalc.language import capital, later, say
from pharmcalc.marking import DecisionVerdict, Judged, Status, TaskMark, Verdict
from pharmcalc.tasks.asked import Finding
from pharmcalc.units import number_text

__all__ = ["Part", "feedback_html", "feedback_parts", "feedback_text", "marks_text"]

CLEARED = later("Cleared for the bench, once a second person has verified it.")
HELD_BACK = later(
    "Rightly decided: as it stands, nothing is weighed here. Have the decision verified by a second person."
)
UNTYPESET = "tex2jax_ignore mathjax_ignore"
"""Names of classes that keep MathJax, which nbgrader's pages load, from taking a student's words for commands."""
NOT_CLEARED = later("Not cleared for the bench yet.")


@dataclass(frozen=True)
class Part:
    """One part of the feedback: its kind (a class name), its heading, and its sentences."""

    kind: str
    heading: str
    sentences: tuple[str, ...]


def marks_text(marks: Fraction) -> str:
    """Write marks as a plain number.

    >>> marks_text(Fraction(5, 2))
    '2.5'
    """
    return number_text(marks)[0]


def feedback_parts(mark: TaskMark) -> list[Part]:
    """Return the feedback on one task, part by part, in the order it is read."""
    return [part for part in _parts(mark) if any(part.sentences)]


def feedback_text(mark: TaskMark) -> str:
    """Return the feedback on one task as plain text."""
    lines = [f"{part.heading}: {' '.join(part.sentences)}" for part in feedback_parts(mark)]
    return "\n".join([*lines, _marks(mark)])


def feedback_html(mark: TaskMark, *, working: bool = True) -> str:
    """Return the feedback on one task as an HTML fragment with every text escaped; ``working`` adds the working."""
    parts = "".join(
        f'<div class="part {part.kind}"><p><strong>{escape(part.heading)}:</strong> '
        f"{escape(' '.join(part.sentences))}</p></div>"
        for part in feedback_parts(mark)
    )
    marks = f'<p class="marks">{escape(_marks(mark))}</p>'
    more = _folded(mark) if working else ""
    return f'<div class="feedback {UNTYPESET}">{parts}{marks}{more}</div>'


def _folded(mark: TaskMark) -> str:
    summary = escape(say("One right way, in full"))
    return f"<details><summary>{summary}</summary>{mark.task.working().html()}</details>"


def _marks(mark: TaskMark) -> str:
    return say("Marks: {marks} of {out_of}", marks=marks_text(mark.marks), out_of=mark.out_of)


def _parts(mark: TaskMark) -> Iterator[Part]:
    if mark.task.family.recorded and not mark.sheet.answered:
        why = [f"{capital(mark.needs_eyes)}."] if mark.needs_eyes else []
        yield Part("wrong", say("Bench record"), (say("There is no record that can be marked."), *why))
        yield Part("held", say("For the bench"), (say(NOT_CLEARED), say(SIMULATED)))
        return
    yield Part("right", say("Right"), tuple(_right(mark)))
    wrong = [verdict for verdict in mark.verdicts if not verdict.earned]
    undone = [verdict for verdict in wrong if isinstance(verdict, DecisionVerdict) and verdict.undone]
    for verdict in wrong:
        if verdict not in undone:
            yield Part("wrong", capital(verdict.label), tuple(_wrong(mark, verdict)))
    if undone and undone[0].line.chosen is not None:
        labels = _listed([verdict.label for verdict in undone])
        yield Part("wrong", say("Left undone"), (f"{capital(labels)}. {undone[0].line.chosen.lesson}",))
    if wrong and mark.task.family.consequence and not any(verdict.status is Status.MISSING for verdict in wrong):
        values = {**mark.task.values, **mark.values}
        amounts = [verdict for verdict in wrong if isinstance(verdict, Verdict)]
        said = bool(amounts) and all(verdict.line.value is not None for verdict in amounts)
        yield Part(
            "consequence",
            say("What it would have done"),
            (mark.task.family.consequence(mark.task, values),) if said else (),
        )
    if mark.cleared:
        yield Part("cleared", say("For the bench"), (_cleared(mark),))
    else:
        yield Part(
            "held",
            say("For the bench"),
            (say(NOT_CLEARED), *mark.clearance.reasons, say("Work it again with fresh numbers.")),
        )
    yield Part("remarks", say("About how you write"), tuple(_remarks(mark)))


def _cleared(mark: TaskMark) -> str:
    if mark.task.family.recorded:
        return say(SIMULATED)
    return say(HELD_BACK if _nothing_is_weighed(mark) else CLEARED)


def _nothing_is_weighed(mark: TaskMark) -> bool:
    """Say whether a decision that was made keeps everybody from the balance."""
    chosen = (verdict.line.chosen for verdict in mark.verdicts if isinstance(verdict, DecisionVerdict))
    return any(option is not None and option.halts for option in chosen)


def _right(mark: TaskMark) -> Iterator[str]:
    right = [verdict.label for verdict in mark.verdicts if verdict.status is Status.RIGHT]
    follows = [verdict.label for verdict in mark.verdicts if verdict.status is Status.FOLLOWS]
    if right:
        yield f"{capital(_listed(right))}."
    if follows:
        yield say("Right from your own earlier number, so it costs nothing more: {follows}.", follows=_listed(follows))


def _wrong(mark: TaskMark, verdict: Judged) -> Iterator[str]:
    """Say what is wrong with one answer, what would be right and why."""
    if isinstance(verdict, DecisionVerdict):
        yield from _decided(mark, verdict)
    elif isinstance(verdict, Verdict):
        yield from _miscalculated(mark, verdict)


def _decided(mark: TaskMark, verdict: DecisionVerdict) -> Iterator[str]:
    """Say what is wrong with a decision; one that is not made, or made before its time, is not given away."""
    chosen, rights = verdict.line.chosen, say(" or ").join(f'"{option.said}"' for option in verdict.rights)
    task = mark.task
    if isinstance(verdict.asked, Finding):
        yield say("Nothing is recorded.") if chosen is None else f"{capital(chosen.said)}. {chosen.lesson}"
        if verdict.asked.name == OUTCOME and chosen is not None:
            yield say("The right way here is {rights}. {why}.", rights=rights, why=verdict.why)
    elif verdict.status is Status.MISSING:
        yield say("Not answered. Decide: {example}.", example=verdict.asked.example)
    elif task.family.shown_later is not None and not task.now_to_be_shown(mark.sheet.answered):
        yield say("Answer every amount first; then you see what is to be decided on.")
    elif chosen is not None:
        yield say('"{said}" is not it. {lesson}', said=chosen.said, lesson=chosen.lesson).strip()
        yield say("The right answer here is {rights}. {why}.", rights=rights, why=verdict.why)
    else:
        yield say("This line could not be counted. {verdict}", verdict=_problem(verdict))


def _miscalculated(mark: TaskMark, verdict: Verdict) -> Iterator[str]:
    typed, right = _typed(verdict), verdict.asked.kind.show(verdict.right)
    if verdict.status is Status.MISTAKE and verdict.mistake is not None:
        yield say("{typed} is not it.", typed=typed)
        if verdict.mistake_values is not None and not isinstance(verdict.mistake.tree, Name):
            yield say(
                "That number is {mistake_values}.", mistake_values=verdict.mistake.with_numbers(verdict.mistake_values)
            )
        yield f"{verdict.mistake.name}. {verdict.mistake.lesson}"
        yield _right_way(verdict, right)
    elif verdict.status is Status.RULE and verdict.rule is not None:
        yield say("{typed} breaks a rule of the plan.", typed=typed)
        yield verdict.rule.says_here(mark.task.limits) if mark.task.limits else verdict.rule.says
        yield (
            say("For example, {right} would do.", right=right)
            if verdict.asked.choice
            else say("Choose the aliquot or the multiple factor again.")
        )
    elif verdict.status in (Status.BASIS, Status.UNREADABLE):
        yield say("This line could not be counted. {verdict}", verdict=_problem(verdict))
    elif verdict.status is Status.MISSING:
        yield say("Not answered. {verdict}", verdict=_from_where(verdict, right))
    else:
        closely = mark.task.precision(verdict.asked).says()
        yield say(_SLIPS.get(verdict.status, _UNKNOWN), typed=typed, right=right, closely=closely)
        if verdict.status in (Status.NEARLY, Status.POWER, Status.UNRECOGNISED):
            yield _right_way(verdict, right)
    if verdict.not_gone_on:
        yield say(
            "With {typed}, {not_gone_on}; so the next steps were marked on {right}.",
            typed=typed,
            not_gone_on=verdict.not_gone_on,
            right=right,
        )


_SLIPS = {
    Status.ARITHMETIC: later("Your set-up is right. Worked out, it gives {right}, not {typed}."),
    Status.COARSE: later(
        "{typed} is right as far as it goes, but it is rounded too far. Asked {closely}, it is {right}."
    ),
    Status.ROUNDED: later("{typed} is rounded the wrong way. Asked {closely}, it is {right}."),
    Status.NEARLY: later("{typed} is close, but not close enough. Keep every figure until the end and round once."),
    Status.UNIT: later("The number is right and the unit is not: {typed} was written for {right}."),
    Status.POWER: later("The digits are right and the decimal point is not: {right}, not {typed}."),
    Status.ESTIMATE: later(
        "{typed} is more than 3 times too much or too little. Round each number to one figure, then work it out in "
        "your head. The exact answer is {right}."
    ),
}
_UNKNOWN = later("{typed} is not it, and I do not recognise where it comes from.")


def _problem(verdict: Judged) -> str:
    problem = verdict.line.problem
    return (
        say("It {problem} {cure}", problem=problem.problem, cure=problem.cure)
        if isinstance(problem, RefusedError)
        else str(problem)
    )


def _from_where(verdict: Verdict, right: str) -> str:
    if verdict.asked.choice:
        return say("It is your choice; for example, {right} would do.", right=right)
    return say("It comes from {formula}.", formula=verdict.asked.formula.equation())


def _right_way(verdict: Verdict, right: str) -> str:
    formula = verdict.asked.formula
    if verdict.asked.choice and formula.evaluate(verdict.values) != verdict.right:
        return say("For example, {right} would do.", right=right)
    if isinstance(formula.tree, Name):
        return say("For example, {right}.", right=right)
    if verdict.right.magnitude <= 0:
        return say(
            "With your numbers nothing is left: {values}. Change an earlier one.",
            values=formula.with_numbers(verdict.values),
        )
    return say("With your numbers: {values} = {right}.", values=formula.with_numbers(verdict.values), right=right)


def _typed(verdict: Verdict) -> str:
    reading = verdict.line.reading
    return reading.shown if reading is not None else verdict.line.text


def _remarks(mark: TaskMark) -> Iterator[str]:
    seen: dict[str, None] = {}
    for line in mark.sheet.lines.values():
        for part in line.parts:
            seen |= dict.fromkeys(part.remarks)
    for remark in seen:
        yield f"{capital(remark)}."
    for text, reason in mark.sheet.stray[:5]:
        short = text if len(text) <= 60 else text[:57] + "..."
        yield say('The line "{short}" was left out: {reason}', short=short, reason=reason)


def _listed(labels: list[str]) -> str:
    return labels[0] if len(labels) == 1 else say("{others} and {last}", others=", ".join(labels[:-1]), last=labels[-1])
