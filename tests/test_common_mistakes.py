"""The thirty-eight common mistakes of a weighing lab: each has a home in the library and gives its own number.

A home is a mistake of a formula, a rule of a plan, or a verdict of the marking. What is no calculation at all belongs
to the bench, and says so. The numbers are worked out here by plain fractions from what was done wrong.
"""

from fractions import Fraction
from math import floor

import pytest

from pharmcalc.aliquots import RULES, AliquotPlan, Limits
from pharmcalc.balances import percentage_of_error
from pharmcalc.formula import MISTAKES
from pharmcalc.marking import Status, mark_task
from pharmcalc.units import quantity
from tests.published import exactly
from tests.questions import mg, task_with
from tests.rooms import load_the_mathematics

load_the_mathematics()

F = Fraction  # in the tables: a number worked out here
CITRIC, WATER = F("192.12"), F("18.015")
GRAIN = F("64.79891")
MASSES = {"molar_mass_named": "192.12 g/mol", "molar_mass_used": "210.14 g/mol", "named_in_one_used": "1"}
COAL_TAR = {"strength": "2 %", "wanted_strength": "4 %"}
CREAM = {"weaker_strength": "0.1 %", "wanted_strength": "0.2 %", "stronger_strength": "0.5 %"}
TABLET = {"drug_wanted": "60 mg", "tablet_mass": "200 mg", "labelled_drug": "25 mg"}
DRIED = {"drug_wanted": "500 mg", "assay_dried": "98 %", "loss_on_drying": "5 %"}

# A plan of a student: 7 mg wanted, LWQ 120 mg, so 18 times 7 = 126 mg; aliquots of 150 mg; 2000 mg in all.
K, W, A, T, L, N, M = 18, 126, 150, 18 * 150, 120, 7, 2000

# number, what was done, id, amounts, the number it gives (worked out from what was done), its unit
BY_FORMULA = [
    (1, "LWQ upside down", "lwq-upside-down", {"sensitivity": "6 mg", "allowed_error": "5 %"}, F(6) * 5 / 100, "mg"),
    (2, "5 % as 5", "lwq-percent-as-number", {"sensitivity": "6 mg", "allowed_error": "5 %"}, F(6) / 5, "mg"),
    (3, "over what was found", "error-relative-to-found", {"wanted": "600 mg", "found": "575 mg"}, F(2500, 575), "%"),
    (4, "multiple rounded, weight left", "weight-left-at-lwq", {"least_weighable_quantity": "120 mg"}, F(L), "mg"),
    (
        5, "multiple rounded down", "multiple-rounded-down",
        {"least_weighable_quantity": "120 mg", "drug_wanted": "7 mg"}, F(floor(F(L, N))), "",
    ),
    (6, "diluent as the whole", "diluent-is-total", {"total_mixture": "2700 mg"}, F(T), "mg"),
    (
        8, "mixture from another aliquot", "mixture-of-lwq",
        {"multiple_factor": "18", "least_weighable_quantity": "120 mg"}, F(K * L), "mg",
    ),
    (
        9, "dissolved in, not to", "dissolved-in-not-to",
        {"drug_weighed": "120 mg", "solution_volume": "30 mL", "drug_volume": "0.1 mL"}, 120 / F("30.1"), "mg/mL",
    ),
    (
        10, "the diluent in the aliquot forgotten", "finish-diluent-in-aliquot-forgotten",
        {"final_quantity": "2000 mg", "drug_wanted": "7 mg"}, F(M - N), "mg",
    ),
    (11, "10 + 5 for 10 x 5", "serial-factors-added", {"first_multiple": "10", "second_multiple": "5"}, F(15), ""),
    (12, "1:20 as 1 + 20", "ratio-read-as-parts-added", {"ratio": "1:20", "preparation": "1 g"}, F(1000, 21), "mg"),
    (13, "drug : diluent", "ratio-drug-to-diluent", {"drug": "150 mg", "diluent": "4.05 g"}, F(150, 4050), ""),
    (14, "mg as g", "percentage-mg-as-g", {"drug": "27 mg", "preparation": "15 g"}, F(27, 15) * 100, "%"),
    (14, "mg as g", "percentage-wv-mg-as-g", {"drug": "200 mg", "preparation": "90 mL"}, F(200, 90) * 100, "% w/v"),
    (15, "mg% as mg/mL", "mg-percent-in-one-millilitre", {"concentration": "125 mg%"}, F(125) / 10, "% w/v"),
    (15, "ppm, ten times", "ppm-tenfold", {"strength": "0.004 % w/v"}, F(4), "ppm"),
    (15, "ppm, a thousand times", "percentage-from-ppb-as-ppm", {"concentration": "40 ppb"}, F("0.004"), "% w/v"),
    (
        16, "direct proportion", "dilution-direct-proportion",
        {"stock_strength": "10 %", "stock_amount": "120 mL", "final_amount": "240 mL"}, F(10) * 240 / 120, "%",
    ),
    (17, "the total as diluent", "diluent-is-final-amount", {"final_amount": "240 mL"}, F(240), "mL"),
    (
        17, "water to both volumes", "diluent-stock-added",
        {"stock_amount": "120 mL", "final_amount": "240 mL"}, F(120 + 240), "mL",
    ),
    (
        18, "simple difference", "fortify-simple-difference",
        {"preparation": "454 g", **COAL_TAR}, F(454) * (4 - 2) / 100, "g",
    ),
    (
        18, "total fixed for start fixed", "fortify-as-if-total-fixed",
        {"preparation": "454 g", **COAL_TAR}, F(454) * (4 - 2) / (100 - 2), "g",
    ),
    (19, "crossed", "alligation-crossed", {"total": "100 g", **CREAM}, 100 * F("0.3") / F("0.4"), "g"),
    (20, "plain mean", "medial-plain-mean", {"first_strength": "2 %", "second_strength": "4 %"}, F(3), "%"),
    (
        20, "vehicle left out", "medial-vehicle-left-out",
        {
            "first_strength": "6 %", "first_amount": "10 g", "second_strength": "3 %", "second_amount": "20 g",
            "third_strength": "0 %", "third_amount": "30 g",
        },
        F(6 * 10 + 3 * 20, 10 + 20), "%",
    ),
    (21, "parts of a thousand", "parts-base-of-thousand", {"total": "60 g", "parts": "3"}, F(60 * 3, 1000), "g"),
    (
        21, "fluid drams for fluid ounces", "fluid-dram-for-ounce",
        {"fluid_ounces": "4"}, 4 * F("29.5735295625") / 8, "mL",
    ),
    (
        22, "times the specific gravity", "mass-times-specific-gravity",
        {"mass": "45 g", "specific_gravity": "1.25"}, 45 * F("1.25"), "mL",
    ),
    (23, "purity upside down", "purity-upside-down", {"drug_wanted": "1 g", "purity": "62 %"}, F("0.62"), "g"),
    (
        23, "salt factor upside down", "salt-factor-upside-down",
        {"drug_wanted": "50 mg", **MASSES}, 50 * F("192.12") / F("210.14"), "mg",
    ),
    (23, "loss subtracted", "dried-basis-loss-subtracted", DRIED, 500 / (F("0.98") - F("0.05")), "mg"),
    (24, "the wrong ounce", "ounce-avoirdupois", {"ounces": "1"}, F("437.5") * GRAIN, "mg"),
    (24, "60 mg a grain", "grain-as-60-mg", {"grains": "5"}, F(300), "mg"),
    (
        25, "without the floor", "minimum-weight-no-floor",
        {"standard_deviation": "0.025 mg", "display_step": "0.1 mg"}, 2000 * F("0.025"), "mg",
    ),
    (
        25, "three s", "minimum-weight-three-s",
        {"standard_deviation": "0.1 mg", "display_step": "0.001 mg"}, 3000 * F("0.1"), "mg",
    ),
    (
        25, "tare as sample", "tare-counted-as-sample",
        {"minimum_weight": "82 mg", "safety_factor": "2", "tare": "100 mg"}, F(82 * 2 - 100), "mg",
    ),
    (26, "one unit for the batch", "dose-for-batch", {"dose": "0.7 mg"}, F("0.7"), "mg"),
    (26, "the batch for one unit", "batch-for-unit", {"batch_amount": "7 mg"}, F(7), "mg"),
    (27, "weighed directly", "weighed-directly", {"drug_wanted": "7 mg"}, F(N), "mg"),
    (
        28, "all of the mixture", "aliquot-is-whole-mixture",
        {"multiple_factor": "18", "least_weighable_quantity": "120 mg"}, F(K * L), "mg",
    ),
    (
        31, "multiple upside down", "multiple-upside-down",
        {"least_weighable_quantity": "120 mg", "drug_wanted": "7 mg"}, F(N, L), "",
    ),
    (
        32, "weight over multiple", "aliquot-is-weight-over-multiple",
        {"drug_weighed": "126 mg", "multiple_factor": "18"}, F(W, K), "mg",
    ),
    (33, "extra units left out", "loss-left-out", {"units_ordered": "10"}, F(10), ""),
    (33, "extra units twice", "loss-counted-twice", {"units_ordered": "10", "extra_units": "2"}, F(10 + 2 + 2), ""),
    (
        34, "per 5 mL as per mL", "dose-as-if-per-millilitre",
        {"dose": "50 mg", "labelled_drug": "125 mg"}, F(50, 125), "mL",
    ),
    (
        34, "per 5 mL as per mL", "measured-as-if-per-millilitre",
        {"labelled_drug": "125 mg", "measured_volume": "2 mL"}, F(2 * 125), "mg",
    ),
    (
        35, "parts as grams", "alligation-parts-as-grams",
        {"weaker_strength": "5 %", "wanted_strength": "15 %"}, F(15 - 5), "g",
    ),
    (
        36, "not tared", "pycnometer-not-tared",
        {"with_liquid": "42.1 g", "with_water": "46.6 g"}, F("42.1") / F("46.6"), "",
    ),
    (
        37, "water twice", "hydrate-water-twice",
        {"anhydrous_wanted": "50 mg", "molar_mass_anhydrous": "192.12 g/mol", "waters": "1"},
        50 * ((CITRIC + WATER) / CITRIC) ** 2, "mg",
    ),
    (
        37, "water twice", "dried-basis-water-twice",
        {**DRIED, "molar_mass_anhydrous": "192.12 g/mol", "molar_mass_hydrate": "210.14 g/mol"},
        500 / (F("0.98") * F("0.95")) * F("210.14") / F("192.12"), "mg",
    ),
    (38, "powder as drug", "tablet-powder-as-drug", {"drug_wanted": "60 mg"}, F(60), "mg"),
    (38, "drug for powder, turned round", "tablet-powder-upside-down", TABLET, F(60 * 25, 200), "mg"),
    (38, "all of the powder as drug", "tablet-powder-all-drug", {"powder": "480 mg"}, F(480), "mg"),
]  # fmt: skip

# number, id of the rule of a plan, the plan that breaks it (drug, diluent, aliquot in mg, 7 mg wanted)
BY_RULE = [(7, "aliquot-below-lwq", (126, 1674, 100)), (27, "drug-below-lwq", (7, 143, 150))]

# number, what is typed for the LWQ of 120 mg, the verdict
BY_MARKING = [
    (29, "1200 mg", Status.POWER),
    (29, "12 mg", Status.POWER),
    (30, "120 microgram", Status.UNIT),
    (30, "120000 microgram", Status.RIGHT),
]

AT_THE_BENCH = {36: "read before the balance is steady: an act, not a number; the simulated balance is not built yet"}
"""What no formula can hold, with the reason."""

UNITS = {"mg": "milligram", "g": "gram", "mL": "millilitre", "%": "percent", "% w/v": "percent_in_volume", "": ""}
UNITS |= {"mg/mL": "milligram / millilitre", "ppm": "part_per_million_in_volume"}


def test_all_thirty_eight_have_a_home() -> None:
    """No common mistake is without a home; a rule or an id that is named is there."""
    homes = {row[0] for row in (*BY_FORMULA, *BY_RULE, *BY_MARKING)}
    assert homes == set(range(1, 39))
    assert {row[2] for row in BY_FORMULA} <= MISTAKES.keys()
    assert {row[1] for row in BY_RULE} <= {rule.id for rule in RULES}
    assert AT_THE_BENCH.keys() <= homes


@pytest.mark.parametrize(
    ("number", "done", "id", "amounts", "gives", "unit"), BY_FORMULA, ids=[f"{row[0]} {row[2]}" for row in BY_FORMULA]
)
def test_a_common_mistake_gives_its_number(
    number: int, done: str, id: str, amounts: dict[str, str], gives: Fraction, unit: str
) -> None:
    """The mistake's own function gives what is worked out here from what was done; where it can be, it is not right."""
    mistake = MISTAKES[id]
    kinds = {**mistake.of.kinds, **mistake.kinds}
    values = {name: kinds[name].check(name, text) for name, text in amounts.items()}
    assert exactly(mistake.evaluate(values), str(gives), UNITS[unit]), (number, done)
    if mistake.of.kinds.keys() <= values.keys():
        assert mistake.evaluate(values) != mistake.of.evaluate(values)


@pytest.mark.parametrize(("number", "id", "masses"), BY_RULE)
def test_a_weighing_below_the_limit_is_a_broken_rule(number: int, id: str, masses: tuple[int, int, int]) -> None:
    """An aliquot of 100 mg is 6 % uncertain on a balance of 6 mg, 7 mg of drug 86 %: the rule names it."""
    plan = AliquotPlan(mg(N), *(mg(mass) for mass in masses))
    limits = Limits(mg(L), mg(1), quantity(120, "gram"))
    assert [rule.id for rule in plan.broken_rules(limits)] == [id]
    small = min(masses)
    assert exactly(percentage_of_error(sensitivity="6 mg", load=mg(small)), str(F(600, small)), "percent")
    assert F(600, small) > 5


@pytest.mark.parametrize(("number", "typed", "verdict"), BY_MARKING)
def test_a_shifted_point_and_a_wrong_unit_are_told_apart(number: int, typed: str, verdict: Status) -> None:
    """1200 mg for 120 mg is a shifted point, 120 microgram a wrong unit, and both stop the way to the balance."""
    task = task_with("least-weighable-quantity", sensitivity=mg(6), allowed_error=quantity(5, "percent"))
    mark = mark_task(task, typed)
    assert mark.verdicts[0].status is verdict
    assert mark.clearance.critical is (verdict is not Status.RIGHT)


@pytest.mark.parametrize(
    ("number", "dose", "said"),
    [
        (4, F(L * A, K * A), "120 mg in a mixture for 126 mg"),  # L / K = 20/3 mg for 7 mg
        (6, F(W * A, W + T), "2700 mg of diluent for 2574 mg"),
        (8, F(W * A, K * L), "a mixture of 2160 mg for 2700 mg"),
        (28, F(W), "all of the mixture"),
    ],
)
def test_what_the_patient_would_get(number: int, dose: Fraction, said: str) -> None:
    """A slip in the plan is a slip in the dose: recomputed, the aliquot holds this much of the 7 mg wanted."""
    weighed, total, taken = {4: (L, T, A), 6: (W, W + T, A), 8: (W, K * L, A), 28: (W, T, T)}[number]
    plan = AliquotPlan(mg(N), mg(weighed), mg(total - weighed), mg(taken))
    assert plan.drug_delivered == mg(dose), said
    assert plan.drug_delivered != mg(N)


def test_forgetting_the_diluent_in_the_aliquot_makes_too_much() -> None:
    """1993 mg added to an aliquot of 150 mg make 2143 mg: the preparation is larger, and each unit weaker."""
    added = MISTAKES["finish-diluent-in-aliquot-forgotten"].evaluate({"final_quantity": mg(M), "drug_wanted": mg(N)})
    assert exactly(added + mg(A), str(M + A - N), "milligram")
