"""Habits: the decimal mark and the units that are shown are the ones that are read."""

import json
from collections.abc import Iterator
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.balances import least_weighable_quantity
from pharmcalc.errors import ReadingError, RefusedError
from pharmcalc.kinds import MASS, VOLUME
from pharmcalc.language import ENGLISH, LANGUAGES, NEUTRAL, Habits, habits, in_every_language, say, use, using
from pharmcalc.marking import mark_task
from pharmcalc.reading import read
from pharmcalc.tasks.family import FAMILIES
from pharmcalc.tasks.house import default_house_rules_text, read_house_rules
from pharmcalc.units import number_text, quantity

COMMA = Habits(decimal_mark="comma", microgram="µg", litre="l")
ALL = [
    Habits(language, mark, microgram, litre)
    for language in LANGUAGES
    for mark in ("point", "comma")
    for microgram in ("microgram", "mcg", "µg")
    for litre in ("L", "l")
]


@pytest.fixture(autouse=True)
def english_afterwards() -> Iterator[None]:
    """Leave the process as it was."""
    yield
    assert habits() == NEUTRAL


def test_amounts_are_written_by_habit() -> None:
    """A decimal comma, µg and ml are shown where the course writes so."""
    with using(COMMA):
        shown = [
            MASS.show(quantity("0.25", "mg")),
            MASS.show(quantity("2.5", "microgram")),
            VOLUME.show(quantity(5, "mL")),
        ]
    assert shown == ["0,25 mg", "2,5 µg", "5 ml"]


@given(st.fractions(min_value=Fraction(1, 1000), max_value=5000, max_denominator=1000), st.sampled_from(ALL))
def test_what_is_written_is_read(number: Fraction, chosen: Habits) -> None:
    """An amount that is written exactly is read back as the same amount, whatever the habits."""
    value = quantity(round(number, 3), "mg")
    with using(chosen):
        text, exact = MASS.show_exactly(value)
        if exact:
            assert read(text).value == value


@pytest.mark.parametrize(
    ("typed", "by_point", "by_comma"),
    [
        ("0,12 g", "0.12 g", "0.12 g"),
        ("0.12 g", "0.12 g", "0.12 g"),
        ("1.200 mg", "1.2 mg", None),
        ("1,200 mg", None, "1.2 mg"),
        ("1,5 mg", "1.5 mg", "1.5 mg"),
        ("250 Mikrogramm", "250 microgram", "250 microgram"),
        ("1 zu 200", "1:200", "1:200"),
        ("5 Prozent w/v", "5 % w/v", "5 % w/v"),
    ],
)
def test_the_other_mark_is_read_only_where_it_means_one_thing(typed: str, by_point: str, by_comma: str) -> None:
    """A thousand and a decimal are never guessed apart: 1.200 is refused by comma, 1,200 by point."""
    for chosen, expected in ((NEUTRAL, by_point), (COMMA, by_comma)):
        with using(chosen):
            if expected is None:
                with pytest.raises(ReadingError, match="can mean 1200 or 1"):
                    read(typed)
                continue
            value = read(typed).value
        assert value == read(expected).value


def test_the_other_mark_is_told() -> None:
    """Whoever types the other mark reads that it was taken for the decimal mark."""
    with using(COMMA):
        assert read("0.5 mg").remarks == ("the point was read as a decimal comma",)
        assert read("0,5 mg").remarks == ()
        assert read(",5 mg").remarks == ("write a zero before the comma: 0,5. A lone comma is easily missed",)


@pytest.mark.parametrize("family", sorted(name for name, family in FAMILIES.items() if family.recorded))
def test_the_bench_is_worked_with_a_comma(family: str) -> None:
    """Displays are read and written down with the mark in use; the readings that a record keeps do not change."""
    for number in range(12):
        kept = []
        for chosen in (NEUTRAL, COMMA):
            with using(chosen):
                task = FAMILIES[family].task("q1", f"mark {number}", read_house_rules())
                record = task.answer_lines()
                assert mark_task(task, record).marks == task.out_of
                kept.append([line[2] for line in json.loads(record)["done"]])
        assert kept[0] == kept[1]


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_numbers_do_not_depend_on_the_language(family: str) -> None:
    """A task has the same numbers and the same right answers in every language."""
    house, drawn = read_house_rules(), []
    for language in sorted(LANGUAGES):
        with using(Habits(language, "comma" if language != ENGLISH else "point")):
            drawn.append(FAMILIES[family].task("q1", "one key", house))
    assert len({tuple(sorted((name, str(value)) for name, value in task.values.items())) for task in drawn}) == 1


def test_a_formula_is_called_with_either_mark() -> None:
    """What a lesson types into a formula is read by habit."""
    with using(COMMA):
        assert MASS.show(least_weighable_quantity(sensitivity="0,6 mg", allowed_error="2,5 %")) == "24 mg"


def test_equations_follow_the_habits_of_whoever_reads_them() -> None:
    """A formula is traced once and written anew each time."""
    with using(Habits("de", "comma")):
        german = least_weighable_quantity.equation()
    assert german != least_weighable_quantity.equation() == "sensitivity ÷ allowed error"


def test_messages_take_the_mark_in_their_own_numbers() -> None:
    """A number in a message has the mark in use; a version or a ratio is no decimal number."""
    with using(COMMA):
        assert say("from 0.5 to 1.25 mg") == "from 0,5 to 1,25 mg"
        assert say("version 0.1.0, ratio 1:200") == "version 0.1.0, ratio 1:200"


@pytest.mark.parametrize(
    "entry", ['language = "xy"', 'decimal-mark = ","', 'microgram-written = "ug"', "litre-written = 1"]
)
def test_unknown_habits_are_refused(entry: str) -> None:
    """House rules with a habit that is not known say what may stand there."""
    name = entry.partition(" ")[0]
    lines = [entry if line.startswith(name) else line for line in default_house_rules_text().splitlines()]
    with pytest.raises(RefusedError, match="Write"):
        read_house_rules("\n".join(lines))


def test_house_rules_without_habits_are_english() -> None:
    """A course whose file is older than this goes on as it was."""
    lines = [line for line in default_house_rules_text().splitlines() if "-written" not in line]
    lines = [line for line in lines if not line.startswith(("language", "decimal-mark"))]
    assert read_house_rules("\n".join(lines)).habits == NEUTRAL


def test_a_notebook_takes_up_habits_for_good() -> None:
    """``use`` holds until it is said otherwise; ``using`` ends with its block."""
    use(COMMA)
    try:
        with using(NEUTRAL):
            assert number_text(Fraction(1, 2))[0] == "0.5"
        assert number_text(Fraction(1, 2))[0] == "0,5"
    finally:
        use(NEUTRAL)


def test_a_word_is_known_in_every_language() -> None:
    """The take-in reads a student cell before it knows the language."""
    assert in_every_language("student number") >= {"student number"}
    assert len(in_every_language("student number")) == len(LANGUAGES)
