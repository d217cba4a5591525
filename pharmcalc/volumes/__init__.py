"""Volumes: vessels and what they may be off by, reading errors, and which vessel may measure a volume."""

from pharmcalc.volumes.choice import PURPOSES, choose_vessel
from pharmcalc.volumes.marks import MeasuringRange, marks_around, on_a_mark
from pharmcalc.volumes.reading import (
    BURETTE_SHARE,
    CYLINDER_SHARE,
    SMALL_TITRANT,
    inner_diameter_for,
    least_measurable_volume,
    percentage_of_volume_error,
    reading_error,
    smallest_titrant,
    smallest_volume_in_cylinder,
)
from pharmcalc.volumes.vessels import STANDARDS, Syringe, Vessel, VesselStandard, vessel, vessels

__all__ = [
    "BURETTE_SHARE",
    "CYLINDER_SHARE",
    "PURPOSES",
    "SMALL_TITRANT",
    "STANDARDS",
    "MeasuringRange",
    "Syringe",
    "Vessel",
    "VesselStandard",
    "choose_vessel",
    "inner_diameter_for",
    "least_measurable_volume",
    "marks_around",
    "on_a_mark",
    "percentage_of_volume_error",
    "reading_error",
    "smallest_titrant",
    "smallest_volume_in_cylinder",
    "vessel",
    "vessels",
]
