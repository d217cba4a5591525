"""Answer cells: labels as people write them, chains, and every way a cell can be spoilt."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.answers import LONGEST_CELL, MOST_LINES, answer_body, read_answers, read_student_cell
from pharmcalc.tasks.family import FAMILIES, family_called
from pharmcalc.units import quantity
from tests.questions import mg

PLAN = family_called("aliquot-plan").asked
BATCH = family_called("aliquot-batch").asked
ERROR = family_called("percentage-of-error").asked
WORDS = family_called("strength-in-other-words").asked


# Labels --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("least weighable quantity = 120 mg", "least_weighable_quantity"),
        ("Least Weighable Quantity = 120 mg", "least_weighable_quantity"),
        ("LWQ = 120 mg", "least_weighable_quantity"),
        ("MWQ=120mg", "least_weighable_quantity"),
        ("least_weighable_quantity = 120 mg", "least_weighable_quantity"),
        ("least weigh quant = 120 mg", "least_weighable_quantity"),
        ("LWQ: 120 mg", "least_weighable_quantity"),
        ("**LWQ** = 120 mg", "least_weighable_quantity"),
        ("- LWQ = 120 mg", "least_weighable_quantity"),
        ("drug to weigh = 120 mg", "drug_weighed"),
        ("drug = 120 mg", "drug_weighed"),
        ("W = 120 mg", "drug_weighed"),
        ("aliquot = 120 mg", "aliquot"),
        ("total = 120 mg", "total_mixture"),
        ("trituration = 120 mg", "total_mixture"),
        ("lactose = 120 mg", "diluent"),
        ("diluent to weigh \u2248 120 mg", "diluent"),
    ],
)
def test_a_label_may_be_written_as_people_write_it(line: str, name: str) -> None:
    """Any case, the usual short forms, an abbreviation of the words, a colon for the equals sign."""
    sheet = read_answers(line, PLAN)
    assert sheet.stray == ()
    assert {label for label, one in sheet.lines.items() if one.value is not None} == {name}
    assert sheet.lines[name].value == mg(120)


def test_lines_may_stand_in_any_order() -> None:
    """The labels say which answer is which; blank lines and comments cost nothing."""
    sheet = read_answers("a = 125 mg\n\n# my plan\nk = 20\nLWQ = 120 mg", PLAN)
    values = {name: one.value for name, one in sheet.lines.items() if one.value is not None}
    assert values == {"aliquot": mg(125), "multiple_factor": quantity(20), "least_weighable_quantity": mg(120)}


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("m = 120 mg", "can mean multiple factor or total mixture"),
        ("weight of powder = 120 mg", "this label is not asked for. The labels are: least weighable quantity"),
        ("120 mg", "this line has no label. Write, for example: least weighable quantity = 6 mg"),
        ("I do not know how to start", "this line has no label"),
        ("= 120 mg", "this label is not asked for"),
    ],
)
def test_a_line_that_belongs_nowhere_is_said_to(line: str, said: str) -> None:
    """It is left out and quoted back with what to write, and the other lines are read."""
    sheet = read_answers(f"{line}\nk = 20", PLAN)
    assert [reason for _, reason in sheet.stray if said in reason]
    assert sheet.lines["multiple_factor"].value == quantity(20)


@pytest.mark.parametrize(
    "text",
    [
        "12 %",
        "percentage of error = 12 %",
        "error: 12 %",
        "% error = 12 %",
        "= 12 %",
        "6 mg / 50 mg = 0.12 = 12 %",
        "12%.",
    ],
)
def test_where_one_answer_is_asked_for_the_label_may_be_left_out(text: str) -> None:
    """A lone amount, or a chain that begins with one, can only be the one answer."""
    assert read_answers(text, ERROR).lines["percentage_of_error"].value == quantity(12, "percent")


def test_the_three_words_of_one_strength_are_told_apart() -> None:
    """mg/mL, mg% and ppm are labels as well as units."""
    sheet = read_answers("mg/mL = 4 mg/mL\nmg% = 400 mg%\nppm = 4000 ppm", WORDS)
    assert all(one.value == quantity("0.4", "percent_in_volume") for one in sheet.lines.values())


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_every_label_and_every_short_form_finds_its_answer(family: str) -> None:
    """What a paper calls an answer, and every alias of it, is read as that answer and no other."""
    asked = family_called(family).asked
    for one in asked:
        for label in (one.said, one.said.upper(), *one.aliases):
            sheet = read_answers(f"{label} = {one.example.split(' / ')[0]}", asked)
            assert [name for name, line in sheet.lines.items() if line.text] == [one.name], label


# Chains --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("drug = 20 x 6 mg = 120 mg", 2),
        ("drug = 20 x 6 mg = 0.12 g", 2),
        ("drug = factor x need = 20 x 6 mg = 120 mg", 2),
        ("drug = 120 mg", 1),
        ("drug == 120 mg =", 1),
        ("drug = 20 x 6 mg", 1),
        ("drug = 2 x 10 x 6 mg \u2248 120 mg", 2),
    ],
)
def test_the_last_part_of_a_chain_is_the_answer(text: str, parts: int) -> None:
    """Words in between are a student's own notes and cost nothing."""
    line = read_answers(text, PLAN).lines["drug_weighed"]
    assert line.value == mg(120)
    assert len(line.parts) == parts


def test_a_chain_is_not_endless() -> None:
    """A dozen steps are enough for one line."""
    line = read_answers("drug = " + "1 mg = " * 20 + "120 mg", PLAN).lines["drug_weighed"]
    assert line.value is None
    assert "too long" in str(line.problem)


# What was read, before any marking -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("LWQ = 120 mg", "read as 120 mg"),
        ("LWQ = 6 mg / 5 %", "read as 120 mg"),
        ("LWQ = 0,12 g", "read as 0.12 g (the comma was read as a decimal point)"),
        ("LWQ = 5 gr", "If you meant gram, write g"),
        ("LWQ =", "not answered yet"),
        ("LWQ = = =", "not answered yet"),
        ("LWQ = 120mgs drug", 'I understood "120mgs" and then met "drug"'),
        ("LWQ = 120", '"120" was read as 120. Write, for example, "6 mg".'),
        ("LWQ = 120 mL", "must be a mass"),
        ("LWQ = -120 mg", "must be more than zero"),
        ("LWQ = 10^400 mg", "far outside any amount"),
        ("LWQ = 9**9**9 mg", "only powers of ten"),
        ("LWQ = 1:0", "cannot end in 0"),
        ("LWQ = 120 mg\nLWQ = 100 mg", "it is answered twice (120 mg and 100 mg). Keep one line."),
    ],
)
def test_reading_back_says_how_it_was_read_and_never_whether_it_is_right(line: str, said: str) -> None:
    """Before the marking a student sees what was understood; right and wrong come later."""
    rows = dict(read_answers(line, PLAN).read_back())
    assert said in rows["least weighable quantity"]
    assert not any(word in str(rows) for word in ("right", "wrong", "correct"))


def test_the_same_answer_twice_is_one_answer() -> None:
    """A line copied by accident is no contradiction."""
    assert read_answers("k = 20\nk = 20", PLAN).lines["multiple_factor"].value == quantity(20)


def test_the_last_typed_place_goes_with_the_value() -> None:
    """40 ppm has no unit and its value is a strength in a volume; half a place is turned into the same."""
    line = read_answers("ppm = 40 ppm", WORDS).lines["parts_per_million"]
    assert line.half_place == quantity("0.5", "part_per_million_in_volume")
    assert read_answers("k = 20", PLAN).lines["multiple_factor"].half_place == quantity("0.5")
    assert read_answers("drug = 20 x 6 mg", PLAN).lines["drug_weighed"].half_place is None


# Spoilt cells --------------------------------------------------------------------------------------------------------

LINES = "LWQ = 120 mg\nk = 20"


@pytest.mark.parametrize(
    "source",
    [
        f"%%answer q1\n{LINES}",
        f"# my answers\n%%answer q1\n{LINES}",
        f"\n\n%%answer q1\n\n{LINES}\n\n",
        f"%%answer q2\n{LINES}",
        LINES,
        LINES.replace("\n", "\r\n"),
        f"%%answer q1\n  {LINES}",
    ],
)
def test_the_first_line_of_a_cell_may_be_spoilt(source: str) -> None:
    """Deleted, below a comment, with another task's name: the answers are read all the same."""
    assert answer_body(source) == LINES
    sheet = read_answers(source, PLAN)
    assert sheet.lines["multiple_factor"].value == quantity(20)


def test_a_novel_in_the_cell_is_not_read() -> None:
    """A cell of more than ten thousand signs is left alone, and said to be too long."""
    sheet = read_answers("It was a dark and stormy night. " * LONGEST_CELL, PLAN)
    assert all(line.value is None for line in sheet.lines.values())
    assert "too long to be read" in sheet.stray[0][1]
    assert all(len(text) < 60 for text, _ in sheet.read_back()[len(PLAN) :])


def test_only_the_first_hundred_lines_are_read() -> None:
    """What comes after them is said to be left out."""
    sheet = read_answers("\n".join(["LWQ = 120 mg", *["something else = 1"] * MOST_LINES, "k = 20"]), PLAN)
    assert sheet.lines["least_weighable_quantity"].value == mg(120)
    assert sheet.lines["multiple_factor"].value is None
    assert f"only the first {MOST_LINES} lines are read" in sheet.stray[0][1]


@given(st.text(max_size=300))
def test_any_cell_is_read_without_an_error(text: str) -> None:
    """Whatever stands in a cell, reading it raises nothing."""
    for asked in (PLAN, ERROR, WORDS):
        sheet = read_answers(text, asked)
        assert set(sheet.lines) == {one.name for one in asked}
        assert sheet.read_back()


SCRAPS = st.sampled_from(
    [
        "LWQ",
        "k",
        "drug",
        "=",
        "==",
        ":",
        "120 mg",
        "6 mg / 5 %",
        "20",
        "1:20",
        "\n",
        "#",
        "%%answer",
        "<b>",
        "\u2248",
        "x",
        " ",
    ]
)


@given(st.lists(SCRAPS, max_size=30))
def test_scraps_of_answers_in_any_order_are_read_without_an_error(scraps: list[str]) -> None:
    """Labels, signs and amounts thrown together raise nothing."""
    assert read_answers("".join(scraps), BATCH).read_back()
    assert read_answers("".join(scraps), ERROR).read_back()


# Who it is -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "number", "attempt", "said"),
    [
        ("%%student\nstudent number = A-07\nattempt = 1", "A-07", 1, ""),
        ("student number = A-07", "A-07", None, ""),
        ("number = 'A-07'\nattempt = 2", "A-07", 2, ""),
        ('Student Number = "A-07"', "A-07", None, ""),
        ("student number = \nattempt = 1", None, 1, ""),
        ("", None, None, ""),
        ("student number = A-07 <script>", None, None, "no student number"),
        ("student number = " + "7" * 50, None, None, "no student number"),
        ("attempt = one", None, None, "no attempt"),
        ("attempt = 0", None, None, "no attempt"),
        ("attempt = 999", None, None, "no attempt"),
        ("name = Ines", None, None, "was not understood"),
    ],
)
def test_a_student_says_who_they_are(text: str, number: str | None, attempt: int | None, said: str) -> None:
    """The number as it stands in the class list, and the attempt; anything else is remarked."""
    read_number, read_attempt, remarks = read_student_cell(text)
    assert (read_number, read_attempt) == (number, attempt)
    assert (said in " ".join(remarks)) if said else remarks == []


@given(st.text(max_size=200))
def test_any_student_cell_is_read_without_an_error(text: str) -> None:
    """Whatever stands there, reading it raises nothing and gives no number that is not plain."""
    number, attempt, _ = read_student_cell(text)
    assert number is None or 1 <= len(number) <= 40
    assert attempt is None or attempt > 0
