"""What seals flat-shoulder studs and banjos: bonded and copper washers, captured rings, from ``washers.csv``.

Duty: the sizes of a washer by the thread that passes it. It must not know an end.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal

from voicefit.catalogue.ends import Thread
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.tables import Number, Row, Text, positive, read_rows

Make = Literal["bonded washer", "copper washer", "captured ring"]
# Between the hole and the thread that passes it: more would not centre. A bonded washer's lip may lie within the
# crests; a captured ring lies in a groove of the stud's shoulder, about the thread's undercut.
GAPS_MM: Mapping[Make, tuple[float, float]] = {
    "bonded washer": (-0.5, 2.0),
    "copper washer": (-0.5, 2.0),
    "captured ring": (-5.0, 0.0),
}


class Washer(Row):
    """One row of ``washers.csv``: sizes in millimetres. ``make`` : metal with an elastomer lip, soft copper, or
    the elastomer ring of a stud with a groove for it."""

    id: Text
    thread: Text
    make: Make
    inside_diameter_mm: Number = positive(200)
    outside_diameter_mm: Number = positive(200)
    thickness_mm: Number = positive(10)


def parse(
    texts: Mapping[str, str], sources: Mapping[str, object], threads: Mapping[str, Thread], faults: Faults = AT_ONCE
) -> dict[str, tuple[Washer, ...]]:
    """Washers by thread, in the order of the table. Notes a ``BadTable`` where one does not go with its thread."""
    rows = read_rows(texts, "washers", Washer, sources, faults)
    found: dict[str, tuple[Washer, ...]] = {}
    for row in rows.values():
        if faults.lacks(row.thread, threads):
            faults.note(row.bad("thread", f"{row.thread!r} is in no table of threads"))
        if row.thread not in threads:
            continue
        with faults.noting(row.id):
            _check(row, threads[row.thread])
            found[row.thread] = (*found.get(row.thread, ()), row)
    return found


def _check(row: Washer, thread: Thread) -> None:
    gap = row.inside_diameter_mm - thread.major_diameter_mm
    least, greatest = GAPS_MM[row.make]
    if not least <= gap <= greatest:
        raise row.bad("inside_diameter_mm", f"{row.inside_diameter_mm:g} mm does not go over {row.thread}")
    if row.outside_diameter_mm <= max(row.inside_diameter_mm, thread.major_diameter_mm):
        raise row.bad("outside_diameter_mm", "must be greater than the inside diameter and the thread")


def of_thread(washers: Mapping[str, tuple[Washer, ...]], threads: Iterable[Thread | None]) -> tuple[Washer, ...]:
    """The washers of the first of the threads that has any."""
    for thread in threads:
        if thread is not None and thread.designation in washers:
            return washers[thread.designation]
    return ()
