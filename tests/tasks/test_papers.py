"""Papers: one student's numbers, the same for ever, and nobody else's."""

from hashlib import sha256

import pytest

from pharmcalc.errors import CourseError, RefusedError
from pharmcalc.tasks.family import FAMILIES
from pharmcalc.tasks.house import default_house_rules_text
from pharmcalc.tasks.papers import Issue, answer_id, mark_id, normal_number, read_issue, task_id_of
from tests.questions import HOUSE, house

ASKED = (
    ("q1", "percentage-of-error"),
    ("q2", "least-weighable-quantity"),
    ("q3", "percentage-wv"),
    ("q4", "ratio-of-trituration"),
    ("q5", "aliquot-plan"),
    ("q6", "aliquot-batch"),
)
ISSUE = Issue("weighing-1", 1, "Weighing 1", ASKED, HOUSE)


def numbers(issue: Issue, student: str, attempt: int = 1) -> list[str]:
    """Return all the given numbers of a paper as text."""
    paper = issue.paper(student, attempt)
    return [str(value) for task in paper.tasks for value in task.drawn.values.values()]


# Frozen outputs ------------------------------------------------------------------------------------------------------

AT_THE_BENCH = {
    "bench-batch": ("34 capsules, each with 5 mg of", "quinine sulfate dihydrate", "180 milligram", "A"),
    "bench-doubtful": ("245 mg of", "quinine sulfate dihydrate", "245 milligram", ""),
    "bench-weighing": ("94 mg of", "sodium carbonate decahydrate", "94 milligram", "C"),
}
RECORDS = {
    "bench-batch": "c25efcf6c8778b5a",
    "bench-doubtful": "27dda9e3b75ef895",
    "bench-weighing": "866b922bb86b1017",
}
FROZEN = {
    "metric-mass": {
        "amount": "125 microgram",
        "written_unit": "1 microgram",
        "wanted_unit": "1 milligram",
    },
    "metric-volume": {
        "amount": "4/5 millilitre",
        "written_unit": "1 millilitre",
        "wanted_unit": "1 microlitre",
    },
    "aliquot-batch": {
        "dose": "1/2 milligram",
        "units_ordered": "14 dimensionless",
        "number_of_units": "16 dimensionless",
        "final_quantity": "4800 milligram",
        "fill": "300 milligram",
        "least_weighable_quantity": "100 milligram",
    },
    "aliquot-plan": {
        "drug_wanted": "44 milligram",
        "sensitivity": "4 milligram",
        "allowed_error": "5 percent",
    },
    "alligation-alternate": {
        "total": "80 gram",
        "weaker_strength": "1/10 percent",
        "wanted_strength": "1/4 percent",
        "stronger_strength": "5/2 percent",
    },
    "alligation-medial": {
        "first_strength": "10 percent",
        "first_amount": "50 gram",
        "second_strength": "4 percent",
        "second_amount": "20 gram",
        "third_strength": "0 percent",
        "third_amount": "120 gram",
    },
    "capsule-filler": {
        "capsule_volume": "67/100 millilitre",
        "drug": "300 milligram",
        "drug_density": "7/10 gram / millilitre",
        "filler_density": "3/4 gram / millilitre",
        "units_ordered": "12 dimensionless",
        "extra_units": "2 dimensionless",
        "units_made": "14 dimensionless",
    },
    "combined-uncertainty": {
        "first": "1/5 millilitre",
        "second": "13/100 millilitre",
    },
    "crushed-tablets": {
        "dose": "4 milligram",
        "units_ordered": "14 dimensionless",
        "number_of_units": "16 dimensionless",
        "labelled_drug": "25 milligram",
        "tablet_mass": "254 milligram",
    },
    "cylinder-reading-error": {
        "inner_diameter": "11/10 centimetre",
        "misreading": "2 millimetre",
        "volume": "5 millilitre",
        "allowed_error": "2 percent",
        "capacity": "10 millilitre",
    },
    "decide-first": {
        "drug_wanted": "20 microgram",
        "load": "20 microgram",
        "sensitivity": "4 milligram",
        "allowed_error": "5 percent",
    },
    "diluent-to-add": {
        "stock_strength": "5 percent",
        "wanted_strength": "1 percent",
        "final_amount": "20 gram",
    },
    "dilution-strength": {
        "stock_strength": "1/2 percent",
        "stock_amount": "80 gram",
        "final_amount": "100 gram",
    },
    "dose-from-label": {
        "dose": "200 milligram",
        "labelled_drug": "250 milligram",
        "labelled_volume": "5 millilitre",
    },
    "drug-for-strength": {
        "strength": "5 percent_in_volume",
        "preparation": "60 millilitre",
    },
    "drug-in-trituration": {
        "ratio": "1/8 dimensionless",
        "preparation": "184 milligram",
    },
    "each-of-three": {
        "each": "21 gram",
        "number_of_ingredients": "3 dimensionless",
        "total": "100 gram",
    },
    "error-found": {
        "wanted": "1125 milligram",
        "found": "1147 milligram",
    },
    "estimate-batch": {
        "dose": "35 microgram",
        "number_of_units": "48 dimensionless",
    },
    "estimate-drug": {
        "strength": "1/4 percent_in_volume",
        "preparation": "480 millilitre",
    },
    "estimate-mixture": {
        "multiple_factor": "35 dimensionless",
        "aliquot": "420 milligram",
    },
    "evaporation": {
        "preparation": "500 millilitre",
        "strength": "3/2 percent_in_volume",
        "wanted_strength": "5/2 percent_in_volume",
    },
    "fortify-ointment": {
        "preparation": "45 gram",
        "strength": "10 percent",
        "wanted_strength": "20 percent",
        "stronger_strength": "100 percent",
    },
    "fortify-total": {
        "total": "40 gram",
        "strength": "6 percent",
        "wanted_strength": "10 percent",
        "stronger_strength": "100 percent",
    },
    "hydrate-to-weigh": {
        "anhydrous_wanted": "600 milligram",
        "molar_mass_anhydrous": "4036/25 gram / mole",
        "waters": "7 dimensionless",
    },
    "least-measurable-volume": {
        "volume_error": "1/10 millilitre",
        "allowed_error": "4 percent",
    },
    "least-weighable-quantity": {
        "sensitivity": "5 milligram",
        "allowed_error": "1 percent",
    },
    "liquid-aliquot-plan": {
        "drug_wanted": "47 milligram",
        "least_weighable_quantity": "80 milligram",
        "least_measurable_volume": "5 millilitre",
        "final_volume": "30 millilitre",
    },
    "liquid-concentration": {
        "drug_weighed": "5 gram",
        "solution_volume": "150 millilitre",
        "drug_volume": "3 millilitre",
    },
    "liquid-dose": {
        "labelled_drug": "200 milligram",
        "labelled_volume": "10 millilitre",
        "dose": "116 milligram",
    },
    "mass-of-volume": {
        "volume": "45 millilitre",
        "specific_gravity": "28/25 dimensionless",
    },
    "measuring-error": {
        "volume_error": "1/10 millilitre",
        "capacity": "10 millilitre",
        "volume": "24/5 millilitre",
    },
    "minimum-weight": {
        "standard_deviation": "1/5 milligram",
        "display_step": "1 milligram",
        "counted_deviation": "41/100 milligram",
    },
    "mould-base": {
        "mould": "3 gram",
        "drug_per_unit": "125 milligram",
        "displacement_value": "3 dimensionless",
        "units_ordered": "23 dimensionless",
        "extra_units": "2 dimensionless",
    },
    "old-fluid-ounces": {
        "fluid_ounces": "4 dimensionless",
    },
    "old-grains": {
        "grains": "1/3 dimensionless",
    },
    "old-recipe": {
        "grains": "45 dimensionless",
        "drams": "7 dimensionless",
        "ounces": "6 dimensionless",
    },
    "order-capsules-salt": {
        "per_unit": "4 milligram",
        "units_ordered": "23 dimensionless",
        "extra_units": "2 dimensionless",
        "unit_mass": "200 milligram",
        "sensitivity": "6 milligram",
        "allowed_error": "5 percent",
        "molar_mass_named": "4131/25 gram / mole",
        "molar_mass_used": "21427/50 gram / mole",
        "named_in_one_used": "2 dimensionless",
    },
    "order-divided-powders": {
        "per_unit": "20 milligram",
        "units_ordered": "21 dimensionless",
        "extra_units": "2 dimensionless",
        "unit_mass": "280 milligram",
        "sensitivity": "4 milligram",
        "allowed_error": "5 percent",
        "assay_dried": "185/2 percent",
        "loss_on_drying": "293/10 percent",
        "molar_mass_anhydrous": "10911/50 gram / mole",
        "molar_mass_hydrate": "61659/200 gram / mole",
    },
    "order-liquid": {
        "labelled_drug": "4 milligram",
        "labelled_volume": "5 millilitre",
        "measured_volume": "75 millilitre",
        "final_volume": "75 millilitre",
        "sensitivity": "6 milligram",
        "allowed_error": "5 percent",
        "least_measurable_volume": "5 millilitre",
    },
    "order-ointment": {
        "per_unit": "20 gram",
        "units_ordered": "8 dimensionless",
        "extra_units": "2 dimensionless",
        "units_made": "10 dimensionless",
        "stock_strength": "12 percent",
        "wanted_strength": "3 percent",
    },
    "own-order-units": {
        "dose": "1/2 milligram",
        "units_ordered": "16 dimensionless",
        "number_of_units": "18 dimensionless",
        "final_quantity": "3960 milligram",
        "fill": "220 milligram",
        "least_weighable_quantity": "100 milligram",
    },
    "own-order-wv": {
        "strength": "1/2 percent_in_volume",
        "preparation": "240 millilitre",
    },
    "own-order-ww": {
        "strength": "5/2 percent",
        "preparation": "80 gram",
    },
    "percentage-by-weight-from-density": {
        "strength": "234/25 percent_in_volume",
        "specific_gravity": "26/25 dimensionless",
    },
    "percentage-from-density": {
        "strength": "38 percent",
        "specific_gravity": "71/50 dimensionless",
    },
    "percentage-of-error": {
        "sensitivity": "4 milligram",
        "load": "265 milligram",
    },
    "percentage-wv": {
        "drug": "610 milligram",
        "preparation": "45 millilitre",
    },
    "percentage-ww": {
        "drug": "280 milligram",
        "preparation": "25 gram",
    },
    "powder-for-purity": {
        "drug_wanted": "450 milligram",
        "purity": "95 percent",
    },
    "powder-on-dried-basis": {
        "drug_wanted": "250 milligram",
        "assay_dried": "90 percent",
        "loss_on_drying": "9 percent",
    },
    "ratio-of-trituration": {
        "drug": "75 milligram",
        "diluent": "1275 milligram",
        "preparation": "1350 milligram",
    },
    "ratio-strength": {
        "strength": "4 percent",
    },
    "reading-on-display": {
        "load": "130 milligram",
        "lowest": "126 milligram",
        "highest": "137 milligram",
        "display_step": "1 milligram",
    },
    "recipe-in-parts": {
        "parts": "7 dimensionless",
        "second_parts": "6 dimensionless",
        "third_parts": "21 dimensionless",
        "all_parts": "34 dimensionless",
        "total": "200 gram",
    },
    "reduce-recipe": {
        "first_ingredient": "3 gram",
        "second_ingredient": "32 gram",
        "third_ingredient": "90 gram",
        "ingredient": "3 gram",
        "amount_made": "30 gram",
        "usual_total": "100 gram",
    },
    "resolution-uncertainty": {
        "display_step": "2 milligram",
    },
    "salt-form": {
        "drug_wanted": "100 milligram",
        "molar_mass_named": "5187/20 gram / mole",
        "molar_mass_used": "29581/100 gram / mole",
        "named_in_one_used": "1 dimensionless",
    },
    "second-check": {
        "drug_wanted": "32 milligram",
        "sensitivity": "4 milligram",
        "allowed_error": "5 percent",
    },
    "sensitivity-requirement": {
        "least_weighable_quantity": "140 milligram",
        "allowed_error": "3 percent",
    },
    "serial-multiple": {
        "drug_wanted": "12/5 milligram",
        "least_weighable_quantity": "100 milligram",
        "first_multiple": "5 dimensionless",
    },
    "solubility-one-in": {
        "solute": "3/5 gram",
        "parts_of_solvent": "3 dimensionless",
    },
    "stock-for-dilution": {
        "stock_strength": "5 percent_in_volume",
        "wanted_strength": "1/20 percent_in_volume",
        "final_amount": "500 millilitre",
    },
    "stock-strength": {
        "wanted_strength": "1/2 percent_in_volume",
        "final_volume": "1000 millilitre",
        "portion": "25 millilitre",
        "stock_volume": "120 millilitre",
        "preparation": "120 millilitre",
    },
    "stop-and-ask": {},
    "strength-in-other-words": {
        "strength": "67/200 percent_in_volume",
    },
    "two-step-trituration": {
        "drug": "20 milligram",
        "first_ratio": "1/10 dimensionless",
        "second_ratio": "1/5 dimensionless",
    },
    "units-for-loss": {
        "per_unit": "125 milligram",
        "units_ordered": "21 dimensionless",
        "extra_units": "2 dimensionless",
        "units_made": "23 dimensionless",
    },
    "volume-of-mass": {
        "mass": "15 gram",
        "specific_gravity": "28/25 dimensionless",
    },
}


@pytest.mark.parametrize("family", sorted(FROZEN))
def test_a_paper_already_issued_keeps_its_numbers(family: str) -> None:
    """Student A-07, attempt 1, version 1: these numbers, on every machine, in every version, for ever."""
    paper = Issue("frozen", 1, "Frozen", (("q1", family),), HOUSE).paper("A-07")
    assert {name: str(value) for name, value in paper.task("q1").drawn.values.items()} == FROZEN[family]


@pytest.mark.parametrize("family", sorted(AT_THE_BENCH))
def test_an_order_at_the_bench_and_its_readings_are_frozen(family: str) -> None:
    """A record that was kept last term replays to the same readings: physics and chance cannot change unnoticed.

    The weighing by the book of student A-07 is replayed from its events; its record is known by its digest.
    """
    task = Issue("frozen", 1, "Frozen", (("q1", family),), HOUSE).paper("A-07").task("q1")
    order, words = task.drawn.order, task.drawn.words
    jar = order.right_jar.letter if order.right_jar else ""
    assert (words["wanted"], order.product, str(order.target), jar) == AT_THE_BENCH[family]
    assert sha256(task.answer_lines().encode()).hexdigest()[:16] == RECORDS[family]


def test_the_words_of_a_paper_are_frozen_too() -> None:
    """The order on a slip and a colleague's plan are drawn like numbers."""
    words = [
        Issue("frozen", 1, "Frozen", (("q1", family),), HOUSE).paper("A-07").task("q1").drawn.words
        for family in ("stop-and-ask", "second-check")
    ]
    assert (words[0]["order"], words[0]["jar"], words[0]["kind"]) == (
        "90 mL of a 5 % lotion with zinc sulfate heptahydrate",
        "zinc sulfate heptahydrate",
        "basis",
    )
    assert words[1]["colleague"] == (
        "least weighable quantity 80 mg; multiple factor 2; drug to weigh 64 mg; aliquot 85 mg; "
        "total mixture 170 mg; diluent to weigh 106 mg"
    )


def test_the_code_of_a_paper_is_frozen() -> None:
    """The code printed on a sheet finds the paper again years later."""
    assert ISSUE.paper("A-07").code == "YM6BR37"
    assert ISSUE.paper("A-07", 2).code == "ZPRRQ7T"


# Laws ----------------------------------------------------------------------------------------------------------------


def test_the_same_paper_is_the_same_again() -> None:
    """Same assignment, student, attempt and version: same numbers; capitals and spaces around make no difference."""
    assert numbers(ISSUE, "A-07") == numbers(ISSUE, "A-07") == numbers(ISSUE, " a-07 ")


@pytest.mark.parametrize(
    "other",
    [
        numbers(ISSUE, "A-08"),
        numbers(ISSUE, "A-07", 2),
        numbers(Issue("weighing-1", 2, "Weighing 1", ASKED, HOUSE), "A-07"),
        numbers(Issue("weighing-2", 1, "Weighing 2", ASKED, HOUSE), "A-07"),
    ],
    ids=["another student", "another attempt", "another version", "another assignment"],
)
def test_anything_else_is_another_paper(other: list[str]) -> None:
    """Each of the four things changes the numbers."""
    assert numbers(ISSUE, "A-07") != other


def test_in_a_class_of_300_no_two_papers_are_alike() -> None:
    """Three hundred students, three hundred papers, three hundred codes."""
    papers = [ISSUE.paper(f"B-{number:03}") for number in range(300)]
    assert (
        len({tuple(str(value) for task in paper.tasks for value in task.drawn.values.values()) for paper in papers})
        == 300
    )
    assert len({paper.code for paper in papers}) == 300


def test_a_paper_is_marked_out_of_all_its_tasks() -> None:
    """Its marks are the sum of its tasks' marks, and a task is found by its name."""
    paper = ISSUE.paper("A-07")
    assert paper.out_of == sum(task.out_of for task in paper.tasks) == 34
    assert paper.task("q5").family.id == "aliquot-plan"


def test_the_house_rules_decide_what_is_drawn() -> None:
    """With 2 % allowed, the plan is asked about other limits."""
    strict = Issue("weighing-1", 1, "Weighing 1", ASKED, house(allowed_error='"2 %"'))
    assert (
        strict.paper("A-07").task("q5").values["allowed_error"]
        != ISSUE.paper("A-07").task("q5").values["allowed_error"]
    )


# Reading a released notebook -----------------------------------------------------------------------------------------


def notebook(*sources: str | list[str]) -> dict[str, object]:
    """Return a notebook with cells of these sources."""
    return {"cells": [{"cell_type": "code", "source": source} for source in sources]}


BEGIN = 'from pharmcalc import notebook\nnotebook.begin("weighing-1", version=3)'


def test_a_released_notebook_says_what_was_asked() -> None:
    """Assignment, version, title, tasks and house rules are all read from the notebook itself."""
    rules = "%%house_rules\n" + default_house_rules_text().replace('"5 %"', '"2 %"')
    nb = notebook(
        "# Weighing and aliquots\nHow it works", BEGIN, rules, "%task q1 error-found", ["%task q2 ", "aliquot-plan\n"]
    )
    issue = read_issue(nb)
    assert (issue.assignment, issue.version, issue.title) == ("weighing-1", 3, "Weighing and aliquots")
    assert issue.tasks == (("q1", "error-found"), ("q2", "aliquot-plan"))
    assert dict(issue.house.summary())["Allowed error of one weighing"] == "2 %"


def test_without_house_rules_in_it_the_course_s_own_hold() -> None:
    """A notebook with the empty magic line alone is marked by the rules that come with the course."""
    assert (
        read_issue(notebook(BEGIN, "%%house_rules", "%task q1 error-found")).house.allowed_error == HOUSE.allowed_error
    )


@pytest.mark.parametrize(
    ("sources", "said"),
    [
        ((), "no assignment"),
        (("# A lesson", "%task q1 error-found"), "no assignment"),
        ((BEGIN,), "asks for nothing"),
        ((BEGIN, "%task q1"), "asks for nothing"),
        ((BEGIN, "%task q1 error-found", "%task q1 aliquot-plan"), "two tasks of the same name"),
    ],
)
def test_what_is_no_assignment_is_refused_with_what_is_missing(sources: tuple[str, ...], said: str) -> None:
    """The instructor reads which line is not there."""
    with pytest.raises(CourseError, match=said):
        read_issue(notebook(*sources))


def test_an_unknown_task_is_refused_with_those_there_are() -> None:
    """Both on a paper, and in an assignment that asks for a kind that does not exist."""
    with pytest.raises(CourseError, match="q1, q2"):
        ISSUE.paper("A-07").task("q9")
    with pytest.raises(RefusedError, match="error-found"):
        Issue("x", 1, "X", (("q1", "no-such-kind"),), HOUSE).paper("A-07")


def test_cells_are_called_after_their_task() -> None:
    """The ids of a task's cells can be made and taken apart again."""
    assert (answer_id("q1"), mark_id("q1")) == ("answer-q1", "mark-q1")
    assert [task_id_of(one) for one in ("answer-q1", "mark-q1", "task-q1", "explain-1", "setup")] == ["q1"] * 3 + [
        "",
        "",
    ]
    assert normal_number("  a-07\t ") == "A-07"


def test_every_kind_of_task_has_frozen_numbers() -> None:
    """No family can change its draws unnoticed."""
    assert set(FROZEN) | set(AT_THE_BENCH) == set(FAMILIES)
