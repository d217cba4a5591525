"""`import pharmcalc` is a table of contents: every room by its subject, loaded when it is asked for."""

import subprocess
import sys
from types import ModuleType

import pytest

import pharmcalc
from tests.rooms import rooms_on

FOR_CONTRIBUTORS = {"choosing"}
"""Rooms of the mathematics that only other rooms use."""


def test_every_room_of_the_mathematics_stands_in_the_contents() -> None:
    """A reader finds each subject in the first lines, under its own name."""
    rooms = set(rooms_on(1)) - FOR_CONTRIBUTORS
    assert rooms <= set(pharmcalc.__all__)
    text = pharmcalc.__doc__ or ""
    named = [name for name in pharmcalc.__all__ if isinstance(getattr(pharmcalc, name), ModuleType)]
    assert rooms <= set(named)
    assert [name for name in named if f"``{name}`` (" not in text] == []


@pytest.mark.parametrize("name", pharmcalc.__all__)
def test_every_name_of_the_contents_is_there_and_explains_itself(name: str) -> None:
    """Each can be asked for, is offered by an editor, and says what it is (a quantity is pint's and says nothing)."""
    found = getattr(pharmcalc, name)
    assert name in dir(pharmcalc)
    assert found.__doc__ or name == "Quantity"


@pytest.mark.parametrize("room", [room for room in rooms_on(1) if room not in ("conditions", "choosing", "display")])
def test_a_room_offers_every_formula_it_holds(room: str) -> None:
    """What is registered by a room can be imported from it by name, and stands in its list."""
    module = getattr(pharmcalc, room)
    own = [formula for formula in pharmcalc.FORMULAS.values() if formula.body.__module__.split(".")[1] == room]
    assert own
    assert [formula.name for formula in own if formula.name not in module.__all__] == []
    assert all(getattr(module, formula.name) is formula for formula in own)


def test_a_name_that_is_not_there_is_an_error() -> None:
    """A misspelt room is no room."""
    with pytest.raises(AttributeError, match="module 'pharmcalc' has no attribute 'balance'"):
        _ = pharmcalc.balance  # type: ignore[attr-defined]


def test_importing_the_library_loads_no_room() -> None:
    """A first result waits for one room only; asking for the list of formulas loads them all."""
    program = """
import sys, pharmcalc
rooms = lambda: sorted({name.split(".")[1] for name in sys.modules if name.startswith("pharmcalc.")} & set(sys.argv))
print(rooms())
pharmcalc.balances
print("balances" in rooms(), "recipes" in rooms())
pharmcalc.MISTAKES
print(rooms() == sorted(sys.argv[1:]))
"""
    rooms = [room for room in rooms_on(1) if room not in FOR_CONTRIBUTORS]
    done = subprocess.run([sys.executable, "-c", program, *rooms], capture_output=True, text=True, check=False)
    assert (done.stdout, done.stderr) == ("[]\nTrue False\nTrue\n", "")
