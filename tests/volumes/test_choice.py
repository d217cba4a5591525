"""Which vessel may measure a volume: every rule by its name, the published cases, laws and refusals."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import PharmcalcError, RefusedError
from pharmcalc.units import Quantity, quantity
from pharmcalc.volumes import Vessel, choose_vessel, least_measurable_volume, on_a_mark, vessel, vessels

CYLINDERS = vessels(kind="cylinder", standard="ASTM E1272")
BURETTES = vessels(kind="burette", standard="USP <31>")


def reasons(one: Vessel, volume: object, **values: object) -> list[str]:
    """Return the ids of the reasons against one vessel."""
    return [reason.id for reason in choose_vessel(volume=volume, vessels=[one], **values).verdicts[0].reasons]


def sizes(volume: str, shelf: tuple[Vessel, ...], **values: object) -> list[Quantity]:
    """Return the capacities of the vessels that may be used."""
    return [one.capacity for one in choose_vessel(volume=volume, vessels=shelf, **values).allowed]


def ml(*numbers: int) -> list[Quantity]:
    """Return several volumes in millilitres."""
    return [quantity(number, "millilitre") for number in numbers]


@pytest.mark.parametrize(
    ("volume", "allowed"),
    [
        # USP 29 <31> (seen): 30 % of the nominal volume, and a 10 mL burette below 10 mL
        ("8 mL", ml(10)),  # passes 30 % of 25 mL, but is below 10 mL
        ("3 mL", ml(10)),
        ("2.9 mL", []),
        ("10 mL", ml(10, 25)),
        ("15 mL", ml(25, 50)),
        ("14.9 mL", ml(25)),
    ],
)
def test_two_rules_for_burettes_apply_together(volume: str, allowed: list[Quantity]) -> None:
    """8 mL is more than 30 % of a 25 mL burette; the 10 mL burette is asked for all the same."""
    assert sizes(volume, BURETTES) == allowed
    eight = choose_vessel(volume="8 mL", vessels=BURETTES)
    assert [reason.id for reason in eight.verdicts[1].reasons] == ["small-volume-large-burette"]


def test_a_volume_goes_into_the_cylinder_it_fills_best() -> None:
    """8 mL: 25 mL cylinders with steps of 0.5 mL may do too, but the 10 mL one may be off by the least."""
    choice = choose_vessel(volume="8 mL", vessels=CYLINDERS)
    assert [one.capacity for one in choice.allowed] == ml(10, 25)
    assert choice.best == CYLINDERS[1]


@pytest.mark.parametrize(
    ("kind", "standard", "capacity", "volume", "broken"),
    [
        ("cylinder", "ASTM E1272", "10 mL", "2 mL", []),  # exactly 20 % and exactly 5 %
        ("cylinder", "ASTM E1272", "10 mL", "1.8 mL", ["below-share", "limit-above-allowed-error"]),
        ("cylinder", "ASTM E1272", "10 mL", "3.5 mL", ["between-marks"]),
        ("cylinder", "ASTM E1272", "10 mL", "10.2 mL", ["above-capacity"]),
        ("pipette", "ISO 648", "5 mL", "5 mL", []),
        ("pipette", "ISO 648", "5 mL", "4 mL", ["not-the-mark"]),
        ("pipette", "ISO 648", "5 mL", "6 mL", ["above-capacity"]),
        ("flask", "ISO 1042", "100 mL", "100 mL", ["flask-contains"]),
        ("syringe", "ISO 7886-1", "10 mL", "5 mL", []),
        ("syringe", "ISO 7886-1", "10 mL", "3 mL", ["limit-above-allowed-error"]),
        ("piston pipette", "ISO 8655-2", "1000 mcL", "160 mcL", []),  # 8 microlitre are exactly 5 %
        ("piston pipette", "ISO 8655-2", "1000 mcL", "159 mcL", ["limit-above-allowed-error"]),
        ("measuring pipette", "USP <31>", "2 mL", "0.2 mL", []),
        ("measuring pipette", "USP <31>", "2 mL", "0.1 mL", ["limit-above-allowed-error"]),
    ],
)
def test_every_rule_against_a_vessel_is_named(
    kind: str, standard: str, capacity: str, volume: str, broken: list[str]
) -> None:
    """Equality passes; a vessel that breaks several rules is told all of them."""
    assert reasons(vessel(kind=kind, standard=standard, capacity=capacity), volume) == broken


def test_making_up_to_a_volume_is_another_purpose_than_measuring_it() -> None:
    """A flask contains 100 mL and is made up to; a pipette delivers, and nothing is made up in it."""
    flask = vessel(kind="flask", standard="ISO 1042", capacity="100 mL")
    pipette = vessel(kind="pipette", standard="ISO 648", capacity="100 mL")
    assert reasons(flask, "100 mL", purpose="make up to") == []
    assert reasons(flask, "99 mL", purpose="make up to") == ["not-the-mark"]
    assert reasons(pipette, "100 mL", purpose="make up to") == ["delivers-only"]
    assert reasons(CYLINDERS[4], "100 mL", purpose="make up to") == []


def test_a_known_diameter_adds_the_misread_meniscus() -> None:
    """With 1.18 cm inside, 1 mm is 0.109 mL: 2 mL in a good 10 mL cylinder is no longer within 5 %, 2.2 mL is."""
    own = vessel(kind="cylinder", standard="ASTM E1272", capacity="10 mL", inner_diameter="1.18 cm")
    assert reasons(own, "2 mL") == ["reading-above-allowed-error"]
    assert reasons(own, "2.2 mL") == []


def test_class_b_needs_twice_the_volume() -> None:
    """Within 5 %, a 10 mL cylinder of class B starts at 4 mL where one of class A starts at 2 mL."""
    known = {"kind": "cylinder", "standard": "ASTM E1272", "capacity": "10 mL"}
    good, plain = vessel(**known), vessel(**known, accuracy_class="B")
    assert [reasons(good, volume) for volume in ("2 mL", "4 mL")] == [[], []]
    assert [reasons(plain, volume) for volume in ("3.8 mL", "4 mL")] == [["limit-above-allowed-error"], []]


def test_a_sentence_says_each_reason_with_its_numbers() -> None:
    """The reasons are read by people: what is wanted, what the rule says, what would happen."""
    choice = choose_vessel(volume="1.3 mL", vessels=[CYLINDERS[1], BURETTES[1]])
    assert choice.text().splitlines() == [
        "10 mL cylinder, class A (ASTM E1272): no. 1.3 mL lies between its marks at 1.2 mL and 1.4 mL. "
        "1.3 mL is below 2 mL, the least to measure in it (20 % of its capacity). "
        "The vessel may be off by 0.1 mL, which is about 7.692 % of 1.3 mL.",
        "25 mL burette (USP <31>): no. 1.3 mL is below 7.5 mL, the least to measure in it (30 % of its capacity). "
        "For less than 10 mL a burette of that size or a micro-burette is asked for.",
    ]


@given(
    st.integers(1, 120), st.sampled_from([one for one in CYLINDERS if one.graduation is not None]), st.integers(1, 20)
)
def test_a_cylinder_is_allowed_exactly_when_all_its_rules_hold(share: int, one: Vessel, percent: int) -> None:
    """It fits, stands on a mark, is a fifth of the capacity at least, and the limit is within the allowed error."""
    volume = one.capacity * Fraction(share, 100)
    allowed = quantity(percent, "percent")
    assert one.graduation is not None
    holds = (
        volume <= one.capacity
        and on_a_mark(volume=volume, graduation=one.graduation)
        and volume * 5 >= one.capacity
        and volume >= least_measurable_volume(volume_error=one.limit, allowed_error=allowed)
    )
    assert bool(choose_vessel(volume=volume, vessels=[one], allowed_error=allowed).allowed) is holds


@pytest.mark.parametrize(
    ("values", "parts"),
    [
        ({"volume": "0 mL"}, ("volume", "more than zero", "Write")),
        ({"volume": "-2 mL"}, ("volume", "more than zero", "-2 mL")),
        ({"volume": "8"}, ("volume", "a volume", "Write")),
        ({"volume": "8 mm"}, ("volume", "a volume", "8 mm")),
        ({"allowed_error": "0 %"}, ("allowed_error", "more than 0 %", "5 %")),
        ({"allowed_error": "5 mL"}, ("allowed_error", "a percentage", "5 mL")),
        ({"purpose": "drink"}, ("purpose", "'drink'", "measure, make up to")),
        ({"vessels": []}, ("vessels", "no vessel", "Give")),
    ],
)
def test_what_cannot_be_measured_is_refused(values: dict[str, object], parts: tuple[str, ...]) -> None:
    """A refusal names the argument, the rule, the value and the cure."""
    with pytest.raises(RefusedError) as refused:
        choose_vessel(**{"volume": "8 mL", "vessels": CYLINDERS} | values)
    assert all(part in str(refused.value) for part in parts)


@pytest.mark.parametrize("bad", ["nan mL", "inf mL", "8 mLs of water", ""])
def test_an_unreadable_volume_is_refused(bad: str) -> None:
    """NaN, infinity and words never reach a vessel."""
    with pytest.raises(PharmcalcError):
        choose_vessel(volume=bad, vessels=CYLINDERS)
