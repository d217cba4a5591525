"""The competency record: what each student was seen to do over the term, what was practised, and what holds now.

An assessor's entries are a list that is only added to; what the marking knows is worked out from what is there. Only an
observed entry can tick anything off: a simulated weighing never counts as an observed one.
"""

from pharmcalc.classroom.competency.entries import (
    LEVELS,
    NEVER_COUNTS,
    WITHDRAWN,
    Competency,
    Entry,
    replacements,
    standing,
)
from pharmcalc.classroom.competency.observations import LIST, Noted, observe, read_observations
from pharmcalc.classroom.competency.pages import student_lines, student_page, write_record
from pharmcalc.classroom.competency.records import StudentRecord, TermRecord, term_record

__all__ = [
    "LEVELS",
    "LIST",
    "NEVER_COUNTS",
    "WITHDRAWN",
    "Competency",
    "Entry",
    "Noted",
    "StudentRecord",
    "TermRecord",
    "observe",
    "read_observations",
    "replacements",
    "standing",
    "student_lines",
    "student_page",
    "term_record",
    "write_record",
]
