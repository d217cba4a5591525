"""Vessels for liquids, and what each may be off by. The limit belongs to a standard and a class: always name both.

Class A is the better one; class B may be off by twice as much. ISO and ASTM do not agree: a 25 mL cylinder of class A
may be off by 0.25 mL in one and by 0.17 mL in the other. Values from memory are marked in their source; read the
standard before quoting them.
"""

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from pharmcalc.errors import RefusedError
from pharmcalc.kinds import LENGTH, VOLUME
from pharmcalc.language import say
from pharmcalc.sources import Source, source
from pharmcalc.units import Quantity, quantity
from pharmcalc.volumes.marks import MeasuringRange
from pharmcalc.volumes.reading import percentage_of_volume_error, smallest_titrant, smallest_volume_in_cylinder

__all__ = ["SMALLEST_SHARE", "STANDARDS", "Syringe", "Vessel", "VesselStandard", "vessel", "vessels"]

ONE_MARK = ("flask", "pipette")
"""Vessels with a single mark: they measure their capacity and nothing else."""
SMALLEST_SHARE = {"cylinder": smallest_volume_in_cylinder, "burette": smallest_titrant}
"""Vessels of which at least a share of the capacity is used."""


@dataclass(frozen=True)
class Vessel:
    """One vessel: what it is, its capacity, and what it may be off by (either way) under a standard and class.

    ``graduation`` is the volume from one mark to the next (None: one mark only, or set by a dial). ``inner_diameter``
    is known only when somebody has measured it. ``accuracy_class`` is empty where the standard has no classes.
    """

    kind: str
    capacity: Quantity
    limit: Quantity
    standard: str
    accuracy_class: str
    source: Source
    graduation: Quantity | None = None
    inner_diameter: Quantity | None = None

    def __post_init__(self) -> None:
        """Check every amount; amounts handed in as text are read once."""
        kinds = {"capacity": VOLUME, "limit": VOLUME, "graduation": VOLUME, "inner_diameter": LENGTH}
        for field, kind in kinds.items():
            value = getattr(self, field)
            if value is not None:
                object.__setattr__(self, field, kind.check(f"{self.kind}: {field}", value))

    @property
    def name(self) -> str:
        """The vessel in words, with its class and standard: ``10 mL cylinder, class A (ASTM E1272)``."""
        named = say(", class {accuracy_class}", accuracy_class=self.accuracy_class) if self.accuracy_class else ""
        return f"{VOLUME.show(self.capacity)} {say(self.kind)}{named} ({self.standard})"

    @property
    def one_mark(self) -> bool:
        """Say whether it measures its capacity and nothing else."""
        return self.kind in ONE_MARK

    @cached_property
    def range(self) -> MeasuringRange | None:
        """What it can really measure; None where it is set by a dial, whose steps no standard states.

        >>> print(vessel(kind="cylinder", standard="ASTM E1272", capacity="10 mL").range)
        every 0.2 mL from 2 mL to 10 mL
        """
        if self.one_mark:
            return MeasuringRange(self.capacity, self.capacity, self.capacity)
        if self.graduation is None:
            return None
        smallest = SMALLEST_SHARE.get(self.kind)
        least = smallest(capacity=self.capacity) if smallest else self.graduation
        return MeasuringRange(least, self.graduation, self.capacity)

    def limit_at(self, volume: Quantity) -> Quantity:
        """Return what it may be off by when this volume is measured: for glassware the same at every mark."""
        return self.limit

    def error_at(self, volume: Quantity | str) -> Quantity:
        """Return what it may be off by as a percentage of the volume measured.

        >>> from pharmcalc.kinds import PERCENT
        >>> PERCENT.show(vessel(kind="cylinder", standard="ASTM E1272", capacity="100 mL").error_at("20 mL"))
        '2.5 %'
        """
        measured = VOLUME.check(f"{self.name}: volume", volume)
        return percentage_of_volume_error(volume_error=self.limit_at(measured), volume=measured)


@dataclass(frozen=True)
class Syringe(Vessel):
    """A hypodermic syringe (ISO 7886-1): its limit depends on the volume, see :func:`syringe_limit`."""

    def limit_at(self, volume: Quantity) -> Quantity:
        """Return what it may be off by when this volume is expelled."""
        return syringe_limit(self.capacity, volume)


def syringe_limit(capacity: Quantity, volume: Quantity) -> Quantity:
    """Return what a hypodermic syringe may be off by at a volume (ISO 7886-1), either way.

    Below half its capacity: 1.5 % of the capacity, and of the volume 2 % (syringes below 5 mL) or 1 %. From half the
    capacity on: 5 % of the volume (syringes below 5 mL) or 4 %.
    """
    small = capacity < quantity(5, "millilitre")
    if volume * 2 < capacity:
        return capacity * Fraction(15, 1000) + volume * Fraction(2 if small else 1, 100)
    return volume * Fraction(5 if small else 4, 100)


@dataclass(frozen=True)
class VesselStandard:
    """One standard for one kind of vessel.

    ``rows`` hold a capacity in mL, the limit of the best class in ± mL, and the graduation in mL ("": one mark, or a
    dial). Where a standard allows several graduations the coarsest is listed; look at your own vessel. Syringes have no
    limit in the row: theirs depends on the volume.
    """

    name: str
    kind: str
    classes: tuple[str, ...]
    rows: tuple[tuple[str, str, str], ...]
    source: Source

    def vessels(self, accuracy_class: str) -> tuple[Vessel, ...]:
        """Return the vessels of this standard in a class; class B may be off by twice as much as class A."""
        if accuracy_class not in (self.classes or ("",)):
            raise RefusedError(
                f"{self.name}: accuracy_class",
                f"{accuracy_class!r} is not a class of this standard.",
                f"Write {' or '.join(repr(name) for name in self.classes)}."
                if self.classes
                else "Leave the class out.",
            )
        return tuple(self._made(accuracy_class, *row) for row in self.rows)

    def _made(self, accuracy_class: str, capacity: str, limit: str, graduation: str) -> Vessel:
        size = quantity(capacity, "millilitre")
        marks = quantity(graduation, "millilitre") if graduation else None
        if self.kind == "syringe":
            return Syringe(self.kind, size, syringe_limit(size, size), self.name, accuracy_class, self.source, marks)
        most = quantity(limit, "millilitre") * (2 if accuracy_class == "B" else 1)
        return Vessel(self.kind, size, most, self.name, accuracy_class, self.source, marks)


_A_AND_B = ("A", "B")

STANDARDS = (
    VesselStandard(
        "ASTM E1272",
        "cylinder",
        _A_AND_B,
        (
            ("5", "0.05", "0.1"),
            ("10", "0.10", "0.2"),
            ("25", "0.17", "0.5"),
            ("50", "0.25", "1"),
            ("100", "0.50", "1"),
            ("250", "1.00", "2"),
            ("500", "2.00", "5"),
            ("1000", "3.00", "10"),  # this limit from memory
        ),
        source("astm-e1272"),
    ),
    VesselStandard(
        "ISO 4788",
        "cylinder",
        _A_AND_B,
        (
            ("5", "0.05", "0.1"),
            ("10", "0.10", "0.2"),
            ("25", "0.25", "0.5"),
            ("50", "0.5", "1"),
            ("100", "0.5", "1"),
            ("250", "1", "2"),
            ("500", "2.5", "5"),
            ("1000", "5", "10"),
        ),
        source("iso-4788"),
    ),
    VesselStandard(
        "ASTM E969",
        "pipette",
        _A_AND_B,
        (
            ("1", "0.006", ""),
            ("5", "0.01", ""),
            ("10", "0.02", ""),
            ("25", "0.03", ""),
            ("50", "0.05", ""),
            ("100", "0.08", ""),
        ),
        source("astm-e969"),
    ),
    VesselStandard(
        "ISO 648",
        "pipette",
        _A_AND_B,
        (  # remembered: class B of 1 mL and 100 mL is rounded to 0.015 and 0.15, a little below twice class A
            ("1", "0.008", ""),
            ("5", "0.015", ""),
            ("10", "0.02", ""),
            ("25", "0.03", ""),
            ("50", "0.05", ""),
            ("100", "0.08", ""),
        ),
        source("iso-648"),
    ),
    VesselStandard(
        "USP <31>",
        "measuring pipette",
        (),
        (("2", "0.010", "0.1"), ("5", "0.020", "0.1"), ("10", "0.030", "0.1")),  # graduations: common practice
        source("usp-31"),
    ),
    VesselStandard(
        "USP <31>",
        "burette",
        (),
        (("10", "0.02", "0.02"), ("25", "0.03", "0.1"), ("50", "0.05", "0.1")),
        source("usp-31-burettes"),
    ),
    VesselStandard(
        "ASTM E288",
        "flask",
        _A_AND_B,
        (
            ("5", "0.02", ""),
            ("10", "0.02", ""),
            ("25", "0.03", ""),
            ("50", "0.05", ""),
            ("100", "0.08", ""),
            ("250", "0.12", ""),
            ("500", "0.20", ""),
            ("1000", "0.30", ""),
        ),
        source("astm-e288"),
    ),
    VesselStandard(
        "ISO 1042",
        "flask",
        _A_AND_B,
        (
            ("5", "0.025", ""),
            ("10", "0.025", ""),
            ("25", "0.04", ""),
            ("50", "0.06", ""),
            ("100", "0.10", ""),
            ("250", "0.15", ""),
            ("500", "0.25", ""),
            ("1000", "0.40", ""),
        ),
        source("iso-1042"),
    ),
    VesselStandard(
        "ISO 8655-2",
        "piston pipette",
        (),
        (("0.1", "0.0008", ""), ("0.2", "0.0016", ""), ("1", "0.008", "")),
        source("iso-8655-2"),
    ),
    VesselStandard(
        "ISO 7886-1",
        "syringe",
        (),
        # the coarsest graduation allowed, from memory
        (("1", "", "0.05"), ("2", "", "0.2"), ("5", "", "0.5"), ("10", "", "1"), ("20", "", "2"), ("50", "", "5")),
        source("iso-7886-1"),
    ),
)
"""Every standard known here, all for 20 °C. Flasks contain their volume; pipettes, burettes and syringes deliver it."""


def vessels(*, kind: str, standard: str, accuracy_class: str | None = None) -> tuple[Vessel, ...]:
    """Return every vessel of a kind under a standard, the smallest first.

    kind: cylinder, pipette, measuring pipette, burette, flask, piston pipette or syringe. standard: for example "ISO
    4788". accuracy_class: "A" (also when left out) or "B"; left out where the standard has no classes.
    Raises RefusedError for an unknown kind, a standard that is not for this kind, or an unknown class.

    >>> [VOLUME.show(one.capacity) for one in vessels(kind="measuring pipette", standard="USP <31>")]
    ['2 mL', '5 mL', '10 mL']

    Source: the standard named, see ``source`` of each vessel for how it was met.
    """
    of_kind = [entry for entry in STANDARDS if entry.kind == kind]
    if not of_kind:
        known = ", ".join(dict.fromkeys(entry.kind for entry in STANDARDS))
        raise RefusedError("vessel: kind", f"{kind!r} is not known here.", f"Write one of {known}.")
    for entry in of_kind:
        if entry.name == standard:
            return entry.vessels((entry.classes or ("",))[0] if accuracy_class is None else accuracy_class)
    names = ", ".join(entry.name for entry in of_kind)
    raise RefusedError(
        "vessel: standard", f"{standard!r} is not a standard for a {kind} here.", f"Write one of {names}."
    )


def vessel(
    *,
    kind: str,
    standard: str,
    capacity: Quantity | str,
    accuracy_class: str | None = None,
    graduation: Quantity | str | None = None,
    inner_diameter: Quantity | str | None = None,
) -> Vessel:
    """Return one vessel, with its own graduation and inner diameter where somebody has looked.

    kind, standard, accuracy_class: as in :func:`vessels`. capacity: one that the standard has. graduation: a volume,
    from one mark to the next. inner_diameter: a length, measured inside. Returns a Vessel.
    Raises RefusedError for an unknown kind, standard or class, a capacity that the standard does not have, or a
    graduation for a vessel without graduations.

    >>> VOLUME.show(vessel(kind="flask", standard="ISO 1042", capacity="100 mL", accuracy_class="B").limit)
    '0.2 mL'

    Source: the standard named, see ``source`` of the vessel for how it was met.
    """
    found = vessels(kind=kind, standard=standard, accuracy_class=accuracy_class)
    wanted = VOLUME.check("vessel: capacity", capacity)
    fitting = [one for one in found if one.capacity == wanted]
    if not fitting:
        listed = ", ".join(VOLUME.show(one.capacity) for one in found)
        raise RefusedError(
            "vessel: capacity", f"{standard} lists no {kind} of {VOLUME.show(wanted)} here.", f"Write one of {listed}."
        )
    made = fitting[0]
    if graduation is not None:
        if made.graduation is None:
            raise RefusedError("vessel: graduation", f"a {kind} has no graduations.", "Leave graduation out.")
        made = replace(made, graduation=VOLUME.check("vessel: graduation", graduation))
    if inner_diameter is not None:
        made = replace(made, inner_diameter=LENGTH.check("vessel: inner_diameter", inner_diameter))
    return made
