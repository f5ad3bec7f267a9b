"""The whole catalogue from the texts of ``data/``, once, checked.

Duty: join what the modules beside it read, and refuse a set of tables that contradicts itself. It must not open files
and must not know what a measurement means.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import chain

from voicefit.catalogue import checks, coverage, figures, flanges, hoses, orings, profiles, sizes
from voicefit.catalogue.coverage import GapRow
from voicefit.catalogue.ends import CandidateEnd, Series, Thread
from voicefit.catalogue.figures import Figures
from voicefit.catalogue.flanges import Flange
from voicefit.catalogue.hoses import Hose
from voicefit.catalogue.orings import ORing
from voicefit.catalogue.size_rows import DashRow, KindRow, OriginRow, SeriesRow, SizeRow, SourceRow
from voicefit.catalogue.tables import Row, check_families, check_sources, merged, read_family, unique
from voicefit.catalogue.thread_rows import ThreadRow
from voicefit.catalogue.threads import threads_from
from voicefit.errors import BadTable

TABLES: Mapping[str, type[Row]] = {
    "sources": SourceRow,
    "series": SeriesRow,
    "kinds": KindRow,
    "dashes": DashRow,
    "threads": ThreadRow,
    "ends": SizeRow,
    "origins": OriginRow,
    "flanges": flanges.FlangeRow,
    "couplers": profiles.CouplerRow,
    "staples": profiles.StapleRow,
    "orings": orings.ORingRow,
    "torques": figures.TorqueRow,
    "turns": figures.TurnsRow,
    "pressures": figures.PressureRow,
    "hose-types": hoses.HoseTypeRow,
    "hoses": hoses.HoseRow,
    "hose-classes": hoses.HoseClassRow,
    "hose-class-sizes": hoses.HoseClassSizeRow,
    "gaps": coverage.GapRow,
}
"""Every family of tables by the beginning of its files' names, with the type of its rows."""


@dataclass(frozen=True, slots=True)
class Source:
    """One entry of the bibliography."""

    id: str
    title: str
    publication: str
    edition: str


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Everything the tables say.

    ``ends`` : all ends, in a fixed order; a row number of the matcher is an index into it.
    ``by_id`` : the same by id. ``threads`` : by designation. ``dashes`` : dash to DN.
    ``origins`` : country to series to natural log of the odds ratio; what is not listed is 0.
    ``orings`` : by id. ``figures`` : torques, turns and pressures; each end carries its own already.
    ``gaps`` : what no end or hose has a figure of, and why.
    ``digest`` : SHA-256 over all texts, hexadecimal: names this catalogue in a record.
    """

    ends: tuple[CandidateEnd, ...]
    series: Mapping[str, Series]
    threads: Mapping[str, Thread]
    dashes: Mapping[int, int]
    sources: Mapping[str, Source]
    origins: Mapping[str, Mapping[str, float]]
    orings: Mapping[str, ORing]
    flanges: tuple[Flange, ...]
    hoses: tuple[Hose, ...]
    figures: Figures
    gaps: tuple[GapRow, ...]
    digest: str
    by_id: Mapping[str, CandidateEnd] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_id", {end.id: end for end in self.ends})


def digest_of(texts: Mapping[str, str]) -> str:
    """SHA-256 over the names and texts, in the order of the names."""
    sha = hashlib.sha256()
    for name in sorted(texts):
        for part in (name, texts[name]):
            encoded = part.encode()
            sha.update(len(encoded).to_bytes(8, "big") + encoded)
    return sha.hexdigest()


def load_catalogue(texts: Mapping[str, str], extra: Mapping[str, str] | None = None) -> Catalogue:
    """Load every table.

    Parameters
    ----------
    texts : file name to text, of ``data/``, the user's own under ``added/``; what is not ``.csv`` counts in the digest
        only
    extra : the user's own tables where they are not among ``texts``; their rows come after the project's

    Raises :class:`BadTable` naming file, row, column and reason at the first thing wrong.

    >>> from voicefit.resources import data_folder, read_texts
    >>> catalogue = load_catalogue(read_texts(data_folder(), ".csv"))
    >>> catalogue.by_id["flare30-g/6/female"].thread.designation
    'G3/8'
    """
    tables = merged(texts, extra)
    check_families(tables, TABLES)
    source_rows = unique(read_family(tables, "sources", SourceRow))
    dash_rows = {row.dash: row for row in unique(read_family(tables, "dashes", DashRow), "dash").values()}
    series_rows = unique(read_family(tables, "series", SeriesRow))
    kind_rows = unique(read_family(tables, "kinds", KindRow))
    thread_rows = unique(read_family(tables, "threads", ThreadRow))
    size_rows = unique(read_family(tables, "ends", SizeRow))
    origin_rows = unique(read_family(tables, "origins", OriginRow))
    read_here = (dash_rows, series_rows, kind_rows, thread_rows, size_rows, origin_rows)
    check_sources(chain.from_iterable(rows.values() for rows in read_here), source_rows)

    series = sizes.series_from(series_rows.values())
    sizes.check_kinds(kind_rows, series)
    threads = threads_from(thread_rows.values())
    rings = orings.parse(tables, source_rows)
    check = checks.of_other_tables(series, kind_rows.values(), rings)
    for row in size_rows.values():
        check(row)
    flange_sizes = flanges.parse(tables, source_rows, check, {each.id: each.code for each in series.values()})
    unthreaded = profiles.parse(tables, source_rows, check)

    bare = [
        *sizes.ends_from(size_rows.values(), kind_rows, series, threads, dash_rows),
        *flanges.flange_ends(flange_sizes, kind_rows, series, dash_rows),
        *profiles.profile_ends(unthreaded, kind_rows, series, dash_rows),
    ]
    if not bare:
        raise BadTable("ends-*.csv", None, None, "there is no table of ends")
    _check_parts(size_rows.values(), bare)
    checks.check_fit(size_rows, bare, rings)
    published = figures.parse(tables, source_rows, bare)
    all_hoses = hoses.parse(tables, source_rows)
    return Catalogue(
        ends=tuple(published.attach(end) for end in bare),
        series=series,
        threads=threads,
        dashes={dash: row.dn for dash, row in dash_rows.items()},
        sources={row.id: Source(row.id, row.title, row.publication, row.edition) for row in source_rows.values()},
        origins=_origins(origin_rows.values(), series),
        orings=rings,
        flanges=flange_sizes,
        hoses=all_hoses,
        figures=published,
        gaps=coverage.gaps_from(tables, source_rows, bare, all_hoses),
        digest=digest_of(tables),
    )


def _check_parts(rows: Iterable[SizeRow], ends: Iterable[CandidateEnd]) -> None:
    ids = {end.id for end in ends}
    for row in rows:
        for end_id in row.ordered_as:
            if end_id not in ids:
                raise row.bad("ordered_as", f"{end_id!r} is no end")


def _origins(rows: Iterable[OriginRow], series: Mapping[str, Series]) -> dict[str, dict[str, float]]:
    origins: dict[str, dict[str, float]] = {}
    for row in rows:
        if row.series not in series:
            raise row.bad("series", f"{row.series!r} is not in series.csv")
        origins.setdefault(row.country, {})[row.series] = math.log(row.odds)
    return origins
