"""Hoses: types and sizes, from ``hose-types.csv`` and ``hoses-*.csv``, and by class from two tables more.

Duty: what a standard says of each size of hose: bore, outside diameter, working pressure, bend radius. It must not
choose a hose and must not pair hoses with ends. A type that a revision changed is there once for each edition.

ISO 18752 grades hoses by pressure class and by two letters (resistance to impulse and heat; bend radius) and leaves the
construction free. Its hoses are every class (``hose-classes.csv``) with every letter pair (``hose-types.csv``) at every
size (``hose-class-sizes.csv``).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from pydantic import BeforeValidator, Field

from voicefit.catalogue.ends import Basis
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.provenance import UNKNOWN, Provenance
from voicefit.catalogue.tables import Exact, Number, Row, Several, Text, positive, read_rows, split
from voicefit.quantities import MM_PER_INCH, MPA_PER_PSI

Dash = Annotated[int, Field(ge=1, le=64)]
_YEAR = re.compile(r"\b20[0-9]{2}\b")
CLASS_STANDARD = "ISO 18752"  # its types are made by class, not listed by size


class Reinforcement(StrEnum):
    """What a cut end of the hose shows."""

    ONE_WIRE_BRAID = "one_wire_braid"
    TWO_WIRE_BRAIDS = "two_wire_braids"
    FOUR_WIRE_SPIRALS = "four_wire_spirals"
    SIX_WIRE_SPIRALS = "six_wire_spirals"
    ONE_TEXTILE_BRAID = "one_textile_braid"
    TWO_TEXTILE_BRAIDS = "two_textile_braids"
    FIBRE = "fibre"  # synthetic, in a thermoplastic hose


class HoseType(Row):
    """A construction by its standard: one row of ``hose-types.csv``, or one class of it.

    ``type`` : as on the layline, ``R2``, ``2SN``, ``280 DC``; ``name`` : the same. ``words`` : what it is called aloud,
    lower case but for letters that are spelled. ``reinforcement`` : the constructions allowed, empty where the standard
    leaves it free. ``temperature_water_max_c`` : with water and water-based fluids, where the standard tells them
    apart. ``burst_ratio`` : least burst pressure over working pressure.
    """

    id: Text
    standard: Text
    type: Text
    words: Several
    reinforcement: Annotated[tuple[Reinforcement, ...], BeforeValidator(split)] = ()
    temperature_min_c: Annotated[int, Field(ge=-100, le=50)]
    temperature_max_c: Annotated[int, Field(ge=50, le=400)]
    temperature_water_max_c: Annotated[int, Field(ge=20, le=200)] | None = None
    burst_ratio: Number = positive(10)

    @property
    def name(self) -> str:
        return self.type

    @property
    def temperature_c(self) -> tuple[int, int]:
        """Least and greatest."""
        return self.temperature_min_c, self.temperature_max_c

    def allows(self, celsius: float, *, water_based: bool) -> bool:
        """Whether it may carry a fluid at that temperature."""
        least, greatest = self.temperature_c
        if water_based and self.temperature_water_max_c is not None:
            greatest = min(greatest, self.temperature_water_max_c)
        return least <= celsius <= greatest


class HoseRow(Row):
    """One row of ``hoses-*.csv``: one size of a type. Pressure and outside diameter in the unit they are printed in.

    ``bore_in`` : nominal. ``outside_nominal_in`` : where the standard gives no limits.
    """

    id: Text
    hose: Text  # id of the type
    edition: Text
    dash: Dash
    dn: Annotated[int, Field(ge=1, le=200)] | None = None
    bore_in: Exact = positive(6)
    bore_min_mm: Exact | None = positive(150, default=None)
    bore_max_mm: Exact | None = positive(150, default=None)
    outside_min_mm: Exact | None = positive(200, default=None)
    outside_max_mm: Exact | None = positive(200, default=None)
    outside_nominal_in: Exact | None = positive(8, default=None)
    pressure_psi: Exact | None = positive(20000, default=None)
    pressure_bar: Exact | None = positive(1500, default=None)
    bend_radius_mm: Exact = positive(2000)


class HoseClassRow(Row):
    """One row of ``hose-classes.csv``: a pressure class, named by its working pressure. ``words`` : said aloud."""

    id: Text
    pressure_bar: Annotated[int, Field(ge=10, le=1500)]
    words: Several


class HoseClassSizeRow(Row):
    """One row of ``hose-class-sizes.csv``: one size of the classed hoses with its two bend radii."""

    id: Text
    edition: Text
    dash: Dash
    bore_in: Exact = positive(6)
    bend_standard_mm: Exact = positive(2000)
    bend_compact_mm: Exact = positive(2000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hose:
    """One size of a hose type in one edition of its standard.

    ``bore_mm`` : nominal; ``bore_limits_mm`` and ``outside_limits_mm`` : least and greatest, either ``None`` where the
    standard or the memory of it has none. ``pressure_bar`` : greatest working pressure. ``edition_basis`` : how the
    year of its edition is known, ``None`` where none is named.
    """

    id: str
    type: HoseType
    edition: str
    dash: int
    dn: int | None = None
    bore_mm: float
    bore_limits_mm: tuple[float | None, float | None] = (None, None)
    outside_limits_mm: tuple[float | None, float | None] = (None, None)
    outside_nominal_mm: float | None = None
    pressure_bar: float
    bend_radius_mm: float
    source: str
    basis: Basis
    edition_basis: Basis | None = None
    note: str = ""

    @property
    def outside_diameter_mm(self) -> float | None:
        """One figure for lists: nominal where there is one, else the greatest that the standard allows."""
        return self.outside_limits_mm[1] if self.outside_nominal_mm is None else self.outside_nominal_mm


def parse(
    texts: Mapping[str, str],
    sources: Mapping[str, object] | None = None,
    faults: Faults = AT_ONCE,
    provenance: Provenance = UNKNOWN,
) -> tuple[Hose, ...]:
    """All hoses: those listed by size in the order of the tables, then those by class.

    Raises :class:`~voicefit.errors.BadTable`; with ``sources``, also for a source that is not among them.
    """
    type_rows = read_rows(texts, "hose-types", HoseType, sources, faults)
    rows = read_rows(texts, "hoses", HoseRow, sources, faults)
    class_rows = read_rows(texts, "hose-classes", HoseClassRow, sources, faults)
    size_rows = read_rows(texts, "hose-class-sizes", HoseClassSizeRow, sources, faults)
    listed, classed = {}, []
    for row in type_rows.values():
        if row.standard == CLASS_STANDARD:
            classed.append(row)
        else:
            listed[row.id] = row
    made = []
    for size in rows.values():
        with faults.noting(size.id):
            if size.hose in listed or not faults.broken(size.hose):
                made.append(_hose(size, listed, provenance))
    return (
        *made,
        *(
            _classed_hose(size, _of_class(kind, pressure), pressure)
            for pressure in class_rows.values()
            for kind in classed
            for size in size_rows.values()
        ),
    )


def _hose(row: HoseRow, types: Mapping[str, HoseType], provenance: Provenance) -> Hose:
    if row.hose not in types:
        raise row.bad("hose", f"{row.hose!r} is not in hose-types.csv")
    nominal = row.outside_nominal_in
    return Hose(
        id=row.id,
        type=types[row.hose],
        edition=row.edition,
        dash=row.dash,
        dn=row.dn,
        bore_mm=float(row.bore_in * MM_PER_INCH),
        bore_limits_mm=_limits(row, "bore"),
        outside_limits_mm=_limits(row, "outside"),
        outside_nominal_mm=None if nominal is None else float(nominal * MM_PER_INCH),
        pressure_bar=row.either("pressure_psi", 10 * MPA_PER_PSI, "pressure_bar"),
        bend_radius_mm=float(row.bend_radius_mm),
        source=row.source,
        basis=row.basis,
        edition_basis=provenance.of("hoses", row, "edition").basis if _YEAR.search(row.edition) else None,
        note=row.note,
    )


def _limits(row: HoseRow, stem: str) -> tuple[float | None, float | None]:
    least, greatest = getattr(row, f"{stem}_min_mm"), getattr(row, f"{stem}_max_mm")
    if least is not None and greatest is not None and least > greatest:
        raise row.bad(f"{stem}_max_mm", f"must not be less than {stem}_min_mm")
    return (None if least is None else float(least)), (None if greatest is None else float(greatest))


def _of_class(kind: HoseType, pressure: HoseClassRow) -> HoseType:
    """The type of one class and letter pair: ``280 DC``."""
    return kind.model_copy(
        update={
            "id": f"{kind.id}-{pressure.pressure_bar}",
            "type": f"{pressure.pressure_bar} {kind.type}",
            "words": tuple(f"{number} {letters}" for number in pressure.words for letters in kind.words),
        }
    )


def _classed_hose(size: HoseClassSizeRow, kind: HoseType, pressure: HoseClassRow) -> Hose:
    """The second letter is S for the standard bend radius, C for the compact one."""
    bend = size.bend_compact_mm if kind.name.endswith("C") else size.bend_standard_mm
    return Hose(
        id=f"{kind.id}/{size.dash}",
        type=kind,
        edition=size.edition,
        dash=size.dash,
        bore_mm=float(size.bore_in * MM_PER_INCH),
        pressure_bar=float(pressure.pressure_bar),
        bend_radius_mm=float(bend),
        source=size.source,
        basis=size.basis,
        note=size.note,
    )
