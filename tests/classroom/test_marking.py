"""Marking a class through nbgrader's converters and gradebook."""

import copy
import json
import os
import re
import shutil
import sys
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup

from pharmcalc.classroom.cells import cells_by_id, source_of
from pharmcalc.classroom.course import MARKED, Course
from pharmcalc.classroom.engine import Converter, gradebook
from pharmcalc.classroom.issuing.issue import issue_assignment
from pharmcalc.classroom.marking.feedback_run import feedback_due
from pharmcalc.classroom.marking.finished import read_marked
from pharmcalc.classroom.marking.marker import mark_script, plain_number, record_of
from pharmcalc.classroom.marking.tidy import tidy
from pharmcalc.classroom.results.picture import ABSENT, NOT_MARKED, Row
from pharmcalc.errors import CourseError
from pharmcalc.tasks.papers import read_issue
from tests.classroom.building import answered, gradebook_rows, nbgrader
from tests.classroom.conftest import NAME, Classroom

LOOP = {
    "cell_type": "code",
    "id": "loop",
    "metadata": {},
    "source": "while True:\n    pass",
    "outputs": [],
    "execution_count": 1,
}


def row_of(classroom: Classroom, number: str) -> Row:
    """Return one student's row in the class picture."""
    return next(row for row in classroom.picture().rows if row.student.number == number)


def lines(classroom: Classroom, number: str, task: str = "q1") -> str:
    """Return the right answers of one task on a student's paper, as typed."""
    return read_issue(classroom.release).paper(number).task(task).answer_lines()


def test_the_worked_solution_earns_full_marks(classroom: Classroom) -> None:
    """Whoever answers everything rightly gets all the marks of the tasks and is cleared."""
    classroom.hand_in("A-01")
    assert classroom.mark().count("marked") == 1
    row = row_of(classroom, "A-01")
    worth = {part.name: part.out_of for part in classroom.picture().tasks}
    assert {task: row.scores[task] for task in worth} == worth
    assert row.all_cleared


def test_the_solution_notebook_itself_earns_full_marks(classroom: Classroom) -> None:
    """The notebook that was written by hand is right: marked as its own student, it loses no mark."""
    written = json.loads(classroom.course.solution(NAME).read_text(encoding="utf-8"))
    number = source_of(cells_by_id(written)["student"]).splitlines()[1].partition("= ")[2]
    script = mark_script(tidy(written, classroom.release), read_issue(classroom.release), number)
    assert script.total == script.paper.out_of
    assert script.needs_eyes == ()


def test_plain_nbgrader_gives_the_same_gradebook(classroom: Classroom, tmp_path: Path) -> None:
    """nbgrader's own command and ours write the same marks and comments, hand-in for hand-in."""
    classroom.hand_in("A-01")
    classroom.hand_in("A-02", answers={"q1": "least weighable quantity = 1 g"})
    classroom.hand_in("A-03", answers={"q1": "", "q2": "nonsense"}, typed="A-01")
    classroom.hand_in("A-04", classroom.release)
    twin = tmp_path / "twin"
    shutil.copytree(classroom.course.root, twin)
    assert classroom.mark().count("marked") == 4
    said = nbgrader(twin, "autograde", NAME)
    ours = gradebook_rows(classroom.course.gradebook)
    assert ours == gradebook_rows(twin / "gradebook.db"), said
    assert len(ours) == 4 * (3 + 4)
    said += nbgrader(twin, "generate_feedback", NAME)
    page = Course(twin).feedback(NAME, "A-02").read_text(encoding="utf-8")
    # nbconvert writes every page out once more through its own parser.
    assert page == str(BeautifulSoup(classroom.feedback("A-02"), "html.parser")), said
    assert said.strip() == "", "an instructor sees no noise"


def test_partial_answers_earn_partial_marks_with_reasons(classroom: Classroom) -> None:
    """A task answered in part earns in part, and the feedback page says why."""
    right = lines(classroom, "A-01", "q2").splitlines()
    classroom.hand_in("A-01", answers={"q2": "\n".join([*right[:1], "multiple factor = 0.001"])})
    classroom.mark()
    row, most = row_of(classroom, "A-01"), classroom.picture().tasks[1].out_of
    assert 0 < row.scores["q2"] < most
    assert not row.cleared["q2"]
    assert "Not cleared" in classroom.feedback("A-01")


def test_a_mistake_is_known_by_name_in_the_report(classroom: Classroom) -> None:
    """A known slip is named in the class picture, with who made it where."""
    task = read_issue(classroom.release).paper("A-02").task("q1")
    (asked,) = task.asked
    mistake = task.mistakes_of(asked)[0]
    wrong = task.typed(asked, mistake.evaluate(task.values))
    classroom.hand_in("A-02", answers={"q1": f"{asked.said} = {wrong}"})
    classroom.mark()
    ((name, cases),) = classroom.picture().mistakes()
    assert name == mistake.name
    assert [(row.student.number, part) for row, part in cases] == [("A-02", "q1")]


def test_another_students_number_is_flagged_and_never_trusted(classroom: Classroom) -> None:
    """A copied notebook is marked on the paper of whoever handed it in, and the report says whose answers fit."""
    classroom.hand_in("A-02", answered(classroom.release, "A-01"))
    classroom.mark()
    row = row_of(classroom, "A-02")
    assert row.total < classroom.picture().out_of - 2
    (reason,) = [reason for reason in row.needs_eyes if "number on the sheet" in reason]
    assert "A-01, not A-02" in reason
    assert "fit the paper of A-01" in reason


def test_a_second_attempts_numbers_are_flagged(classroom: Classroom) -> None:
    """Answers for attempt 2 on a sheet issued as attempt 1 are put before the instructor."""

    def second(nb: dict[str, Any]) -> None:
        cells, paper = cells_by_id(nb), read_issue(classroom.release).paper("A-01", 2)
        cells["student"]["source"] = "%%student\nstudent number = A-01\nattempt = 2"
        for task in paper.tasks:
            cells[f"answer-{task.id}"]["source"] = f"%%answer {task.id}\n{task.answer_lines()}"

    classroom.hand_in("A-01", change=second)
    classroom.mark()
    (reason,) = [reason for reason in row_of(classroom, "A-01").needs_eyes if "attempt" in reason]
    assert "attempt 2" in reason


def test_small_letters_in_the_number_are_no_mismatch(classroom: Classroom) -> None:
    """a-01 is A-01."""
    classroom.hand_in("A-01", typed="a-01")
    classroom.mark()
    assert row_of(classroom, "A-01").needs_eyes == []


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", "empty"),
        (b'{"cells": [{"cell_type": "code", "sour', "breaks off"),
        (b"PK\x03\x04 not a notebook \xff\xfe", "not"),
        (b'{"nbformat": 9, "cells": []}', "format 9"),
        (b"[" * 200_000, "not a notebook"),
        (b'{"nbformat": 4, "cells": 7}', "cannot be read"),
        (b'{"nbformat": 4, "cells": [7]}', "cannot be read"),
        (b'{"a": ' + b"9" * 5000 + b"}", "not a notebook"),
    ],
)
def test_a_broken_file_is_one_line_and_the_class_is_marked(classroom: Classroom, content: bytes, reason: str) -> None:
    """A file that is no notebook gets its reason in the report; everybody else gets their marks."""
    classroom.hand_in("A-01")
    classroom.hand_in("A-02", content)
    classroom.hand_in("A-03")
    run = classroom.mark()
    assert run.count("marked") == 2
    assert [outcome.number for outcome in run.outcomes if outcome.state == "failed"] == ["A-02"]
    row = row_of(classroom, "A-02")
    assert row.state == NOT_MARKED
    assert len(row.needs_eyes) == 1
    assert reason in row.needs_eyes[0]


def test_an_endless_loop_is_kept_and_never_run(classroom: Classroom) -> None:
    """A scratch cell with an endless loop costs nothing, and the instructor still sees it."""
    classroom.hand_in("A-01", change=lambda nb: nb["cells"].append(copy.deepcopy(LOOP)))
    classroom.mark()
    assert row_of(classroom, "A-01").all_cleared
    marked = read_marked(classroom.course, NAME, "A-01")
    assert ["".join(c["source"]) for c in marked["cells"] if c["id"].startswith("scratch")] == [LOOP["source"]]


def test_damaged_cells_cost_no_marks(classroom: Classroom) -> None:
    """Deleted locked cells, a deleted %%answer line and a split answer cell leave a right answer right."""

    def damage(nb: dict[str, Any]) -> None:
        cells = cells_by_id(nb)
        cells["answer-q1"]["source"] = "# my answer\n\n" + cells["answer-q1"]["source"].partition("\n")[2]
        whole = cells["answer-q2"]["source"].splitlines()
        half = copy.deepcopy(cells["answer-q2"])
        cells["answer-q2"]["source"], half["source"] = "\n".join(whole[:3]), "\n".join(whole[3:])
        half["id"] = "half"
        nb["cells"] = [c for c in nb["cells"] if c["id"] not in ("setup", "mark-q1", "house-rules")]
        nb["cells"].insert(nb["cells"].index(cells["answer-q2"]) + 1, half)

    classroom.hand_in("A-01", change=damage)
    classroom.mark()
    row = row_of(classroom, "A-01")
    assert row.all_cleared
    assert len(row.notes) == 4


def test_edited_rules_and_tasks_change_nothing(classroom: Classroom) -> None:
    """What was asked and by which rules is read from the release, never from the student's copy."""

    def cheat(nb: dict[str, Any]) -> None:
        cells = cells_by_id(nb)
        rules = "".join(cells["house-rules"]["source"]).replace('"5 %"', '"50 %"')
        cells["house-rules"]["source"] = rules
        cells["task-q2"]["source"] = "%task q2 percentage-of-error"
        cells["answer-q2"]["source"] = "%%answer q2\npercentage of error = 1 %"

    classroom.hand_in("A-01", change=cheat)
    classroom.mark()
    row = row_of(classroom, "A-01")
    assert row.scores["q2"] == 0
    assert row.scores["q1"] == classroom.picture().tasks[0].out_of


def test_an_unknown_students_folder_is_reported_and_not_marked(classroom: Classroom) -> None:
    """A folder that nobody on the class list owns does not enter the gradebook."""
    classroom.hand_in("Z-99")
    run = classroom.mark()
    assert "not on the class list" in run.outcomes[0].reason
    assert all(row[0] != "Z-99" for row in gradebook_rows(classroom.course.gradebook))
    assert classroom.picture().set_aside[0].file == "submitted/Z-99"


def test_a_link_in_place_of_a_hand_in_is_not_followed(classroom: Classroom) -> None:
    """A link to the gradebook is not a hand-in, and the gradebook stays whole."""
    path = classroom.hand_in("A-01", b"")
    path.unlink()
    path.symlink_to(classroom.course.gradebook)
    run = classroom.mark()
    assert "link" in run.outcomes[0].reason
    with gradebook(classroom.course) as book:
        assert [a.name for a in book.assignments] == [NAME]


def test_marking_again_marks_only_what_is_new(classroom: Classroom) -> None:
    """A second run leaves what is marked alone and marks the hand-in that changed."""
    classroom.hand_in("A-01")
    classroom.hand_in("A-02")
    assert classroom.mark().count("marked") == 2
    classroom.hand_in("A-02", answers={"q1": ""})
    run = classroom.mark()
    assert {o.number: o.state for o in run.outcomes} == {"A-01": "unchanged", "A-02": "marked"}
    assert classroom.mark(again=True).count("marked") == 2


def test_a_run_that_was_killed_is_simply_run_again(classroom: Classroom) -> None:
    """Without its completion marker a hand-in counts as not marked, is shown as such, and is marked by the next run."""
    classroom.hand_in("A-01")
    classroom.mark()
    before = gradebook_rows(classroom.course.gradebook)
    (classroom.course.autograded(NAME, "A-01").parent / MARKED).unlink()
    assert row_of(classroom, "A-01").state == NOT_MARKED
    assert classroom.mark().count("marked") == 1
    assert gradebook_rows(classroom.course.gradebook) == before


def test_feedback_that_a_kill_left_out_is_written_by_the_next_run(classroom: Classroom) -> None:
    """A page that is missing, cut off or older than the marking is due; a whole and newer one is not."""
    for number in ("A-01", "A-02", "A-03"):
        classroom.hand_in(number)
    classroom.mark()
    assert feedback_due(classroom.course, NAME, classroom.roster) == ["A-01", "A-02", "A-03"]
    for number in ("A-01", "A-02", "A-03"):
        classroom.feedback(number)
    assert feedback_due(classroom.course, NAME, classroom.roster) == []
    page = classroom.course.feedback(NAME, "A-02")
    page.write_bytes(page.read_bytes()[:1000])
    os.utime(classroom.course.feedback(NAME, "A-03"), (0, 0))
    assert feedback_due(classroom.course, NAME, classroom.roster) == ["A-02", "A-03"]


def test_marks_given_by_hand_stay(classroom: Classroom) -> None:
    """Marking again keeps a mark that a person gave, and asks for no second look where nothing changed."""
    change = "Because 6 mg is a larger share of less powder."
    classroom.hand_in("A-01", change=lambda nb: cells_by_id(nb)["explain-1"].update(source=change))
    classroom.mark()
    assert row_of(classroom, "A-01").to_mark == ["explain-1"]
    with gradebook(classroom.course) as book:
        for name, points in (("explain-1", 1.5), ("mark-q1", 0.5)):
            grade = book.find_grade(name, NAME, NAME, "A-01")
            grade.manual_score, grade.needs_manual_grade = points, False
        book.db.commit()
    classroom.mark(again=True)
    row = row_of(classroom, "A-01")
    assert (row.scores["explain-1"], row.scores["q1"]) == (1.5, 0.5)
    assert row.to_mark == []


def test_a_changed_answer_asks_for_another_look(classroom: Classroom) -> None:
    """Where the answer changed after a mark was given by hand, the mark stays and a person is asked."""
    classroom.hand_in("A-01", change=lambda nb: cells_by_id(nb)["explain-1"].update(source="First."))
    classroom.mark()
    with gradebook(classroom.course) as book:
        grade = book.find_grade("explain-1", NAME, NAME, "A-01")
        grade.manual_score, grade.needs_manual_grade = 2, False
        book.db.commit()
    classroom.hand_in("A-01", change=lambda nb: cells_by_id(nb)["explain-1"].update(source="Second."))
    classroom.mark()
    row = row_of(classroom, "A-01")
    assert row.scores["explain-1"] == 2
    assert row.to_mark == ["explain-1"]


def test_the_gradebook_before_each_run_is_kept(classroom: Classroom) -> None:
    """Copying the kept file back undoes a run."""
    classroom.hand_in("A-01")
    before = gradebook_rows(classroom.course.gradebook)
    run = classroom.mark()
    assert gradebook_rows(classroom.course.gradebook) != before
    assert run.backup is not None
    shutil.copyfile(run.backup, classroom.course.gradebook)
    assert gradebook_rows(classroom.course.gradebook) == before


def test_a_damaged_gradebook_stops_before_anything_is_written(classroom: Classroom) -> None:
    """A gradebook that is no database is named, with the copy to put in its place."""
    classroom.mark()
    classroom.course.gradebook.write_bytes(b"not a database" * 1000)
    with pytest.raises(CourseError, match=r"Copy .*gradebook-.* over it"):
        classroom.mark()


def test_a_damaged_copy_is_never_recommended(classroom: Classroom) -> None:
    """The newest copy that is sound is named; where there is none, that is said."""
    sound, damaged = (classroom.course.backup("test") for _ in range(2))
    assert sound is not None
    assert damaged is not None
    damaged.write_bytes(b"cut off")
    classroom.course.gradebook.write_bytes(b"not a database" * 1000)
    with pytest.raises(CourseError, match=re.escape(f"Copy {sound} over it")):
        classroom.mark()
    for kept in damaged.parent.glob("gradebook-*.db"):
        kept.write_bytes(b"cut off")
    with pytest.raises(CourseError, match="There is no sound copy of it"):
        classroom.mark()


@pytest.mark.skipif(sys.platform == "win32", reason="the system has no limit for a file's size")
def test_a_full_disk_stops_a_run_before_it_begins(classroom: Classroom) -> None:
    """Without room for a copy of the gradebook nothing is marked, nothing half-written is left, and it is said."""
    import resource

    classroom.hand_in("A-01")
    before = gradebook_rows(classroom.course.gradebook)
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (8192, limits[1]))
    try:
        with pytest.raises(CourseError, match=r"No copy of the gradebook can be kept in .*Make room"):
            classroom.mark()
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert gradebook_rows(classroom.course.gradebook) == before
    assert not list((classroom.course.root / "backups").glob("*-before-mark-*"))
    assert classroom.mark().count("marked") == 1


def test_a_folder_that_cannot_be_written_is_no_other_run(classroom: Classroom) -> None:
    """The message says what is wrong with the folder."""
    (classroom.course.root / "backups").write_text("a file lies here", encoding="utf-8")
    with pytest.raises(CourseError, match="cannot be written"), classroom.course.only_run():
        pass


def test_nothing_is_marked_before_it_is_issued(classroom: Classroom) -> None:
    """Without a release there is nothing to mark by."""
    shutil.rmtree(classroom.course.release(NAME).parent)
    with pytest.raises(CourseError, match="pharmcalc issue"):
        classroom.mark()


def test_students_who_handed_in_nothing_are_named_as_absent(classroom: Classroom) -> None:
    """Every student of the class list is in the picture, handed in or not."""
    classroom.hand_in("A-01")
    classroom.mark()
    assert len(classroom.picture().rows) == len(classroom.roster)
    assert len(classroom.picture().having(ABSENT)) == len(classroom.roster) - 1


def test_a_graded_cell_that_belongs_to_no_task_earns_nothing(classroom: Classroom) -> None:
    """Marks fail closed: a code cell that only nbgrader would run is worth nothing here, and is flagged."""
    written = json.loads(classroom.course.solution(NAME).read_text(encoding="utf-8"))
    extra = copy.deepcopy(cells_by_id(written)["mark-q1"])
    extra["id"] = extra["metadata"]["nbgrader"]["grade_id"] = "bonus"
    written["cells"].append(extra)
    classroom.course.solution(NAME).write_text(json.dumps(written), encoding="utf-8")
    with pytest.raises(CourseError, match="bonus"):
        issue_assignment(classroom.course, NAME, classroom.roster)
    Converter("GenerateAssignment", classroom.course, NAME).run()
    classroom.hand_in("A-01")
    assert classroom.mark().count("marked") == 1
    row = row_of(classroom, "A-01")
    assert row.scores["bonus"] == 0
    assert "bonus" in row.needs_eyes[0]


@pytest.mark.parametrize(
    "marks", [Fraction(-1), Fraction(0), Fraction(1, 3), Fraction(2, 3), Fraction(2), Fraction(99)]
)
def test_points_are_one_plain_number_within_the_limits(marks: Fraction) -> None:
    """What nbgrader reads is a number between none and all, and never more than was earned."""
    shown = plain_number(marks, 2)
    assert shown.replace(".", "").isdigit()
    assert 0 <= Fraction(shown) <= min(max(marks, Fraction(0)), Fraction(2))
    assert min(max(marks, Fraction(0)), Fraction(2)) - Fraction(shown) < Fraction(1, 10**6)


def test_the_record_beside_a_mark_says_how_it_came_about(classroom: Classroom) -> None:
    """The marked copy holds, for each task, whose paper it was, the verdicts and the clearance."""
    classroom.hand_in("A-01")
    classroom.mark()
    record = record_of(cells_by_id(read_marked(classroom.course, NAME, "A-01"))["mark-q2"])
    assert record is not None
    paper = read_issue(classroom.release).paper("A-01")
    assert (record["student"], record["paper"], record["cleared"]) == ("A-01", paper.code, True)
    assert [v["answer"] for v in record["verdicts"]] == [asked.said for asked in paper.task("q2").asked]


def test_a_course_is_recognised_by_its_settings_file(tmp_path: Path) -> None:
    """In any other folder the answer is where to go, not a trace of Python."""
    with pytest.raises(CourseError, match="not a course folder"):
        Course.open(tmp_path)
