"""How long a person waits for the first result."""

import subprocess
import sys
import time
from statistics import median

from tools.speed import figure

RUNS = 9

WITH_PINT_ALONE = """
import pint
print((pint.UnitRegistry().Quantity(6, "mg") / 0.05).to("mg"))
"""
WITH_PHARMCALC = """
from pharmcalc.balances import least_weighable_quantity
print(least_weighable_quantity(sensitivity="6 mg", allowed_error="5 %"))
"""


@figure("x")
def first_formula_ratio() -> float:
    """Measure from the start of the process to one printed result: pharmcalc as a multiple of pint alone."""
    programs = (WITH_PHARMCALC, WITH_PINT_ALONE)
    for program in programs:
        _seconds(program)  # the first run writes the compiled files
    # Turn about, so that a busy moment of the machine meets both.
    rounds = [[_seconds(program) for program in programs] for _ in range(RUNS)]
    return median(ours for ours, _ in rounds) / median(pints for _, pints in rounds)


def _seconds(program: str) -> float:
    """Return how long a new Python takes to run the program and end."""
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", program], check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start
