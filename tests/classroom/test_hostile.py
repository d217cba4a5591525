"""A class with every hostile hand-in of the set in it: nobody is harmed, nothing is gained, and each is told why."""

import csv
import hashlib
import io
import json
import os
import re
import shutil
import sys
import warnings
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING

import pytest

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.handed_in import parcels
from pharmcalc.classroom.handed_in.inbox import TakeIn
from pharmcalc.classroom.handed_in.takein import take_in
from pharmcalc.classroom.issuing.issue import issue_assignment
from pharmcalc.classroom.marking.feedback_run import feedback_due, write_feedback
from pharmcalc.classroom.marking.outcomes import Run
from pharmcalc.classroom.marking.run import mark_class
from pharmcalc.classroom.results.picture import MARKED, Picture, Row
from pharmcalc.classroom.results.report import write_all
from pharmcalc.classroom.roster import read_roster
from pharmcalc.errors import CourseError
from tests.classroom.building import answered, gradebook_rows, write_course
from tests.classroom.conftest import Classroom
from tests.classroom.hostile import CASES, FAMILIES, HONEST, Case, Way
from tests.classroom.hostile_files import NAME, RECORD, by_the_book, lay
from tests.classroom.hostile_parts import EVIL, MB
from tests.classroom.test_escaping import Parsed, formgrader_page

if TYPE_CHECKING:
    from playwright.sync_api import Browser

MOMENT = 1_800_000_000
#: What a run may write; all else in the course folder is not its own.
RUNS_OWN = ("submitted", "received", "autograded", "feedback", "reports", "backups", "gradebook.db", "attempts.csv")


@dataclass
class Outcome:
    """A class after take-in, marking, feedback and report."""

    room: Classroom
    said: dict[str, list[str]] = field(default_factory=dict)
    seconds: dict[str, float] = field(default_factory=dict)
    run: Run = field(default_factory=Run)
    picture: Picture | None = None
    before: dict[str, str] = field(default_factory=dict)

    def row(self, number: str) -> Row:
        """Return a student's line."""
        assert self.picture is not None
        return next(row for row in self.picture.rows if row.student.number == number)


def fingerprints(top: Path) -> dict[str, str]:
    """Return what changes with every change of a file, link or folder below ``top``, the run's own left out."""
    found = {}
    for folder, folders, names in os.walk(top):
        here = Path(folder)
        if here == top / "course":
            folders[:] = [name for name in folders if name not in RUNS_OWN]
            names = [name for name in names if name not in RUNS_OWN]
        for name in [*folders, *names]:
            path = here / name
            if path.is_symlink():
                what = f"link to {path.readlink()}"
            elif path.is_file():
                what = hashlib.sha256(path.read_bytes()).hexdigest()
            else:
                what = "folder" if path.is_dir() else "pipe"
            found[path.relative_to(top).as_posix()] = what
    return found


def issue(top: Path, hostile: Iterable[str]) -> Classroom:
    """Issue the assignment to the honest and the hostile, beside a folder with somebody's private things."""
    root = write_course(top / "course", NAME, FAMILIES, [*HONEST, *hostile])
    (top / "victim").mkdir()
    (top / "victim" / "private.txt").write_text("private words")
    course = Course.open(root)
    issue_assignment(course, NAME, read_roster(course.class_list))
    return Classroom(course, read_roster(course.class_list), json.loads(course.release(NAME).read_text()))


def honest_work(room: Classroom, folder: Path) -> None:
    """Lay the hand-ins of the honest: all right, one with a mistake, one by the book at the bench."""
    for number in HONEST:
        answers = {"q1": "least weighable quantity = 1 mg"} if number == HONEST[1] else {}
        nb = answered(room.release, number, answers)
        (folder / number).mkdir(parents=True)
        (folder / number / "work.ipynb").write_text(json.dumps(nb))
        (folder / number / RECORD).write_text(by_the_book(room.release, number))
        for path in (folder / number).iterdir():
            os.utime(path, (MOMENT, MOMENT))


def work_through(top: Path, room: Classroom, zips: dict[str, Path]) -> Outcome:
    """Take in, mark, write feedback and report; note what is said to each student."""
    done = Outcome(room, {student.number: [] for student in room.roster}, before=fingerprints(top))
    course, roster = room.course, room.roster
    for number, source in {"": top / "parcel", **zips}.items():
        begun = perf_counter()
        try:
            told = lines_of(take_in(course, NAME, source, roster))
        except CourseError as trouble:
            told = {number: [str(trouble).removeprefix(f"{source}: ")]}
        done.seconds[f"taking in {number}"] = perf_counter() - begun
        for owner, lines in told.items():
            done.said[owner or number].extend(lines)
    last = perf_counter()

    def watch(outcome: object) -> None:
        nonlocal last
        now = perf_counter()
        done.seconds[f"{getattr(outcome, 'number', '')} {getattr(outcome, 'state', '')}"] = now - last
        last = now

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # nbformat's remarks on odd notebooks; only these tests make errors of them
        done.run = mark_class(course, NAME, roster, watch=watch)
    write_feedback(course, NAME, feedback_due(course, NAME, roster), watch=watch)
    done.picture = room.picture()
    write_all(course, done.picture)
    for outcome in done.run.outcomes:
        done.said[outcome.number] += [outcome.reason] if outcome.reason else []
    for row in done.picture.rows:
        done.said[row.student.number] += [*row.needs_eyes, *row.notes]
    return done


def lines_of(result: TakeIn) -> dict[str, list[str]]:
    """Return what a take-in says, by the number in the file's name, or else by whom it was laid to."""
    found: dict[str, list[str]] = {}
    for entry in result.refused:
        named = re.search(r"[HL]-\d\d\d", entry.file)
        found.setdefault(named[0] if named else entry.number, []).append(f"{entry.file}: {entry.reason}")
    return found


def lay_hostile(top: Path, room: Classroom, cases: Mapping[str, Case]) -> dict[str, Path]:
    """Lay the hostile hand-ins into the parcel, into submitted/ and as zips; return the zips by student."""
    victim, root = top / "victim" / "private.txt", room.course.root
    zips = {}
    for number, case in cases.items():
        files = case.make(room.release, number)
        if case.way is Way.ZIP:
            zips[number] = top / "zips" / f"{number}.zip"
            lay(top / "zips", {f"{number}.zip": data for data in files.values()}, victim=victim, root=root)
        elif case.way is Way.STRAIGHT:
            lay(root / "submitted" / number / NAME, files, victim=victim, root=root)
        else:
            lay(top / "parcel", files, victim=victim, root=root)
    return zips


@pytest.fixture(scope="module")
def issued(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Classroom]:
    """Issue once."""
    top = tmp_path_factory.mktemp("hostile") / "with"
    return top, issue(top, CASES)


@pytest.fixture(scope="module")
def alone(issued: tuple[Path, Classroom], tmp_path_factory: pytest.TempPathFactory) -> Outcome:
    """Work through the same class with the honest only."""
    top = tmp_path_factory.mktemp("hostile") / "without"
    shutil.copytree(issued[0] / "course", top / "course")
    course = Course.open(top / "course")
    room = Classroom(course, read_roster(course.class_list), issued[1].release)
    honest_work(room, top / "parcel")
    return work_through(top, room, {})


@pytest.fixture(scope="module")
def done(issued: tuple[Path, Classroom], alone: Outcome) -> Outcome:
    """Work through the class with the hostile in it, which is copied before."""
    top, room = issued
    honest_work(room, top / "parcel")
    zips = lay_hostile(top, room, CASES)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(parcels, "LARGEST_PARCEL", 180 * MB)
        outcome = work_through(top, room, zips)
    if os.environ.get("PHARMCALC_SLOWEST"):
        for what, seconds in sorted(outcome.seconds.items(), key=lambda item: -item[1])[:15]:
            case = next((case.name for number, case in CASES.items() if number in what), "")
            sys.stderr.write(f"{seconds:.2f} s {what} {case}\n")
    return outcome


def worth(case: Case, room: Classroom, number: str) -> float:
    """Return the marks of a case's honest content."""
    return case.earns(room.release, number) if callable(case.earns) else case.earns


def plain_words(said: list[str]) -> None:
    """Check that reasons are for people: each one line, no sign that cannot be seen, no words of Python."""
    for line in said:
        assert line.isprintable() or not re.search(r"[\x00-\x1f\x7f\u202a-\u202e\u2066-\u2069\ud800-\udfff]", line), (
            repr(line)
        )
        assert 0 < len(line) < 700, line
        assert not re.search(r"Error|Exception|Traceback|nbgrader|Errno", line), line


@pytest.mark.parametrize("number", CASES, ids=[case.name for case in CASES.values()])
def test_it_earns_its_honest_content_and_is_told_why(done: Outcome, number: str) -> None:
    """No more and no less; each reason is one line in plain words."""
    case, row, said = CASES[number], done.row(number), done.said[number]
    assert (row.state == MARKED, sum(row.scores.values())) == (case.marked, worth(case, done.room, number)), said
    assert case.says in " | ".join(said), said
    plain_words(said)


def test_nobody_stops_the_run(done: Outcome) -> None:
    """Everybody who handed in is in the outcome once, and whoever is not marked has a reason."""
    numbers = [outcome.number for outcome in done.run.outcomes]
    assert len(set(numbers)) == len(numbers)
    assert set(numbers) >= {*HONEST, *(number for number, case in CASES.items() if case.marked)}
    assert [outcome for outcome in done.run.outcomes if outcome.state != "marked" and not outcome.reason] == []
    assert all(done.said[number] for number, case in CASES.items() if not case.marked)


def test_nothing_outside_the_runs_own_folders_changes(issued: tuple[Path, Classroom], done: Outcome) -> None:
    """Private files beside the course, the parcel, solutions, releases and class list are what they were."""
    assert fingerprints(issued[0]) == done.before
    assert any(name.startswith("victim/") for name in done.before)
    assert any(name.startswith("course/solutions/") for name in done.before)


def test_nothing_private_is_copied_out(done: Outcome) -> None:
    """No file that is marked, kept, told or given back holds somebody's private words or a copy of the gradebook."""
    for folder in ("received", "autograded", "feedback", "reports"):
        for path in (done.room.course.root / folder).rglob("*"):
            assert not path.is_symlink(), path
            if path.is_file():
                data = path.read_bytes()
                assert b"private words" not in data, path
                assert not data.startswith(b"SQLite format"), path


def test_marked_copies_and_pages_stay_small(done: Outcome) -> None:
    """Whatever was handed in, what travels on through the course is below two megabytes."""
    for folder in ("autograded", "feedback", "reports"):
        large = [path for path in (done.room.course.root / folder).rglob("*") if path.stat().st_size > 2 * MB]
        assert large == [], folder


def timeless(row: Row) -> Row:
    """Return a row without the moments at which its attempts were marked."""
    return replace(row, attempts=[replace(attempt, when="") for attempt in row.attempts])


def test_the_honest_are_marked_as_if_the_hostile_were_not_there(done: Outcome, alone: Outcome) -> None:
    """Marks and feedback pages are byte for byte the same."""
    assert alone.row(HONEST[0]).total == 34
    for number in HONEST:
        assert timeless(done.row(number)) == timeless(alone.row(number))
        pages = [one.room.course.feedback(NAME, number).read_bytes() for one in (done, alone)]
        assert pages[0] == pages[1], number
        assert done.said[number] == alone.said[number]

    def rows(one: Outcome) -> list[tuple[object, ...]]:
        return [row for row in gradebook_rows(one.room.course.gradebook) if row[0] in HONEST]

    assert rows(done) == rows(alone) != []


def test_the_mark_sheet_computes_nothing(done: Outcome) -> None:
    """No cell of the mark sheet begins with a sign that a spreadsheet takes for a formula, in any way of splitting."""
    text = (done.room.course.reports(NAME) / "marks.csv").read_text(encoding="utf-8-sig")
    rows = list(csv.reader(io.StringIO(text)))
    assert len({len(row) for row in rows}) == 1
    assert len(rows) >= len(CASES) + len(HONEST) + 1
    for splitter in ",;\t":
        cells = [cell for row in csv.reader(io.StringIO(text), delimiter=splitter) for cell in row]
        assert [cell for cell in cells if cell.lstrip().startswith(("=", "+", "@"))] == []
    assert "'=H-" in text


@pytest.fixture(scope="module")
def pages(done: Outcome) -> dict[str, str]:
    """Return every page that shows what students wrote: feedback, report, and nbgrader's where a script is in it."""
    course = done.room.course
    found = {"report": (course.reports(NAME) / "report.html").read_text(encoding="utf-8")}
    for path in sorted((course.root / "feedback").glob(f"*/{NAME}/{NAME}.html")):
        number = path.parts[-3]
        found[f"feedback {number}"] = path.read_text(encoding="utf-8")
        marked = course.autograded(NAME, number).read_text(encoding="utf-8")
        if any(trace in marked for trace in (EVIL, "data-hacked", "script", "HYPERLINK")):
            whole = formgrader_page(done.room, number)
            found[f"formgrader {number}"] = whole[whole.index('id="notebook-container"') :].partition(">")[2]
    return found


def test_no_page_holds_a_script_a_frame_or_a_foreign_address(pages: dict[str, str]) -> None:
    """Nothing that a student wrote became an element or an attribute that could run, load or lead somewhere."""
    kinds = {name.partition(" ")[0] for name in pages}
    assert kinds == {"report", "feedback", "formgrader"}
    assert len([name for name in pages if name.startswith("formgrader")]) > 4
    for name, text in pages.items():
        page = Parsed(text)
        assert not {"script", "iframe", "img", "svg", "base", "object", "embed", "form"} & set(page.elements), name
        assert not [a for a in page.attributes if a[0].startswith("on") or "javascript:" in a[1].lower()], name
        assert not [a for a in page.attributes if EVIL in a[1] or a[0] == "srcdoc"], name
        links = [value for attribute, value in page.attributes if attribute in ("href", "src")]
        assert all(link.startswith("#") for link in links), name


@pytest.mark.browser
def test_nothing_runs_and_nothing_is_fetched_in_a_browser(
    pages: dict[str, str], tmp_path: Path, browser: "Browser"
) -> None:
    """Every page is opened in a real browser: no dialog, no error, no request, and no word within a formula's reach."""
    context = browser.new_context()
    seen: list[str] = []
    context.on("request", lambda request: seen.append(request.url) if not request.url.startswith("file:") else None)
    context.on("dialog", lambda dialog: (seen.append(dialog.message), dialog.dismiss()))
    context.on("console", lambda message: seen.append(message.text))
    context.on("weberror", lambda error: seen.append(str(error.error)))
    page = context.new_page()
    place = tmp_path / "page.html"
    for name, text in pages.items():
        head = "" if text.lstrip().startswith("<!DOCTYPE") else "<!DOCTYPE html><meta charset=utf-8><title>x</title>"
        place.write_text(head + text, encoding="utf-8")
        page.goto(place.as_uri())
        assert page.evaluate("document.documentElement.dataset.hacked") is None, name
        assert seen == [], name
        assert page.evaluate(WITHIN_REACH, "formgrader" in name) == [], name
    assert len(pages) > len(HONEST)
    context.close()


#: Texts that MathJax, which nbgrader's pages load, would take for a formula: it leaves code and a class alone.
WITHIN_REACH = """nbgraders => {
  const found = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (nbgraders && walk.nextNode()) {
    const text = walk.currentNode;
    if (/\\\\href|javascript:|evil\\.example|setAttr|\\\\unicode/.test(text.data)
        && !text.parentElement.closest("pre, code, textarea, script, style, .tex2jax_ignore")) found.push(text.data);
  }
  return found;
}"""
