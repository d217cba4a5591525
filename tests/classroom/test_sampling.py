"""Which scripts an instructor sees: every kind that the class has, the same each time, chance for the rest."""

import string

from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.classroom.results.sampling import (
    DRAWN,
    FEWEST_MARKS,
    FREQUENT,
    KINDS,
    MOST,
    MOST_MARKS,
    Candidate,
    Sample,
    choose,
)

TASKS = st.sets(st.sampled_from(("q1", "q2", "q3")), min_size=1).map(lambda tasks: tuple(sorted(tasks)))
MISTAKES = tuple(f"Mistake {letter}" for letter in string.ascii_uppercase)


@st.composite
def classes(draw: st.DrawFn, least: int = 0, most: int = 30) -> list[Candidate]:
    """Draw a class of marked scripts."""
    numbers = draw(st.sets(st.integers(1, 999), min_size=least, max_size=most))
    return [
        Candidate(
            f"A-{number:03}",
            draw(st.integers(0, 40)) / 2,
            draw(st.dictionaries(st.sampled_from(KINDS), TASKS)),
            draw(st.dictionaries(st.sampled_from(MISTAKES), TASKS, max_size=5)),
            draw(st.dictionaries(st.sampled_from(("right", "breaks a rule", "not answered")), TASKS)),
            draw(st.booleans()),
        )
        for number in sorted(numbers)
    ]


def among(sample: Sample, candidates: list[Candidate]) -> list[Candidate]:
    """Return the candidates that were chosen."""
    by_number = {one.number: one for one in candidates}
    return [by_number[one.number] for one in sample.chosen]


@given(classes())
def test_ten_scripts_or_all_there_are(candidates: list[Candidate]) -> None:
    """No script is shown twice, and each says why it is there."""
    sample = choose(candidates, "weighing-1")
    numbers = [one.number for one in sample.chosen]
    assert len(numbers) == len(set(numbers)) == min(MOST, len(candidates))
    assert all(one.reasons for one in sample.chosen)


@given(classes(), st.randoms())
def test_the_same_class_shows_the_same_scripts(candidates: list[Candidate], chance: object) -> None:
    """The order in which the scripts come makes no difference."""
    again = list(candidates)
    chance.shuffle(again)  # type: ignore[attr-defined]
    assert choose(candidates, "weighing-1") == choose(again, "weighing-1")


@given(classes(least=1))
def test_extremes_and_every_promised_kind_are_among_them(candidates: list[Candidate]) -> None:
    """The most and the fewest marks, and one of each kind that the class has."""
    chosen = among(choose(candidates, "weighing-1"), candidates)
    marks = [one.marks for one in candidates]
    assert {max(marks), min(marks)} <= {one.marks for one in chosen}
    assert {kind for one in chosen for kind in one.shows} == {kind for one in candidates for kind in one.shows}


@given(classes(least=1))
def test_every_frequent_mistake_is_shown_while_there_is_room(candidates: list[Candidate]) -> None:
    """One is left out only where all ten are needed for something; it is named then, and nobody was drawn by chance."""
    sample = choose(candidates, "weighing-1")
    made = [name for one in candidates for name in one.mistakes]
    frequent = {name for name in made if made.count(name) >= FREQUENT}
    unseen = frequent - {name for one in among(sample, candidates) for name in one.mistakes}
    assert unseen <= set(sample.no_room_for)
    if unseen:
        assert len(sample.chosen) == MOST
        assert (DRAWN,) not in [one.reasons for one in sample.chosen]


@given(classes(least=1))
def test_a_reason_tells_the_truth(candidates: list[Candidate]) -> None:
    """What a script was chosen for can be seen in it, in the tasks that are named."""
    sample = choose(candidates, "weighing-1")
    marks = [one.marks for one in candidates]
    for chosen, one in zip(sample.chosen, among(sample, candidates), strict=True):
        verdicts = {f'the verdict "{words}"': tasks for words, tasks in one.verdicts.items()}
        seen = {**one.shows, **one.mistakes, **verdicts}
        true = {f"{words} ({', '.join(tasks)})" for words, tasks in seen.items()} | {DRAWN}
        true |= {MOST_MARKS} if one.marks == max(marks) else set()
        true |= {FEWEST_MARKS} if one.marks == min(marks) else set()
        assert set(chosen.reasons) <= true


def test_the_dice_are_thrown_from_the_assignments_name() -> None:
    """Where a class shows nothing special, another assignment shows other students."""
    candidates = [Candidate(f"A-{n:02}", 9) for n in range(40)]
    drawn = [[one.number for one in choose(candidates, name).chosen] for name in ("weighing-1", "weighing-2")]
    assert drawn[0] != drawn[1]
    assert [one.reasons for one in choose(candidates, "weighing-1").chosen][1:] == [(DRAWN,)] * (MOST - 1)


def test_a_script_in_doubt_stands_for_others_only_where_there_is_no_other() -> None:
    """Another student's sheet shows many slips, and none that teaches anything about the marker."""
    kind = {KINDS[0]: ("q1",)}
    many = Candidate("A-01", 5, dict.fromkeys(KINDS, ("q1", "q2")), in_doubt=True)
    plain = Candidate("A-02", 5, kind)
    others = [Candidate(f"A-{n:02}", 5) for n in range(3, 20)]
    chosen = {one.number: one.reasons for one in choose([many, plain, *others], "weighing-1").chosen}
    assert f"{KINDS[0]} (q1)" in chosen["A-02"]
    assert f"{KINDS[1]} (q1, q2)" in chosen["A-01"]
