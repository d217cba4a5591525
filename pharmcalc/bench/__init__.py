"""The bench: a simulated weighing, as a pure model. It is drawn nowhere here; the screen is ``widgets/bench.py``.

An order says what is to be weighed; a session is what was done, event by event; a record is a session as a file, and is
replayed, never trusted; an inspection says of each step how it was done. A simulated weighing never counts as an
observed one.
"""

from pharmcalc.bench.actions import ACTIONS, AMOUNTS, FIELDS, REASONS, TURNS, Event
from pharmcalc.bench.inspection import DONE, OUTCOME, STEPS, Finding, Step, inspect
from pharmcalc.bench.instrument import Instrument
from pharmcalc.bench.record import SIMULATED, file_name, read_record, record_text
from pharmcalc.bench.routine import weigh_by_the_book
from pharmcalc.bench.session import Moment, Session
from pharmcalc.bench.state import Display, State
from pharmcalc.bench.things import EXCESS, VESSELS, Jar, Order, Vessel

__all__ = [
    "ACTIONS",
    "AMOUNTS",
    "DONE",
    "EXCESS",
    "FIELDS",
    "OUTCOME",
    "REASONS",
    "SIMULATED",
    "STEPS",
    "TURNS",
    "VESSELS",
    "Display",
    "Event",
    "Finding",
    "Instrument",
    "Jar",
    "Moment",
    "Order",
    "Session",
    "State",
    "Step",
    "Vessel",
    "file_name",
    "inspect",
    "read_record",
    "record_text",
    "weigh_by_the_book",
]
