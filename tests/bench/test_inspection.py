"""The inspection: each fault is found by its name, and nothing else is held against whoever made it."""

from dataclasses import replace

import pytest

from pharmcalc.bench import DONE, OUTCOME, REASONS, STEPS, Session, inspect, weigh_by_the_book
from pharmcalc.bench.routine import Weigher
from tests.bench.cases import CASES, Case, mg
from tests.bench.orders import HAZARD, SHELF, did, instead, order, weighed


def amiss(session: Session) -> dict[str, str]:
    """Return what is found, without the steps that are done and a work that was signed."""
    return {name: id for name, id in inspect(session).items() if id != DONE and (name, id) != (OUTCOME, "weighed")}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.did)
def test_each_fault_is_found_by_its_name_and_no_other(case: Case) -> None:
    """One thing is done wrong; the inspector names it, and what follows from it, and nothing else."""
    assert amiss(weighed(case.wanted, case.change)) == case.found


def test_every_fault_that_can_be_named_is_made_in_these_tests() -> None:
    """The only others are how the work ended: rightly stopped, wrongly stopped, weighed where one had to stop."""
    made = {(step, fault) for case in CASES for step, fault in case.found.items()}
    ends = {(OUTCOME, f"stopped-{reason.replace(' ', '-')}") for reason in REASONS} | {(OUTCOME, "weighed")}
    named = {(step.name, fault.id) for step in STEPS for fault in step.faults if fault.id != "not-reached"}
    assert named - ends == {(step, fault) for step, fault in made if fault != "not-reached"}
    assert ends <= named


@pytest.mark.parametrize("reason", REASONS)
def test_a_stop_is_found_with_its_reason(reason: str) -> None:
    """And the rest was not reached."""
    found = inspect(Session(order(), did(f"stop and ask: {reason}")))
    assert found[OUTCOME] == f"stopped-{reason.replace(' ', '-')}"
    assert set(found.values()) - {found[OUTCOME]} == {"not-reached", "not-zeroed", "not-read", "not-checked"}


def test_whoever_weighs_a_hazardous_drug_by_the_book_has_still_weighed_it() -> None:
    """Every step is done, and the outcome says that it was weighed and signed: the marking calls that critical."""
    hazardous = order(shelf=tuple(replace(jar, hazard=HAZARD) for jar in SHELF))
    assert hazardous.halts == "hazardous"
    somebody = Weigher(hazardous)
    somebody.weigh()
    assert inspect(somebody.session) == {step.name: DONE for step in STEPS} | {OUTCOME: "weighed"}


def test_to_sign_at_once_is_not_to_weigh() -> None:
    """A signature under nothing earns nothing, whatever the order is."""
    found = inspect(Session(order(), did("sign: AB")))
    assert found[OUTCOME] == "signed-without-reading"
    assert DONE not in found.values()


def test_of_work_that_was_not_begun_nothing_is_made_up() -> None:
    """An empty session has no faults but that nothing was reached."""
    assert set(inspect(Session(order())).values()) == {
        "unfinished", "not-reached", "not-zeroed", "not-read", "not-checked"
    }  # fmt: skip


def test_a_reading_that_looks_right_on_a_balance_that_crept_is_untrue() -> None:
    """On some orders the cold zero has crept further than the allowed error, and nothing on the display says so."""
    cold = [
        inspect(weigh_by_the_book(order(mg(120), seed=f"cold {n}"), without=("wait half an hour",))) for n in range(6)
    ]
    assert {found["warm_up"] for found in cold} == {"cold"}
    assert "untrue" in {found["amount"] for found in cold}


def test_powder_that_is_carried_to_another_balance_is_judged_there_too() -> None:
    """Put in where 90 mg may be weighed and read where it may not: the balance is not fit."""
    wanted = order(mg(90))
    book = weigh_by_the_book(wanted).events
    read = [event.action for event in book].index("read")
    elsewhere = did("open shield", "take off", "use balance: Balance 1", "switch on", "open shield",
                    "put on: weighing paper", "read")  # fmt: skip
    assert inspect(Session(wanted, book[: read + 1]))["balance"] == DONE
    found = inspect(Session(wanted, [*book[: read + 1], *elsewhere]))
    assert (found["balance"], found["tare"]) == ("balance-not-fit", "not-tared")


def test_what_falls_beside_the_vessel_is_read_and_is_not_in_it() -> None:
    """Powder on the pan is never the balance's own bad luck, even where every other step is done."""
    session = weighed(order(mg(1300)), instead("put on", "put on: weighing paper"))
    read = next(moment for moment in reversed(session.moments) if moment.event.action == "read")
    assert read.after.spilled > 200_000
    assert read.after.net == 1_000_000
    assert inspect(session)["amount"] == "untrue"


def test_no_step_is_done_by_a_fault_and_every_text_ends_in_one_point() -> None:
    """Words of the faults are read aloud in feedback."""
    for step in STEPS:
        assert step.marks > 0
        assert not step.well_done.endswith(".")
        for fault in step.faults:
            assert fault.id != DONE
            assert not fault.said.endswith(".")
            assert fault.lesson.endswith(".")


def test_no_jar_and_no_balance_and_a_hazard_halt_the_order() -> None:
    """Why nothing may be weighed, in the order in which one asks."""
    assert order(shelf=SHELF[1:]).halts == "no-product"
    assert order(mg(20)).halts == "no-balance"
    assert order().halts == ""
