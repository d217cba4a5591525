"""Dice: the same key gives the same numbers on every machine and in every version of Python."""

import os
import subprocess
import sys
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.tasks.dice import Dice

# Frozen outputs ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "drawn"),
    [
        ("demo", [437, 940, 144, 374, 991, 68]),
        ("pharmcalc|1|weighing-1|A-07|1|q1|aliquot-plan", [532, 543, 324, 254, 265, 269]),
        ("", [651, 387, 56, 334, 903, 157]),
        ("\u00c5ngstr\u00f6m", [518, 366, 77, 945, 263, 204]),
    ],
)
def test_a_key_gives_these_numbers_for_ever(key: str, drawn: list[int]) -> None:
    """Papers already issued hang on these numbers; a change here would change everybody's paper."""
    dice = Dice(key)
    assert [dice.below(1000) for _ in range(6)] == drawn


def test_each_way_of_drawing_is_frozen() -> None:
    """A choice, a step within a range and an order come from the same stream."""
    dice = Dice("frozen")
    assert (dice.pick("abcdefgh"), dice.between(10, 100, 5), dice.shuffled([1, 2, 3, 4, 5])) == (
        "c",
        20,
        [3, 4, 2, 5, 1],
    )


@pytest.mark.parametrize("seed", ["0", "1", "random"])
def test_the_hash_seed_of_python_changes_nothing(seed: str) -> None:
    """Python scrambles hash() anew in each process; the dice do not use it."""
    program = "from pharmcalc.tasks.dice import Dice; d = Dice('demo'); print([d.below(1000) for _ in range(6)])"
    environment = os.environ | {"PYTHONHASHSEED": seed}
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, env=environment, check=True)
    dice = Dice("demo")
    assert done.stdout.strip() == str([dice.below(1000) for _ in range(6)])


# Laws ----------------------------------------------------------------------------------------------------------------


@given(st.text(max_size=30), st.integers(1, 2**32 - 1))
def test_a_draw_lies_in_its_range(key: str, count: int) -> None:
    """From nought up to, and not including, the count."""
    assert 0 <= Dice(key).below(count) < count


@given(st.text(max_size=30), st.integers(-50, 50), st.integers(0, 40), st.integers(1, 9))
def test_a_range_is_drawn_in_its_steps(key: str, first: int, more: int, step: int) -> None:
    """between(10, 100, 5) gives 10, 15, 20 ... 100."""
    drawn = Dice(key).between(first, first + more, step)
    assert drawn in range(first, first + more + 1, step)


@given(st.text(max_size=30), st.lists(st.integers(), max_size=20))
def test_shuffling_loses_nothing(key: str, choices: list[int]) -> None:
    """The drawn order holds the same things, and the list handed in is left alone."""
    before = list(choices)
    assert Counter(Dice(key).shuffled(choices)) == Counter(before)
    assert choices == before


def test_every_side_comes_up_about_as_often_as_every_other() -> None:
    """Of 6000 throws each of six sides comes up near a thousand times (within five standard deviations)."""
    dice = Dice("fair")
    counts = Counter(dice.below(6) for _ in range(6000))
    assert all(abs(count - 1000) < 5 * (6000 * 1 / 6 * 5 / 6) ** 0.5 for count in counts.values())
    assert len(counts) == 6


def test_two_keys_draw_apart() -> None:
    """Neighbouring keys share nothing."""
    first, second = Dice("A-07"), Dice("A-08")
    assert [first.below(10**9) for _ in range(4)] != [second.below(10**9) for _ in range(4)]


@pytest.mark.parametrize("count", [0, -1, 2**32])
def test_dice_without_sides_are_an_error_of_the_programmer(count: int) -> None:
    """There is no number below nought."""
    with pytest.raises(ValueError, match="sides"):
        Dice("demo").below(count)
