"""What a row must not contradict in other tables, and what must go together in one end.

Duty: refuse, naming the row, so that a slip of the pen in anybody's table is found before it is measured against. It
must not compare sizes with each other: a series of one's own may be as odd as it likes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from voicefit.catalogue.ends import CandidateEnd, Thread
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.orings import ORing
from voicefit.catalogue.rows import KindRow, Series, SizeRow
from voicefit.catalogue.tables import Row
from voicefit.records import Gender, Seal

FEMALE = (Gender.FEMALE, Gender.PORT)
LARGEST_HEX = 2.2  # times the thread: more is a slip of the pen; common practice, no source
LEAST_STRETCH = 0.74  # inside diameter of a ring over the thread's minor diameter that it is stretched on


def of_other_tables(
    series: Mapping[str, Series], kinds: Iterable[KindRow], rings: Mapping[str, ORing], faults: Faults = AT_ONCE
) -> Callable[[Row], None]:
    """A check of one row of sizes: its series is there, has kinds of end, and its O-ring is in a table."""
    with_kinds = {kind.series for kind in kinds}

    def check(row: Row) -> None:
        named, ring = getattr(row, "series", ""), getattr(row, "o_ring", "")
        if faults.lacks(named, series):
            faults.note(row.bad("series", f"{named!r} is not in series.csv"))
        elif named in series and named not in with_kinds and not faults.broken(f"kinds of {named}"):
            faults.note(row.bad("series", f"kinds.csv has no kind of {named!r}"))
        if ring and faults.lacks(ring, rings):
            faults.note(row.bad("o_ring", f"{ring!r} is in no table of O-rings"))

    return check


def check_fit(
    rows: Mapping[str, SizeRow], ends: Iterable[CandidateEnd], rings: Mapping[str, ORing], faults: Faults = AT_ONCE
) -> None:
    """Note ``BadTable`` where hexagon, tube or O-ring do not go with the thread of an end.

    ``rows`` : of the sizes by id; ends of other tables have no thread and are passed over.
    """
    for end in ends:
        row = rows.get(end.size_id)
        if row is None or end.thread is None:
            continue
        with faults.noting():
            _check_hexagon(row, end, end.thread)
        for tube in () if end.tube_od_mm is None else (end.tube_od_mm, *end.also_tube_od_mm):
            if tube >= end.thread.internal_minor_mm[0]:
                reason = f"a tube of {tube:g} mm does not pass a nut of {row.thread}"
                faults.note(row.bad(_filled(row, "tube_od"), reason))
        if end.o_ring is not None and end.o_ring in rings:
            with faults.noting():
                _check_ring(row, end, end.thread, rings[end.o_ring])


def _check_hexagon(row: SizeRow, end: CandidateEnd, thread: Thread) -> None:
    """A nut is larger than the thread within it, a body at least the thread's size; neither is twice as large."""
    stem = "female_hex" if end.gender in FEMALE else "male_hex"
    least = thread.major_diameter_mm * (1 if end.gender in FEMALE else 0.99)
    for across in end.hex_mm:
        if not least < across < LARGEST_HEX * thread.major_diameter_mm:
            raise row.bad(_filled(row, stem), f"{across:g} mm across flats does not go with {thread.designation}")


def _check_ring(row: SizeRow, end: CandidateEnd, thread: Thread, ring: ORing) -> None:
    """At the base of a thread a ring grips the undercut; in a face or a nose it lies within the nut's thread."""
    if end.seal is Seal.BASE_O_RING:
        fits = (
            LEAST_STRETCH * thread.minor_diameter_mm < ring.inside_diameter_mm < thread.minor_diameter_mm
            and ring.outside_diameter_mm > thread.minor_diameter_mm
        )
    else:
        fits = ring.outside_diameter_mm < thread.internal_minor_mm[0]
    if not fits:
        raise row.bad("o_ring", f"{ring.id} does not go with {thread.designation}")


def _filled(row: SizeRow, stem: str) -> str:
    """The column of the two, inch or millimetre, that the row fills."""
    return f"{stem}_in" if getattr(row, f"{stem}_in") else f"{stem}_mm"
