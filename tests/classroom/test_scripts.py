"""Ten marked scripts side by side: what was typed, what the gradebook holds, and every kind of case that there is."""

import json
import re
import shutil
import sqlite3
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from bs4 import BeautifulSoup, Tag

from pharmcalc.caution import CAUTION
from pharmcalc.classroom.cells import cells_by_id
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.issuing.issue import issue_assignment
from pharmcalc.classroom.marking.finished import read_marked
from pharmcalc.classroom.marking.marker import record_of
from pharmcalc.classroom.marking.run import mark_class
from pharmcalc.classroom.results.overrides import change_mark
from pharmcalc.classroom.results.picture import take_picture
from pharmcalc.classroom.results.sampling import ANOTHER_PLAN, DRAWN, FOLLOWS, MOST, UNRECOGNISED
from pharmcalc.classroom.results.scripts_page import write_scripts
from pharmcalc.classroom.roster import read_roster
from pharmcalc.errors import CourseError
from pharmcalc.marking import mark_task
from pharmcalc.tasks.family import Task
from pharmcalc.tasks.papers import read_issue
from pharmcalc.units import quantity
from tests.classroom.building import answered, hand_in, write_course
from tests.classroom.conftest import FAMILIES, NAME, Classroom

if TYPE_CHECKING:
    from playwright.sync_api import Page

NUMBERS = tuple(f"B-{n:02}" for n in range(1, 14))
HOSTILE = "<script>alert(1)</script>"


def upside_down(task: Task) -> str:
    """Return the answer of somebody who made the first known mistake."""
    (asked,) = task.asked
    return f"{asked.said} = {task.typed(asked, task.mistakes_of(asked)[0].evaluate(task.values))}"


def another_plan(task: Task) -> str:
    """Return a plan that keeps every rule and is not the key's: a larger multiple factor, all else by formula."""
    for more in range(1, 20):
        values = dict(task.drawn.values)
        for asked in task.amounts:
            value = task.values[asked.name] if asked.choice else asked.formula.evaluate(values)
            values[asked.name] = value + more if asked.name == "multiple_factor" else value
        text = "\n".join(f"{asked.said} = {task.typed(asked, values[asked.name])}" for asked in task.amounts)
        if mark_task(task, text).marks == task.out_of:
            return text
    raise AssertionError("no other plan keeps the rules")


def one_slip(task: Task) -> str:
    """Return an answer with a slip in the total that no mistake explains, and the diluent that follows from it."""
    values = {**task.values, "total_mixture": task.values["total_mixture"] + quantity(37, "mg")}
    values["diluent"] = values["total_mixture"] - values["drug_weighed"]
    return "\n".join(f"{asked.said} = {task.typed(asked, values[asked.name])}" for asked in task.amounts)


def doubled(task: Task) -> str:
    """Return the key's plan below a least weighable quantity twice as large as it is."""
    first, *rest = task.amounts
    wrong = task.values[first.name] * 2
    return "\n".join(
        [f"{first.said} = {task.typed(first, wrong)}", *(f"{asked.said} = {task.typed(asked)}" for asked in rest)]
    )


@pytest.fixture(scope="module")
def issued(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Mark a class of 13 once: mistakes, a slip, another plan, a script in a line; one did not hand in."""
    root = write_course(tmp_path_factory.mktemp("scripts") / "course", NAME, FAMILIES, NUMBERS, by_hand=False)
    course = Course.open(root)
    roster = read_roster(course.class_list)
    issue_assignment(course, NAME, roster)
    release = json.loads(course.release(NAME).read_text(encoding="utf-8"))
    papers = {number: read_issue(release).paper(number) for number in NUMBERS}
    answers = {
        "B-02": {"q1": upside_down(papers["B-02"].task("q1"))},
        "B-03": {"q1": upside_down(papers["B-03"].task("q1"))},
        "B-04": {"q2": one_slip(papers["B-04"].task("q2"))},
        "B-05": {"q2": another_plan(papers["B-05"].task("q2"))},
        "B-06": {"q1": f"least weighable quantity = {HOSTILE}", "q2": f"{HOSTILE}\nmultiple factor = 3 & {HOSTILE}"},
        "B-07": {"q1": "", "q2": ""},
        "B-08": {"q2": doubled(papers["B-08"].task("q2"))},
    }
    for number in NUMBERS[:-1]:
        hand_in(root, NAME, number, answered(release, number, answers.get(number)))
    mark_class(course, NAME, roster)
    return root


@pytest.fixture
def course(issued: Path, tmp_path: Path) -> Course:
    """Give a test its own copy of the marked class."""
    shutil.copytree(issued, tmp_path / "course")
    return Course.open(tmp_path / "course")


def written(course: Course) -> str:
    """Write the page and return it."""
    path, _ = write_scripts(course, take_picture(course, NAME, read_roster(course.class_list)))
    assert path == course.reports(NAME) / "scripts.html"
    return path.read_text(encoding="utf-8")


def words(tag: Tag | None) -> str:
    """Return the words of a piece of a page."""
    assert tag is not None
    return " ".join(tag.get_text(" ").split()).replace(" :", ":")


def cards(text: str) -> dict[tuple[str, str], Tag]:
    """Return the cards of a page, by student and task."""
    found = BeautifulSoup(text, "html.parser").select("article.card")
    return {(str(card["aria-labelledby"])[3:], str(card["aria-labelledby"])[:2]): card for card in found}


def lines(card: Tag) -> Iterator[tuple[str, str, dict[str, str]]]:
    """Return for each answer of a card: its label, its marks, and what is said by its short names."""
    for line in card.select(".line"):
        label, tag = line.select_one(".label"), line.select_one(".label .tag")
        said = {words(name): words(name.find_next("dd")) for name in line.select("dt")}
        yield words(label).removesuffix(words(tag)).strip(), words(tag), said


def gradebook_marks(course: Course) -> dict[tuple[str, str], float]:
    """Return the marks as they stand in the gradebook's own tables."""
    with closing(sqlite3.connect(course.gradebook)) as book:
        rows = book.execute(
            """select s.id, b.name, coalesce(g.manual_score, g.auto_score) from grade g
            join base_cell b on b.id = g.cell_id join submitted_notebook n on n.id = g.notebook_id
            join submitted_assignment a on a.id = n.assignment_id join student s on s.id = a.student_id"""
        )
        return {(number, name.removeprefix("mark-")): float(marks) for number, name, marks in rows}


def records(course: Course) -> dict[tuple[str, str], Any]:
    """Return the verdicts in the marked hand-ins, by student and task."""
    found = {}
    for number in NUMBERS[:-1]:
        for name, cell in cells_by_id(read_marked(course, NAME, number)).items():
            record = record_of(cell)
            if record:
                found[number, name.removeprefix("mark-")] = record
    return found


def test_each_card_shows_what_the_gradebook_holds(course: Course) -> None:
    """The mark in the heading is the gradebook's, also where it was changed by hand, and then it says by whom."""
    change_mark(course, NAME, "B-02", "q1", 1.5, reason="set-up was right", by="MK")
    shown, marks = cards(written(course)), gradebook_marks(course)
    assert len(shown) == 2 * MOST
    for (number, task), card in shown.items():
        assert words(card.h3).startswith(f"{number} {marks[number, task]:g} of ")
    assert marks["B-02", "q1"] == 1.5
    assert "changed by hand from 0 to 1.5 (MK): set-up was right" in words(shown["B-02", "q1"])


def test_each_line_is_what_the_student_typed_with_the_verdict_of_the_marking(course: Course) -> None:
    """As typed, to the letter; status, marks and mistake as the marked hand-in records them."""
    held, seen = records(course), 0
    for key, card in cards(written(course)).items():
        for label, marks, said in lines(card):
            (record,) = [one for one in held[key]["verdicts"] if one["answer"] == label]
            assert said["Typed"] == (record["typed"] or "nothing")
            assert marks == f"{record['marks']:g} of {record['out_of']}"
            assert said["Verdict"].startswith(record["status"])
            assert record["mistake_name"] in said["Verdict"]
            seen += 1
    assert seen == 7 * MOST


def test_the_working_stands_beside_with_the_students_own_numbers(course: Course) -> None:
    """Each line has the value that the key gives for this student's paper, and the whole working is on the page."""
    release = json.loads(course.release(NAME).read_text(encoding="utf-8"))
    for (number, task_id), card in cards(written(course)).items():
        task = read_issue(release).paper(number).task(task_id)
        for asked, (_, _, said) in zip(task.amounts, lines(card), strict=True):
            assert task.shown(asked.name) in said["Working"]
        assert words(card.select_one(".working li strong")) == task.working().steps[0].line
        assert words(card.select_one(".question")) == " ".join(task.question_text().split())


def test_every_kind_that_the_class_has_is_among_the_ten(course: Course) -> None:
    """A slip followed through, a mistake not recognised, another plan, a mistake of two students, the extremes."""
    picture = take_picture(course, NAME, read_roster(course.class_list))
    _, sample = write_scripts(course, picture)
    why = {one.number: one.reasons for one in sample.chosen}
    assert {f"{FOLLOWS} (q2)", f"{UNRECOGNISED} (q2)"} <= set(why["B-04"])
    assert f"{ANOTHER_PLAN} (q2)" in why["B-05"]
    ((mistake, cases), *_) = picture.mistakes()
    assert {row.student.number for row, _ in cases} == {"B-02", "B-03"}
    assert f"{mistake} (q1)" in {reason for number in ("B-02", "B-03") for reason in why.get(number, ())}
    assert (DRAWN,) in why.values()
    table = words(BeautifulSoup(written(course), "html.parser").table)
    for number, reasons in why.items():
        assert re.search(rf"{number} Surname{number}, Given{number} .*{re.escape('; '.join(reasons))}", table)


def test_an_answer_that_follows_from_a_slip_says_from_which(course: Course) -> None:
    """The instructor sees the step from the student's own number beside the key's."""
    said = {label: said for label, _, said in lines(cards(written(course))["B-04", "q2"])}
    assert said["total mixture"]["Verdict"] == "not recognised"
    assert said["diluent to weigh"]["Verdict"] == "right from an earlier number: follows from total mixture"
    total = said["total mixture"]["Read"]
    assert said["diluent to weigh"]["Own"].startswith(f"{total} - ")
    assert said["diluent to weigh"]["Own"].endswith(f" = {said['diluent to weigh']['Read']}")
    assert "Own" not in said["drug to weigh"]


def test_a_free_choice_says_on_which_own_number_it_was_judged(course: Course) -> None:
    """After a wrong least weighable quantity, the smallest aliquot is the student's own, and the card says which."""
    said = {label: said for label, _, said in lines(cards(written(course))["B-08", "q2"])}
    own = said["least weighable quantity"]["Read"]
    assert own != said["least weighable quantity"]["Working"].rpartition(" = ")[2]
    assert said["aliquot"]["Own"] == f"at least {own}"
    assert "Own" not in {label: said for label, _, said in lines(cards(written(course))["B-04", "q2"])}["aliquot"]


def test_the_summary_counts_the_verdicts_of_the_whole_class(course: Course) -> None:
    """All marked scripts are counted, not only those that are shown."""
    held = Counter(one["status"] for record in records(course).values() for one in record["verdicts"])
    text = written(course)
    table = BeautifulSoup(text, "html.parser").find_all("table")[1]
    rows = [[words(cell) for cell in row.find_all(["th", "td"])] for row in table.tbody.find_all("tr")]  # type: ignore[union-attr]
    assert {row[0]: int(row[1]) for row in rows} == held
    shown = Counter(
        one["status"] for key, record in records(course).items() if key in cards(text) for one in record["verdicts"]
    )
    assert {row[0]: int(row[3]) for row in rows} == {name: shown[name] for name in held}


def test_nothing_that_a_student_typed_is_markup(course: Course) -> None:
    """A script in an answer, and in a line without a label, is text to read; the page runs and loads nothing."""
    text = written(course)
    card = cards(text)["B-06", "q1"]
    ((_, _, said),) = lines(card)
    assert said["Typed"] == HOSTILE
    assert said["Verdict"] == "could not be read"
    left_out = words(cards(text)["B-06", "q2"].select_one(".end"))
    assert f"Left out: {HOSTILE}" in left_out
    assert "<script" not in text
    assert "alert(1)&lt;/script&gt;" in text
    assert not re.search(r"(?:src|href)=[\"']?(?:https?:)?//", text)
    assert CAUTION in text


def test_how_a_mark_is_changed_stands_on_the_page(course: Course) -> None:
    """Whoever does not agree knows what to type, and where to click."""
    text = words(BeautifulSoup(written(course), "html.parser"))
    assert f"pharmcalc change {NAME} NUMBER TASK MARKS" in text
    assert "drawer “Change a mark”" in text


def test_the_page_is_the_same_each_time(course: Course) -> None:
    """The dice are thrown from the assignment's name."""
    assert written(course) == written(course)


def test_fewer_than_ten_are_all_shown(classroom: Classroom) -> None:
    """A class of three shows three, and says that these are all."""
    for number in ("A-01", "A-02", "A-03"):
        classroom.hand_in(number)
    classroom.mark()
    path, sample = write_scripts(classroom.course, classroom.picture())
    text = path.read_text(encoding="utf-8")
    assert {one.number for one in sample.chosen} == {"A-01", "A-02", "A-03"}
    assert {number for number, _ in cards(text)} == {"A-01", "A-02", "A-03"}
    assert "These are all the marked scripts of the class." in text


def test_before_the_marking_the_next_step_is_named(classroom: Classroom) -> None:
    """Without a marked hand-in there is nothing to show, and no page is left behind."""
    with pytest.raises(CourseError, match=f"pharmcalc mark {NAME}"):
        write_scripts(classroom.course, classroom.picture())
    assert not (classroom.course.reports(NAME) / "scripts.html").exists()


def test_a_mark_that_would_come_out_otherwise_now_is_said(course: Course) -> None:
    """What is shown as read is read now; where the marking held something else, the instructor is told."""
    path = course.autograded(NAME, "B-02")
    path.write_text(path.read_text(encoding="utf-8").replace('"mistake recognised"', '"right"'), encoding="utf-8")
    shown = {key: card for key, card in cards(written(course)).items() if "comes out otherwise" in words(card)}
    assert set(shown) == {("B-02", "q1")}


@pytest.mark.browser
def test_the_page_is_accessible_fits_a_phone_and_prints(course: Course, page: "Page") -> None:
    """Side by side on a wide screen, below each other on a phone, boxes to tick and workings on request on paper."""
    from axe_playwright_python.sync_playwright import Axe
    from playwright.sync_api import expect

    written(course)
    page.goto((course.reports(NAME) / "scripts.html").as_uri())

    def places(name: str) -> set[int]:
        return {round(card.bounding_box()[name]) for card in page.locator("#task-q1 ~ .cards .card").all()}  # type: ignore[index]

    assert (len(places("x")), len(places("y"))) == (MOST, 1)
    assert page.evaluate("document.documentElement.scrollWidth") <= 1280
    last = page.locator("#task-q1 ~ .cards .card").last
    expect(last).not_to_be_in_viewport()
    page.locator("#task-q1 ~ .cards").focus()
    for _ in range(60):
        page.keyboard.press("ArrowRight")
    expect(last).to_be_in_viewport()
    for width in (1280, 390):
        page.set_viewport_size({"width": width, "height": 844})
        result = Axe().run(page)
        assert result.violations_count == 0, result.generate_report()
    assert (len(places("x")), len(places("y"))) == (1, MOST)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.locator(".full:visible").count() == 0
    page.get_by_label("Show the full workings of q1").check()
    assert page.locator(".full:visible").count() == MOST
    assert page.locator(".agree:visible").count() == 0
    page.emulate_media(media="print")
    assert page.locator(".agree:visible").count() == 2 * MOST
    assert page.locator(".full:visible").count() == MOST
