"""Marking a record of the bench: replayed, step by step; what cannot be replayed earns nothing and says why."""

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.bench import FIELDS, SIMULATED, STEPS, Event, Session, record_text, weigh_by_the_book
from pharmcalc.bench.inspection import NOT_REACHED
from pharmcalc.bench.record import LONGEST_RECORD
from pharmcalc.feedback import feedback_html, feedback_text
from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.tasks.family import Task, family_called
from tests.bench.cases import CASES, Case
from tests.bench.orders import weighed
from tests.questions import HOUSE


def order_task(key: str = "marking") -> Task:
    """Return an order at the bench."""
    return family_called("bench-weighing").task("q4", key, HOUSE)


TASK = order_task()
BOOK = TASK.answer_lines()


def forged() -> str:
    """Return the record with its last reading made up."""
    data = json.loads(BOOK)
    place = next(n for n, row in enumerate(data["done"]) if row[0] == "read")
    data["done"][place][2] = "9.999 g"
    return json.dumps(data)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (None, "bench-record-q4.json is not there"),
        ("", ""),
        ("nonsense", "cannot be read"),
        ("[" * 200_000, "cannot be read"),
        ("x" * (LONGEST_RECORD + 1), "far too long"),
        (order_task("another student").answer_lines(), "belongs to another order"),
        (forged(), "The file was changed"),
        ('{"form": 1}', "is no bench record"),
        ("\x00\ud800", "cannot be read"),
    ],
    ids=("none", "empty", "nonsense", "deep", "long", "another's", "forged", "other", "bytes"),
)
def test_what_cannot_be_replayed_earns_nothing_and_says_why(text: str | None, why: str) -> None:
    """No text raises, and none is believed."""
    mark = mark_task(TASK, text)
    assert (mark.marks, mark.cleared) == (0, False)
    assert why in mark.needs_eyes
    said = feedback_text(mark)
    assert "There is no record that can be marked." in said
    assert SIMULATED in said
    assert "  " not in said
    assert ".." not in said


def test_a_record_by_the_book_earns_everything_and_never_counts_as_observed() -> None:
    """The feedback says so, and promises no bench."""
    mark = mark_task(TASK, BOOK)
    assert (mark.marks, mark.cleared) == (20, True)
    said = feedback_text(mark)
    assert f"For the bench: {SIMULATED}" in said
    assert "Cleared for the bench" not in said


@pytest.mark.parametrize(
    ("left_out", "lost", "said"),
    [
        ("turn", 1, "Level: Not level. Bring the bubble into its ring first"),
        ("wipe", 1, "Closed and clean: Not wiped down. The next person weighs your residue."),
        ("second check", 1, "Second check: No second check. A second person verifies"),
        ("sign", 2, "Go ahead or stop: Not finished. A weighing ends with a signature"),
    ],
)
def test_one_thing_left_out_costs_its_own_step_and_the_feedback_says_which(left_out: str, lost: int, said: str) -> None:
    """Everything else that was well done is said first."""
    session = weigh_by_the_book(TASK.drawn.order, without=(left_out,))
    mark = mark_task(TASK, record_text(session))
    assert mark.out_of - mark.marks == lost
    text = feedback_text(mark)
    assert text.startswith("Right: ")
    assert said in text
    assert "is not it" not in text
    assert ".." not in text


def test_the_mistake_stands_in_reports_under_its_own_name() -> None:
    """A class picture counts them like any other."""
    mark = mark_task(TASK, record_text(weigh_by_the_book(TASK.drawn.order, without=("turn",))))
    record = mark.as_record()
    assert record["mistakes"] == ["level-not-level"]
    names = [verdict.mistake_name for verdict in mark.verdicts if verdict.mistake_id]
    assert names == ["At the bench, level: not level"]


def test_what_is_typed_into_the_record_reaches_no_page_as_markup() -> None:
    """Initials and lines of the record are a student's text."""
    session = Session(TASK.drawn.order)
    session.act("write", "lot = <script>alert(1)</script>")
    html = feedback_html(mark_task(TASK, record_text(session)))
    assert "<script" not in html


def faulty(case: Case) -> TaskMark:
    """Return the mark of a weighing in which one thing was done wrong."""
    task = Task("q4", TASK.family, replace(TASK.drawn, order=case.wanted), HOUSE)
    return mark_task(task, record_text(weighed(case.wanted, case.change)))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.did)
def test_a_fault_costs_the_marks_of_its_steps_and_no_others_and_blocks_clearance(case: Case) -> None:
    """What is dangerous is called critical; what is careless is not."""
    mark = faulty(case)
    steps = {step.name: step for step in STEPS}
    assert mark.out_of - mark.marks == sum(steps[name].marks for name in case.found)
    assert not mark.cleared
    grave = [fault for name, id in case.found.items() for fault in steps[name].faults if fault.id == id]
    assert mark.clearance.critical is any(fault.critical for fault in grave)
    assert not mark.needs_eyes


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.did)
def test_the_feedback_on_a_fault_can_be_read_aloud(case: Case) -> None:
    """Whole sentences, each once: what was found, why it matters, and what was right."""
    mark = faulty(case)
    said = feedback_text(mark)
    for name, id in case.found.items():
        step = next(step for step in STEPS if step.name == name)
        fault = next(fault for fault in step.faults if fault.id == id)
        if id == NOT_REACHED:
            left = next(line for line in said.splitlines() if line.startswith("Left undone: "))
            assert step.label in left.casefold()
            continue
        words = f"{fault.said[:1].upper()}{fault.said[1:]}. {fault.lesson}"
        assert said.count(f"{step.label[:1].upper()}{step.label[1:]}: {words}") == 1
    for line in said.splitlines():
        assert line[-1] in ".0123456789"
        assert not {"  ", "..", " .", ": .", "None"} & {line[place : place + width] for place in range(len(line))
                                                       for width in (2, 3, 4)}  # fmt: skip
    assert "Cleared" not in said


def test_a_signature_under_nothing_earns_nothing_and_is_critical() -> None:
    """To sign for what was not done is worse than not to have begun."""
    mark = mark_task(TASK, record_text(Session(TASK.drawn.order, [Event("sign", "AB")])))
    assert (mark.marks, mark.cleared, mark.clearance.critical) == (0, False, True)
    begun = mark_task(TASK, record_text(Session(TASK.drawn.order, [Event("wait")])))
    assert (begun.marks, begun.cleared, begun.clearance.critical) == (0, False, False)


def test_what_was_left_undone_is_said_in_one_sentence() -> None:
    """A wrong stop is one thing to learn, not fourteen."""
    session = Session(TASK.drawn.order)
    session.act("stop and ask", "hazardous drug")
    mark = mark_task(TASK, record_text(session))
    said = feedback_text(mark)
    assert said.count("This order could be weighed here.") == 1
    assert "Left undone: Balance, level," in said
    assert mark.clearance.reasons == ("Go ahead or stop: stopped: hazardous drug.",)


@given(st.none() | st.text(max_size=300) | st.binary(max_size=50).map(lambda raw: raw.decode("latin-1")))
def test_no_text_raises_and_none_is_believed(text: str | None) -> None:
    """Whatever lies beside the notebook."""
    mark = mark_task(TASK, text)
    assert (mark.marks, mark.cleared, len(mark.verdicts)) == (0, False, len(STEPS))


@given(
    written=st.dictionaries(st.sampled_from(FIELDS), st.text(alphabet="0123456789.,eE+-*/=() mgMkµ%:x", max_size=30))
)
def test_whatever_is_written_into_the_record_is_judged(written: dict[str, str]) -> None:
    """Numbers of any size and shape, read by the same bounded grammar as every answer."""
    lines = "\n".join(f"{label} = {value}" for label, value in written.items())
    book = [event for event in weigh_by_the_book(TASK.drawn.order).events if event.action != "sign"]
    session = Session(TASK.drawn.order, [*book, Event("write", lines)])
    mark = mark_task(TASK, record_text(session))
    assert mark.marks >= mark.out_of - 5  # the outcome, the record, and a check that came before it
