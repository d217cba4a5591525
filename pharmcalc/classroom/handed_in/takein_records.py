"""Take bench records in: the code of the order tells whose record it is and of which task, never the file's name.

The name is compared all the same: a record in one student's folder that was made for another is a question for a
person, and so is one that nobody in the class was given.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import PurePosixPath

from pharmcalc.bench import file_name
from pharmcalc.classroom.cells import Json
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handed_in.handin import read_handin
from pharmcalc.classroom.handed_in.inbox import Entry, TakeIn, digest, named_in, records_before, stamp, write_whole
from pharmcalc.classroom.handed_in.parcels import Item
from pharmcalc.classroom.handed_in.records import Orders, Owner, bench_tasks, meant_as_record, record_in
from pharmcalc.classroom.issuing.deadlines import read_deadlines, said_late
from pharmcalc.classroom.marking.marker import issued_attempt
from pharmcalc.classroom.marking.run import check_handin
from pharmcalc.classroom.results.attempts import attempt_of
from pharmcalc.classroom.roster import Roster
from pharmcalc.errors import CourseError
from pharmcalc.tasks.papers import Issue

__all__ = ["RecordSorter"]

_COPY = re.compile(r"(-before-\d+)?\s*(\(\d+\))?$")


@dataclass(frozen=True)
class _Came:
    """A file as it was read: what lies in it, or why it cannot be used."""

    name: str
    stem: str
    when: datetime
    sha256: str
    text: str = ""
    code: str = ""
    trouble: str = ""


@dataclass(frozen=True)
class _Candidate:
    came: _Came
    owner: Owner
    by_name: bool


class RecordSorter:
    """Sort the bench records of one take-in to their owners, then lay the one that counts beside each notebook."""

    def __init__(self, course: Course, release: Json, issue: Issue, roster: Roster, result: TakeIn) -> None:
        """Prepare to sort; what becomes of each file is entered in ``result``."""
        self._course, self._release, self._issue, self._roster = course, release, issue, roster
        self._result = result
        self._orders = Orders(issue, roster, issued_attempt(release))
        self._came: list[_Came] = []
        deadlines = read_deadlines(course, issue.assignment)
        self._deadlines = {student.number: deadlines.of(student) for student in roster}
        self._before = records_before(course, issue.assignment)

    def takes(self, item: Item) -> bool:
        """Say whether a file is a bench record, or was meant as one."""
        return item.is_json and meant_as_record(item.name, item.data)

    def read(self, item: Item) -> None:
        """Read a file; what becomes of it is settled when the notebooks are."""
        came = _Came(item.name, item.stem, item.when, digest(item))
        try:
            text, code = record_in(item.data)
            self._came.append(replace(came, text=text, code=code))
        except CourseError as trouble:
            self._came.append(replace(came, trouble=str(trouble)))

    def settle(self, notebooks: Iterable[tuple[str, str]]) -> None:
        """Lay the record that counts beside each notebook; call it when the notebooks are laid.

        notebooks: the name and the owner of each that came in. Whoever has a folder to themselves owns what lies in it.
        """
        folders: dict[str, set[str]] = {}
        for name, number in notebooks:
            folders.setdefault(name.rpartition("/")[0], set()).add(number)
        found: dict[tuple[str, str], list[_Candidate]] = {}
        for came in self._came:
            holders = folders.get(came.name.rpartition("/")[0], set()) if "/" in came.name else set()
            named = self._named(came) or (next(iter(holders)) if len(holders) == 1 else "")
            try:
                owner = self._owner(came, named)
            except CourseError as trouble:
                self._refuse(came, named, str(trouble), self._task_named(came))
            else:
                found.setdefault((owner.number, owner.task), []).append(_Candidate(came, owner, bool(named)))
        for (number, task), candidates in found.items():
            self._choose(number, task, candidates)

    def _owner(self, came: _Came, named: str) -> Owner:
        if came.trouble:
            raise CourseError(came.trouble)
        assignment = self._issue.assignment
        if not bench_tasks(self._issue):
            raise CourseError(f"it is a bench record, and {assignment} has no task at the bench")
        owner = self._orders.owner_of(came.code)
        if owner is None:
            raise CourseError(
                f"its order was given to nobody in this class in {assignment}: it is from self-study, or from "
                "another assignment or attempt; ask for the record that lies beside the student's notebook"
            )
        if named not in ("", owner.number):
            raise CourseError(
                f"it came as {named}'s, and the order in it is {owner.number}'s ({owner.task}); "
                "find out whose work it is, and put that student's number into its name"
            )
        return owner

    def _choose(self, number: str, task: str, candidates: list[_Candidate]) -> None:
        wanted = self._attempt(number) if len(candidates) > 1 else 0
        deadline = self._deadlines.get(number)

        def worth(one: _Candidate) -> tuple[bool, bool, bool, datetime]:
            in_time = deadline is None or one.came.when <= deadline
            return one.by_name, one.owner.attempt == wanted, in_time, one.came.when

        ranked = sorted(candidates, key=worth)
        *others, chosen = ranked
        for other in others:
            if other.came.text != chosen.came.text:
                why = f"another bench record of {number} for {task}; {chosen.came.name} counts"
                self._refuse(other.came, "", why, task)
        before = self._before.get((number, task))
        if deadline is not None and before is not None and before <= deadline < chosen.came.when:
            late = said_late((chosen.came.when - deadline).total_seconds())
            why = (
                f"a bench record of {number} for {task}, {late} after the deadline; the one that came before it counts"
            )
            self._refuse(chosen.came, "", why, task)
            return
        self._lay(chosen.came, number, task)

    def _lay(self, came: _Came, number: str, task: str) -> None:
        path, data = self._course.record(self._issue.assignment, number, task), came.text.encode()
        entry = Entry(came.name, number, True, "", came.sha256, record=task, came=came.when.isoformat())
        try:
            if path.parent.is_symlink() or path.parent.parent.is_symlink():
                raise CourseError(f"{path.parent} is a link; remove it")
            if path.is_file() and not path.is_symlink() and path.read_bytes() == data:
                self._result.records_unchanged.append(entry)
                return
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, data)
            stamp(path.parent, came.when, later_only=True)
        except (CourseError, OSError) as trouble:
            why = str(trouble) if isinstance(trouble, CourseError) else f"{path} cannot be written: {trouble.strerror}"
            self._refuse(came, number, why, task)
            return
        self._result.records.append(entry)

    def _refuse(self, came: _Came, number: str, why: str, task: str) -> None:
        self._result.refused.append(Entry(came.name, number, False, why, came.sha256, record=task))

    def _attempt(self, number: str) -> int:
        """Return the attempt that a student's notebook is marked on, as far as it can be told now."""
        try:
            notebook = read_handin(check_handin(self._course, self._issue.assignment, number))
        except (OSError, CourseError):
            return issued_attempt(self._release)
        return attempt_of(notebook, self._issue, self._release)

    def _named(self, came: _Came) -> str:
        """Return the student whose number stands in the name, the record's own name and copy number left out."""
        texts = [_COPY.sub("", came.stem), *reversed(PurePosixPath(came.name).parts[:-1])]
        own = [PurePosixPath(file_name(task)).stem for task in bench_tasks(self._issue)]
        for name in sorted([*own, self._issue.assignment], key=len, reverse=True):
            texts = [re.sub(rf"{re.escape(name)}(?![A-Za-z0-9])", " ", text, flags=re.I) for text in texts]
        return named_in(texts, self._roster)

    def _task_named(self, came: _Came) -> str:
        """Return the task that stands in a record's name, or a word for a record of no known task."""
        tasks = sorted(bench_tasks(self._issue), key=len, reverse=True)
        stem = came.stem.lower()
        return next((task for task in tasks if PurePosixPath(file_name(task)).stem.lower() in stem), "bench record")
