"""The bench as a picture: jar, balance with its bubble, vessel and powder, and the same in words."""

from pharmcalc.bench import Display, Order, State
from pharmcalc.bench.actions import bubble_words
from pharmcalc.bench.things import micrograms
from pharmcalc.language import say
from pharmcalc.widgets.drawing import WIDTH, Drawing

__all__ = ["bench_svg", "bench_words"]

HEIGHT, TABLE = 260, 232
MIDDLE, PAN = 350, 158  # where the pan is
FURTHEST = 15  # pixels that the bubble can leave the middle of its ring
HIGHEST_HEAP = 46


def bench_words(order: Order, state: State, shown: Display) -> str:
    """Say how the bench stands."""
    if not state.balance:
        return say("You have not gone to a balance yet.")
    parts = [say("You stand at {balance}.", balance=state.balance)]
    parts += (
        [say("It is off.")]
        if state.on_since is None
        else [say("Its display shows {shown}.", shown=display_words(shown))]
    )
    parts += [
        bubble_words(state),
        say("The draught shield is {state}.", state=say("open") if state.shield_open else say("closed")),
    ]
    parts.append(_on_the_pan(state))
    if state.spilled:
        parts.append(say("There is powder on the pan itself."))
    if state.set_down:
        parts.append(say("The {set_down} with your powder stands beside the balance.", set_down=say(state.set_down)))
    if state.jar:
        parts.append(
            say(
                "Jar {jar} stands on the bench, {state}.",
                jar=state.jar,
                state=say("open") if state.jar_open else say("closed"),
            )
        )
    if state.out:
        parts.append(say("There is powder on the spatula."))
    return " ".join(parts)


def display_words(shown: Display) -> str:
    """Say what the display shows, and whether it has come to rest."""
    if shown.shown is None:
        return shown.written or say("nothing")
    return f"{shown.written}, {say('at rest') if shown.steady else say('not at rest')}"


def _on_the_pan(state: State) -> str:
    if not state.vessel:
        return say("The pan is empty.")
    return say(
        "The {vessel} stands on the pan, {state}.",
        vessel=say(state.vessel),
        state=say("with powder in it") if state.net else say("empty"),
    )


def bench_svg(order: Order, state: State, shown: Display) -> str:
    """Draw the bench."""
    drawing = Drawing(WIDTH, HEIGHT)
    drawing.line("axis", 10, TABLE, WIDTH - 10, TABLE)
    _draw_jar(drawing, state)
    if state.balance:
        _draw_balance(drawing, state, shown)
        _draw_shield(drawing, state)
        if state.vessel:
            _draw_vessel(drawing, order, state, MIDDLE, PAN)
        if state.spilled:
            for place in range(5):
                drawing.dot("drug", MIDDLE + 62 + 5 * place, PAN - 2 - place % 2, 2)
    else:
        drawing.words(say("Go to a balance first."), MIDDLE, TABLE - 60, "soft", "middle")
    if state.set_down:
        _draw_vessel(drawing, order, state, 580, TABLE)
        drawing.words(say("set down"), 580, TABLE + 22, "soft", "middle")
    if state.out:
        drawing.line("mark", 500, 96, 600, 70)
        drawing.dot("drug", 500, 92, 8)
        drawing.words(say("powder on the spatula"), 640, 58, "soft", "end")
    return drawing.svg(
        say("The bench: {balance}", balance=state.balance or say("no balance yet")), bench_words(order, state, shown)
    )


def _draw_jar(drawing: Drawing, state: State) -> None:
    if not state.jar:
        drawing.words(say("no jar on the bench"), 90, TABLE + 22, "soft", "middle")
        return
    drawing.box("diluent", 52, TABLE - 88, 76, 88)
    drawing.box("sheet", 58, TABLE - 62, 64, 38)
    drawing.words(state.jar, 90, TABLE - 36, "heading", "middle")
    lid = (132, TABLE - 12) if state.jar_open else (48, TABLE - 102)
    drawing.box("sheet", lid[0], lid[1], 84 if not state.jar_open else 60, 12)
    drawing.words(
        say("jar {jar}, {state}", jar=state.jar, state=say("open") if state.jar_open else say("closed")),
        90,
        TABLE + 22,
        "soft",
        "middle",
    )


def _draw_balance(drawing: Drawing, state: State, shown: Display) -> None:
    drawing.box("sheet", 232, 172, 236, 44)
    for x in (246, 430):
        drawing.box("sheet", x, 216, 24, TABLE - 216)
    drawing.dot("ring", 262, 194, 16)
    across, back = state.bubble
    drawing.dot("bubble", 262 + _kept(across), 194 - _kept(back), 5)
    drawing.box("face", 312, 180, 144, 28)
    drawing.words(shown.written or say("off"), 446, 200, "reading", "end")
    drawing.line("mark", MIDDLE, PAN + 14, MIDDLE, PAN + 4)
    drawing.line("mark", MIDDLE - 56, PAN + 2, MIDDLE + 56, PAN + 2)
    drawing.words(
        say(
            "{balance}, bubble {state} its ring",
            balance=state.balance,
            state=say("in") if not state.tilt else say("outside"),
        ),
        MIDDLE,
        TABLE + 34,
        "soft",
        "middle",
    )


def _kept(turns: int) -> float:
    return max(min(turns * 3.0, FURTHEST), -FURTHEST)


def _draw_shield(drawing: Drawing, state: State) -> None:
    top, foot, left, right = 46, 172, 262, 438
    if state.shield_open:
        drawing.outline("glass", ((right, top), (left, top), (left, foot)))
        drawing.outline("glass", ((right, top), (right + 44, top + 22), (right + 44, foot - 8)))
    else:
        drawing.outline("glass", ((left, top), (right, top), (right, foot), (left, foot)), closed=True)
    drawing.words(
        say("shield {state}", state=say("open") if state.shield_open else say("closed")),
        MIDDLE,
        top - 8,
        "soft",
        "middle",
    )


def _draw_vessel(drawing: Drawing, order: Order, state: State, x: int, foot: int) -> None:
    part = state.net / micrograms(order.target)
    heap = min(part, 1.6) / 1.6 * HIGHEST_HEAP
    if state.net:
        drawing.outline("drug", ((x - 36, foot - 4), (x, foot - 6 - heap), (x + 36, foot - 4)), closed=True)
    drawing.outline("mark", ((x - 48, foot - 14), (x - 38, foot), (x + 38, foot), (x + 48, foot - 14)))
    drawing.words(say(state.vessel or state.set_down), x, foot - 62, "soft", "middle")
