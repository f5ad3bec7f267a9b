"""A section through an end, in millimetres, drawn from the tables: to be laid beside the real one.

To scale are: thread diameters, pitch, flank angle and taper, the seat's angle, tube and O-ring, size across flats,
flange head and bolt pattern. Free are the lengths of thread, nose and body and what no table gives: ``free`` says so.

Duty: geometry. It must not draw. The axis lies along x, the mating side at the left; only the upper half of the section
is given, the renderer mirrors it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from voicefit.catalogue import CandidateEnd, Thread
from voicefit.catalogue.ends import Basis
from voicefit.catalogue.orings import ORing
from voicefit.ordering.thread_profile import crest_line, radius_at
from voicefit.records import Gender, SeatForm

Point = tuple[float, float]
GROOVE_WIDTH, GROOVE_DEPTH = 1.35, 0.75  # of the O-ring's section: common practice, no source
CLEARANCE_MM = 0.4


class DrawnAs(StrEnum):
    METAL = "metal"  # cut metal, filled
    SEAL = "seal"  # an O-ring, filled dark
    EDGE = "edge"  # a line that is seen, not cut


@dataclass(frozen=True, slots=True)
class Area:
    """A closed polygon, or an open line; ``mirrored`` : also below the axis."""

    role: DrawnAs
    points: tuple[Point, ...]
    closed: bool = True
    mirrored: bool = True


@dataclass(frozen=True, slots=True)
class Circle:
    """In the view from the front, about the origin of that view."""

    role: DrawnAs
    centre: Point
    diameter_mm: float


@dataclass(frozen=True, slots=True)
class Outline:
    """``shapes`` : the section. ``front`` : circles of the view along the axis, empty where the section says it all.

    ``width_mm``, ``height_mm`` : of the section, whole. ``free`` : what is not to scale, in writing.
    ``recalled`` : what is drawn from memory.
    """

    shapes: tuple[Area, ...]
    front: tuple[Circle, ...]
    front_square_mm: float | None
    left_mm: float
    width_mm: float
    height_mm: float
    front_width_mm: float
    front_height_mm: float
    free: str
    recalled: tuple[str, ...] = ()


_DRAWN = {
    "thread": "thread",
    "seat": "seat",
    "hex": "hexagon",
    "head": "head",
    "centres": "bolt centres",
    "bolt_metric": "bolts",
    "diameter": "diameter",
}


def outline(end: CandidateEnd, rings: Mapping[str, ORing]) -> Outline:
    """The outline of an end."""
    recalled = tuple(name for what, name in _DRAWN.items() if end.basis_of.get(what) is Basis.MEMORY)
    return replace(_outline(end, rings), recalled=recalled)


def _outline(end: CandidateEnd, rings: Mapping[str, ORing]) -> Outline:
    if end.flange is not None:
        return _flange(end)
    if end.thread is None:
        return _plain(end)
    ring = None if end.o_ring is None or not end.carries_seal else rings[end.o_ring]
    shapes = _male(end, end.thread, ring) if end.external else _female(end, end.thread, ring)
    return _framed(shapes, (), "lengths of thread, nose and body, and the bore")


# ---- threaded ends ------------------------------------------------------------------------------------


def _male(end: CandidateEnd, thread: Thread, ring: ORing | None) -> list[Area]:
    length = drawn_length_mm(thread)
    crests = crest_line(thread, length)
    bore = _bore_mm(end, thread) / 2
    start, root = 0.0, radius_at(thread, 0.0, thread.minor_diameter_mm)
    if end.seat_form is SeatForm.CONVEX and end.seat_half_angle_deg:
        tip = bore + 0.2 * (root - bore)
        start = -(root - tip) / math.tan(math.radians(end.seat_half_angle_deg))
        face = [(start, bore), (start, tip), (0.0, root)]
    elif end.seat_form is SeatForm.RECESSED and end.seat_half_angle_deg:
        face = _inner_cone(end, root, bore, length)
    elif end.seat_form is SeatForm.FLAT and ring is not None:
        face = _grooved_face(ring, bore, root)
    else:
        face = [(0.0, bore), (0.0, root)]
    body = _body_mm(end, thread) / 2
    back = length + 0.35 * thread.major_diameter_mm
    section = Area(DrawnAs.METAL, (*face, *crests, (length, body), (back, body), (back, bore)))
    shapes = [section, _edge(start, bore)]
    if ring is not None and end.seat_form is SeatForm.FLAT:
        shapes.append(_ring(ring, GROOVE_DEPTH * ring.section_mm - ring.section_mm / 2))
    elif ring is not None and end.seat_form is SeatForm.SHOULDER:
        shapes.append(_ring(ring, length - ring.section_mm / 2))
    return shapes


def _female(end: CandidateEnd, thread: Thread, ring: ORing | None) -> list[Area]:
    length = drawn_length_mm(thread)
    crests = crest_line(thread, length, internal=True)
    bore = _bore_mm(end, thread) / 2
    outer = _body_mm(end, thread) / 2
    mouth = radius_at(thread, length, thread.minor_diameter_mm, internal=True)
    back = length + 0.3 * thread.major_diameter_mm
    nut = Area(DrawnAs.METAL, ((0.0, outer), *crests, (length, mouth), (back, mouth), (back, outer)))
    if end.gender is Gender.PORT or end.seat_form is SeatForm.NONE:
        floor = Area(
            DrawnAs.METAL, ((0.0, outer), *crests, (length, mouth), (length, bore), (back, bore), (back, outer))
        )
        return [floor, _edge(0.0, radius_at(thread, 0.0, thread.minor_diameter_mm, internal=True)), _edge(length, bore)]
    seat = mouth - CLEARANCE_MM
    shapes = [nut]
    if end.seat_form is SeatForm.CONVEX and end.seat_half_angle_deg:
        tip = bore + 0.2 * (seat - bore)
        depth = (seat - tip) / math.tan(math.radians(end.seat_half_angle_deg))
        front = max(length - depth, 0.25 * length)
        tail: tuple[Point, ...] = (
            (front, bore),
            (front, tip),
            (front + depth, seat),
            (back + depth, seat),
            (back + depth, bore),
        )
        if ring is not None:
            slope = math.tan(math.radians(end.seat_half_angle_deg))
            middle = (ring.inside_diameter_mm + ring.section_mm) / 2
            shapes.append(_ring(ring, front + (middle - tip) / slope))
    elif end.seat_form is SeatForm.RECESSED and end.seat_half_angle_deg:
        rim = bore + 0.8 * (seat - bore)
        depth = (rim - bore) / math.tan(math.radians(end.seat_half_angle_deg))
        tail = ((length, seat), (length, rim), (length + depth, bore), (back + depth, bore), (back + depth, seat))
    else:
        tail = ((length, bore), (length, seat), (back, seat), (back, bore))
    shapes.append(Area(DrawnAs.METAL, tail))
    return shapes


def _inner_cone(end: CandidateEnd, root: float, bore: float, length: float) -> list[Point]:
    """A cone that goes in from the face; the tube's socket gives its mouth where a tube names the size."""
    assert end.seat_half_angle_deg is not None
    slope = math.tan(math.radians(end.seat_half_angle_deg))
    mouth = end.tube_od_mm / 2 + CLEARANCE_MM if end.tube_od_mm else bore + 0.7 * (root - bore)
    mouth = min(mouth, root - CLEARANCE_MM)
    depth = min((mouth - bore) / slope, 0.8 * length)
    bottom = mouth - depth * slope
    return [(length, bore), (depth, bore), (depth, bottom), (0.0, mouth), (0.0, root)]


def _grooved_face(ring: ORing, bore: float, root: float) -> list[Point]:
    middle = (ring.inside_diameter_mm + ring.section_mm) / 2
    low = max(middle - GROOVE_WIDTH * ring.section_mm / 2, bore + 0.1)
    high = min(middle + GROOVE_WIDTH * ring.section_mm / 2, root - 0.1)
    depth = GROOVE_DEPTH * ring.section_mm
    return [(0.0, bore), (0.0, low), (depth, low), (depth, high), (0.0, high), (0.0, root)]


def drawn_length_mm(thread: Thread) -> float:
    """Length of thread that is drawn, whole pitches: a taper's full threads, else enough to lay a gauge on."""
    if thread.taper and thread.thread_length_mm:
        return math.floor(thread.thread_length_mm / thread.pitch_mm) * thread.pitch_mm
    return math.ceil(max(6 * thread.pitch_mm, 0.5 * thread.major_diameter_mm) / thread.pitch_mm) * thread.pitch_mm


def _bore_mm(end: CandidateEnd, thread: Thread) -> float:
    """The way through: by nominal size where that is known and leaves a wall."""
    most = 0.7 * thread.minor_diameter_mm
    return most if end.dn is None else min(float(end.dn), most)


def _body_mm(end: CandidateEnd, thread: Thread) -> float:
    """Across the flats where a standard says so, else room for a wall."""
    if end.hex_mm:
        return end.hex_mm[0]
    return 1.4 * thread.major_diameter_mm


# ---- ends without a thread ----------------------------------------------------------------------------


def _flange(end: CandidateEnd) -> Outline:
    flange = end.flange
    assert flange is not None
    head_mm = flange.head_diameter_mm or 0.8 * flange.bolt_short_mm  # within the bolts, where it is not known
    bore = end.dn or 0.4 * head_mm
    thickness = flange.head_thickness_mm or 0.25 * head_mm
    half = head_mm / 2
    shapes = [
        Area(DrawnAs.METAL, ((0.0, bore / 2), (0.0, half), (thickness, half), (thickness, bore / 2))),
        _edge(0.0, bore / 2),
    ]
    square = flange.square and flange.head_diameter_mm is not None
    bolt = _bolt_mm(flange.bolt_metric)
    long_mm, short_mm = flange.bolt_long_mm / 2, flange.bolt_short_mm / 2
    bolts = [Circle(DrawnAs.EDGE, (x, y), bolt) for x in (-long_mm, long_mm) for y in (-short_mm, short_mm)]
    known = flange.head_diameter_mm is not None
    head = [] if square or not known else [Circle(DrawnAs.EDGE, (0.0, 0.0), head_mm)]
    free = "the bore" if flange.head_thickness_mm else "the bore and the thickness"
    free = free if known else "everything but the bolt pattern"
    return _framed(
        shapes, (*head, Circle(DrawnAs.EDGE, (0.0, 0.0), float(bore)), *bolts), free, square=head_mm if square else None
    )


def _bolt_mm(designation: str | None) -> float:
    digits = "".join(c for c in (designation or "M10").split(" ")[0].split("×")[0] if c.isdigit())
    return float(digits or 10)


def _plain(end: CandidateEnd) -> Outline:
    """Couplers, staple connectors and banjo eyes: the diameter that identifies them."""
    diameter = end.profile_mm[0][1]
    outside = end.gender is Gender.MALE
    length = 0.8 * diameter
    inner, outer = (0.6 * diameter / 2, diameter / 2) if outside else (diameter / 2, 1.5 * diameter / 2)
    shapes = [Area(DrawnAs.METAL, ((0.0, inner), (0.0, outer), (length, outer), (length, inner))), _edge(0.0, inner)]
    circles = (Circle(DrawnAs.EDGE, (0.0, 0.0), diameter),)
    return _framed(shapes, circles, f"everything but the {end.profile_mm[0][0]} diameter")


# ---- pieces of the drawing ----------------------------------------------------------------------------


def _edge(x: float, radius: float) -> Area:
    """What is seen of a face across the bore."""
    return Area(DrawnAs.EDGE, ((x, radius), (x, -radius)), closed=False, mirrored=False)


def _ring(ring: ORing, x: float) -> Area:
    """The O-ring's section as a polygon, its centre at ``x``."""
    middle, radius = (ring.inside_diameter_mm + ring.section_mm) / 2, ring.section_mm / 2
    turn = [2 * math.pi * k / 24 for k in range(24)]
    return Area(DrawnAs.SEAL, tuple((x + radius * math.cos(a), middle + radius * math.sin(a)) for a in turn))


def _framed(shapes: list[Area], front: tuple[Circle, ...], free: str, *, square: float | None = None) -> Outline:
    xs = [x for shape in shapes for x, _ in shape.points]
    top = max(abs(y) for shape in shapes for _, y in shape.points)
    across = [abs(circle.centre[0]) + circle.diameter_mm / 2 for circle in front] + [(square or 0.0) / 2]
    up = [abs(circle.centre[1]) + circle.diameter_mm / 2 for circle in front] + [(square or 0.0) / 2]
    return Outline(
        shapes=tuple(shapes),
        front=front,
        front_square_mm=square,
        left_mm=min(xs),
        width_mm=max(xs) - min(xs),
        height_mm=2 * top,
        front_width_mm=2 * max(across),
        front_height_mm=2 * max(up),
        free=free,
    )
