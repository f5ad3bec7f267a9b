"""Ends without a thread that a diameter identifies: quick couplers and staple connectors.

Duty: ``couplers.csv`` and ``staples.csv`` become candidate ends with ``profile_mm`` filled. It must not know what
such an end holds (:mod:`voicefit.catalogue.figures`).

The halves of a coupler share one nominal diameter: what a caliper finds on the male's probe is what the female's bore
takes, a few tenths of a millimetre apart. Of a staple connector both are tabulated.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Annotated, ClassVar

from pydantic import Field

from voicefit.catalogue.ends import CandidateEnd
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.provenance import UNKNOWN, Provenance
from voicefit.catalogue.rows import DashRow, KindRow, Series, by_series
from voicefit.catalogue.sizes import of_kind
from voicefit.catalogue.tables import Exact, Row, Text, check_sources, no_check, positive, read_family, unique
from voicefit.records import Gender

Named = tuple[str, float]  # a diameter in mm, with its name


class _ProfileRow(Row):
    id: Text
    series: Text
    dash: Annotated[int, Field(ge=1, le=64)]
    nominal: Text


class CouplerRow(_ProfileRow):
    """One row of ``couplers.csv``. ``probe_diameter_mm`` : of the male half where the female's seal rides on it."""

    probe_diameter_mm: Exact = positive(200)

    family: ClassVar[str] = "couplers"
    columns: ClassVar[tuple[str, str]] = ("probe_diameter_mm", "probe_diameter_mm")

    @property
    def halves(self) -> tuple[Named, Named]:
        probe = float(self.probe_diameter_mm)
        return ("probe", probe), ("bore", probe)


class StapleRow(_ProfileRow):
    """One row of ``staples.csv``: outside diameter of the spigot, inside diameter of the bore that takes it."""

    spigot_diameter_mm: Exact = positive(200)
    bore_diameter_mm: Exact = positive(200)

    family: ClassVar[str] = "staples"
    columns: ClassVar[tuple[str, str]] = ("spigot_diameter_mm", "bore_diameter_mm")

    @property
    def halves(self) -> tuple[Named, Named]:
        return ("spigot", float(self.spigot_diameter_mm)), ("bore", float(self.bore_diameter_mm))


Profile = CouplerRow | StapleRow
"""One size of an unthreaded series; ``halves`` : the diameters of male and female in mm, with the name of each;
``columns`` : where they stand in the tables of its ``family``."""


def parse(
    texts: Mapping[str, str],
    sources: Mapping[str, object] | None = None,
    check: Callable[[Row], None] = no_check,
    faults: Faults = AT_ONCE,
) -> tuple[Profile, ...]:
    """All couplers, then all staple connectors.

    Raises :class:`~voicefit.errors.BadTable`, also where a spigot would not enter its bore; with ``sources``, also for
    a source that is not among them. ``check`` : may raise it too, for a row that contradicts other tables.
    """
    couplers = read_family(texts, "couplers", CouplerRow, faults)
    staples = read_family(texts, "staples", StapleRow, faults)
    every: tuple[Profile, ...] = (*couplers, *staples)
    rows = unique(every, faults=faults)
    check_sources(rows.values(), sources, faults)
    for each in rows.values():
        check(each)
    for row in staples:
        if row.spigot_diameter_mm >= row.bore_diameter_mm:
            faults.note(row.bad("bore_diameter_mm", "must be greater than spigot_diameter_mm"), row.id)
    found = []
    for each in rows.values():
        if each.id.partition("/")[0] == each.series:
            found.append(each)
        else:
            faults.note(each.bad("id", f"must begin with its series, {each.series}/"), each.id)
    return tuple(found)


def profile_ends(
    profiles: Iterable[Profile],
    kinds: Mapping[str, KindRow],
    series: Mapping[str, Series],
    dashes: Mapping[int, DashRow],
    provenance: Provenance = UNKNOWN,
) -> tuple[CandidateEnd, ...]:
    """Both halves of every coupler and staple connector.

    ``kinds`` : rows of ``kinds*.csv`` by id. A profile whose series is not in ``series`` is passed over.
    """
    kinds_of = by_series(kinds)
    return tuple(
        _end(profile, kind, series[profile.series], dashes, provenance)
        for profile in profiles
        for kind in kinds_of.get(profile.series, ())
        if profile.series in series
    )


def _end(
    profile: Profile, kind: KindRow, series: Series, dashes: Mapping[int, DashRow], provenance: Provenance
) -> CandidateEnd:
    half = 0 if kind.gender is Gender.MALE else 1
    origins = {"diameter": provenance.of(profile.family, profile, profile.columns[half])}
    return CandidateEnd(
        **of_kind(profile.id, kind, series, provenance, origins, note=profile.note),
        dash=profile.dash,
        nominal=profile.nominal,
        dn=dashes[profile.dash].dn if profile.dash in dashes else None,
        part=f"{profile.id}/{kind.variant}",
        source=profile.source,
        basis=profile.basis,
        profile_mm=(profile.halves[half],),
    )
