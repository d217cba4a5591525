"""What the cells of an assignment show, without a notebook."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.notebook.sitting import (
    LONGEST_SHOWN,
    NOT_YOURS,
    NUMBER_MISSING,
    ON_YOUR_OWN,
    READ_ONLY,
    RUN_ALL,
    SELF_STUDY,
    TYPE_NUMBER,
    Sitting,
)
from pharmcalc.tasks.house import default_house_rules_text, read_house_rules
from pharmcalc.tasks.papers import Issue

LWQ, PLAN = "q1 least-weighable-quantity", "q2 aliquot-plan"
TASKS = (("q1", "least-weighable-quantity"), ("q2", "aliquot-plan"))
A_07 = "student number = A-07\nattempt = 1"


@pytest.fixture
def sitting() -> Sitting:
    """An assignment that has just been opened."""
    return Sitting("weighing-1", 1)


@pytest.fixture
def filled(sitting: Sitting) -> Sitting:
    """The same with house rules, a student and two tasks."""
    sitting.house_rules(default_house_rules_text())
    sitting.student(A_07)
    sitting.task(LWQ)
    sitting.task(PLAN)
    return sitting


def test_house_rules_are_shown_as_a_table(sitting: Sitting) -> None:
    """Every rule by which answers are marked stands before the student, in HTML and in plain text."""
    shown = sitting.house_rules(default_house_rules_text())
    for what, value in read_house_rules().summary():
        assert f"{what}: {value}" in shown.text
        assert f'<th scope="row">{what}</th><td>{value}</td>' in shown.html
    assert "<caption>" in shown.html
    assert shown.html.count('scope="col"') == 2


def test_an_empty_house_rules_cell_means_the_rules_of_the_course(sitting: Sitting) -> None:
    """In solutions/ only the magic line stands there; the release fills in the course's file."""
    assert sitting.house_rules("").text == sitting.house_rules(default_house_rules_text()).text


def test_house_rules_that_cannot_be_read_are_told_and_not_replaced(sitting: Sitting) -> None:
    """With other rules the numbers would be other numbers, so no question is shown until they can be read."""
    sitting.student(A_07)
    sitting.task(LWQ)
    shown = sitting.house_rules('allowed-error = "<b>lots</b>"\n[[balance]]')
    assert "house rules" in shown.text
    assert "instructor" in shown.text
    assert "<b>" not in shown.html
    assert RUN_ALL in sitting.question("q1").text


def test_without_a_number_the_cell_says_exactly_what_to_type(sitting: Sitting) -> None:
    """A student who runs the cell before filling it in reads the line to type."""
    shown = sitting.student("student number = \nattempt = 1")
    assert NUMBER_MISSING.replace("`", "") in shown.text
    assert "<code>student number = A-07</code>" in shown.html
    assert "not there yet" in shown.text


def test_number_attempt_and_code_are_shown_as_read(filled: Sitting) -> None:
    """The student sees which paper this is, and can compare its code with the printed sheet."""
    shown = filled.student("student number = a-07\nattempt = 2")
    paper = Issue("weighing-1", 1, "", TASKS, read_house_rules()).paper("A-07", 2)
    assert "Student number: A-07" in shown.text
    assert "Attempt: 2" in shown.text
    assert f"Code of this paper: {paper.code}" in shown.text


def test_a_number_that_is_none_is_refused_by_name(sitting: Sitting) -> None:
    """What was typed is repeated, escaped, with the cure."""
    shown = sitting.student("student number = <script>alert(1)</script>\nattempt = soon")
    assert "is no student number" in shown.text
    assert '"soon" is no attempt' in shown.text
    assert "<script" not in shown.html
    assert sitting.number is None


def test_a_task_waits_for_a_number_that_can_be_read(sitting: Sitting) -> None:
    """While what was typed is no student number there are no numbers to show, and the cell says so."""
    sitting.house_rules("")
    sitting.student("student number = ?!\nattempt = 1")
    shown = sitting.task(LWQ)
    assert TYPE_NUMBER in shown.text
    assert "sensitivity requirement of" not in shown.text


def test_without_a_number_it_is_self_study(sitting: Sitting) -> None:
    """Numbers for practice, the verdict at once, fresh ones with another attempt; and that nothing counts is said."""
    sitting.house_rules("")
    assert ON_YOUR_OWN in sitting.student("student number = \nattempt = 1").text
    first = sitting.task(LWQ).text
    assert NOT_YOURS in first
    task = Issue("weighing-1", 1, "", TASKS, read_house_rules()).paper(SELF_STUDY).task("q1")
    assert "Marks: 2 of 2" in sitting.answer("q1", task.answer_lines()).text
    assert READ_ONLY not in sitting.answer("q1", task.answer_lines()).text, "here the verdict does not wait"
    assert "Marks: 0 of 2" in sitting.answer("q1", "lwq = 987 mg").text
    assert "Marks:" not in sitting.answer("q1", "").text
    sitting.student("student number = \nattempt = 2")
    assert sitting.question("q1").text != first


def test_with_a_number_nothing_is_judged_and_a_colleagues_plan_waits(sitting: Sitting) -> None:
    """The plan to be checked comes when the own amounts are read, and is no verdict on them."""
    sitting.house_rules("")
    sitting.student(A_07)
    sitting.task("q3 second-check")
    task = Issue("weighing-1", 1, "", (("q3", "second-check"),), read_house_rules()).paper("A-07").task("q3")
    lines = task.answer_lines().splitlines()
    assert "A colleague planned" not in sitting.answer("q3", "\n".join(lines[:5])).text
    shown = sitting.answer("q3", "\n".join(lines[:6])).text
    assert "A colleague planned" in shown
    assert READ_ONLY in shown
    assert "Marks:" not in sitting.answer("q3", "\n".join(lines)).text


def test_a_task_waits_for_the_house_rules(sitting: Sitting) -> None:
    """Numbers are drawn under the house rules, so these are read first."""
    sitting.student(A_07)
    assert RUN_ALL in sitting.task(LWQ).text


@pytest.mark.parametrize(("task_id", "line"), [("q1", LWQ), ("q2", PLAN)])
def test_a_task_has_the_numbers_that_it_is_marked_by(filled: Sitting, task_id: str, line: str) -> None:
    """The question on the screen is the one of the student's paper, as the marking draws it."""
    task = Issue("weighing-1", 1, "", TASKS, read_house_rules()).paper("A-07").task(task_id)
    shown = filled.task(line)
    assert task.question_text() in shown.text
    assert task.question_html() in shown.html


def test_another_student_has_other_numbers(filled: Sitting) -> None:
    """The whole paper changes with the number."""
    before = filled.question("q1").text + filled.question("q2").text
    filled.student("student number = B-12\nattempt = 1")
    assert filled.question("q1").text + filled.question("q2").text != before


def test_a_kind_of_task_that_does_not_exist_is_a_sentence(filled: Sitting) -> None:
    """A slip in the solution notebook is told with the kinds there are."""
    shown = filled.task("q3 lwq")
    assert 'no kind of task called "lwq"' in shown.text
    assert "least-weighable-quantity" in shown.text


def test_an_answer_is_shown_as_it_was_read_and_never_judged(filled: Sitting) -> None:
    """A right and a wrong number are read back in the same words."""
    right = filled.families["q1"].task("q1", "any", read_house_rules()).answer_lines().partition("= ")[2]
    for typed in (right, "987 mg"):
        text = filled.answer("q1", f"least weighable quantity = {typed}").text
        assert f"least weighable quantity: {typed}, read as {typed}" in text
        assert text.replace(typed, "") == filled.answer("q1", "lwq = 123 mg").text.replace("123 mg", "")


def test_each_line_that_cannot_be_read_comes_with_its_cure(filled: Sitting) -> None:
    """Unit missing, dimension wrong, words behind: what was read, what is wrong, what to type."""
    text = filled.answer("q2", "multiple factor = 20\ndrug = 120mgs drug\naliquot = 120\ndiluent =\nhello").text
    assert "multiple factor: 20, read as 20" in text
    assert "drug to weigh: 120mgs drug, could not be read" in text
    assert "aliquot: 120, aliquot: must be a mass" in text
    assert "diluent to weigh: not answered yet" in text
    assert "left out: hello, this line has no label" in text


def test_an_empty_answer_is_no_error(filled: Sitting) -> None:
    """The untouched cell says that nothing is answered yet."""
    assert "least weighable quantity: not answered yet" in filled.answer("q1", "least weighable quantity = ").text


def test_an_unknown_task_is_a_sentence_with_the_tasks_there_are(filled: Sitting) -> None:
    """A slip in the first line is told with what to write."""
    assert 'There is no task "q9" here. The tasks are: q1, q2.' in filled.answer("q9", "x = 1").text
    assert "does not name its task" in filled.answer("", "x = 1").text


def test_an_answer_before_its_question_asks_to_run_all_cells(sitting: Sitting) -> None:
    """Whoever runs the answer cell alone is sent to the top."""
    assert RUN_ALL in sitting.answer("q1", "lwq = 120 mg").text


def test_a_missing_number_is_told_at_the_answers_too(sitting: Sitting) -> None:
    """The number may be forgotten; the answers are read all the same."""
    sitting.task(LWQ)
    text = sitting.answer("q1", "lwq = 120 mg").text
    assert "read as 120 mg" in text
    assert "student number is still missing" in text


def test_the_cell_decides_which_task_it_answers(filled: Sitting) -> None:
    """Answers are marked by the cell they stand in, so they are read by it, and a wrong first line is told."""
    text = filled.answer("q2", "lwq = 120 mg", "answer-q1").text
    assert text.startswith("q1:")
    assert "belongs to q1" in text
    assert "%%answer q1" in text


@given(st.text(max_size=300))
def test_no_text_becomes_markup_or_an_error(text: str) -> None:
    """Whatever is typed into any cell is shown as text and nothing else."""
    sitting = Sitting("weighing-1", 1)
    sitting.house_rules("")
    sitting.student(A_07)
    sitting.task(LWQ)
    payload = f"{text} <img src=x onerror=alert(1)>"
    cells = [
        sitting.answer(payload, payload),
        sitting.answer("q1", f"{payload}\nlwq = {payload}"),
        sitting.student(f"student number = {payload}"),
        sitting.task(f"q1 {payload}"),
        sitting.house_rules(payload),
    ]
    assert [shown.html for shown in cells if "<img" in shown.html] == []


def test_a_novel_is_cut_short(filled: Sitting) -> None:
    """A very long line does not fill the screen."""
    shown = filled.answer("q1", "lwq = " + "word " * 500)
    assert max(len(cell) for cell in shown.text.split(", ")) < 6 * LONGEST_SHOWN


# Modes ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("mode", ["practice", "clearance"])
def test_where_the_mode_says_so_the_verdict_comes_at_once(mode: str) -> None:
    """Practice and clearance judge at once; clearance asks for fresh numbers until it is right."""
    sitting = Sitting("weighing-1", 1, mode)
    sitting.house_rules("")
    sitting.student(A_07)
    sitting.task(LWQ)
    wrong = sitting.answer("q1", "lwq = 987 mg").text
    assert "Marks: 0 of 2" in wrong
    assert ("attempt = 2" in wrong) is (mode == "clearance")
    right = Issue("weighing-1", 1, "", TASKS, read_house_rules()).paper("A-07").task("q1").answer_lines()
    cleared = sitting.answer("q1", right).text
    assert "Marks: 2 of 2" in cleared
    assert "attempt = 2" not in cleared
