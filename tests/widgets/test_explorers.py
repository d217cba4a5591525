"""Explorers: the still picture, and the same with sliders."""

from fractions import Fraction

import pytest

from pharmcalc.errors import RefusedError
from pharmcalc.widgets import aliquot_explorer, aliquot_figure, error_band, error_band_figure
from pharmcalc.widgets.controls import Dial
from pharmcalc.widgets.explorers.frame import STEPS


def words(html: str) -> str:
    """Return HTML with plain spaces."""
    return html.replace("\u00a0", " ")


def test_the_slider_draws_what_the_plain_call_draws() -> None:
    """Call it plainly, then slide it: one picture, one function."""
    explorer = error_band("6 mg", "5 %")
    for load in (4, 150):
        explorer.controls[0].value = load
        still = error_band_figure(load=f"{load} mg").html
        assert words(explorer.picture.value + explorer.said.value) == still


def test_the_band_starts_with_a_danger() -> None:
    """The first picture is a weighing that looks fine and is not."""
    assert "do not weigh" in error_band().said.value
    assert "balance says 8 mg" in words(error_band().said.value)


def test_sliding_up_to_the_least_weighable_quantity_changes_the_verdict() -> None:
    """119 mg is too little for 6 mg and 5 %, 120 mg is enough."""
    explorer = error_band("6 mg", "5 %")
    explorer.controls[0].value = 119
    assert "do not weigh" in explorer.said.value
    explorer.controls[0].value = 120
    assert "may be weighed" in explorer.said.value


@pytest.mark.parametrize(("sensitivity", "allowed"), [("0.1 mg", "1 %"), ("1/10 gr", "5 %"), ("2 g", "0.1 %")])
def test_any_balance_gets_a_slider_that_reaches_its_least_weighable_quantity(sensitivity: str, allowed: str) -> None:
    """Fine or coarse, the slider has a bearable number of steps and passes the limit."""
    explorer = error_band(sensitivity, allowed)
    slider = explorer.controls[0]
    assert (slider.max - slider.min) / slider.step <= STEPS + 1
    assert "do not weigh" in explorer.said.value
    slider.value = slider.max
    assert "may be weighed" in explorer.said.value


@pytest.mark.parametrize(
    ("allowed", "load"), [("5 %", "250 mg"), ("1 %", "2.5 mg"), ("1 %", "33 mg"), ("5 %", "0.1 mg")]
)
def test_a_start_of_ones_own_is_taken(allowed: str, load: str) -> None:
    """A lesson can begin with its own load, also beyond the usual end, or between two steps."""
    assert f"balance says {load}:" in words(error_band("6 mg", allowed, load=load).said.value)


@pytest.mark.parametrize(
    "call", [lambda: error_band("6"), lambda: error_band("6 mg", "0 %"), lambda: error_band("-6 mg")]
)
def test_a_balance_that_cannot_be_is_refused(call: object) -> None:
    """A bare number, no allowed error, a negative mass: RefusedError or ReadingError with the cure."""
    with pytest.raises(ValueError, match=r"sensitivity|allowed|-6 mg|divides"):
        call()  # type: ignore[operator]


def test_the_aliquot_starts_with_rules_to_put_right() -> None:
    """Something is broken at first, and the words say how much."""
    explorer = aliquot_explorer("6 mg", "120 mg")
    assert "2 rules are broken" in explorer.said.value
    assert explorer.more.value.count("broken</span>") == 2


def test_both_sliders_together_put_the_plan_right() -> None:
    """The multiple brings the drug up to the limit, the aliquot itself."""
    explorer = aliquot_explorer("6 mg", "120 mg")
    multiple, aliquot = explorer.controls
    multiple.value = 20
    assert "One rule is broken" in explorer.said.value
    aliquot.value = 126
    assert "Every rule holds" in explorer.said.value
    assert "broken" not in explorer.more.value


@pytest.mark.parametrize("wanted", ["0.25 mg", "0.3 mg", "6 mg", "45 mg", "119 mg"])
def test_a_right_plan_can_be_reached_for_any_amount(wanted: str) -> None:
    """Somewhere on the two sliders every rule holds, and at no place do they lead to an error."""
    explorer = aliquot_explorer(wanted, "120 mg")
    multiple, aliquot = explorer.controls
    found = False
    for many in {multiple.min, multiple.value, multiple.max, *range(2, multiple.max, max(multiple.max // 40, 1))}:
        for part in (aliquot.min, aliquot.value, 120, 132, 240, aliquot.max):
            multiple.value, aliquot.value = many, part
            found = found or "Every rule holds" in explorer.said.value
    assert found


def test_an_amount_that_needs_no_aliquot_is_refused_with_the_reason() -> None:
    """From the least weighable quantity on, it is weighed directly."""
    with pytest.raises(RefusedError, match="Weigh it directly"):
        aliquot_explorer("120 mg", "120 mg")


def test_an_amount_that_no_display_can_show_is_refused_with_the_reason() -> None:
    """A tenth of a grain is no whole number of milligrams, however often it is taken."""
    with pytest.raises(RefusedError, match="no plan"):
        aliquot_explorer("1/10 gr", "120 mg")


def test_a_kept_rule_is_told_by_a_word_and_a_sign() -> None:
    """Not by colour alone."""
    html = aliquot_figure(multiple_factor="20", aliquot="60 mg").html
    assert '<span class="pc-broken">\u2717 broken</span>' in html
    assert '<span class="pc-kept">\u2713 kept</span>' in html


def test_a_still_picture_can_be_read() -> None:
    """Printed in a terminal, a figure is its sentence and its rules."""
    text = repr(aliquot_figure(multiple_factor="20", aliquot="126 mg"))
    assert "Every rule holds" in text
    assert "kept" in text


def test_where_widgets_cannot_be_shown_the_picture_can_be_read() -> None:
    """The plain text of an explorer says what its picture shows now."""
    explorer = error_band()
    explorer.controls[0].value = 150
    assert "balance says 150 mg" in explorer._repr_mimebundle_()["text/plain"]


def test_a_slider_of_decimals_stands_for_exact_numbers() -> None:
    """Three steps of 0.1 are 0.3 and not 0.30000000000000004."""
    dial = Dial("x", Fraction(1, 10), Fraction(1), Fraction(1, 10), Fraction(1, 10))
    assert dial.at(0.1 + 0.2) == Fraction(3, 10)
    assert dial.control().min == pytest.approx(0.1)


def test_whole_numbers_stay_whole() -> None:
    """A multiple factor is chosen from 1, 2, 3 ..."""
    slider = aliquot_explorer().controls[0]
    assert isinstance(slider.value, int)
    assert slider.step == 1
