"""Tasks about specific gravity, labels and solubility: published values, typed mistakes by name, clearance."""

from collections.abc import Mapping
from fractions import Fraction

import pytest

from pharmcalc.feedback import feedback_text
from pharmcalc.marking import mark_task
from tests.oracles import Oracle, Slip, asked_with, assert_worked_out, draws, named_marks, plain, slipped_marks

# The right way, by plain fractions: grams, millilitres, and strengths w/v as grams in 1 mL ---------------------------

ORACLES = {
    "percentage-from-density": Oracle((lambda v, s: v["strength"] * v["specific_gravity"],), ("% w/v",)),
    "percentage-by-weight-from-density": Oracle((lambda v, s: v["strength"] / v["specific_gravity"],), ("% w/w",)),
    "mass-of-volume": Oracle((lambda v, s: v["volume"] * v["specific_gravity"],), ("g",)),
    "volume-of-mass": Oracle((lambda v, s: v["mass"] / v["specific_gravity"],), ("mL",)),
    "dose-from-label": Oracle((lambda v, s: v["dose"] / v["labelled_drug"] * v["labelled_volume"],), ("mL",)),
    "solubility-one-in": Oracle((lambda v, s: v["solute"] * v["parts_of_solvent"],), ("mL",)),
}

SLIPS = [
    # 22: the specific gravity inverted, or left out
    Slip(
        "percentage-from-density", 0, "wv-divided-by-specific-gravity",
        lambda v, s: v["strength"] / v["specific_gravity"],
    ),
    Slip("percentage-from-density", 0, "wv-specific-gravity-left-out", lambda v, s: v["strength"]),
    Slip(
        "percentage-by-weight-from-density", 0, "ww-times-specific-gravity",
        lambda v, s: v["strength"] * v["specific_gravity"],
    ),
    Slip("percentage-by-weight-from-density", 0, "ww-specific-gravity-left-out", lambda v, s: v["strength"]),
    Slip(
        "mass-of-volume", 0, "volume-divided-by-specific-gravity", lambda v, s: v["volume"] / v["specific_gravity"]
    ),
    Slip("mass-of-volume", 0, "millilitres-as-grams", lambda v, s: v["volume"]),
    Slip("volume-of-mass", 0, "mass-times-specific-gravity", lambda v, s: v["mass"] * v["specific_gravity"]),
    Slip("volume-of-mass", 0, "grams-as-millilitres", lambda v, s: v["mass"]),
    # 34: per 5 mL read as per mL
    Slip("dose-from-label", 0, "dose-as-if-per-millilitre", lambda v, s: v["dose"] / v["labelled_drug"]),
    Slip(
        "dose-from-label", 0, "dose-upside-down", lambda v, s: v["labelled_drug"] / v["dose"] * v["labelled_volume"]
    ),
    # 12, where it is right for once: in 1 in R of solubility the R parts are solvent alone
    Slip(
        "solubility-one-in", 0, "solubility-as-ratio-strength",
        lambda v, s: v["solute"] * (v["parts_of_solvent"] - 1),
    ),
    Slip(
        "solubility-one-in", 0, "solubility-whole-solution", lambda v, s: v["solute"] * (v["parts_of_solvent"] + 1)
    ),
    Slip("solubility-one-in", 0, "solubility-divided", lambda v, s: v["solute"] / v["parts_of_solvent"]),
]  # fmt: skip


@pytest.mark.parametrize("family", sorted(ORACLES))
def test_worked_out_by_plain_fractions_the_answers_are_right(family: str) -> None:
    """The numbers that anybody gets with pencil and paper have full marks and clearance."""
    assert_worked_out(family, ORACLES[family])


@pytest.mark.parametrize("slip", SLIPS, ids=lambda slip: f"{slip.family}-{slip.mistake}")
def test_a_slip_is_named_with_what_it_would_have_done(slip: Slip) -> None:
    """Named on at least 98 of 100 papers, with its consequence."""
    for mark in named_marks(slip, ORACLES[slip.family]):
        assert "What it would have done" in feedback_text(mark), mark.task.question_text()


# Published values ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("family", "values", "typed"),
    [
        # U.S. Army Medical Department, MD0802 (seen): glycerin, light liquid petrolatum
        ("volume-of-mass", {"mass": "45 g", "specific_gravity": "1.25"}, "36 mL"),
        ("mass-of-volume", {"volume": "240 mL", "specific_gravity": "0.81"}, "194.4 g"),
        ("mass-of-volume", {"volume": "10 mL", "specific_gravity": "0.85"}, "8.5 g"),
        # common classroom practice (numbers seen): a pound of benzyl benzoate, and mercury
        ("volume-of-mass", {"mass": "453.592 g", "specific_gravity": "1.120"}, "405 mL"),
        ("volume-of-mass", {"mass": "100 g", "specific_gravity": "13.6"}, "7.35 mL"),
        # numbers chosen here, from the definitions: 10 % w/w of sp gr 1.2; 125 mg per 5 mL; 1 in 30
        ("percentage-from-density", {"strength": "10 % w/w", "specific_gravity": "1.2"}, "12 % w/v"),
        ("percentage-by-weight-from-density", {"strength": "12 % w/v", "specific_gravity": "1.2"}, "10 % w/w"),
        ("dose-from-label", {"dose": "50 mg", "labelled_drug": "125 mg", "labelled_volume": "5 mL"}, "2 mL"),
        ("solubility-one-in", {"solute": "2 g", "parts_of_solvent": "30"}, "60 mL"),
    ],
)
def test_published_answers_are_right(family: str, values: Mapping[str, str], typed: str) -> None:
    """What the sources print earns everything."""
    mark = mark_task(asked_with(family, **values), typed)
    assert (mark.marks, mark.cleared) == (2, True)


def test_the_wrong_way_with_a_specific_gravity_is_named() -> None:
    """45 g of glycerin of sp gr 1.25, multiplied, come to 56.25 mL: mistake by name."""
    # U.S. Army Medical Department, MD0802: 36 mL seen, 56.25 mL is the wrong way
    task = asked_with("volume-of-mass", {"liquid": "glycerol"}, mass="45 g", specific_gravity="1.25")
    mark = mark_task(task, "volume to measure = 45 x 1.25 = 56.25 mL")
    assert [verdict.mistake_id for verdict in mark.verdicts] == ["mass-times-specific-gravity"]
    assert "56 % more glycerol than is wanted" in feedback_text(mark)


# Clearance -----------------------------------------------------------------------------------------------------------


def test_a_label_read_per_millilitre_is_always_critical() -> None:
    """125 mg per 5 mL read as 125 mg per mL: a fifth of the dose, and never cleared, whatever the numbers."""
    slip = next(slip for slip in SLIPS if slip.mistake == "dose-as-if-per-millilitre")
    marks = slipped_marks(slip, ORACLES[slip.family])
    assert marks
    assert all(mark.clearance.critical and not mark.cleared for mark in marks)
    task = asked_with("dose-from-label", dose="50 mg", labelled_drug="125 mg", labelled_volume="5 mL")
    assert "only 20 % of the drug that is wanted: 10 mg for a dose of 50 mg" in feedback_text(mark_task(task, "0.4 mL"))


@pytest.mark.parametrize(
    ("family", "typed"), [("percentage-from-density", "12 % w/w"), ("percentage-by-weight-from-density", "10 % w/v")]
)
def test_the_right_number_on_the_wrong_basis_is_critical(family: str, typed: str) -> None:
    """The whole question is by weight or by volume, so the other one is no answer to it."""
    given = "10 % w/w" if typed.startswith("12") else "12 % w/v"
    mark = mark_task(asked_with(family, strength=given, specific_gravity="1.2"), typed)
    assert (mark.marks, mark.cleared, mark.clearance.critical) == (0, False, True)


def test_doses_are_volumes_that_an_oral_syringe_shows() -> None:
    """Every dose drawn is a whole number of tenths of a millilitre, and at least half a millilitre."""
    for task in draws("dose-from-label", 60):
        v = plain(task)
        volume = v["dose"] / v["labelled_drug"] * v["labelled_volume"]
        assert (volume * 10).denominator == 1
        assert volume >= Fraction(1, 2)


def test_solutions_heavier_than_water_are_stronger_by_volume() -> None:
    """Of sp gr above 1 the number w/v is the larger one; of ammonia, lighter than water, the smaller one."""
    heavier = set()
    for task in draws("percentage-from-density", 60):
        answer = task.values["percentage_wv_from_ww"].to("percent_in_volume").magnitude
        v = plain(task)
        heavier.add(v["specific_gravity"] > 1)
        assert (answer > v["strength"] * 100) is (v["specific_gravity"] > 1)
    assert heavier == {True, False}
