"""The course in a browser alone: a card, a lesson, the bench and an assignment, up to the mark that it earns."""

import json
import re
import shutil
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from pharmcalc.bench import Session, file_name, record_text
from pharmcalc.classroom.cells import cells_by_id
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handed_in.takein import take_in
from pharmcalc.classroom.issuing.issue import issue_assignment
from pharmcalc.classroom.marking.run import mark_class
from pharmcalc.classroom.roster import read_roster
from pharmcalc.tasks.papers import answer_id, read_issue
from pharmcalc.widgets import PracticeCard
from tests.classroom.building import answered, gradebook_rows, write_course
from tools.site import contents

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = [pytest.mark.browser, pytest.mark.site]

NAME, STUDENT = "week-1", "A-01"
FAMILIES = ("least-weighable-quantity", "bench-weighing")
ALL_RUN = """() => {
    const panel = window.jupyterapp?.shell.currentWidget;
    const cells = panel?.content?.widgets?.filter((cell) => cell.model.type === "code");
    return cells?.length && cells.every((cell) => cell.model.executionCount !== null);
}"""
TROUBLE = """() => window.jupyterapp.shell.currentWidget.content.widgets
    .filter((cell) => cell.model.type === "code")
    .flatMap((cell) => cell.model.outputs.toJSON())
    .filter((output) => output.output_type === "error" || output.name === "stderr")
    .map((output) => output.evalue ?? output.text)"""
SAVED = "() => window.jupyterapp.shell.currentWidget.context.model.dirty === false"
UPLOAD = """([path, content]) => window.jupyterapp.restored.then(() =>
    window.jupyterapp.serviceManager.contents.save(path, { type: "notebook", format: "json", content }))"""
BENCH = {  # what is clicked: what that is in the record
    "Go to Balance 1": ("use balance", "Balance 1"),
    "Switch on": ("switch on", ""),
    "Open shield": ("open shield", ""),
    "Put on the weighing paper": ("put on", "weighing paper"),
    "Take jar A": ("take jar", "A"),
    "Open jar": ("open jar", ""),
    "Add a small scoop": ("add", "small scoop"),
}


def card(page: "Page", title: str) -> "Locator":
    """Return a card by the name under which a screen reader finds it, in sight."""
    found = page.get_by_role("group", name=title, exact=True)
    found.evaluate("card => card.scrollIntoView()")  # first: JupyterLab draws only what is in sight
    found.wait_for()
    return found


def test_from_the_first_page_to_a_judged_answer_with_the_keyboard_alone(page: "Page") -> None:
    """One link, and the card comes by itself: nothing has to be run, chosen or waited for."""
    right = PracticeCard("aliquot-plan").task.answer_lines()
    page.goto("index.html")
    page.get_by_role("link", name="Practise aliquots now").focus()
    page.keyboard.press("Enter")
    mine = card(page, "An aliquot plan for one amount")
    box, verdict = mine.get_by_role("textbox", name="Your answer"), mine.get_by_role("status").first
    for answer, told in (("multiple factor = 20", "Not cleared for the bench yet"), (right, "Marks: 12 of 12")):
        box.focus()
        page.keyboard.press("Control+a")
        page.keyboard.type(answer)
        mine.get_by_role("button", name="Check my working").focus()
        page.keyboard.press("Enter")
        verdict.get_by_text(told).wait_for()


def test_a_lesson_runs_and_its_picture_follows_the_arrow_keys(page: "Page") -> None:
    """Every check cell of Lesson 10 holds, and its simulation, for which numpy is missing, says that it stands in."""
    page.goto(f"lab/index.html?path={contents.LESSONS}/10_how_sure.ipynb&run")
    page.wait_for_function(ALL_RUN)
    assert page.evaluate(TROUBLE) == []
    mine = card(page, "6 mg of drug, made 200 times over")
    said = mine.get_by_role("status").first
    said.get_by_text("This picture is a stand-in: numpy").wait_for()
    slider = mine.get_by_role("slider", name="Aliquot, in mg")
    slider.focus()
    page.keyboard.press("ArrowRight")
    said.get_by_text("an aliquot of 130 mg").wait_for()


@pytest.fixture
def course(tmp_path: Path) -> Course:
    """Issue an assignment with an ordinary task and one at the bench."""
    root = write_course(tmp_path / "course", NAME, FAMILIES, [STUDENT], by_hand=False)
    made = Course.open(root)
    issue_assignment(made, NAME, read_roster(made.class_list))
    return made


def test_an_assignment_done_in_the_browser_is_graded_like_any_other(
    page: "Page", course: Course, tmp_path: Path
) -> None:
    """It is uploaded, answered, weighed, saved, found again after a reload, downloaded, taken in and marked."""
    release = json.loads(course.release(NAME).read_text(encoding="utf-8"))
    mine: dict[str, Any] = json.loads(json.dumps(release))
    cells_by_id(mine)["student"]["source"] = f"%%student\nstudent number = {STUDENT}\nattempt = 1"
    paper = read_issue(release).paper(STUDENT, 1)
    lines, order = paper.task("q1").answer_lines(), paper.task("q2").drawn.order
    assert order is not None

    page.goto("lab/index.html")
    page.wait_for_function("window.jupyterapp?.restored.then(() => true)")
    page.evaluate(UPLOAD, [f"{NAME}.ipynb", mine])
    page.goto(f"lab/index.html?path={NAME}.ipynb&run")
    page.wait_for_function(ALL_RUN)
    place = [cell["id"] for cell in mine["cells"]].index(answer_id("q1"))
    page.locator(".jp-Notebook .jp-Cell").nth(place).locator(".cm-content").click()
    page.keyboard.press("Control+a")
    page.keyboard.type(f"%%answer q1\n{lines}")
    page.keyboard.press("Shift+Enter")
    page.get_by_text("read as").first.wait_for()

    bench, weighing = card(page, "The simulated bench"), Session(order)
    for name, (action, what) in BENCH.items():
        done = weighing.act(action, what)
        bench.get_by_role("button", name=name, exact=True).click()
        bench.locator(".pc-said").get_by_text(done.said).wait_for()  # it is kept before it is said
    page.keyboard.press("Control+s")
    page.wait_for_function(SAVED)

    page.goto(f"lab/index.html?path={NAME}.ipynb&run")  # as on another day
    card(page, "The simulated bench").get_by_text("You go on where you left off").wait_for()
    page.get_by_text(lines).first.wait_for(state="attached")
    handed_in = tmp_path / "downloads"
    for name in (f"{NAME}.ipynb", file_name("q2")):
        page.get_by_role("listitem", name=re.compile(re.escape(name))).click(button="right")
        with page.expect_download() as download:
            page.get_by_role("menuitem", name="Download", exact=True).click()
        download.value.save_as(handed_in / name)

    local = tmp_path / "local"
    shutil.copytree(course.root, local / "course")
    by_hand = local / "downloads"
    by_hand.mkdir()
    (by_hand / f"{NAME}.ipynb").write_text(json.dumps(answered(release, STUDENT, {"q1": lines})), encoding="utf-8")
    (by_hand / file_name("q2")).write_text(record_text(weighing), encoding="utf-8")
    assert graded(course, handed_in) == graded(Course.open(local / "course"), by_hand)


def graded(course: Course, folder: Path) -> list[tuple[Any, ...]]:
    """Take a folder in, mark it, and return what stands in the gradebook."""
    roster = read_roster(course.class_list)
    taken = take_in(course, NAME, folder, roster)
    assert taken.refused == []
    mark_class(course, NAME, roster)
    rows = gradebook_rows(course.gradebook)
    assert any(row[3] for row in rows[: len(FAMILIES)]), "nothing earned a mark"
    return rows
