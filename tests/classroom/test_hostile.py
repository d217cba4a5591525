"""A class with every hostile hand-in of the set in it: nobody is harmed, nothing is gained, and each is told why."""

import hashlib
import json
import os
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from time import perf_counter

import pytest

from pharmcalc.classroom.course import Course
from pharmcalc.classroom.inbox import TakeIn
from pharmcalc.classroom.issue import issue_assignment
from pharmcalc.classroom.picture import MARKED, Picture, Row
from pharmcalc.classroom.report import write_all
from pharmcalc.classroom.roster import read_roster
from pharmcalc.classroom.run import Run, feedback_due, mark_class, write_feedback
from pharmcalc.classroom.takein import take_in
from pharmcalc.errors import CourseError
from tests.classroom.building import answered, gradebook_rows, write_course
from tests.classroom.conftest import Classroom
from tests.classroom.hostile import FAMILIES, HONEST, NAME, RECORD, Way, by_the_book, numbered
from tests.classroom.hostile_parts import Link, Pipe, lay

CASES = numbered()
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


def issue(top: Path) -> Classroom:
    """Issue the assignment to the honest and the hostile, beside a folder with somebody's private things."""
    root = write_course(top / "course", NAME, FAMILIES, [*HONEST, *CASES])
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
    done = Outcome(room, {number: [] for number in (*HONEST, *CASES)}, before=fingerprints(top))
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
    """Return what a take-in says, by the student's number that stands in the file's name or else that it was laid to."""
    found: dict[str, list[str]] = {}
    for entry in result.refused:
        named = re.search(r"H-\d\d\d?", entry.file)
        found.setdefault(named[0] if named else entry.number, []).append(f"{entry.file}: {entry.reason}")
    return found


def lay_hostile(top: Path, room: Classroom) -> dict[str, Path]:
    """Lay the hostile hand-ins into the parcel, into submitted/ and as zips; return the zips by student."""
    victim, root = top / "victim" / "private.txt", room.course.root
    zips = {}
    for number, case in CASES.items():
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
    return top, issue(top)


@pytest.fixture(scope="module")
def done(issued: tuple[Path, Classroom]) -> Iterator[Outcome]:
    """Work through the class with the hostile in it."""
    top, room = issued
    honest_work(room, top / "parcel")
    begun = perf_counter()
    zips = lay_hostile(top, room)
    laid = perf_counter()
    outcome = work_through(top, room, zips)
    slowest = sorted(outcome.seconds.items(), key=lambda item: -item[1])[:12]
    names = {n: c.name for n, c in CASES.items()}
    print(f"laid {laid - begun:.1f} worked {perf_counter() - laid:.1f}", [(f"{s:.2f}", w, next((names[n] for n in names if n in w), "")) for w, s in slowest])  # noqa
    yield outcome


@pytest.fixture(scope="module")
def alone(issued: tuple[Path, Classroom], tmp_path_factory: pytest.TempPathFactory) -> Outcome:
    """Work through the same class with the honest only."""
    top = tmp_path_factory.mktemp("hostile") / "without"
    shutil.copytree(issued[0] / "course", top / "course", ignore=shutil.ignore_patterns(*(set(RUNS_OWN) - {"gradebook.db"})))
    course = Course.open(top / "course")
    room = Classroom(course, read_roster(course.class_list), issued[1].release)
    honest_work(room, top / "parcel")
    return work_through(top, room, {})


@pytest.mark.parametrize("number", CASES, ids=[case.name for case in CASES.values()])
def test_it_earns_its_honest_content_and_is_told_why(done: Outcome, number: str) -> None:
    """No more and no less; the reason is one line in plain words."""
    case, row = CASES[number], done.row(number)
    said = done.said[number]
    assert ((row.state == MARKED), sum(row.scores.values())) == (case.marked, case.earns), said
    assert case.says in " | ".join(said), said
    for line in said:
        assert re.fullmatch(r"[^\x00-\x1f\x7f\u202a-\u202e\u2066-\u2069\ud800-\udfff]{1,700}", line), repr(line)
        assert not re.search(r"Error|Exception|Traceback|nbgrader|Errno", line), line
