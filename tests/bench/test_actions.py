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
        ((*READY, ("add", "small scoop"), ("take out", "tap"), ("take off", "")), "wipe", "", "powder on the spatula",
         "where it goes"),
        (UP[:2], "wipe", "", "the draught shield is closed", "Open it first"),
        (UP[:2], "turn", "left", '"left" is not there', "left foot up"),
        ((), "turn", "left foot up", "no balance is chosen", "Choose a balance first"),
        ((), "open shield", "", "no balance is chosen", "Choose a balance first"),
        ((), "open jar", "", "no jar stands on the bench", "Take one"),
        ((), "put jar back", "", "no jar stands on the bench", "Nothing to do"),
        ((), "read", "", "the display shows no number", "Switch the balance on"),
        ((), "tare", "", "the display is dark", "switch it on"),
        ((), "wait", "long", '"long" is not there', "Choose from: nothing"),
        ((), "stop and ask", "I am tired", '"I am tired" is not there', "hazardous drug"),
        (UP, "sign", "ABCDEFG", "no initials", "one to six letters"),
        ((("sign", "AB"),), "stop and ask", "hazardous drug", "the work is closed", "start again"),
        ((*READY, *[("add", "large scoop")] * 2, ("take off", ""), ("wipe", "")), "put on", "beaker",
         "your powder stands beside the balance in the small boat", "Put the small boat on again"),
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


UNWISE = {
    "begin without levelling or warming up": (*UP, ("put on", "small boat"), ("close shield", ""), ("tare", "")),
    "open the jar without reading its label": (("take jar", "A"), ("open jar", "")),
    "take a jar that is past its date": (("take jar", "D"), ("read label", ""), ("open jar", "")),
    "add powder without taring": (*READY, ("add", "large scoop")),
    "fill one vessel from two jars": (
        *READY, ("add", "tap"), ("close jar", ""), ("put jar back", ""), ("take jar", "B"), ("open jar", ""),
        ("add", "tap"),
    ),
    "return powder although the house discards it": (*READY, ("add", "tap"), ("take out", "tap"), ("excess", "return")),
    "tare with powder in the vessel": (*READY, ("add", "tap"), ("tare", "")),
    "read with the shield open": (*READY, ("add", "tap"), ("read", "")),
    "move to another balance with the powder set down": (
        *READY, ("add", "tap"), ("take off", ""), ("use balance", "Balance 2"), ("switch on", ""), ("open shield", ""),
        ("put on", "small boat"),
    ),
    "sign at once": (("sign", "AB"),),
    "leave with the jar open": (("take jar", "A"), ("open jar", ""), ("stop and ask", "no jar is right")),
}  # fmt: skip


@pytest.mark.parametrize("what", UNWISE)
def test_what_is_unwise_can_be_done(what: str) -> None:
    """The bench is no nanny: it has consequences, and an inspector, but no locked doors."""
    session = after(*UNWISE[what])
    assert len(session.moments) == len(UNWISE[what])


def test_powder_is_shared_out_when_a_mixture_is_taken_out() -> None:
    """From two jars, each in its share; no powder comes of a jar that gave none."""
    session = after(*READY, *[("add", "small scoop")] * 2, ("close jar", ""), ("put jar back", ""), ("take jar", "B"),
                    ("open jar", ""), ("add", "small scoop"))  # fmt: skip
    before = dict(session.state.powder)
    session.act("take out", "small scoop")
    left = dict(session.state.powder)
    assert set(left) == {"A", "B"}
    assert sum(left.values()) + session.state.out == sum(before.values())
    for letter, amount in left.items():
        assert amount == pytest.approx(before[letter] * session.state.net / sum(before.values()), abs=2)


def test_what_is_taken_out_is_never_more_than_there_is() -> None:
    """A large scoop out of a small one empties the vessel."""
    session = after(*READY, ("add", "light tap"))
    held = session.state.net
    session.act("take out", "large scoop")
    assert (session.state.net, session.state.out) == (0, held)
    assert session.act("excess", "discard").said == "The powder is in the waste."
    assert session.state.out == 0


def test_returned_powder_goes_into_the_jar_that_stands_open() -> None:
    """The record says into which."""
    session = after(*READY, ("add", "tap"), ("take out", "tap"))
    assert session.act("excess", "return").said == "The powder is back in jar A."


def test_a_balance_that_is_left_is_cold_again() -> None:
    """Its feet and its zero are as they were at first."""
    session = after(("use balance", "Balance 1"), ("switch on", ""), ("wait half an hour", ""), ("zero", ""))
    session.act("use balance", "Balance 2")
    session.act("use balance", "Balance 1")
    state = session.state
    assert (state.on_since, state.offset, state.warm_for()) == (None, 0, 0)
    assert state.feet == after(("use balance", "Balance 1")).state.feet


def test_the_label_is_read_word_by_word() -> None:
    """Name and form, grade, lot, expiry, and whether there is a hazard statement."""
    session = after(("take jar", "B"))
    assert session.act("read label").said == (
        "The label reads: zinc sulfate monohydrate; pharmacopoeial grade; lot K2222; expiry 2028-02; "
        "no hazard statement."
    )


def test_lines_of_the_record_are_kept_and_written_over_one_by_one() -> None:
    """Capitals and spaces make no difference to a label; an empty line says nothing."""
    session = after(("write", "LOT =  K1111 \n\nAllowed  from = 237.5 mg"), ("write", "lot = K2222"))
    assert session.state.written == (("allowed from", "237.5 mg"), ("lot", "K2222"))


def test_the_second_check_says_what_stands_there_and_not_whether_it_is_right() -> None:
    """A simulated colleague is no second person, and says so."""
    session = after(*READY, ("add", "tap"), ("read", ""), ("write", "lot = K9999"))
    said = session.act("second check").said
    assert "lot K9999" in said
    assert "not whether it is right" in said
    assert "At the real bench a second person must verify" in said
    assert "nothing yet" in after(*READY, ("add", "tap"), ("read", ""), ("second check", "")).moments[-1].said


def test_a_reading_says_whether_the_display_had_come_to_rest() -> None:
    """Right after a scoop it had not; half a minute later, with the shield closed, it had."""
    hasty = after(*READY, ("add", "large scoop"), ("close shield", ""), ("read", ""))
    patient = after(*READY, ("add", "large scoop"), ("close shield", ""), *[("wait", "")] * 6, ("read", ""))
    assert hasty.moments[-1].said.endswith("The display had not come to rest.")
    assert patient.moments[-1].said == f"You read {patient.moments[-1].shown.text} and write it down."


def test_the_smallest_vessel_fits_the_smallest_amounts() -> None:
    """Where there is none smaller, a weighing paper is not far too large."""
    tiny = order(quantity(5, "mg"))
    assert [vessel.name for vessel in VESSELS if tiny.fits(vessel)] == ["weighing paper"]
