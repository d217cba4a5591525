"""Marking whatever a cell holds: nothing raises, nothing is run, and what is in doubt earns nothing."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.feedback import feedback_html, feedback_text
from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.tasks.family import FAMILIES, Task
from pharmcalc.units import quantity
from tests.questions import HOUSE, mg, task_with

TASKS = {family: FAMILIES[family].task("q1", "any text", HOUSE) for family in sorted(FAMILIES)}
LWQ = task_with("least-weighable-quantity", sensitivity=mg(6), allowed_error=quantity(5, "percent"))
GRAMS = task_with("drug-for-strength", strength=quantity(5, "percent_in_volume"), preparation=quantity(100, "mL"))

BAD = [
    "", "5", "6 mL", "5 gr", "1:0", "-120 mg", "0 mg", "10^400 mg", "1e400 mg", "9**9**9 mg", "nan mg", "inf",
    "120mgs drug", "1,200 mg", "one hundred", "__import__('os').system('ls')", "<script>alert(1)</script>",
    "120 mg; 20", "\u0663\u0664 mg", "\u221e mg", "\u2460 mg", "120 mg\u0000", "\ud83d\ude00", "1e30 g",
    "1e-30 g", "1e30", "1e-30", "1:1e30", "1/1e30", "1:200 w/v", "5 % w/v", "5 % w/w", "5 % v/v", "40 ppm",
    "40 ppm w/v", "125 mg%", "4 mg/mL", "0 %", "500 %", "100 %", "x" * 5000, "(" * 150, "1 " * 90,
    "1+" * 90 + "1", "= = =", "\u2248", "#", "%%answer", "1 mg = 2 mg = ",
]  # fmt: skip


def sound(mark: TaskMark) -> TaskMark:
    """Check what must hold of every mark, whatever was typed."""
    assert 0 <= mark.marks <= mark.out_of
    assert mark.marks == sum((verdict.marks for verdict in mark.verdicts), Fraction(0))
    assert [verdict.label for verdict in mark.verdicts] == [asked.said for asked in mark.task.asked]
    for verdict in mark.verdicts:
        assert not (verdict.earned and verdict.mistake_id), "a right answer is never called a mistake"
        assert verdict.mistake_name if verdict.mistake_id else not verdict.mistake_name
    assert mark.cleared is not bool(mark.clearance.reasons)
    assert not (mark.cleared and mark.clearance.critical)
    assert mark.as_record()["task"] == mark.task.id
    assert "Marks: " in feedback_text(mark)
    page = feedback_html(mark)
    assert page.count("<") == page.count(">")
    return mark


# Any text ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("family", sorted(TASKS))
def test_every_bad_answer_in_every_place_is_marked(family: str, thorough: bool) -> None:
    """Each answer replaced by each piece of nonsense, the others right: marked, explained, and never called right.

    The quick run takes every second piece in each place, and the others in the next.
    """
    task = TASKS[family]
    lines = task.answer_lines().splitlines()
    for place, asked in enumerate(task.asked):
        for bad in BAD if thorough else BAD[place % 2 :: 2]:
            changed = [*lines[:place], f"{asked.said} = {bad}", *lines[place + 1 :]]
            mark = sound(mark_task(task, "\n".join(changed)))
            by_chance = asked.estimate or bad == task.typed(asked)  # "6 mL" is nonsense only where 6 mL is wrong
            assert asked.choice or by_chance or not mark.verdicts[place].earned, (asked.said, bad)


@pytest.mark.parametrize("family", sorted(TASKS))
@given(text=st.text(max_size=120))
def test_any_text_in_a_cell_earns_nothing_and_breaks_nothing(family: str, text: str) -> None:
    """Letters and signs of any script raise nothing; without the answers in them they earn nothing."""
    mark = sound(mark_task(TASKS[family], text))
    assert not mark.cleared


SCRAPS = st.sampled_from(
    [
        "=",
        "\n",
        " ",
        ":",
        "x",
        "/",
        "120 mg",
        "6 mg",
        "5 %",
        "20",
        "1:20",
        "0.5 g",
        "1e9 mg",
        "0.001 mg",
        "#",
        "-",
        "mL",
    ]
)


@pytest.mark.parametrize("family", ["aliquot-batch", "strength-in-other-words", "ratio-strength", "percentage-wv"])
@given(data=st.data())
def test_labels_with_any_amounts_are_marked(family: str, data: st.DataObject) -> None:
    """Every label answered with scraps of amounts: numbers of any size, in any unit, in any order."""
    lines = [
        f"{asked.said} = {''.join(data.draw(st.lists(SCRAPS, min_size=1, max_size=4)))}"
        for asked in TASKS[family].asked
    ]
    sound(mark_task(TASKS[family], "\n".join(lines)))


AMOUNTS = st.fractions(min_value="1/20", max_value=100000, max_denominator=20)


@given(st.lists(AMOUNTS, min_size=7, max_size=7))
def test_any_numbers_for_a_batch_are_marked(numbers: list[Fraction]) -> None:
    """Any seven amounts above zero, however absurd as a plan: marked, and cleared only if they deliver the dose."""
    task = TASKS["aliquot-batch"]
    lines = [
        f"{asked.said} = {float(number):.4f}{'' if asked.name == 'multiple_factor' else ' mg'}"
        for asked, number in zip(task.asked, numbers, strict=True)
    ]
    mark = sound(mark_task(task, "\n".join(lines)))
    if mark.cleared:
        weighed, aliquot, diluent = (mark.values[name] for name in ("drug_weighed", "aliquot", "diluent"))
        held = weighed * aliquot / (weighed + diluent)
        assert abs(held - task.values["drug_wanted"]) * 20 <= task.values["drug_wanted"]


# Bad input gets a clear answer ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("task", "text", "said"),
    [
        (LWQ, "", "Not answered. It comes from sensitivity \u00f7 allowed error."),
        (LWQ, "LWQ = ", "Not answered"),
        (LWQ, "LWQ = 120", '"120" was read as 120. Write, for example, "6 mg".'),
        (LWQ, "LWQ = 120 mL", '"120 mL" was read as 120 mL'),
        (LWQ, "LWQ = -120 mg", "must be more than zero; it was -120 mg"),
        (LWQ, "LWQ = 1:0", "cannot end in 0"),
        (LWQ, "LWQ = 10^400 mg", "far outside any amount in a lab"),
        (LWQ, "LWQ = 9**9**9 mg", "only powers of ten are read"),
        (LWQ, "LWQ = 1,200 mg", "can mean 1200 or 1.200"),
        (LWQ, "LWQ = 120mgs drug", 'I understood "120mgs" and then met "drug"'),
        (LWQ, "It was a dark and stormy night. " * 500, "too long to be read"),
        (LWQ, "weight = 120 mg", "this label is not asked for"),
        (LWQ, "LWQ = 120 mg\nLWQ = 0.3 mg", "answered twice"),
        (GRAMS, "drug needed = 5 gr", "read as grain (64.79891 mg). If you meant gram, write g"),
    ],
)
def test_the_student_reads_what_happened_and_what_to_do(task: Task, text: str, said: str) -> None:
    """Each spoilt answer has its own sentence in the feedback."""
    mark = sound(mark_task(task, text))
    assert said in feedback_text(mark)
    assert not mark.cleared


def test_five_grains_for_five_grams_is_the_right_number_with_the_wrong_unit() -> None:
    """Half the marks, no clearance: 5 gr are 324 mg, and the slip has killed people."""
    mark = mark_task(GRAMS, "drug needed = 5 gr")
    assert mark.verdicts[0].status.value == "right number, wrong unit"
    assert (mark.marks, mark.cleared, mark.clearance.critical) == (1, False, True)


@pytest.mark.parametrize(
    "source",
    [
        "%%answer q1\nLWQ = 120 mg",
        "LWQ = 120 mg",
        "# a comment\n%%answer q1\nLWQ = 120 mg",
        "%%answer q7\nLWQ = 120 mg",
        "LWQ = 120 mg\n\nI hope this is right!",
        "import os\nos.remove('x')\nLWQ = 120 mg",
    ],
)
def test_what_stands_around_the_answers_costs_nothing(source: str) -> None:
    """The first line deleted or below a comment, words and programs around: the answer counts, and nothing is run."""
    assert mark_task(LWQ, source).marks == 2


def test_signs_of_html_stay_signs() -> None:
    """What a student typed is shown, never obeyed."""
    for text in ("LWQ = <img src=x onerror=alert(1)>", "<script>alert(1)</script> = 5 mg", "LWQ = 5 mg <b>"):
        page = feedback_html(mark_task(LWQ, text))
        assert "<script" not in page
        assert "<img" not in page
        assert "<b>" not in page
