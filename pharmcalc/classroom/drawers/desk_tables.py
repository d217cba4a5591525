"""What the desk shows as tables: the class list, the assignments, who handed in, the class picture, one student."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from pharmcalc.bench import SIMULATED
from pharmcalc.classroom.competency import Competency, StudentRecord
from pharmcalc.classroom.competency.entries import HOW
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.issuing.issue import issued_assignments
from pharmcalc.classroom.marking.finished import is_marked
from pharmcalc.classroom.pages import plain
from pharmcalc.classroom.results.picture import MARKED, Part, Picture, Row, count_students
from pharmcalc.classroom.roster import Roster
from pharmcalc.widgets.markup import Shown, note, table

__all__ = [
    "assignments",
    "class_list",
    "class_picture",
    "hand_ins",
    "marked",
    "one_record",
    "one_student",
    "page_in_a_frame",
    "said_of",
    "students",
]

MOST_MISTAKES = 8


def students(count: int) -> str:
    """Say how many students.

    >>> students(1), students(24)
    ('1 student', '24 students')
    """
    return f"{count} student" + ("" if count == 1 else "s")


def class_list(roster: Roster) -> Shown:
    """Return who is in the class, and what was arranged with whom."""
    rows = [(s.number, s.name, s.email, ", ".join(f"{what}: {said}" for what, said in s.arrangements)) for s in roster]
    return _wide(students(len(roster)), ("Number", "Name", "Email", "Arranged"), rows)


def assignments(course: Course, roster: Roster) -> Shown:
    """Return the assignments that are written, and how far each has come."""
    issued = issued_assignments(course)
    rows = [
        (
            name,
            "issued" if name in issued else "not issued yet",
            f"{len(course.handed_in(name))} of {len(roster)}",
            str(marked(course, name, roster)),
        )
        for name in course.assignments()
    ]
    return _wide("Assignments in solutions/", ("Assignment", "State", "Taken in", "Marked"), rows)


def marked(course: Course, assignment: str, roster: Roster) -> int:
    """Return how many hand-ins are marked."""
    return sum(is_marked(course, assignment, student.number) for student in roster)


def hand_ins(picture: Picture) -> Shown:
    """Return who handed in and who did not, and which files were set aside and why."""
    rows = [(row.student.number, row.student.name, row.state, "; ".join(row.needs_eyes)) for row in picture.rows]
    found = _wide("Hand-ins", ("Number", "Name", "State", "Needs a look, because"), rows)
    if picture.set_aside:
        aside = [(entry.file, entry.reason) for entry in picture.set_aside]
        found += _wide("Set aside: laid to no student", ("File", "Why"), aside)
    return found


def class_picture(picture: Picture) -> Shown:
    """Return the marks of each student in each task, and the mistakes made most often."""
    head = ("Student", "Total", "Cleared", *(f"{part.label} ({plain(part.out_of)})" for part in picture.parts))
    rows = [
        (f"{row.student.number} {row.student.name}", *_in_all(row), *(_score(row, part) for part in picture.parts))
        for row in picture.rows
    ]
    caption = f"Marks by task; in brackets what a task can earn, {plain(picture.out_of)} in all"
    found = _wide(caption, head, rows, "pc-wide pc-scores")
    if any(part.simulated for part in picture.parts):
        found += note(f"Marks of a part named simulated come from the replayed record of the bench. {SIMULATED}")
    mistakes = picture.mistakes()
    if not mistakes:
        return found + note("No mistake was recognised.")
    named = [(name, str(count_students(cases)), _who(cases)) for name, cases in mistakes[:MOST_MISTAKES]]
    more = len(mistakes) - MOST_MISTAKES
    rest = note(f"... and {more} more in the report.") if more > 0 else Shown("", "")
    return found + _wide("Mistakes made most often", ("Mistake", "Students", "Who, and in which task"), named) + rest


def one_student(picture: Picture, row: Row) -> Shown:
    """Return a student's marks by task, with clearance and why marks were lost."""
    if row.state != MARKED:
        return note("; ".join(row.needs_eyes))
    rows = [(f"{part.label}: {part.title}", *_verdict(row, part)) for part in picture.parts]
    found = _wide("Task by task", ("Task", "Marks", "Bench", "Why marks were lost"), rows)
    notes = [f"Needs a look: {said}" for said in row.needs_eyes] + row.notes
    for said in notes:
        found += note(said)
    return found


def said_of(picture: Picture, row: Row) -> str:
    """Return one sentence on how a student stands."""
    who = f"{row.student.number} {row.student.name}"
    if row.state != MARKED:
        return f"{who}: {row.state}."
    open_tasks = [part.name for part in picture.tasks if not row.cleared.get(part.name, False)]
    bench = f"not cleared yet in {', '.join(open_tasks)}" if open_tasks else "cleared for the bench"
    by_hand = f"; still to be marked by hand: {', '.join(row.to_mark)}" if row.to_mark else ""
    return f"{who}: {plain(row.total)} of {plain(picture.out_of)} marks, {bench}{by_hand}."


def page_in_a_frame(title: str, html: str) -> str:
    """Return a page in a frame of its own, in which nothing runs."""
    return f'<iframe class="pc-frame" sandbox="" title="{escape(title)}" srcdoc="{escape(html)}"></iframe>'


def _score(row: Row, part: Part) -> str:
    if part.name in row.to_mark:
        return "by hand"
    return plain(row.scores[part.name]) if part.name in row.scores else ""


def _in_all(row: Row) -> tuple[str, str]:
    if row.state != MARKED:
        return "", row.state
    open_tasks = [task for task, cleared in row.cleared.items() if not cleared]
    return plain(row.total), "not yet: " + ", ".join(open_tasks) if open_tasks else "yes"


def _verdict(row: Row, part: Part) -> tuple[str, str, str]:
    if part.name in row.to_mark:
        return "to be marked by hand", "", ""
    marks = f"{plain(row.scores.get(part.name, 0))} of {plain(part.out_of)}"
    if part.by_hand:
        return marks, "", ""
    cleared = "cleared" if row.cleared.get(part.name, False) else "not cleared yet"
    return marks, cleared, "; ".join(row.lost.get(part.name, []))


def _who(cases: Iterable[tuple[Row, str]]) -> str:
    return ", ".join(f"{row.student.number} {task}" for row, task in cases)


def one_record(found: StudentRecord) -> Shown:
    """Return a student's competency record: what holds now, and every entry."""
    now = [(one.value, found.stands(one), str(found.practised(one) or "")) for one in Competency]
    made = _wide(
        f"{found.student.number} {found.student.name}: what holds now",
        ("Competency", "Holds now", "Simulated, ticks nothing"),
        now,
    )
    head = ("Entry", "Date", "Competency", "Attempt", "Observed or simulated", "Level", "Assessor", "Note")
    rows = [
        (
            str(one.entry or "by itself"),
            one.on,
            one.competency.value,
            str(one.attempt),
            HOW[one.how],
            one.level,
            one.by,
            ". ".join(filter(None, (one.note, found.correction(one)))),
        )
        for competency in Competency
        for one in found.of(competency)
    ]
    return made + (_wide("Every entry; nothing is written over", head, rows) if rows else note("No entry yet."))


def _wide(caption: str, head: Sequence[str], rows: Iterable[Sequence[str]], look: str = "pc-wide") -> Shown:
    """Return a table that can be scrolled sideways, with the keyboard as well."""
    made = table(caption, head, rows)
    around = f'<div class="{look}" role="region" aria-label="{escape(caption)}" tabindex="0">'
    return Shown(made.text, f"{around}{made.html}</div>")
