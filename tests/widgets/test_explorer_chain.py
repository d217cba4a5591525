"""The explorer of a whole order: one slip, what follows from it, and what each capsule would hold."""

import re
from fractions import Fraction

import pytest

from pharmcalc.aliquots import drug_delivered
from pharmcalc.errors import RefusedError
from pharmcalc.formula import MISTAKES
from pharmcalc.units import quotient, rounded_text
from pharmcalc.widgets import order_chain, order_chain_figure
from pharmcalc.widgets.explorers.chain import NO_SLIP, _slips, _task


def test_the_list_draws_what_the_plain_call_draws() -> None:
    """Call it plainly, then choose: one picture, one function."""
    explorer = order_chain()
    ids = list(_slips(_task("2.5 mg", 24, "200 mg")))
    for place in (0, 3, len(ids) - 1):
        explorer.controls[0].value = place
        still = order_chain_figure(slip=ids[place]).html
        assert (explorer.picture.value + explorer.said.value).replace("\u00a0", " ") == still


def test_it_starts_with_a_slip_that_looks_harmless() -> None:
    """120 mg in place of 130 mg: about 8 % too little in every capsule."""
    said = order_chain().said.value.replace("\u00a0", " ")
    assert "0.923 times its dose" in said
    assert "Not cleared" in said


def test_without_a_slip_nothing_is_changed_and_the_dose_is_right() -> None:
    """The right order delivers once its dose."""
    assert order_chain_figure().text == "Nothing goes wrong. Each capsule would hold 1 times its dose."
    assert "changed;" not in order_chain_figure().html


def test_each_slip_is_the_librarys_own_mistake_followed_through() -> None:
    """The mistaken number is the mistake's, later steps follow from it, earlier ones stay."""
    task = _task("2.5 mg", 24, "200 mg")
    slips = _slips(task)
    assert len(slips) >= 10
    for id, slip in slips.items():
        if id == NO_SLIP:
            continue
        first = next(asked for asked in task.amounts if slip.values[asked.name] != task.values[asked.name])
        assert slip.values[first.name] == MISTAKES[id].evaluate(task.values)
        assert slip.lesson == MISTAKES[id].lesson


def test_what_a_capsule_would_hold_is_recomputed_from_what_is_weighed() -> None:
    """The diluent taken for the total: 130 mg in 380 mg, of which 125 mg are taken."""
    held = drug_delivered(drug_weighed="130 mg", aliquot="125 mg", total_mixture="380 mg")
    times = quotient(held, _task("2.5 mg", 24, "200 mg").values["drug_wanted"])
    assert f"{rounded_text(times)} times its dose" in order_chain_figure(slip="diluent-is-total").text


def test_the_bar_is_drawn_to_scale() -> None:
    """Half the dose, half the bar; far more than fits ends at the edge and says so."""

    def bar(html: str) -> float:
        found = re.search(r'<rect class="drug" x="[\d.]+" y="[\d.]+" width="([\d.]+)"', html)
        assert found is not None
        return float(found[1])

    whole = bar(order_chain_figure().html)
    part = bar(order_chain_figure(slip="diluent-drug-added").html)
    task = _task("2.5 mg", 24, "200 mg")
    values = _slips(task)["diluent-drug-added"].values
    mixture = values["drug_weighed"] + values["diluent"]
    held = drug_delivered(drug_weighed=values["drug_weighed"], aliquot=values["aliquot"], total_mixture=mixture)
    assert part / whole == pytest.approx(float(Fraction(quotient(held, task.values["drug_wanted"]))), rel=0.01)


def test_what_cannot_be_is_refused_with_what_can() -> None:
    """An unknown slip, and a batch that needs no aliquot."""
    with pytest.raises(RefusedError, match="weight-left-at-lwq"):
        order_chain_figure(slip="no-such-slip")
    with pytest.raises(RefusedError, match="Weigh it directly"):
        order_chain_figure(dose="200 mg")
