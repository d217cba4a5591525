"""Measure and print:  python -m tools.speed [NAME ...]   (all figures where none is named)."""

import sys
from importlib import import_module
from pkgutil import iter_modules

from tools import speed


def main(names: list[str]) -> int:
    """Print each figure as soon as it is measured; return 2 for a name that is unknown."""
    for module in iter_modules(speed.__path__):
        if module.name != "__main__":
            import_module(f"{speed.__name__}.{module.name}")
    unknown = [name for name in names if name not in speed.FIGURES]
    if unknown:
        print(
            f"There is no figure {', '.join(unknown)}. There are: {', '.join(speed.FIGURES)}.",
            file=sys.stderr,
        )
        return 2
    for name in names or speed.FIGURES:
        chosen = speed.FIGURES[name]
        print(f"{name} {chosen.measure():.4g} {chosen.unit}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
