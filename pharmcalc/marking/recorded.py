"""Reading a record of the simulated bench as answers: it is replayed, and each step gets what an inspector finds."""

from pharmcalc.answers import AnswerLine, AnswerSheet
from pharmcalc.bench import OUTCOME, file_name, inspect, read_record
from pharmcalc.errors import CourseError
from pharmcalc.language import say
from pharmcalc.tasks.asked import Decision
from pharmcalc.tasks.bench_orders import NOT_NEEDED
from pharmcalc.tasks.family import Task

__all__ = ["read_recorded"]


def read_recorded(task: Task, text: str | None) -> tuple[AnswerSheet, str]:
    """Return what the record says of each step, and why a person has to look (empty: nobody has to). Never raises.

    text: the record as its file holds it; None: there is no such file. What cannot be replayed earns nothing.
    """
    order = task.drawn.order
    assert order is not None
    empty = {asked.name: AnswerLine(asked, "") for asked in task.asked}
    if text is None or not text.strip():
        return AnswerSheet(empty), say(
            "the bench record {id} is not there", id=file_name(task.id)
        ) if text is None else ""
    try:
        session = read_record(text, order)
    except CourseError as problem:
        return AnswerSheet(empty), str(problem).rstrip(".")
    found = inspect(session)
    if session.state.stopped and not any(moment.event.action == "add" for moment in session.moments):
        found = {name: id if name == OUTCOME else NOT_NEEDED.id for name, id in found.items()}
    chosen = {asked: asked.option(found[asked.name]) for asked in task.asked if isinstance(asked, Decision)}
    return AnswerSheet({asked.name: AnswerLine(asked, one.said, chosen=one) for asked, one in chosen.items()}), ""
