"""Loaded by pytest before anything else: a checker of addresses in schemas seems not installed.

Nothing here has an address to check, and loading it takes some seconds of every start of pytest, for a single test too.
"""

import sys

__all__ = ["UNNEEDED"]

UNNEEDED = "rfc3987_syntax"
sys.modules.setdefault(UNNEEDED, None)  # type: ignore[arg-type]  # None is Python's own way to say so
