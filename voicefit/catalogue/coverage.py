"""What the tables leave open: fields that the ends of a series could have and do not, each with the reason.

Duty: read ``gaps.csv``, which says why some ends have no figure. It must not fill a gap. ``tools/coverage.py`` counts
the figures that there are; a test holds the two against each other, both ways.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum

from voicefit.catalogue.ends import CandidateEnd
from voicefit.catalogue.faults import AT_ONCE, Faults
from voicefit.catalogue.hoses import CLASS_STANDARD, Hose
from voicefit.catalogue.tables import Row, Several, Text, read_rows


class Field(StrEnum):
    """What an end can have or lack; of a hose the last only."""

    DN = "dn"
    O_RING = "o_ring"
    HEX = "hex"
    WALL = "tube_wall"
    TORQUE = "torque"
    TURNS = "turns"
    PRESSURE = "pressure"
    OUTSIDE = "outside_diameter"
    WHOLE = "whole"  # a thing of the trade that is in no table; the note says which
    SOURCE = "source"  # figures that are here from memory, since no open publication was found; the note says which


BY_NOTE = frozenset({Field.WHOLE, Field.SOURCE})  # of no one series


class Why(StrEnum):
    """Why there is no figure."""

    NO_STANDARD = "no standard"  # the series, or that size of it, is in no published standard
    STANDARD_GIVES_NONE = "standard gives none"
    RATED_WITH_LINE = "rated with its hose or tube"
    NOT_HERE = "not here"
    NOT_FOUND = "no open source found"
    NOT_RECALLED = "not recalled"  # published, but not known well enough here to be written down


class GapRow(Row):
    """One row of ``gaps.csv``. ``series`` : series that it is true of, wholly or in some sizes.

    Of hoses: the id of the type, or the source of all hoses that go by a class.
    """

    id: Text
    field: Field
    series: Several = ()
    why: Why


def gaps_from(
    texts: Mapping[str, str],
    sources: Mapping[str, object],
    ends: Iterable[CandidateEnd],
    hoses: Iterable[Hose],
    faults: Faults = AT_ONCE,
) -> tuple[GapRow, ...]:
    """The rows of ``gaps.csv``. Notes a ``BadTable``, also for a series or hose that is not there."""
    rows = read_rows(texts, "gaps", GapRow, sources, faults)
    known = {*(end.series for end in ends), *map(name_of, hoses)}
    for row in rows.values():
        if (row.field in BY_NOTE) == bool(row.series):
            faults.note(row.bad("series", f"names what lacks the figure; a {row.field} is named by the note alone"))
        if unknown := [series for series in row.series if faults.lacks(series, known)]:
            faults.note(row.bad("series", f"{unknown[0]!r} is neither a series nor a hose"))
    return tuple(rows.values())


def name_of(hose: Hose) -> str:
    """What ``gaps.csv`` calls a hose."""
    return hose.source if hose.type.standard == CLASS_STANDARD else hose.type.id
