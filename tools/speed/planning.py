"""How quickly aliquot plans are searched and simulated."""

import math
import random
import time
from collections.abc import Callable
from dataclasses import replace
from statistics import median

from pharmcalc.aliquots import AliquotPlan, Limits
from pharmcalc.aliquots.planner import search_plans
from pharmcalc.aliquots.serial import smallest_serial_plan
from pharmcalc.uncertainty import simulate
from pharmcalc.units import quantity
from tools.speed import figure

RUNS = 1_000_000


@figure("ms")
def plan_search() -> float:
    """Count the 835 149 plans for 30 mg on a 50 g pan and rank the best 20 in each order."""
    return 1000 * _median(lambda: search_plans(drug_wanted="30 mg", limits=_pan("1")), 7)


@figure("x")
def plan_search_finer_grid() -> float:
    """The same on a grid ten times finer, as a multiple: sixteen million plans."""
    coarse = _median(lambda: search_plans(drug_wanted="30 mg", limits=_pan("1")), 5)
    return _median(lambda: search_plans(drug_wanted="30 mg", limits=_pan("0.1")), 3) / coarse


@figure("ms")
def serial_plan_search() -> float:
    """Find the best two-step plan for 30 mg where one step may thin no more than 1 in 3."""
    limits = replace(_pan("1"), largest_ratio=quantity(3))
    return 1000 * _median(lambda: smallest_serial_plan(drug_wanted="30 mg", limits=limits), 7)


@figure("x")
def simulation_speedup() -> float:
    """A million simulated plans of three weighings, against the same as a plain loop over floats."""
    plan = AliquotPlan.of(drug_wanted="6 mg", multiple_factor="20", aliquot="120 mg")
    uncertainties = dict.fromkeys(("drug", "diluent", "aliquot"), quantity(2, "mg"))
    simulate(plan, uncertainties, runs=1000)  # numpy is imported here and not in the measured run
    drug, diluent, aliquot = (float(mass.magnitude) for mass in (plan.drug_weighed, plan.diluent, plan.aliquot))
    vectors = _median(lambda: simulate(plan, uncertainties, runs=RUNS).spread, 3)
    return _median(lambda: _plain_loop(drug, diluent, aliquot, 2.0), 1) / vectors


def _plain_loop(drug: float, diluent: float, aliquot: float, uncertainty: float) -> float:
    """Simulate with the standard library's normal numbers, one plan at a time; return the relative spread."""
    stream = random.Random(1)
    right = drug * aliquot / (drug + diluent)
    total = squares = 0.0
    for _ in range(RUNS):
        weighed, rest, part = (stream.gauss(target, uncertainty) for target in (drug, diluent, aliquot))
        relative = weighed * part / (weighed + rest) / right
        total += relative
        squares += relative * relative
    return math.sqrt(squares / RUNS - (total / RUNS) ** 2)


def _pan(step: str) -> Limits:
    return Limits(quantity(120, "mg"), quantity(step, "mg"), quantity(50, "g"), whole_multiple=False)


def _median(measured: Callable[[], object], times: int) -> float:
    """Return the median seconds of a call."""
    seconds = []
    for _ in range(times):
        start = time.perf_counter()
        measured()
        seconds.append(time.perf_counter() - start)
    return median(seconds)
