"""Check weights: published limits, the shape of the tables, and the class that is good enough."""

from itertools import pairwise

import pytest

from pharmcalc.balances import (
    WEIGHT_STANDARDS,
    WeightStandard,
    accuracy_limit,
    largest_error_of_weight,
    maximum_permissible_error,
    permissible_error_of_weight,
    weight_class_for,
)
from pharmcalc.errors import RefusedError
from pharmcalc.units import quantity

STANDARDS = list(WEIGHT_STANDARDS.values())


@pytest.mark.parametrize(
    ("nominal", "limits"),
    [
        # OIML R 111-1:2004, Table 1 (seen in reproductions), mg
        ("100 g", {"E2": "0.16", "F1": "0.5", "F2": "1.6", "M1": "5"}),
        ("10 g", {"E2": "0.06", "F1": "0.2", "F2": "0.6", "M1": "2"}),
        ("1 g", {"E2": "0.03", "F1": "0.10", "F2": "0.3", "M1": "1.0"}),
        ("100 mg", {"E2": "0.016", "F1": "0.05", "F2": "0.16", "M1": "0.5"}),
        ("1 kg", {"E1": "0.5", "F1": "5", "M1": "50", "M3": "500"}),
    ],
)
def test_the_published_limits_of_weights(nominal: str, limits: dict[str, str]) -> None:
    """A 100 g weight of class F1 may be off by half a milligram, one of class M1 by ten times as much."""
    for weight_class, limit in limits.items():
        found = permissible_error_of_weight(nominal=nominal, weight_class=weight_class)
        assert found == quantity(limit, "milligram")


def test_the_misprinted_limit_of_a_small_m1_weight_is_not_repeated() -> None:
    """One reproduction prints 0.02 mg for 5 mg M1; that would be better than F2. The right limit is 0.2 mg."""
    right = permissible_error_of_weight(nominal="5 mg", weight_class="M1")
    assert right == quantity("0.2", "milligram")
    assert quantity("0.02", "milligram") < permissible_error_of_weight(nominal="5 mg", weight_class="F2") < right


@pytest.mark.parametrize(
    ("nominal", "weight_class", "limit"),
    [("100 g", "1", "0.25"), ("100 g", "4", "2"), ("1 g", "2", "0.054"), ("1 g", "4", "0.2")],  # ASTM E617, memory
)
def test_a_class_says_nothing_without_its_standard(nominal: str, weight_class: str, limit: str) -> None:
    """ASTM E617 has its own classes and limits, and they are marked as remembered."""
    found = permissible_error_of_weight(nominal=nominal, weight_class=weight_class, standard="ASTM E617")
    assert found == quantity(limit, "milligram")
    assert WEIGHT_STANDARDS["ASTM E617"].source.seen == "memory"


@pytest.mark.parametrize("standard", STANDARDS, ids=lambda standard: standard.name)
def test_every_next_class_is_allowed_more(standard: WeightStandard) -> None:
    """Along a row the limits grow, by about three times a class in OIML R 111: a slip in copying would show."""
    for nominal, row in standard.rows:
        limits = list(standard.limits(quantity(nominal, "milligram")).values())
        assert len(row) == len(standard.classes)
        assert all(low < high for low, high in pairwise(limits))
        if standard.name == "OIML R 111":
            assert all(2 <= (high / low).to_base_units().magnitude <= 4 for low, high in pairwise(limits))


@pytest.mark.parametrize("standard", STANDARDS, ids=lambda standard: standard.name)
def test_a_tenfold_weight_may_be_off_by_more_but_never_by_more_than_tenfold(standard: WeightStandard) -> None:
    """Down a column the limit never shrinks, and from a weight to the tenfold weight it grows tenfold at most."""
    rows = {nominal: standard.limits(quantity(nominal, "milligram")) for nominal, _ in standard.rows}
    assert list(rows) == sorted(rows)
    for lighter, heavier in pairwise(rows.values()):
        assert all(lighter[name] <= heavier[name] for name in lighter)
    tenfold = [(limits, rows[nominal * 10]) for nominal, limits in rows.items() if nominal * 10 in rows]
    assert len(tenfold) == len(rows) - 3
    for lighter, heavier in tenfold:
        assert all(heavier[name] <= lighter[name] * 10 for name in lighter)


def test_the_class_for_an_accuracy_test_is_within_a_third_of_its_limit() -> None:
    """At 100 g USP <41> allows 100 mg, a third of it is 33.3 mg: M2 (16 mg) will do, M3 (50 mg) will not."""
    third = largest_error_of_weight(permissible_error=accuracy_limit(test_weight="100 g"))
    assert weight_class_for(nominal="100 g", largest_error=third) == "M2"


def test_the_class_for_a_verified_balance_is_within_a_third_of_what_it_may_be_off_by() -> None:
    """Class II, e = 10 mg at 100 g: 10 mg, a third 3.3 mg, so class F2 (1.6 mg); M1 may be off by 5 mg."""
    limit = maximum_permissible_error(accuracy_class="II", verification_interval="10 mg", load="100 g")
    assert weight_class_for(nominal="100 g", largest_error=largest_error_of_weight(permissible_error=limit)) == "F2"


@pytest.mark.parametrize("standard", STANDARDS, ids=lambda standard: standard.name)
def test_the_class_good_enough_is_the_last_one_within_the_limit(standard: WeightStandard) -> None:
    """A limit equal to that of a class asks for that class; a hair less asks for the one before it."""
    for nominal, _ in standard.rows:
        mass = quantity(nominal, "milligram")
        limits = list(standard.limits(mass).items())
        for position, (name, limit) in enumerate(limits):
            assert weight_class_for(nominal=mass, largest_error=limit, standard=standard.name) == name
            if position:
                hair = limit - quantity("1e-9", "milligram")
                before = weight_class_for(nominal=mass, largest_error=hair, standard=standard.name)
                assert before == limits[position - 1][0]


@pytest.mark.parametrize(
    ("values", "parts"),
    [
        ({"nominal": "100 g", "weight_class": "F3"}, ("weight_class", "F3", "OIML R 111", "E1, E2")),
        ({"nominal": "10 mg", "weight_class": "M3"}, ("weight_class", "10 mg", "M3", "Write one of")),
        ({"nominal": "30 g", "weight_class": "F1"}, ("nominal", "30 g", "20 g")),
        ({"nominal": "100 g", "weight_class": "1", "standard": "ASTM"}, ("standard", "ASTM", "OIML R 111, ASTM E617")),
        ({"nominal": "0 g", "weight_class": "F1"}, ("nominal", "more than zero", "Write")),
        ({"nominal": "100", "weight_class": "F1"}, ("nominal", "a mass", "Write")),
    ],
)
def test_an_unknown_weight_is_refused_with_those_that_exist(values: dict[str, str], parts: tuple[str, ...]) -> None:
    """A refusal names what was asked for and lists what may be asked for."""
    with pytest.raises(RefusedError) as refused:
        permissible_error_of_weight(**values)
    assert all(part in str(refused.value) for part in parts)


def test_where_no_class_is_good_enough_a_certificate_is_the_cure() -> None:
    """No class of weight is within 1 microgram at 100 g; a calibrated value is."""
    with pytest.raises(RefusedError, match=r"no class of OIML R 111 .* E1, .* certificate"):
        weight_class_for(nominal="100 g", largest_error="1 mcg")
