"""O-rings: the sizes that the ends of the catalogue take, from ``orings.csv``; and the mouths that take them.

An O-ring at the base of a thread is pressed into a chamfer that is as wide at the mouth as the ring itself: ISO 6149-1
has 29.4 mm for M27x2, whose ring is 23.6 x 2.9. Where a washer or the thread itself seals, and in a nut, the thread's
crests are only broken. So the width of its mouth tells a port for an O-ring from any other.

Duty: inside diameter and section of each ring, in mm, the names by which a ring is found, and the width of an internal
thread's mouth. It must not know which end takes which ring beyond counting them up: an end names its ring, never the
reverse.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from voicefit.catalogue.ends import Basis, CandidateEnd, Origin, least_sure
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.tables import Exact, Row, Text, positive, read_rows
from voicefit.quantities import MM_PER_INCH


class ORingRow(Row):
    """One row of ``orings.csv``: both sizes in inches or both in millimetres, as the ring's standard gives them.

    ``id`` : the size number where the standard has one (``012``, ``906``, ``G25``), else ``inside x section`` in mm.
    """

    id: Text
    standard: Text
    inside_diameter_in: Exact | None = positive(50, default=None)
    section_in: Exact | None = positive(1, default=None)
    inside_diameter_mm: Exact | None = positive(1000, default=None)
    section_mm: Exact | None = positive(20, default=None)


@dataclass(frozen=True, slots=True)
class ORing:
    """One size of ring. ``as568`` : its number in SAE AS568, ``None`` for a metric ring."""

    id: str
    standard: str
    as568: str | None
    inside_diameter_mm: float
    section_mm: float
    source: str
    basis: Basis

    @property
    def outside_diameter_mm(self) -> float:
        """Free outside diameter, mm."""
        return self.inside_diameter_mm + 2 * self.section_mm


def parse(
    texts: Mapping[str, str], sources: Mapping[str, object] | None = None, faults: Faults = AT_ONCE
) -> dict[str, ORing]:
    """All rings by id, from ``orings.csv`` and ``orings-*.csv``.

    Raises :class:`~voicefit.errors.BadTable`; with ``sources``, also for a source that is not among them.

    >>> table = "id,standard,inside_diameter_in,section_in,source,basis\\n012,AS568,0.364,0.070,as568,memory\\n"
    >>> round(parse({"orings.csv": table})["012"].inside_diameter_mm, 2)
    9.25
    """
    rows = read_rows(texts, "orings", ORingRow, sources, faults)
    rings = {}
    for row in rows.values():
        with faults.noting(row.id):
            rings[row.id] = _oring(row)
    return rings


def _oring(row: ORingRow) -> ORing:
    inch = (row.inside_diameter_in, row.section_in)
    metric = (row.inside_diameter_mm, row.section_mm)
    given = [pair for pair in (inch, metric) if pair != (None, None)]
    if len(given) != 1 or None in given[0]:
        raise row.bad("inside_diameter_mm", "give inside diameter and section, both in inches or both in millimetres")
    factor = MM_PER_INCH if given[0] is inch else Fraction(1)
    inside, section = (float(value * factor) for value in given[0] if value is not None)
    as568 = row.id if row.standard == "AS568" else None
    return ORing(row.id, row.standard, as568, inside, section, row.source, row.basis)


def used_on(ends: Iterable[CandidateEnd]) -> dict[str, tuple[str, ...]]:
    """Which sizes take each ring: ring id to ``series/size``, in the order of the ends."""
    found: dict[str, dict[str, None]] = {}
    for end in ends:
        if end.o_ring is not None:
            found.setdefault(end.o_ring, {})[end.size_id] = None
    return {ring: tuple(sizes) for ring, sizes in found.items()}


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
