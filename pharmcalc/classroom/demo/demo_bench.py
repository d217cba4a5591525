"""What the demo class does at the simulated bench: by the book, or with a fault that students make."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from pharmcalc.bench import REASONS, Event, Order, Session, record_text, weigh_by_the_book
from pharmcalc.bench.routine import STOPS
from pharmcalc.classroom.demo.demo_students import MEMBERS, Member
from pharmcalc.tasks.family import Task
from pharmcalc.tasks.papers import Issue

__all__ = ["FAULTS", "bench_record", "half_done"]


def _leaving_out(*actions: str) -> Callable[[Order], Session]:
    """Return a way to work that leaves something out; where nothing may be weighed it is to stop wrongly."""
    return lambda order: stopped_wrongly(order) if order.halts else weigh_by_the_book(order, without=actions)


def wrong_jar(order: Order) -> Session:
    """Weigh by the book, and take another jar than the right one: the readings are the same."""
    right = order.right_jar
    if order.halts or right is None:
        return stopped_wrongly(order)
    wrong = next(jar for jar in order.shelf if order.what_is_wrong(jar))

    def other(event: Event) -> Event:
        if event.action == "take jar":
            return replace(event, what=wrong.letter)
        if event.action == "write":
            return replace(event, what=event.what.replace(right.lot, wrong.lot).replace(right.expiry, wrong.expiry))
        return event

    return Session(order, map(other, weigh_by_the_book(order).events))


def stopped_wrongly(order: Order) -> Session:
    """Stop, for a reason that is not the right one here."""
    session = Session(order)
    session.act("stop and ask", next(reason for reason in REASONS if reason != STOPS.get(order.halts)))
    return session


def half_done(order: Order) -> Session:
    """Begin by the book, and leave the bench half-way."""
    events = weigh_by_the_book(order).events
    return Session(order, events[: len(events) // 2])


FAULTS: dict[str, Callable[[Order], Session]] = {
    "not level": _leaving_out("turn"),
    "not tared": _leaving_out("tare"),
    "wrong jar": wrong_jar,
    "read too soon": _leaving_out("wait"),
    "stopped wrongly": stopped_wrongly,
}
"""Faults that students make at the bench, each as a way to work on an order."""


def bench_record(member: Member, task: Task, issue: Issue) -> str | None:
    """Return the record that a member of the demo class hands in for a task at the bench; None where there is none."""
    order = task.drawn.order
    if order is None or member.way in ("not handed in", "empty file", "writes without units"):
        return None
    if member.way == "another student's sheet":
        order = issue.paper(MEMBERS[0].student.number).task(task.id).drawn.order
        assert order is not None
        return record_text(weigh_by_the_book(order))
    if member.way == "stops half-way":
        return record_text(half_done(order))
    if member.way == "careless":
        ways = list(FAULTS.values())
        return record_text(ways[int(member.student.number[-2:]) % len(ways)](order))
    return record_text(weigh_by_the_book(order))
