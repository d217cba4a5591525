"""Which paper has this code: looked for among all that the course has issued, so no list has to be kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.issuing.issue import issued_assignments
from pharmcalc.classroom.issuing.release import issued_notebook
from pharmcalc.classroom.marking.marker import issued_attempt
from pharmcalc.errors import CourseError
from pharmcalc.tasks.codes import near, read_code
from pharmcalc.tasks.papers import Issue, Paper

__all__ = ["Finder", "FoundPaper", "find_paper"]

_MOST_NEAR = 5
MOST_ATTEMPTS = 30
"""How many attempts are looked through where students take fresh numbers by themselves."""


@dataclass(frozen=True)
class FoundPaper:
    """Whose paper it is, in which assignment and attempt."""

    issue: Issue
    number: str
    attempt: int
    code: str

    def paper(self) -> Paper:
        """Draw the paper with its tasks."""
        return self.issue.paper(self.number, self.attempt)

    def says(self) -> str:
        """Say which paper it is."""
        return f"{self.issue.assignment}, {self.number}, attempt {self.attempt}"


class Finder:
    """Finds papers of one course by their codes, as many as are asked for."""

    def __init__(self, course: Course) -> None:
        """Work the codes of all papers out."""
        self._assignments = issued_assignments(course)
        self._papers = list(_papers(course))

    def find(self, text: str) -> FoundPaper:
        """Return the paper whose code was typed.

        Raises
        ------
        CourseError
            It is mistyped, no paper of this course, or (hardly ever) the code of two papers; near ones are named.
        """
        try:
            code = read_code(text)
        except CourseError as trouble:
            raise CourseError(f"{trouble}{self._near(text)}") from None
        found = [one for one in self._papers if one.code == code]
        if len(found) > 1:
            which = "; ".join(one.says() for one in found)
            raise CourseError(
                f"{code} is the code of two papers: {which}. Go by the number and the title on the sheet."
            )
        if not found:
            raise CourseError(
                f"{code} is a paper code, but of no paper that was issued to this class. Is this the right course "
                f"folder? Issued here: {', '.join(self._assignments) or 'nothing yet'}."
            )
        return found[0]

    def _near(self, text: str) -> str:
        close = set(near(text, [one.code for one in self._papers]))
        meant = [f"{one.code} ({one.says()})" for one in self._papers if one.code in close]
        return f" Near it: {'; '.join(meant[:_MOST_NEAR])}." if meant else ""


def find_paper(course: Course, text: str) -> FoundPaper:
    """Return the paper of a course whose code was typed; raises what ``Finder.find`` raises."""
    return Finder(course).find(text)


def _papers(course: Course) -> Iterator[FoundPaper]:
    """Yield every paper of the course, its code alone: drawing its numbers would take far longer."""
    for assignment in issued_assignments(course):
        release, issue = issued_notebook(course.release(assignment))
        last = MOST_ATTEMPTS if issue.goes_on else issued_attempt(release)
        bare = replace(issue, tasks=())
        for copy in sorted(course.issued(assignment).glob("*.ipynb")):  # those, too, who left the class list since
            for attempt in range(1, last + 1):
                yield FoundPaper(issue, copy.stem, attempt, bare.paper(copy.stem, attempt).code)
