"""Known mistakes, worked out here from the subject and not from the library, typed as a student would."""

from collections import Counter
from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

import pytest

from pharmcalc.marking import TaskMark, mark_task
from pharmcalc.tasks.dice import Dice
from pharmcalc.tasks.family import FAMILIES, Task, family_called
from tests.conftest import PROFILE
from tests.questions import HOUSE
from tests.slips import rounded

DRAWS = 400 if PROFILE == "thorough" else 16
Numbers = Mapping[str, Fraction]


def in_mg(task: Task) -> dict[str, Fraction]:
    """Return a task's values as plain numbers: mg, mL, % (w/v as g in 100 mL), or as they are."""
    plain = {}
    for name, value in task.values.items():
        for unit in ("milligram", "millilitre", "percent_in_volume"):
            if value.is_compatible_with(unit):
                plain[name] = value.to(unit).magnitude
        if value.dimensionless:
            plain[name] = value.to_base_units().magnitude
    return plain


def single(unit: str) -> Callable[[Fraction], str]:
    """Return how a number is typed with a unit."""
    return lambda number: f"{rounded(number)} {unit}".strip()


def one_in(number: Fraction) -> str:
    """Type a ratio strength from its R."""
    return f"1:{rounded(number)}"


# Tasks with one answer: (family, id, how it is typed, the number of the mistake) -------------------------------------

SINGLE: list[tuple[str, str, Callable[[Fraction], str], Callable[[Numbers], Fraction]]] = [
    ("percentage-of-error", "error-upside-down", single("%"), lambda v: v["load"] / v["sensitivity"] * 100),
    ("percentage-of-error", "error-upside-down-not-times-100", single("%"), lambda v: v["load"] / v["sensitivity"]),
    ("percentage-of-error", "error-not-times-100", single("%"), lambda v: v["sensitivity"] / v["load"]),
    ("error-found", "error-relative-to-found", single("%"), lambda v: abs(v["found"] - v["wanted"]) / v["found"] * 100),
    ("error-found", "found-as-percent-of-wanted", single("%"), lambda v: v["found"] / v["wanted"] * 100),
    ("least-weighable-quantity", "lwq-upside-down", single("mg"), lambda v: v["sensitivity"] * v["allowed_error"]),
    (
        "least-weighable-quantity",
        "lwq-percent-as-number",
        single("mg"),
        lambda v: v["sensitivity"] / (v["allowed_error"] * 100),
    ),
    (
        "sensitivity-requirement",
        "sensitivity-divided",
        single("mg"),
        lambda v: v["least_weighable_quantity"] / v["allowed_error"],
    ),
    ("minimum-weight", "minimum-weight-no-floor", single("mg"), lambda v: 2000 * v["standard_deviation"]),
    (
        "minimum-weight",
        "minimum-weight-three-s",
        single("mg"),
        lambda v: 3000 * max(v["standard_deviation"], Fraction("0.41") * v["display_step"]),
    ),
    ("percentage-ww", "percentage-mg-as-g", single("%"), lambda v: v["drug"] / (v["preparation"] / 1000) * 100),
    ("percentage-ww", "percentage-not-times-100", single("%"), lambda v: v["drug"] / v["preparation"]),
    ("percentage-wv", "percentage-wv-mg-as-g", single("%"), lambda v: v["drug"] / v["preparation"] * 100),
    ("percentage-wv", "percentage-wv-mg-per-ml", single("%"), lambda v: v["drug"] / v["preparation"]),
    (
        "drug-for-strength",
        "drug-grams-called-milligrams",
        single("mg"),
        lambda v: v["strength"] * v["preparation"] / 100,
    ),
    ("drug-for-strength", "drug-percent-as-number-wv", single("g"), lambda v: v["strength"] * v["preparation"]),
    ("ratio-strength", "ratio-of-the-percentage-number", one_in, lambda v: v["strength"] * 100),
    ("ratio-strength", "ratio-hundred-left-out", one_in, lambda v: 1 / v["strength"] - 1),
    ("ratio-of-trituration", "ratio-drug-to-diluent", one_in, lambda v: v["diluent"] / v["drug"]),
    (
        "drug-in-trituration",
        "ratio-read-as-parts-added",
        single("mg"),
        lambda v: v["preparation"] / (1 / v["ratio"] + 1),
    ),
    ("drug-in-trituration", "ratio-read-as-less-one", single("mg"), lambda v: v["preparation"] / (1 / v["ratio"] - 1)),
]


def draws(family: str) -> list[Task]:
    """Return draws of a family."""
    return [family_called(family).task("q1", f"mistake {number}", HOUSE) for number in range(DRAWS)]


def is_named(mark: TaskMark, label: str, mistake: str) -> bool:
    """Say whether an answer was recognised as a mistake, or as another one that gives the very same number."""
    verdict = next(verdict for verdict in mark.verdicts if verdict.label == label)
    if verdict.mistake_id == mistake:
        return True
    if verdict.mistake is None or verdict.line.value is None:
        return False
    same = verdict.mistake.evaluate(verdict.mistake_values or {})
    return abs(same - verdict.line.value) * 1000 <= abs(same)


@pytest.mark.parametrize(("family", "mistake", "typed", "wrong"), SINGLE, ids=[row[1] for row in SINGLE])
def test_a_mistake_is_recognised_by_its_number(
    family: str, mistake: str, typed: Callable[[Fraction], str], wrong: Callable[[Numbers], Fraction]
) -> None:
    """Whoever makes the mistake and rounds to four figures reads its name, on at least 98 of 100 papers."""
    named = judged = 0
    for task in draws(family):
        values = in_mg(task)
        mark = mark_task(task, typed(wrong(values)))
        if mark.marks == task.out_of:
            continue  # with these numbers the step left out changes nothing
        judged += 1
        named += is_named(mark, task.asked[0].said, mistake)
    assert judged >= DRAWS // 4
    assert named * 100 >= judged * 98


FACTORS = [
    # 1 % is 10 mg/mL, 1000 mg% and 10 000 ppm; what is typed instead, from the number of the percentage
    ("mg-per-ml-is-percentage", "mg/mL", "mg/mL", "1"),
    ("mg-per-ml-hundredfold", "mg/mL", "mg/mL", "1000"),
    ("mg-percent-as-mg-per-ml", "mg%", "mg%", "10"),
    ("ppm-tenfold", "ppm", "ppm", "1000"),
    ("ppm-per-hundred-forgotten", "ppm", "ppm", "1000000"),
]


@pytest.mark.parametrize(("mistake", "label", "unit", "factor"), FACTORS, ids=[row[0] for row in FACTORS])
def test_a_slip_between_the_words_of_a_strength_is_recognised(mistake: str, label: str, unit: str, factor: str) -> None:
    """A factor of ten, a hundred or a thousand between mg/mL, mg% and ppm has its name, and is never cleared."""
    for task in draws("strength-in-other-words"):
        percent = in_mg(task)["strength"]
        lines = task.answer_lines().splitlines()
        place = [line.split(" = ")[0] for line in lines].index(f"strength in {label}")
        lines[place] = f"{label} = {rounded(percent * Fraction(factor))} {unit}"
        mark = mark_task(task, "\n".join(lines))
        assert is_named(mark, f"strength in {label}", mistake)
        assert (mark.marks, mark.cleared, mark.clearance.critical) == (4, False, True)


# Plans: the answers typed when one mistake is made and everything else follows ---------------------------------------


def plan_with(v: Numbers, **own: Fraction) -> dict[str, Fraction]:
    """Return a whole plan, worked out by hand from what a student does differently."""
    said = {"lwq": v["least_weighable_quantity"], "n": v["drug_wanted"], **own}
    said.setdefault("k", Fraction(ceil(said["lwq"] / said["n"])))
    said.setdefault("w", said["k"] * said["n"])
    said.setdefault("a", v["aliquot"])
    said.setdefault("t", said["k"] * said["a"])
    said.setdefault("d", said["t"] - said["w"])
    if "final_quantity" in v:
        said.setdefault("finish", v["final_quantity"] - said["a"])
    return said


PLANS: list[tuple[str, str, str, Callable[[Numbers, Numbers], dict[str, Fraction]]]] = [
    # v: the numbers of the question; p: the student's own plan before the slip
    ("aliquot-plan", "lwq-upside-down", "lwq", lambda v, p: {**p, "lwq": v["sensitivity"] * v["allowed_error"]}),
    (
        "aliquot-plan",
        "lwq-percent-as-number",
        "lwq",
        lambda v, p: {**p, "lwq": v["sensitivity"] / v["allowed_error"] / 100},
    ),
    ("aliquot-plan", "multiple-rounded-down", "k", lambda v, p: {"k": Fraction(floor(p["lwq"] / v["drug_wanted"]))}),
    ("aliquot-plan", "multiple-upside-down", "k", lambda v, p: {**p, "k": v["drug_wanted"] / p["lwq"]}),
    ("aliquot-plan", "weight-left-at-lwq", "w", lambda v, p: {"w": p["lwq"]}),
    ("aliquot-plan", "weighed-directly", "w", lambda v, p: {"w": v["drug_wanted"]}),
    ("aliquot-plan", "aliquot-is-weight-over-multiple", "a", lambda v, p: {**p, "a": v["drug_wanted"]}),
    ("aliquot-plan", "mixture-of-lwq", "t", lambda v, p: {"a": p["a"] + 15, "t": p["k"] * p["lwq"]}),
    ("aliquot-plan", "diluent-is-total", "d", lambda v, p: {"d": p["t"]}),
    ("aliquot-batch", "dose-for-batch", "n", lambda v, p: {"n": v["dose"]}),
    ("aliquot-batch", "extra-units-left-out", "n", lambda v, p: {"n": v["dose"] * v["units_ordered"]}),
    ("aliquot-batch", "multiple-of-dose", "w", lambda v, p: {"w": p["k"] * v["dose"]}),
    ("aliquot-batch", "diluent-less-drug-wanted", "d", lambda v, p: {"d": p["t"] - v["drug_wanted"]}),
    (
        "aliquot-batch",
        "finish-diluent-in-aliquot-forgotten",
        "finish",
        lambda v, p: {"finish": v["final_quantity"] - p["n"]},
    ),
    ("aliquot-batch", "finish-less-mixture", "finish", lambda v, p: {"finish": v["final_quantity"] - p["w"]}),
]
LABELS = {
    "lwq": "least weighable quantity",
    "n": "drug wanted",
    "k": "multiple factor",
    "w": "drug to weigh",
    "a": "aliquot",
    "t": "total mixture",
    "d": "diluent to weigh",
    "finish": "diluent to finish",
}


def typed_plan(task: Task, said: Mapping[str, Fraction], slip: str) -> str:
    """Type a plan as a student would: what is weighed to the nearest 1 mg as asked, but the slip as it comes out."""
    asked = {one.said for one in task.asked}
    lines = []
    for label, words in LABELS.items():
        if words not in asked or label not in said or said[label] <= 0:
            continue
        if label in ("w", "a", "t", "d", "finish") and label != slip:
            number = str(floor(said[label] + Fraction(1, 2)))
        elif label == slip:
            number = f"{Decimal(said[label].numerator) / Decimal(said[label].denominator):.4f}".rstrip("0").rstrip(".")
        else:
            number = rounded(said[label]) if said[label].denominator > 1 else str(said[label])
        lines.append(f"{label} = {number}{'' if label == 'k' else ' mg'}")
    return "\n".join(lines)


@pytest.mark.parametrize(("family", "mistake", "label", "slip"), PLANS, ids=[row[1] for row in PLANS])
def test_a_mistake_in_a_plan_is_recognised_where_it_was_made(
    family: str, mistake: str, label: str, slip: Callable[[Numbers, Numbers], dict[str, Fraction]]
) -> None:
    """The mistake is named at the step where it was made, and nothing else is called a mistake."""
    named, others = 0, Counter[str]()
    for task in draws(family):
        values = in_mg(task)
        mark = mark_task(task, typed_plan(task, plan_with(values, **slip(values, plan_with(values))), label))
        named += is_named(mark, LABELS[label], mistake)
        if any(verdict.not_gone_on for verdict in mark.verdicts):
            continue  # a number that leads nowhere: the later steps were judged on another
        wrong = {
            verdict.label: verdict.mistake_id or verdict.status.name for verdict in mark.verdicts if not verdict.earned
        }
        wrong.pop(LABELS[label], None)
        others.update(wrong.values())
    assert named * 100 >= DRAWS * 98
    allowed = {
        "drug-not-on-display",
        "diluent-not-on-display",
        "drug-below-lwq",
        "diluent-below-lwq",
    }  # what follows truly
    assert set(others) <= allowed, others


# What is no mistake --------------------------------------------------------------------------------------------------


def swapped(amount: str) -> list[str]:
    """Return an amount with two neighbouring digits swapped, where that does not shift the decimal point instead."""
    for at in range(len(amount) - 1):
        first, second = amount[at : at + 2]
        if first != second and first in "123456789" and second in "123456789":
            return [amount[:at] + second + first + amount[at + 2 :]]
    return []


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_random_slips_are_not_called_by_the_name_of_a_mistake(family: str) -> None:
    """Digits swapped, a digit misread, a factor from nowhere: at most one in a hundred is taken for a known mistake."""
    named = judged = 0
    for number, task in enumerate(draws(family)):
        dice = Dice(f"slip {family} {number}")
        lines = task.answer_lines().splitlines()
        for place, asked in enumerate(task.asked):
            if asked.choice or asked not in task.amounts:
                continue
            factor = Fraction(dice.between(1030, 9700), 1000) / dice.pick((1, 3, 7))
            value = task.typed(asked, task.values[asked.name] * (1 / factor if dice.below(2) else factor))
            label, amount = lines[place].split(" = ")
            typed = [f"{label} = {value}", *(f"{label} = {other}" for other in swapped(amount))]
            for line in typed:
                mark = mark_task(task, "\n".join([*lines[:place], line, *lines[place + 1 :]]))
                verdict = mark.verdicts[place]
                judged += not verdict.earned
                named += verdict.mistake is not None
    assert judged > DRAWS // 2 or not task.amounts
    assert named <= max(1, judged // 100), f"{named} of {judged}"  # one of a small sample may be chance
