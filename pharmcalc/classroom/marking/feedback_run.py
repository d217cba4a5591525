"""Write the students' feedback pages: whatever the gradebook holds now, in as many processes as there are."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from pharmcalc.classroom.course import MARKED, Course
from pharmcalc.classroom.engine import Converter, gradebook, settings, shared_gradebook
from pharmcalc.classroom.handed_in.inbox import write_whole
from pharmcalc.classroom.issuing.release import issued_notebook
from pharmcalc.classroom.marking.feedback_page import PageWriter, Returned
from pharmcalc.classroom.marking.finished import carry, is_marked
from pharmcalc.classroom.marking.ledger import standings
from pharmcalc.classroom.marking.outcomes import Outcome, Run, ignore
from pharmcalc.classroom.marking.workers import spread
from pharmcalc.classroom.results.overrides import changes_in_force
from pharmcalc.classroom.roster import Roster
from pharmcalc.errors import PharmcalcError

__all__ = ["feedback_due", "write_feedback"]


def write_feedback(
    course: Course, assignment: str, numbers: Iterable[str], *, watch: Callable[[Outcome], None] = ignore
) -> Run:
    """Write the feedback pages of marked hand-ins anew, with the marks and comments that the gradebook holds now."""
    run = Run()
    for outcome in _feedback(course, assignment, list(numbers)):
        run.outcomes.append(outcome)
        watch(outcome)
    return run


def _feedback(course: Course, assignment: str, numbers: list[str]) -> Iterator[Outcome]:
    config = settings(course)
    from pharmcalc.classroom.config import as_we_set_it

    if not as_we_set_it(config, "GenerateFeedback"):
        yield from _feedback_through_nbgrader(course, assignment, numbers)
        return
    with gradebook(course) as book:
        standing = standings(book, assignment)
    changes = changes_in_force(course, assignment)
    troubles: list[Outcome] = []

    def returned() -> Iterator[Returned]:
        for number in numbers:
            try:
                text = course.autograded(assignment, number).read_text(encoding="utf-8")
                yield Returned(number, text, standing[number], tuple(changes.get(number, ())))
            except (OSError, KeyError):
                troubles.append(_no_page(number, f"its hand-in is not marked; run: pharmcalc mark {assignment}"))

    writer = PageWriter(issued_notebook(course.release(assignment))[0])
    for one, made in spread(writer, returned(), expected=len(numbers)):
        try:
            if isinstance(made, Exception):
                raise made
            page = course.feedback(assignment, one.number)
            page.parent.mkdir(parents=True, exist_ok=True)
            write_whole(page, made.encode("utf-8"))
            page.chmod(0o644)  # as nbgrader does: its exchange hands the page on with these rights
            carry(course.autograded(assignment, one.number).parent, page.parent)
            yield Outcome(one.number, "written")
        except Exception as trouble:  # noqa: BLE001  # one page never stops the others
            yield _no_page(one.number, f"{type(trouble).__name__}: {trouble}"[:300])
    yield from troubles


def _feedback_through_nbgrader(course: Course, assignment: str, numbers: list[str]) -> Iterator[Outcome]:
    """Write the pages by nbgrader's own converter, for a course whose settings add to it. Slower."""
    with shared_gradebook(course):
        writer = Converter("GenerateFeedback", course, assignment)
        for number in numbers:
            try:
                writer.run(number)
                yield Outcome(number, "written")
            except PharmcalcError as trouble:
                yield _no_page(number, str(trouble))


def _no_page(number: str, why: str) -> Outcome:
    return Outcome(number, "failed", f"no feedback page: {why}")


def feedback_due(course: Course, assignment: str, roster: Roster) -> list[str]:
    """Return the students whose feedback page is missing, cut off, or older than the marking."""

    def due(number: str) -> bool:
        page, finished = course.feedback(assignment, number), course.autograded(assignment, number).parent / MARKED
        if not page.is_file() or page.stat().st_mtime < finished.stat().st_mtime:
            return True
        return not page.read_bytes().rstrip().endswith(b"</html>")

    return [s.number for s in roster if is_marked(course, assignment, s.number) and due(s.number)]
