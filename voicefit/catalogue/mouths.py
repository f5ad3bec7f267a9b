"""How wide the mouth of an internal thread is: what tells a port for an O-ring at the thread's base from any other.

An O-ring at the base of a thread is pressed into a chamfer that is as wide at the mouth as the ring itself: ISO 6149-1
has 29.4 mm for M27x2, whose ring is 23.6 x 2.9. Where a washer or the thread itself seals, and in a nut, the thread's
crests are only broken.

Duty: that width, with how it is known. It must not know how it is measured.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from voicefit.catalogue.ends import Basis, CandidateEnd, Origin, least_sure
from voicefit.catalogue.orings import ORing

BROKEN_MM = 1.0  # by so much at most a mouth without a ring is wider than the thread: common practice, no source
_COMMON_PRACTICE = Origin("common-practice", Basis.COMMON_PRACTICE)


def with_mouths(ends: Iterable[CandidateEnd], rings: Mapping[str, ORing]) -> tuple[CandidateEnd, ...]:
    """The ends, those with an internal thread with ``mouth_mm`` and its origin."""
    return tuple(_with_mouth(end, rings) for end in ends)


def _with_mouth(end: CandidateEnd, rings: Mapping[str, ORing]) -> CandidateEnd:
    if end.thread is None or end.external:
        return end
    ring = rings.get(end.o_ring or "")
    if end.ring_in_mouth:
        if ring is None:
            return end
        widest_mm = ring.outside_diameter_mm
        basis = least_sure((Basis.COMPUTED, ring.basis, end.origin("o_ring").basis))
        mouth_mm, origin = (widest_mm, widest_mm), Origin(ring.source, basis or Basis.COMPUTED)
    else:
        major_mm = end.thread.major_diameter_mm
        mouth_mm, origin = (major_mm, major_mm + BROKEN_MM), _COMMON_PRACTICE
    return replace(end, mouth_mm=mouth_mm, origins={**end.origins, "mouth": origin})
