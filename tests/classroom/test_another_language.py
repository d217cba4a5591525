"""A class in another language: issued, answered, marked and given back in it, for the same numbers and marks."""

import json
import re
from pathlib import Path

import pytest

from pharmcalc.classroom.cells import cells_by_id, source_of
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.issuing.issue import copy_for, issue_assignment
from pharmcalc.classroom.roster import read_roster
from pharmcalc.language import Habits, using
from pharmcalc.sheets import student_sheets
from pharmcalc.tasks.papers import answer_id, read_issue
from tests.classroom.building import write_course
from tests.classroom.conftest import NAME, NUMBERS, Classroom

FAMILIES = ("least-weighable-quantity", "aliquot-batch", "decide-first", "percentage-wv")
GERMAN = Habits("de", "comma")
WRONG = {"q1": "kleinste wägbare Menge = 0,3 mg"}


def course_in(root: Path, language: str, mark: str) -> Classroom:
    """Issue an assignment in a language."""
    write_course(root, NAME, FAMILIES, NUMBERS[:2])
    rules = (root / "house_rules.toml").read_text(encoding="utf-8")
    rules = rules.replace('language = "en"', f'language = "{language}"')
    rules = rules.replace('decimal-mark = "point"', f'decimal-mark = "{mark}"')
    (root / "house_rules.toml").write_text(rules, encoding="utf-8")
    course = Course.open(root)
    issue_assignment(course, NAME, read_roster(course.class_list))
    return Classroom.at(root)


@pytest.fixture(scope="module")
def german(tmp_path_factory: pytest.TempPathFactory) -> Classroom:
    """Issue an assignment in German."""
    return course_in(tmp_path_factory.mktemp("german") / "course", "de", "comma")


@pytest.fixture(scope="module")
def english(tmp_path_factory: pytest.TempPathFactory) -> Classroom:
    """Issue the same assignment in English."""
    return course_in(tmp_path_factory.mktemp("english") / "course", "en", "point")


def handed_in(classroom: Classroom, number: str, habits: Habits) -> dict[str, str]:
    """Return the right answers of a student, typed by the habits of the course."""
    with using(habits):
        return {task.id: task.answer_lines() for task in read_issue(classroom.release).paper(number).tasks}


def test_the_release_speaks_german(german: Classroom) -> None:
    """Labels to answer, the student's cell and the course's own texts are German; magic lines stay."""
    cells = cells_by_id(german.release)
    assert source_of(cells["student"]) == "%%student\nMatrikelnummer = \nVersuch = 1"
    assert source_of(cells[answer_id("q1")]).startswith("%%answer q1\nkleinste wägbare Menge = ")
    copy = cells_by_id(copy_for(german.release, "A-02"))
    assert source_of(copy["student"]).startswith("%%student\nMatrikelnummer = A-02\n")


def test_the_numbers_are_the_same_in_every_language(german: Classroom, english: Classroom) -> None:
    """A student's paper has one set of numbers, and one code, whatever the language."""
    for number in NUMBERS[:2]:
        papers = [read_issue(one.release).paper(number) for one in (german, english)]
        assert papers[0].code == papers[1].code
        values = [[sorted((n, str(v)) for n, v in task.values.items()) for task in paper.tasks] for paper in papers]
        assert values[0] == values[1]


def test_a_german_class_is_marked_as_an_english_one(german: Classroom, english: Classroom) -> None:
    """Right answers with a decimal comma earn all marks, a wrong one the same; its mistake is named in German."""
    for classroom, habits in ((german, GERMAN), (english, Habits())):
        for number in NUMBERS[:2]:
            answers = handed_in(classroom, number, habits)
            if number == NUMBERS[1]:
                answers |= WRONG
            classroom.hand_in(number, answers=answers)
        assert [outcome.reason for outcome in classroom.mark().outcomes] == ["", ""]
    rows = [
        [(row.student.number, sorted(row.scores.items())) for row in one.picture().rows] for one in (german, english)
    ]
    assert rows[0] == rows[1]
    page = german.feedback(NUMBERS[1])
    assert '<html lang="de"' in page
    for words in ("Richtig", "kleinste wägbare Menge", "0,3 mg", "Hausregeln"):
        assert words in page
    assert not re.search(r"Right:|not it|Not cleared", page)


def test_a_german_paper_is_printed_in_german(german: Classroom) -> None:
    """The sheets for the lab have German words and commas, too."""
    issue = read_issue(json.loads(german.course.release(NAME).read_text(encoding="utf-8")))
    page = student_sheets(issue, german.roster)
    assert '<html lang="de"' in page
    for words in ("Wägeprotokoll", "Antwort mit Einheit", "Hausregeln", "Nur für den Unterricht"):
        assert words in page, words
