"""nbgrader's exchange with one system user; `make exchange` tries it with three, which needs root."""

import json
import os
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from pharmcalc.__main__ import run as command
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.engine import settings
from pharmcalc.classroom.marking.feedback_run import write_feedback
from pharmcalc.classroom.marking.finished import SECRET
from pharmcalc.classroom.marking.run import mark_class
from tests.classroom.building import answered, hand_in, nbgrader
from tests.classroom.conftest import NAME, Classroom
from tools.exchange.campus import COURSE_ID, README_EXCHANGE, readme_settings

HERE, THERE = "A-01", "A-02"
READY = "ready"  # hand-ins that were made once, and wait until a test hands them in


def shared_server(place: Path, course: Path) -> dict[str, str]:
    """Lay out an exchange and the settings that README.md shows, everybody's and the course's; return what to set."""
    administrator, own = readme_settings()
    exchange, everybodys, home = place / "exchange", place / "jupyter", place / "home"
    for folder in (exchange, everybodys, home):
        folder.mkdir(exist_ok=True)
    exchange.chmod(0o1777)
    everybodys.joinpath("nbgrader_config.py").write_text(administrator.replace(README_EXCHANGE, str(exchange)))
    course.joinpath("nbgrader_config.py").write_text(own, encoding="utf-8")
    return {"JUPYTER_CONFIG_PATH": str(everybodys), "HOME": str(home)}


@pytest.fixture(scope="module")
def handed_in(issued_course: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Release once, and let two students fetch, answer and hand in; tests work on copies of what lies there then."""
    place = tmp_path_factory.mktemp("campus")
    shutil.copytree(issued_course, place / "course")
    with pytest.MonkeyPatch.context() as environ:
        for name, value in shared_server(place, place / "course").items():
            environ.setenv(name, value)
        nbgrader(place / "course", "release_assignment", NAME)
        for number in (HERE, THERE):
            made_anew(Classroom.at(place / "course"), number)
    return place


@pytest.fixture
def campus(handed_in: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Classroom:
    """A course whose assignment was released into an exchange of its own, and nobody has handed in yet."""
    for folder in ("course", "exchange", "home"):
        shutil.copytree(handed_in / folder, tmp_path / folder)
    (tmp_path / READY).mkdir()
    for made in (tmp_path / "exchange" / COURSE_ID / "inbound").iterdir():
        made.rename(tmp_path / READY / made.name)
    for name, value in shared_server(tmp_path, tmp_path / "course").items():
        monkeypatch.setenv(name, value)
    return Classroom.at(tmp_path / "course")


def inbound(campus: Classroom) -> Path:
    """Return the folder into which hand-ins go."""
    return campus.course.root.parent / "exchange" / COURSE_ID / "inbound"


def submit(campus: Classroom, number: str, *options: str, links: tuple[str, ...] = ()) -> Path:
    """Hand in, in a folder of the student's own: what was made once, or anew by nbgrader; return it in the exchange."""
    ready = [] if options else list((campus.course.root.parent / READY).glob(f"{number}+*"))
    made = ready[0].rename(inbound(campus) / ready[0].name) if ready else made_anew(campus, number, *options)
    for name in links:
        (made / name).symlink_to(campus.course.gradebook)
    return made


def made_anew(campus: Classroom, number: str, *options: str) -> Path:
    """Fetch, answer rightly and hand in, all by nbgrader."""
    home = campus.course.root.parent / "home" / number
    home.mkdir(exist_ok=True)
    names = (f"--course={COURSE_ID}", f"--student={number}")
    if not (home / NAME).is_dir():
        nbgrader(home, "fetch_assignment", NAME, *names)
    fetched = home / NAME / f"{NAME}.ipynb"
    fetched.write_text(json.dumps(answered(json.loads(fetched.read_text(encoding="utf-8")), number)), encoding="utf-8")
    before = set(inbound(campus).iterdir())
    said = nbgrader(home, "submit", NAME, *names, *options)
    (made,) = set(inbound(campus).iterdir()) - before or {said}
    assert isinstance(made, Path), said
    return made


def collect(campus: Classroom, *options: str) -> str:
    """Collect; all hand-ins here are of one system user, which is no news."""
    return nbgrader(campus.course.root, "collect", NAME, "--ExchangeCollect.check_owner=False", *options)


def test_the_settings_in_the_readme_load_together_with_ours(campus: Classroom) -> None:
    """The course's name and the exchange are taken, and marking is set up as in every other course."""
    read = settings(campus.course)
    assert read.CourseDirectory.course_id == COURSE_ID
    assert read.CourseDirectory.release_directory == "exercises"
    released = inbound(campus).parent / "outbound" / NAME / f"{NAME}.ipynb"
    assert released.read_bytes() == campus.course.release(NAME).read_bytes()


def test_a_hand_in_goes_through_the_exchange_and_its_feedback_comes_back(campus: Classroom) -> None:
    """Fetched, handed in, collected, marked: the page that the student fetches is the one that was written."""
    submit(campus, HERE)
    collect(campus)
    assert command(["--course", str(campus.course.root), "mark", NAME]) == 0
    (row,) = [row for row in campus.picture().rows if row.student.number == HERE]
    assert row.all_cleared
    nbgrader(campus.course.root, "release_feedback", NAME)
    home = campus.course.root.parent / "home" / HERE
    nbgrader(home, "fetch_feedback", NAME, f"--course={COURSE_ID}")
    (page,) = (home / NAME / "feedback").glob("*/*.html")
    assert page.read_bytes() == campus.course.feedback(NAME, HERE).read_bytes()


def test_whoever_handed_in_otherwise_does_not_stop_the_others_feedback(campus: Classroom) -> None:
    """A page without a way through the exchange is told, and the others go out."""
    submit(campus, THERE)
    collect(campus)
    campus.hand_in(HERE)
    campus.mark()
    write_feedback(campus.course, NAME, [HERE, THERE])
    said = nbgrader(campus.course.root, "release_feedback", NAME)
    assert f"give the page by hand: {HERE}" in said
    assert len(list((inbound(campus).parent / "feedback").glob("*.html"))) == 1


def test_the_secret_of_the_hand_in_that_was_marked_names_the_page(campus: Classroom) -> None:
    """A newer hand-in that is collected and not yet marked does not get the page of the older one."""
    submit(campus, HERE)
    collect(campus)
    campus.mark()
    marked = (campus.course.submitted(NAME, HERE).parent / SECRET).read_bytes()
    submit(campus, HERE)
    collect(campus, "--update")
    assert (campus.course.submitted(NAME, HERE).parent / SECRET).read_bytes() != marked
    write_feedback(campus.course, NAME, [HERE])
    assert (campus.course.feedback(NAME, HERE).parent / SECRET).read_bytes() == marked


def test_no_link_is_followed(campus: Classroom) -> None:
    """A link that a student laid into the exchange brings nothing of the instructor's out, and the others come in."""
    submit(campus, HERE, links=("bench-record-q1.json",))
    submit(campus, THERE)
    said = collect(campus)
    assert f"{HERE}: not collected, because bench-record-q1.json is a link" in said
    assert campus.course.handed_in(NAME) == [THERE]


def test_a_page_that_came_with_a_hand_in_is_never_handed_out(campus: Classroom) -> None:
    """Only our feedback is feedback, also after nbgrader's own commands."""
    made = submit(campus, HERE)
    (made / "note.html").write_text("mine")
    collect(campus)
    for words in ("autograde", "generate_feedback", "release_feedback"):
        nbgrader(campus.course.root, words, NAME)
    assert len(list((inbound(campus).parent / "feedback").glob("*.html"))) == 1


def test_a_time_that_cannot_be_is_told(campus: Classroom) -> None:
    """The time on a hand-in is the student's word; that it was written later than it says, the system knows."""
    yesterday = f"{datetime.now(UTC) - timedelta(days=1):%Y-%m-%d %H:%M:%S.%f UTC}"
    submit(campus, HERE, f"--Exchange.timestamp_format={yesterday}")
    submit(campus, THERE)
    said = collect(campus)
    assert f"{HERE}: the hand-in says" in said
    assert f"{THERE}: the hand-in says" not in said
    assert campus.course.handed_in(NAME) == [HERE, THERE]


def test_a_system_users_name_in_other_letters_is_told(campus: Classroom) -> None:
    """nbgrader names the folder by the system user; the class list must hold that name to the letter."""
    hand_in(campus.course.root, NAME, HERE.lower(), campus.release)
    run = mark_class(campus.course, NAME, campus.roster)
    (outcome,) = run.outcomes
    assert "a-01 is not on the class list" in outcome.reason


@pytest.mark.skipif(os.name != "posix", reason="Windows has no such rights")
def test_a_new_course_folder_is_shut(tmp_path: Path) -> None:
    """Other users of the machine cannot look into a folder that will hold marks."""
    assert command(["start", str(tmp_path / "below" / "course")]) == 0
    assert Course.open(tmp_path / "below" / "course").root.stat().st_mode & 0o077 == 0
