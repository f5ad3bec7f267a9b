"""How often and how far a simulated technician is wrong: the figures of the matching benchmark.

They are *not* those of ``data/measurement.toml``, neither in size nor in form: wear is exponential, jaws have heavy
tails, a wrong leaf is always a neighbour. A test holds that no rate here is a rate of the matcher's.

Laid down in advance, and never to be lowered to make a figure look better: ``WRONG_LEAF``, ``WRONG_SIDE``,
``HALF_FOR_INCLUDED``, ``MISHEARD``, and that threads are worn. All others are assumptions of this benchmark (common
practice, no source).

Duty: the figures. It must not draw from them: see ``piece.py`` (what is wrong with the end itself) and
``technician.py`` (what is wrong with a reading).
"""

from __future__ import annotations

from fractions import Fraction

from voicefit.quantities import Quantity, Unit

# ---- laid down in advance: rates of mistakes, of one answer
WRONG_LEAF = 0.05
WRONG_SIDE = 0.03
HALF_FOR_INCLUDED = 0.10
MISHEARD = 0.02  # of every answer that is a number
CORRECTED = 0.8  # of what was misheard: each value is read back, and four of five are put right, by one more turn

# ---- assumptions: rates of one answer
WRONG_SEAT_LEAF = 0.035
WRONG_FORM = 0.02
WRONG_GENDER = 0.005
WRONG_SEAL = 0.03
WRONG_SHAPE = 0.01
WRONG_NOSE = 0.06
WRONG_EDGE = 0.08
WRONG_BODY = 0.015
WRONG_LINE = 0.007
WRONG_MOUTH = 0.05
WRONG_FACE = 0.045  # of a spot face, asked about by itself
WRONG_TAPER = 0.06
WRONG_FLANK = 0.10
WRONG_CREST = 0.11
WRONG_YES_NO = 0.01
CALLED_MALE, CALLED_FEMALE = 0.5, 0.42  # of studs, of ports
EMPTY_PORT = 0.08  # nothing is seen that seals in an empty port
RING_LOST_UNSEEN, GROOVE_UNSEEN = 0.5, 0.2  # a lost ring is called metal: by itself, and when asked about the ring
CANNOT_TELL = 0.01

# ---- assumptions: what is wrong with the piece itself
MALE_WEAR_MM, FEMALE_WEAR_MM = 0.07, 0.05  # means of exponentials: one thread in twenty is worn by three times that
CRESTS_CUT, CRESTS_WORN_ROUND = 0.08, 0.05  # rounded crests that are cut flat, and flat ones that are worn round
LOST_O_RING = 0.08
LOST_CUTTING_RING = 0.2
OWN_HEX = 0.40  # hexagons other than the standard's
SHOULDER_UNSEEN = 0.2
PORT_CUT_WRONG = 0.03
MOUTH_MM = 0.12  # standard deviation of a chamfer's width, burrs included
CHAMFER_UNSEEN, MOUTH_CALLED_PLAIN = 0.03, 0.2  # "no chamfer" is said of one for an O-ring, and of any other
MOUTH_CUT_WRONG_MM = 3.0  # a port cut wrong is chamfered to anything up to so much wider than its thread
SPOT_FACE_MM = (4.0, 12.0)  # by so much a spot face is wider than the thread; its rim is taken for the mouth's
SPOT_FACE_MISSING, MILLED_ANYWAY = 0.03, 0.35  # of ports that seal against the block, of other ports
BODY_BY_BOLTS = (0.9, 1.5)  # where a flange's body is not listed: its width by the circle of its bolts
BODY_THICK_MM = (12.0, 45.0)  # and how thick it is
RING_ON_MATE_UNSEEN = 0.7
OUT_OF_GAUGE_TURNS = 0.5  # of a taper
BALL_NOSES = {  # by end or kind; where the universal nose has the thread too, a round one is the universal
    "din24-l/female-universal": 1.0,
    "gaz24/female": 1.0,
    **dict.fromkeys((f"din60/{tube}/female" for tube in (22, 28, 35, 42)), 0.25),
}

INSTRUMENTS = (  # share, resolution, unit, jaw error in mm
    (0.35, Fraction(1, 64), Unit.INCH, 0.12),
    (0.15, Fraction(1, 32), Unit.INCH, 0.16),
    (0.20, Fraction(1, 1000), Unit.INCH, 0.055),
    (0.20, Fraction(1, 100), Unit.MILLIMETRE, 0.04),
    (0.10, Fraction(1, 10), Unit.MILLIMETRE, 0.06),
)
INCH_LEAVES = tuple(Fraction(str(t)) for t in (8, 9, 10, 11, 11.5, 12, 13, 14, 16, 18, 19, 20, 24, 26, 27, 28, 32))
METRIC_LEAVES = tuple(Fraction(str(p)) for p in (0.75, 0.8, 1, 1.25, 1.5, 1.75, 2, 2.5, 3))
LEAVES = tuple(
    [Quantity(tpi, Unit.THREADS_PER_INCH) for tpi in INCH_LEAVES]
    + [Quantity(pitch, Unit.MILLIMETRE) for pitch in METRIC_LEAVES]
)
SEAT_LEAVES = (12, 15, 24, 30, 37, 45, 60, 74, 90)
FLARES = ("flare37", "flare45", "inverted-flare", "flare30-g", "flare30-m")
SHAPES = {
    "banjo": "banjo",
    "staple": "staple",
    "flange61": "flange",
    "flange62": "flange",
    "flange-square": "flange",
    "flange-pump": "flange",
    "coupler-a": "coupler",
    "coupler-b": "coupler",
    "coupler-flat": "coupler",
}
