"""Attempts from which a student went on before they were marked: each is marked too, so that it can count.

Only the notebook that counts is entered in the gradebook. Of an older one with other numbers only what it came to is
written down, in the list of attempts; the house rules say which attempt counts.
"""

from __future__ import annotations

import json
from collections.abc import Iterator

from pharmcalc.classroom.cells import Json
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handed_in.handin import read_handin
from pharmcalc.classroom.handed_in.inbox import TakeIn
from pharmcalc.classroom.handed_in.records import Beside
from pharmcalc.classroom.handed_in.which import Which
from pharmcalc.classroom.marking.assess import Assessor, HandIn
from pharmcalc.classroom.results.attempts import attempt_of, read_attempts
from pharmcalc.classroom.roster import Roster

__all__ = ["WentOn"]


class WentOn:
    """Marks the older attempts of an assignment that lets students go on with fresh numbers by themselves."""

    def __init__(self, course: Course, assignment: str, roster: Roster, mark: Assessor) -> None:
        """Look at what is kept, where the assignment goes on at all."""
        self._mark = mark
        self._kept = Which(course, assignment, roster, TakeIn()) if mark.issue.goes_on else None
        self._listed = read_attempts(course, assignment)

    def before(self, number: str, marked: Json) -> Iterator[Json]:
        """Yield the attempts of a student that are not listed yet, each marked, but for the one just ``marked``."""
        if self._kept is None:
            return
        listed = {self._attempt(marked), *(one.attempt for one in self._listed.get(number, ()))}
        last: dict[int, bytes] = {}
        for one in self._kept.before(number):
            data = one.kept.read_bytes()
            last[self._attempt(read_handin(data))] = data
        for attempt in sorted(last.keys() - listed):
            nb: Json = json.loads(self._mark(HandIn(number, last[attempt], Beside())).text)
            yield nb

    def _attempt(self, nb: Json) -> int:
        return attempt_of(nb, self._mark.issue, self._mark.release)
