"""The rooms of the library and the floors they lie on, found by walking the package."""

from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages

import pharmcalc

PACKAGE = Path(__file__).resolve().parent.parent / "pharmcalc"
GROUND = (
    "errors",
    "caution",
    "kept",
    "units",
    "constants",
    "grammar",
    "reading",
    "kinds",
    "language",
    "equations",
    "sources",
    "formula",
    "working",
    "rounding",
)
VIEWS = ("notebook", "widgets", "sheets", "classroom", "pages")
QUESTIONS = ("tasks", "answers", "clearance", "marking", "feedback", "mastery", "bench")
DOORS = ("__main__",)


def floor(room: str) -> int:
    """Return the floor that a room lies on; what is not named elsewhere is mathematics."""
    floors = {0: GROUND, 2: QUESTIONS, 3: VIEWS, 4: DOORS}
    return next((number for number, rooms in floors.items() if room in rooms), 1)


def rooms_on(*floors: int) -> list[str]:
    """Return the rooms on some floors, by name."""
    names = {path.name.removesuffix(".py") for path in PACKAGE.iterdir() if path.suffix in ("", ".py")}
    return sorted(name for name in names - {"__init__", "__pycache__"} if floor(name) in floors)


def load_the_mathematics() -> None:
    """Load every module of floors 0 and 1, whatever was collected before: then every formula is registered."""
    for room in rooms_on(0, 1):
        module = import_module(f"pharmcalc.{room}")
        for found in walk_packages(getattr(module, "__path__", []), f"{module.__name__}."):
            import_module(found.name)


def room_of(body_module: str) -> str:
    """Return the room that a module such as ``pharmcalc.balances.legal`` lies in."""
    return body_module.removeprefix(f"{pharmcalc.__name__}.").partition(".")[0]
