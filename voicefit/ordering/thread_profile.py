"""The profile of a thread as a line, from its basic sizes.

Duty: where the metal ends along the axis. 60 degree threads have crests of an eighth and roots of a quarter of the
pitch (basic profile of ISO 68-1 and ASME B1.1; the American taper is drawn alike); 55 degree threads are drawn with
crests and roots of a sixth, their rounding left out (ISO 228-1 and ISO 7-1: height 0.640 of the pitch).
"""

from __future__ import annotations

import math

from voicefit.catalogue import Thread


def radius_at(thread: Thread, x_mm: float, diameter_mm: float, *, internal: bool = False) -> float:
    """Radius at ``x_mm`` from the mating face of what is ``diameter_mm`` at the gauge plane.

    A taper's male grows from its face, its gauge plane ``gauge_length_mm`` behind; the female narrows from its mouth,
    where its gauge plane lies.
    """
    from_gauge = -x_mm if internal else x_mm - (thread.gauge_length_mm or 0.0)
    return diameter_mm / 2 + from_gauge * float(thread.taper) / 2


def crest_line(thread: Thread, length_mm: float, *, internal: bool = False) -> list[tuple[float, float]]:
    """Points ``(x, radius)`` from the mating face to ``length_mm``, whole pitches, through every crest and root."""
    pitch, minor, major = thread.pitch_mm, thread.minor_diameter_mm, thread.major_diameter_mm
    flank = (major - minor) / 2 * math.tan(math.radians(thread.flank_angle_deg / 2))
    flats = max(pitch - 2 * flank, 0.0)
    crest = flats / 3 if thread.flank_angle_deg == 60 else flats / 2
    root = (flats - crest) / 2
    corners = ((root, minor), (root + flank, major), (root + flank + crest, major), (root + 2 * flank + crest, minor))
    points = [(0.0, minor)]
    points += [(k * pitch + x, diameter) for k in range(round(length_mm / pitch)) for x, diameter in corners]
    points.append((length_mm, minor))
    return [(x, radius_at(thread, x, diameter, internal=internal)) for x, diameter in points]
