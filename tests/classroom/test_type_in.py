"""Answers from paper, typed in one line a student: read back, handed in like any other, marked like any other."""

import csv
import json
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner
from rich.console import Console

from pharmcalc.__main__ import pharmcalc
from pharmcalc.classroom.course import Course
from pharmcalc.classroom.desk import on_paper
from pharmcalc.classroom.desk.door import Terminal
from pharmcalc.classroom.issuing.deadlines import set_deadline
from pharmcalc.classroom.paper.origin import LIST
from pharmcalc.classroom.paper.typed import Reader, places_of
from pharmcalc.classroom.paper.typing_in import Session, name_of
from pharmcalc.classroom.results.report import write_all
from pharmcalc.classroom.roster import read_roster
from pharmcalc.errors import CourseError
from pharmcalc.tasks.family import Task
from pharmcalc.tasks.house import default_house_rules_text
from pharmcalc.tasks.papers import read_issue
from tests.classroom.building import answered, assignment, gradebook_rows, hand_in, write_course
from tests.classroom.conftest import NAME, Classroom

PLACES = 1 + 6


def values(task: Task) -> list[str]:
    """Return the right answers to a task, as a student writes them."""
    return [task.typed(asked) for asked in task.asked]


def code_of(room: Classroom, number: str) -> str:
    """Return the code on a student's paper."""
    return read_issue(room.release).paper(number).code


def line_of(room: Classroom, number: str, *changed: tuple[int, str]) -> str:
    """Return the line of a student's paper, right but for some changed places."""
    paper = read_issue(room.release).paper(number)
    answers = [value for task in paper.tasks for value in values(task)]
    for place, value in changed:
        answers[place] = value
    return "; ".join([paper.code, *answers])


def reader(room: Classroom) -> Reader:
    """Return a reader of typed lines."""
    return Reader(room.course, NAME, room.roster)


def take(room: Classroom, *lines: str) -> str:
    """Type lines in at once, and return what was told."""
    with (console := Console(width=10_000, soft_wrap=True)).capture() as told:
        on_paper.type_in(room.course, NAME, lines, "MK", Terminal(console))
    return told.get()


def rows_of(course: Course) -> list[dict[str, str]]:
    """Return the list of all that was typed."""
    with (course.root / LIST).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def released(root: Path, *families: str, names: tuple[str, ...] = (NAME,)) -> Course:
    """Return a course with assignments for A-01, laid where issuing would lay them."""
    course = Course(root)
    for name in names:
        made = assignment(name, families, default_house_rules_text())
        if not root.exists():
            write_course(root, names[0], families, ("A-01",))
        for path in (course.solution(name), course.release(name), course.issued(name) / "A-01.ipynb"):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(json.dumps(made), encoding="utf-8")
    return course


# Reading a line -----------------------------------------------------------------------------------------------------


def test_a_line_is_a_code_and_the_answers_in_the_order_printed(classroom: Classroom) -> None:
    """Small letters, blanks around, a student's number for the code, tabs for semicolons: the same paper."""
    line = line_of(classroom, "A-02")
    code, *rest = line.split("; ")
    alike = [line, line.lower().replace(code.lower(), code.lower()), "\t".join([code, *rest]), f"a-02;{';'.join(rest)}"]
    read = [reader(classroom).read(one) for one in alike]
    assert {paper.student.number for paper in read if paper} == {"A-02"}
    assert {paper.answers for paper in read if paper} == {tuple(rest)}
    assert len(rest) == PLACES == len(places_of(read_issue(classroom.release)))


def test_it_is_said_how_each_answer_was_read_and_never_whether_it_is_right(classroom: Classroom) -> None:
    """A wrong amount is read back like a right one; what cannot be read, and what is missing, stands out."""
    code = code_of(classroom, "A-01")
    paper = reader(classroom).read(f"{code}; 6 mg / 5 % = 1 mg;; 3 stones; -")
    assert paper
    assert list(paper.echo()) == [
        "  q1 least weighable quantity: 6 mg / 5 % = 1 mg → read as 1 mg",
        next(line for line in paper.echo() if line.startswith("! q2 multiple factor") or "3 stones" in line),
        "! no answer: q2 least weighable quantity, q2 drug to weigh, q2 aliquot, q2 total mixture, q2 diluent to weigh",
    ]
    assert "could not be read" in list(paper.echo())[1]


@pytest.mark.parametrize("line", ["", "  ", ";;;", "# the first row", "Code; q1; q2", "student number\tq1"])
def test_what_holds_no_paper_is_passed_over(classroom: Classroom, line: str) -> None:
    """Empty lines, remarks and a spreadsheet's headings are no papers and no mistakes."""
    assert reader(classroom).read(line) is None


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("{code}", "there is no answer on this line"),
        ("{code};1;2;3;4;5;6;7;8", "8 answers were typed, and the paper has 7 places: q1 least weighable quantity;"),
        ("Brook; 120 mg", '"Brook" is neither the code of a paper nor a number on the class list'),
        ("{wrong}; 120 mg", r"its last sign does not fit the others\. Look at the sheet again\. Near it: {code}"),
        ("YM6BR37; 120 mg", "is a paper code, but of no paper that was issued to this class"),
        ("{code}; " + "9" * 6000, "Type one line a student"),
    ],
)
def test_a_line_that_cannot_be_used_says_why(classroom: Classroom, line: str, says: str) -> None:
    """Whatever is wrong, the message says what was read and what to do; no paper is guessed."""
    code = code_of(classroom, "A-01")
    wrong = code[:-1] + ("A" if code[-1] != "A" else "B")
    with pytest.raises(CourseError, match=says.format(code=code)):
        reader(classroom).read(line.format(code=code, wrong=wrong))


def test_a_decision_is_typed_by_its_letter_or_in_words(tmp_path: Path) -> None:
    """The letter beside a box means the words there; anything else is read as it is in a notebook."""
    course = released(tmp_path / "course", "stop-and-ask")
    lines = Reader(course, NAME, read_roster(course.class_list))
    decision = places_of(lines.issue)[0].asked
    for text, said in (("b", "stop and ask"), ("B", "stop and ask"), ("go ahead", "go ahead"), ("c", "c")):
        paper = lines.read(f"A-01; {text}")
        assert paper
        assert f"{decision.said} = {said}" in paper.cell("q1").splitlines()


def test_nothing_is_typed_in_for_the_simulated_bench(tmp_path: Path) -> None:
    """A weighing at the simulated bench is marked from its record; there is no place for it on paper."""
    course = released(tmp_path / "course", "bench-weighing")
    with pytest.raises(CourseError, match="is answered at the simulated bench, not on paper"):
        Reader(course, NAME, read_roster(course.class_list))


def test_a_name_or_initials_are_needed() -> None:
    """Who typed stands on the hand-in, so it cannot be left out, and it cannot be markup."""
    assert name_of("  M.  Keller ") == "M. Keller"
    for by in ("", "  ", "<b>"):
        with pytest.raises(CourseError, match="Who types"):
            name_of(by)


# From paper to marks ------------------------------------------------------------------------------------------------


def test_paper_earns_what_a_notebook_earns(classroom: Classroom, tmp_path: Path) -> None:
    """The same answers, right and wrong, get the same marks and comments typed in from paper as handed in."""
    shutil.copytree(classroom.course.root, tmp_path / "other")
    other = Classroom.at(tmp_path / "other")
    lines = {
        "A-01": line_of(classroom, "A-01"),
        "A-02": line_of(classroom, "A-02", (0, "1 mg"), (2, "")),
        "A-03": line_of(classroom, "A-03", (3, "a handful")),
    }
    told = take(classroom, *lines.values(), "foo; 1", f"{code_of(classroom, 'A-04')[:-1]}; 2")
    assert "3 typed in from paper" in told
    assert told.count("Not read") == 2
    for number, line in lines.items():
        texts = iter(line.split("; ")[1:])
        typed = {
            task.id: "\n".join(f"{asked.said} = {next(texts)}" for asked in task.asked)
            for task in read_issue(other.release).paper(number).tasks
        }
        hand_in(other.course.root, NAME, number, answered(other.release, number, typed))
    assert classroom.mark().count("marked") == other.mark().count("marked") == 3
    rows = gradebook_rows(classroom.course.gradebook)
    assert rows == gradebook_rows(other.course.gradebook)
    assert len({row[3] for row in rows if row[2] == "mark-q1"}) == 2

    origin = rows_of(classroom.course)[-1]["origin"]
    assert origin.startswith("Typed in from paper by MK on 20")
    assert origin in classroom.feedback("A-03")
    page, sheet = write_all(classroom.course, classroom.picture())
    assert origin in page.read_text(encoding="utf-8")
    assert origin in sheet.read_text(encoding="utf-8-sig")


def test_what_a_student_writes_of_paper_is_not_reported_as_typed_in(classroom: Classroom) -> None:
    """Only what was really typed in is told as such, whatever stands in a notebook."""
    forged = {"cell_type": "markdown", "id": "x", "metadata": {}, "source": "Typed in from paper by MK on 2026-01-01."}
    classroom.hand_in("A-01", change=lambda nb: nb["cells"].append(forged))
    classroom.mark()
    assert not any("Typed in" in note for row in classroom.picture().rows for note in row.notes)


@pytest.mark.parametrize("hours", [-3, 3])
def test_paper_counts_as_handed_in_at_the_deadline_at_the_latest(classroom: Classroom, hours: int) -> None:
    """Paper was collected at the deadline, whenever it is typed: nobody is late for it. Before it, now is the time."""
    deadline = datetime.now(UTC).replace(microsecond=0) + timedelta(hours=hours)
    set_deadline(classroom.course, NAME, deadline, classroom.roster)
    take(classroom, line_of(classroom, "A-01"))
    stamp = classroom.course.submitted(NAME, "A-01").with_name("timestamp.txt").read_text(encoding="utf-8")
    came = datetime.strptime(stamp.strip(), "%Y-%m-%d %H:%M:%S.%f UTC").replace(tzinfo=UTC)
    assert came <= deadline
    assert (came == deadline) is (hours < 0)
    assert ("It counts as handed in at the deadline" in rows_of(classroom.course)[-1]["origin"]) is (hours < 0)
    classroom.mark()
    assert not any("late" in note for row in classroom.picture().rows for note in row.notes)


def test_the_last_of_several_lines_counts_and_all_are_kept(classroom: Classroom) -> None:
    """First, corrected, and back again, all after the deadline: the newest line is what is marked."""
    set_deadline(classroom.course, NAME, datetime.now(UTC) - timedelta(days=2), classroom.roster)
    lines = [line_of(classroom, "A-01", (0, text)) for text in ("1 mg", "2 mg", "1 mg")]
    for line, text in zip(lines, ("1 mg", "2 mg", "1 mg"), strict=True):
        take(classroom, line)
        nb = classroom.course.submitted(NAME, "A-01").read_text(encoding="utf-8")
        assert f"least weighable quantity = {text}" in nb
    assert [row["line"] for row in rows_of(classroom.course)] == lines
    assert len(list(classroom.course.received(NAME).rglob("typed-in-from-paper.ipynb"))) == 3


def test_the_same_file_may_be_read_again(classroom: Classroom) -> None:
    """After a stop or a mended line the file is read once more: what was taken stays, only the new is taken."""
    first, second = line_of(classroom, "A-01"), line_of(classroom, "A-02")
    assert "1 typed in from paper" in take(classroom, first, "A-99; 1")
    again = take(classroom, first, second)
    assert "1 were there already" in again
    assert "1 typed in from paper" in again


# At the keyboard ----------------------------------------------------------------------------------------------------


def test_typing_needs_one_line_a_student_and_no_more(classroom: Classroom) -> None:
    """The next student's line takes the one before it; the same student's line takes its place; Enter ends."""
    told: list[str] = []
    session = Session(classroom.course, NAME, classroom.roster, "MK", told.append)
    for text in ("1 mg", "2 mg"):
        assert session.hear(line_of(classroom, "A-01", (0, text)))
    assert not classroom.course.submitted(NAME, "A-01").exists()
    assert session.hear("A-99; 3")
    assert session.hear(line_of(classroom, "A-02"))
    assert "A-01: taken" in told
    assert session.hear("")
    assert "A-02: taken" in told
    assert not session.hear("")
    assert session.taken == {"A-01", "A-02"}
    assert [(row["number"], row["result"][:11]) for row in rows_of(classroom.course)] == [
        ("A-01", "typed again"),
        ("", '"A-99" is n'),
        ("A-01", "taken"),
        ("A-02", "taken"),
    ]


def test_whoever_stops_is_told_what_was_not_taken(classroom: Classroom) -> None:
    """Ctrl+C takes nothing, loses nothing that was taken, and keeps the line in the list."""
    told: list[str] = []
    session = Session(classroom.course, NAME, classroom.roster, "MK", told.append)
    session.hear(line_of(classroom, "A-01"))
    session.leave()
    assert told[-1] == "A-01: the last line was not taken. Type it again."
    assert rows_of(classroom.course)[-1]["result"] == "not taken"
    assert not classroom.course.submitted(NAME, "A-01").exists()


def test_the_command_reads_the_keyboard_or_a_file(classroom: Classroom, tmp_path: Path) -> None:
    """Both ways of the command, and the key of one of the papers by its code."""
    run, course = CliRunner().invoke, ["--course", str(classroom.course.root)]
    typed = f"{line_of(classroom, 'A-01')}\n{line_of(classroom, 'A-02')}\n\n\n"
    done = run(pharmcalc, [*course, "type-in", NAME, "--by", "MK"], input=typed)
    assert done.exit_code == 0, done.output
    assert "2 typed in from paper" in done.output
    file = tmp_path / "typed.txt"
    file.write_text(line_of(classroom, "A-03").replace("; ", "\t"), encoding="utf-16")
    done = run(pharmcalc, [*course, "type-in", NAME, str(file), "--by", "MK"])
    assert "1 typed in from paper" in done.output
    found = run(pharmcalc, [*course, "paper", code_of(classroom, "A-03").lower(), "--working"])
    assert "A-03 SurnameA-03, GivenA-03" in found.output
    task = read_issue(classroom.release).paper("A-03").tasks[0]
    assert f"least weighable quantity = {values(task)[0]}" in found.output
    assert "Proof" in found.output


def test_a_code_of_another_assignment_is_sent_there(tmp_path: Path) -> None:
    """A sheet that lies in the wrong pile is named, with the command for it."""
    course = released(tmp_path / "course", "percentage-ww", names=(NAME, "week-2"))
    roster = read_roster(course.class_list)
    lines = Reader(course, "week-2", roster)
    code = Reader(course, NAME, roster).issue.paper("A-01").code
    with pytest.raises(CourseError, match=rf"is the paper of {NAME}, A-01, attempt 1, .* pharmcalc type-in {NAME}"):
        lines.read(f"{code}; 5 %")
