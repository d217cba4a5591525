"""Alligation alternate: the amounts of preparations that make a wanted strength, and all of them."""

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.dilutions import (
    Alligation,
    alternate,
    medial,
    rest_of_mixture,
    stronger_in_mixture,
    weaker_in_mixture,
)
from pharmcalc.errors import RefusedError
from pharmcalc.formula import FORMULAS, MISTAKES
from pharmcalc.units import Quantity, quantity
from tests.published import as_printed, exactly

percents = st.fractions(min_value=0, max_value=100, max_denominator=20)
masses = st.fractions(min_value="1/10", max_value=10000, max_denominator=10)


@st.composite
def families(draw: st.DrawFn) -> Alligation:
    """Draw two to five preparations and a strength that lies between the weakest and the strongest of them."""
    strengths = draw(st.lists(percents, min_size=2, max_size=5))
    share = draw(st.fractions(min_value=0, max_value=1, max_denominator=10))
    wanted = min(strengths) + (max(strengths) - min(strengths)) * share
    named = {f"preparation {number}": quantity(percent, "percent") for number, percent in enumerate(strengths)}
    return alternate(named, wanted=quantity(wanted, "percent"))


def strength_of(family: Alligation, parts: dict[str, Fraction]) -> Quantity:
    """Return the strength of a mixture in these parts, by the other alligation."""
    return medial([(family.strengths[name], quantity(part, "gram")) for name, part in parts.items() if part])


# Published values ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("strengths", "wanted", "parts"),
    [
        # Ansel & Stoklosa (numbers seen in secondary copies; edition differs)
        ({"ointment": "20 %", "petrolatum": "0 %"}, "3 %", {"ointment": 3, "petrolatum": 17}),
        # common classroom practice, no source (numbers seen; also a textbook classic, 20 : 25 before cancelling)
        ({"95 %": "95 %", "50 %": "50 %"}, "70 %", {"95 %": 4, "50 %": 5}),
    ],
)
def test_two_preparations_mix_in_one_proportion(strengths: dict[str, str], wanted: str, parts: dict[str, int]) -> None:
    """20 % ointment and petrolatum make 3 % as 3 : 17; 3 : 20 would be drug to whole."""
    family = alternate(strengths, wanted=wanted)
    assert family.only_one
    assert family.pairings == (parts,)
    first, second = strengths
    assert not family.solves({first: parts[first], second: parts[first] + parts[second]})


@pytest.mark.parametrize(
    ("total", "weaker", "wanted", "stronger", "printed_stronger", "printed_weaker", "unit"),
    [
        # common classroom practice, no source (numbers seen); 100/9
        ("50 g", "5 %", "15 %", "50 %", "11.11", "38.89", "gram"),
        # common classroom practice, no source (numbers seen): triamcinolone cream
        ("100 g", "0.1 %", "0.2 %", "0.5 %", "25", "75", "gram"),
        # U.S. Army Medical Department, MD0802 (seen): coal tar in a total
        ("200 g", "1 %", "4 %", "100 %", "6.06", "193.94", "gram"),
        # derived; an exam note prints 138.46 mL, which is wrong. Alcohol contracts: add water to the volume
        ("300 mL", "0 %", "70 %", "95 %", "221.05", "78.95", "millilitre"),
    ],
)
def test_the_amounts_in_a_total(
    total: str, weaker: str, wanted: str, stronger: str, printed_stronger: str, printed_weaker: str, unit: str
) -> None:
    """50 g of 15 % from 50 % and 5 % take 11.11 g of the stronger one."""
    values = {"weaker_strength": weaker, "wanted_strength": wanted, "stronger_strength": stronger}
    strong, weak = stronger_in_mixture(total=total, **values), weaker_in_mixture(total=total, **values)
    assert as_printed(strong, printed_stronger, unit)
    assert as_printed(weak, printed_weaker, unit)
    assert rest_of_mixture(total=total, stronger_amount=strong) == weak


def test_a_printed_answer_for_alcohol_is_wrong() -> None:
    """300 mL of 70 % take 221.05 mL of 95 % alcohol, not 138.46: that much would make 43.8 %."""
    # an exam note prints 138.46 mL; derived, no source
    right = stronger_in_mixture(total="300 mL", weaker_strength="0 %", wanted_strength="70 %", stronger_strength="95 %")
    assert not as_printed(right, "138.46", "millilitre")
    made = medial([("95 %", "138.46 mL"), ("0 %", quantity("161.54", "mL"))])
    assert as_printed(made, "43.8", "percent")
    values = {"total": quantity(300, "mL"), "weaker_strength": quantity(0, "percent")}
    values |= {"wanted_strength": quantity(70, "percent"), "stronger_strength": quantity(95, "percent")}
    slips = [slip.evaluate(values) for slip in stronger_in_mixture.mistakes if slip.kinds.keys() <= values.keys()]
    printed = [slip for slip in slips if slip.is_compatible_with("mL") and as_printed(slip, "138.46", "millilitre")]
    assert (len(slips) > 3, printed) == (True, [])  # no known slip gives that number: it is not recognised


@pytest.mark.parametrize(
    ("mistake", "number", "unit"),
    [
        # 100 g of 0.2 % from 0.1 % and 0.5 %; derived from the definitions of the slips
        ("alligation-crossed", "75", "gram"),
        ("alligation-crossed-weaker", "25", "gram"),
        ("alligation-parts-as-grams", "1/10", "gram"),
        ("alligation-parts-as-millilitres", "1/10", "millilitre"),
        ("alligation-weaker-parts-as-grams", "3/10", "gram"),
        ("alligation-weaker-parts-as-millilitres", "3/10", "millilitre"),
        ("alligation-parts-as-percentage", "1/10", "gram"),
        ("rest-is-total", "100", "gram"),
        ("rest-stronger-added", "125", "gram"),
        ("rest-parts-as-grams", "3/10", "gram"),
        ("rest-parts-as-millilitres", "3/10", "millilitre"),
    ],
)
def test_each_known_slip_gives_its_number(mistake: str, number: str, unit: str) -> None:
    """Crossed parts give 75 g for 25 g; parts taken as grams are not even a part of the total."""
    values = {
        "total": quantity(100, "gram"),
        "weaker_strength": quantity("0.1", "percent"),
        "wanted_strength": quantity("0.2", "percent"),
        "stronger_strength": quantity("0.5", "percent"),
        "stronger_amount": quantity(25, "gram"),
    }
    assert exactly(MISTAKES[mistake].evaluate(values), number, unit)


# The family of all answers -------------------------------------------------------------------------------------------


@given(families(), st.data())
def test_every_blend_of_the_pairings_is_right(family: Alligation, data: st.DataObject) -> None:
    """Medial of an alternate answer returns the wanted strength, whatever the weights."""
    weights = data.draw(
        st.lists(
            st.integers(min_value=0, max_value=9), min_size=len(family.pairings), max_size=len(family.pairings)
        ).filter(any)
    )
    shares = family.blend(weights)
    assert sum(shares.values()) == 1
    assert min(shares.values()) >= 0
    assert strength_of(family, shares) == family.wanted
    assert family.solves(shares)


@given(families())
def test_each_pairing_and_all_of_them_together_are_right(family: Alligation) -> None:
    """The simplest answers and the textbook's, which uses every preparation, give the wanted strength."""
    for pairing in (*family.pairings, family.with_every_one()):
        assert strength_of(family, {name: Fraction(part) for name, part in pairing.items()}) == family.wanted
    amounts = family.amounts("60 g")
    first, *others = amounts.values()
    assert sum(others, first) == quantity(60, "gram")


@pytest.mark.parametrize(
    ("strengths", "wanted"),
    [
        ((95, 50, 0), 70),
        ((20, 10, 5), 8),
        ((20, 8, 5), 8),
        ((100, 12, 3, 0), 5),
        ((8, 8, 2), 8),
        ((30, 10, 10, 0), 10),
    ],
)
def test_no_right_answer_lies_outside_the_family(strengths: tuple[int, ...], wanted: int, thorough: bool) -> None:
    """Every answer on a grid of whole parts is a blend of the pairings, found by taking pairing after pairing away."""
    names = [f"number {place}" for place in range(len(strengths))]
    family = alternate(
        {name: quantity(strength, "percent") for name, strength in zip(names, strengths, strict=True)},
        wanted=quantity(wanted, "percent"),
    )
    right = 0
    most = (14 if thorough else 6) if len(strengths) > 3 else 12
    for grid in product(range(most + 1), repeat=len(strengths)):
        parts = dict(zip(names, map(Fraction, grid), strict=True))
        missing = sum(part * (strength - wanted) for part, strength in zip(grid, strengths, strict=True))
        solves = missing == 0 and any(grid)
        assert family.solves(parts) is solves
        if solves:
            right += 1
            weights = _taken_apart(family, dict(parts))
            shares = family.blend(weights)
            assert shares == {name: part / sum(parts.values()) for name, part in parts.items()}
    assert right > 2


def _taken_apart(family: Alligation, rest: dict[str, Fraction]) -> list[Fraction]:
    """Return how much of each pairing a right answer holds: take as much of each as there is, one after the other."""
    weights = []
    for pairing in family.pairings:
        much = min(rest[name] / part for name, part in pairing.items())
        weights.append(much * sum(pairing.values()))
        for name, part in pairing.items():
            rest[name] -= much * part
    assert not any(rest.values())
    return weights


@given(families(), st.data())
def test_no_answer_leaves_the_range_of_a_share(family: Alligation, data: st.DataObject) -> None:
    """The least and the most of one preparation hold for every blend, and some answer reaches each."""
    weights = data.draw(
        st.lists(
            st.integers(min_value=0, max_value=9), min_size=len(family.pairings), max_size=len(family.pairings)
        ).filter(any)
    )
    shares = family.blend(weights)
    for name in family.strengths:
        least, most = family.share_range(name)
        assert least <= shares[name] <= most
        ends = [Fraction(pairing.get(name, 0), sum(pairing.values())) for pairing in family.pairings]
        assert least in ends
        assert most in ends


def test_three_preparations_have_endlessly_many_answers() -> None:
    """95 %, 50 % and water make 70 % in endlessly many ways; the family says so and names the simplest."""
    family = alternate({"95 %": "95 %", "50 %": "50 %", "water": "0 %"}, wanted="70 %")
    assert not family.only_one
    assert family.pairings == ({"95 %": 4, "50 %": 5}, {"95 %": 14, "water": 5})
    assert family.with_every_one() == {"95 %": 18, "50 %": 5, "water": 5}
    assert family.says() == (
        "There are endlessly many answers. The simplest, in parts: 4 of 95 % and 5 of 50 %; 14 of 95 % and 5 of water. "
        "Any mixture of these mixtures is right too, and there is no other."
    )
    assert family.share_range("water") == (0, Fraction(5, 19))


def test_a_preparation_of_just_the_wanted_strength_may_stand_alone() -> None:
    """Where one already has the strength, nothing needs to be mixed, and mixing is still possible."""
    family = alternate({"strong": "20 %", "right": "8 %", "weak": "5 %"}, wanted="8 %")
    assert family.pairings == ({"right": 1}, {"strong": 1, "weak": 4})
    assert alternate({"a": "20 %", "b": "5 %"}, wanted="20 %").pairings == ({"a": 1},)


@given(masses, st.lists(percents, min_size=3, max_size=3, unique=True).map(sorted))
def test_the_two_amounts_make_the_total_and_its_strength(grams: Fraction, rising: list[Fraction]) -> None:
    """Stronger and weaker part add up to the total, and mixed they have the wanted strength."""
    weak, wanted, strong = rising
    values = {
        "total": quantity(grams, "gram"),
        "weaker_strength": quantity(weak, "percent"),
        "wanted_strength": quantity(wanted, "percent"),
        "stronger_strength": quantity(strong, "percent"),
    }
    more, less = stronger_in_mixture(**values), weaker_in_mixture(**values)
    assert more + less == values["total"]
    mixed = medial([(values["stronger_strength"], more), (values["weaker_strength"], less)])
    assert mixed == values["wanted_strength"]
    family = alternate({"s": values["stronger_strength"], "w": values["weaker_strength"]}, wanted=mixed)
    assert family.amounts(values["total"]) == {"s": more, "w": less}


# Refusals ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("strengths", "wanted", "said"),
    [
        (
            {"cream": "5 %", "base": "0 %"},
            "7 %",
            "must lie between base (0 %) and cream (5 %); it was 7 %. No mixture of these is stronger",
        ),
        ({"cream": "5 %", "other": "2 %"}, "1 %", "Add a diluent."),
        ({"cream": "5 %", "other": "2 %"}, "6 %", "Add a stronger preparation or pure drug."),
        ({"cream": "5 %"}, "5 %", "needs at least two preparations"),
        ({}, "5 %", "needs at least two preparations"),
        ({"a": "5 %", "water": "0 % w/v"}, "3 %", "cannot be compared with"),
        ({"a": "5 %", "water": "0 %"}, "3 % w/v", "cannot be compared with"),
        ({"a": "5 % w/w", "b": "1 % v/v"}, "3 %", 'b: says "1 % v/v", a v/v strength, but a says "5 % w/w", a w/w one'),
        ({"a": "5 % w/w", "b": "1 %"}, "3 % v/v", 'the wanted strength: says "3 % v/v"'),
        ({"a": "500 %", "water": "0 %"}, "3 %", "alligation: a: cannot be above 100 %; it was 500 %"),
        ({"a": "5", "water": "0 %"}, "3 %", "alligation: a: must be a strength"),
        ({"a": "inf %", "water": "0 %"}, "3 %", "could not be read"),
        ({"a": "5 %", "water": "0 %"}, "-3 %", "must not be less than zero"),
    ],
)
def test_a_target_that_no_mixing_reaches_is_refused(strengths: dict[str, str], wanted: str, said: str) -> None:
    """Outside the range, on another basis, above 100 %, or with nothing to mix: refused with the cure."""
    with pytest.raises(RefusedError) as caught:
        alternate(strengths, wanted=wanted)
    assert said in str(caught.value)
    assert caught.value.cure


@pytest.mark.parametrize(
    ("name", "changed", "said"),
    [
        ("stronger_in_mixture", {"wanted_strength": "6 %"}, "must be less than stronger strength (5 %); it was 6 %"),
        ("weaker_in_mixture", {"wanted_strength": "1 %"}, "must be more than weaker strength (1 %); it was 1 %"),
        ("weaker_in_mixture", {"total": "100 cm"}, "total: must be a mass or a volume"),
        ("stronger_in_mixture", {"stronger_strength": "5 % w/v"}, "cannot be compared with"),
    ],
)
def test_a_mixture_outside_its_two_parts_is_refused(name: str, changed: dict[str, str], said: str) -> None:
    """The wanted strength lies strictly between the two."""
    values = {"total": "100 g", "weaker_strength": "1 %", "wanted_strength": "3 %", "stronger_strength": "5 %"}
    with pytest.raises(RefusedError) as caught:
        FORMULAS[name](**{**values, **changed})
    assert said in str(caught.value)


def test_wrong_parts_names_and_weights_are_refused() -> None:
    """An amount is only worked out from parts that are right, of preparations that are there."""
    family = alternate({"95 %": "95 %", "50 %": "50 %", "water": "0 %"}, wanted="70 %")
    with pytest.raises(RefusedError, match=r"do not give 70 %.*Use a pairing, for example 4 of 95 % and 5 of 50 %"):
        family.amounts("90 mL", {"95 %": 1, "water": 1})
    with pytest.raises(RefusedError, match=r'"rum" is not one of the preparations\. They are called 95 %, 50 %, water'):
        family.solves({"rum": 1})
    with pytest.raises(RefusedError, match="must be 2 numbers"):
        family.blend([1])
    with pytest.raises(RefusedError, match="none below zero"):
        family.blend([1, -1])
    with pytest.raises(RefusedError, match="not all zero"):
        family.blend([0, 0])
    assert not family.solves({"95 %": -14, "water": -5})
    assert not family.solves({})
