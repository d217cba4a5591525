"""How tests start the programs that the project stands on."""

import sys

from tests.lean import UNNEEDED

__all__ = ["program"]

_START = f"import sys; sys.modules[{UNNEEDED!r}] = None; from {{module}} import main; main()"


def program(module: str) -> list[str]:
    """Return the words that run a module's ``main``, as its command does, in this environment.

    It starts as lean as pytest itself (tests/lean.py).
    """
    return [sys.executable, "-c", _START.format(module=module)]
