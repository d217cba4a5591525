"""What counts as marked, what makes a run mark again, and what an earlier run left that must go."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from pharmcalc.bench import file_name
from pharmcalc.classroom.cells import cells_by_id
from pharmcalc.classroom.engine import gradebook
from pharmcalc.classroom.handed_in.inbox import stamp
from pharmcalc.classroom.handed_in.submitted import STAMP
from pharmcalc.classroom.handed_in.takein import take_in
from pharmcalc.classroom.handed_in.which import Candidate, that_counts
from pharmcalc.classroom.issuing.deadlines import Deadlines, read_deadlines, set_deadline
from pharmcalc.classroom.marking import run as run_module
from pharmcalc.classroom.marking.finished import is_marked
from pharmcalc.classroom.results.attempts import read_attempts
from tests.classroom.conftest import NAME, Classroom

DUE = datetime(2026, 3, 2, 12, tzinfo=UTC)


class PulledPlugError(BaseException):
    """The process ends here: nothing of ours catches it."""


def states(room: Classroom) -> dict[str, str]:
    """Mark, and return what became of each hand-in."""
    return {outcome.number: outcome.state for outcome in room.mark().outcomes}


def by_hand(room: Classroom, name: str, points: float) -> None:
    """Give a mark as a person does it in nbgrader's own pages."""
    with gradebook(room.course) as book:
        grade = book.find_grade(name, NAME, NAME, "A-01")
        grade.manual_score, grade.needs_manual_grade = points, False
        book.db.commit()


def needs_a_look(room: Classroom, name: str) -> bool:
    """Say whether nbgrader's pages ask for a person."""
    with gradebook(room.course) as book:
        return bool(book.find_grade(name, NAME, NAME, "A-01").needs_manual_grade)


@pytest.mark.parametrize("step", ["add_attempt", "lay_down", "finish"])
def test_cut_off_anywhere_it_is_not_marked_and_the_next_run_leaves_nothing_out(
    classroom: Classroom, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    """The marker comes last of all: marks, notebook and list of attempts are there when it is."""

    def pulled(*_: object) -> None:
        raise PulledPlugError

    classroom.hand_in("A-01")
    with monkeypatch.context() as patch:
        patch.setattr(run_module, step, pulled)
        with pytest.raises(PulledPlugError):
            classroom.mark()
    assert not is_marked(classroom.course, NAME, "A-01")
    assert states(classroom) == {"A-01": "marked"}
    assert [attempt.attempt for attempt in read_attempts(classroom.course, NAME)["A-01"]] == [1]
    assert classroom.picture().rows[0].scores["q1"] > 0


def test_a_marker_without_its_notebook_marks_nothing(classroom: Classroom) -> None:
    """Where somebody removed the marked notebook, the hand-in is marked again."""
    classroom.hand_in("A-01")
    classroom.mark()
    classroom.course.autograded(NAME, "A-01").unlink()
    assert not is_marked(classroom.course, NAME, "A-01")
    assert states(classroom) == {"A-01": "marked"}


def test_another_time_of_handing_in_is_marked_anew(classroom: Classroom) -> None:
    """The notebook is the same; what lateness costs may not be."""
    folder = classroom.hand_in("A-01").parent
    stamp(folder, DUE)
    assert states(classroom) == {"A-01": "marked"}
    assert states(classroom) == {"A-01": "unchanged"}
    stamp(folder, DUE + timedelta(minutes=1))
    assert states(classroom) == {"A-01": "marked"}


def test_what_no_longer_comes_with_a_hand_in_does_not_stay_beside_its_marking(classroom: Classroom) -> None:
    """An older bench record or time would be taken for the newer hand-in's by nbgrader's tools."""
    folder = classroom.hand_in("A-01").parent
    stamp(folder, DUE)
    classroom.mark()
    beside = classroom.course.autograded(NAME, "A-01").parent
    (beside / file_name("q9")).write_text("{}", encoding="utf-8")
    assert (beside / STAMP).is_file()
    (folder / STAMP).unlink()
    assert states(classroom) == {"A-01": "marked"}
    assert not (beside / STAMP).exists()
    assert not (beside / file_name("q9")).exists()


def test_an_extension_that_was_taken_back_is_gone(classroom: Classroom) -> None:
    """A line struck from the class list no longer moves the deadline, in the gradebook neither."""
    plain = classroom.course.class_list.read_text(encoding="utf-8")
    head, *lines = plain.splitlines()
    longer = "\n".join([f"{head},extension", *(f"{line},2 days" for line in lines)])
    set_deadline(classroom.course, NAME, DUE, classroom.roster)
    stamp(classroom.hand_in("A-01").parent, DUE + timedelta(hours=3))
    late = []
    for text in (longer, plain):
        classroom.course.class_list.write_text(text, encoding="utf-8")
        assert states(Classroom.at(classroom.course.root)) == {"A-01": "marked"}
        with gradebook(classroom.course) as book:
            late.append(book.find_submission(NAME, "A-01").total_seconds_late)
    assert late == [0, 3 * 3600]


def test_a_mark_given_by_hand_is_settled_only_against_the_answer_it_was_given_for(classroom: Classroom) -> None:
    """Where the notebook of the marking before is gone, nobody can tell that the answer is the same: a person looks."""
    classroom.hand_in("A-01", change=lambda nb: cells_by_id(nb)["explain-1"].update(source="Because."))
    classroom.mark()
    by_hand(classroom, "explain-1", 1)
    classroom.mark(again=True)
    assert not needs_a_look(classroom, "explain-1")
    classroom.course.autograded(NAME, "A-01").unlink()
    classroom.mark()
    assert needs_a_look(classroom, "explain-1")


def test_a_mark_that_still_awaits_a_person_is_not_settled_by_marking_again(classroom: Classroom) -> None:
    """Somebody gave a mark and asked for another look: the run leaves it so."""
    classroom.hand_in("A-01")
    classroom.mark()
    by_hand(classroom, "mark-q1", 0)
    with gradebook(classroom.course) as book:
        book.find_grade("mark-q1", NAME, NAME, "A-01").needs_manual_grade = True
        book.db.commit()
    classroom.mark(again=True)
    assert needs_a_look(classroom, "mark-q1")


def test_at_the_very_deadline_is_in_time() -> None:
    """A second later is late."""

    def at(when: datetime, name: str) -> Candidate:
        return Candidate(name, when, name, Path(name), 0)

    early, sharp, late = (at(DUE + timedelta(seconds=seconds), str(seconds)) for seconds in (-60, 0, 1))
    assert that_counts([early, sharp, late], DUE) is sharp


def test_deadlines_of_another_assignment_are_another_matter(classroom: Classroom) -> None:
    """Each assignment has its own, for everybody and for one."""
    solution = classroom.course.solution("week-2")
    solution.parent.mkdir(parents=True)
    solution.write_text("{}", encoding="utf-8")
    set_deadline(classroom.course, "week-2", DUE, classroom.roster)
    set_deadline(classroom.course, "week-2", DUE, classroom.roster, "A-01")
    assert read_deadlines(classroom.course, NAME) == Deadlines()
    assert read_deadlines(classroom.course, "week-2") == Deadlines(DUE, {"A-01": DUE}, set=True)


def test_a_folder_whose_name_is_spelled_otherwise_is_nobodys(classroom: Classroom) -> None:
    """a-01 would be a second student for nbgrader; it is told, and nothing of it enters the gradebook."""
    classroom.hand_in("A-01").parent.parent.rename(classroom.course.root / "submitted" / "a-01")
    run = classroom.mark()
    assert [outcome.state for outcome in run.outcomes] == ["failed"]
    assert "not on the class list" in run.outcomes[0].reason
    with gradebook(classroom.course) as book:
        assert [student.id for student in book.students] == []


def test_nothing_is_written_through_a_linked_folder(classroom: Classroom, tmp_path: Path) -> None:
    """A folder in submitted/ that leads elsewhere stays untouched, and the hand-in is told with the cure."""
    elsewhere, came = tmp_path / "elsewhere", tmp_path / "in"
    came.mkdir()
    (came / "A-01.ipynb").write_bytes(classroom.hand_in("A-01").read_bytes())
    place = classroom.course.submitted(NAME, "A-01").parent
    place.rename(elsewhere)
    (elsewhere / f"{NAME}.ipynb").write_text("mine", encoding="utf-8")
    place.symlink_to(elsewhere)
    result = take_in(classroom.course, NAME, came, classroom.roster)
    assert (elsewhere / f"{NAME}.ipynb").read_text(encoding="utf-8") == "mine"
    assert "is a link; remove it" in result.refused[0].reason
