"""A weighing by the book: made with the display alone, it is right on every order and in every laboratory."""

from collections import Counter

import pytest

from pharmcalc.bench import AMOUNTS, DONE, Order, inspect, weigh_by_the_book
from pharmcalc.bench.things import VESSELS, micrograms
from pharmcalc.errors import RefusedError
from pharmcalc.marking import mark_task
from pharmcalc.tasks.family import family_called
from pharmcalc.tasks.house import HouseRules, default_house_rules_text, read_house_rules
from pharmcalc.units import quantity
from tests.bench.orders import order as an_order
from tests.questions import HOUSE, house


def lab(allowed: str, **balance: str) -> HouseRules:
    """Return the house rules of a laboratory with one balance."""
    head, _, rest = default_house_rules_text().replace('"5 %"', f'"{allowed}"', 1).partition("[[balance]]")
    lines = {"name": "Only one", "capacity": "120 g", **balance}
    own = "\n".join(f'{name.replace("_", "-")} = "{value}"' for name, value in lines.items())
    return read_house_rules(f"{head}[[balance]]\n{own}\n\n{rest[rest.index('[[order]]') :]}")


LABS = {
    "the course's own": HOUSE,
    "2 %": house(allowed_error='"2 %"'),
    "10 %": house(allowed_error='"10 %"'),
    "excess returned": house(excess_powder='"return"'),
    "an unmarked prescription balance": lab(
        "5 %", sensitivity_requirement="6 mg", display_step="1 mg", capacity="15.5 g"
    ),
    "steps of 5 mg": lab("5 %", sensitivity_requirement="20 mg", display_step="5 mg", capacity="500 g"),
    "steps of 2 mg": lab("5 %", sensitivity_requirement="6 mg", display_step="2 mg"),
    "steps of 10 mg": lab("5 %", sensitivity_requirement="10 mg", display_step="10 mg"),
    "steps of 0.1 mg": lab("5 %", minimum_weight="20 mg", display_step="0.1 mg"),
    "an analytical balance": lab("1 %", minimum_weight="20 mg", display_step="0.01 mg", capacity="50 g"),
    "a few milligrams": lab("5 %", minimum_weight="4 mg", display_step="0.1 mg"),
    "old units": lab("5 %", sensitivity_requirement="0.1 gr", display_step="0.05 gr"),
    "a hopeful sensitivity": lab("5 %", sensitivity_requirement="0.5 mg", display_step="1 mg"),
}


def drawn(rules: HouseRules, family: str = "bench-weighing", count: int = 12) -> list[Order]:
    """Return orders of a laboratory."""
    orders = [family_called(family).task("q1", f"lab {number}", rules).drawn.order for number in range(count)]
    return [order for order in orders if order is not None]


@pytest.mark.parametrize("name", LABS)
def test_by_the_book_everything_is_right_in_every_laboratory(name: str) -> None:
    """Other limits, other display steps, other customs with excess powder: the routine holds."""
    for order in drawn(LABS[name]):
        found = inspect(weigh_by_the_book(order))
        assert set(found.values()) == {DONE, "weighed"}, (order.target, found)


@pytest.mark.parametrize("name", LABS)
def test_every_kind_of_order_earns_everything_by_the_book(name: str) -> None:
    """Batches, and orders that are rightly stopped."""
    for family in ("bench-batch", "bench-doubtful"):
        for number in range(6):
            task = family_called(family).task("q1", f"lab {number}", LABS[name])
            mark = mark_task(task, task.answer_lines())
            assert (mark.marks, mark.cleared) == (task.out_of, True), task.question_text()


@pytest.mark.parametrize("name", LABS)
def test_an_order_leaves_room_for_the_display_and_the_spatula(name: str) -> None:
    """Nobody is asked to hit a range that the display cannot show, or the lightest tap cannot find."""
    for order in drawn(LABS[name], count=30):
        least, most = order.allowed
        step = max(micrograms(balance.display_step) for balance in order.balances if balance.display_step is not None)
        assert most - least >= max(AMOUNTS["light tap"], 4 * step) - 1
        assert any(order.fits(vessel) for vessel in VESSELS)


def test_a_laboratory_whose_limit_is_finer_than_its_balance_is_told_so() -> None:
    """0.1 % of some 100 mg cannot be hit on steps of 1 mg: no such order is drawn, and the reason is said."""
    with pytest.raises(RefusedError, match="the allowed error is finer than two display steps"):
        family_called("bench-weighing").task("q1", "k", lab("0.1 %", minimum_weight="100 mg", display_step="1 mg"))


def test_a_balance_must_carry_the_vessel_as_well() -> None:
    """9 g and a large boat are above 10 g: such a balance does not fit, though the powder alone would."""
    nine = quantity(9, "gram")
    for capacity, fits in (("10 g", False), ("20 g", True)):
        rules = lab("5 %", minimum_weight="100 mg", display_step="1 mg", capacity=capacity)
        assert bool(an_order(nine, balances=rules.balances).fit_balances) is fits


def test_the_book_looks_at_the_display_and_not_behind_it() -> None:
    """Without tare the same person stops at the same reading, and the vessel holds less."""
    order = an_order(quantity(900, "mg"))
    session = weigh_by_the_book(order, without=("tare",))
    least, most = order.allowed
    assert least <= session.state.readings[-1] <= most
    assert session.state.net < least


def test_what_nothing_goes_on_without_is_refused() -> None:
    """A dark display gives no numbers to weigh by."""
    order = drawn(HOUSE, count=1)[0]
    with pytest.raises(RefusedError, match="the display shows no number"):
        weigh_by_the_book(order, without=("switch on",))


def test_the_book_is_short_enough_to_be_read() -> None:
    """Some eighty actions; the powder comes in few scoops first and light taps at the end."""
    sessions = [weigh_by_the_book(order) for order in drawn(HOUSE, count=20)]
    assert max(len(session.moments) for session in sessions) < 200
    for session in sessions:
        added = [event.what for event in session.events if event.action == "add"]
        assert Counter(added)["large scoop"] <= 12
        assert AMOUNTS[added[0]] >= AMOUNTS[added[-1]]
