"""Which two threads are one, and which engage by hand although they are two.

Duty: the geometry of two threads. It must not know any end.
"""

from __future__ import annotations

from voicefit.catalogue import Thread

# Threads of one basic form and size under two names: ISO 7-1 and ISO 228-1 share sizes and flanks, and so do NPT and
# NPSM (ASME B1.20.1); a metric taper male goes into a parallel port (DIN 3852-1).
_SAME_FORM = {frozenset(pair) for pair in (("R", "G"), ("NPT", "NPSM"), ("M-taper", "M"))}

# When a wrong pair still screws together by hand: common practice, no source. Pitches within 7 % engage a few turns;
# a male may be 0.15 mm too large on the pitch diameter (clearances and wear); with less than a quarter of the thread's
# height in engagement it falls out by itself.
PITCH_MISMATCH = 0.07
PITCH_DIAMETER_INTERFERENCE_MM = 0.15
LEAST_ENGAGEMENT = 0.25


def same_thread(a: Thread, b: Thread) -> bool:
    """Same basic form, size and pitch, whatever the names."""
    forms = a.system == b.system or frozenset((a.system, b.system)) in _SAME_FORM
    return forms and (a.size, a.size_unit) == (b.size, b.size_unit) and abs(a.pitch_mm - b.pitch_mm) < 1e-6


def screw_together(male: Thread, female: Thread) -> float | None:
    """Relative pitch mismatch of two different threads that engage by hand all the same; ``None`` when they do not.

    A tapered male counts from its small end; a tapered female is widest at its mouth, which is the gauge plane.
    """
    mismatch = abs(male.pitch_mm - female.pitch_mm) / female.pitch_mm
    if mismatch > PITCH_MISMATCH:
        return None
    smaller_mm = (male.gauge_length_mm or 0.0) * float(male.taper)  # at the small end
    interference = male.pitch_diameter_mm - smaller_mm - female.pitch_diameter_mm
    engaged = male.major_diameter_mm - female.minor_diameter_mm
    height = female.major_diameter_mm - female.minor_diameter_mm
    if interference > PITCH_DIAMETER_INTERFERENCE_MM or engaged < LEAST_ENGAGEMENT * height:
        return None
    return mismatch
