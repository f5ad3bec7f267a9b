"""The whole catalogue from the texts of ``data/``, once, checked.

Duty: join what the modules beside it read, and refuse a set of tables that contradicts itself. It must not open files
and must not know what a measurement means.
"""

from __future__ import annotations

import csv
import hashlib
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from voicefit.catalogue import checks, figures, flanges, hoses, orings, profiles, provenance, sizes, washers
from voicefit.catalogue.ends import CandidateEnd, Thread
from voicefit.catalogue.faults import Faults
from voicefit.catalogue.flanges import Flange
from voicefit.catalogue.hoses import Hose
from voicefit.catalogue.orings import ORing
from voicefit.catalogue.rows import DashRow, KindRow, OriginRow, Series, SizeRow, Source, ThreadRow
from voicefit.catalogue.tables import R, Row, belongs, check_families, merged, read_rows
from voicefit.catalogue.threads import threads_from
from voicefit.catalogue.washers import Washer
from voicefit.errors import BadTable

TABLES: Mapping[str, type[Row]] = {
    "sources": Source,
    "series": Series,
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
    "hose-types": hoses.HoseType,
    "hoses": hoses.HoseRow,
    "hose-classes": hoses.HoseClassRow,
    "hose-class-sizes": hoses.HoseClassSizeRow,
    "washers": washers.Washer,
    "provenance": provenance.ProvenanceRow,
}
"""Every family of tables by the beginning of its files' names, with the type of its rows."""


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Everything the tables say.

    ``ends`` : all ends, in a fixed order; a row number of the matcher is an index into it.
    ``by_id`` : the same by id. ``threads`` : by designation. ``dashes`` : dash to DN.
    ``origins`` : country to series to natural log of the odds ratio; what is not listed is 0.
    ``orings`` : by id.
    ``washers`` : sealing washers by the thread that passes them.
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
    washers: Mapping[str, tuple[Washer, ...]]
    digest: str
    by_id: Mapping[str, CandidateEnd] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_id", {end.id: end for end in self.ends})


def ids_of(tables: Mapping[str, str], family: str) -> Iterator[str]:
    """The ids of a family's rows, as they are written."""
    for path, text in tables.items():
        if path.endswith(".csv") and belongs(path, family):
            yield from (row.get("id") or "" for row in csv.DictReader(text.splitlines()))


def digest_of(texts: Mapping[str, str]) -> str:
    """SHA-256 over the names and texts, in the order of the names."""
    sha = hashlib.sha256()
    for name in sorted(texts):
        for part in (name, texts[name]):
            encoded = part.encode()
            sha.update(len(encoded).to_bytes(8, "big") + encoded)
    return sha.hexdigest()


def load_catalogue(
    texts: Mapping[str, str], extra: Mapping[str, str] | None = None, faults: Faults | None = None
) -> Catalogue:
    """Load every table.

    Parameters
    ----------
    texts : file name to text, of ``data/``, the user's own under ``added/``; what is not ``.csv`` counts in the digest
        only
    extra : the user's own tables where they are not among ``texts``; their rows come after the project's
    faults : where given, what is wrong is noted there and the catalogue is of what is left

    Raises :class:`BadTable` naming file, row, column and reason, :class:`BadTables` where more than one thing is wrong.

    >>> from voicefit.resources import data_folder, read_texts
    >>> catalogue = load_catalogue(read_texts(data_folder(), ".csv"))
    >>> catalogue.by_id["flare30-g/6/female"].thread.designation
    'G3/8'
    """
    found = Faults() if faults is None else faults
    catalogue = _load(merged(texts, extra), found)
    if faults is None:
        found.check_sources(catalogue.sources)
        found.raise_all()
    return catalogue


def _load(tables: Mapping[str, str], faults: Faults) -> Catalogue:
    check_families(tables, TABLES, faults)
    source_rows = read_rows(tables, "sources", Source, faults=faults)

    def rows_of(family: str, model: type[R], column: str = "id") -> dict[str, R]:
        return read_rows(tables, family, model, source_rows, faults, column)

    dash_rows = {row.dash: row for row in rows_of("dashes", DashRow, "dash").values()}
    series, kind_rows = rows_of("series", Series), rows_of("kinds", KindRow)
    thread_rows, size_rows = rows_of("threads", ThreadRow), rows_of("ends", SizeRow)
    cells = provenance.parse(tables, source_rows, TABLES, lambda family: ids_of(tables, family), faults)
    sizes.check_kinds(kind_rows, series, faults)
    threads = threads_from(thread_rows.values(), faults)
    rings = orings.parse(tables, source_rows, faults)
    check = checks.of_other_tables(series, kind_rows.values(), rings, faults)
    for row in size_rows.values():
        check(row)
    codes = {each.id: each.code for each in series.values()}
    flange_sizes = flanges.parse(tables, source_rows, check, codes, faults, cells)
    unthreaded = profiles.parse(tables, source_rows, check, faults)

    bare = [
        *sizes.ends_from(size_rows.values(), kind_rows, series, threads, dash_rows, faults, cells),
        *flanges.flange_ends(flange_sizes, kind_rows, series, dash_rows, cells),
        *profiles.profile_ends(unthreaded, kind_rows, series, dash_rows, cells),
    ]
    if not bare:
        faults.note(BadTable("ends-*.csv", None, None, "there is no table of ends"))
    _check_parts(size_rows.values(), bare, faults)
    checks.check_fit(size_rows, bare, rings, faults)
    names = {each.id: each.name for each in series.values()}
    published = figures.parse(tables, source_rows, bare, faults, names, cells)
    return Catalogue(
        ends=orings.with_mouths(published.attach(bare), rings),
        series=series,
        threads=threads,
        dashes={dash: row.dn for dash, row in dash_rows.items()},
        sources=source_rows,
        origins=_origins(rows_of("origins", OriginRow).values(), series, faults),
        orings=rings,
        flanges=flange_sizes,
        hoses=hoses.parse(tables, source_rows, faults, cells),
        washers=washers.parse(tables, source_rows, threads, faults),
        digest=digest_of(tables),
    )


def _check_parts(rows: Iterable[SizeRow], ends: Iterable[CandidateEnd], faults: Faults) -> None:
    ids = {end.id for end in ends}
    for row in rows:
        for end_id in row.ordered_as:
            if faults.lacks(end_id, ids):
                faults.note(row.bad("ordered_as", f"{end_id!r} is no end"))


def _origins(rows: Iterable[OriginRow], series: Mapping[str, Series], faults: Faults) -> dict[str, dict[str, float]]:
    origins: dict[str, dict[str, float]] = {}
    for row in rows:
        if faults.lacks(row.series, series):
            faults.note(row.bad("series", f"{row.series!r} is not in series.csv"))
        origins.setdefault(row.country, {})[row.series] = math.log(row.odds)
    return origins
