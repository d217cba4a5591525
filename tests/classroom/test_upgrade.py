"""A newer pharmcalc brings its lessons and assignments into a course folder, and nothing that anybody wrote is lost."""

import json
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from pharmcalc.classroom.course import CONFIG, Course
from pharmcalc.classroom.course_files import LESSONS, course_files, fingerprint
from pharmcalc.classroom.desk import setting_up
from pharmcalc.classroom.issuing.issue import issue_assignment
from pharmcalc.classroom.upgrade import LIST, NEWER, Fate, Upgraded, fate, lay_out, upgrade_course
from pharmcalc.errors import CourseError
from tests.classroom.building import PROJECT
from tests.classroom.conftest import NAME, Classroom
from tests.test_lessons import broken_links

LESSON, SOLUTION, RULES = f"{LESSONS}/01_first.ipynb", f"solutions/{NAME}/{NAME}.ipynb", "house_rules.toml"
FILES = (LESSON, SOLUTION, RULES)
WRITES = (Fate.ADDED, Fate.REPLACED)
KILLED = "killed"
texts = st.none() | st.sampled_from("abc")


class Killed(BaseException):
    """The process ends here."""


@contextmanager
def killed_at(moment: int, *, before: bool) -> Iterator[None]:
    """End the process before or after a file is put into its place for the ``moment``-th time (from 0)."""
    left, put = moment, Path.replace

    def replace(self: Path, target: Path) -> Path:
        nonlocal left
        left -= 1
        if before and left < 0:
            raise Killed
        done = put(self, target)
        if left < 0:
            raise Killed
        return done

    with patch.object(Path, "replace", replace):
        yield


def tree(root: Path) -> dict[str, bytes]:
    """Return every file in a folder that somebody would look at."""
    drafts = (".pharmcalc-draft",)
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in sorted(root.rglob("*"))
        if path.is_file() and path.name not in drafts
    }


def laid_out(root: Path, files: dict[str, bytes]) -> Course:
    """Lay out a small course folder."""
    root.mkdir(parents=True)
    (root / CONFIG).write_text("# settings", encoding="utf-8")
    lay_out(root, files)
    return Course.open(root)


def told(done: Upgraded) -> str:
    """Return what is told of an upgrade."""
    return "\n".join("".join(map(str, line)) for line in done.says())


@given(base=texts, mine=texts, new=texts, held=st.booleans())
def test_only_what_is_as_it_was_laid_out_is_ever_written_over(
    base: str | None, mine: str | None, new: str | None, held: bool
) -> None:
    """A file is replaced only where nobody touched it and no student has it, and added only where none was."""
    its = fate(base, mine, new, held=held)
    if its is Fate.REPLACED:
        assert mine is not None
        assert mine == base != new
        assert not held
    if its is Fate.ADDED:
        assert (mine, base) == (None, None)
        assert not held
    if mine is not None and new is not None and mine != new and base != new:
        assert its in (Fate.REPLACED, Fate.BESIDE, Fate.ISSUED), "what is new is never kept from the instructor"


@dataclass
class Story:
    """A course folder, the course as it is published, and what the instructor did."""

    root: Path
    published: dict[str, bytes]
    written: int = 0
    own: dict[str, bytes] = field(default_factory=dict)

    @property
    def course(self) -> Course:
        """The course folder."""
        return Course.open(self.root)

    def publish(self, name: str, version: str | None) -> None:
        """Change the course, upstream."""
        self.published.pop(name, None)
        if version:
            self.published[name] = f"course {version}".encode()

    def edit(self, name: str, place: str) -> None:
        """Write something nobody wrote before, into a file of the course or a new one laid aside."""
        path = self.root / place / name
        self.written += 1
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(f"mine {self.written}".encode())
        self.own[path.relative_to(self.root).as_posix()] = path.read_bytes()

    def remove(self, name: str, _: object) -> None:
        """Remove a file of the course."""
        (self.root / name).unlink(missing_ok=True)
        self.own.pop(name, None)

    def issue(self, *_: object) -> None:
        """Give the assignment to students."""
        self.course.issued(NAME).mkdir(parents=True, exist_ok=True)

    def forget(self, *_: object) -> None:
        """Lose the list: as laid out by a pharmcalc that kept none."""
        (self.root / LIST).unlink(missing_ok=True)

    def upgrade(self, _: object, moment: int | None) -> None:
        """Upgrade; with a moment, it is killed there."""
        before, issued = tree(self.root), self.course.issued(NAME).is_dir()
        try:
            with killed_at(99 if moment is None else moment, before=bool(moment and moment % 2)):
                done = upgrade_course(self.course, self.published)
        except Killed:
            done = None
        after = tree(self.root)
        assert {name: after.get(name) for name in self.own} == self.own, "what the instructor wrote is there"
        assert before.keys() - {LIST} <= after.keys(), "nothing is removed"
        if issued:
            assert [after.get(name) for name in (SOLUTION, RULES)] == [before.get(name) for name in (SOLUTION, RULES)]
        for name, its in done.files.items() if done else ():
            if its in (Fate.BESIDE, Fate.ISSUED):
                assert done.laid_aside[name].read_bytes() == self.published[name]
            if its in (*WRITES, Fate.SAME):
                assert after[name] == self.published[name]


STEPS = st.one_of(
    st.tuples(st.just(Story.publish), st.sampled_from(FILES), st.sampled_from(("1", "2", "3", None))),
    st.tuples(st.just(Story.edit), st.sampled_from(FILES), st.sampled_from(("", NEWER))),
    st.tuples(st.just(Story.remove), st.sampled_from(FILES), st.none()),
    st.tuples(st.just(Story.issue), st.none(), st.none()),
    st.tuples(st.just(Story.forget), st.none(), st.none()),
    st.tuples(st.just(Story.upgrade), st.none(), st.none() | st.integers(0, 8)),
)


@given(steps=st.lists(STEPS, max_size=12))
@example(
    [
        (Story.edit, LESSON, ""),
        (Story.publish, LESSON, "2"),
        (Story.upgrade, None, None),
        (Story.edit, LESSON, NEWER),
        (Story.publish, LESSON, "3"),
        (Story.upgrade, None, None),
    ]
)
def test_whatever_happens_nothing_that_the_instructor_wrote_is_lost(
    steps: list[tuple[Callable[..., None], str | None, Any]],
) -> None:
    """Edits, removals, issues, lost lists, newer courses, killed upgrades, in any order; one more brings rest."""
    with tempfile.TemporaryDirectory() as scratch:
        root = Path(scratch).resolve() / "course"
        published = dict.fromkeys(FILES, b"course 1")
        laid_out(root, published)
        story = Story(root, published)
        for step, name, what in [*steps, (Story.upgrade, None, None)]:
            step(story, name, what)
        at_rest = tree(root)
        again = upgrade_course(story.course, published)
        assert not {*again.files.values()} & {*WRITES, Fate.BESIDE}
        assert tree(root) == at_rest


def test_a_run_that_is_killed_is_simply_run_again(tmp_path: Path) -> None:
    """Killed before or after each file comes into its place, the second run leaves the folder of an undisturbed one."""
    old = dict.fromkeys((*FILES, f"{LESSONS}/02.ipynb", "solutions/gone/gone.ipynb", "desk.ipynb"), b"old")
    new = dict.fromkeys((*FILES, f"{LESSONS}/02.ipynb", "solutions/next/next.ipynb", "desk.ipynb"), b"new")
    course = laid_out(tmp_path / "course", old)
    (course.root / LESSON).write_bytes(b"mine")
    (course.root / "desk.ipynb").unlink()
    course.issued(NAME).mkdir(parents=True)
    shutil.copytree(course.root, tmp_path / "whole")
    upgrade_course(Course.open(tmp_path / "whole"), new)
    ended = []
    for moment in range(20):
        for before in (True, False):
            root = tmp_path / f"{KILLED}-{moment}-{before}"
            shutil.copytree(course.root, root)
            try:
                with killed_at(moment, before=before):
                    upgrade_course(Course.open(root), new)
                ended.append(moment)
            except Killed:
                assert list(root.glob("solutions/*/.*")) == [], "no draft lies where nbgrader would hand it out"
            upgrade_course(Course.open(root), new)
            assert tree(root) == tree(tmp_path / "whole"), root.name
    assert 6 < min(ended) < 19, "it was killed at each moment that it has"


def test_each_file_has_its_fate_and_is_told(tmp_path: Path) -> None:
    """Replaced, added, edited on one side or on both, removed on one side or the other: each under its own words."""
    names = ("plain", "edited", "both", "taken-out", "left-out")
    old = {f"{LESSONS}/{name}.md": b"old" for name in names}
    new = {f"{LESSONS}/{name}.md": b"new" for name in ("plain", "both", "taken-out", "added")}
    new[f"{LESSONS}/edited.md"] = b"old"
    course = laid_out(tmp_path / "course", old)
    for name in ("edited", "both"):
        (course.root / LESSONS / f"{name}.md").write_bytes(b"mine")
    (course.root / LESSONS / "taken-out.md").unlink()
    done = upgrade_course(course, new)
    assert {name.removeprefix(f"{LESSONS}/").removesuffix(".md"): its for name, its in done.files.items()} == {
        "plain": Fate.REPLACED,
        "edited": Fate.YOURS,
        "both": Fate.BESIDE,
        "taken-out": Fate.TAKEN_OUT,
        "added": Fate.ADDED,
        "left-out": Fate.LEFT_OUT,
    }
    assert {name: text for name, text in tree(course.root).items() if name.endswith(".md")} == {
        "lessons/plain.md": b"new",
        "lessons/edited.md": b"mine",
        "lessons/both.md": b"mine",
        "lessons/added.md": b"new",
        "lessons/left-out.md": b"old",
        "newer/lessons/both.md": b"new",
    }
    said = told(done)
    assert "1 replaced · 1 added · 2 kept as yours · 0 the same" in said
    for its in {*Fate} - {Fate.SAME, Fate.ISSUED}:
        assert f"{its[0].upper()}{its[1:]}:\n  {LESSONS}/" in said


def test_an_issued_assignment_stays_and_is_told(classroom: Classroom) -> None:
    """Solution, release and rules are what students have; the new ones are laid where nobody marks by them."""
    course = classroom.course
    own = {SOLUTION: course.solution(NAME).read_bytes(), RULES: (course.root / RULES).read_bytes()}
    lay_out(course.root, own)
    new = {SOLUTION: own[SOLUTION].replace(b"# A test assignment", b"# Another"), RULES: own[RULES] + b"\n# newer\n"}
    before = tree(course.root)
    done = upgrade_course(course, new)
    assert done.files == {SOLUTION: Fate.ISSUED, RULES: Fate.ISSUED}
    assert f"{Fate.ISSUED[1:]}:\n  {SOLUTION} → {course.root / NEWER / SOLUTION}\n" in told(done)
    after = tree(course.root)
    assert {name: after[name] for name in before if name != LIST} == {k: v for k, v in before.items() if k != LIST}
    assert after[f"{NEWER}/{SOLUTION}"] == new[SOLUTION]
    assert course.assignments() == [NAME]
    assert issue_assignment(course, NAME, classroom.roster).unchanged


def test_an_assignment_that_nobody_has_is_replaced(tmp_path: Path) -> None:
    """Before it is issued, an untouched solution and untouched rules follow the course."""
    course = laid_out(tmp_path / "course", {SOLUTION: b"old", RULES: b"old"})
    done = upgrade_course(course, {SOLUTION: b"new", RULES: b"new"})
    assert set(done.files.values()) == {Fate.REPLACED}


def test_what_was_held_back_follows_when_nothing_holds_it(tmp_path: Path) -> None:
    """While students have it, it is told at each upgrade; when the term is put away, the untouched solution follows."""
    course = laid_out(tmp_path / "course", {SOLUTION: b"old"})
    course.issued(NAME).mkdir(parents=True)
    for _ in range(2):
        assert upgrade_course(course, {SOLUTION: b"new"}).files == {SOLUTION: Fate.ISSUED}
    course.issued(NAME).rmdir()
    assert upgrade_course(course, {SOLUTION: b"new"}).files == {SOLUTION: Fate.REPLACED}


def test_what_was_put_away_and_put_back_follows(tmp_path: Path) -> None:
    """A lesson that was moved out while the course changed is, once it is back, as it was laid out."""
    course = laid_out(tmp_path / "course", {LESSON: b"old"})
    (course.root / LESSON).rename(tmp_path / "away")
    assert upgrade_course(course, {LESSON: b"new"}).files == {LESSON: Fate.TAKEN_OUT}
    (tmp_path / "away").rename(course.root / LESSON)
    assert upgrade_course(course, {LESSON: b"new"}).files == {LESSON: Fate.REPLACED}


def test_a_folder_without_a_list_loses_nothing(tmp_path: Path) -> None:
    """Laid out before there were lists, or with a list that cannot be read: whatever differs counts as edited."""
    for number, damage in enumerate((None, b"", b"{", b"[1]", b'{"pharmcalc": "1", "files": [1]}')):
        course = laid_out(tmp_path / f"course-{number}", {LESSON: b"as it was", SOLUTION: b"the same"})
        (course.root / LIST).unlink()
        if damage is not None:
            (course.root / LIST).write_bytes(damage)
        done = upgrade_course(course, {LESSON: b"new", SOLUTION: b"the same", "desk.ipynb": b"desk"})
        assert done.files == {LESSON: Fate.BESIDE, SOLUTION: Fate.SAME, "desk.ipynb": Fate.ADDED}
        assert (course.root / LESSON).read_bytes() == b"as it was"
        later = upgrade_course(course, {LESSON: b"new", SOLUTION: b"newer", "desk.ipynb": b"desk"})
        assert later.files == {LESSON: Fate.YOURS, SOLUTION: Fate.REPLACED, "desk.ipynb": Fate.SAME}


def test_a_lesson_that_was_only_opened_and_run_is_not_edited() -> None:
    """Outputs, counts, folding and Jupyter's own notes are nobody's text; a word in a cell or its mark is."""
    name, content = next((name, text) for name, text in course_files().items() if name.startswith(f"{LESSONS}/00"))
    plain, run, typed, marked = (json.loads(content) for _ in range(4))
    code = next(number for number, cell in enumerate(plain["cells"]) if cell["cell_type"] == "code")
    run["cells"][code] |= {"execution_count": 7, "outputs": [{"output_type": "stream", "name": "stdout", "text": "x"}]}
    run["cells"][code]["metadata"] |= {"scrolled": True, "execution": {"iopub.status.busy": "now"}}
    run["cells"][code]["source"] = "".join(run["cells"][code]["source"])
    run["metadata"] = {"language_info": {"name": "python"}, "widgets": {}}
    typed["cells"][code]["source"] = ["# mine"]
    marked["cells"][code]["metadata"]["nbgrader"] = {"points": 3}

    def mark(nb: dict[str, Any]) -> str:
        return fingerprint(name, json.dumps(nb).encode())

    assert mark(run) == mark(plain) == fingerprint(name, content) == fingerprint(name, content.replace(b"\n", b"\r\n"))
    assert len({mark(plain), mark(typed), mark(marked)}) == 3


def test_the_answer_fits_on_a_page(tmp_path: Path) -> None:
    """Of three hundred new files ten are named, and how many more there are."""
    course = laid_out(tmp_path / "course", {})
    said = told(upgrade_course(course, {f"{LESSONS}/{n:03}.md": b"new" for n in range(300)}))
    assert len(said.splitlines()) < 20
    assert "290 more" in said


def test_the_project_itself_is_no_course_to_upgrade() -> None:
    """In a clone the lessons come with git; nothing is laid between them."""
    with pytest.raises(CourseError, match="the project itself"):
        upgrade_course(Course.open(PROJECT), {})


def test_what_cannot_be_written_is_one_sentence(tmp_path: Path) -> None:
    """A folder stands where a lesson belongs: it is told, and the rest can be done when it is gone."""
    course = laid_out(tmp_path / "course", {})
    (course.root / LESSON / "inside").mkdir(parents=True)
    with pytest.raises(CourseError, match=r"01_first\.ipynb cannot be written .* do the same again"):
        upgrade_course(course, {LESSON: b"new"})
    shutil.rmtree(course.root / LESSON)
    assert upgrade_course(course, {LESSON: b"new"}).files == {LESSON: Fate.ADDED}


def test_the_lessons_of_a_course_lead_somewhere(tmp_path: Path) -> None:
    """Every link between lessons, glossary, practice and exercises for self-study holds where they are laid out."""
    root = tmp_path / "course"
    lay_out(root, course_files())
    lessons = sorted((root / LESSONS).glob("*.*"))
    assert len(lessons) > 12
    linked = 0
    for path in lessons:
        text = path.read_text(encoding="utf-8")
        if path.suffix == ".ipynb":
            text = "\n".join("".join(cell["source"]) for cell in json.loads(text)["cells"])
        linked += text.count("](exercises/")
        assert broken_links(text, root / LESSONS) == [], path.name
    assert linked > 12


def test_started_again_a_course_gets_back_what_is_missing_and_keeps_the_rest(tmp_path: Path) -> None:
    """A lesson that was removed comes back; an edited one stays and still counts as edited."""
    files = {LESSON: b"course", SOLUTION: b"course"}
    course = laid_out(tmp_path / "course", files)
    (course.root / LESSON).unlink()
    (course.root / SOLUTION).write_bytes(b"mine")
    lay_out(course.root, files)
    assert upgrade_course(course, files).files == {LESSON: Fate.SAME, SOLUTION: Fate.YOURS}
    (course.root / LIST).unlink()
    lay_out(course.root, files)
    assert upgrade_course(course, files).files == {LESSON: Fate.SAME, SOLUTION: Fate.BESIDE}


def test_at_the_desk_it_is_one_press(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The drawer tells what was replaced and links to what lies aside."""
    from pharmcalc.classroom.drawers.desk_view import open_desk
    from tests.classroom.test_desk import html_of, opened, press

    course = laid_out(tmp_path / "course", {LESSON: b"old", RULES: b"old", SOLUTION: b"{}"})
    (course.root / RULES).write_bytes(b"mine")
    monkeypatch.chdir(course.root)
    monkeypatch.setattr(setting_up, "course_files", lambda: {LESSON: b"new", RULES: b"new", SOLUTION: b"{}"})
    place = opened(open_desk(), "Workshop")
    said = press(place, "Upgrade the course's files")
    assert "1 replaced · 0 added · 1 kept as yours · 1 the same" in said
    assert '<a href="newer/house_rules.toml">' in html_of(place)
    assert (course.root / LESSON).read_bytes() == b"new"
