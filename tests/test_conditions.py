"""Conditions between the amounts of a formula: refused before anything is calculated, by the name of the argument."""

import pytest

from pharmcalc.conditions import alike, in_order, volumes_for_wv
from pharmcalc.errors import RefusedError
from pharmcalc.formula import Check
from pharmcalc.kinds import AMOUNT, STRENGTH_OR_NONE
from pharmcalc.reading import read_text

KINDS = {
    "weaker": STRENGTH_OR_NONE,
    "wanted": STRENGTH_OR_NONE,
    "stronger": STRENGTH_OR_NONE,
    "first": AMOUNT,
    "second": AMOUNT,
}
BETWEEN = in_order("weaker < wanted <= stronger", blame="wanted", cure="Ask for something else.")


def ask(check: Check, **typed: str) -> None:
    """Put typed amounts to a check."""
    check("mix", KINDS, {name: read_text(text) for name, text in typed.items()})


@pytest.mark.parametrize(
    ("weaker", "wanted", "stronger"),
    [("0 %", "1 %", "2 %"), ("1 %", "2 %", "2 %"), ("1:200", "1 %", "1:50"), ("1 mg/mL", "1 % w/v", "2 % w/v")],
)
def test_amounts_in_order_pass(weaker: str, wanted: str, stronger: str) -> None:
    """A percentage and a ratio strength are compared as strengths; "at most" lets equality pass."""
    ask(BETWEEN, weaker=weaker, wanted=wanted, stronger=stronger)


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        ("1 %", "mix: wanted: must be more than weaker (1 %); it was 1 %. Ask for something else."),
        ("0.5 %", "mix: wanted: must be more than weaker (1 %); it was 0.5 %. Ask for something else."),
        ("6 %", "mix: wanted: must be at most stronger (5 %); it was 6 %. Ask for something else."),
        (
            "2 % w/v",
            "mix: wanted: it was 2 % w/v, which cannot be compared with weaker (1 %). Write both in the same way",
        ),
    ],
)
def test_the_argument_to_blame_is_named_with_the_limit_it_breaks(wanted: str, said: str) -> None:
    """The message says what it must be, against which other amount, and what it was."""
    with pytest.raises(RefusedError) as caught:
        ask(BETWEEN, weaker="1 %", wanted=wanted, stronger="5 %")
    assert said in str(caught.value)


def test_a_limit_may_be_an_amount_written_out() -> None:
    """Nothing is stronger than pure drug, so 100 % can be a limit by itself."""
    below = in_order("wanted < 100 %", blame="wanted", cure="Use the pure drug itself.")
    ask(below, wanted="99.9 %")
    with pytest.raises(
        RefusedError, match=r"mix: wanted: must be less than 100 %; it was 100 %\. Use the pure drug itself\."
    ):
        ask(below, wanted="100 %")
    with pytest.raises(RefusedError, match="it was 5 % w/v, which cannot be compared with 100 %"):
        ask(below, wanted="5 % w/v")


def test_the_other_one_may_be_to_blame() -> None:
    """Where the smaller amount is the one to change, it is named."""
    smaller = in_order("first < second", blame="first", cure="Take less.")
    with pytest.raises(RefusedError, match=r"mix: first: must be less than second \(5 g\); it was 6 g\. Take less\."):
        ask(smaller, first="6 g", second="5 g")
    with pytest.raises(RefusedError, match=r"must be less than second \(5 g\); it was 5 g"):
        ask(smaller, first="5 g", second="5 g")


def test_grams_and_millilitres_are_not_alike() -> None:
    """Without a density nothing leads from one to the other."""
    ask(alike("first", "second"), first="5 g", second="30 mg")
    with pytest.raises(RefusedError, match=r"mix: second: it was 30 mL, which cannot be compared with first \(5 g\)"):
        ask(alike("first", "second"), first="5 g", second="30 mL")


def test_a_strength_in_volume_goes_with_a_volume() -> None:
    """Grams in 100 mL say nothing about 120 g of an ointment."""
    ask(volumes_for_wv("wanted", "first"), wanted="2 % w/v", first="120 mL")
    ask(volumes_for_wv("wanted", "first"), wanted="2 %", first="120 g")
    with pytest.raises(RefusedError, match="mix: first: must be a volume, because wanted is 2 % w/v; it was 120 g"):
        ask(volumes_for_wv("wanted", "first"), wanted="2 % w/v", first="120 g")
