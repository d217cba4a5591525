"""Formulas and mistakes: every equation of the library, stated once and stated honestly."""

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction

import pytest

import pharmcalc
from pharmcalc import kinds
from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES, Formula, Mass, Mistake, formula, mistake_of, words
from pharmcalc.kinds import Kind
from pharmcalc.tasks.asked import Asked
from pharmcalc.tasks.family import FAMILIES
from pharmcalc.units import Quantity, quantity, unit_text
from tests.arithmetic import in_base, work_out
from tests.rooms import load_the_mathematics

load_the_mathematics()  # every formula is proved here, whatever else is collected with this module


def asked_formulas() -> list[str]:
    """Return the names of the formulas that students answer in some task."""
    every = (asked for family in FAMILIES.values() for asked in family.asked)
    return sorted({asked.formula.name for asked in every if isinstance(asked, Asked)})  # a decision has no formula


def values_for(arguments: Mapping[str, Kind], seed: int) -> dict[str, Quantity]:
    """Return amounts that fit some arguments: small numbers without a pattern, in each kind's usual unit."""
    made = {}
    for place, (name, kind) in enumerate(arguments.items()):
        number = Fraction(7 * (seed + 3 * place) % 89 + 2, 1 if kind.whole else 1 + (seed + place) % 4)
        if kind.most is not None:
            number = number / 1000 if kind.units[0] == "percent" else number
        made[name] = quantity(number, kind.units[0])
    return made


def worked_out(equation: Formula | Mistake, values: dict[str, Quantity]) -> Fraction:
    """Work an equation out from its print, sharing nothing with the library's arithmetic."""
    printed = equation.tree.text(lambda name: f"<{name}>")
    return work_out(printed, {name: plain(value, equation.kinds[name]) for name, value in values.items()})


def plain(value: Quantity, kind: Kind) -> Fraction:
    """Return a value in grams, millilitres or as a plain number."""
    scaled = value.to(next(unit for unit in kind.units if value.is_compatible_with(unit)))
    return in_base(scaled.magnitude, unit_text(scaled))


# What is printed is what is computed ---------------------------------------------------------------------------------


@pytest.mark.parametrize("equation", [*FORMULAS.values(), *MISTAKES.values()], ids=lambda one: one.__name__)
def test_the_printed_equation_gives_the_value_of_the_body(equation: Formula | Mistake) -> None:
    """Worked out by an independent reader, the equation on paper gives the number that the library computes."""
    compared = 0
    for seed in range(1, 12):
        values = values_for(equation.kinds, seed)
        try:
            expected = worked_out(equation, values)
        except ZeroDivisionError:
            continue
        result = plain(equation.evaluate(values), equation.kind)
        assert result == expected or abs(result - expected) < abs(expected) / 10**12  # square roots end somewhere
        compared += 1
    assert compared > 5


# Docstrings ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", sorted(FORMULAS))
def test_a_formula_says_what_it_is_in_one_order(name: str) -> None:
    """Sentence, formula, amounts, what comes back, what is refused, an example and a source, each in its place."""
    text = " ".join((FORMULAS[name].__doc__ or "").split())
    parts = ["Formula: ", "Returns ", "Raises RefusedError", ">>> ", "Source: "]
    places = [text.find(part) for part in parts]
    assert min(places) > 0, [part for part, place in zip(parts, places, strict=True) if place < 0]
    assert places[0] < places[-1]
    assert places[2] < places[3] < places[4]
    assert f"{name}(" in text[places[3] :], "the example calls the formula"
    assert re.match(r"[A-Z][^.]*[.:]", text), "the first line is a sentence"


@pytest.mark.parametrize("name", sorted(FORMULAS))
def test_a_formula_names_each_amount_and_what_it_is(name: str) -> None:
    """A reader finds every argument in the docstring."""
    made = FORMULAS[name]
    text = " ".join((made.__doc__ or "").split())
    assert [argument for argument in made.kinds if argument not in text] == []


# Mistakes ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", asked_formulas())
def test_where_students_answer_their_mistakes_are_known(name: str) -> None:
    """Every formula that a task asks for knows at least one way in which people get it wrong."""
    assert FORMULAS[name].mistakes


@pytest.mark.parametrize("mistake", MISTAKES.values(), ids=lambda one: one.id)
def test_a_mistake_says_what_was_done_and_why_the_right_way_is_right(mistake: Mistake) -> None:
    """The name is a sentence about what was done; the lesson is one about what is right; neither blames nor shouts."""
    assert re.fullmatch(r"[a-z0-9-]+", mistake.id)
    assert mistake in mistake.of.mistakes
    assert re.match(r"[A-Z0-9m]", mistake.name)
    assert len(mistake.lesson) > 15
    said = f"{mistake.name} {mistake.lesson}"
    assert not re.search(r"!|\byou should\b|\bwrongly\b|\bcareless|\bstupid|[*_`]", said)


@pytest.mark.parametrize("mistake", MISTAKES.values(), ids=lambda one: one.id)
def test_a_mistake_gives_another_number_than_the_right_way(mistake: Mistake) -> None:
    """For ordinary amounts a known mistake does not happen to be right."""
    different = 0
    for seed in range(1, 12):
        values = values_for(mistake.of.kinds | mistake.kinds, seed)
        try:
            wrong, right = mistake.evaluate(values), mistake.of.evaluate(values)
        except ZeroDivisionError:
            continue
        different += wrong != right
    assert different


# Calling -------------------------------------------------------------------------------------------------------------

LWQ = FORMULAS["least_weighable_quantity"]


def test_a_formula_takes_texts_and_quantities_alike() -> None:
    """At the edge "6 mg" may be typed; inside there are only quantities."""
    typed = LWQ(sensitivity="6 mg", allowed_error="5 %")
    assert typed == LWQ(sensitivity=quantity(6, "mg"), allowed_error=quantity(5, "percent")) == quantity(120, "mg")


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"sensitivity": "6 mg"}, "needs allowed_error"),
        ({"sensitivity": "6 mg", "allowed_error": "5 %", "load": "1 g"}, "does not know load"),
        ({"sensitivity": 6, "allowed_error": "5 %"}, "sensitivity: must be a mass, such as 6 mg; it was 6, a number"),
        ({"sensitivity": "6 mL", "allowed_error": "5 %"}, "sensitivity: must be a mass"),
        ({"sensitivity": "0 mg", "allowed_error": "5 %"}, "sensitivity: must be more than zero"),
        ({"sensitivity": "-6 mg", "allowed_error": "5 %"}, "sensitivity: must be more than zero"),
        ({"sensitivity": "6 mg", "allowed_error": "5"}, "allowed_error: must be a percentage"),
        ({"sensitivity": "6 mg", "allowed_error": "0 %"}, "divides by zero"),
        ({"sensitivity": float("nan"), "allowed_error": "5 %"}, "it was nan, a number without a unit"),
        ({"sensitivity": "nan mg", "allowed_error": "5 %"}, "could not be read"),
    ],
)
def test_what_cannot_be_calculated_is_refused_by_the_name_of_the_argument(values: dict, said: str) -> None:
    """The message names the formula, the argument, what it was and what to write."""
    with pytest.raises(RefusedError) as caught:
        LWQ(**values)
    assert str(caught.value).startswith("least_weighable_quantity")
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        ("diluent", {"total_mixture": "100 mg", "drug_weighed": "120 mg"}, "the result must be more than zero"),
        (
            "percentage_ww",
            {"drug": "2 g", "preparation": "1 g"},
            "the result cannot be above 100 % w/w; it was 200 % w/w",
        ),
    ],
)
def test_an_impossible_result_is_refused_as_a_result(name: str, values: dict, said: str) -> None:
    """More drug than mixture is no diluent at all: the cure is to check the numbers, not to type another result."""
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**values)
    assert said in str(caught.value)
    assert caught.value.cure == "Check the numbers that were given."


def bad_values(kind: Kind) -> Iterator[object]:
    """Return what must never pass for an amount of a kind."""
    yield from (None, float("nan"), float("inf"), [], "", "x" * 300, "9**9**9 mg", "__import__('os')")
    yield quantity(3, "grain") / quantity(7, "mL") / quantity(7, "mL")
    if not (kind.signed or kind.zero):
        yield quantity(0, kind.units[0])
    if not kind.signed:
        yield quantity(-1, kind.units[0])
    if kind not in (kinds.NUMBER, kinds.COUNT):
        yield from (6, "6", quantity(6, "mg") * quantity(6, "mg"))


@pytest.mark.parametrize("name", sorted(FORMULAS))
def test_no_formula_lets_an_impossible_amount_through(name: str) -> None:
    """Nothing, "not a number", a bare number, zero, a negative amount, a wrong dimension or a program: all refused."""
    made = FORMULAS[name]
    for argument, kind in made.kinds.items():
        good = values_for(made.kinds, 5)
        for bad in bad_values(kind):
            with pytest.raises(RefusedError, match=name):
                made(**{**good, argument: bad})


# The list of formulas ------------------------------------------------------------------------------------------------


def test_a_formula_keeps_its_name_and_its_words() -> None:
    """The function's name, its docstring and its doctest survive being made a formula."""
    assert LWQ.__name__ == "least_weighable_quantity"
    assert LWQ.label == words("least_weighable_quantity") == "least weighable quantity"
    assert repr(LWQ) == "<Formula least_weighable_quantity: sensitivity \u00f7 allowed error>"
    assert pharmcalc.FORMULAS is FORMULAS


def test_two_formulas_or_mistakes_cannot_share_a_name() -> None:
    """Class reports and mastery hang on the ids, so a second one is an error of the programmer."""

    def least_weighable_quantity(*, sensitivity: Mass) -> Mass:
        return sensitivity

    with pytest.raises(ValueError, match="already a formula"):
        formula(source="definition", symbol="L")(least_weighable_quantity)
    with pytest.raises(ValueError, match="already a mistake"):
        mistake_of(LWQ, id="lwq-upside-down")(least_weighable_quantity)
