"""Legal metrology: published cases of OIML R 76 and NIST Handbook 44, laws of the tables, refusals."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.balances import (
    RULES_OF_CLASSES,
    AccuracyClass,
    classes_allowed,
    error_before_rounding,
    maximum_permissible_error,
    minimum_capacity,
    number_of_intervals,
)
from pharmcalc.errors import PharmcalcError, RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.units import Quantity, quantity

HANDBOOK = "NIST Handbook 44"


def mg(number: object) -> Quantity:
    """Return milligrams."""
    return quantity(str(number), "milligram")


@pytest.mark.parametrize(
    ("accuracy_class", "interval", "load", "limit"),
    [
        # OIML R 76-1:2006, Table 6 (seen in reproductions that agree)
        ("II", "10 mg", "50 g", "5"),
        ("II", "10 mg", "50.01 g", "10"),
        ("II", "10 mg", "200 g", "10"),
        ("II", "10 mg", "250 g", "15"),
        ("III", "1 g", "500 g", "500"),
        ("III", "1 g", "501 g", "1000"),
        ("III", "1 g", "2000 g", "1000"),
        ("III", "1 g", "2001 g", "1500"),
        ("I", "1 mg", "50 g", "0.5"),
        ("I", "1 mg", "200 g", "1"),
        ("I", "1 mg", "220 g", "1.5"),
    ],
)
def test_the_published_permissible_errors(accuracy_class: str, interval: str, load: str, limit: str) -> None:
    """A balance in service may be off by twice what a new one may; the upper end of a step belongs to the step."""
    known = {"accuracy_class": accuracy_class, "verification_interval": interval, "load": load}
    assert maximum_permissible_error(**known) == mg(limit)
    assert maximum_permissible_error(**known, in_service=True) == mg(limit) * 2


def test_the_misprinted_first_step_of_class_ii_is_not_repeated() -> None:
    """One law text prints 20 000 e as the end of the first step; its own second row starts at 5000 e."""
    known = {"accuracy_class": "II", "verification_interval": "10 mg"}
    assert maximum_permissible_error(**known, load="50 g") == mg(5)
    assert maximum_permissible_error(**known, load="199 g") == mg(10)  # the misprint would give 5 mg


@pytest.mark.parametrize(
    ("accuracy_class", "interval", "smallest"),
    [
        # OIML R 76-1:2006, Table 3 (seen in reproductions that agree)
        ("II", "0.01 g", "200"),
        ("II", "0.1 g", "5000"),
        ("III", "2 g", "40000"),
        ("IIII", "5 g", "50000"),
        ("I", "1 mg", "100"),
    ],
)
def test_the_published_minimum_capacities(accuracy_class: str, interval: str, smallest: str) -> None:
    """Min is counted in verification intervals: 100, 20 or 50, 20 and 10 of them for the four classes."""
    assert minimum_capacity(accuracy_class=accuracy_class, verification_interval=interval) == mg(smallest)


def test_an_auxiliary_digit_lowers_the_minimum_capacity() -> None:
    """Class I, e = 1 mg, d = 0.1 mg: Min is 100 d, 10 mg (R 76-1, 3.4.3, from memory)."""
    assert minimum_capacity(accuracy_class="I", verification_interval="1 mg", display_step="0.1 mg") == mg(10)


def test_one_balance_may_belong_to_one_class_only_under_both_bodies_of_rules() -> None:
    """Max 300 g with e = 0.01 g has 30 000 intervals: class II. Class III fails for its interval and its number."""
    assert number_of_intervals(capacity="300 g", verification_interval="0.01 g") == quantity(30_000)
    known = {"capacity": "300 g", "verification_interval": "0.01 g"}
    for rules in RULES_OF_CLASSES:
        choice = classes_allowed(**known, rules=rules)
        assert [found.name for found in choice.allowed] == ["II"]
        refused = {verdict.candidate.name: [reason.id for reason in verdict.reasons] for verdict in choice.refused}
        assert refused["III"] == ["interval-not-in-class", "too-many-intervals"]
        assert refused["I"] == ["too-few-intervals"]


@pytest.mark.parametrize(
    ("capacity", "interval", "allowed"),
    [
        # OIML R 76-1:2006, Table 3 (seen in reproductions that agree): the ends belong to the class
        ("50 g", "1 mg", ["I", "II"]),
        ("49.999 g", "1 mg", ["II"]),
        ("1 kg", "10 mg", ["I", "II"]),
        ("500 g", "0.1 g", ["II", "III"]),
        ("499 g", "0.1 g", ["III"]),
        ("500 g", "5 g", ["IIII"]),
        ("5 kg", "5 g", ["III", "IIII"]),  # 1000 intervals: class II needs 5000 from 0.1 g up
        ("99 mg", "1 mg", []),
    ],
)
def test_both_ends_of_a_range_belong_to_its_class(capacity: str, interval: str, allowed: list[str]) -> None:
    """50 000 intervals of 1 mg are class I, one fewer is not."""
    choice = classes_allowed(capacity=capacity, verification_interval=interval)
    assert [found.name for found in choice.allowed] == allowed


def test_handbook_44_lets_a_prescription_balance_have_a_finer_interval_in_class_iii() -> None:
    """Marked for prescription weighing only, e may be 0.01 g (note 2 of Table 3); 30 000 intervals stay too many."""
    known = {"verification_interval": "0.01 g", "prescription": True}
    large = classes_allowed(capacity="300 g", rules=HANDBOOK, **known)
    assert [reason.id for reason in large.verdicts[2].reasons] == ["too-many-intervals"]
    small = classes_allowed(capacity="100 g", rules=HANDBOOK, **known)
    assert [found.name for found in small.allowed] == ["II", "III"]
    assert [found.name for found in classes_allowed(capacity="100 g", **known).allowed] == [
        "II"
    ]  # OIML has no such note
    assert minimum_capacity(accuracy_class="III", rules=HANDBOOK, **known) == mg(200)


def test_the_published_tolerance_of_a_class_iii_scale() -> None:
    """500 lb x 0.05 lb under Handbook 44: 150 lb is 3000 d; maintenance 0.15 lb, acceptance half of it."""
    known = {"accuracy_class": "III", "verification_interval": "0.05 lb", "load": "150 lb", "rules": HANDBOOK}
    assert number_of_intervals(capacity="150 lb", verification_interval="0.05 lb") == quantity(3000)
    assert maximum_permissible_error(**known, in_service=True) == quantity("0.15", "avoirdupois_pound")
    assert maximum_permissible_error(**known) == quantity("0.075", "avoirdupois_pound")


@pytest.mark.parametrize(("intervals", "steps"), [(500, 1), (501, 2), (2000, 2), (2001, 3), (4000, 3), (4001, 5)])
def test_the_maintenance_steps_of_handbook_44_class_iii(intervals: int, steps: int) -> None:
    """1, 2, 3 and 5 divisions up to 500, 2000, 4000 and above (seen quoted)."""
    load = quantity(intervals, "gram")
    known = {"accuracy_class": "III", "verification_interval": "1 g", "in_service": True, "rules": HANDBOOK}
    assert maximum_permissible_error(load=load, **known) == quantity(steps, "gram")


def test_the_two_bodies_of_rules_differ_above_4000_intervals() -> None:
    """At 5000 intervals Handbook 44 accepts 2.5 d where R 76 allows 1.5 e: ask which one applies."""
    known = {"accuracy_class": "III", "verification_interval": "1 g", "load": "5000 g"}
    assert maximum_permissible_error(**known, rules=HANDBOOK) == quantity("2.5", "gram")
    assert maximum_permissible_error(**known) == quantity("1.5", "gram")
    at_4000 = known | {"load": "4000 g"}
    assert maximum_permissible_error(**at_4000, rules=HANDBOOK) == maximum_permissible_error(**at_4000)


def test_the_published_error_before_rounding() -> None:
    """e = 5 g, 1000 g shown under 1000 g, changing at 1.5 g more: the balance is 1 g high (R 76-1 A.4.4.3)."""
    known = {"indication": "1000 g", "verification_interval": "5 g", "added_weights": "1.5 g", "load": "1000 g"}
    assert error_before_rounding(**known) == quantity(1, "gram")
    read = {name: error_before_rounding.kinds[name].check(name, text) for name, text in known.items()}
    wrong = {mistake.id: mistake.evaluate(read).to("gram").magnitude for mistake in error_before_rounding.mistakes}
    assert wrong == {
        "half-interval-left-out": Fraction(-3, 2),
        "added-weights-added": 4,
        "error-from-display": 0,
    }


def test_an_error_may_be_nothing_or_below_nothing() -> None:
    """The display changes half a step above itself: 2.5 g more is no error, 4 g more is 1.5 g too little."""
    known = {"indication": "0 g", "verification_interval": "5 g", "load": "0 g"}
    assert error_before_rounding(**known, added_weights="2.5 g") == quantity(0, "gram")
    low = error_before_rounding(**known, added_weights="4 g")
    assert low == quantity("-1.5", "gram")
    assert error_before_rounding.kind.show(low) == "-1.5 g"


def test_an_auxiliary_digit_does_not_make_ten_times_the_intervals() -> None:
    """Counting in d where e is ten times d gives ten times too many intervals, and another class."""
    values = {"capacity": quantity(200, "gram"), "display_step": mg("0.1")}
    assert MISTAKES["intervals-by-display-step"].evaluate(values) == quantity(2_000_000)


classes = st.sampled_from([(rules, found) for rules in RULES_OF_CLASSES.values() for found in rules.classes])
loads = st.fractions(min_value=1, max_value=1000, max_denominator=50)


@given(classes, loads, loads)
def test_a_heavier_load_never_has_a_smaller_permissible_error(
    of: tuple[object, AccuracyClass], first: Fraction, second: Fraction
) -> None:
    """The permissible error grows in steps with the load, and scales with the verification interval."""
    rules, found = of
    interval = mg(found.ranges[0].smallest)
    known = {"accuracy_class": found.name, "rules": rules.name}
    light, heavy = sorted([interval * first, interval * second])
    limits = [maximum_permissible_error(verification_interval=interval, load=load, **known) for load in (light, heavy)]
    assert limits[0] <= limits[1]
    if found.ranges[0].largest is None:
        scaled = maximum_permissible_error(verification_interval=interval * 10, load=heavy * 10, **known)
        assert scaled == limits[1] * 10


@given(st.integers(1, 10**7), st.sampled_from(["1", "2", "5", "10", "20", "50", "100", "500", "1000", "2000", "5000"]))
def test_a_class_is_allowed_exactly_when_nothing_speaks_against_it(intervals: int, milligrams: str) -> None:
    """The verdict agrees with the table read directly: the interval in a range, its number within that range's ends."""
    interval = mg(milligrams)
    for verdict in classes_allowed(capacity=interval * intervals, verification_interval=interval).verdicts:
        fits = any(
            one.smallest <= Fraction(milligrams)
            and (one.largest is None or Fraction(milligrams) <= one.largest)
            and one.fewest <= intervals
            and (one.most is None or intervals <= one.most)
            for one in verdict.candidate.ranges
        )
        assert verdict.allowed is fits


@pytest.mark.parametrize(
    ("values", "parts"),
    [
        ({"accuracy_class": "V"}, ("accuracy_class", "'V'", "I, II, III, IIII")),
        ({"accuracy_class": "IIII", "rules": HANDBOOK}, ("NIST Handbook 44", "'IIII'", "I, II, III")),
        ({"rules": "my own"}, ("rules", "'my own'", "OIML R 76, NIST Handbook 44")),
        ({"verification_interval": "60 mg"}, ("verification_interval", "60 mg", "1 mg to 50 mg, or 100 mg and above")),
        ({"load": "1001 g"}, ("load", "100100 intervals", "100000", "at most 1000 g")),
        ({"load": "0 g"}, ("load", "more than zero", "Write")),
        ({"load": "50"}, ("load", "a mass", "Write")),
        ({"verification_interval": "1 mL"}, ("verification_interval", "a mass", "1 mL")),
    ],
)
def test_what_the_tables_do_not_hold_is_refused(values: dict[str, str], parts: tuple[str, ...]) -> None:
    """A refusal names the argument, the rule, the value and what may stand there."""
    known = {"accuracy_class": "II", "verification_interval": "10 mg", "load": "50 g"} | values
    with pytest.raises(RefusedError) as refused:
        maximum_permissible_error(**known)
    assert all(part in str(refused.value) for part in parts)


@pytest.mark.parametrize("bad", ["nan g", "inf g", "1 gremm", "--5 g"])
def test_an_unreadable_load_is_refused(bad: str) -> None:
    """NaN, infinity and misspelt units never reach the tables."""
    with pytest.raises(PharmcalcError):
        maximum_permissible_error(accuracy_class="II", verification_interval="10 mg", load=bad)


def test_an_auxiliary_digit_is_finer_than_e() -> None:
    """A display step above the verification interval cannot be an auxiliary digit."""
    with pytest.raises(RefusedError, match=r"display_step: d of 20 mg is larger than e of 10 mg"):
        minimum_capacity(accuracy_class="II", verification_interval="10 mg", display_step="20 mg")


def test_an_indication_below_zero_is_refused() -> None:
    """The equation takes masses; only the error may be below zero."""
    with pytest.raises(RefusedError, match="indication"):
        error_before_rounding(indication="-1 g", verification_interval="5 g", added_weights="0 g", load="0 g")
