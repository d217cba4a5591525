"""What the demo class hands in: notebooks made from the release, answered and damaged as students do it.

The numbers come from each student's own paper, the slips from the formulas' own known mistakes.
"""

from __future__ import annotations

import copy
import json
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from pharmcalc.bench import file_name
from pharmcalc.classroom.cells import Json, cells_by_id, is_marked_by_hand, source_of
from pharmcalc.classroom.demo.demo_bench import bench_record
from pharmcalc.classroom.demo.demo_students import MEMBERS, Member
from pharmcalc.classroom.issuing.issue import copy_for
from pharmcalc.errors import PharmcalcError
from pharmcalc.formula import Mistake
from pharmcalc.marking import mark_task
from pharmcalc.tasks.asked import Asked, Decision, Option, Question
from pharmcalc.tasks.family import Task
from pharmcalc.tasks.papers import Issue, answer_id, mark_id, read_issue
from pharmcalc.units import Quantity

_WHEN = (2026, 3, 9, 17, 30, 0)  # the same files give the same zip
_WRITTEN = "The error stays the same, so it is a larger share of a smaller amount."

Answer = Callable[[Task, Asked], str]
"""How a student writes one answer: what stands behind the equals sign."""


def plainly(task: Task, asked: Asked) -> str:
    """Write the right value."""
    return task.typed(asked)


def with_steps(task: Task, asked: Asked) -> str:
    """Write the step, then the right value: ``6 mg ÷ 5 % = 120 mg``."""
    if asked.choice or len(asked.formula.kinds) < 2:
        return task.typed(asked)
    return f"{asked.formula.with_numbers(task.values)} = {task.typed(asked)}"


def in_grams(task: Task, asked: Asked) -> str:
    """Write a mass in grams and everything else as it is."""
    value = task.values[asked.name]
    if not value.is_compatible_with("gram"):
        return task.typed(asked)
    grams = value.to("gram").magnitude
    return f"{float(grams):.6f}".rstrip("0").rstrip(".") + " g"


def without_units(task: Task, asked: Asked) -> str:
    """Write the right number and forget the unit."""
    return task.typed(asked).split(" ")[0]


def answers(task: Task, write: Answer) -> str:
    """Return a task's answers, one line each."""
    return _lines(task, lambda asked: write(task, asked) if isinstance(asked, Asked) else task.typed(asked))


def _lines(task: Task, typed: Callable[[Question], str]) -> str:
    return "\n".join(f"{asked.said} = {typed(asked)}" for asked in task.asked)


def slips(task: Task) -> list[str]:
    """Return the answers to a task with one known mistake in them, once for each mistake that costs marks here."""
    calculated = [asked for asked in task.amounts if not asked.estimate]
    texts = [_with_a_slip(task, asked, mistake) for asked in calculated for mistake in task.mistakes_of(asked)]
    decisions = [asked for asked in task.asked if isinstance(asked, Decision)]
    texts += [_decided(task, one, option) for one in decisions for option in one.wrongs(task, task.values)]
    return [text for text in texts if mark_task(task, text).marks < task.out_of] or [_tenfold(task)]


def _tenfold(task: Task) -> str:
    """Write the worked answers with the decimal point of the last amount in the wrong place."""
    last = task.amounts[-1]
    tenfold = task.values[last.name] * 10
    return _lines(task, lambda asked: task.typed(asked, tenfold) if asked is last else task.typed(asked))


def _decided(task: Task, decision: Decision, option: Option) -> str:
    """Write the worked answers with another decision."""
    return _lines(task, lambda asked: option.said if asked is decision else task.typed(asked))


def _with_a_slip(task: Task, wrong: Asked, mistake: Mistake) -> str:
    """Write the answers with one mistake; the later ones follow from the student's own numbers."""
    own: dict[str, Quantity] = dict(task.drawn.values)
    lines = []
    for asked in task.asked:
        if not isinstance(asked, Asked):
            lines.append(f"{asked.said} = {task.typed(asked)}")
            continue
        try:
            own[asked.name] = mistake.evaluate(own) if asked is wrong else _own_value(task, asked, own)
            typed = task.typed(asked, own[asked.name])
        except (PharmcalcError, ZeroDivisionError, KeyError):  # the own number leads nowhere: left open
            own.setdefault(asked.name, task.values[asked.name])
            typed = ""
        lines.append(f"{asked.said} = {typed}")
    return "\n".join(lines)


def _own_value(task: Task, asked: Asked, own: Mapping[str, Quantity]) -> Quantity:
    return task.values[asked.name] if asked.choice else asked.formula.evaluate(own)


def hand_in(member: Member, release: Json, issue: Issue) -> bytes | None:
    """Return the file that a member of the demo class hands in, or None from the one who does not."""
    way, number = member.way, member.student.number
    if way == "not handed in":
        return None
    if way == "another student's sheet":
        number = MEMBERS[0].student.number
    nb, paper = copy_for(release, number), issue.paper(number)
    cells = cells_by_id(nb)
    write = {"shows every step": with_steps, "types in grams": in_grams, "writes without units": without_units}.get(
        way, plainly
    )
    tasks = [task for task in paper.tasks if not task.family.recorded]
    done = len(tasks) // 2 if way == "stops half-way" else len(tasks)
    for place, task in enumerate(tasks[:done]):
        slipped = way == "careless" and place in (member.slip % done, (member.slip + 2) % done)
        lines = answers(task, write)
        if slipped and (wrong := slips(task)):
            lines = wrong[member.slip % len(wrong)]
        cells[answer_id(task.id)]["source"] = f"%%answer {task.id}\n{lines}"
    for cell in cells.values():
        if is_marked_by_hand(cell) and way != "stops half-way":
            cell["source"] = _WRITTEN
    if way in DAMAGE:
        DAMAGE[way](nb)
    data = json.dumps(nb, indent=1).encode()
    return {"file cut off": data[: len(data) // 2], "empty file": b""}.get(way, data)


def _split(nb: Json) -> None:
    """Split the longest answer cell in two, as JupyterLab does it: both halves keep nbgrader's settings."""
    place, cell = max(
        enumerate(nb["cells"]),
        key=lambda item: source_of(item[1]).count("=") if "%%answer" in source_of(item[1]) else 0,
    )
    lines = source_of(cell).split("\n")
    half = copy.deepcopy(cell)
    cell["source"], half["source"] = "\n".join(lines[: len(lines) // 2 + 1]), "\n".join(lines[len(lines) // 2 + 1 :])
    half["id"] = "second-half"
    nb["cells"].insert(place + 1, half)


def _delete_locked(nb: Json) -> None:
    nb["cells"] = [cell for cell in nb["cells"] if cell["id"] not in ("setup", "task-q1", mark_id("q1"))]


def _add_loop(nb: Json) -> None:
    loop = "n = 0\nwhile True:\n    n = n + 1"
    nb["cells"].insert(
        4, {"cell_type": "code", "id": "my-loop", "metadata": {}, "source": loop, "outputs": [], "execution_count": 3}
    )


def _add_script(nb: Json) -> None:
    text = "My notes <script>document.title = 'changed by a hand-in'</script><img src=x onerror=alert(1)>"
    nb["cells"].append({"cell_type": "markdown", "id": "my-notes", "metadata": {}, "source": text})


DAMAGE: dict[str, Callable[[Json], Any]] = {
    "split a cell": _split,
    "deleted locked cells": _delete_locked,
    "left a loop running": _add_loop,
    "script in the text": _add_script,
}

WAYS = (
    "careful", "careless", "shows every step", "types in grams", "writes without units", "stops half-way",
    "file cut off", "empty file", "another student's sheet", "not handed in", *DAMAGE,
)  # fmt: skip
"""Every way of working that a member of the demo class can have."""


def write_parcel(release: Json, path: Path) -> Path:
    """Write the zip that a learning platform would hand over: the class's files, and one of a stranger."""
    issue = read_issue(release)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as parcel:
        for place, member in enumerate(MEMBERS, 1):
            data = hand_in(member, release, issue)
            if data is not None:
                name = _file_name(member, issue.assignment, place)
                parcel.writestr(zipfile.ZipInfo(name, _WHEN), data)
                for task, text in bench_records(member, issue).items():
                    parcel.writestr(zipfile.ZipInfo(_beside(name, task), _WHEN), text)
        stranger = json.dumps(copy_for(release, "ZZ-77"), indent=1)
        parcel.writestr(zipfile.ZipInfo(f"{issue.assignment} (copy).ipynb", _WHEN), stranger)
    return path


def bench_records(member: Member, issue: Issue) -> dict[str, str]:
    """Return the bench records that a member of the demo class hands in, by task."""
    records = {task.id: bench_record(member, task, issue) for task in issue.paper(member.student.number).tasks}
    return {task: text for task, text in records.items() if text is not None}


def _beside(name: str, task: str) -> str:
    """Name a bench record as the notebook beside it: in its folder, or with its name before it."""
    folder, slash, notebook = name.rpartition("/")
    return f"{folder}/{file_name(task)}" if slash else f"{notebook.removesuffix('.ipynb')}_{file_name(task)}"


def _file_name(member: Member, assignment: str, place: int) -> str:
    """Name files in the three ways that platforms and students have."""
    student = member.student
    if place % 3 == 0:
        return f"{student.surname} {student.given_name}_{41000 + place}_file/{student.number}.ipynb"
    if place % 3 == 1:
        return f"{student.number}/{assignment}.ipynb"
    return f"{student.surname.lower()}_{assignment}_{student.number} final.ipynb"
