"""What can be done at the bench. Each action takes its time and leads from one state to the next, or is refused.

What is unwise is allowed, and has its consequence; what cannot be done is refused with the reason and the cure.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from pharmcalc.bench.instrument import WARM_AFTER
from pharmcalc.bench.state import State, display, feet_at_first, felt, instrument_of
from pharmcalc.bench.things import EXCESS, VESSELS, Order, vessel_called
from pharmcalc.errors import RefusedError
from pharmcalc.tasks.dice import Dice

__all__ = ["ACTIONS", "AMOUNTS", "FIELDS", "REASONS", "TURNS", "Action", "Event", "follow"]

TURNS = ("left foot up", "left foot down", "right foot up", "right foot down")
LAST_TURN = 6
AMOUNTS = {"large scoop": 400_000, "small scoop": 60_000, "tap": 6_000, "light tap": 2_000}
"""What a spatula brings, about, in micrograms; each time it is more or less than that."""
REASONS = ("hazardous drug", "no balance can weigh it", "no jar is right")
FIELDS = ("lot", "expiry", "allowed from", "allowed to", "reading")
"""The lines of the weighing record that are filled in by hand."""
LONGEST_TEXT = 600
ZERO_WITHIN = 50  # display steps beyond which the zero button does nothing: then something lies on the pan


@dataclass(frozen=True)
class Event:
    """One thing done: an action and, where it needs one, what it was done with."""

    action: str
    what: str = ""


@dataclass(frozen=True)
class Here:
    """Where an action happens: the order, the state before it with its time already passed, and its place from 1."""

    order: Order
    state: State
    place: int
    action: str
    what: str

    def refusal(self, why: str, cure: str) -> RefusedError:
        """Return the error for what cannot be done now."""
        return RefusedError(self.action, why, cure)

    def chance(self, kind: str) -> Dice:
        """Return dice that belong to this place of the record."""
        return Dice(f"{self.order.seed}|{self.place}|{kind}")


Done = tuple[State, str]


@dataclass(frozen=True)
class Action:
    """One kind of action: its id, how many seconds it takes, what it can be done with, and what it does."""

    id: str
    seconds: int
    choices: Callable[[Order], tuple[str, ...]] | None
    do: Callable[[Here], Done]
    free: bool = False


ACTIONS: dict[str, Action] = {}


def follow(order: Order, state: State, event: Event, place: int) -> Done:
    """Return the state after an event, and what is to be said about it. place: its number in the record, from 1.

    Raises RefusedError for an action that there is not, that cannot be done with this, or that cannot be done now.
    """
    action = ACTIONS.get(event.action)
    if action is None:
        raise RefusedError("bench", f'there is no action "{event.action[:40]}".', f"There are: {', '.join(ACTIONS)}.")
    if state.ended and event.action != "start again":
        raise RefusedError(event.action, "the work is closed.", 'To do it once more, choose "start again".')
    if action.free:
        if len(event.what) > LONGEST_TEXT:
            raise RefusedError(event.action, "the text is too long.", f"Keep to {LONGEST_TEXT} characters.")
    else:
        choices = action.choices(order) if action.choices else ("",)
        if event.what not in choices:
            raise RefusedError(
                event.action, f'"{event.what[:40]}" is not there.', f"Choose from: {', '.join(choices) or 'nothing'}."
            )
    later = replace(state, clock=state.clock + action.seconds)
    return action.do(Here(order, later, place, event.action, event.what))


def _action(
    id: str, seconds: int, choices: Callable[[Order], tuple[str, ...]] | None = None, *, free: bool = False
) -> Callable[[Callable[[Here], Done]], Callable[[Here], Done]]:
    def enter(do: Callable[[Here], Done]) -> Callable[[Here], Done]:
        ACTIONS[id] = Action(id, seconds, choices, do, free)
        return do

    return enter


def _moved(state: State, before: State) -> State:
    """Return the state with its change of load noted: the display has to follow it."""
    change = state.load - before.load + before.left_to_come()
    return replace(state, moved=change, moved_at=state.clock)


def _balances(order: Order) -> tuple[str, ...]:
    return tuple(balance.name for balance in order.balances)


def _jars(order: Order) -> tuple[str, ...]:
    return tuple(jar.letter for jar in order.shelf)


# Setting up ----------------------------------------------------------------------------------------------------------


@_action("use balance", 20, _balances)
def _use_balance(here: Here) -> Done:
    if here.state.vessel or here.state.spilled:
        raise here.refusal("something lies on the pan.", "Take the vessel off and wipe down first.")
    fresh = replace(here.state, balance=here.what, on_since=None, offset=0, moved=0, shield_open=False)
    return replace(fresh, feet=feet_at_first(here.order, here.what)), f"You stand at {here.what}. It is off."


@_action("switch on", 5)
def _switch_on(here: Here) -> Done:
    if not here.state.balance:
        raise here.refusal("no balance is chosen.", "Choose a balance first.")
    if here.state.on_since is not None:
        raise here.refusal("the balance is on already.", "Go on.")
    return replace(here.state, on_since=here.state.clock), "The display lights up. The balance is cold."


@_action("wait half an hour", WARM_AFTER)
def _warm_up(here: Here) -> Done:
    on = here.state.on_since is not None
    return here.state, "Half an hour has passed." + (" The balance is warm." if on else " The balance is still off.")


@_action("turn", 5, lambda order: TURNS)
def _turn(here: Here) -> Done:
    if not here.state.balance:
        raise here.refusal("no balance is chosen.", "Choose a balance first.")
    feet, by = list(here.state.feet), 1 if here.what.endswith("up") else -1
    which = 0 if here.what.startswith("left") else 1
    feet[which] += by
    if abs(feet[which]) > LAST_TURN:
        raise here.refusal(f"{here.what}: the foot is at its end.", "Turn it the other way.")
    state = replace(here.state, feet=(feet[0], feet[1]))
    return state, f"One quarter turn. {bubble_words(state)}"


def bubble_words(state: State) -> str:
    """Say where the bubble stands.

    >>> bubble_words(State(feet=(1, -2)))
    'The bubble is outside its ring: 3 to the left, 1 to the front.'
    """
    right, back = state.bubble
    parts = []
    if right:
        parts.append(f"{abs(right)} to the {'right' if right > 0 else 'left'}")
    if back:
        parts.append(f"{abs(back)} to the {'back' if back > 0 else 'front'}")
    return f"The bubble is outside its ring: {', '.join(parts)}." if parts else "The bubble is in its ring."


@_action("open shield", 3)
def _open_shield(here: Here) -> Done:
    if not here.state.balance:
        raise here.refusal("no balance is chosen.", "Choose a balance first.")
    return replace(here.state, shield_open=True), "The draught shield is open."


@_action("close shield", 3)
def _close_shield(here: Here) -> Done:
    return replace(here.state, shield_open=False), "The draught shield is closed."


@_action("wait", 6)
def _wait(here: Here) -> Done:
    return here.state, "You wait a few seconds and keep your hands off the bench."


def _felt_now(here: Here) -> int:
    instrument = instrument_of(here.order, here.state)
    if instrument is None or here.state.on_since is None:
        raise here.refusal("the display is dark.", "Choose a balance and switch it on.")
    return felt(here.order, here.state, instrument, here.place)


@_action("zero", 2)
def _zero(here: Here) -> Done:
    now, instrument = _felt_now(here), instrument_of(here.order, here.state)
    assert instrument is not None
    if here.state.vessel or abs(here.state.spilled) > ZERO_WITHIN * instrument.step:
        raise here.refusal("something lies on the pan.", "Zero an empty pan. With a vessel on it, press tare.")
    return replace(here.state, offset=now), "Zero is set."


# The vessel ----------------------------------------------------------------------------------------------------------


@_action("put on", 5, lambda order: tuple(vessel.name for vessel in VESSELS))
def _put_on(here: Here) -> Done:
    _reach_the_pan(here)
    if here.state.vessel:
        raise here.refusal(f"the {here.state.vessel} is on the pan.", "Take it off first.")
    if here.state.set_down not in ("", here.what):
        raise here.refusal(
            f"your powder stands beside the balance in the {here.state.set_down}.",
            f"Put the {here.state.set_down} on again, or start again.",
        )
    state = replace(here.state, vessel=here.what, set_down="")
    return _moved(state, here.state), f"The {here.what} stands on the pan."


@_action("take off", 5)
def _take_off(here: Here) -> Done:
    _reach_the_pan(here)
    if not here.state.vessel:
        raise here.refusal("the pan is empty.", "Nothing to do.")
    state = replace(here.state, vessel="", set_down=here.state.vessel if here.state.net else "")
    powder = " with its powder" if here.state.net else ""
    return _moved(state, here.state), f"You set the {here.state.vessel}{powder} beside the balance."


@_action("tare", 2)
def _tare(here: Here) -> Done:
    return replace(here.state, offset=_felt_now(here)), "Tare: the display begins at zero again."


def _reach_the_pan(here: Here) -> None:
    if not here.state.balance:
        raise here.refusal("no balance is chosen.", "Choose a balance first.")
    if not here.state.shield_open:
        raise here.refusal("the draught shield is closed.", "Open it first.")


# The jar -------------------------------------------------------------------------------------------------------------


@_action("take jar", 10, _jars)
def _take_jar(here: Here) -> Done:
    if here.state.jar:
        raise here.refusal(f"jar {here.state.jar} stands on the bench.", "One jar at a time: put it back first.")
    return replace(here.state, jar=here.what), f"Jar {here.what} stands on the bench, closed."


@_action("read label", 5)
def _read_label(here: Here) -> Done:
    if not here.state.jar:
        raise here.refusal("no jar stands on the bench.", "Take one from the shelf.")
    return here.state, f"The label reads: {here.order.jar(here.state.jar).label()}."


@_action("open jar", 3)
def _open_jar(here: Here) -> Done:
    if not here.state.jar:
        raise here.refusal("no jar stands on the bench.", "Take one from the shelf.")
    return replace(here.state, jar_open=True), f"Jar {here.state.jar} is open."


@_action("close jar", 3)
def _close_jar(here: Here) -> Done:
    return replace(here.state, jar_open=False), "The jar is closed." if here.state.jar else "There is no jar to close."


@_action("put jar back", 8)
def _put_back(here: Here) -> Done:
    if not here.state.jar:
        raise here.refusal("no jar stands on the bench.", "Nothing to do.")
    if here.state.jar_open:
        raise here.refusal("the jar is open.", "Close it first.")
    return replace(here.state, jar=""), f"Jar {here.state.jar} is back on the shelf."


# The powder ----------------------------------------------------------------------------------------------------------


@_action("add", 6, lambda order: tuple(AMOUNTS))
def _add(here: Here) -> Done:
    _hands_on_the_powder(here)
    if not here.state.jar_open:
        raise here.refusal("no jar is open.", "Take a jar, read its label, and open it.")
    amount = _about(here, AMOUNTS[here.what])
    room = vessel_called(here.state.vessel).holds - here.state.net
    into, beside = min(amount, max(room, 0)), max(amount - max(room, 0), 0)
    powder = dict(here.state.powder)
    powder[here.state.jar] = powder.get(here.state.jar, 0) + into
    state = replace(here.state, powder=tuple(sorted(powder.items())), spilled=here.state.spilled + beside, used=True)
    said = f"A {here.what} of powder goes in." + (" The vessel is full: powder falls beside it." if beside else "")
    return _moved(state, here.state), said


@_action("take out", 6, lambda order: tuple(AMOUNTS))
def _take_out(here: Here) -> Done:
    _hands_on_the_powder(here)
    if not here.state.net:
        raise here.refusal("there is no powder in the vessel.", "Nothing to do.")
    amount = min(_about(here, AMOUNTS[here.what]), here.state.net)
    left, powder = here.state.net - amount, dict(here.state.powder)
    shared = {letter: held * left // here.state.net for letter, held in powder.items()}
    most = max(shared, key=lambda letter: shared[letter])
    shared[most] += left - sum(shared.values())
    state = replace(here.state, powder=tuple(sorted(shared.items())), out=amount, used=True)
    return _moved(state, here.state), "Some powder is on the spatula again. Where does it go?"


def _hands_on_the_powder(here: Here) -> None:
    _reach_the_pan(here)
    if not here.state.vessel:
        raise here.refusal("there is no vessel on the pan.", "Put a vessel on first.")
    _free_spatula(here)


def _free_spatula(here: Here) -> None:
    if here.state.out:
        raise here.refusal("there is powder on the spatula.", "Say where it goes: discard it, or return it to the jar.")


def _about(here: Here, amount: int) -> int:
    return amount * here.chance("powder").between(70, 130) // 100


@_action("excess", 4, lambda order: EXCESS)
def _excess(here: Here) -> Done:
    if not here.state.out:
        raise here.refusal("there is no powder on the spatula.", "Nothing to do.")
    if here.what == "return" and not here.state.jar_open:
        raise here.refusal("no jar is open.", "Open the jar, or discard the powder.")
    where = "in the waste" if here.what == "discard" else f"back in jar {here.state.jar}"
    return replace(here.state, out=0), f"The powder is {where}."


# Reading, record, end ------------------------------------------------------------------------------------------------


@_action("read", 3)
def _read(here: Here) -> Done:
    now = display(here.order, here.state, here.place)
    if now.shown is None:
        raise here.refusal("the display shows no number.", "Switch the balance on; keep within its capacity.")
    said = f"You read {now.text} and write it down." + ("" if now.steady else " The display had not come to rest.")
    return replace(here.state, readings=(*here.state.readings, now.shown)), said


@_action("write", 30, free=True)
def _write(here: Here) -> Done:
    written = dict(here.state.written)
    for line in here.what.splitlines():
        label, equals, value = line.partition("=")
        name = " ".join(label.casefold().split())
        if not line.strip():
            continue
        if not equals or name not in FIELDS:
            raise here.refusal(
                f'the line "{" ".join(line.split())[:40]}" was not understood.',
                f"The lines are: {', '.join(f'{field} =' for field in FIELDS)}.",
            )
        written[name] = " ".join(value.split())
    return replace(here.state, written=tuple(sorted(written.items()))), "The record is written."


@_action("wipe", 20)
def _wipe(here: Here) -> Done:
    _reach_the_pan(here)
    if here.state.vessel:
        raise here.refusal("the vessel stands on the pan.", "Take it off first.")
    _free_spatula(here)
    state = replace(here.state, spilled=0, used=False)
    return _moved(state, here.state), "Pan, spatula and bench are wiped."


@_action("second check", 60)
def _second_check(here: Here) -> Done:
    if not here.state.readings:
        raise here.refusal("there is no reading to be checked.", "Weigh and read first.")
    written = ", ".join(f"{name} {value}" for name, value in here.state.written if value) or "nothing yet"
    said = (
        "A simulated colleague looks at label, calculation and record, and says what stands there, not whether it is "
        f"right: {written}. At the real bench a second person must verify product, calculation and weight."
    )
    return replace(here.state, checked=True), said


@_action("sign", 5, free=True)
def _sign(here: Here) -> Done:
    initials = "".join(here.what.split())
    if not 1 <= len(initials) <= 6 or not initials.isalpha():
        raise here.refusal(f'"{here.what[:20]}" are no initials.', "Write one to six letters, for example MK.")
    return replace(here.state, signed=initials.upper()), f"Signed {initials.upper()}. The record is closed."


@_action("stop and ask", 60, lambda order: REASONS)
def _stop(here: Here) -> Done:
    return replace(here.state, stopped=here.what), f"You stop, and ask. Your reason: {here.what}."


@_action("start again", 60)
def _start_again(here: Here) -> Done:
    return State(clock=here.state.clock), "You clear the bench and begin again. The record keeps what went before."
