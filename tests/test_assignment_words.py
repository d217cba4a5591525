"""What assignments say: the same words on how to go about it in all, true words on this one, numbers that are right."""

import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from pharmcalc.balances import least_weighable_quantity, percentage_of_error
from pharmcalc.bench import file_name
from pharmcalc.caution import CAUTION
from pharmcalc.dilutions import pure_drug_to_add, strength_of_two
from pharmcalc.formula import MISTAKES
from pharmcalc.kinds import written
from pharmcalc.reading import read_text
from pharmcalc.recipes import mass_of_apothecary_drams, mass_of_apothecary_ounces
from pharmcalc.rounding import round_to_figures
from pharmcalc.strengths import (
    drug_for_percentage_ww,
    percentage_wv,
    percentage_ww,
    solvent_to_dissolve,
    specific_gravity,
)
from pharmcalc.tasks.papers import read_issue, task_id_of
from pharmcalc.units import Quantity, quotient
from tests.test_assignments import SOLUTIONS, assignments, bench_tasks, by_hand, named, notebook, solver_paper
from tools.notebooks import PROJECT

COMMON_FROM = "**Begin here.**"  # from here on the first cell of every assignment says the same
TOLD = {
    "test": "Whether an answer is right comes with the marking.",
    "practice": "Each answer cell says at once whether it is right.",
    "clearance": "Each answer cell says at once whether it is right.",
}
BENCH_PART = re.compile(r"\*\*The bench\.\*\* .+?\n\n")  # and this only where there is a simulated bench
COUNTED = ("", "one", "two", "three", "four", "five", "six", "seven", "eight")


# What the words say ---------------------------------------------------------------------------------------------------


def intro_of(nb: Mapping[str, Any]) -> tuple[str, str, str]:
    """Return an assignment's title, what its first cell says of this one alone, and what it says as all of them do."""
    own, begin, common = named(nb)["intro"]["source"].partition(COMMON_FROM)
    title, _, rest = own.partition("\n\n")
    return title.removeprefix("# "), rest.strip(), BENCH_PART.sub("", begin + common)


@assignments
def test_the_student_reads_how_to_begin_how_to_answer_and_what_to_do_on_an_error(path: Path) -> None:
    """The first cell has the way through, the help, the bench rule and the caution, also before anything is run."""
    _, _, common = intro_of(notebook(path))
    for word in ("Run All Cells", "%%student", "**read**", "Save Notebook", "Restart Kernel", "Laptops stay away"):
        assert word in common
    assert common.endswith(f"> {CAUTION}")


def test_every_assignment_begins_with_the_same_words() -> None:
    """Whoever has done one assignment knows how to do the next: the common part is one text."""
    assert len(SOLUTIONS) > 1
    assert len({intro_of(notebook(path))[2] for path in SOLUTIONS}) == 1


@assignments
def test_the_first_lines_say_how_much_it_is_where_it_belongs_and_when_the_verdict_comes(path: Path) -> None:
    """Title, number of tasks, lessons, minutes, and when a student learns what is right: as it really is."""
    nb = notebook(path)
    title, own, _ = intro_of(nb)
    issue = read_issue(nb)
    assert issue.title == title
    assert ": " in title
    first = own.partition(". ")[0].lower()
    counted = sum(COUNTED.index(word) for word in re.findall(r"\w+", first) if word in COUNTED)
    assert counted == len(issue.tasks) + len(by_hand(nb))
    assert ("question to answer in words" in first) == bool(by_hand(nb))
    assert re.search(r"They belong to Lessons? \d", own)
    assert re.search(r"\. About [2-9]\d minutes\. ", own)
    assert own.endswith(TOLD[issue.mode])


@assignments
def test_the_record_of_the_bench_is_asked_for_by_its_name(path: Path) -> None:
    """Where a task is worked at the simulated bench, the first cell says which file to hand in, and nowhere else."""
    told = BENCH_PART.search(named(notebook(path))["intro"]["source"])
    bench = bench_tasks(solver_paper(path))
    assert bool(told) == bool(bench)
    assert told is None or file_name(bench[0].id) in told[0]


def test_a_lesson_that_is_named_is_called_by_its_title() -> None:
    """Where the first cell gives a lesson's title beside its number, the lesson bears this title."""
    named_lessons = [
        found for path in SOLUTIONS for found in re.findall(r"Lesson (\d+), \*(.+?)\*", intro_of(notebook(path))[1])
    ]
    assert named_lessons
    for number, title in named_lessons:
        (lesson,) = (PROJECT / "notebooks").glob(f"{int(number):02}_*.ipynb")
        assert notebook(lesson)["cells"][0]["source"].startswith(f"# Lesson {number}: {title}\n")


@assignments
def test_the_tasks_with_many_right_plans_are_told(path: Path) -> None:
    """Whoever compares answers with a neighbour must know in which tasks both may be right."""
    _, own, _ = intro_of(notebook(path))
    told = re.search(r"In tasks? ([\d, and]+) many plans are right\.", own)
    free = [task.id for task in solver_paper(path).tasks if any(asked.choice for asked in task.amounts)]
    assert [f"q{number}" for number in re.findall(r"\d+", told[1] if told else "")] == free


@assignments
def test_a_heading_names_only_the_tasks_that_follow_it(path: Path) -> None:
    """What a text says of task 4 stands right above task 4; moving a task cannot leave a wrong number behind."""
    after: dict[str, list[str]] = {}
    heading = ""
    for cell in notebook(path)["cells"]:
        if cell["cell_type"] == "markdown":
            heading = cell["source"]
        elif cell["id"].startswith("task-"):
            after.setdefault(heading, []).append(task_id_of(cell["id"]))
    told = {heading: sorted(set(tasks_named(heading))) for heading in after}
    assert any(told.values())
    for heading, tasks in told.items():
        assert set(tasks) <= set(after[heading])


def tasks_named(text: str) -> Iterator[str]:
    """Yield the tasks that a text names: ``Task 4``, ``tasks 1 and 2``, ``Tasks 1 to 3``."""
    for first, joined, last in re.findall(r"\b[Tt]asks? (\d+)(?: (and|to) (\d+))?", text):
        numbers = range(int(first), int(last or first) + 1) if joined == "to" else {int(first), int(last or first)}
        yield from (f"q{number}" for number in numbers)


DEFINED = (
    ("strengths-1", "5 g of drug in 100 g", percentage_ww(drug="5 g", preparation="100 g"), "5 % w/w"),
    ("strengths-1", "5 g of drug in 100 mL", percentage_wv(drug="5 g", preparation="100 mL"), "5 % w/v"),
    ("strengths-1", "1 g of the solid needs 30 mL", solvent_to_dissolve(solute="1 g", parts_of_solvent="30"), "30 mL"),
    ("strengths-1", "mg/mL counts the milligrams in 1 mL", read_text("1 mg") / read_text("1 mL"), "1 mg/mL"),
    ("strengths-1", "mg% the milligrams in 100 mL", read_text("1 mg") / read_text("100 mL"), "1 mg%"),
    ("strengths-1", "ppm w/v the grams in a million mil", read_text("1 g") / read_text("1000000 mL"), "1 ppm w/v"),
    ("strengths-1", "1 mL of the liquid weighs 1.18 g", specific_gravity(mass="1.18 g", volume="1 mL"), "1.18"),
    ("units-1", "A dram is 60 grains", mass_of_apothecary_drams(drams="1"), "60 gr"),
    ("units-1", "an ounce is 480 grains", mass_of_apothecary_ounces(ounces="1"), "480 gr"),
    ("units-1", "1.8 g of drug in 100 mL", percentage_wv(drug="1.8 g", preparation="100 mL"), "1.8 % w/v"),
    ("liquids-1", "1 cm³ is 1 mL", read_text("1 cm") * read_text("1 cm") * read_text("1 cm"), "1 mL"),
)


@pytest.mark.parametrize(("name", "words", "computed", "said"), DEFINED, ids=[words for _, words, _, _ in DEFINED])
def test_what_a_heading_defines_is_so(name: str, words: str, computed: Quantity, said: str) -> None:
    """A definition that stands above a task is the one that the tasks are marked by."""
    text = " ".join(cell["source"] for cell in notebook(PROJECT / "solutions" / name / f"{name}.ipynb")["cells"])
    assert words in text
    assert computed == read_text(said)


# What the written questions say ---------------------------------------------------------------------------------------

Numbers = tuple[set[str], set[str]]
"""What a written question gives, and what follows from it."""
AMOUNT = re.compile(r"\b\d+(?:\.\d+)? (?:mg|g|mL|%|times)(?!\w)")


def weighing_numbers() -> Numbers:
    """15 mg on a balance of 6 mg: 9 to 21 mg, 40 %; 300 mg: 2 %; at 5 % the least is 120 mg, which is 8 times 15 mg."""
    sensitivity, wanted = read_text("6 mg"), read_text("15 mg")
    least = least_weighable_quantity(sensitivity=sensitivity, allowed_error="5 %")
    errors = [percentage_of_error(sensitivity=sensitivity, load=load) for load in (wanted, "300 mg")]
    follow = {written(one) for one in (wanted - sensitivity, wanted + sensitivity, least, *errors)}
    return {"6 mg", "15 mg", "300 mg", "5 %"}, follow | {f"{quotient(least, wanted)} times"}


def dilution_numbers() -> Numbers:
    """120 g of 15 % with 25 % of 120 g more is 32 %, and 50 g make it 40 %; the same slip from 0.5 % gives 0.995 %."""
    start = {"preparation": "120 g", "strength": "15 %", "wanted_strength": "40 %"}
    weak = {"preparation": "100 g", "strength": "0.5 %", "wanted_strength": "1 %"}
    given = {*start.values(), *weak.values()}
    read = {name: read_text(text) for name, text in start.items()}
    slip, weak_slip = (
        MISTAKES["fortify-simple-difference"].evaluate({name: read_text(text) for name, text in numbers.items()})
        for numbers in (start, weak)
    )
    added, held = pure_drug_to_add(**start), drug_for_percentage_ww(strength="15 % w/w", preparation="120 g")
    follow = [read["wanted_strength"] - read["strength"], read_text("100 %") - read["wanted_strength"], held]
    for more in (slip, added):
        drug, whole = held + more, read["preparation"] + more
        strength = strength_of_two(
            first_strength="15 %", first_amount="120 g", second_strength="100 %", second_amount=more
        )
        assert percentage_ww(drug=drug, preparation=whole) == strength
        follow += [more, drug, whole, strength]
    weak_strength = strength_of_two(
        first_strength="0.5 %", first_amount="100 g", second_strength="100 %", second_amount=weak_slip
    )
    return given, {written(one) for one in (*follow, weak_slip, round_to_figures(weak_strength, 3))}


def order_numbers() -> Numbers:
    """297 mg for 300 mg: 3 mg are 1 %, and 5 % of 300 mg either way leave 285 mg to 315 mg."""
    wanted, shown = read_text("300 mg"), read_text("0.297 g")
    allowed = drug_for_percentage_ww(strength="5 % w/w", preparation=wanted)
    missing = percentage_of_error(sensitivity=wanted - shown, load=wanted)
    follow = (wanted - shown, missing, wanted - allowed, wanted + allowed, shown.to("milligram"))
    return {"300 mg", "0.297 g", "5 %"}, {written(one) for one in follow}


WRITTEN: dict[str, Callable[[], Numbers]] = {
    "dilution-1": dilution_numbers,
    "order-1": order_numbers,
    "weighing-1": weighing_numbers,
}


def test_the_numbers_of_every_written_question_are_looked_after() -> None:
    """Each assignment with a question in words has its numbers worked out here, and no other has."""
    assert [path.stem for path in SOLUTIONS if by_hand(notebook(path))] == sorted(WRITTEN)


@pytest.mark.parametrize("name", sorted(WRITTEN))
def test_the_numbers_of_the_written_question_are_right(name: str) -> None:
    """Every amount in question, model answer and marking guide is given, or follows from what is given."""
    given, follow = WRITTEN[name]()
    cells = named(notebook(PROJECT / "solutions" / name / f"{name}.ipynb"))
    asked, answer = (set(AMOUNT.findall(cells[cell]["source"])) for cell in ("explain-1-question", "explain-1"))
    assert given <= asked
    assert asked | answer == given | follow
    assert follow - asked <= answer
