"""What can be done at the bench. Each action takes its time and leads from one state to the next, or is refused.

What is unwise is allowed, and has its consequence; what cannot be done is refused with the reason and the cure.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from pharmcalc.bench.instrument import WARM_AFTER
from pharmcalc.bench.state import State, display, feet_at_first, felt, instrument_of
from pharmcalc.bench.things import EXCESS, VESSELS, Order, vessel_called
from pharmcalc.errors import RefusedError
from pharmcalc.language import in_every_language, later, say
from pharmcalc.tasks.dice import Dice

__all__ = ["ACTIONS", "AMOUNTS", "FIELDS", "REASONS", "TURNS", "Action", "Event", "follow"]

TURNS = (later("left foot up"), later("left foot down"), later("right foot up"), later("right foot down"))
LAST_TURN = 6
AMOUNTS = {later("large scoop"): 400_000, later("small scoop"): 60_000, later("tap"): 6_000, later("light tap"): 2_000}
"""What a spatula brings, about, in micrograms; each time it is more or less than that."""
REASONS = (later("hazardous drug"), later("no balance can weigh it"), later("no jar is right"))
FIELDS = (later("lot"), later("expiry"), later("allowed from"), later("allowed to"), later("reading"))
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
        raise RefusedError(
            "bench",
            say('there is no action "{action}".', action=event.action[:40]),
            say("There are: {actions}.", actions=", ".join(map(say, ACTIONS))),
        )
    if state.ended and event.action != "start again":
        raise RefusedError(event.action, say("the work is closed."), say('To do it once more, choose "start again".'))
    if action.free:
        if len(event.what) > LONGEST_TEXT:
            raise RefusedError(
                event.action,
                say("the text is too long."),
                say("Keep to {longest_text} characters.", longest_text=LONGEST_TEXT),
            )
    else:
        choices = action.choices(order) if action.choices else ("",)
        if event.what not in choices:
            raise RefusedError(
                event.action,
                say('"{what}" is not there.', what=event.what[:40]),
                say("Choose from: {choices}.", choices=", ".join(map(say, choices)) or say("nothing")),
            )
    then = replace(state, clock=state.clock + action.seconds)
    return action.do(Here(order, then, place, event.action, event.what))


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
        raise here.refusal(say("something lies on the pan."), say("Take the vessel off and wipe down first."))
    fresh = replace(here.state, balance=here.what, on_since=None, offset=0, moved=0, shield_open=False)
    return replace(fresh, feet=feet_at_first(here.order, here.what)), say(
        "You stand at {what}. It is off.", what=here.what
    )


@_action("switch on", 5)
def _switch_on(here: Here) -> Done:
    if not here.state.balance:
        raise here.refusal(say("no balance is chosen."), say("Choose a balance first."))
    if here.state.on_since is not None:
        raise here.refusal(say("the balance is on already."), say("Go on."))
    return replace(here.state, on_since=here.state.clock), say("The display lights up. The balance is cold.")


@_action("wait half an hour", WARM_AFTER)
def _warm_up(here: Here) -> Done:
    on = here.state.on_since is not None
    return here.state, say("Half an hour has passed.") + (
        say(" The balance is warm.") if on else say(" The balance is still off.")
    )


@_action("turn", 5, lambda order: TURNS)
def _turn(here: Here) -> Done:
    if not here.state.balance:
        raise here.refusal(say("no balance is chosen."), say("Choose a balance first."))
    feet, by = list(here.state.feet), 1 if here.what.endswith("up") else -1
    which = 0 if here.what.startswith("left") else 1
    feet[which] += by
    if abs(feet[which]) > LAST_TURN:
        raise here.refusal(say("{what}: the foot is at its end.", what=say(here.what)), say("Turn it the other way."))
    state = replace(here.state, feet=(feet[0], feet[1]))
    return state, say("One quarter turn. {state}", state=bubble_words(state))


def bubble_words(state: State) -> str:
    """Say where the bubble stands.

    >>> bubble_words(State(feet=(1, -2)))
    'The bubble is outside its ring: 3 to the left, 1 to the front.'
    """
    right, back = state.bubble
    parts = []
    if right:
        parts.append(say("{turns} to the {side}", turns=abs(right), side=say("right") if right > 0 else say("left")))
    if back:
        parts.append(say("{turns} to the {side}", turns=abs(back), side=say("back") if back > 0 else say("front")))
    return (
        say("The bubble is outside its ring: {parts}.", parts=", ".join(parts))
        if parts
        else say("The bubble is in its ring.")
    )


@_action("open shield", 3)
def _open_shield(here: Here) -> Done:
    if not here.state.balance:
        raise here.refusal(say("no balance is chosen."), say("Choose a balance first."))
    return replace(here.state, shield_open=True), say("The draught shield is open.")


@_action("close shield", 3)
def _close_shield(here: Here) -> Done:
    return replace(here.state, shield_open=False), say("The draught shield is closed.")


@_action("wait", 6)
def _wait(here: Here) -> Done:
    return here.state, say("You wait a few seconds and keep your hands off the bench.")


def _felt_now(here: Here) -> int:
    instrument = instrument_of(here.order, here.state)
    if instrument is None or here.state.on_since is None:
        raise here.refusal(say("the display is dark."), say("Choose a balance and switch it on."))
    return felt(here.order, here.state, instrument, here.place)


@_action("zero", 2)
def _zero(here: Here) -> Done:
    now, instrument = _felt_now(here), instrument_of(here.order, here.state)
    assert instrument is not None
    if here.state.vessel or abs(here.state.spilled) > ZERO_WITHIN * instrument.step:
        raise here.refusal(
            say("something lies on the pan."), say("Zero an empty pan. With a vessel on it, press tare.")
        )
    return replace(here.state, offset=now), say("Zero is set.")


# The vessel ----------------------------------------------------------------------------------------------------------


@_action("put on", 5, lambda order: tuple(vessel.name for vessel in VESSELS))
def _put_on(here: Here) -> Done:
    _reach_the_pan(here)
    if here.state.vessel:
        raise here.refusal(say("the {vessel} is on the pan.", vessel=say(here.state.vessel)), say("Take it off first."))
    if here.state.set_down not in ("", here.what):
        raise here.refusal(
            say("your powder stands beside the balance in the {set_down}.", set_down=say(here.state.set_down)),
            say("Put the {set_down} on again, or start again.", set_down=say(here.state.set_down)),
        )
    state = replace(here.state, vessel=here.what, set_down="")
    return _moved(state, here.state), say("The {what} stands on the pan.", what=say(here.what))


@_action("take off", 5)
def _take_off(here: Here) -> Done:
    _reach_the_pan(here)
    if not here.state.vessel:
        raise here.refusal(say("the pan is empty."), say("Nothing to do."))
    state = replace(here.state, vessel="", set_down=here.state.vessel if here.state.net else "")
    powder = say(" with its powder") if here.state.net else ""
    return _moved(state, here.state), say(
        "You set the {vessel}{powder} beside the balance.", vessel=say(here.state.vessel), powder=powder
    )


@_action("tare", 2)
def _tare(here: Here) -> Done:
    return replace(here.state, offset=_felt_now(here)), say("Tare: the display begins at zero again.")


def _reach_the_pan(here: Here) -> None:
    if not here.state.balance:
        raise here.refusal(say("no balance is chosen."), say("Choose a balance first."))
    if not here.state.shield_open:
        raise here.refusal(say("the draught shield is closed."), say("Open it first."))


# The jar -------------------------------------------------------------------------------------------------------------


@_action("take jar", 10, _jars)
def _take_jar(here: Here) -> Done:
    if here.state.jar:
        raise here.refusal(
            say("jar {jar} stands on the bench.", jar=here.state.jar), say("One jar at a time: put it back first.")
        )
    return replace(here.state, jar=here.what), say("Jar {what} stands on the bench, closed.", what=here.what)


@_action("read label", 5)
def _read_label(here: Here) -> Done:
    if not here.state.jar:
        raise here.refusal(say("no jar stands on the bench."), say("Take one from the shelf."))
    return here.state, say("The label reads: {jar}.", jar=here.order.jar(here.state.jar).label())


@_action("open jar", 3)
def _open_jar(here: Here) -> Done:
    if not here.state.jar:
        raise here.refusal(say("no jar stands on the bench."), say("Take one from the shelf."))
    return replace(here.state, jar_open=True), say("Jar {jar} is open.", jar=here.state.jar)


@_action("close jar", 3)
def _close_jar(here: Here) -> Done:
    return replace(here.state, jar_open=False), say("The jar is closed.") if here.state.jar else say(
        "There is no jar to close."
    )


@_action("put jar back", 8)
def _put_back(here: Here) -> Done:
    if not here.state.jar:
        raise here.refusal(say("no jar stands on the bench."), say("Nothing to do."))
    if here.state.jar_open:
        raise here.refusal(say("the jar is open."), say("Close it first."))
    return replace(here.state, jar=""), say("Jar {jar} is back on the shelf.", jar=here.state.jar)


# The powder ----------------------------------------------------------------------------------------------------------


@_action("add", 6, lambda order: tuple(AMOUNTS))
def _add(here: Here) -> Done:
    _hands_on_the_powder(here)
    if not here.state.jar_open:
        raise here.refusal(say("no jar is open."), say("Take a jar, read its label, and open it."))
    amount = _about(here, AMOUNTS[here.what])
    room = vessel_called(here.state.vessel).holds - here.state.net
    into, beside = min(amount, max(room, 0)), max(amount - max(room, 0), 0)
    powder = dict(here.state.powder)
    powder[here.state.jar] = powder.get(here.state.jar, 0) + into
    state = replace(here.state, powder=tuple(sorted(powder.items())), spilled=here.state.spilled + beside, used=True)
    said = say("A {what} of powder goes in.", what=say(here.what)) + (
        say(" The vessel is full: powder falls beside it.") if beside else ""
    )
    return _moved(state, here.state), said


@_action("take out", 6, lambda order: tuple(AMOUNTS))
def _take_out(here: Here) -> Done:
    _hands_on_the_powder(here)
    if not here.state.net:
        raise here.refusal(say("there is no powder in the vessel."), say("Nothing to do."))
    amount = min(_about(here, AMOUNTS[here.what]), here.state.net)
    left, powder = here.state.net - amount, dict(here.state.powder)
    shared = {letter: held * left // here.state.net for letter, held in powder.items()}
    most = max(shared, key=lambda letter: shared[letter])
    shared[most] += left - sum(shared.values())
    state = replace(here.state, powder=tuple(sorted(shared.items())), out=amount, used=True)
    return _moved(state, here.state), say("Some powder is on the spatula again. Where does it go?")


def _hands_on_the_powder(here: Here) -> None:
    _reach_the_pan(here)
    if not here.state.vessel:
        raise here.refusal(say("there is no vessel on the pan."), say("Put a vessel on first."))
    _free_spatula(here)


def _free_spatula(here: Here) -> None:
    if here.state.out:
        raise here.refusal(
            say("there is powder on the spatula."), say("Say where it goes: discard it, or return it to the jar.")
        )


def _about(here: Here, amount: int) -> int:
    return amount * here.chance("powder").between(70, 130) // 100


@_action("excess", 4, lambda order: EXCESS)
def _excess(here: Here) -> Done:
    if not here.state.out:
        raise here.refusal(say("there is no powder on the spatula."), say("Nothing to do."))
    if here.what == "return" and not here.state.jar_open:
        raise here.refusal(say("no jar is open."), say("Open the jar, or discard the powder."))
    where = say("in the waste") if here.what == "discard" else say("back in jar {jar}", jar=here.state.jar)
    return replace(here.state, out=0), say("The powder is {where}.", where=where)


# Reading, record, end ------------------------------------------------------------------------------------------------


@_action("read", 3)
def _read(here: Here) -> Done:
    now = display(here.order, here.state, here.place)
    if now.shown is None:
        raise here.refusal(say("the display shows no number."), say("Switch the balance on; keep within its capacity."))
    said = say("You read {text} and write it down.", text=now.written) + (
        "" if now.steady else say(" The display had not come to rest.")
    )
    return replace(here.state, readings=(*here.state.readings, now.shown)), said


@_action("write", 30, free=True)
def _write(here: Here) -> Done:
    written = dict(here.state.written)
    for line in here.what.splitlines():
        label, equals, value = line.partition("=")
        typed = " ".join(label.casefold().split())
        name = next((field for field in FIELDS if typed in in_every_language(field)), "")
        if not line.strip():
            continue
        if not equals or not name:
            raise here.refusal(
                say('the line "{line}" was not understood.', line=" ".join(line.split())[:40]),
                say("The lines are: {fields}.", fields=", ".join(f"{say(field)} =" for field in FIELDS)),
            )
        written[name] = " ".join(value.split())
    return replace(here.state, written=tuple(sorted(written.items()))), say("The record is written.")


@_action("wipe", 20)
def _wipe(here: Here) -> Done:
    _reach_the_pan(here)
    if here.state.vessel:
        raise here.refusal(say("the vessel stands on the pan."), say("Take it off first."))
    _free_spatula(here)
    state = replace(here.state, spilled=0, used=False)
    return _moved(state, here.state), say("Pan, spatula and bench are wiped.")


@_action("second check", 60)
def _second_check(here: Here) -> Done:
    if not here.state.readings:
        raise here.refusal(say("there is no reading to be checked."), say("Weigh and read first."))
    written = ", ".join(f"{say(name)} {value}" for name, value in here.state.written if value) or say("nothing yet")
    said = say(
        "A simulated colleague looks at label, calculation and record, and says what stands there, not whether it is "
        "right: {written}. At the real bench a second person must verify product, calculation and weight.",
        written=written,
    )
    return replace(here.state, checked=True), said


@_action("sign", 5, free=True)
def _sign(here: Here) -> Done:
    initials = "".join(here.what.split())
    if not 1 <= len(initials) <= 6 or not initials.isalpha():
        raise here.refusal(
            say('"{what}" are no initials.', what=here.what[:20]), say("Write one to six letters, for example MK.")
        )
    return replace(here.state, signed=initials.upper()), say(
        "Signed {initials}. The record is closed.", initials=initials.upper()
    )


@_action("stop and ask", 60, lambda order: REASONS)
def _stop(here: Here) -> Done:
    return replace(here.state, stopped=here.what), say("You stop, and ask. Your reason: {what}.", what=say(here.what))


@_action("start again", 60)
def _start_again(here: Here) -> Done:
    return State(clock=here.state.clock), say("You clear the bench and begin again. The record keeps what went before.")
