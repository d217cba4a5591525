"""Issuing: what students get is checked first, and what they have is not changed behind their backs."""

import copy
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pharmcalc.classroom.cells import cells_by_id, source_of
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.engine import Converter
from pharmcalc.classroom.issuing.issue import check_papers, check_release, issue_assignment, make_release, write_copies
from pharmcalc.classroom.roster import Roster, Student
from pharmcalc.errors import CourseError, PharmcalcError
from pharmcalc.tasks.house import default_house_rules_text, read_house_rules
from pharmcalc.tasks.papers import Issue, read_issue
from tests.classroom.building import PROJECT, gradebook_rows
from tests.classroom.conftest import NAME, NUMBERS, Classroom


def test_exercises_are_what_solutions_make() -> None:
    """The releases kept in the project are made from its solutions as they are now, and they can be marked."""
    course = Course.open(PROJECT)
    assert course.assignments(), "there is at least one assignment"
    for assignment in course.assignments():
        fresh = make_release(course, assignment)
        assert course.release(assignment).read_bytes() == fresh, f"run: make exercises ({assignment})"
        check_release(json.loads(fresh), assignment)


def test_no_worked_answer_of_the_project_escapes() -> None:
    """No answer line and no model answer of a solution is in its release."""
    course = Course.open(PROJECT)
    assert course.assignments(), "there is at least one assignment"
    for assignment in course.assignments():
        worked, model = set(), set()
        for name, cell in cells_by_id(json.loads(course.solution(assignment).read_text(encoding="utf-8"))).items():
            text = source_of(cell)
            if name.startswith("answer-"):
                worked |= {line.strip() for line in text.splitlines()[1:] if line.partition("=")[2].strip()}
            if "BEGIN SOLUTION" in text:
                inside = text.partition("BEGIN SOLUTION")[2].partition("### END SOLUTION")[0]
                model |= {line.strip() for line in inside.splitlines()[1:] if line.strip()}
        released = course.release(assignment).read_text(encoding="utf-8")
        cells = [source_of(cell) for cell in json.loads(released)["cells"]]
        assert worked
        assert not worked & {line.strip() for text in cells for line in text.splitlines()}
        assert [line for line in model if line in "\n".join(cells)] == []


def test_every_student_gets_a_copy_with_their_number(classroom: Classroom) -> None:
    """The copies differ from the release in one line: the student's number."""
    for number in NUMBERS:
        copy_ = json.loads((classroom.course.issued(NAME) / f"{number}.ipynb").read_text(encoding="utf-8"))
        changed = [
            (before["id"], source_of(before), source_of(after))
            for before, after in zip(classroom.release["cells"], copy_["cells"], strict=True)
            if source_of(before) != source_of(after)
        ]
        student = "%%student\nstudent number = {}\nattempt = 1"
        assert changed == [("student", student.format(""), student.format(number))]


def test_issuing_again_without_a_change_changes_nothing(classroom: Classroom) -> None:
    """The command can be repeated at any time."""
    before = classroom.course.release(NAME).read_bytes()
    made = issue_assignment(classroom.course, NAME, classroom.roster)
    assert made.unchanged
    assert classroom.course.release(NAME).read_bytes() == before


def change_rules(course: Course) -> None:
    """Change a house rule, as an instructor does it."""
    rules = default_house_rules_text().replace('allowed-error = "5 %"', 'allowed-error = "2 %"')
    (course.root / "house_rules.toml").write_text(rules, encoding="utf-8")


def test_other_rules_are_not_issued_silently(classroom: Classroom) -> None:
    """A changed house rule would change papers that are out, so the command stops and says what would change."""
    before = classroom.course.release(NAME).read_bytes()
    change_rules(classroom.course)
    with pytest.raises(CourseError, match="house-rules") as caught:
        issue_assignment(classroom.course, NAME, classroom.roster)
    assert "--again" in str(caught.value)
    assert classroom.course.release(NAME).read_bytes() == before


def test_other_rules_can_be_issued_on_purpose(classroom: Classroom) -> None:
    """Whoever says so issues anew, and the gradebook before it is kept."""
    change_rules(classroom.course)
    made = issue_assignment(classroom.course, NAME, classroom.roster, again=True)
    assert not made.unchanged
    assert '"2 %"' in classroom.course.release(NAME).read_text(encoding="utf-8").replace("\\", "")
    assert list((classroom.course.root / "backups").glob("*-before-issue-*.db"))


def test_marking_goes_on_by_the_rules_that_were_issued(classroom: Classroom) -> None:
    """Editing the house rules after the issue changes no paper and no mark."""
    classroom.hand_in("A-01")
    classroom.mark()
    before = gradebook_rows(classroom.course.gradebook)
    change_rules(classroom.course)
    classroom.mark(again=True)
    assert gradebook_rows(classroom.course.gradebook) == before


def test_once_hand_ins_are_marked_no_cell_comes_or_goes(classroom: Classroom) -> None:
    """Marks hang on the cells: the cell is named with what to do instead, and the release that was there stays."""
    classroom.hand_in("A-01")
    classroom.mark()
    before = classroom.course.release(NAME).read_bytes()
    written = json.loads(classroom.course.solution(NAME).read_text(encoding="utf-8"))
    written["cells"] = [cell for cell in written["cells"] if cell["id"] != "explain-1"]
    classroom.course.solution(NAME).write_text(json.dumps(written), encoding="utf-8")
    for again in (False, True):
        with pytest.raises(CourseError, match=r"other cells \(explain-1\): 1 hand-in.* another name") as caught:
            issue_assignment(classroom.course, NAME, classroom.roster, again=again)
        assert "--again" not in str(caught.value)
    assert classroom.course.release(NAME).read_bytes() == before


def test_a_failed_issue_leaves_the_old_release(classroom: Classroom, monkeypatch: pytest.MonkeyPatch) -> None:
    """nbgrader removes it first; should it then fail, it is laid back."""
    before, real = classroom.course.release(NAME).read_bytes(), Converter.run

    def fails(self: Converter, student: str = ".") -> None:
        real(self, student)
        if self._folder.root == str(classroom.course.root):
            shutil.rmtree(classroom.course.release(NAME).parent)
            raise CourseError("the disk is full")

    change_rules(classroom.course)
    monkeypatch.setattr(Converter, "run", fails)
    with pytest.raises(CourseError, match="the disk is full"):
        issue_assignment(classroom.course, NAME, classroom.roster, again=True)
    assert classroom.course.release(NAME).read_bytes() == before


def test_faulty_house_rules_are_not_issued(classroom: Classroom) -> None:
    """A slip in the rules is told before anybody gets them."""
    (classroom.course.root / "house_rules.toml").write_text('allowed-error = "five"\n', encoding="utf-8")
    with pytest.raises(PharmcalcError, match="house rules"):
        issue_assignment(classroom.course, NAME, classroom.roster, again=True)


def test_a_late_joiner_gets_a_copy(classroom: Classroom) -> None:
    """A student who joins after the issue gets the notebook that the others have."""
    late = Student("A-77", "Late", "Lee")
    write_copies(classroom.course, NAME, Roster((*classroom.roster, late)))
    text = (classroom.course.issued(NAME) / "A-77.ipynb").read_text(encoding="utf-8")
    assert "student number = A-77" in text


def test_an_unknown_assignment_is_answered_with_those_there_are(classroom: Classroom) -> None:
    """A misspelt name is told the right ones."""
    with pytest.raises(CourseError, match=f"There are: {NAME}"):
        issue_assignment(classroom.course, "week-2", classroom.roster)


def other_points(nb: dict[str, Any]) -> None:
    """Give a mark cell other marks than its task has."""
    cells_by_id(nb)["mark-q1"]["metadata"]["nbgrader"]["points"] = 50


def free_marks(nb: dict[str, Any]) -> None:
    """Let a mark cell hold its own full marks."""
    cells_by_id(nb)["mark-q1"]["source"] = "2"


def other_labels(nb: dict[str, Any]) -> None:
    """Misspell a label."""
    cells_by_id(nb)["answer-q1"]["source"] = "%%answer q1\nleast wayable quantity = "


def no_answer(nb: dict[str, Any]) -> None:
    """Leave an answer cell out."""
    nb["cells"] = [cell for cell in nb["cells"] if cell["id"] != "answer-q1"]


def no_mark(nb: dict[str, Any]) -> None:
    """Leave a mark cell out."""
    nb["cells"] = [cell for cell in nb["cells"] if cell["id"] != "mark-q2"]


def other_name(nb: dict[str, Any]) -> None:
    """Begin another assignment than the folder says."""
    cells_by_id(nb)["setup"]["source"] = 'from pharmcalc import notebook\nnotebook.begin("week-9", version=1)'


def other_family(nb: dict[str, Any]) -> None:
    """Ask for a kind of task that there is not."""
    cells_by_id(nb)["task-q1"]["source"] = "%task q1 homeopathy"


@pytest.mark.parametrize(
    ("fault", "told"),
    [
        (other_points, "gives 50.* the task has 2"),
        (free_marks, "must hold 0"),
        (other_labels, "least wayable quantity; the task asks for least weighable quantity"),
        (no_answer, "answer-q1 is missing"),
        (no_mark, "Every task needs one mark cell"),
        (other_name, 'begins "week-9"'),
        (other_family, "no kind of task"),
    ],
)
def test_a_fault_in_the_assignment_is_told_before_the_issue(
    classroom: Classroom, fault: Callable[[dict[str, Any]], None], told: str
) -> None:
    """What would harm the marking is found when the assignment is issued, with the cell and the cure."""
    nb = copy.deepcopy(dict(classroom.release))
    check_release(nb, NAME)
    fault(nb)
    with pytest.raises(PharmcalcError, match=told):
        check_release(nb, NAME)


def test_a_trial_release_touches_nothing(classroom: Classroom) -> None:
    """Making the release to compare it writes neither file nor gradebook."""

    def state() -> dict[Path, bytes]:
        return {path: path.read_bytes() for path in classroom.course.root.rglob("*") if path.is_file()}

    before = state()
    make_release(classroom.course, NAME)
    assert state() == before


# Papers alike --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("assignment", Course.open(PROJECT).assignments())
def test_in_a_large_class_no_two_students_share_a_paper(assignment: str, thorough: bool) -> None:
    """300 students with the first of the project's assignments, 100 with each other; all 300 in the thorough run.

    What single tasks have in common is told by task.
    """
    students = 300 if thorough or assignment == "weighing-1" else 100
    issue = read_issue(json.loads(Course.open(PROJECT).release(assignment).read_text(encoding="utf-8")))
    roster = Roster(tuple(Student(f"A-{number:03}", f"Surname {number}", "") for number in range(1, students + 1)))
    alike = check_papers(issue, roster, 1)
    assert alike.papers == ()
    assert set(alike.tasks) == {task for task, _ in issue.tasks}
    assert all(f"{task} {count}" in " ".join(alike.says()) for task, count in alike.tasks.items() if count)


def test_students_with_the_same_paper_are_told() -> None:
    """One task with few numbers: among forty students some have the same, and each group is named."""
    issue = Issue("small", 1, "Small", (("q1", "least-weighable-quantity"),), read_house_rules())
    roster = Roster(tuple(Student(f"B-{number:02}", "Surname", "") for number in range(1, 41)))
    alike = check_papers(issue, roster, 1)
    questions = {s.number: issue.paper(s.number).task("q1").question_text() for s in roster}
    assert alike.papers
    for group in alike.papers:
        assert len({questions[number] for number in group}) == 1
    assert alike.tasks["q1"] == sum(len(group) for group in alike.papers)
    assert all(any(line.startswith(f"The same paper: {group[0]}") for line in alike.says()) for group in alike.papers)
