"""The record as a file: what was done, line by line, and what the display showed. It is never trusted, only replayed.

The readings stand in the file for people; whoever marks it works them out again and compares.
"""

import json
from typing import Any

from pharmcalc.bench.session import MOST_EVENTS, Session
from pharmcalc.bench.things import Order
from pharmcalc.errors import CourseError, RefusedError
from pharmcalc.language import later

__all__ = ["LONGEST_RECORD", "SIMULATED", "file_name", "read_record", "record_text"]

FORM = "pharmcalc bench record 1"
SIMULATED = later("A simulated weighing, for practice. It never counts as an observed weighing.")
LONGEST_RECORD = 1_000_000  # a record may hold as many actions as a session, each with its longest text


def file_name(task_id: str) -> str:
    """Return the name of the file that the record of a task is kept in, beside the notebook.

    >>> file_name("q6")
    'bench-record-q6.json'
    """
    return f"bench-record-{task_id}.json"


def record_text(session: Session) -> str:
    """Return a session as the text of its file: one line for each thing done."""
    head = {"form": FORM, "note": SIMULATED, "order": session.order.code}
    rows = [json.dumps([moment.event.action, moment.event.what, moment.shown.text]) for moment in session.moments]
    lines = ",\n  ".join(rows)
    return json.dumps(head, indent=1).removesuffix("\n}") + f',\n "done": [\n  {lines}\n ]\n}}\n'


def read_record(text: str, order: Order) -> Session:
    """Replay a record for an order.

    Raises CourseError, saying what is wrong, when the text is no record, belongs to another order, holds something that
    cannot be done, or shows other readings than the replay.
    """
    if len(text) > LONGEST_RECORD:
        raise CourseError("the bench record is far too long. Hand in the file as the bench wrote it.")
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        raise CourseError("the bench record cannot be read. Hand in the file as the bench wrote it.") from None
    if not isinstance(data, dict) or data.get("form") != FORM or not isinstance(data.get("done"), list):
        raise CourseError("this file is no bench record. Hand in the file that the bench wrote.")
    if data.get("order") != order.code:
        raise CourseError("the bench record belongs to another order: another student's, attempt's or task's.")
    rows = data["done"]
    if len(rows) > MOST_EVENTS:
        raise CourseError("the bench record has too many lines. Hand in the file as the bench wrote it.")
    session = Session(order)
    for place, row in enumerate(rows, 1):
        action, what, shown = _row(row, place)
        try:
            moment = session.act(action, what)
        except RefusedError as refusal:
            raise CourseError(f"line {place} of the bench record cannot have been done: {refusal}") from None
        if moment.shown.text != shown:
            raise CourseError(
                f"line {place} of the bench record says that the display showed {shown[:30]!r}; replayed, it shows "
                f"{moment.shown.text!r}. The file was changed, or was made by another version."
            )
    return session


def _row(row: Any, place: int) -> tuple[str, str, str]:
    if isinstance(row, list) and len(row) == 3 and all(isinstance(part, str) for part in row):
        return row[0], row[1], row[2]
    raise CourseError(f"line {place} of the bench record is not readable. Hand in the file as the bench wrote it.")
