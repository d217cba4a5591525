"""The demo class: 24 invented students of an invented teaching laboratory, and how each of them works."""

from __future__ import annotations

from dataclasses import dataclass

from pharmcalc.classroom.roster import Roster, Student

#: Where the demo class is taught. Place and people are invented.
LABORATORY = "Harrow Hill Teaching Laboratory, Powders course"


@dataclass(frozen=True)
class Member:
    """A student and a way of working, one of ``demo_handins.WAYS``; ``slip`` says which mistake is made."""

    student: Student
    way: str
    slip: int = 0


_CLASS = (
    ("Abara", "Chioma", "careful", 0),
    ("Brandvik", "Sunniva", "shows every step", 0),
    ("Calloway", "Desmond", "careless", 0),
    ("Dimitrova", "Kalina", "types in grams", 0),
    ("Eskelund", "Jonas", "careless", 0),
    ("Farrokhi", "Shirin", "careful", 0),
    ("Grabowska", "Hanna", "stops half-way", 0),
    ("Hoque", "Tahmid", "careless", 1),
    ("Iyengar", "Meera", "split a cell", 0),
    ("Jankowski", "Olek", "file cut off", 0),
    ("Kipkemboi", "Naomi", "careful", 0),
    ("Lindqvist", "Tove", "careless", 2),
    ("Marchetti", "Luca", "deleted locked cells", 0),
    ("Nwosu", "Obinna", "careless", 0),
    ("Oyelaran", "Bisi", "empty file", 0),
    ("Pettersen", "Marius", "left a loop running", 0),
    ("Quispe", "Rosa", "shows every step", 0),
    ("Rahmani", "Idris", "another student's sheet", 0),
    ("Sokolova", "Vera", "careless", 3),
    ("Tavares", "Joana", "script in the text", 0),
    ("Underhay", "Piers", "writes without units", 0),
    ("Vandoorne", "Lien", "careless", 1),
    ("Wanjiru", "Peris", "types in grams", 0),
    ("Yildirim", "Ece", "not handed in", 0),
)

MEMBERS = tuple(
    Member(Student(f"HH-{place:02}", surname, given, f"hh-{place:02}@example.org"), way, slip)
    for place, (surname, given, way, slip) in enumerate(_CLASS, 1)
)
ROSTER = Roster(tuple(member.student for member in MEMBERS))
