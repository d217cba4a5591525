"""The first line of a cell, such as ``%%answer q1``: students delete it, or write a note above it.

Where it is plain what stood there, the cell is mended before it runs; where it is not, the cure is told.
"""

from collections.abc import Mapping, Sequence

from pharmcalc.answers import read_answers
from pharmcalc.language import later, say
from pharmcalc.tasks.family import Family
from pharmcalc.tasks.papers import HOUSE_RULES_LINE, task_id_of
from pharmcalc.widgets.markup import Shown, note

__all__ = ["PUT_BACK", "cure", "mended", "owner_of"]

PUT_BACK = "(put back)"
ANSWER, STUDENT = "%%answer", "%%student"
OURS = (ANSWER, STUDENT, HOUSE_RULES_LINE)
KEPT = later("What you typed is still there.")


def owner_of(cell_id: str) -> str:
    """Return the task whose answer cell has this id, or an empty text."""
    return task_id_of(cell_id) if cell_id.startswith("answer-") else ""


def first_line_of(cell_id: str) -> str:
    """Return the first line that belongs to a cell, by the cell's id, or an empty text."""
    if owner_of(cell_id):
        return f"{ANSWER} {owner_of(cell_id)}"
    return {"student": STUDENT, "house-rules": HOUSE_RULES_LINE}.get(cell_id, "")


def mended(lines: Sequence[str], cell_id: str) -> list[str]:
    """Return the lines of a cell as IPython wants them: our first line on top, and something below it.

    A note or an empty line above our line is moved below it. A line that is gone is put back when the cell's id says
    which it was. Every other cell stays as it is.
    """
    at = next((n for n, line in enumerate(lines) if line.strip().split(" ")[0] in OURS), None)
    if at is None:
        gone = "" if any(line.lstrip().startswith("%") for line in lines) else first_line_of(cell_id)
        return [f"{gone} {PUT_BACK}\n", *lines] if gone else list(lines)
    above = lines[:at]
    if any(line.strip() and not line.lstrip().startswith("#") for line in above):
        return list(lines)
    return [lines[at].strip() + "\n", *above, *lines[at + 1 :], "\n"]


def cure(source: str, cell_id: str, families: Mapping[str, Family], problem: str) -> Shown:
    """Say what to do with a cell that could not be run.

    families: the tasks shown so far, by their id. problem: what Python or Jupyter said.
    """
    lines = [first_line_of(cell_id)] if first_line_of(cell_id) else _guessed(source, families)
    if lines:
        return note(
            say(
                "This cell could not be read. {kept} Make this its first line, with nothing above it, then run the "
                "cell again: {lines}",
                kept=say(KEPT),
                lines=say(" or ").join(f"`{line}`" for line in lines),
            ),
            "change",
        )
    example = f"{ANSWER} {next(iter(families), 'q1')}"
    return note(
        say(
            "This cell could not be run ({problem}). {kept} If it is an answer, its first line must name the "
            "task, for example `{example}`. If it is a note of your own, begin each line of it with `#`",
            problem=problem.rstrip("."),
            kept=say(KEPT),
            example=example,
        ),
        "change",
    )


def _guessed(source: str, families: Mapping[str, Family]) -> list[str]:
    """Return the first lines that a cell may have had, judged by the words in it."""
    words = source.split()
    if STUDENT in words or "student number" in source:
        return [STUDENT]
    named = [task_id for task_id in families if ANSWER in words and task_id in words]
    labelled = "\n".join(line for line in source.splitlines() if "=" in line)
    counts = {task_id: _answered(labelled, family) for task_id, family in families.items()}
    fitting = named or [task_id for task_id, count in counts.items() if count and count == max(counts.values())]
    return [f"{ANSWER} {task_id}" for task_id in fitting]


def _answered(text: str, family: Family) -> int:
    return sum(1 for line in read_answers(text, family.asked).lines.values() if line.text)
