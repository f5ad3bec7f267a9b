"""Look-alikes, computed from the tables by the measurement model: what is easily taken for what, and what tells them.

Two ends look alike when a careful caliper cannot tell their diameters apart. How alike two ends are in one aspect is
the overlap of the answers that a check of it would get, the sum of ``min(P(y|a), P(y|b))``: 1 when nothing tells
them apart, near 0 when one check does.

Duty: those pairs. No pair is typed anywhere. It must not say what is in reach of some readings: see ``reach.py``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from voicefit.matching.aspect import Aspect, Floats
from voicefit.matching.matcher import Matcher
from voicefit.records import Measurand

ALIKE = 0.3  # overlap of the diameters from which two ends look alike
TOLD = 0.3  # overlap below which one careful check tells them apart

# What tells look-alikes apart, by the aspect's name; the diameter is what they have in common.
_TELLING = {
    "pitch": Measurand.PITCH,
    "taper": Measurand.TAPER,
    "flank": Measurand.FLANK_ANGLE,
    "crest": Measurand.CREST,
    "mouth": Measurand.MOUTH_DIAMETER,
    "seat_form": Measurand.SEAT_FORM,
    "seat_angle": Measurand.SEAT_ANGLE,
    "seal": Measurand.SEAL,
    "nose": Measurand.NOSE,
    "shoulder_edge": Measurand.SHOULDER_EDGE,
    "body": Measurand.BODY,
    "line": Measurand.LINE,
    "shape": Measurand.SHAPE,
    "gender": Measurand.GENDER,
    "tube": Measurand.TUBE_OUTSIDE_DIAMETER,
    "flange_thickness": Measurand.FLANGE_HEAD_THICKNESS,
    "bolt_long": Measurand.BOLT_LONG,
    "bolt_short": Measurand.BOLT_SHORT,
    "bolt_circle": Measurand.BOLT_CIRCLE,
}


@dataclass(frozen=True, slots=True)
class LookAlike:
    """Two ends (rows of the catalogue) that a caliper does not tell apart.

    ``overlap`` : of their diameters. ``told_by`` : measurands that tell them apart in one careful check, the surest
    first; empty where only a trial fit, the maker's data or a sample can tell.
    """

    first: int
    second: int
    overlap: float
    told_by: tuple[Measurand, ...]


def look_alikes(matcher: Matcher, row: int | None = None) -> Iterator[LookAlike]:
    """All pairs of different parts on the same side of a thread that look alike; with ``row``, those of that end.

    Ends without a thread are compared by their head or profile diameters. Each pair comes once, ``first < second``.
    """
    diameter = matcher.aspects["diameter"]
    overlap = _overlaps(diameter, Measurand.OUTSIDE_DIAMETER)
    telling = {name: _overlaps(matcher.aspects[name], measurand) for name, measurand in _TELLING.items()}
    class_of = diameter.class_of[:-1]
    rows = range(len(matcher.ends)) if row is None else [row]
    for first in rows:
        near = np.flatnonzero(overlap[class_of[first]][class_of] >= ALIKE)
        for second in (int(other) for other in near):
            same = matcher.part_of[first] == matcher.part_of[second]
            if same or (row is None and second <= first):
                continue
            told = _told_by(matcher, telling, first, second)
            alike = float(overlap[class_of[first], class_of[second]])
            yield LookAlike(min(first, second), max(first, second), alike, told)


def _told_by(matcher: Matcher, telling: dict[str, Floats], first: int, second: int) -> tuple[Measurand, ...]:
    found = []
    for name, overlaps in telling.items():
        class_of, answerable = matcher.aspects[name].class_of, matcher.aspects[name].answerable()
        a, b = class_of[first], class_of[second]
        if min(answerable[a], answerable[b]) > 0.5 and overlaps[a, b] < TOLD:
            found.append((float(overlaps[a, b]), _TELLING[name]))
    return tuple(measurand for _, measurand in sorted(found))


def _overlaps(aspect: Aspect, measurand: Measurand) -> Floats:
    """Overlap of the answers foreseen between every two classes: (n_classes, n_classes)."""
    every = np.arange(aspect.n_classes)
    table = aspect.foresee_open(aspect.states((), every), measurand, every)
    return np.array([np.minimum(table, one).sum(axis=1) for one in table])
