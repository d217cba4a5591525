"""Weighings that a lesson shows: the whole routine by the book, and the routine with one thing left out."""

from pharmcalc.bench import DONE, SIMULATED, STEPS, Moment, Order, inspect, weigh_by_the_book
from pharmcalc.bench.things import mass
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import MASS
from pharmcalc.language import capital, say
from pharmcalc.tasks.bench_orders import bench_order
from pharmcalc.tasks.house import read_house_rules
from pharmcalc.widgets.markup import Shown, folded, note, table

__all__ = ["show_routine", "show_without"]

KEY = "lesson"


def show_routine(*, steps: int | None = None, key: str = KEY) -> Shown:
    """Show a weighing by the book, action by action.

    steps: how many actions are written out; the rest are folded below them. key: another key shows another order.
    """
    order = _order(key)
    session = weigh_by_the_book(order)
    wanted = note(
        say(
            "The order: {target} of {product}, {grade}. {simulated}",
            target=MASS.show(order.target),
            product=say(order.product),
            grade=say(order.grade),
            simulated=say(SIMULATED),
        )
    )
    if steps is None:
        return wanted + _table(say("A weighing by the book"), session.moments)
    begun, rest = session.moments[:steps], session.moments[steps:]
    return (
        wanted
        + _table(say("The beginning"), begun)
        + folded(say("Compare: the whole weighing"), _table(say("The rest"), rest))
    )


def show_without(action: str, *, key: str = KEY) -> Shown:
    """Show what comes of a weighing when one kind of action is left out, and everything else is done by the book.

    action: one that the routine has, such as ``tare``. Raises RefusedError, listing them, for any other.
    """
    order = _order(key)
    names = list(dict.fromkeys(event.action for event in weigh_by_the_book(order).events))
    if action not in names:
        raise RefusedError("show_without", f'the routine has no "{action}".', f"It has: {', '.join(names)}.")
    session = weigh_by_the_book(order, without=(action,))
    found = inspect(session)
    amiss = [
        f"{capital(step.label)}: {fault.said}. {fault.lesson}"
        for step in STEPS
        for fault in step.faults
        if found[step.name] == fault.id and step.name != STEPS[0].name
    ]
    reading = next((moment for moment in session.moments if moment.event.action == "read"), None)
    said = [say('Left out: "{action}".', action=say(action))]
    if reading is not None:
        said.append(
            say("Wanted {target}; the display says {text}.", target=MASS.show(order.target), text=reading.shown.written)
        )
        said.append(say("The vessel holds {net}.", net=MASS.show(mass(round(reading.after.net, -3)))))
    return note("\n".join([" ".join(said), *(amiss or [say("Nothing is found amiss this time.")])]))


def done_steps(key: str = KEY) -> int:
    """Return how many steps an inspector finds well done in the weighing by the book."""
    return sum(finding == DONE for finding in inspect(weigh_by_the_book(_order(key))).values())


def _order(key: str) -> Order:
    return bench_order(key, read_house_rules())


def _table(caption: str, moments: list[Moment]) -> Shown:
    rows = [
        (
            str(moment.place),
            f"{say(moment.event.action)} {'; '.join(map(say, moment.event.what.splitlines()))}".strip(),
            moment.shown.written or say("off"),
        )
        for moment in moments
    ]
    return table(caption, (say("Line"), say("Done"), say("Display afterwards")), rows)
