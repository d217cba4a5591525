"""The class over the term: what the page and its sheets say is what the gradebook holds, whoever is in the class."""

import csv
import itertools
import json
import re
import shutil
from collections.abc import Iterable
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree

import pytest

from pharmcalc.caution import CAUTION
from pharmcalc.classroom.cells import part_name
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.desk import over_the_term
from pharmcalc.classroom.issuing.issue import issue_assignment
from pharmcalc.classroom.marking.run import mark_class
from pharmcalc.classroom.results.overrides import change_mark
from pharmcalc.classroom.results.picture import ABSENT, MARKED, Part, Picture, Row
from pharmcalc.classroom.roster import Roster, Student, read_roster
from pharmcalc.classroom.term.gather import Term, share_of, take_term
from pharmcalc.classroom.term.heatmap import MOST_COLUMNS, MOST_STUDENTS, sheets_of
from pharmcalc.classroom.term.lessons import BY_FAMILY, BY_SUBJECT, LESSONS, lesson_for
from pharmcalc.classroom.term.lookings import frequent_mistakes, needing_help, progress, quartiles
from pharmcalc.classroom.term.shades import SHADES, shade_of
from pharmcalc.classroom.term.term_page import term_page, write_term
from pharmcalc.tasks.family import FAMILIES
from pharmcalc.tasks.house import default_house_rules_text
from pharmcalc.tasks.papers import read_issue
from tests.classroom.building import PROJECT, answered, assignment, gradebook_rows, hand_in, write_course

if TYPE_CHECKING:
    from playwright.sync_api import Page

FAMILY = "least-weighable-quantity"
WEEKS = {"week-2": (FAMILY, "percentage-wv"), "week-1": (FAMILY,), "week-3": (FAMILY,)}
"""In the order in which they are marked; the last is issued and never marked."""
NUMBERS = ("A-01", "A-02", "A-03", "A-04")
HOSTILE = (
    "<img src=x onerror=alert(1)>",
    "$x$ $\\frac{1}{2}$",
    "--> ]]> &amp; \"'",
    "李 小龍 Ωμέγα",
    "bell\x07\nline",
    "=1+1",
)


def slip(release: dict[str, Any], number: str) -> str:
    """Return an answer to the first task with its first known mistake."""
    task = read_issue(release).paper(number, 1).task("q1")
    (asked,) = task.asked
    return f"{asked.said} = {task.typed(asked, task.mistakes_of(asked)[0].evaluate(task.values))}"


@pytest.fixture(scope="module")
def marked_course(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Mark two weeks of four students: A-01 makes a mistake in both, A-02 in one, A-04 hands in nothing.

    A third week is issued; nothing of it is marked.
    """
    root = write_course(tmp_path_factory.mktemp("term") / "course", "week-1", WEEKS["week-1"], NUMBERS)
    rules = default_house_rules_text()
    for name in ("week-2", "week-3"):
        folder = root / "solutions" / name
        folder.mkdir()
        nb = assignment(name, WEEKS[name], rules, by_hand=name == "week-2")
        (folder / f"{name}.ipynb").write_text(json.dumps(nb).replace(json.dumps(rules)[1:-1], ""), encoding="utf-8")
    course = Course.open(root)
    roster = read_roster(course.class_list)
    for name in WEEKS:
        issue_assignment(course, name, roster)
    for name in ("week-2", "week-1"):
        release = json.loads(course.release(name).read_text(encoding="utf-8"))
        wrong = {"week-2": ("A-01", "A-02"), "week-1": ("A-01",)}[name]
        for number in NUMBERS[:3]:
            answers = {"q1": slip(release, number)} if number in wrong else {}
            made = answered(release, number, answers)
            if number == "A-03":
                next(c for c in made["cells"] if c["id"] == "explain-1")["source"] = "As a share it grows."
            hand_in(root, name, number, made)
        mark_class(course, name, roster)
    return root


@pytest.fixture
def course(marked_course: Path, tmp_path: Path) -> Course:
    """Give a test its own copy."""
    root = tmp_path / "course"
    shutil.copytree(marked_course, root)
    return Course.open(root)


def taken(course: Course) -> Term:
    """Gather a course's term."""
    return take_term(course, read_roster(course.class_list))


def invented(students: Iterable[tuple[str, str]], weeks: int = 1, parts: int = 2) -> Term:
    """Return a term in which every student has all marks of the first task and half of each other, with a mistake."""
    people = tuple(Student(number, surname, "G") for number, surname in students)
    tasks = tuple(Part(f"q{n}", "t", 2, by_hand=False, family=FAMILY) for n in range(1, parts + 1))
    scores = {part.name: 1.0 + (part.name == "q1") for part in tasks}
    pictures = [
        Picture(
            f"w-{week}",
            f"Week {week}",
            tasks,
            tuple(Row(one, MARKED, dict(scores), cleared={"q1": True}, mistakes={"q2": ["m"]}) for one in people),
            {"m": "A <b>mistake</b> for $5$"},
            (),
        )
        for week in range(weeks)
    ]
    return Term(people, tuple(pictures))


def in_gradebook(course: Course) -> dict[tuple[str, str, str], tuple[float, bool]]:
    """Return marks by student, assignment and task as the gradebook's own rows hold them, and whether a look is due."""
    rows = [row for row in gradebook_rows(course.gradebook) if len(row) == 7]
    return {
        (number, name, part_name(cell)): (by_hand if by_hand is not None else auto or 0.0, bool(due))
        for number, name, cell, auto, by_hand, _, due in rows
    }


def said(score: tuple[float, bool]) -> str:
    """Return what a page shows for marks."""
    return "hand" if score[1] else f"{score[0]:g}"


def svgs(page: str) -> list[ElementTree.Element]:
    """Return the page's figures; a figure that is not well formed fails."""
    return [ElementTree.fromstring(found) for found in re.findall(r"<svg.*?</svg>", page, re.DOTALL)]


def shown_in(figure: ElementTree.Element) -> dict[str, list[str]]:
    """Return the numbers and words beside each linked name of a heat map, from left to right."""
    links = {link.attrib["href"].removeprefix("#student-"): link[0] for link in figure.iter("a")}
    texts = [(float(t.attrib["x"]), float(t.attrib["y"]), t.text or "") for t in figure.iter("text") if "x" in t.attrib]
    found = {}
    for number, name in links.items():
        x, y = float(name.attrib["x"]), float(name.attrib["y"])
        found[number] = [text for at, high, text in sorted(texts) if abs(high - y) < 4 and at > x]
    return found


def rows_of_tables(page: str) -> dict[str, list[list[str]]]:
    """Return the cells of each row of the tables of marks, by the student it begins with."""
    found: dict[str, list[list[str]]] = {}
    for table in re.findall(r'<table class="marks">(.*?)</table>', page, re.DOTALL):
        for number, cells in re.findall(
            r'<tr><th scope="row"><a href="#student-([\w-]+)">.*?</th>(.*?)</tr>', table, re.S
        ):
            found.setdefault(number, []).append([unescape(c) for c in re.findall(r"<td[^>]*>(.*?)</td>", cells, re.S)])
    return found


def lines(path: Path) -> list[dict[str, str]]:
    """Return a sheet's lines by column."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_figure_table_and_sheet_say_what_the_gradebook_holds(course: Course) -> None:
    """Every mark, also one changed by hand; what awaits a hand mark and who handed in nothing is said in words."""
    change_mark(course, "week-2", "A-02", "q1", 0.5, reason="a unit", by="MK")
    page, marks, _ = write_term(course, taken(course))
    text = page.read_text(encoding="utf-8")
    held = in_gradebook(course)
    assert held["A-02", "week-2", "q1"] == (0.5, False)
    assert held["A-03", "week-2", "explain-1"][1]
    (figure,) = [one for one in svgs(text) if one.attrib["role"] == "group"]
    tasks = {"week-2": ("q1", "q2", "explain-1"), "week-1": ("q1", "explain-1")}
    for number in NUMBERS[:3]:
        expected = []
        for name, parts in tasks.items():
            scores = [held[number, name, part] for part in parts]
            expected += [*map(said, scores), f"{sum(score for score, _ in scores):g}"]
        assert shown_in(figure)[number] == expected
        assert rows_of_tables(text)[number] == [expected]
    assert shown_in(figure)["A-04"] == [ABSENT, ABSENT]
    assert rows_of_tables(text)["A-04"] == [[ABSENT, ABSENT]]
    sheet = {(one["number"], one["assignment"], one["task"]): one for one in lines(marks)}
    assert len(sheet) == 4 * (3 + 2 + 1)
    for key, line in sheet.items():
        expected_marks = "" if key not in held or held[key][1] else f"{held[key][0]:g}"
        assert line["marks"] == expected_marks
        assert line["state"] == (
            "to mark by hand" if key in held and held[key][1] else MARKED if key in held else ABSENT
        )


def test_a_mistake_made_again_is_found(course: Course) -> None:
    """Who made it in two assignments comes first in the list of those who need help; with the lesson to go back to."""
    term = taken(course)
    (mistake,) = frequent_mistakes(term)
    assert mistake.students == ("A-01", "A-02")
    assert mistake.again == ("A-01",)
    assert mistake.by_assignment == {"week-2": ("A-01", "A-02"), "week-1": ("A-01",)}
    first, second = needing_help(term)
    assert (first.student.number, first.again) == ("A-01", ((mistake.name, ("week-2", "week-1")),))
    assert (second.student.number, second.again) == ("A-02", ())
    assert first.lessons == ("Lesson 3: The least weighable quantity",)
    page, _, mistakes = write_term(course, term)
    assert [(one["number"], one["assignment"], one["in how many assignments"]) for one in lines(mistakes)] == [
        ("A-01", "week-2", "2"),
        ("A-02", "week-2", "1"),
        ("A-01", "week-1", "2"),
    ]
    text = unescape(page.read_text(encoding="utf-8"))
    assert f"{mistake.name} (week-2, week-1)" in text
    assert f"{mistake.name}: 2 (week-2 2, week-1 1)" in text
    assert CAUTION in text


def test_progress_counts_what_is_marked(course: Course) -> None:
    """The share leaves out what awaits a hand mark; median and clearance are of those who are marked."""
    held = in_gradebook(course)
    first, second = progress(taken(course))
    assert [first.assignment, second.assignment] == ["week-2", "week-1"]
    assert (first.handed_in, first.marked) == (3, 3)
    assert (first.cleared, second.cleared) == (1, 2)
    for step, parts in ((first, ("q1", "q2")), (second, ("q1",))):
        for number in ("A-01", "A-02"):  # they wrote nothing in the written question: no marks, nothing to wait for
            got = sum(held[number, step.assignment, part][0] for part in parts)
            assert step.shares[number] == got / (2 * len(parts) + 2)
        got = sum(held["A-03", step.assignment, part][0] for part in parts)
        assert step.shares["A-03"] == got / (2 * len(parts)) == 1
        assert step.middle == sorted(step.shares.values())[1]


def test_a_penalty_counts_and_what_awaits_a_hand_mark_does_not() -> None:
    """3 of 4 marks, 1 off for being late, 2 more to be marked by hand: half of the marks."""
    parts = (Part("q1", "t", 4, by_hand=False), Part("e", "w", 2, by_hand=True))
    row = Row(Student("A-1", "S", "G"), MARKED, {"q1": 3.0, "e": 0.0}, penalty=1.0, to_mark=["e"])
    assert share_of(Picture("w", "W", parts, (row,), {}, ()), row) == 0.5


@pytest.mark.parametrize("shares", [[0.4], [0.1, 0.9], [0.1, 0.2, 0.2, 0.9], [0.3, 0.1, 0.7, 0.5, 1.0, 0.0]])
def test_quartiles_are_those_of_everybody(shares: list[float]) -> None:
    """As another library has them."""
    import numpy as np

    assert quartiles(shares) == pytest.approx(tuple(np.percentile(shares, [25, 50, 75])))


def test_an_assignment_that_is_not_marked_stops_nothing(course: Course) -> None:
    """It is named with how many handed in; one that cannot be read is left out with the reason."""
    shutil.copytree(course.issued("week-3"), course.issued("week-4"))
    shutil.copytree(course.release("week-3").parent, course.release("week-4").parent)
    course.release("week-4").with_name("week-3.ipynb").rename(course.release("week-4"))
    shutil.copytree(course.solution("week-3").parent, course.solution("week-4").parent)
    course.solution("week-4").with_name("week-3.ipynb").rename(course.solution("week-4"))
    term = taken(course)
    assert [one.assignment for one in term.pictures] == ["week-2", "week-1"]
    assert [one.assignment for one in term.waiting] == ["week-3"]
    assert "not in the gradebook" in term.left_out["week-4"]
    text = term_page(term)
    assert "(week-3): issued, 0 of 4 handed in, nothing marked yet." in text
    assert "week-4 is left out:" in text


def test_the_gradebook_is_opened_once_and_each_notebook_read_once(
    course: Course, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However many assignments there are; and the watcher is told of each student in each of them."""
    import nbgrader.api

    from pharmcalc.classroom.results import picture

    opened, read, seen = [], [], []
    gradebook, read_marked = nbgrader.api.Gradebook, picture.read_marked
    monkeypatch.setattr(nbgrader.api, "Gradebook", lambda url: opened.append(url) or gradebook(url))
    monkeypatch.setattr(picture, "read_marked", lambda *at: read.append(at[1:]) or read_marked(*at))
    take_term(course, read_roster(course.class_list), seen.append)
    assert len(opened) == 1
    assert sorted(read) == sorted((week, number) for week in ("week-1", "week-2") for number in NUMBERS[:3])
    assert len(seen) == 3 * len(NUMBERS)


def test_a_student_is_led_to(course: Course) -> None:
    """Every link leads to a section of its own; a page of the competency record is linked where there is one."""
    record = course.reports("term") / "students" / "A-02.html"
    record.parent.mkdir(parents=True)
    record.write_text("", encoding="utf-8")
    page, *_ = write_term(course, taken(course))
    text = page.read_text(encoding="utf-8")
    ids = re.findall(r'id="([^"]+)"', text)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'href="#([^"]+)"', text)) <= set(ids)
    assert {f"student-{number}" for number in NUMBERS} <= set(ids)
    assert re.findall(r'href="(students/[^"]+)"', text) == ["students/A-02.html"]
    section = unescape(text.partition('id="student-A-01"')[2].partition("</section>")[0])
    assert "attempt 1:" in section
    assert frequent_mistakes(taken(course))[0].name in section


def test_names_are_only_shown() -> None:
    """Markup, mathematics, other scripts and signs that no page can hold: text in tables and figures alike."""
    term = invented([(f"A-{n}", name) for n, name in enumerate(HOSTILE)])
    page = term_page(term)
    assert "<img" not in page
    assert "<b>mistake" not in page
    (figure,) = [one for one in svgs(page) if one.attrib["role"] == "group"]
    texts = ["".join(link.itertext()) for link in figure.iter("a")]
    assert texts[1] == "A-1 $x$ $\\frac{1}{2}$, G"
    assert texts[0] == "A-0 <img src=x onerror=alert(…"
    assert texts[3] == "A-3 李 小龍 Ωμέγα, G"
    assert "A <b>mistake</b> for $5$" in [text.text for one in svgs(page) for text in one.iter("text")]
    assert not re.search(r"https?:|<script|javascript:|target=", page)


def test_a_spreadsheet_computes_nothing(course: Course) -> None:
    """A surname that begins like a formula is text in both sheets."""
    _, *sheets = write_term(course, invented([("A-1", "=1+1")]))
    for path in sheets:
        assert {one["surname"] for one in lines(path)} == {"'=1+1"}


def test_the_same_data_give_the_same_bytes() -> None:
    """Whatever a machine's own settings of the plotting library say, and however often it is drawn."""
    import matplotlib

    term = invented([("A-1", "One"), ("A-2", "Two")], weeks=2)
    first = term_page(term)
    with matplotlib.rc_context({"font.size": 30, "svg.fonttype": "path", "lines.linewidth": 9}):
        assert term_page(term) == first


@pytest.mark.parametrize(
    "term",
    [
        Term((), ()),
        invented([]),
        Term((Student("A-1", "S", "G"),), ()),
        invented([("A-1", "S")]),
        invented([("A-1", "S")], weeks=9),
        Term(
            (Student("A-1", "S", "G"),),
            (),
            (Picture("w", "W", (Part("q1", "t", 2, by_hand=False),), (Row(Student("A-1", "S", "G")),), {}, ()),),
        ),
    ],
    ids=["nothing", "nobody", "nothing issued", "one assignment", "a whole year", "nobody handed in"],
)
def test_a_page_comes_of_little_too(term: Term) -> None:
    """An empty class, nothing issued, one assignment, nobody handed in: it says so, and the figures are whole."""
    page = term_page(term)
    assert page.count("<h2") == 5
    assert len([one for one in svgs(page) if one.attrib["role"] == "group"]) == len(list(sheets_of(term)))
    assert ("Nothing is marked yet." in page) == (not term.pictures)


def test_a_large_class_goes_on_in_another_figure() -> None:
    """Every student and assignment stands in one figure, and none is larger than a page."""
    term = invented([(f"A-{n}", "S") for n in range(95)], weeks=4, parts=9)
    sheets = list(sheets_of(term))
    assert sorted((place, one.assignment) for s in sheets for place in s.students for one in s.pictures) == sorted(
        (place, one.assignment) for place in range(95) for one in term.pictures
    )
    assert max(len(sheet.students) for sheet in sheets) == MOST_STUDENTS
    assert max(sum(len(one.parts) + 1 for one in sheet.pictures) for sheet in sheets) <= MOST_COLUMNS
    assert len(sheets) == 3 * 2


def test_the_shades_stay_apart_without_colour() -> None:
    """Each is clearly darker than the one before, and its number can be read on it."""

    def luminance(colour: str) -> float:
        parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))

    def contrast(one: str, other: str) -> float:
        dark, light = sorted((luminance(one), luminance(other)))
        return (light + 0.05) / (dark + 0.05)

    for lighter, darker in itertools.pairwise(SHADES):
        assert luminance(lighter.colour) > luminance(darker.colour)
        assert contrast(lighter.colour, darker.colour) > 1.25
    assert min(contrast(shade.colour, shade.ink) for shade in SHADES) >= 4.5
    assert [shade_of(share).name[1] for share in (1.2, 1, 0.999, 0.79, 0.49, 0, -1)] == list("4432100")


def test_every_kind_of_task_leads_to_a_lesson_that_is_there() -> None:
    """The lesson's title is the notebook's own; a task that some lesson lets practise leads to such a lesson."""
    texts = {}
    for path in sorted((PROJECT / "notebooks").glob("[01]*.ipynb")):
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        texts[int(path.name[:2])] = "\n".join("".join(cell["source"]) for cell in cells)
    for number, title in LESSONS.items():
        assert texts[number].startswith(f"# Lesson {number}: {title}\n")
    assert set(BY_SUBJECT) == {family.subject for family in FAMILIES.values()}
    assert set(BY_FAMILY) <= set(FAMILIES)
    for id in FAMILIES:
        practised = [number for number, text in texts.items() if number and f'practise("{id}"' in text]
        number = int(re.findall(r"\d+", lesson_for(id))[0])
        assert not practised or number in practised


def test_the_command_says_what_comes_again(course: Course, monkeypatch: pytest.MonkeyPatch) -> None:
    """How many assignments, what is not marked yet, the mistake made again, and where the page lies."""
    from io import StringIO

    from rich.console import Console

    from pharmcalc.classroom.desk.door import Terminal

    monkeypatch.chdir(course.root)
    told = StringIO()
    over_the_term.term(course, Terminal(Console(file=told, soft_wrap=True)))
    assert told.getvalue().startswith("4 students · 2 assignments marked\n  week-3: issued, nothing marked yet\n")
    assert f"Made in more than one assignment by 1: {frequent_mistakes(taken(course))[0].name}" in told.getvalue()
    assert "reports/term/class.html" in told.getvalue()


def test_without_any_assignment_it_is_still_a_page(course: Course) -> None:
    """A course that has just begun has an empty picture, not an error."""
    shutil.rmtree(course.root / "issued")
    term = take_term(course, Roster(()))
    assert (term.pictures, term.waiting, term.left_out) == ((), (), {})


@pytest.mark.browser
def test_the_page_is_accessible_and_fits_a_phone(course: Course, page: "Page") -> None:
    """No rule of the accessibility checker is broken with all tables open, and nothing hangs over a narrow screen."""
    from axe_playwright_python.sync_playwright import Axe

    written, *_ = write_term(course, taken(course))
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(written.as_uri())
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    result = Axe().run(page)
    assert result.violations_count == 0, result.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.get_by_role("link", name="A-02 SurnameA-02, GivenA-02").first.click()
    assert page.url.endswith("#student-A-02")
