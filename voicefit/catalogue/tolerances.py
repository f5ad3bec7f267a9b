"""Tolerances of thread diameters by the formulas of ISO 965-1 and ASME B1.1.

Duty: numbers in, numbers out, each formula with its standard. It must not know a table or a row.
"""

from __future__ import annotations

import math


def r40(value: float) -> float:
    """The nearest number, by ratio, of the R40 series of ISO 3, to which ISO 965-1 rounds its tolerances.

    >>> r40(233.3), r40(305.5)
    (236.0, 300.0)
    """
    decade = 10.0 ** math.floor(math.log10(value))
    return min((step * decade for step in (*_R40, 10.0)), key=lambda step: abs(math.log(step / value)))


_R40 = (
    *(1.0, 1.06, 1.12, 1.18, 1.25, 1.32, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2.0, 2.12, 2.24, 2.36, 2.5, 2.65, 2.8, 3.0),
    *(3.15, 3.35, 3.55, 3.75, 4.0, 4.25, 4.5, 4.75, 5.0, 5.3, 5.6, 6.0, 6.3, 6.7, 7.1, 7.5, 8.0, 8.5, 9.0, 9.5),
)


def metric_limits_um(pitch_mm: float) -> tuple[float, float, float]:
    """Deviation es of position g, tolerance Td of grade 6, tolerance TD1 of grade 6, in micrometres (ISO 965-1).

    es = -(15 + 11 P); Td = 180 P^(2/3) - 3.15 / sqrt(P); TD1 = 433 P - 190 P^1.22 below P = 1, 230 P^0.7 from there.
    """
    deviation = -round(15 + 11 * pitch_mm)
    external = r40(180 * pitch_mm ** (2 / 3) - 3.15 / math.sqrt(pitch_mm))
    internal = r40(433 * pitch_mm - 190 * pitch_mm**1.22 if pitch_mm < 1 else 230 * pitch_mm**0.7)
    return deviation, external, internal


def unified_limits_in(major: float, pitch: float, engagement: float) -> tuple[float, float, float]:
    """Allowance and major tolerance of class 2A, minor tolerance of class 2B, in inches (ASME B1.1).

    Allowance = 0.3 Td2, Td2 = 0.0015 D^(1/3) + 0.0015 LE^(1/2) + 0.015 P^(2/3); Td = 0.06 P^(2/3);
    TD1 = 0.25 P - 0.4 P^2 for 1/4 in and more at 4 tpi and finer.
    """
    pitch_tolerance = 0.0015 * major ** (1 / 3) + 0.0015 * math.sqrt(engagement) + 0.015 * pitch ** (2 / 3)
    return 0.3 * pitch_tolerance, 0.06 * pitch ** (2 / 3), 0.25 * pitch - 0.4 * pitch**2
