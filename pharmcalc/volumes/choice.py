"""Which vessel may measure a volume, and why the others may not."""

from collections.abc import Iterable

from pharmcalc.choosing import Choice, Reason, Verdict
from pharmcalc.errors import RefusedError
from pharmcalc.kinds import PERCENT, VOLUME
from pharmcalc.language import say
from pharmcalc.units import Quantity, quantity
from pharmcalc.volumes.marks import marks_around, on_a_mark
from pharmcalc.volumes.reading import SMALL_TITRANT, percentage_of_volume_error, reading_error
from pharmcalc.volumes.vessels import SMALLEST_SHARE, Vessel

__all__ = ["PURPOSES", "choose_vessel"]

PURPOSES = ("measure", "make up to")
"""Measure a volume out, or make a preparation up to a volume."""
MISREADING = quantity(1, "millimetre")
"""How far a meniscus is usually taken to be misread (USP <1176>)."""


def choose_vessel(
    *,
    volume: Quantity | str,
    vessels: Iterable[Vessel],
    allowed_error: Quantity | str = "5 %",
    purpose: str = "measure",
) -> Choice[Vessel]:
    """Return the verdict on every vessel: may it measure this volume, and if not, every rule that speaks against it.

    volume: above zero. allowed_error: of this one measuring, above 0 %. purpose: "measure" (out of the vessel) or "make
    up to" (in it). The rules: the volume fits; it lies on the mark or on a graduation; at least 20 % of a cylinder and
    30 % of a burette is used, and a burette of at most 10 mL below 10 mL; the limit of the vessel, and a misreading of
    1 mm where its inner diameter is known, stay within the allowed error; a flask is made up to, other vessels but the
    cylinder measure out. Returns a Choice: ``allowed``, ``refused`` with reasons, ``best`` (the smallest percentage of
    error), ``text()``.
    Raises RefusedError for a bare number, another kind of amount, zero, an unknown purpose, or when there is no vessel.

    >>> from pharmcalc.volumes.vessels import vessel
    >>> shelf = [vessel(kind="cylinder", standard="ASTM E1272", capacity=size) for size in ("10 mL", "100 mL")]
    >>> choice = choose_vessel(volume="8 mL", vessels=shelf)
    >>> [VOLUME.show(one.capacity) for one in choice.allowed]
    ['10 mL']
    >>> for reason in choice.refused[0].reasons:
    ...     print(reason.says)
    8 mL is below 20 mL, the least to measure in it (20 % of its capacity).
    The vessel may be off by 0.5 mL, which is 6.25 % of 8 mL.

    Source: the standards of the vessels; USP <1176> (from memory) and USP 29 <31> for the smallest shares.
    """
    where = "choose_vessel"
    wanted = VOLUME.check(f"{where}: volume", volume)
    allowed = PERCENT.check(f"{where}: allowed_error", allowed_error)
    if allowed.magnitude == 0:
        raise RefusedError(f"{where}: allowed_error", "must be more than 0 %.", 'Write, for example, "5 %".')
    if purpose not in PURPOSES:
        raise RefusedError(f"{where}: purpose", f"{purpose!r} is not known.", f"Write one of {', '.join(PURPOSES)}.")
    shelf = tuple(vessels)
    if not shelf:
        raise RefusedError(f"{where}: vessels", "there is no vessel to choose from.", "Give at least one vessel.")
    return Choice(tuple(_verdict(one, wanted, allowed, purpose) for one in shelf))


def _verdict(vessel: Vessel, wanted: Quantity, allowed: Quantity, purpose: str) -> Verdict[Vessel]:
    reasons = (
        *_against_purpose(vessel, purpose),
        *_against_setting(vessel, wanted),
        *_against_share(vessel, wanted),
        *_against_error(vessel, wanted, allowed),
    )
    return Verdict(vessel, reasons, vessel.error_at(wanted))


def _against_purpose(vessel: Vessel, purpose: str) -> Iterable[Reason]:
    if vessel.kind == "flask" and purpose == "measure":
        yield Reason(
            "flask-contains",
            say("A flask contains its volume; it is for making up to a volume, not for measuring it out."),
        )
    if vessel.kind not in ("flask", "cylinder") and purpose == "make up to":
        yield Reason(
            "delivers-only", say("A {kind} delivers a volume; nothing is made up in it.", kind=say(vessel.kind))
        )


def _against_setting(vessel: Vessel, wanted: Quantity) -> Iterable[Reason]:
    shown = VOLUME.show(wanted)
    if wanted > vessel.capacity:
        yield Reason(
            "above-capacity",
            say("{shown} is above its capacity of {capacity}.", shown=shown, capacity=VOLUME.show(vessel.capacity)),
        )
    elif vessel.one_mark and wanted != vessel.capacity:
        yield Reason(
            "not-the-mark",
            say(
                "It has one mark, at {capacity}, and cannot measure {shown}.",
                capacity=VOLUME.show(vessel.capacity),
                shown=shown,
            ),
        )
    if vessel.graduation is not None and not on_a_mark(volume=wanted, graduation=vessel.graduation):
        below, above = marks_around(volume=wanted, graduation=vessel.graduation)
        yield Reason(
            "between-marks",
            say(
                "{shown} lies between its marks at {below} and {above}.",
                shown=shown,
                below=VOLUME.show(below),
                above=VOLUME.show(above),
            ),
        )


def _against_share(vessel: Vessel, wanted: Quantity) -> Iterable[Reason]:
    if vessel.kind in SMALLEST_SHARE:
        least = SMALLEST_SHARE[vessel.kind](capacity=vessel.capacity)
        if wanted < least:
            share = PERCENT.show((least / vessel.capacity).to("percent"))
            yield Reason(
                "below-share",
                say(
                    "{wanted} is below {least}, the least to measure in it ({share} of its capacity).",
                    wanted=VOLUME.show(wanted),
                    least=VOLUME.show(least),
                    share=share,
                ),
            )
    if vessel.kind == "burette" and wanted < SMALL_TITRANT < vessel.capacity:
        yield Reason(
            "small-volume-large-burette",
            say(
                "For less than {small_titrant} a burette of that size or a micro-burette is asked for.",
                small_titrant=VOLUME.show(SMALL_TITRANT),
            ),
        )


def _against_error(vessel: Vessel, wanted: Quantity, allowed: Quantity) -> Iterable[Reason]:
    shown, error = VOLUME.show(wanted), vessel.error_at(wanted)
    if error > allowed:
        limit = VOLUME.show(vessel.limit_at(wanted))
        yield Reason(
            "limit-above-allowed-error",
            say(
                "The vessel may be off by {limit}, which is {error} of {shown}.",
                limit=limit,
                error=PERCENT.show(error),
                shown=shown,
            ),
        )
    if vessel.inner_diameter is not None:
        slice_misread = reading_error(inner_diameter=vessel.inner_diameter, misreading=MISREADING)
        misread = percentage_of_volume_error(volume_error=slice_misread, volume=wanted)
        if misread > allowed:
            yield Reason(
                "reading-above-allowed-error",
                say(
                    "A meniscus misread by 1 mm is {slice_misread}, {misread} of {shown}.",
                    slice_misread=VOLUME.show(slice_misread),
                    misread=PERCENT.show(misread),
                    shown=shown,
                ),
            )
