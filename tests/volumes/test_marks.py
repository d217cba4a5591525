"""What a vessel can really measure: the marks, the volumes between them, and the smallest volume."""

from fractions import Fraction
from math import floor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pharmcalc.errors import PharmcalcError, RefusedError
from pharmcalc.units import Quantity, quantity
from pharmcalc.volumes import MeasuringRange, choose_vessel, marks_around, on_a_mark, vessel

volumes = st.fractions(min_value="1/100", max_value=1000, max_denominator=100)


def ml(number: object) -> Quantity:
    """Return millilitres."""
    return quantity(str(number), "millilitre")


@given(volumes, st.sampled_from(["1/100", "1/20", "1/10", "1/5", "1/2", "1", "2", "5", "10"]))
def test_a_volume_lies_on_a_mark_or_between_two_neighbours(volume: Fraction, graduation: str) -> None:
    """The marks around a volume are one graduation apart, or both the volume itself."""
    step = Fraction(graduation)
    below, above = marks_around(volume=ml(volume), graduation=ml(step))
    assert below <= ml(volume) <= above
    assert below == ml(step * floor(volume / step))
    if on_a_mark(volume=ml(volume), graduation=ml(step)):
        assert below == above == ml(volume)
    else:
        assert above - below == ml(step)


@pytest.mark.parametrize("bad", ["nan mL", "inf mL", "0 mL", "-1 mL", "3", "3 mg", "3 mm"])
@pytest.mark.parametrize("name", ["volume", "graduation"])
def test_a_mark_needs_two_volumes(name: str, bad: str) -> None:
    """Nothing, NaN, infinity, a bare number, a mass and a length are refused; mm is easily typed for mL."""
    with pytest.raises(PharmcalcError) as refused:
        on_a_mark(**{"volume": "3 mL", "graduation": "1 mL"} | {name: bad})
    assert "Write" in str(refused.value)


# The range of a vessel -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "standard", "capacity", "said"),
    [
        # the graduations of the standards (see vessels.py); 20 % of a cylinder, 30 % of a burette
        ("cylinder", "ASTM E1272", "100 mL", "every 1 mL from 20 mL to 100 mL"),
        ("burette", "USP <31>", "25 mL", "every 0.1 mL from 7.5 mL to 25 mL"),
        ("measuring pipette", "USP <31>", "10 mL", "every 0.1 mL from 0.1 mL to 10 mL"),
        ("syringe", "ISO 7886-1", "5 mL", "every 0.5 mL from 0.5 mL to 5 mL"),
        ("pipette", "ISO 648", "5 mL", "5 mL and nothing else"),
        ("flask", "ISO 1042", "100 mL", "100 mL and nothing else"),
    ],
)
def test_a_vessel_says_what_it_can_measure(kind: str, standard: str, capacity: str, said: str) -> None:
    """Marks alone are not enough: a cylinder starts at a fifth, a burette at three tenths, a pipette has one mark."""
    assert str(vessel(kind=kind, standard=standard, capacity=capacity).range) == said


def test_a_dial_has_no_marks() -> None:
    """A piston pipette is set by a dial, whose steps no standard states."""
    assert vessel(kind="piston pipette", standard="ISO 8655-2", capacity="1 mL").range is None


def test_every_volume_of_a_range_is_listed_once() -> None:
    """A 5 mL syringe with marks of 0.5 mL, used from 1.2 mL on, measures the eight volumes from 1.5 mL to 5 mL."""
    listed = list(MeasuringRange("1.2 mL", "0.5 mL", "5 mL").volumes())
    assert listed == [ml(Fraction(halves, 2)) for halves in range(3, 11)]


@given(
    st.integers(1, 1200),
    st.sampled_from(["0.1", "0.2", "0.25", "0.5", "1"]),
    st.sampled_from([("cylinder", "ASTM E1272"), ("burette", "USP <31>"), ("syringe", "ISO 7886-1")]),
)
def test_a_volume_in_the_range_is_one_that_no_rule_of_setting_speaks_against(
    tenths: int, graduation: str, known: tuple[str, str]
) -> None:
    """The range of a vessel and the choice of a vessel say the same of every volume: on a mark, large enough, fits."""
    one = vessel(kind=known[0], standard=known[1], capacity="50 mL", graduation=f"{graduation} mL")
    volume = ml(Fraction(tenths, 20))
    said = {reason.id for reason in choose_vessel(volume=volume, vessels=[one]).verdicts[0].reasons}
    assert one.range is not None
    assert one.range.holds(volume) is not bool(said & {"above-capacity", "between-marks", "below-share"})
    assert one.range.holds(volume) is (volume in one.range.volumes())


@pytest.mark.parametrize("field", ["least", "graduation", "capacity"])
@pytest.mark.parametrize("bad", ["0 mL", "-1 mL", "5 mg", "5"])
def test_a_range_is_made_of_three_volumes(field: str, bad: str) -> None:
    """The refusal names which of the three is no volume."""
    with pytest.raises(RefusedError, match=f"measuring range: {field}"):
        MeasuringRange(**{"least": "2 mL", "graduation": "0.1 mL", "capacity": "10 mL"} | {field: bad})  # type: ignore[arg-type]
