"""One volume in cylinders of different size: what it may really be, and which of them may measure it.

Whether a cylinder may is asked of :func:`pharmcalc.volumes.choose_vessel`, with the allowed error of the house rules.
"""

from fractions import Fraction
from typing import TYPE_CHECKING

from pharmcalc.choosing import Choice as Chosen
from pharmcalc.choosing import Verdict
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import PERCENT, VOLUME
from pharmcalc.language import say
from pharmcalc.tasks.house import read_house_rules
from pharmcalc.units import Quantity, quantity, quotient, rounded_text
from pharmcalc.volumes import Vessel, choose_vessel, smallest_volume_in_cylinder, vessels
from pharmcalc.widgets.drawing import LEFT, RIGHT, WIDTH, Drawing
from pharmcalc.widgets.explorers.frame import Picture, figure, still
from pharmcalc.widgets.markup import Shown, heading, note, table

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["measuring_vessels", "measuring_vessels_figure"]

STANDARD = "ASTM E1272"
CLASSES = ("A", "B")
SHELF = ("5 mL", "10 mL", "25 mL", "50 mL", "100 mL", "250 mL")
TALL, FOOT, WIDE = 130, 168, 56  # the cylinders: how tall each is drawn, where it stands, how wide it is
FIRST = LEFT + 52  # where the first of their columns begins; the volumes of the scale stand to its left
TRUE, HALF, SPAN = 300, 64, 4  # the true volumes: where the mark is, and to each side four times the allowed error
STEP = Fraction(1, 2)
OVER = "above-capacity"


def measuring_vessels_figure(*, volume: str = "6 mL", accuracy_class: str = "A") -> Shown:
    """Return one volume in six cylinders, with the band of its true volumes, drawn and as a table.

    volume: above zero, up to 250 mL. accuracy_class: "A" or "B". RefusedError says what to write.
    """
    if accuracy_class not in CLASSES:
        raise RefusedError("measuring_vessels: class", f'there is no class "{accuracy_class}".', 'Write "A" or "B".')
    return still(_draw(_volume(volume), accuracy_class))


def measuring_vessels(volume: str = "6 mL") -> "Explorer":
    """Return the picture of :func:`measuring_vessels_figure` with a slider for the volume and a list of classes."""
    from pharmcalc.widgets.controls import Choice, Dial, Explorer  # here: the still picture works without ipywidgets

    start = _volume(volume).to("millilitre").magnitude
    dials = (
        Dial("Volume, in mL", STEP, max(Fraction(100), start), STEP, start),
        Choice("Accuracy class", tuple(say("class {one}", one=one) for one in CLASSES)),
    )
    title = heading(say("One volume, six cylinders"))
    return Explorer(title, dials, lambda now, place: _draw(quantity(now, "millilitre"), CLASSES[place]))


def _volume(text: str) -> Quantity:
    volume = VOLUME.check("measuring_vessels: volume", text)
    if volume > quantity(250, "millilitre"):
        raise RefusedError("measuring_vessels: volume", f"{VOLUME.show(volume)} fits into none of them.", "Write less.")
    return volume


def _shelf(accuracy_class: str) -> list[Vessel]:
    sizes = [VOLUME.check("shelf", text) for text in SHELF]
    return [
        one
        for one in vessels(kind="cylinder", standard=STANDARD, accuracy_class=accuracy_class)
        if one.capacity in sizes
    ]


def _against(verdict: Verdict[Vessel], allowed: Quantity) -> list[str]:
    """Return what speaks against a cylinder, each in few words."""
    short = {
        OVER: say("too full"),
        "between-marks": say("between marks"),
        "below-share": say("below a fifth"),
        "limit-above-allowed-error": say("above {allowed}", allowed=PERCENT.show(allowed)),
    }
    ids = [reason.id for reason in verdict.reasons]
    return [short[OVER]] if OVER in ids else [short[one] for one in ids]


def _low_and_high(vessel: Vessel, volume: Quantity) -> tuple[Quantity, Quantity]:
    """Return the least and the most that there may really be when this volume is read."""
    off = vessel.limit_at(volume)
    return max(volume - off, quantity(0, "millilitre")), volume + off


def _true(vessel: Vessel, volume: Quantity) -> str:
    return say(" to ").join(VOLUME.show(end) for end in _low_and_high(vessel, volume))


def _words(volume: Quantity, accuracy_class: str, choice: Chosen[Vessel], allowed: Quantity) -> str:
    """Say which cylinder is best and how far off the largest is; then every test, and which cylinder fails which."""
    holding = [one for one in choice.verdicts if volume <= one.candidate.capacity]

    def in_it(vessel: Vessel) -> str:
        return say(
            "it is anything from {vessel}, up to {volume} off",
            vessel=_true(vessel, volume),
            volume=PERCENT.show(vessel.error_at(volume)),
        )

    said = say("{volume}, class {accuracy_class}: ", volume=VOLUME.show(volume), accuracy_class=accuracy_class)
    if choice.best:
        said += say(
            "best in the {capacity} cylinder. There {best}.",
            capacity=VOLUME.show(choice.best.capacity),
            best=in_it(choice.best),
        )
    elif any(reason.id != "between-marks" for reason in holding[0].reasons):
        said += say("no cylinder of this shelf may measure so little; take a pipette.")
    else:
        said += say("no cylinder of this shelf has a mark for it.")
    largest = holding[-1].candidate
    if largest is not choice.best:
        said += say(
            " In the {capacity} cylinder {largest}.", capacity=VOLUME.show(largest.capacity), largest=in_it(largest)
        )
    failing: dict[str, list[str]] = {}
    for one in holding:
        if not one.allowed:
            failing.setdefault(", ".join(_against(one, allowed)), []).append(VOLUME.show(one.candidate.capacity))
    fails = "; ".join(f"{', '.join(sizes)} ({why})" for why, sizes in failing.items())
    rules = say(
        "A cylinder may measure it when all of this holds: the volume lies on a mark, is at least a fifth of the "
        "capacity (common practice), and is not more than {allowed} off (the allowed error).",
        allowed=PERCENT.show(allowed),
    )
    return f"{said} {rules} {say('Not so: {fails}.', fails=fails) if fails else ''}".rstrip()


def _draw(volume: Quantity, accuracy_class: str) -> Picture:
    allowed = read_house_rules().allowed_error
    choice = choose_vessel(volume=volume, vessels=_shelf(accuracy_class), allowed_error=allowed)
    drawing = Drawing(WIDTH, TRUE + HALF + 74)
    drawing.words(say("dashed: a fifth of the capacity"), FIRST, 18, "soft")
    _draw_scale(drawing, volume, allowed)
    for place, verdict in enumerate(choice.verdicts):
        middle = FIRST + (place + 0.5) * (RIGHT - FIRST) / len(choice.verdicts)
        _draw_cylinder(drawing, verdict.candidate, volume, middle, verdict.candidate is choice.best)
        if volume <= verdict.candidate.capacity:
            _draw_band(drawing, verdict.candidate, volume, middle, allowed)
        said = _against(verdict, allowed) or [say("best") if verdict.candidate is choice.best else say("possible")]
        for line, text in enumerate(said):
            drawing.words(text, middle, TRUE + HALF + 42 + 18 * line, "soft", "middle")
    words = _words(volume, accuracy_class, choice, allowed)
    svg = drawing.svg(say("{volume} in cylinders of different size", volume=VOLUME.show(volume)), words)
    return figure(svg), note(words), _table(volume, accuracy_class, choice, allowed)


def _table(volume: Quantity, accuracy_class: str, choice: Chosen[Vessel], allowed: Quantity) -> Shown:
    rows = []
    for verdict in choice.verdicts:
        one, fits = verdict.candidate, volume <= verdict.candidate.capacity
        against = ", ".join(_against(verdict, allowed))
        rows.append(
            (
                VOLUME.show(one.capacity),
                VOLUME.show(one.limit_at(volume)),
                _true(one, volume) if fits else "",
                PERCENT.show(one.error_at(volume)) if fits else "",
                VOLUME.show(smallest_volume_in_cylinder(capacity=one.capacity)),
                say("no: {against}", against=against) if against else say("can be measured"),
            )
        )
    head = (
        say("Cylinder"),
        say("May be off by"),
        say("True volume"),
        say("Of this volume"),
        say("A fifth of it"),
        say("So"),
    )
    return table(
        say(
            "{standard}, class {accuracy_class}; allowed error {allowed}",
            standard=STANDARD,
            accuracy_class=accuracy_class,
            allowed=PERCENT.show(allowed),
        ),
        head,
        rows,
    )


def _draw_cylinder(drawing: Drawing, vessel: Vessel, volume: Quantity, middle: float, best: bool) -> None:
    top, left = FOOT - TALL, middle - WIDE / 2
    level = FOOT - min(float(quotient(volume, vessel.capacity)), 1.0) * TALL
    drawing.box("diluent", left, level, WIDE, FOOT - level)
    fifth = FOOT - float(quotient(smallest_volume_in_cylinder(capacity=vessel.capacity), vessel.capacity)) * TALL
    drawing.line("limit", left, fifth, left + WIDE, fifth)
    drawing.outline("mark" if best else "axis", ((left, top), (left, FOOT), (left + WIDE, FOOT), (left + WIDE, top)))
    drawing.words(VOLUME.show(vessel.capacity), middle, FOOT + 20, "heading" if best else "", "middle")


def _draw_scale(drawing: Drawing, volume: Quantity, allowed: Quantity) -> None:
    """Draw the mark across all columns, and how far off the allowed error lets a volume be."""
    said = say(
        "What the {volume} may really be; dashed: {allowed} off",
        volume=VOLUME.show(volume),
        allowed=PERCENT.show(allowed),
    )
    drawing.words(said, FIRST, TRUE - HALF - 18, "soft")
    off = volume * allowed.to_base_units().magnitude
    for kind, at, y in (
        ("limit", volume + off, TRUE - HALF / SPAN),
        ("axis", volume, TRUE),
        ("limit", volume - off, TRUE + HALF / SPAN),
    ):
        drawing.line(kind, FIRST, y, RIGHT, y)
        drawing.words(
            say("{magnitude} mL", magnitude=rounded_text(at.to("millilitre").magnitude, 4)),
            FIRST - 8,
            y + 5,
            "soft",
            "end",
        )


def _draw_band(drawing: Drawing, vessel: Vessel, volume: Quantity, middle: float, allowed: Quantity) -> None:
    """Draw what there may really be, to the scale of the dashed lines; open where it reaches beyond the picture."""
    left, right = middle - WIDE / 2, middle + WIDE / 2
    error = vessel.error_at(volume)
    reach = float(quotient(error, allowed)) * HALF / SPAN
    high, low = TRUE - min(reach, HALF), TRUE + min(reach, HALF)
    drawing.stripes("stripes", left, high, WIDE, low - high)
    if reach <= HALF:
        drawing.box("band", left, high, WIDE, low - high)
    else:
        for side in (left, right):
            drawing.line("band", side, high, side, low)
    drawing.words(f"{rounded_text(error.to('percent').magnitude, 3)} %", middle, TRUE + HALF + 22, "", "middle")
