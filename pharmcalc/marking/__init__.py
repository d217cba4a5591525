"""Mark: the verdict on each answer of a task, and whether the student may go to the balance.

Four habits of a good human marker: judge by rules and not by one key; follow a slip through, so that it costs once;
name the mistake when it is recognised, and only then; keep marks and clearance apart. Nothing here runs what a student
typed, nothing raises on it, and what is in doubt earns nothing.
"""

from collections.abc import Sequence
from dataclasses import replace

from pharmcalc.answers import read_answers
from pharmcalc.clearance import Obstacles, clearance
from pharmcalc.language import say
from pharmcalc.marking.recorded import read_recorded
from pharmcalc.marking.slips import on_its_basis, slipped
from pharmcalc.marking.steps import Marker
from pharmcalc.marking.verdicts import SHARE, DecisionVerdict, Judged, Status, TaskMark, Verdict
from pharmcalc.tasks.asked import Decision
from pharmcalc.tasks.family import Task

__all__ = ["SHARE", "DecisionVerdict", "Judged", "Status", "TaskMark", "Verdict", "mark_task"]


def mark_task(task: Task, text: str | None) -> TaskMark:
    """Mark a student's answer cell for a task, or their record of the simulated bench. Never raises on any text.

    text: the cell's source, or the record's (``None``: there is none, which earns nothing and asks for a look).
    """
    if task.family.recorded:
        sheet, why = read_recorded(task, text)
    else:
        sheet, why = read_answers(text or "", task.asked), say("the answer cell is not there") if text is None else ""
    lines = {
        asked.name: on_its_basis(sheet.lines[asked.name], asked, task.values[asked.name]) for asked in task.amounts
    }
    sheet = replace(sheet, lines=sheet.lines | lines)
    marker = Marker(task, {name: line.value for name, line in lines.items() if line.value is not None})
    verdicts: list[Judged] = []
    for asked in task.asked:
        line = sheet.lines[asked.name]
        verdicts.append(marker.decide(asked, line) if isinstance(asked, Decision) else marker.judge(asked, line))
    cleared = clearance(task, marker.as_said, _obstacles(task, verdicts))
    return TaskMark(task, sheet, tuple(verdicts), cleared, marker.as_said, why)


def _obstacles(task: Task, verdicts: Sequence[Judged]) -> Obstacles:
    """Collect what stands in the way of clearance whatever the numbers make: slips, another basis, decisions."""
    amounts = [verdict for verdict in verdicts if isinstance(verdict, Verdict)]
    told = [verdict for verdict in amounts if verdict.asked.weighed or task.limits is None]
    decided = [verdict for verdict in verdicts if isinstance(verdict, DecisionVerdict)]
    decisions = [verdict for verdict in decided if verdict.unsafe and not verdict.undone]
    return Obstacles(
        slipped=[verdict.label for verdict in told if slipped(verdict, task)],
        other_basis=[verdict.label for verdict in told if verdict.status is Status.BASIS],
        mistakes=[(verdict.label, verdict.mistake) for verdict in amounts if verdict.mistake is not None],
        undecided=[verdict.label for verdict in decisions if verdict.line.chosen is None],
        decided=[(verdict.label, verdict.line.chosen) for verdict in decisions if verdict.line.chosen is not None],
    )
