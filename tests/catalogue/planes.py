"""A thread's basic diameters in any plane: what printed tables of tapers give at several distances from the end."""

from __future__ import annotations

from typing import NamedTuple

from voicefit.catalogue import Thread


class Diameters(NamedTuple):
    """Basic diameters of a thread in one plane, mm."""

    major_mm: float
    pitch_mm: float
    minor_mm: float


def diameters_at(thread: Thread, distance_mm: float) -> Diameters:
    """Basic diameters in the plane ``distance_mm`` from the end.

    The end is the small end of a male taper; the gauge plane of a female taper is its mouth, so measure a female
    from ``gauge_length_mm`` backwards. A parallel thread is the same everywhere. ISO 7-1, ASME B1.20.1.
    """
    shift = float(thread.taper) * (distance_mm - (thread.gauge_length_mm or 0.0))
    return Diameters(
        thread.major_diameter_mm + shift, thread.pitch_diameter_mm + shift, thread.minor_diameter_mm + shift
    )
