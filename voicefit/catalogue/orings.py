"""O-rings: the sizes that the ends of the catalogue take, from ``orings.csv``.

Duty: inside diameter and section of each ring, in mm, and the names by which a ring is found. It must not know which
end takes which ring beyond counting them up: an end names its ring, never the reverse.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from voicefit.catalogue.ends import Basis, CandidateEnd
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
