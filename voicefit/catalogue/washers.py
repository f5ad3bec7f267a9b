"""What seals flat-shoulder studs and banjos: bonded and copper washers, captured rings, from ``washers.csv``.

Duty: the sizes of a washer by the thread that passes it. It must not know an end.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from voicefit.catalogue.ends import Basis, Thread
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.tables import Exact, Row, Text, check_sources, positive, read_family, unique

Make = Literal["bonded washer", "copper washer", "captured ring"]
# Between the hole and the thread that passes it: more would not centre. A bonded washer's lip may lie within the
# crests; a captured ring lies in a groove of the stud's shoulder, about the thread's undercut.
GAPS_MM: Mapping[Make, tuple[float, float]] = {
    "bonded washer": (-0.5, 2.0),
    "copper washer": (-0.5, 2.0),
    "captured ring": (-5.0, 0.0),
}


class WasherRow(Row):
    """One row of ``washers.csv``: sizes in millimetres. ``make`` : metal with an elastomer lip, soft copper, or
    the elastomer ring of a stud with a groove for it."""

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
    least, greatest = GAPS_MM[row.make]
    if not least <= gap <= greatest:
        raise row.bad("inside_diameter_mm", f"{float(row.inside_diameter_mm):g} mm does not go over {row.thread}")
    if float(row.outside_diameter_mm) <= max(float(row.inside_diameter_mm), thread.major_diameter_mm):
        raise row.bad("outside_diameter_mm", "must be greater than the inside diameter and the thread")
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
