"""What a student wrote on paper, typed by the instructor: one line a student, read and shown before it is taken.

A line is the paper's code, or the student's number, then the answers in the order in which they are printed, with
semicolons (or, pasted from a spreadsheet, tabs) between them. An empty place, or a hyphen, is no answer. Each answer is
typed as the student wrote it; where the student ticked a box, its letter is enough.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from pharmcalc.answers import read_answers
from pharmcalc.classroom.cells import OURS, STUDENT, Json, cells_by_id
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.issuing.issue import copy_for
from pharmcalc.classroom.issuing.release import issued_notebook
from pharmcalc.classroom.marking.marker import issued_attempt
from pharmcalc.classroom.paper.finding import Finder
from pharmcalc.classroom.roster import Roster, Student
from pharmcalc.errors import CourseError
from pharmcalc.language import NEUTRAL, Habits, using
from pharmcalc.tasks.asked import Decision, Question
from pharmcalc.tasks.codes import looks_like_a_code
from pharmcalc.tasks.family import family_called
from pharmcalc.tasks.papers import Issue, answer_id

__all__ = ["Reader", "TypedPaper", "places_of"]

_HEADS = ("code", "paper", "paper code", "number", "student number")
_LONGEST_LINE = 5000


@dataclass(frozen=True)
class Place:
    """A place to write an answer in, as it is printed."""

    task: str
    asked: Question

    def says(self) -> str:
        """Name the place."""
        return f"{self.task} {self.asked.said}"


def places_of(issue: Issue) -> list[Place]:
    """Return the places in which answers are written, in the order of the sheet; none is at the simulated bench."""
    return [
        Place(task, asked)
        for task, family in issue.tasks
        if not family_called(family).recorded
        for asked in family_called(family).asked
    ]


@dataclass(frozen=True)
class TypedPaper:
    """One line as it was read: whose it is, and the text in each place."""

    student: Student
    attempt: int
    line: str
    places: Sequence[Place]
    answers: tuple[str, ...]
    habits: Habits = NEUTRAL

    def cell(self, task: str) -> str:
        """Return the answer cell of a task, as the student would have typed it."""
        with using(self.habits):
            lines = [
                f"{place.asked.said} = {_in_words(place.asked, text)}".rstrip()
                for place, text in zip(self.places, self.answers, strict=True)
                if place.task == task
            ]
        return "\n".join([f"%%answer {task}", *lines])

    def echo(self) -> list[str]:
        """Say how each answer was read, never whether it is right; what needs a second look begins with ``!``."""
        with using(self.habits):
            return list(self._echoed())

    def _echoed(self) -> Iterator[str]:
        empty = []
        for place, text in zip(self.places, self.answers, strict=True):
            if not text:
                empty.append(place.says())
                continue
            label = f"{place.asked.said} = {_in_words(place.asked, text)}"
            line = read_answers(label, [place.asked]).lines[place.asked.name]
            yield f"{'!' if line.problem else ' '} {place.says()}: {text} → {line.read_back()}"
        if empty:
            yield f"! no answer: {', '.join(empty)}"

    def notebook(self, release: Json, remark: str, typed: datetime) -> bytes:
        """Return the notebook that is handed in for this paper; ``remark`` says where it comes from.

        The moment of typing stands in it too: a line typed once more is another hand-in, and the newer one.
        """
        nb = copy_for(release, self.student.number)
        cells = cells_by_id(nb)
        if STUDENT in cells:
            cells[STUDENT]["source"] = f"%%student\nstudent number = {self.student.number}\nattempt = {self.attempt}"
        for task in dict.fromkeys(place.task for place in self.places):
            cells[answer_id(task)]["source"] = self.cell(task)
        nb["cells"].append({"cell_type": "markdown", "id": "typed-in-from-paper", "metadata": {}, "source": remark})
        nb["metadata"][OURS] = {"typed": typed.isoformat()}
        return json.dumps(nb, ensure_ascii=True).encode()


class Reader:
    """Reads typed lines for one assignment."""

    def __init__(self, course: Course, assignment: str, roster: Roster) -> None:
        """Prepare to read; raise ``CourseError`` where nothing was issued or nothing is answered on paper."""
        course.require(assignment)
        self.release, self.issue = issued_notebook(course.release(assignment))
        self.places = places_of(self.issue)
        if not self.places:
            raise CourseError(
                f"{assignment} is answered at the simulated bench, not on paper: there is nothing to type in."
            )
        self._roster, self._finder = roster, Finder(course)

    def read(self, text: str) -> TypedPaper | None:
        """Return what a line says; None for an empty line, a remark (``#``) and a spreadsheet's line of headings.

        Raises
        ------
        CourseError
            Whose paper it is cannot be told, or it has more answers than there are places.
        """
        line = text.strip("\ufeff \r\n")
        first, *answers = (part.strip().strip('"').strip() for part in line.split("\t" if "\t" in line else ";"))
        if not line.strip("\t; ") or line.startswith("#") or " ".join(first.casefold().split()) in _HEADS:
            return None
        if len(line) > _LONGEST_LINE:
            raise CourseError(f"the line has {len(line)} characters. Type one line a student.")
        student, attempt = self._whose(first)
        while len(answers) > len(self.places) and not answers[-1]:
            answers.pop()
        if len(answers) > len(self.places):
            raise CourseError(
                f"{student.number}: {len(answers)} answers were typed, and the paper has {len(self.places)} places: "
                f"{'; '.join(place.says() for place in self.places)}. Leave a place empty where there is no answer."
            )
        if not answers:
            raise CourseError(
                f"{student.number}: there is no answer on this line. Type the code, then the answers, with a semicolon "
                f"between them. For a paper that was handed in empty: {first};"
            )
        given = ["" if answer in ("-", "–", "—") else answer for answer in answers]
        given += [""] * (len(self.places) - len(given))
        return TypedPaper(student, attempt, line, self.places, tuple(given), self.issue.house.habits)

    def order(self) -> str:
        """Say in which order the answers are typed."""
        return "; ".join(["code", *(place.says() for place in self.places)])

    def _whose(self, first: str) -> tuple[Student, int]:
        student = self._roster.find(first)
        if student is not None:
            return student, issued_attempt(self.release)
        if not looks_like_a_code(first):
            raise CourseError(
                f'"{first[:40]}" is neither the code of a paper nor a number on the class list. '
                "Begin the line with one of them, and a semicolon behind it."
            )
        found = self._finder.find(first)
        if found.issue.assignment != self.issue.assignment:
            raise CourseError(
                f"{found.code} is the paper of {found.says()}, and {self.issue.assignment} is typed in here. "
                f"Type it in there: pharmcalc type-in {found.issue.assignment}"
            )
        student = self._roster.find(found.number)
        if student is None:
            raise CourseError(f"{found.code} is the paper of {found.number}, who is no longer on the class list.")
        return student, found.attempt


def _in_words(asked: Question, text: str) -> str:
    """Return an answer as it is typed in a notebook: a letter stands for the words printed beside it."""
    if isinstance(asked, Decision):
        return {letter: option.said for letter, option in asked.lettered}.get(text.casefold(), text)
    return text
