"""Keep what a library has compiled, where Python keeps its own compiled modules, so that the next start is quick."""

import os
import sys
from importlib.util import cache_from_source
from pathlib import Path

__all__ = ["kept_beside"]


def kept_beside(module: str) -> Path | None:
    """Return the folder in which Python keeps a compiled module, given the module's ``__file__``.

    None where nothing may be kept: Python was told so, or the folder is missing or somebody else's. What lies there is
    trusted as much as the module itself, and ``make clean`` removes it.
    """
    folder = Path(cache_from_source(module)).parent
    return None if sys.dont_write_bytecode or not os.access(folder, os.W_OK) else folder
