"""Rows of ``threads-*.csv``: the basic data of a thread, each number typed once.

Duty: say which columns there are, and fill a row's empty sizes from the thread that it is like. It must not know a
formula: they are in :mod:`voicefit.catalogue.threads`.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from voicefit.catalogue.tables import Exact, Row, Text, positive
from voicefit.quantities import MM_PER_INCH, exact

System = Literal["M", "UN", "G", "R", "NPT", "NPSM", "M-taper", "W"]


class ThreadRow(Row):
    """One row of ``threads-*.csv``: basic data only.

    ``id`` : the designation as the standard writes it; it must agree with the other columns.
    ``form`` : of a unified thread, what follows the pitch in its designation: UNC, UNF, UNEF, UN, UNS.
    ``major_diameter_mm`` : basic, of pipe threads of 55 degrees only; elsewhere it follows from the size.
    ``pipe_outside_diameter_in``, ``gauge_length_*`` : of pipe threads, as their standards tabulate them.
    ``like`` : id of a thread of the same size and pitch that has these sizes where the cells here are empty.
    """

    id: Text
    system: System
    like: str = ""
    size: Text
    tpi: Exact | None = positive(100, default=None)
    pitch_mm: Exact | None = positive(10, default=None)
    form: Literal["", "UNC", "UNF", "UNEF", "UN", "UNS"] = ""
    tolerance_class: Text
    major_diameter_mm: Exact | None = positive(200, default=None)
    pipe_outside_diameter_in: Exact | None = positive(10, default=None)
    pitch_diameter_tolerance_mm: Exact | None = positive(1, default=None)
    minor_tolerance_mm: Exact | None = positive(1, default=None)
    gauge_length_mm: Exact | None = positive(50, default=None)
    gauge_length_in: Exact | None = positive(2, default=None)
    thread_length_mm: Exact | None = positive(60, default=None)

    def need(self, column: str) -> Fraction:
        """The column's value; raises :class:`BadTable` where the system needs it and the cell is empty."""
        value = getattr(self, column)
        if value is None:
            raise self.bad(column, f"a thread of system {self.system} needs it")
        assert isinstance(value, Fraction)
        return value

    def pitch(self) -> Fraction:
        """The pitch in mm, exact, from whichever of the two columns is filled."""
        if (self.tpi is None) == (self.pitch_mm is None):
            raise self.bad("tpi", "give either tpi or pitch_mm")
        return self.pitch_mm if self.pitch_mm is not None else MM_PER_INCH / self.need("tpi")

    def size_number(self) -> Fraction:
        """The nominal size as a number, in its own unit."""
        try:
            return exact(self.size)
        except ValueError:
            raise self.bad("size", f"{self.size!r} is not a size such as 9/16 or 22") from None


_SHARED = ("major_diameter_mm", "pipe_outside_diameter_in", "gauge_length_mm", "gauge_length_in", "thread_length_mm")


def filled(row: ThreadRow, rows: Mapping[str, ThreadRow], seen: frozenset[str] = frozenset()) -> ThreadRow:
    """The row with its empty sizes taken from the thread it is like, and that one's from its own like."""
    if not row.like:
        return row
    other = rows.get(row.like)
    if other is None or other.id in seen | {row.id}:
        raise row.bad("like", f"{row.like!r} is in no table of threads, or comes back to this one")
    if (other.size, other.tpi, other.pitch_mm) != (row.size, row.tpi, row.pitch_mm):
        raise row.bad("like", f"{row.like} is not of the same size and pitch")
    other = filled(other, rows, seen | {row.id})
    empty = (column for column in _SHARED if getattr(row, column) is None)
    return row.model_copy(update={column: getattr(other, column) for column in empty})
