"""The instructor's desk: what the command line does, clicked; errors are sentences and nothing typed is lost."""

import json
import re
import shutil
import zipfile
from dataclasses import replace
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest

from pharmcalc.__main__ import pharmcalc
from pharmcalc.bench import SIMULATED
from pharmcalc.caution import CAUTION
from pharmcalc.classroom.desk import setting_up
from pharmcalc.classroom.desk.door import Door
from pharmcalc.classroom.drawers import desk_view
from pharmcalc.classroom.drawers.desk_drawer import Drawer
from pharmcalc.classroom.drawers.desk_parts import in_clicks, link, progress_words
from pharmcalc.classroom.drawers.desk_tables import class_picture, one_student
from pharmcalc.classroom.drawers.desk_view import DeskView, open_desk
from pharmcalc.widgets.markup import Shown
from tests.classroom.building import PROJECT, answered, gradebook_rows, write_course
from tests.classroom.conftest import FAMILIES, NAME, NUMBERS, Classroom

DONE_WITH = {
    "class": ("Class list", "Read the class list"),
    "issue": ("Issue", f"Issue {NAME}"),
    "take-in": ("Take in", "Take them in"),
    "take-back": ("Take in", "Take back from this student"),
    "due": ("Issue", "Set the deadline"),
    "resit": ("Issue", "Make a resit"),
    "mark": ("Mark", f"Mark {NAME}"),
    "report": ("Mark", "Write pages anew"),
    "term": ("Class picture", "Write the class over the term"),
    "change": ("Change a mark", "Change the mark"),
    "scripts": ("Class picture", "Lay scripts side by side"),
    "observe": ("Competencies", "Write it down"),
    "record": ("Competencies", "Write the pages of the term"),
    "sheets": ("Paper", "Write the pages to print"),
    "paper": ("Paper", "Find the key"),
    "type-in": ("Paper", "Take the lines in"),
    "exercises": ("Workshop", "Make exercises anew"),
    "upgrade": ("Workshop", "Upgrade the course's files"),
    "start": ("", "Lay out a new course"),
    "demo": ("", "Try an invented class"),
}
HOSTILE = "<img src=x onerror=alert(1)>"


def press(place: Any, words: str) -> str:
    """Press the button with these words in a drawer, and return what is told there."""
    (found,) = [one for one in widgets(place) if getattr(one, "description", "") == words and hasattr(one, "click")]
    found.click()
    return str(place.place.text)


def widgets(place: Any) -> list[Any]:
    """Return a widget and everything inside it."""
    return [place, *(one for child in getattr(place, "children", ()) for one in widgets(child))]


def opened(view: DeskView, title: str) -> Drawer:
    """Open a drawer."""
    drawer = view.drawer(title)
    if not drawer.is_open:
        drawer.handle.click()
    return drawer


def html_of(place: Any) -> str:
    """Return everything that is shown in a place."""
    shown = [getattr(one, "value", "") for one in widgets(place) if type(one).__name__ == "HTML"]
    outputs = [output for one in widgets(place) for output in getattr(one, "outputs", ())]
    return "".join([*shown, *(output["data"]["text/html"] for output in outputs)])


def chosen(name: str, content: bytes) -> dict[str, Any]:
    """Return a file as a browser hands it over."""
    when = datetime(2026, 3, 9, 17, 30, tzinfo=UTC)
    return {"name": name, "type": "", "size": len(content), "content": memoryview(content), "last_modified": when}


def zipped(files: dict[str, str]) -> bytes:
    """Return a zip with these files."""
    made = BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for name, text in files.items():
            archive.writestr(name, text)
    return made.getvalue()


@pytest.fixture
def view(classroom: Classroom, monkeypatch: pytest.MonkeyPatch) -> DeskView:
    """Open the desk of a course that is issued, from the notebook in its folder."""
    monkeypatch.chdir(classroom.course.root)
    return open_desk()


@pytest.fixture
def marked(classroom: Classroom, view: DeskView) -> DeskView:
    """The same, with three hand-ins marked; A-02 wrote nonsense."""
    classroom.hand_in("A-01")
    classroom.hand_in("A-02", answers={"q1": "least weighable quantity = 1 mg"})
    classroom.hand_in("A-03", b"{")
    press(view.drawer("Mark"), f"Mark {NAME}")
    return view


def test_a_week_is_clicked_in_order(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Class list, issue, take in, mark, picture, feedback, a mark changed, paper: the fronts say how it stands."""
    root = write_course(tmp_path / "course", NAME, FAMILIES, NUMBERS)
    monkeypatch.chdir(root)
    view = open_desk()
    stands = {drawer.title: drawer.front for drawer in view.drawers}
    assert "not issued yet" in stands["Issue"].value

    assert "6 students · 6 new" in press(opened(view, "Class list"), "Read the class list")
    assert "SurnameA-04, GivenA-04" in html_of(view.drawer("Class list"))
    assert "· issued · 2 tasks" in press(opened(view, "Issue"), f"Issue {NAME}")
    assert ">issued<" in stands["Issue"].value

    release = json.loads((root / "exercises" / NAME / f"{NAME}.ipynb").read_text(encoding="utf-8"))
    parcel = {f"{number}.ipynb": json.dumps(answered(release, number)) for number in ("A-01", "A-02")}
    (root / "a.zip").write_bytes(zipped({**parcel, "A-03.ipynb": ""}))
    take = opened(view, "Take in")
    take.source.value = "a.zip"  # type: ignore[attr-defined]
    told = press(take, "Take them in")
    assert told.startswith("2 taken in · 1 set aside")
    assert 'Next: "Mark" at this desk' in told
    assert "2 of 6 taken in" in stands["Take in"].value
    assert "the file is empty" in html_of(take.inside)
    assert html_of(take.inside).count("<td>not handed in</td>") == 3

    told = press(opened(view, "Mark"), f"Mark {NAME}")
    assert "3 handed in of 6 · marked 2/3" in told
    assert "2 cleared for the bench" in told
    assert "2 of 2 marked" in stands["Mark"].value

    picture = html_of(opened(view, "Class picture").inside)
    assert f'<a href="reports/{NAME}/report.html">' in picture
    assert '<th scope="row">A-01 SurnameA-01, GivenA-01</th><td>14</td><td>yes</td><td>2</td><td>12</td>' in picture

    student = opened(view, "One student")
    assert "A-01 SurnameA-01, GivenA-01: 14 of 16 marks, cleared for the bench" in html_of(student)
    assert "Feedback for student A-01, attempt 1." in html_of(student)

    change = opened(view, "Change a mark")
    change.marks.value, change.reason.value, change.by.value = "1", "a unit", "MK"  # type: ignore[attr-defined]
    assert "A-01 q1: 1 marks, not 2 (MK: a unit)" in press(change, "Change the mark")
    assert "1 changed by hand" in stands["Change a mark"].value
    assert "A-01 SurnameA-01, GivenA-01: 13 of 16 marks" in html_of(student)
    assert "Feedback pages written: 2" in press(change, "Write pages anew")
    assert "a unit" in html_of(student)
    press(change, "Back to the marking's own")
    assert "0 changed by hand" in stands["Change a mark"].value

    told = press(opened(view, "Paper"), "Write the pages to print")
    assert "sign-off list: " in told
    assert {"sheets.html", "key.html", "sign-off.html"} <= {one.name for one in (root / "reports" / NAME).iterdir()}


def test_every_command_can_be_clicked(view: DeskView) -> None:
    """What the command line learns, the desk must learn as well."""
    assert set(DONE_WITH) == set(pharmcalc.commands)
    for drawer, words in DONE_WITH.values():
        place = view.drawer(drawer) if drawer else view.which
        assert words in [getattr(one, "description", "") for one in widgets(place)]


def test_no_two_buttons_of_a_drawer_have_the_same_name(view: DeskView) -> None:
    """Who hears the names only must know which button it is."""
    for drawer in view.drawers:
        names = [one.description for one in widgets(drawer) if type(one).__name__ in ("Button", "FileUpload")]
        assert len(names) == len(set(names))


@pytest.mark.parametrize("words", ["class a.csv", f"issue {NAME}", f"take-in {NAME} a.zip", f"mark {NAME}", "start X"])
def test_a_command_in_a_sentence_is_named_by_what_is_pressed(words: str) -> None:
    """Whoever clicks is not sent to the terminal."""
    told = in_clicks(f"Do it first: pharmcalc {words}")
    assert told.endswith(" at this desk")
    assert "pharmcalc" not in told


def test_a_second_click_changes_nothing(marked: DeskView, classroom: Classroom) -> None:
    """Whoever presses twice has the same gradebook, and is told so."""
    change = opened(marked, "Change a mark")
    change.marks.value, change.reason.value, change.by.value = "1", "a unit", "MK"  # type: ignore[attr-defined]
    press(change, "Change the mark")
    before = gradebook_rows(classroom.course.gradebook), (classroom.course.root / "overrides.csv").read_bytes()
    assert "unchanged" in press(opened(marked, "Issue"), f"Issue {NAME}")
    assert "(2 from before)" in press(opened(marked, "Mark"), f"Mark {NAME}")
    assert "stand already. Nothing was changed." in press(change, "Change the mark")
    press(opened(marked, "Paper"), "Write the pages to print")
    assert (
        gradebook_rows(classroom.course.gradebook),
        (classroom.course.root / "overrides.csv").read_bytes(),
    ) == before


@pytest.mark.parametrize(
    ("marks", "reason", "by", "cure"),
    [
        ("two", "a unit", "MK", "Write a number such as 1.5"),
        ("9", "a unit", "MK", "give 0 to 2"),
        ("nan", "a unit", "MK", "give 0 to 2"),
        ("1", " ", "MK", "needs a reason"),
        ("1", "a unit", "", "who decided?"),
    ],
)
def test_a_slip_is_a_sentence_and_nothing_typed_is_lost(
    marked: DeskView, marks: str, reason: str, by: str, cure: str
) -> None:
    """It stands below the buttons, says what to do, and leaves the form and the student as they were."""
    change: Any = opened(marked, "Change a mark")
    change.at.students.value, change.task.value = "A-02", "q1"
    change.marks.value, change.reason.value, change.by.value = marks, reason, by
    told = press(change, "Change the mark")
    assert told.startswith("Not done. ")
    assert cure in told
    assert (change.marks.value, change.reason.value, change.by.value) == (marks, reason, by)
    assert (change.at.students.value, change.task.value) == ("A-02", "q1")


def test_a_path_that_leads_nowhere_is_a_sentence(view: DeskView) -> None:
    """Of hand-ins, of a class list; and an empty line is not the course folder itself."""
    take: Any = opened(view, "Take in")
    assert "Nothing is written in the line" in press(take, "Take them in")
    take.source.value = "nowhere.zip"
    assert "there is nothing there" in press(take, "Take them in")
    assert take.source.value == "nowhere.zip"
    listed: Any = opened(view, "Class list")
    listed.file.value = "nowhere.csv"
    assert "there is no such file" in press(listed, "Read the class list")


def test_what_must_come_first_is_named(view: DeskView, classroom: Classroom) -> None:
    """Without a class list, and before the issue, the drawers say what to press."""
    classroom.course.class_list.unlink()
    assert '"Class list" at this desk' in press(view.drawer("Issue"), f"Issue {NAME}")
    view.drawer("Class list").handle.click()
    assert "there is no class list yet" in html_of(view.drawer("Class list").inside)


def test_another_issue_asks_twice(view: DeskView, classroom: Classroom) -> None:
    """A changed assignment is not issued by itself; the second question says what it would do."""
    solution = classroom.course.solution(NAME)
    solution.write_text(
        solution.read_text(encoding="utf-8").replace("# A test assignment", "# Another"), encoding="utf-8"
    )
    before = classroom.course.release(NAME).read_bytes()
    issue: Any = opened(view, "Issue")
    told = press(issue, f"Issue {NAME}")
    assert "would change now" in told
    assert '"Issue again" at this desk' in told
    assert "press Yes, issue it again" in press(issue, "Issue again")
    assert classroom.course.release(NAME).read_bytes() == before
    assert "· issued ·" in press(issue, "Yes, issue it again")
    assert classroom.course.release(NAME).read_bytes() != before
    assert issue.again.description == "Issue again"


def test_a_hand_in_is_taken_back_after_a_second_question(marked: DeskView, classroom: Classroom) -> None:
    """One press takes nobody's marks, and another student is asked about anew."""
    drawer = opened(marked, "Take in")
    drawer.at.students.value = "A-01"
    drawer.by.value = "MK"  # type: ignore[attr-defined]
    assert "marks, feedback page and attempts of A-01 go" in press(drawer, "Take back from this student")
    assert classroom.course.submitted(NAME, "A-01").is_file()
    drawer.at.students.value = "A-02"
    press(drawer, "Take back from this student")
    assert "Taken back from A-02" in press(drawer, "Yes, take it back")
    assert not classroom.course.submitted(NAME, "A-02").exists()
    assert classroom.course.submitted(NAME, "A-01").is_file()
    press(drawer, "Take back from this student")
    assert "A-02 has handed in nothing" in press(drawer, "Yes, take it back")


def test_exercises_are_made_anew_after_a_second_question(view: DeskView) -> None:
    """The folder is what the marking follows, so one press is not enough."""
    workshop = opened(view, "Workshop")
    assert "Every assignment is made anew" in press(workshop, "Make exercises anew")
    assert "up to date" in press(workshop, "Yes, make exercises anew")


def test_files_can_be_chosen_in_the_browser(view: DeskView, classroom: Classroom) -> None:
    """A zip and a notebook together; a class list. What a name says of folders leads nowhere."""
    take: Any = opened(view, "Take in")
    one, two = (json.dumps(answered(classroom.release, number)) for number in ("A-01", "A-02"))
    take.upload.value = (chosen("a.zip", zipped({"A-01.ipynb": one})), chosen("../../A-02.ipynb", two.encode()))
    assert take.place.text.count("1 taken in") == 2
    assert take.upload.value == ()
    assert classroom.course.handed_in(NAME) == ["A-01", "A-02"]
    listed: Any = opened(view, "Class list")
    listed.upload.value = (chosen("mine.csv", b"number;surname;given name;large print\nB-01;One;Ann;yes\n"),)
    assert '<p class="pc-soft">1 student</p>' in html_of(listed)
    assert "large print: yes" in html_of(listed.inside)


def test_the_newest_of_two_chosen_files_counts(view: DeskView, classroom: Classroom) -> None:
    """The browser's own time of a file is kept."""
    old, new = (json.dumps(answered(classroom.release, "A-01", {"q1": f"x = {n} mg"})) for n in (1, 2))
    later = chosen("A-01.ipynb", new.encode()) | {"last_modified": datetime(2026, 3, 10, tzinfo=UTC)}
    view.drawer("Take in").upload.value = (later, chosen("A-01 (1).ipynb", old.encode()))  # type: ignore[attr-defined]
    assert "x = 2 mg" in classroom.course.submitted(NAME, "A-01").read_text(encoding="utf-8")


def test_what_people_typed_is_only_shown(view: DeskView, classroom: Classroom) -> None:
    """Names, files and answers with markup in them are text everywhere at the desk."""
    lines = f"number,surname,given name,extra time\nA-01,{HOSTILE},Ann,{HOSTILE}\nA-02,Two,Bo,\n"
    classroom.course.class_list.write_text(lines, encoding="utf-8")
    hand_in = json.dumps(answered(classroom.release, "A-01", {"q1": f"least weighable quantity = {HOSTILE}"}))
    parcel = zipped({"A-01.ipynb": hand_in, f"{HOSTILE}.ipynb": "", f"{HOSTILE}A-02.ipynb": ""})
    for drawer in view.drawers:
        opened(view, drawer.title)
    press(view.drawer("Class list"), "Read the class list")
    view.drawer("Take in").upload.value = (chosen("a.zip", parcel),)  # type: ignore[attr-defined]
    press(view.drawer("Mark"), f"Mark {NAME}")
    change: Any = view.drawer("Change a mark")
    change.marks.value, change.reason.value, change.by.value = "1", HOSTILE, HOSTILE
    press(change, "Change the mark")
    press(change, "Write pages anew")
    press(view.drawer("Paper"), "Write the pages to print")
    shown = html_of(view)
    assert shown.count("&lt;img src=x onerror=alert(1)&gt;") > 5
    assert "<img" not in shown
    assert 'sandbox=""' in shown


def test_an_error_nobody_expected_is_one_sentence(view: DeskView, monkeypatch: pytest.MonkeyPatch) -> None:
    """The details go to a file in the course folder; the desk goes on."""
    monkeypatch.setattr("pharmcalc.classroom.desk.handing_out.issue", lambda *_, **__: 1 / 0)
    told = press(opened(view, "Issue"), f"Issue {NAME}")
    assert told.startswith("Not done. Something went wrong")
    assert "ZeroDivisionError" in Path("pharmcalc-error.txt").read_text(encoding="utf-8")
    monkeypatch.undo()


def test_a_gradebook_that_cannot_be_read_is_a_sentence_in_the_drawer(marked: DeskView, classroom: Classroom) -> None:
    """Opening a drawer is no press of a button, and shows no traceback either."""
    classroom.course.gradebook.write_bytes(b"no gradebook" * 1000)
    marked.drawer("Class picture").at.forget()
    assert "Something went wrong" in html_of(opened(marked, "Class picture").inside)
    assert Path("pharmcalc-error.txt").is_file()


def test_marks_of_the_simulated_bench_are_named_so(classroom: Classroom) -> None:
    """A simulated weighing is never taken for an observed one, at the desk either."""
    classroom.hand_in("A-01")
    classroom.mark()
    picture = classroom.picture()
    assert "imulated" not in class_picture(picture).text
    first, *rest = picture.parts
    at_the_bench = replace(picture, parts=(replace(first, simulated=True), *rest))
    assert "q1 (simulated) (2)" in class_picture(at_the_bench).html
    assert SIMULATED in class_picture(at_the_bench).text
    assert "q1 (simulated): " in one_student(at_the_bench, picture.rows[0]).text


def test_another_assignment_clears_what_was_told(marked: DeskView, classroom: Classroom) -> None:
    """Each assignment has its own state; nothing of the one before stays in sight."""
    folder = classroom.course.root / "solutions" / "week-2"
    folder.mkdir()
    (folder / "week-2.ipynb").write_bytes(classroom.course.solution(NAME).read_bytes())
    press(marked.drawer("Paper"), "Write the pages to print")
    at = marked.drawer("Mark").at
    assert at.assignments.options == ((NAME, NAME), ("week-2", "week-2"))
    at.assignments.value = "week-2"
    assert marked.drawer("Mark").place.text == ""
    assert "0 of 0 marked" in marked.drawer("Mark").front.value
    assert "not issued yet" in marked.drawer("Issue").front.value
    assert "nothing was issued there" in html_of(opened(marked, "Class picture").inside)


def test_a_page_beside_the_notebook_is_a_link_and_any_other_its_path(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A link that leads nowhere is worse than a path to read."""
    for place in ("here/a page.html", "away.html", "here/gradebook.db"):
        (tmp_path / place).parent.mkdir(exist_ok=True)
        (tmp_path / place).touch()
    monkeypatch.chdir(tmp_path / "here")
    assert link(tmp_path / "here" / "a page.html").html == '<a href="a%20page.html">a page.html</a>'
    assert link(tmp_path / "away.html").html == f"<code>{tmp_path / 'away.html'}</code>"
    assert "<a" not in link(tmp_path / "here" / "missing.html").html
    assert "<a" not in link(tmp_path / "here" / "gradebook.db").html


def test_the_class_over_the_term_is_one_press_away(marked: DeskView) -> None:
    """Page and sheets are links where the class picture is; opened again, the drawer still leads to the page."""
    place: Any = opened(marked, "Class picture")
    told = press(place, "Write the class over the term")
    assert told.startswith("6 students · 1 assignment marked")
    assert '<a href="reports/term/class.html">' in html_of(place)
    assert '<a href="reports/term/mistakes.csv">' in html_of(place)
    place.place.show(Shown("", ""))
    place.refresh()
    assert html_of(place).count('<a href="reports/term/class.html">') == 1


def test_progress_is_told_in_words(marked: DeskView) -> None:
    """From nothing to all, and the words go when it is done; a run of no length names no time."""
    mark: Any = marked.drawer("Mark")
    told: list[str] = []
    bar: list[int] = []
    mark.words.observe(lambda change: told.append(change["new"]), "value")
    mark.bar.observe(lambda change: bar.append(change["new"]), "value")
    press(mark, "Mark all again")
    assert "Marking: 0 of 3" in told[0]
    assert told[-1] == ""
    assert bar[:4] == [0, 1, 2, 3] or bar[:3] == [1, 2, 3]
    assert mark.bar.layout.display == "none"
    assert progress_words(12, 24, 2.75) == "12 of 24, about 3 s left"
    assert progress_words(0, 24, 0) == "0 of 24"
    assert progress_words(1, 24, 0) == "1 of 24"
    assert progress_words(24, 24, 5) == "24 of 24"


def test_without_a_course_the_first_screen_asks_for_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is calm: a line to write in, three buttons, no drawer. A wrong folder is a sentence."""
    monkeypatch.chdir(tmp_path)
    view = open_desk()
    assert view.drawers == ()
    assert "Which course?" in html_of(view)
    assert view.which.folder.value == str(Path.home() / "my-class")
    view.which.folder.value = str(tmp_path)
    told = press(view.which, "Open this course")
    assert "is not a course folder" in told
    assert '"Lay out a new course" at this desk' in told
    assert view.which.folder.value == str(tmp_path)


def test_a_course_is_laid_out_with_a_desk_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The drawers appear, the class list is still empty, and nothing that is there is overwritten."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "house_rules.toml").write_text("# mine", encoding="utf-8")
    view = open_desk()
    view.which.folder.value = "mine"
    told = press(view.which, "Lay out a new course")
    assert "Course folder: mine" in told
    assert [drawer.title for drawer in view.drawers][:3] == ["Class list", "Issue", "Take in"]
    assert "no student below the first line" in view.drawer("Class list").front.value
    assert (tmp_path / "mine" / "house_rules.toml").read_text(encoding="utf-8") == "# mine"
    own = (tmp_path / "mine" / setting_up.NOTEBOOK).read_bytes()
    assert own == (PROJECT / "notebooks" / setting_up.NOTEBOOK).read_bytes()
    press(view.which, "Open this course")
    assert view.drawer("Issue").at.course.root == tmp_path / "mine"


def test_an_invented_class_is_one_press_away(
    classroom: Classroom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its steps are named by what is pressed for them, and at the end its desk is open."""
    demo = tmp_path / "demo-class"

    def run_demo(folder: Path, door: Door) -> None:
        assert folder == demo
        shutil.copytree(classroom.course.root, folder)
        door.begin(f"$ pharmcalc issue {NAME}")

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("pharmcalc.classroom.demo.demo.run_demo", run_demo)
    monkeypatch.setattr("pharmcalc.classroom.drawers.desk_view.clone", lambda: tmp_path)
    view = open_desk()
    assert press(view.which, "Try an invented class") == '"Issue" at this desk'
    assert view.which.folder.value == str(demo)
    assert view.drawer("Issue").at.course.root == demo


def test_from_elsewhere_the_desk_says_where_pages_open_with_a_click(
    classroom: Classroom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Pages that JupyterLab cannot reach are named by their path, and the course's own desk is named."""
    other = tmp_path / "other"
    other.mkdir()
    monkeypatch.chdir(other)
    view = open_desk(classroom.course.root)
    assert str(classroom.course.root / setting_up.NOTEBOOK) in html_of(view)
    press(opened(view, "Paper"), "Write the pages to print")
    assert "<a" not in html_of(view.drawer("Paper"))


def test_the_notebook_is_a_title_the_caution_and_one_call() -> None:
    """Nothing else is in sight, and an instructor reads the caution before anything runs."""
    cells = json.loads((PROJECT / "notebooks" / setting_up.NOTEBOOK).read_text(encoding="utf-8"))["cells"]
    text, set_up, call = ("".join(cell["source"]) for cell in cells)
    assert text.startswith("# The instructor's desk\n")
    assert f"> {CAUTION}" in text
    assert cells[1]["metadata"]["jupyter"]["source_hidden"]
    assert set_up.startswith("# Set-up: ")
    assert call == "open_desk()"


def test_the_desk_has_colours_of_our_own_paper_only() -> None:
    """Every colour of the desk is one that is checked for contrast, and every rule stays below our paper."""
    css = re.sub(
        r"/\*.*?\*/",
        "",
        Path(desk_view.__file__).with_name("desk.css").read_text(encoding="utf-8"),
        flags=re.S,
    )
    selectors = [one.strip() for rule in re.findall(r"([^{}]+)\{", css) for one in rule.split(",")]
    assert len(selectors) > 20
    assert [one for one in selectors if not one.startswith(".pc")] == []
    assert re.findall(r"#[0-9a-f]{3,6}\b", css) == ["#fff"]  # below the feedback page, which is a page of its own
