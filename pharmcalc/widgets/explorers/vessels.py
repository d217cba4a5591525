"""One volume in cylinders of different size: how far off it may be, and how much of the volume that is."""

from fractions import Fraction
from typing import TYPE_CHECKING

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import PERCENT, VOLUME
from pharmcalc.units import Quantity, quantity, rounded_text
from pharmcalc.volumes import Vessel, smallest_volume_in_cylinder, vessels
from pharmcalc.widgets.drawing import LEFT, RIGHT, WIDTH, Drawing
from pharmcalc.widgets.explorers.frame import Picture, figure, still
from pharmcalc.widgets.markup import Shown, heading, note, table

if TYPE_CHECKING:
    from pharmcalc.widgets.controls import Explorer

__all__ = ["measuring_vessels", "measuring_vessels_figure"]

STANDARD = "ASTM E1272"
CLASSES = ("A", "B")
SHELF = ("5 mL", "10 mL", "25 mL", "50 mL", "100 mL", "250 mL")
TALL, FOOT, WIDE = 130, 178, 56
STEP = Fraction(1, 2)
OVER, SMALL, RIGHT_SIZE = "too full", "below a fifth of it", "can be measured"


def measuring_vessels_figure(*, volume: str = "6 mL", accuracy_class: str = "A") -> Shown:
    """Return one volume in six cylinders, drawn and as a table.

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
        Choice("Accuracy class", tuple(f"class {one}" for one in CLASSES)),
    )
    title = heading("One volume, six cylinders")
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


def _standing(vessel: Vessel, volume: Quantity) -> str:
    """Say whether a volume may be measured in a cylinder."""
    if volume > vessel.capacity:
        return OVER
    return SMALL if volume < smallest_volume_in_cylinder(capacity=vessel.capacity) else RIGHT_SIZE


def _percent(vessel: Vessel, volume: Quantity) -> Fraction:
    return vessel.error_at(volume).to("percent").magnitude


def _draw(volume: Quantity, accuracy_class: str) -> Picture:
    shelf = _shelf(accuracy_class)
    fit = [one for one in shelf if _standing(one, volume) == RIGHT_SIZE]
    best = min(fit, key=lambda one: one.error_at(volume).to_base_units().magnitude) if fit else None
    drawing = Drawing(WIDTH, 262)
    for place, vessel in enumerate(shelf):
        _draw_cylinder(drawing, vessel, volume, LEFT + 46 + place * (RIGHT - LEFT) / len(shelf), vessel is best)
    largest = next(one for one in reversed(shelf) if volume <= one.capacity)
    words = f"{VOLUME.show(volume)}, class {accuracy_class}: " + (
        f"best in the {VOLUME.show(best.capacity)} cylinder, which may be off by {PERCENT.show(best.error_at(volume))} "
        f"of it. In the {VOLUME.show(largest.capacity)} cylinder it would be {PERCENT.show(largest.error_at(volume))}."
        if best
        else "no cylinder of this shelf measures it within a fifth of its capacity; take a pipette."
    )
    rows = [
        (
            VOLUME.show(one.capacity),
            VOLUME.show(one.limit),
            "" if volume > one.capacity else PERCENT.show(one.error_at(volume)),
            _standing(one, volume),
        )
        for one in shelf
    ]
    head = ("Cylinder", "May be off by", "Of this volume", "So")
    svg = drawing.svg(f"{VOLUME.show(volume)} in cylinders of different size", words)
    return figure(svg), note(words), table(f"{STANDARD}, class {accuracy_class}", head, rows)


def _draw_cylinder(drawing: Drawing, vessel: Vessel, volume: Quantity, middle: float, best: bool) -> None:
    top, left = FOOT - TALL, middle - WIDE / 2
    share = float((volume / vessel.capacity).to_base_units().magnitude)
    level = FOOT - min(share, 1.0) * TALL
    drawing.box("diluent", left, level, WIDE, FOOT - level)
    fifth = FOOT - TALL / 5
    drawing.line("limit", left, fifth, left + WIDE, fifth)
    drawing.outline("mark" if best else "axis", ((left, top), (left, FOOT), (left + WIDE, FOOT), (left + WIDE, top)))
    drawing.words(VOLUME.show(vessel.capacity), middle, FOOT + 20, "heading" if best else "", "middle")
    if share <= 1:
        drawing.words(f"{rounded_text(_percent(vessel, volume), 2)} %", middle, FOOT + 40, "", "middle")
    standing = {OVER: "too full", SMALL: "too large", RIGHT_SIZE: "best" if best else "possible"}
    drawing.words(standing[_standing(vessel, volume)], middle, FOOT + 60, "soft", "middle")
    if vessel.capacity == quantity(5, "millilitre"):
        drawing.words("dashed: a fifth of the capacity", LEFT, 20, "soft")
