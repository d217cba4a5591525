"""What each action does, and what cannot be done: refused with the reason and the cure, and nothing has changed."""

import pytest

from pharmcalc.bench import ACTIONS, AMOUNTS, Session
from pharmcalc.bench.instrument import WARM_AFTER
from pharmcalc.bench.things import VESSELS, vessel_called
from pharmcalc.errors import RefusedError
from pharmcalc.units import quantity
from tests.bench.orders import order

UP = (("use balance", "Balance 1"), ("switch on", ""), ("open shield", ""))
READY = (*UP, ("put on", "small boat"), ("take jar", "A"), ("open jar", ""))


def after(*events: tuple[str, str]) -> Session:
    """Return a session in which these things were done."""
    session = Session(order())
    for action, what in events:
        session.act(action, what)
    return session


@pytest.mark.parametrize(
    ("done", "action", "what", "reason", "cure"),
    [
        ((), "switch on", "", "no balance is chosen", "Choose a balance first"),
        ((), "zero", "", "the display is dark", "switch it on"),
        ((), "sing", "", 'no action "sing"', "switch on"),
        ((), "use balance", "Balance 9", '"Balance 9" is not there', "Balance 1"),
        ((), "read label", "", "no jar stands on the bench", "Take one"),
        (UP[:2], "switch on", "", "on already", "Go on"),
        (UP[:2], "put on", "small boat", "the draught shield is closed", "Open it first"),
        (UP, "take off", "", "the pan is empty", "Nothing to do"),
        (UP, "add", "tap", "no vessel on the pan", "Put a vessel on"),
        ((*UP, ("put on", "small boat")), "add", "tap", "no jar is open", "read its label"),
        ((*UP, ("put on", "small boat")), "zero", "", "something lies on the pan", "press tare"),
        ((*UP, ("put on", "small boat")), "put on", "beaker", "the small boat is on the pan", "Take it off first"),
        ((*UP, ("put on", "small boat")), "wipe", "", "the vessel stands on the pan", "Take it off first"),
        ((*UP, ("put on", "small boat")), "use balance", "Balance 2", "lies on the pan", "Take the vessel off"),
        (READY, "take jar", "B", "jar A stands on the bench", "put it back first"),
        (READY, "put jar back", "", "the jar is open", "Close it first"),
        (READY, "take out", "tap", "no powder in the vessel", "Nothing to do"),
        (READY, "excess", "discard", "no powder on the spatula", "Nothing to do"),
        ((*READY, ("add", "small scoop"), ("take out", "tap")), "add", "tap", "powder on the spatula", "where it goes"),
        ((*READY, ("add", "tap"), ("take out", "tap"), ("close jar", "")), "excess", "return", "no jar is open", ""),
        (UP, "second check", "", "no reading to be checked", "Weigh and read first"),
        (UP, "sign", "A1", '"A1" are no initials', "for example MK"),
        (UP, "sign", "", "no initials", "for example MK"),
        (UP, "write", "colour = blue", '"colour = blue" was not understood', "lot ="),
        (UP, "write", "lot = " + "x" * 700, "too long", "600 characters"),
        ((("stop and ask", "hazardous drug"),), "use balance", "Balance 1", "the work is closed", "start again"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_says_why_and_what_to_do(
    done: tuple[tuple[str, str], ...], action: str, what: str, reason: str, cure: str
) -> None:
    """The state and the record stay as they were."""
    session = after(*done)
    before = (session.state, list(session.moments))
    with pytest.raises(RefusedError) as caught:
        session.act(action, what)
    assert reason in str(caught.value)
    assert cure in str(caught.value)
    assert (session.state, session.moments) == before


def test_every_action_takes_its_time() -> None:
    """The clock of the bench only goes forwards."""
    assert all(action.seconds > 0 for action in ACTIONS.values())
    session = after(*READY)
    assert session.state.clock == sum(ACTIONS[event.action].seconds for event in session.events)


def test_a_foot_goes_only_so_far() -> None:
    """Six quarter turns either way; a balance is never level when work begins."""
    session = after(("use balance", "Balance 1"))
    assert session.state.tilt > 0
    while session.state.feet[0] < 6:
        session.act("turn", "left foot up")
    with pytest.raises(RefusedError, match="the foot is at its end"):
        session.act("turn", "left foot up")


def test_level_is_where_the_bubble_is_in_its_ring() -> None:
    """Each foot turned back by what it is off."""
    session = after(("use balance", "Balance 1"))
    for foot, turns in zip(("left", "right"), session.state.feet, strict=True):
        for _ in range(abs(turns)):
            session.act("turn", f"{foot} foot {'down' if turns > 0 else 'up'}")
    assert session.state.bubble == (0, 0)
    assert session.moments[-1].said.endswith("The bubble is in its ring.")


def test_the_vessel_is_tared_away() -> None:
    """A boat of about 2 g: at rest, the display begins at zero again, within its wander."""
    session = after(*UP, ("put on", "large boat"), ("close shield", ""), ("wait half an hour", ""))
    session.act("wait")
    shown = session.moments[-1].shown.shown
    assert shown is not None
    assert abs(shown - vessel_called("large boat").tare) < 100_000
    assert session.act("tare").shown.shown == pytest.approx(0, abs=5_000)


def test_a_scoop_is_about_what_it_says_and_never_the_same_twice() -> None:
    """Between 70 and 130 of a hundred."""
    session = after(*UP, ("put on", "beaker"), ("take jar", "A"), ("open jar", ""))
    gained = []
    for _ in range(30):
        before = session.state.net
        session.act("add", "small scoop")
        gained.append(session.state.net - before)
    assert all(0.7 * AMOUNTS["small scoop"] <= one <= 1.3 * AMOUNTS["small scoop"] for one in gained)
    assert len(set(gained)) > 10


def test_what_does_not_fit_into_the_vessel_falls_beside_it() -> None:
    """It lies on the pan, is weighed all the same, and is lost when the pan is wiped."""
    session = after(*UP, ("put on", "weighing paper"), ("take jar", "A"), ("open jar", ""))
    for _ in range(6):
        session.act("add", "large scoop")
    paper = vessel_called("weighing paper")
    assert session.state.net == paper.holds
    assert session.state.spilled > 0
    assert session.state.load == paper.tare + paper.holds + session.state.spilled
    session.act("take off")
    session.act("wipe")
    assert (session.state.spilled, session.state.load) == (0, 0)


def test_powder_that_was_set_down_stays_in_its_vessel() -> None:
    """Another vessel cannot take its place; the same one can be put on again."""
    session = after(*READY, ("add", "small scoop"), ("take off", ""))
    net = session.state.net
    assert session.state.load == 0
    with pytest.raises(RefusedError, match="your powder stands beside the balance in the small boat"):
        session.act("put on", "beaker")
    session.act("put on", "small boat")
    assert session.state.net == net


def test_too_much_for_the_balance_shows_no_number() -> None:
    """Balance 2 carries 60 g; a beaker full of powder is above that, and cannot be read."""
    session = Session(order())
    for action, what in (
        ("use balance", "Balance 2"), ("switch on", ""), ("open shield", ""), ("put on", "beaker"), ("take jar", "A"),
        ("open jar", ""),
    ):  # fmt: skip
        session.act(action, what)
    while session.moments[-1].shown.text != "over capacity":
        session.act("add", "large scoop")
    with pytest.raises(RefusedError, match="the display shows no number"):
        session.act("read")


def test_a_cold_zero_creeps_and_a_warm_one_stays() -> None:
    """Ten minutes after it was set."""

    def crept(warm: bool) -> int:
        session = after(*UP[:2])
        if warm:
            session.act("wait half an hour")
        session.act("zero")
        for _ in range(600 // ACTIONS["wait"].seconds):
            session.act("wait")
        shown = session.moments[-1].shown.shown
        assert shown is not None
        return abs(shown)

    assert crept(warm=False) > 15_000
    assert crept(warm=True) < 5_000
    assert WARM_AFTER == 30 * 60


def test_the_vessels_are_there_from_small_to_large() -> None:
    """Each holds more than the one before and weighs more."""
    assert [v.holds for v in VESSELS] == sorted(v.holds for v in VESSELS)
    assert [v.tare for v in VESSELS] == sorted(v.tare for v in VESSELS)
    assert order(quantity(250, "mg")).fits(VESSELS[0])
    assert not order(quantity(250, "mg")).fits(vessel_called("beaker"))
    assert not order(quantity(2, "g")).fits(VESSELS[0])
