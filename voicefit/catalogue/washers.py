"""Sealing washers of flat-shoulder studs and banjos: bonded and copper, from ``washers.csv``.

Duty: the sizes of a washer by the thread that passes it. It must not know an end.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from voicefit.catalogue.ends import Basis, Thread
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.tables import Exact, Row, Text, check_sources, positive, read_family, unique

Make = Literal["bonded washer", "copper washer"]
LARGEST_GAP_MM = 2.0  # between the hole and the thread that passes it: more would not centre


class WasherRow(Row):
    """One row of ``washers.csv``: sizes in millimetres. ``make`` : metal with an elastomer lip, or soft copper."""

    id: Text
    thread: Text
    make: Make
    inside_diameter_mm: Exact = positive(200)
    outside_diameter_mm: Exact = positive(200)
    thickness_mm: Exact = positive(10)


@dataclass(frozen=True, slots=True)
class Washer:
    """One size. ``thread`` : designation of the thread that passes it."""

    id: str
    thread: str
    make: Make
    inside_diameter_mm: float
    outside_diameter_mm: float
    thickness_mm: float
    source: str
    basis: Basis


def parse(
    texts: Mapping[str, str],
    sources: Mapping[str, object],
    threads: Mapping[str, Thread],
    faults: Faults = AT_ONCE,
) -> dict[str, tuple[Washer, ...]]:
    """Washers by thread, in the order of the table. Notes a ``BadTable`` where one does not go with its thread."""
    rows = unique(read_family(texts, "washers", WasherRow, faults), faults=faults)
    check_sources(rows.values(), sources, faults)
    found: dict[str, tuple[Washer, ...]] = {}
    for row in rows.values():
        if faults.lacks(row.thread, threads):
            faults.note(row.bad("thread", f"{row.thread!r} is in no table of threads"))
        if row.thread not in threads:
            continue
        with faults.noting(row.id):
            found[row.thread] = (*found.get(row.thread, ()), _washer(row, threads[row.thread]))
    return found


def _washer(row: WasherRow, thread: Thread) -> Washer:
    gap = float(row.inside_diameter_mm) - thread.major_diameter_mm
    if not -0.5 <= gap <= LARGEST_GAP_MM:  # a bonded washer's lip may lie within the crests
        raise row.bad("inside_diameter_mm", f"{float(row.inside_diameter_mm):g} mm does not go over {row.thread}")
    if row.outside_diameter_mm <= row.inside_diameter_mm:
        raise row.bad("outside_diameter_mm", "must be greater than the inside diameter")
    return Washer(
        id=row.id,
        thread=row.thread,
        make=row.make,
        inside_diameter_mm=float(row.inside_diameter_mm),
        outside_diameter_mm=float(row.outside_diameter_mm),
        thickness_mm=float(row.thickness_mm),
        source=row.source,
        basis=row.basis,
    )


def of_thread(washers: Mapping[str, tuple[Washer, ...]], threads: Iterable[Thread | None]) -> tuple[Washer, ...]:
    """The washers of the first of the threads that has any."""
    for thread in threads:
        if thread is not None and thread.designation in washers:
            return washers[thread.designation]
    return ()
