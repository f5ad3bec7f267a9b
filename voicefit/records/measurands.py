"""What can be said of an end: what a reading is a reading of, and the values that are no quantities.

The values of the enumerations appear in the public JSON, in the grammar and in the tables.
"""

from __future__ import annotations

from enum import StrEnum

ABSENT = "absent"  # the value of a reading that says that the end has none: no thread, no tube


class Measurand(StrEnum):
    """What a reading is a reading of (VIM 2.3). Values appear in the public JSON."""

    __hash__ = str.__hash__  # keys of nearly every table, and an enumeration's own is no machine code

    OUTSIDE_DIAMETER = "outside_diameter"  # across the crests of a male thread
    INSIDE_DIAMETER = "inside_diameter"  # across the crests of a female thread
    FIRST_THREAD_DIAMETER = "first_thread_diameter"  # at the small end of a suspected taper
    LAST_THREAD_DIAMETER = "last_thread_diameter"
    PITCH = "pitch"
    THREAD_SIZE = "thread_size"  # the nominal size in a designation: 9/16, M 18, G 3/8
    THREAD_SYSTEM = "thread_system"  # G, R, NPT, UN, M: a marking or a claim
    THREAD_SIDE = "thread_side"  # external | internal: which side the diameter was taken on
    FLANK_ANGLE = "flank_angle"  # of the thread: 55 or 60 degrees
    CREST = "crest"  # rounded | flat: the form of a thread's crests, seen from the side
    TAPER = "taper"  # tapered | parallel
    SEAT_ANGLE = "seat_angle"  # as said: half or included stays open
    SEAT_FORM = "seat_form"  # a SeatForm value
    NOSE = "nose"  # straight | ball: whether a convex seat is a straight cone or round
    SEAL = "seal"  # a Seal value
    SEALED_BY = "sealed_by"  # sealing_washer | captured_ring: which kind of washer, where one seals
    SHOULDER_EDGE = "shoulder_edge"  # edge | ring | plain: a sealing edge, or a flat ring around the O-ring, or neither
    BODY = "body"  # housing | loose: part of a block or housing, or an end that can be taken away
    LINE = "line"  # hydraulic, or the name of another trade: what its line carries
    SHAPE = "shape"  # threaded | banjo | flange | coupler | staple
    GENDER = "gender"  # male | female | port | stud
    DASH = "dash"
    HEX = "hex"
    MOUTH_DIAMETER = "mouth_diameter"  # across the mouth of an internal thread, over the chamfer there
    TUBE_OUTSIDE_DIAMETER = "tube_outside_diameter"
    FLANGE_HEAD_DIAMETER = "flange_head_diameter"
    FLANGE_HEAD_THICKNESS = "flange_head_thickness"
    BOLT_LONG = "bolt_long"  # bolt centre distance, long side
    BOLT_SHORT = "bolt_short"
    BOLT_CIRCLE = "bolt_circle"  # through the centres of all four: their distance across the corners
    PROFILE_DIAMETER = "profile_diameter"  # coupler or staple spigot
    HOSE_BORE = "hose_bore"
    HOSE_OUTSIDE_DIAMETER = "hose_outside_diameter"
    HOSE_TYPE = "hose_type"  # layline: a hose type id
    REINFORCEMENT = "reinforcement"
    LENGTH = "length"
    ELBOW_ANGLE = "elbow_angle"
    ROUTE_BEND = "route_bend"  # through so many degrees the hose turns on its way
    ROUTE_RADIUS = "route_radius"  # so tightly, to the inside of the bend
    PRESSURE = "pressure"
    TEMPERATURE = "temperature"
    SERIES = "series"  # a series id: a marking, or what the person believes it is
    COUNTRY = "country"  # where the machine was built


class SeatForm(StrEnum):
    CONVEX = "convex"  # stands out: nose, flare, cone
    RECESSED = "recessed"  # goes in: inner cone
    FLAT = "flat"  # flat face
    SHOULDER = "shoulder"  # flat shoulder or spot face at the thread's base
    NONE = "none"


class Seal(StrEnum):
    METAL = "metal"
    CONE_O_RING = "cone_o_ring"
    FACE_O_RING = "face_o_ring"
    BASE_O_RING = "base_o_ring"  # at the base of a straight thread
    WASHER = "washer"  # bonded washer, captured ring, or plain washer on a shoulder
    CUTTING_RING = "cutting_ring"
    THREAD = "thread"
    FLANGE_O_RING = "flange_o_ring"
    BORE_O_RING = "bore_o_ring"  # radial, in a bore: staple, coupler


# An O-ring of which it was not said where it sits: any of these seals, and "no O-ring" is none of them.
O_RING = "o_ring"
O_RING_SEALS = frozenset({Seal.CONE_O_RING, Seal.FACE_O_RING, Seal.BASE_O_RING, Seal.FLANGE_O_RING, Seal.BORE_O_RING})


class Gender(StrEnum):
    MALE = "male"
    FEMALE = "female"
    PORT = "port"
    STUD = "stud"
