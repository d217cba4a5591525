"""A student's answer cell, read line by line: ``label = amount``, or a chain ``label = 20 x 6 mg = 120 mg``.

The same reader serves the notebook, the practice cards and the marking, so what a student is shown as read is what is
marked. Text is only ever read; nothing in it is run.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from pharmcalc.errors import PharmcalcError, ReadingError, RefusedError
from pharmcalc.kinds import BasisError
from pharmcalc.language import in_every_language, later, say
from pharmcalc.reading import Reading, read
from pharmcalc.tasks.asked import Decision, Option, Question, matching
from pharmcalc.units import Quantity, is_old

__all__ = ["AnswerLine", "AnswerSheet", "answer_body", "read_answers", "read_student_cell"]

LONGEST_CELL = 10_000
MOST_LINES = 100
MOST_PARTS = 12
_EQUALS = re.compile(r"(?:=|\u2248|\uff1d)+")


@dataclass(frozen=True)
class AnswerLine:
    """One answered label: what was typed, how each part of the chain was read, and the value that counts (the last)."""

    asked: Question
    text: str
    parts: tuple[Reading, ...] = ()
    value: Quantity | None = None
    chosen: Option | None = None
    problem: PharmcalcError | None = None

    @property
    def reading(self) -> Reading | None:
        """The reading of the part that counts."""
        return self.parts[-1] if self.parts else None

    @property
    def half_place(self) -> Quantity | None:
        """Half a unit in the last typed place, as an amount like the value; None where no place was typed."""
        reading = self.reading
        if self.value is None or reading is None or reading.half_place is None or reading.value.magnitude == 0:
            return None
        return self.value * (reading.half_place / reading.value)  # "40 ppm" has no unit; its value is a strength w/v

    @property
    def wrong_basis(self) -> bool:
        """Whether the answer is a percentage of another kind than was asked for."""
        return isinstance(self.problem, BasisError)

    def read_back(self) -> str:
        """Say how the line was read, never whether it is right."""
        if self.problem is not None:
            return (
                say("could not be read. {problem}", problem=self.problem)
                if isinstance(self.problem, ReadingError)
                else str(self.problem)
            )
        if self.chosen is not None:
            return say("read as: {said}", said=self.chosen.said)
        if self.reading is None:
            return say("not answered yet")
        remarks = "".join(
            f" ({remark})" for remark in dict.fromkeys(remark for part in self.parts for remark in part.remarks)
        )
        return say("read as {shown}{remarks}", shown=self.reading.shown, remarks=remarks)


@dataclass(frozen=True)
class AnswerSheet:
    """All that an answer cell says: a line for each label asked for, and the lines that belong to none."""

    lines: dict[str, AnswerLine]
    stray: tuple[tuple[str, str], ...] = ()

    @property
    def answered(self) -> frozenset[str]:
        """The names of the answers that could be read."""
        lines = self.lines.items()
        return frozenset(name for name, line in lines if line.value is not None or line.chosen is not None)

    @property
    def complete(self) -> bool:
        """Whether every answer could be read."""
        return len(self.answered) == len(self.lines)

    def read_back(self) -> list[tuple[str, str]]:
        """Return (label, how it was read) for every label asked for, then the lines that belong to none."""
        rows = [(line.asked.said, line.read_back()) for line in self.lines.values()]
        return rows + [(f'"{_short(text)}"', reason) for text, reason in self.stray]


@dataclass
class _Collected:
    texts: dict[str, list[str]] = field(default_factory=dict)
    stray: list[tuple[str, str]] = field(default_factory=list)


def answer_body(source: str) -> str:
    """Return the text of an answer cell without its ``%%answer`` line, comments and blank lines.

    It does not matter whether the ``%%answer`` line is there, or stands below a comment.
    """
    lines = (line.strip() for line in source.splitlines())
    return "\n".join(line for line in lines if line and not line.startswith(("#", "%%")))


def read_answers(text: str, asked: Sequence[Question]) -> AnswerSheet:
    """Read an answer cell. Never raises: what cannot be read is said on its line.

    text: the cell's source, with or without its ``%%answer`` line. asked: the labels asked for.

    >>> from pharmcalc.balances import least_weighable_quantity
    >>> from pharmcalc.tasks.asked import Asked
    >>> sheet = read_answers("LWQ = 6 mg / 5 % = 120 mg", [Asked(least_weighable_quantity, aliases=("lwq",))])
    >>> sheet.read_back()
    [('least weighable quantity', 'read as 120 mg')]
    """
    found = _Collected()
    if len(text) > LONGEST_CELL:
        found.stray.append(
            (
                text,
                say(
                    "this cell is too long to be read (more than {longest_cell} characters). "
                    "Keep to the lines asked for.",
                    longest_cell=LONGEST_CELL,
                ),
            )
        )
        text = ""
    lines = answer_body(text).splitlines()
    if len(lines) > MOST_LINES:
        found.stray.append(
            (
                lines[MOST_LINES],
                say("only the first {most_lines} lines are read. Keep to the lines asked for.", most_lines=MOST_LINES),
            )
        )
    for line in lines[:MOST_LINES]:
        _sort_in(line, asked, found)
    answered = {one.name: _answer(one, found.texts.get(one.name, [])) for one in asked}
    return AnswerSheet(answered, tuple(found.stray))


def read_student_cell(text: str) -> tuple[str | None, int | None, list[str]]:
    """Read the cell in which a student says who they are: number, attempt, and remarks on what is wrong.

    >>> read_student_cell("%%student\\nstudent number = A-07\\nattempt = 1")
    ('A-07', 1, [])
    """
    number: str | None = None
    attempt: int | None = None
    remarks: list[str] = []
    for line in answer_body(text[:LONGEST_CELL]).splitlines()[:MOST_LINES]:
        label, _, value = line.partition("=")
        name, value = " ".join(label.casefold().split()), value.strip().strip("\"'")
        if name in {*in_every_language(later("student number")), "number", "student"}:
            if value and not re.fullmatch(r"[\w .\-]{1,40}", value):
                remarks.append(
                    say(
                        '"{value}" is no student number. Write it as it stands in the class list, for example A-07.',
                        value=_short(value),
                    )
                )
            elif value:
                number = value
        elif name in in_every_language(later("attempt")):
            if re.fullmatch(r"\d{1,2}", value) and int(value) > 0:
                attempt = int(value)
            else:
                remarks.append(
                    say('"{value}" is no attempt. Write a whole number, for example 1.', value=_short(value))
                )
        else:
            remarks.append(
                say(
                    '"{line}" was not understood. The lines are: student number = A-07 and attempt = 1.',
                    line=_short(line),
                )
            )
    return number, attempt, remarks


def _sort_in(line: str, asked: Sequence[Question], found: _Collected) -> None:
    label, *parts = _EQUALS.split(line)
    if not parts:
        label, colon, rest = line.partition(":")
        parts = [rest] if colon and matching(label, asked) else []
    if not parts:
        if len(asked) == 1 and re.search(r"\d", line):
            found.texts.setdefault(asked[0].name, []).append(line)
            return
        found.stray.append(
            (
                line,
                say(
                    "this line has no label. Write, for example: {said} = {example}",
                    said=asked[0].said,
                    example=asked[0].example,
                ),
            )
        )
        return
    meant = matching(label, asked)
    if not meant and len(asked) == 1 and re.match(r"\s*[\d.,(]|\s*$", label):
        meant, parts = list(asked), [label, *parts]  # a chain without a label, where only one answer is asked for
    if len(meant) == 1:
        found.texts.setdefault(meant[0].name, []).append("=".join(parts).strip())
    elif meant:
        found.stray.append(
            (
                line,
                say(
                    "this label can mean {meant}. Write it in full.", meant=say(" or ").join(one.said for one in meant)
                ),
            )
        )
    else:
        found.stray.append(
            (
                line,
                say(
                    "this label is not asked for. The labels are: {asked}.", asked=", ".join(one.said for one in asked)
                ),
            )
        )


def _answer(asked: Question, texts: Sequence[str]) -> AnswerLine:
    given = [text for text in texts if text.strip("= ")]
    if not given:
        return AnswerLine(asked, "")
    if len(set(given)) > 1:
        problem = RefusedError(
            asked.said,
            say("it is answered twice ({first} and {second}).", first=_short(given[0]), second=_short(given[1])),
            say("Keep one line."),
        )
        return AnswerLine(asked, " / ".join(given), problem=problem)
    if isinstance(asked, Decision):
        try:
            return AnswerLine(asked, given[0], chosen=asked.take(given[0]))
        except RefusedError as problem:
            return AnswerLine(asked, given[0], problem=problem)
    pieces = [piece.strip() for piece in given[0].split("=") if piece.strip()]
    if len(pieces) > MOST_PARTS:
        return AnswerLine(
            asked, given[0], problem=ReadingError(given[0], say("this chain is too long."), say("Keep to a few steps."))
        )
    try:
        last = read(pieces[-1])
    except ReadingError as problem:
        return AnswerLine(asked, given[0], problem=problem)
    parts = (*_readable(pieces[:-1]), last)
    try:
        if asked.metric and is_old(last.value):
            old = say('says "{text}", an old unit, and a metric one is asked for.', text=last.text)
            raise RefusedError(asked.said, old, say('Write, for example, "{example}".', example=asked.example))
        return AnswerLine(asked, given[0], parts, asked.kind.take(asked.said, last, as_answer=True))
    except RefusedError as problem:
        return AnswerLine(asked, given[0], parts, problem=problem)


def _readable(pieces: Sequence[str]) -> list[Reading]:
    """Read the earlier parts of a chain; words in between are a student's own notes and cost nothing."""
    readings = []
    for piece in pieces:
        try:
            readings.append(read(piece))
        except ReadingError:
            continue
    return readings


def _short(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= 40 else text[:37] + "..."
