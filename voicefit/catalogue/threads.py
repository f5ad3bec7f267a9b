"""Threads: basic data from ``threads-*.csv``, every diameter and limit by the formulas of the standards.

Duty: turn a row (nominal size, pitch, class) into a :class:`Thread`. It must not know which ends carry a thread, and
must not hold a diameter that a formula gives.

=========  ===================================  =======================================================
system     profile                              limits
=========  ===================================  =======================================================
``M``      ISO 68-1, ISO 724                    ISO 965-1, 6g and 6H, tolerances rounded to R40
``UN``     ASME B1.1                            ASME B1.1, 2A and 2B
``G``      ISO 228-1 (h = 0.640327 P)           ISO 228-1 class A, its tolerance columns
``W``      DIN 477-1, Whitworth form      as ``G``
``R``      ISO 7-1, at the gauge plane          gauge plane within one turn (male), one and a quarter (female)
``NPT``    ASME B1.20.1, at the gauge plane     gauge plane within one turn, crest truncation 0.033 P to its maximum; so
                                                NPTF, whose crests differ by less than a caliper sees
``NPSM``   ASME B1.20.1, E1 as pitch diameter   ASME B1.1, 2A and 2B, on the NPSM basic sizes
``M-taper``  DIN 158, at the gauge plane        gauge plane within one turn
=========  ===================================  =======================================================

Lengths in mm, pitches in mm; inch formulas are evaluated in inches and converted.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import NamedTuple

from voicefit.catalogue.ends import Thread
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.rows import ThreadRow, filled
from voicefit.catalogue.tolerances import metric_limits_um, unified_limits_in
from voicefit.quantities import MM_PER_INCH

INCH_MM = float(MM_PER_INCH)
TRIANGLE_60 = math.sqrt(3) / 2  # H / P of a 60 degree thread
HEIGHT_55 = 0.640327  # h / P of a 55 degree thread, ISO 228-1 and ISO 7-1
PIPE_TAPER = Fraction(1, 16)

_DECIMALS = 4  # a tenth of a micrometre: below anything measured here, above float noise


class _Shape(NamedTuple):
    """Diameters and limits in mm, before rounding."""

    major: float
    pitch: float
    minor: float
    external_major: tuple[float, float]
    internal_minor: tuple[float, float]
    flank_angle_deg: float
    taper: Fraction = Fraction(0)
    gauge_length: float | None = None
    thread_length: float | None = None


# ---- metric: ISO 68-1, ISO 724, ISO 965-1 ---------------------------------------------------------------


def _metric(row: ThreadRow) -> _Shape:
    major, pitch = float(row.size_number()), float(row.pitch())
    deviation, external, internal = (value / 1000 for value in metric_limits_um(pitch))
    minor = major - 1.25 * TRIANGLE_60 * pitch  # D1 = D - 2 x 5/8 H
    return _Shape(
        major=major,
        pitch=major - 0.75 * TRIANGLE_60 * pitch,  # D2 = D - 2 x 3/8 H
        minor=minor,
        external_major=(major + deviation - external, major + deviation),
        internal_minor=(minor, minor + internal),
        flank_angle_deg=60,
    )


def _metric_taper(row: ThreadRow) -> _Shape:
    straight = _metric(row)
    gauge, length = float(row.need("gauge_length_mm")), float(row.need("thread_length_mm"))
    slack = float(row.pitch()) * float(PIPE_TAPER)
    return straight._replace(
        external_major=_taper_external(straight.major, gauge, length, slack),
        internal_minor=(straight.minor - gauge / 16 - slack, straight.internal_minor[1] + slack),
        taper=PIPE_TAPER,
        gauge_length=gauge,
        thread_length=length,
    )


# ---- unified: ASME B1.1 ---------------------------------------------------------------------------------


def _unified_shape(major: float, pitch: float, engagement: float) -> _Shape:
    allowance, external, internal = unified_limits_in(major, pitch, engagement)
    minor = major - 1.25 * TRIANGLE_60 * pitch
    return _Shape(
        major=major * INCH_MM,
        pitch=(major - 0.75 * TRIANGLE_60 * pitch) * INCH_MM,
        minor=minor * INCH_MM,
        external_major=((major - allowance - external) * INCH_MM, (major - allowance) * INCH_MM),
        internal_minor=(minor * INCH_MM, (minor + internal) * INCH_MM),
        flank_angle_deg=60,
    )


def _unified(row: ThreadRow) -> _Shape:
    major, pitch = float(row.size_number()), 1 / float(row.need("tpi"))
    if major < 0.25:
        raise row.bad("size", "the 2B formula holds from 1/4 in up")
    # Length of engagement: one diameter for the coarse and fine series, nine pitches for the others.
    return _unified_shape(major, pitch, major if row.form in ("UNC", "UNF") else 9 * pitch)


# ---- American pipe: ASME B1.20.1 ------------------------------------------------------------------------

_LEAST_TRUNCATION = 0.033  # of the pitch, crest and root
_GREATEST_TRUNCATION = {  # by threads per inch
    Fraction(27): 0.096,
    Fraction(18): 0.088,
    Fraction(14): 0.078,
    Fraction(23, 2): 0.073,
    Fraction(8): 0.062,
}


def _american_pitch_diameter(row: ThreadRow) -> tuple[float, float, float, float]:
    """Pipe outside diameter D, pitch P, gauge length L1 and E1 in inches: E1 = D - (0.05 D + 1.1) P + L1 / 16."""
    outside, pitch = float(row.need("pipe_outside_diameter_in")), 1 / float(row.need("tpi"))
    gauge = float(row.need("gauge_length_in"))
    return outside, pitch, gauge, outside - (0.05 * outside + 1.1) * pitch + gauge / 16


def _american_taper(row: ThreadRow) -> _Shape:
    outside, pitch, gauge, at_gauge = _american_pitch_diameter(row)
    greatest = _GREATEST_TRUNCATION.get(row.need("tpi"))
    if greatest is None:
        raise row.bad("tpi", "the standard has 27, 18, 14, 11.5 and 8")
    full, shallow = (TRIANGLE_60 - 2 * truncation for truncation in (_LEAST_TRUNCATION, greatest))  # heights / P
    at_end = at_gauge - gauge / 16
    effective = (0.8 * outside + 6.8) * pitch  # L2
    turn = pitch / 16  # the gauge stands within one turn of its plane
    # The crests run out where the taper meets the pipe's outside.
    last = min(at_end + effective / 16 + full * pitch, outside)
    return _Shape(
        major=(at_gauge + full * pitch) * INCH_MM,
        pitch=at_gauge * INCH_MM,
        minor=(at_gauge - full * pitch) * INCH_MM,
        external_major=((at_end + shallow * pitch - turn) * INCH_MM, (last + turn) * INCH_MM),
        internal_minor=((at_end - full * pitch - turn) * INCH_MM, (at_gauge - shallow * pitch + turn) * INCH_MM),
        flank_angle_deg=60,
        taper=PIPE_TAPER,
        gauge_length=gauge * INCH_MM,
        thread_length=effective * INCH_MM,
    )


def _american_straight(row: ThreadRow) -> _Shape:
    _, pitch, _, at_gauge = _american_pitch_diameter(row)
    return _unified_shape(at_gauge + 0.75 * TRIANGLE_60 * pitch, pitch, 9 * pitch)


# ---- British pipe: ISO 228-1 and ISO 7-1 ----------------------------------------------------------------


def _parallel_pipe(row: ThreadRow) -> _Shape:
    major, height = float(row.need("major_diameter_mm")), HEIGHT_55 * float(row.pitch())
    minor = major - 2 * height
    external = 2 * float(row.need("pitch_diameter_tolerance_mm"))  # as the standard's table has it throughout
    return _Shape(
        major=major,
        pitch=major - height,
        minor=minor,
        external_major=(major - external, major),
        internal_minor=(minor, minor + float(row.need("minor_tolerance_mm"))),
        flank_angle_deg=55,
    )


def _taper_external(major: float, gauge: float, length: float, slack: float) -> tuple[float, float]:
    """Crest diameters of a male taper at its small end and at its last full thread, with the slack of the gauge."""
    return major - gauge / 16 - slack, major + (length - gauge) / 16 + slack


def _british_taper(row: ThreadRow) -> _Shape:
    pitch, major = float(row.pitch()), float(row.need("major_diameter_mm"))
    gauge, length = float(row.need("gauge_length_mm")), float(row.need("thread_length_mm"))
    minor = major - 2 * HEIGHT_55 * pitch
    inner_slack = 1.25 * pitch / 16
    return _Shape(
        major=major,
        pitch=major - HEIGHT_55 * pitch,
        minor=minor,
        external_major=_taper_external(major, gauge, length, pitch / 16),
        internal_minor=(minor - gauge / 16 - inner_slack, minor + inner_slack),
        flank_angle_deg=55,
        taper=PIPE_TAPER,
        gauge_length=gauge,
        thread_length=length,
    )


# ---- rows to threads ------------------------------------------------------------------------------------

_SHAPES: dict[str, Callable[[ThreadRow], _Shape]] = {
    "M": _metric,
    "M-taper": _metric_taper,
    "UN": _unified,
    "NPT": _american_taper,
    "NPSM": _american_straight,
    "G": _parallel_pipe,
    "W": _parallel_pipe,
    "R": _british_taper,
}


def _decimal(value: Fraction) -> str:
    return f"{float(value):g}"


def _designations(row: ThreadRow) -> tuple[str, ...]:
    """How the standard writes this thread: more than one where male and female are written differently."""
    if row.system == "M":
        return (f"M{row.size}×{_decimal(row.pitch())}",)
    if row.system == "M-taper":
        return (f"M{row.size}×{_decimal(row.pitch())} keg",)
    if row.system == "UN":
        if not row.form:
            raise row.bad("form", "a thread of system UN needs it")
        return (f"{row.size}-{_decimal(row.need('tpi'))} {row.form}",)
    if row.system == "G":
        return (f"G{row.size}",)
    if row.system == "W":
        return (f"W{row.size}-{_decimal(row.need('tpi'))}",)
    if row.system == "R":
        return f"R{row.size}", f"Rc{row.size}"
    return (f"{row.size}-{_decimal(row.need('tpi'))} {row.system}",)


def thread_from(row: ThreadRow) -> Thread:
    """The thread of a row. Raises :class:`BadTable` where the row lacks what its system needs or contradicts itself."""
    names = _designations(row)
    if row.id not in names:
        raise row.bad("id", f"{row.id!r}, but the other columns make it {' or '.join(names)}")
    shape = _SHAPES[row.system](row)
    if shape.minor <= 0 or shape.minor < shape.major / 2:
        raise row.bad("size", "the pitch is too coarse for this size")
    return Thread(
        designation=row.id,
        system=row.system,
        size=row.size,
        size_unit="mm" if row.system in ("M", "M-taper", "W") else "in",
        pitch_mm=round(float(row.pitch()), 6),
        tpi=row.tpi,
        major_diameter_mm=round(shape.major, _DECIMALS),
        pitch_diameter_mm=round(shape.pitch, _DECIMALS),
        minor_diameter_mm=round(shape.minor, _DECIMALS),
        external_major_mm=_rounded(shape.external_major),
        internal_minor_mm=_rounded(shape.internal_minor),
        tolerance_class=row.tolerance_class,
        flank_angle_deg=shape.flank_angle_deg,
        taper=shape.taper,
        source=row.source,
        basis=row.basis,
        gauge_length_mm=None if shape.gauge_length is None else round(shape.gauge_length, _DECIMALS),
        thread_length_mm=None if shape.thread_length is None else round(shape.thread_length, _DECIMALS),
    )


def _rounded(limits: tuple[float, float]) -> tuple[float, float]:
    return round(limits[0], _DECIMALS), round(limits[1], _DECIMALS)


def threads_from(rows: Iterable[ThreadRow], faults: Faults = AT_ONCE) -> dict[str, Thread]:
    """Threads by designation.

    Notes :class:`BadTable` as :func:`thread_from`, and where ``like`` names no thread of that size and pitch.
    """
    by_id = {row.id: row for row in rows}
    threads = {}
    for row in by_id.values():
        if row.like and faults.broken(row.like):
            faults.spoil(row.id)
            continue
        with faults.noting(row.id):
            threads[row.id] = thread_from(filled(row, by_id))
    return threads
