"""Which of a student's notebooks counts: the last before the deadline; when all are late, or there is none, the newest.

Every notebook is kept in ``received/`` and has its line in the log, with when it came. So the choice is made anew from
all of them, whenever another comes in or the deadline moves.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path, PurePosixPath

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handed_in.handin import read_handin
from pharmcalc.classroom.handed_in.inbox import (
    Entry,
    TakeIn,
    kept_notebooks,
    moment,
    named_in,
    records_before,
    stamp,
    write_log,
    write_whole,
)
from pharmcalc.classroom.issuing.deadlines import read_deadlines, said_late
from pharmcalc.classroom.roster import Roster, Student
from pharmcalc.errors import CourseError

__all__ = ["Candidate", "Which", "claim_of", "count_anew", "folders", "no_longer_theirs", "that_counts"]

#: How a notebook says whose it is: by a number typed in it, by a person's name in its path, by the number there.
TYPED, CALLED, NUMBERED = range(3)


@dataclass(frozen=True)
class Candidate:
    """A notebook that is somebody's. Its text is left in ``received/`` until it is chosen: a class fills no memory."""

    name: str
    when: datetime
    sha256: str
    kept: Path
    claim: int


def claim_of(name: str, number: str, roster: Roster) -> int:
    """Say how strongly the path of a file says that it is this student's."""
    path, student = PurePosixPath(name), roster.find(number)
    if number in (named_in([path.name], roster), named_in([path.stem], roster), named_in(folders(name), roster)):
        return NUMBERED
    names = (student.surname, student.given_name) if student else ()
    return CALLED if names and all(word and word.casefold() in name.casefold() for word in names) else TYPED


def folders(name: str) -> list[str]:
    """Return the names of the folders in a path, the innermost first."""
    return list(reversed(PurePosixPath(name).parts[:-1]))


def that_may_count(candidates: Sequence[Candidate], deadline: datetime | None) -> list[Candidate]:
    """Return, the oldest first, those with the strongest claim that came in time; when none did, all of these."""
    claim = max((one.claim for one in candidates), default=TYPED)
    ranked = sorted((one for one in candidates if one.claim == claim), key=lambda one: one.when)
    in_time = [one for one in ranked if deadline is None or one.when <= deadline]
    return in_time or ranked


def that_counts(candidates: Sequence[Candidate], deadline: datetime | None) -> Candidate:
    """Return the one that counts: the last of those that may."""
    *before, last = that_may_count(candidates, deadline)
    for one in reversed(before):  # loaded again, a file is as old as it was the first time
        if one.sha256 != last.sha256:
            break
        last = one
    return last


class Which:
    """Settles for one student after the other which notebook counts, and lays it where nbgrader expects it."""

    def __init__(self, course: Course, assignment: str, roster: Roster, result: TakeIn) -> None:
        """Prepare to settle; what becomes of each file is entered in ``result``."""
        self._course, self._assignment, self._roster, self._result = course, assignment, roster, result
        deadlines = read_deadlines(course, assignment)
        self._deadlines = {student.number: deadlines.of(student) for student in roster}
        self._before: dict[str, list[Candidate]] = {}
        self.seen: list[Entry] = []
        self._records = records_before(course, assignment)
        for entry, number in kept_notebooks(course, assignment):
            kept = course.received(assignment) / entry.kept
            if number in self._deadlines and kept.is_file() and not kept.is_symlink():
                one = Candidate(
                    entry.file, moment(entry.came), entry.sha256, kept, claim_of(entry.file, number, roster)
                )
                self._before.setdefault(number, []).append(one)

    @property
    def numbers(self) -> list[str]:
        """The students of whom notebooks were kept before."""
        return sorted(self._before)

    def before(self, number: str) -> list[Candidate]:
        """Return the notebooks that may count for a student, the oldest first."""
        return that_may_count(self._before.get(number, []), self._deadlines.get(number))

    def settle(self, number: str, came: Sequence[Candidate] = ()) -> None:
        """Choose among all that there are of a student; ``came`` are the new ones. Say what happens to these."""
        before = self._before.get(number, [])
        known = {(one.sha256, one.when) for one in before}
        fresh = [one for one in came if (one.sha256, one.when) not in known]
        chosen = that_counts([*before, *fresh], self._deadlines.get(number))
        for other in fresh:
            if other.sha256 != chosen.sha256 or other.claim < chosen.claim:
                self._aside(other, number, self._why_not(other, chosen, number))
        try:
            path = self._course.submitted(self._assignment, number)
            laid = self._lay(chosen, number, forced=chosen in fresh or (bool(came) and not path.is_file()))
        except (CourseError, OSError) as trouble:
            path = self._course.submitted(self._assignment, number)
            cannot = f"{path} cannot be written; remove what lies there"
            why = str(trouble) if isinstance(trouble, CourseError) else cannot
            self._result.refused.append(Entry(chosen.name, number, False, why, chosen.sha256))
            return
        entry = self._entry(chosen, number, taken=True)
        if laid:
            self._result.taken.append(entry)
            self._result.shared += [(entry, other) for other in self._others_of(chosen, number)]
        elif came:
            self._result.unchanged.append(entry)
        self.seen += [self._entry(one, number, taken=True) for one in fresh if one.sha256 == chosen.sha256 and not laid]

    def _others_of(self, chosen: Candidate, number: str) -> list[str]:
        """Return the other students whose hand-in is the very same file."""
        same = {other for other, kept in self._before.items() if chosen.sha256 in {one.sha256 for one in kept}}
        return sorted(other for other in same - {number} if self.counting(other) == chosen.sha256)

    def counting(self, number: str) -> str:
        """Return which of a student's kept notebooks lies in ``submitted/``, by its hash; nothing for any other."""
        path = self._course.submitted(self._assignment, number)
        there = path.read_bytes() if path.is_file() and not path.is_symlink() else b""
        return next((one.sha256 for one in self._before.get(number, []) if _stored(one) == there), "")

    def _why_not(self, other: Candidate, chosen: Candidate, number: str) -> str:
        if other.claim < chosen.claim:
            return f"{number} is typed in it, but {chosen.name} is theirs; find out whose this is, and rename it"
        deadline = self._deadlines.get(number)
        if deadline is not None and other.when > deadline >= chosen.when:
            late = said_late((other.when - deadline).total_seconds())
            return f"{number} handed it in {late} after the deadline; {chosen.name}, which came before it, counts"
        return f"an earlier notebook of {number}; the newer {chosen.name} counts"

    def _aside(self, one: Candidate, number: str, why: str) -> None:
        entry = self._entry(one, number, taken=False, why=why)
        self._result.refused.append(entry)

    def _entry(self, one: Candidate, number: str, *, taken: bool, why: str = "") -> Entry:
        kept = one.kept.relative_to(self._course.received(self._assignment)).as_posix()
        return Entry(
            one.name,
            number if taken else "",
            taken,
            why,
            one.sha256,
            owner=number,
            came=one.when.isoformat(),
            kept=kept,
        )

    def _lay(self, chosen: Candidate, number: str, *, forced: bool) -> bool:
        """Write the notebook and its time; return whether the notebook was to be written.

        Unless ``forced``, what was not laid here (by nbgrader's exchange, or by a person) stays, and so does a gap.
        """
        path = self._course.submitted(self._assignment, number)
        data = _stored(chosen)
        if path.parent.is_symlink() or path.parent.parent.is_symlink():
            raise CourseError(f"{path.parent} is a link; remove it")
        there = path.read_bytes() if path.is_file() and not path.is_symlink() else b""
        if not forced and there not in (data, *(_stored(one) for one in self._before.get(number, []))):
            return False
        when = max([chosen.when, *(came for (owner, _), came in self._records.items() if owner == number)])
        if there == data:
            stamp(path.parent, when)
            return False
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, data)
        stamp(path.parent, when)
        return True


def _stored(one: Candidate) -> bytes:
    """Return a kept notebook as it is laid into ``submitted/``."""
    return (json.dumps(read_handin(one.kept.read_bytes()), indent=1, ensure_ascii=True) + "\n").encode()


def no_longer_theirs(course: Course, assignment: str, student: Student, why: str) -> None:
    """Write into the log that the notebook which counts for a student is not theirs."""
    sha256 = Which(course, assignment, Roster((student,)), TakeIn()).counting(student.number)
    name = course.submitted(assignment, student.number).name
    write_log(course.received(assignment), [Entry(name, "", False, why, sha256, owner=student.number)])


def count_anew(course: Course, assignment: str, roster: Roster) -> list[str]:
    """Choose anew after a deadline has moved, and return the students of whom another notebook counts now."""
    result = TakeIn()
    which = Which(course, assignment, roster, result)
    for number in which.numbers:
        which.settle(number)
    if result.taken:
        write_log(course.received(assignment), result.taken)
    return [entry.number for entry in result.taken]
