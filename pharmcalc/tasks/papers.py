"""Papers: one student's tasks for one assignment and one attempt, under the house rules that were issued.

Same assignment, student, attempt and version: same numbers, on every machine, for ever. Individual numbers make copying
harder and nothing more: the library is public, and anybody can compute an answer with it.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from pharmcalc.errors import CourseError
from pharmcalc.tasks.codes import code_for
from pharmcalc.tasks.family import Task, family_called
from pharmcalc.tasks.house import HouseRules, read_house_rules

__all__ = ["MODES", "Issue", "Paper", "answer_id", "mark_id", "read_issue", "task_id_of"]

_TASK_LINE = re.compile(r"^%task\s+(\S+)\s+(\S+)\s*$")
_BEGIN = re.compile(r"""^notebook\.begin\("([\w-]+)",\s*version=(\d{1,4})(?:,\s*mode="(\w+)")?\)\s*$""", re.MULTILINE)
MODES = ("test", "practice", "clearance")
"""When a student sees the verdict: after the marking; at once; at once, with fresh numbers until it is right."""
HOUSE_RULES_LINE = "%%house_rules"


def answer_id(task_id: str) -> str:
    """Return the grade id of a task's answer cell."""
    return f"answer-{task_id}"


def mark_id(task_id: str) -> str:
    """Return the grade id of a task's mark cell."""
    return f"mark-{task_id}"


def task_id_of(grade_id: str) -> str:
    """Return the task that a grade id such as ``answer-q1`` belongs to, or an empty text."""
    kind, _, task = grade_id.partition("-")
    return task if kind in ("answer", "mark", "task") else ""


@dataclass(frozen=True)
class Paper:
    """What one student was asked."""

    assignment: str
    version: int
    student: str
    attempt: int
    house: HouseRules
    tasks: tuple[Task, ...]

    @property
    def code(self) -> str:
        """The code printed on the paper, from which paper and key are found again (``codes.py``)."""
        return code_for(_key(self.assignment, self.version, self.student, self.attempt))

    @property
    def out_of(self) -> int:
        """The marks of the whole paper."""
        return sum(task.out_of for task in self.tasks)

    def task(self, id: str) -> Task:
        """Return one task by its id; CourseError lists those there are."""
        for task in self.tasks:
            if task.id == id:
                return task
        raise CourseError(
            f'there is no task "{id[:40]}" on this paper. There are: {", ".join(task.id for task in self.tasks)}.'
        )


@dataclass(frozen=True)
class Issue:
    """An assignment as it was issued: its tasks and its house rules, the same for the whole class."""

    assignment: str
    version: int
    title: str
    tasks: tuple[tuple[str, str], ...]
    house: HouseRules
    mode: str = "test"

    @property
    def goes_on(self) -> bool:
        """Whether students may take fresh numbers by themselves: the attempt they type is the one that is marked."""
        return self.mode != "test"

    def paper(self, student: str, attempt: int = 1) -> Paper:
        """Return a student's paper: the same numbers for ever.

        student: the number in the class list, for example ``A-07``; capitals and spaces make no difference.
        attempt: from 1.
        """
        number = normal_number(student)
        key = _key(self.assignment, self.version, number, attempt)
        tasks = tuple(family_called(family).task(id, key, self.house) for id, family in self.tasks)
        return Paper(self.assignment, self.version, number, attempt, self.house, tasks)


def normal_number(student: str) -> str:
    """Return a student number as it is used for drawing: ``a-07`` is ``A-07``, but ``a 07`` is another."""
    return " ".join(student.split()).upper()


def _key(assignment: str, version: int, student: str, attempt: int) -> str:
    return f"pharmcalc|{version}|{assignment}|{student}|{attempt}"


def read_issue(nb: Mapping[str, Any]) -> Issue:
    """Read which tasks a released notebook asks for and under which house rules.

    nb: the notebook as JSON. Raises CourseError when it is not an assignment of this course, naming what is missing.
    """
    sources = list(_sources(nb))
    begin = next((found for source in sources if (found := _BEGIN.search(source))), None)
    if begin is None:
        raise CourseError('this notebook is no assignment: it has no cell with notebook.begin("name", version=1).')
    mode = begin[3] or MODES[0]
    if mode not in MODES:
        raise CourseError(f'the assignment "{begin[1]}" has the mode "{mode}". The modes are: {", ".join(MODES)}.')
    tasks = tuple((found[1], found[2]) for source in sources if (found := _TASK_LINE.match(source.strip())))
    if not tasks:
        raise CourseError(
            f'the assignment "{begin[1]}" asks for nothing: it has no cell such as "%task q1 least-weighable-quantity".'
        )
    ids = [id for id, _ in tasks]
    if len(set(ids)) < len(ids):
        raise CourseError(
            f'the assignment "{begin[1]}" has two tasks of the same name. Give each its own: q1, q2, q3 ...'
        )
    rules = next((source for source in sources if source.startswith(HOUSE_RULES_LINE)), "")
    title = next(
        (line.lstrip("# ") for source in sources for line in source.splitlines() if line.startswith("# ")),
        begin[1],
    )
    return Issue(begin[1], int(begin[2]), title, tasks, read_house_rules(rules.removeprefix(HOUSE_RULES_LINE)), mode)


def _sources(nb: Mapping[str, Any]) -> Iterator[str]:
    for cell in nb.get("cells", []):
        source = cell.get("source", "")
        yield "".join(source) if isinstance(source, list) else str(source)
