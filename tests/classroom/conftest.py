"""A course that was issued once, and copies of it for each test."""

import json
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.issuing.issue import issue_assignment
from pharmcalc.classroom.marking.feedback_run import write_feedback
from pharmcalc.classroom.marking.outcomes import Run
from pharmcalc.classroom.marking.run import mark_class
from pharmcalc.classroom.results.picture import Picture, take_picture
from pharmcalc.classroom.roster import Roster, read_roster
from tests.classroom.building import answered, hand_in, write_course

NAME = "week-1"
FAMILIES = ("least-weighable-quantity", "aliquot-plan")
NUMBERS = tuple(f"A-{n:02}" for n in range(1, 7))


@dataclass(frozen=True)
class Classroom:
    """A course folder, and what tests do with it."""

    course: Course
    roster: Roster
    release: Mapping[str, Any]

    @classmethod
    def at(cls, root: Path) -> "Classroom":
        """Return the classroom whose course lies in a folder."""
        course = Course.open(root)
        release = json.loads(course.release(NAME).read_text(encoding="utf-8"))
        return cls(course, read_roster(course.class_list), release)

    def hand_in(self, number: str, content: Mapping[str, Any] | bytes | None = None, **options: Any) -> Path:
        """Lay a hand-in into submitted/; made from the release with right answers unless content is given."""
        made = answered(self.release, number, **options) if content is None else content
        return hand_in(self.course.root, NAME, number, made)

    def mark(self, **options: Any) -> Run:
        """Mark the class."""
        return mark_class(self.course, NAME, self.roster, **options)

    def feedback(self, number: str) -> str:
        """Write and return a feedback page."""
        run = write_feedback(self.course, NAME, [number])
        assert [outcome.reason for outcome in run.outcomes] == [""]
        return self.course.feedback(NAME, number).read_text(encoding="utf-8")

    def picture(self) -> Picture:
        """Return the class after marking."""
        return take_picture(self.course, NAME, self.roster)


@pytest.fixture(scope="session")
def issued_course(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Issue a test assignment once; tests work on copies."""
    root = write_course(tmp_path_factory.mktemp("course") / "issued", NAME, FAMILIES, NUMBERS)
    course = Course.open(root)
    issue_assignment(course, NAME, read_roster(course.class_list))
    return root


@pytest.fixture
def classroom(issued_course: Path, tmp_path: Path) -> Classroom:
    """Give a test its own copy of the issued course."""
    root = tmp_path / "course"
    shutil.copytree(issued_course, root)
    return Classroom.at(root)
