"""Four-bolt flanges: split flanges code 61 and 62, square flanges and gear-pump flanges, from ``flanges.csv``.

Duty: heads and bolt patterns in mm, and the candidate ends made of them. It must not know torques or pressures
(:mod:`voicefit.catalogue.figures` adds them) and must not judge by the bolt pattern alone: head diameter and head
thickness are what tells the codes apart at dash 8.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Annotated, Literal

from pydantic import Field

from voicefit.catalogue.ends import Basis, CandidateEnd, FlangeHead, Origin
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.provenance import UNKNOWN, Provenance
from voicefit.catalogue.rows import DashRow, KindRow, Series, by_series
from voicefit.catalogue.sizes import of_kind
from voicefit.catalogue.tables import Exact, Row, Several, Text, no_check, positive, read_rows
from voicefit.quantities import MM_PER_INCH
from voicefit.records import Gender


class FlangeRow(Row):
    """One row of ``flanges.csv``. Each size is given in inches or in millimetres, as its standard gives it.

    ``id`` : ``series/size``. ``form`` : round head, round head of a thickness of its own, or square body; of a square
    one the head diameter is the side of the square and its thickness the body's. A head that is not known stays empty.
    ``bolt_long``, ``bolt_short`` : distances of the bolt centres, or ``bolt_circle_mm`` of a square pattern that goes
    by its circle; ``bolt_metric`` may name one screw an edition.
    """

    id: Text
    series: Text
    dash: Annotated[int, Field(ge=1, le=80)] | None = None
    dn: Annotated[int, Field(ge=1, le=200)] | None = None
    nominal: Text
    form: Literal["head", "thick head", "square"]
    head_diameter_in: Exact | None = positive(10, default=None)
    head_diameter_mm: Exact | None = positive(250, default=None)
    head_thickness_in: Exact | None = positive(3, default=None)
    head_thickness_mm: Exact | None = positive(80, default=None)
    bolt_long_in: Exact | None = positive(10, default=None)
    bolt_long_mm: Exact | None = positive(250, default=None)
    bolt_short_in: Exact | None = positive(10, default=None)
    bolt_short_mm: Exact | None = positive(250, default=None)
    bolt_circle_mm: Exact | None = positive(350, default=None)
    bolt_inch: str = ""
    bolt_metric: Several = ()
    o_ring: str = ""

    def mm(self, stem: str) -> float:
        """The size ``stem`` in mm; raises :class:`BadTable` unless exactly one of its two columns is filled."""
        return self.either(f"{stem}_in", MM_PER_INCH, f"{stem}_mm")

    def head_mm(self, stem: str) -> float | None:
        """As :meth:`mm` of a head's size, ``None`` where neither is filled."""
        return None if getattr(self, f"{stem}_in") is None is getattr(self, f"{stem}_mm") else self.mm(stem)

    def bolts_mm(self) -> tuple[float, float]:
        """Long and short distance; of a circle, both sides of the square in it."""
        if self.bolt_circle_mm is None:
            return self.mm("bolt_long"), self.mm("bolt_short")
        if any(getattr(self, f"bolt_{side}_{unit}") is not None for side in ("long", "short") for unit in ("in", "mm")):
            raise self.bad("bolt_circle_mm", "give either the circle or the distances")
        return (side := float(self.bolt_circle_mm) / math.sqrt(2)), side


@dataclass(frozen=True, slots=True)
class Flange:
    """One size of a flange series. ``code`` : of its series: ``61``, ``62``, ``square`` or ``pump``.

    ``origins`` : where its head, bolt centres, metric and inch bolts and ring come from.
    """

    id: str
    series: str
    code: str
    form: str
    dash: int | None
    dn: int | None
    nominal: str
    head: FlangeHead
    o_ring: str | None
    source: str
    basis: Basis
    note: str
    origins: Mapping[str, Origin] = field(default_factory=dict)


_COLUMNS: Mapping[str, tuple[str, ...]] = {
    "head": ("head_diameter_in", "head_diameter_mm", "head_thickness_in", "head_thickness_mm"),
    "centres": ("bolt_long_in", "bolt_long_mm", "bolt_short_in", "bolt_short_mm", "bolt_circle_mm"),
    "bolt_metric": ("bolt_metric",),
    "bolt_inch": ("bolt_inch",),
    "o_ring": ("o_ring",),
}


def parse(
    texts: Mapping[str, str],
    sources: Mapping[str, object] | None = None,
    check: Callable[[Row], None] = no_check,
    codes: Mapping[str, str] | None = None,
    faults: Faults = AT_ONCE,
    provenance: Provenance = UNKNOWN,
) -> tuple[Flange, ...]:
    """All flanges in the order of ``flanges.csv`` and ``flanges-*.csv``.

    Raises :class:`~voicefit.errors.BadTable`; with ``sources``, also for a source that is not among them. ``check`` :
    may raise it too, for a row that contradicts other tables.
    """
    rows = read_rows(texts, "flanges", FlangeRow, sources, faults)
    found = []
    for row in rows.values():
        check(row)
        with faults.noting(row.id):
            found.append(_flange(row, codes or {}, provenance))
    return tuple(found)


def _flange(row: FlangeRow, codes: Mapping[str, str], provenance: Provenance) -> Flange:
    if row.id.partition("/")[0] != row.series:
        raise row.bad("id", f"must begin with its series, {row.series}/")
    square = row.form == "square"
    long_mm, short_mm = row.bolts_mm()
    head = FlangeHead(
        head_diameter_mm=row.head_mm("head_diameter"),
        head_thickness_mm=row.head_mm("head_thickness"),
        bolt_long_mm=long_mm,
        bolt_short_mm=short_mm,
        bolt_metric=" or ".join(row.bolt_metric) or None,
        bolt_inch=row.bolt_inch or None,
        square=square,
        usual=row.form != "thick head",
    )
    if head.bolt_short_mm > head.bolt_long_mm or (head.bolt_short_mm == head.bolt_long_mm) != square:
        raise row.bad(
            "bolt_short_mm", "the short bolt distance is less than the long one, and equal on a square flange"
        )
    if square and head.head_diameter_mm is not None and head.bolt_long_mm >= head.head_diameter_mm:
        raise row.bad("bolt_long_mm", "the bolts lie within the side of a square flange")
    return Flange(
        id=row.id,
        series=row.series,
        code=codes.get(row.series, ""),
        form=row.form,
        dash=row.dash,
        dn=row.dn,
        nominal=row.nominal,
        head=head,
        o_ring=row.o_ring or None,
        source=row.source,
        basis=row.basis,
        note=row.note,
        origins={what: _origin(row, columns, provenance) for what, columns in _COLUMNS.items()},
    )


def _origin(row: FlangeRow, columns: Iterable[str], provenance: Provenance) -> Origin:
    """Of what stands in several cells: of the one that is known least surely."""
    found = [provenance.of("flanges", row, column) for column in columns if getattr(row, column)]
    return next((each for each in found if each.recalled), next(iter(found), Origin(row.source, row.basis)))


def flange_ends(
    flanges: Iterable[Flange],
    kinds: Mapping[str, KindRow],
    series: Mapping[str, Series],
    dashes: Mapping[int, DashRow],
    provenance: Provenance = UNKNOWN,
) -> tuple[CandidateEnd, ...]:
    """One end for each flange and kind of its series; a head of a thickness of its own comes as a head only.

    A port face has no head to measure the thickness of: there ``head_thickness_mm`` is ``None``, and the head diameter
    says which head it takes.

    ``kinds`` : rows of ``kinds*.csv`` by id. A flange whose series is not in ``series`` is passed over.
    """
    kinds_of = by_series(kinds)
    return tuple(
        _end(flange, kind, series[flange.series], dashes, provenance)
        for flange in flanges
        for kind in kinds_of.get(flange.series, ())
        if flange.series in series
        if flange.form != "thick head" or kind.gender is Gender.MALE
    )


def _end(
    flange: Flange, kind: KindRow, series: Series, dashes: Mapping[int, DashRow], provenance: Provenance
) -> CandidateEnd:
    extra = "extra thick head" if flange.form == "thick head" else ""
    head = flange.head if kind.gender is Gender.MALE else replace(flange.head, head_thickness_mm=None)
    dn = flange.dn
    if dn is None and flange.dash is not None and flange.dash in dashes:
        dn = dashes[flange.dash].dn
    return CandidateEnd(
        **of_kind(flange.id, kind, series, provenance, flange.origins, note=flange.note, extra=extra),
        dash=flange.dash,
        nominal=flange.nominal,
        dn=dn,
        o_ring=flange.o_ring,
        part=f"{flange.id}/{kind.variant}",
        source=flange.source,
        basis=flange.basis,
        flange=head,
    )
