"""The frozen types of the catalogue: threads, candidate ends, and what belongs to them.

Duty: say what an end *is*, in millimetres and degrees, with its source. It must not read files and must not
score anything: tables are parsed by the modules beside it, matching happens in :mod:`voicefit.matching`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING

from voicefit.records import Gender, Seal, SeatForm

if TYPE_CHECKING:
    from voicefit.catalogue.conditions import HoldsFor


class Basis(StrEnum):
    """How a row came to be known."""

    STANDARD = "standard"  # read in the standard named
    COMPUTED = "computed"  # by a formula from another row
    HANDBOOK = "handbook"
    COMMON_PRACTICE = "common practice"
    MEMORY = "memory"  # recalled, not read


def least_sure(bases: Iterable[Basis | None]) -> Basis | None:
    """Of what stands on several: memory where any of them is, else the first that is there."""
    there = [basis for basis in bases if basis is not None]
    return Basis.MEMORY if Basis.MEMORY in there else next(iter(there), None)


class Shape(StrEnum):
    """What kind of thing an end is, known when seen; the answers of ``Measurand.SHAPE``."""

    THREADED = "threaded"
    BANJO = "banjo"
    FLANGE = "flange"
    COUPLER = "coupler"
    STAPLE = "staple"


class Trade(StrEnum):
    """Another trade whose ends look like hydraulic ones: recognised in order to be refused."""

    AIR_CONDITIONING = "air conditioning"
    BRAKE_LINE = "brake line"
    AIR_BRAKE = "air brake"
    FUEL_INJECTION = "fuel injection"
    COMPRESSED_GAS = "compressed gas"


HYDRAULIC = "hydraulic"  # what the line of every other end carries


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread of one designation, basic profile and limits, all in mm.

    ``designation`` : as its standard writes it: ``G3/8``, ``R3/8``, ``3/8-18 NPT``, ``9/16-18 UNF``, ``M22×1.5``.
    ``system`` : ``G``, ``R``, ``NPT`` (also of NPTF), ``NPSM``, ``UN``, ``M``, ``M-taper``.
    ``size`` : the nominal size in words of the designation (``3/8``, ``22``); ``size_unit`` ``in`` or ``mm``.
    ``*_diameter_mm`` : basic, at the gauge plane for a taper.
    ``external_major_mm`` : limits (least, greatest) of a new male thread's major diameter.
    ``internal_minor_mm`` : limits of a new female thread's minor diameter.
    ``taper`` : change of diameter per length: 0 or 1/16. For a taper the limits are what a caliper can meet: from the
    small end to the last full thread of a male, from the mouth to the gauge length of a female.
    ``gauge_length_mm`` : of a taper, from the small end of a male to the gauge plane. ``thread_length_mm`` : of a
    taper, its full threads.
    """

    designation: str
    system: str
    size: str
    size_unit: str
    pitch_mm: float
    tpi: Fraction | None
    major_diameter_mm: float
    pitch_diameter_mm: float
    minor_diameter_mm: float
    external_major_mm: tuple[float, float]
    internal_minor_mm: tuple[float, float]
    tolerance_class: str
    flank_angle_deg: float
    taper: Fraction
    source: str
    basis: Basis
    gauge_length_mm: float | None = None
    thread_length_mm: float | None = None

    @property
    def rounded(self) -> bool:
        """Whether its crests are: at 55 degrees (ISO 7-1, ISO 228-1); those of 60 degrees are cut flat."""
        return self.flank_angle_deg < 60


@dataclass(frozen=True, slots=True)
class Origin:
    """Where one value comes from: key of the bibliography, and how it came to be known."""

    source: str
    basis: Basis

    @property
    def recalled(self) -> bool:
        """Whether it was recalled and not read: to be said wherever it is said."""
        return self.basis is Basis.MEMORY


@dataclass(frozen=True, slots=True)
class Figure:
    """A published figure with its source: a range, never one bare number.

    ``holds_for`` : the typed conditions that decide where it applies; ``condition`` : the same in writing.
    """

    low: float
    high: float
    unit: str
    source: str
    edition: str
    basis: Basis
    condition: str = ""
    holds_for: HoldsFor | None = None
    more_sources: tuple[str, ...] = ()  # of a span: the others, beside ``source``

    @property
    def recalled(self) -> bool:
        """Whether it was recalled and not read: to be said wherever it is said."""
        return self.basis is Basis.MEMORY


@dataclass(frozen=True, slots=True)
class FlangeHead:
    """A flange head or four-bolt flange: sizes in mm, bolts by designation. ``None`` : not known."""

    head_diameter_mm: float | None
    head_thickness_mm: float | None
    bolt_long_mm: float
    bolt_short_mm: float
    bolt_metric: str | None
    bolt_inch: str | None
    square: bool = False  # a square body: the head diameter is its side

    usual: bool = True  # of the standard's thickness; its clamps and seal fit it

    @property
    def bolt_circle_mm(self) -> float:
        """Diameter of the circle through the centres of its four bolts."""
        return math.hypot(self.bolt_long_mm, self.bolt_short_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class CandidateEnd:
    """One end a person may be holding: a row of the matcher.

    ``id`` : stable, ``series/size/variant``; nothing is read out of it. ``size`` : key of the size within its series,
    ``variant`` : which form of the series it is (a gender, or a gender with a suffix). ``part`` : what one would order;
    ends that are interchangeable in use share it, and the advisor does not spend checks on telling them apart.
    ``spoken_name`` : for the ear, without size: "thirty degree flare on pipe thread".
    ``nominal`` : size as the trade says it: ``3/8`` (inch) or tube ``18`` (mm), text.
    ``tube_od_mm`` : where the tube names the size. ``seat_half_angle_deg`` : ``None`` where no cone seats.
    ``seal`` : what seals the joint; ``o_ring`` : id of its ring. Neither says on which of the two ends it sits:
    ``carries_seal`` does.
    ``profile_mm`` : diameters that identify an unthreaded end (coupler, staple), by name. ``bolt`` : the thread that
    passes a banjo eye. ``shape`` : how it holds. ``ball_nose_share`` : of its pieces, those with a round nose.
    ``shoulder_edge`` : its shoulder seals by an edge. ``ring_retained`` : a flat metal ring lies around its O-ring.
    ``seals_a_joint`` : rings or washers that one joint takes. ``felt_as`` : what its seat is often said to be.
    ``named_by_half_angle`` : the trade names its seat so, as flares are, and not by the included angle.
    ``mouth_mm`` : least and greatest width of an internal thread's mouth, across what it is chamfered to.
    ``origins`` : where single sizes come from, see :meth:`origin`.
    """

    id: str
    series: str
    size: str
    variant: str
    name: str
    spoken_name: str
    standard: str
    gender: Gender
    dash: int | None
    nominal: str
    dn: int | None
    tube_od_mm: float | None = None
    thread: Thread | None = None
    seat_half_angle_deg: float | None = None
    seat_form: SeatForm
    seal: Seal
    o_ring: str | None = None
    hex_mm: tuple[float, ...] = ()
    part: str
    source: str
    basis: Basis
    flange: FlangeHead | None = None
    profile_mm: tuple[tuple[str, float], ...] = ()
    torque: tuple[Figure, ...] = ()
    turns: tuple[Figure, ...] = ()
    pressure: tuple[Figure, ...] = ()
    notes: str = ""
    also_seats_deg: tuple[float, ...] = ()  # a universal female seats on these half angles too
    carries_seal: bool = True  # whether the joint's O-ring or washer sits on this end
    also_tube_od_mm: tuple[float, ...] = ()  # other tubes that the size takes: metric beside inch
    tube_wall_mm: tuple[float | None, float] | None = None  # least and greatest wall the size takes
    shape: Shape = Shape.THREADED
    bolt: Thread | None = None
    ball_nose_share: float = 0.0
    shoulder_edge: bool = False
    ring_retained: bool = False
    seals_a_joint: int = 1
    felt_as: SeatForm | None = None
    named_by_half_angle: bool = False
    origins: Mapping[str, Origin] = field(default_factory=dict, hash=False)
    mouth_mm: tuple[float, float] | None = None
    trade: Trade | None = None  # of another trade: never ordered, never mated

    def origin(self, what: str) -> Origin:
        """Where a figure of this end comes from; the row's where nothing else.

        ``thread``, ``tube``, ``o_ring``, ``hex``, ``seat`` and ``mouth`` of a threaded end; ``head``, ``centres``
        (of the bolts), ``bolt_metric``, ``bolt_inch`` and ``o_ring`` of a flange; ``diameter`` of
        what ``profile_mm`` holds.
        """
        return self.origins.get(what, Origin(self.source, self.basis))

    @property
    def thread_basis(self) -> Basis | None:
        """How its thread is known: that this size has it, and the thread itself. ``None`` without a thread."""
        return None if self.thread is None else least_sure((self.origin("thread").basis, self.thread.basis))

    @property
    def basis_of(self) -> dict[str, Basis]:
        """How the figures that it has are known, by the names of :meth:`origin`."""
        head = self.flange
        has = {
            "tube": self.tube_od_mm,
            "o_ring": self.o_ring,
            "hex": self.hex_mm,
            "seat": self.seat_half_angle_deg,
            "mouth": self.mouth_mm,
            "head": head and (head.head_diameter_mm or head.head_thickness_mm),
            "centres": head,
            "bolt_metric": head and head.bolt_metric,
            "bolt_inch": head and head.bolt_inch,
            "diameter": self.profile_mm,
        }
        thread = {} if self.thread_basis is None else {"thread": self.thread_basis}
        return thread | {what: self.origin(what).basis for what, value in has.items() if value}

    @property
    def kind(self) -> str:
        """``series/variant``: the form, whatever the size."""
        return f"{self.series}/{self.variant}"

    @property
    def size_id(self) -> str:
        """``series/size``: the size, whatever the form."""
        return f"{self.series}/{self.size}"

    @property
    def line(self) -> str:
        """What its line carries, as ``Measurand.LINE`` says it."""
        return HYDRAULIC if self.trade is None else self.trade.name.lower()

    @property
    def external(self) -> bool | None:
        """Whether its thread is external; ``None`` without a thread."""
        return None if self.thread is None else self.gender in (Gender.MALE, Gender.STUD)

    @property
    def ring_in_mouth(self) -> bool:
        """Whether it is a port whose mouth is chamfered for an O-ring at the thread's base."""
        return self.gender is Gender.PORT and self.external is False and self.seal is Seal.BASE_O_RING

    @property
    def around_shoulder(self) -> str | None:
        """What is on the shoulder of a stud, as ``Measurand.SHOULDER_EDGE`` says it; ``None`` where there is none."""
        if not self.external or self.seat_form is not SeatForm.SHOULDER:
            return None
        return "edge" if self.shoulder_edge else "ring" if self.ring_retained else "plain"

    @property
    def seat_included_angle_deg(self) -> float | None:
        return None if self.seat_half_angle_deg is None else 2 * self.seat_half_angle_deg
