"""What a check is made with, and what wear does to what was measured.

Duty: the tools of the trade's checks, and readings of worn threads. It must not choose checks.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from voicefit.records import ABSENT, Hedge, Measurand, Option, Reading

CALIPER, PITCH_GAUGE, SEAT_GAUGE = "caliper", "pitch-gauge", "seat-gauge"

TOOLS = (CALIPER, PITCH_GAUGE, SEAT_GAUGE)

# Common practice, no source. A hexagon is measured by a spanner too, a bolt's spacing by a rule.
TOOL_OF: Mapping[Measurand, str] = {
    Measurand.PITCH: PITCH_GAUGE,
    Measurand.FLANK_ANGLE: PITCH_GAUGE,
    Measurand.SEAT_ANGLE: SEAT_GAUGE,
    **dict.fromkeys(
        (
            Measurand.OUTSIDE_DIAMETER,
            Measurand.INSIDE_DIAMETER,
            Measurand.FIRST_THREAD_DIAMETER,
            Measurand.LAST_THREAD_DIAMETER,
            Measurand.TUBE_OUTSIDE_DIAMETER,
            Measurand.MOUTH_DIAMETER,
            Measurand.FLANGE_HEAD_DIAMETER,
            Measurand.FLANGE_HEAD_THICKNESS,
            Measurand.PROFILE_DIAMETER,
        ),
        CALIPER,
    ),
}
WEARS = frozenset(
    {
        Measurand.OUTSIDE_DIAMETER,
        Measurand.INSIDE_DIAMETER,
        Measurand.FIRST_THREAD_DIAMETER,
        Measurand.LAST_THREAD_DIAMETER,
    }
)


def as_worn(reading: Reading) -> Reading:
    """The reading of a worn or damaged thread: what was measured across it is near what was said, no more."""
    return replace(reading, options=tuple(map(_loosely, reading.options)))


def as_said(reading: Reading, option: Option) -> Option:
    """The option of the reading itself that another, made of it by :func:`as_worn`, stands for."""
    return next(each for each in reading.options if option in (each, _loosely(each)))


def _loosely(option: Option) -> Option:
    if option.measurand not in WEARS or option.hedge is not None or option.value == ABSENT:
        return option
    return replace(option, hedge=Hedge.ABOUT)


def tool_of(measurand: Measurand) -> str:
    """What is measured with; empty where eyes and fingers do."""
    return TOOL_OF.get(measurand, "")
