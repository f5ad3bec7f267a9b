"""What the tables leave open: fields that the ends of a series could have and do not, each with the reason.

Duty: read ``gaps.csv``, which says why some ends have no figure. It must not fill a gap. ``coverage.py`` beside it
counts the figures that there are; a test holds the two against each other, both ways.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from voicefit.catalogue import Catalogue
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


def gaps_from(texts: Mapping[str, str], catalogue: Catalogue) -> tuple[GapRow, ...]:
    """The rows of ``gaps.csv``. Raises ``BadTable``, also for a series or hose that is not there."""
    rows = tuple(read_rows(texts, "gaps", GapRow, catalogue.sources).values())
    known = {*(end.series for end in catalogue.ends), *map(name_of, catalogue.hoses)}
    for row in rows:
        if (row.field in BY_NOTE) == bool(row.series):
            raise row.bad("series", f"names what lacks the figure; a {row.field} is named by the note alone")
        if unknown := [series for series in row.series if series not in known]:
            raise row.bad("series", f"{unknown[0]!r} is neither a series nor a hose")
    return rows


def name_of(hose: Hose) -> str:
    """What ``gaps.csv`` calls a hose."""
    return hose.source if hose.type.standard == CLASS_STANDARD else hose.type.id
