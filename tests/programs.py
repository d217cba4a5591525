"""How tests start the programs that the project stands on."""

import sys

__all__ = ["program"]

_START = "import sys; sys.modules['rfc3987_syntax'] = None; from {module} import main; main()"


def program(module: str) -> list[str]:
    """Return the words that run a module's ``main``, as its command does, in this environment.

    A checker of addresses in schemas seems not installed: nothing here needs it, and it takes two seconds to load.
    """
    return [sys.executable, "-c", _START.format(module=module)]
