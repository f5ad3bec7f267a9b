"""Rows of ``sources.csv``, ``dashes.csv``, ``series.csv``, ``kinds.csv``, ``ends-*.csv``, ``origins.csv`` and
``threads-*.csv``, each number typed once.

Duty: say which columns there are, and fill a thread's empty sizes from the thread that it is like. It must not join one
table with another (:mod:`voicefit.catalogue.sizes` does) and must not know a formula
(:mod:`voicefit.catalogue.threads` does).

The id of a kind is ``series/variant``, a variant being a gender or a gender with a suffix (``female-o-ring``); the id
of a size is ``series/size``.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from voicefit.catalogue.ends import Shape, Trade
from voicefit.catalogue.tables import Exact, Row, Several, SeveralExact, Text, positive
from voicefit.quantities import MM_PER_INCH, exact
from voicefit.records import Gender, Seal, SeatForm

YesNo = Literal["yes", "no"]
Share = Annotated[float, Field(ge=0, le=1)]
Dash = Annotated[int, Field(ge=1, le=64)]
HalfAngle = Annotated[float, Field(gt=0, lt=90)]


class Source(Row):
    """One row of the bibliography, ``sources.csv``. Its ``source`` and ``basis`` are filled by default."""

    source: Text = "sources"
    basis: Literal["memory", "handbook"] = "memory"  # type: ignore[assignment]  # how the citation itself is known
    id: Text
    title: Text
    publication: str = ""
    edition: str = ""


class DashRow(Row):
    """A nominal size in sixteenths of an inch with its DN and hose bore."""

    dash: Dash
    dn: Annotated[int, Field(ge=1, le=200)]
    bore_mm: Exact = positive(200)


class Series(Row):
    """One family of ends.

    ``words`` : what people call it. ``written`` : shorthand in shops' lists beside them; several series may share one.
    ``shape`` : what it is when seen. ``angle_named`` : whether the trade names its seat by the half or the included
    angle. ``tube_letter`` : beside the tube's diameter (12L). ``code`` : of a flange.
    ``trade`` : of ends that are not hydraulic and are recognised in order to be refused.
    """

    id: Text
    name: Text
    spoken_name: Text
    standard: Text
    words: Several = ()
    shape: Shape = Shape.THREADED
    angle_named: Literal["half", "included"] = "included"
    written: Several = ()
    tube_letter: Literal["", "ll", "l", "s"] = ""
    code: str = ""
    trade: Trade | None = None

    @property
    def named_by_half_angle(self) -> bool:
        """As flares are."""
        return self.angle_named == "half"


class KindRow(Row):
    """One form of a series' ends: what a fingertip and a seat gauge find, at every size.

    ``name``, ``spoken_name`` : added to the series' own. ``ordered_as`` : id of the kind it is interchangeable with.
    ``carries_seal`` : the joint's O-ring or washer sits on this end. ``threaded`` : no for a banjo eye.
    ``ball_nose_share`` : of the pieces with a convex seat, those whose nose is round. ``shoulder_edge`` : its shoulder
    seals by an edge of its own. ``ring_retained`` : a flat metal ring lies around its O-ring. ``seals_a_joint`` : rings
    or washers that one joint takes. ``felt_as`` : what its seat is often said to be, of a spigot that stands out and of
    the bore that takes it.
    """

    id: Text
    series: Text
    gender: Gender
    name: Text
    spoken_name: str = ""
    seat_half_angle_deg: HalfAngle | None = None
    seat_form: SeatForm
    seal: Seal
    also_seats_deg: SeveralExact = ()
    ordered_as: str = ""
    carries_seal: YesNo = "yes"
    threaded: YesNo = "yes"
    ball_nose_share: Share = 0.0
    shoulder_edge: YesNo = "no"
    ring_retained: YesNo = "no"
    seals_a_joint: Annotated[int, Field(ge=1, le=4)] = 1
    felt_as: SeatForm | None = None

    @property
    def variant(self) -> str:
        return self.id.partition("/")[2]


class SizeRow(Row):
    """One size of a series; every kind of the series comes in it unless ``variants`` names some.

    ``nominal`` : only where neither dash nor tube names the size. ``ordered_as`` : ids of ends that serve for this
    size's end of the same variant, or of the variant that theirs adds to (``female-universal`` for ``female``).
    ``eye_bore_mm`` : of a banjo. ``ball_nose_share`` : as of the kind, of the convex ends of this size.
    """

    id: Text
    series: Text
    variants: Several = ()
    dash: Dash | None = None
    nominal: str = ""
    dn: Annotated[int, Field(ge=1, le=200)] | None = None
    tube_od_in: Exact | None = positive(4, default=None)
    tube_od_mm: Exact | None = positive(100, default=None)
    also_tube_od_mm: SeveralExact = ()
    tube_wall_max_in: Exact | None = positive(1, default=None)
    tube_wall_min_mm: Exact | None = positive(20, default=None)
    tube_wall_max_mm: Exact | None = positive(20, default=None)
    thread: Text
    female_thread: str = ""
    o_ring: str = ""
    male_hex_in: SeveralExact = ()
    male_hex_mm: SeveralExact = ()
    female_hex_in: SeveralExact = ()
    female_hex_mm: SeveralExact = ()
    eye_bore_mm: Exact | None = positive(200, default=None)
    ball_nose_share: Share | None = None
    ordered_as: Several = ()

    @property
    def key(self) -> str:
        return self.id.partition("/")[2]


def by_series(kinds: Mapping[str, KindRow]) -> dict[str, list[KindRow]]:
    """The kinds of each series."""
    found: dict[str, list[KindRow]] = {}
    for kind in kinds.values():
        found.setdefault(kind.series, []).append(kind)
    return found


class OriginRow(Row):
    """How much likelier than elsewhere a machine of ``country`` carries the series: a weak odds ratio."""

    id: Text
    country: Text
    series: Text
    odds: Exact = Field(ge=0.25, le=4)


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
