"""Start quickly: what a program does not use is not loaded with what it does.

Half of the time of a command is Python loading libraries that the libraries we use load in their turn: a web server, a
downloader, a second parser of HTML. Inside ``leaving_out`` they seem to be not installed, or are loaded when first
called.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from importlib import import_module
from types import ModuleType
from typing import Any

__all__ = ["leaving_out"]


class _Later(ModuleType):
    """Stands where a library is imported; its functions load the library when one of them is called."""

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)  # what Python asks of every module, such as __path__
        if isinstance(part := sys.modules.get(f"{self.__name__}.{name}"), _Later):
            return part
        if (loaded := sys.modules.get(self.__name__, self)) is not self:
            return getattr(loaded, name)
        return lambda *given, **named: getattr(import_module(self.__name__), name)(*given, **named)


@contextmanager
def leaving_out(*, absent: Iterable[str] = (), later: Iterable[str] = ()) -> Iterator[None]:
    """Let modules seem not installed, or be loaded when called, for what is imported inside the block.

    Parameters
    ----------
    absent
        Modules that what is imported can do without.
    later
        Modules of which only functions are used, until one of them was called. Name each part of a package, too.

    A module that is loaded already stays as it is. After the block each can be imported as always.
    """
    stand_ins: dict[str, Any] = dict.fromkeys(absent)  # None is Python's own way to say "not installed"
    stand_ins.update((name, _Later(name)) for name in later)
    stand_ins = {name: stand_in for name, stand_in in stand_ins.items() if name not in sys.modules}
    sys.modules.update(stand_ins)
    try:
        yield
    finally:
        for name in stand_ins:
            del sys.modules[name]
