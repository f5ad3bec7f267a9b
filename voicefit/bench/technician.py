"""A simulated technician with an end in hand, who makes mistakes: the other side of the matching benchmark.

Duty: answer checks about a true end as a person would. The error sizes are stated here and are *not* those of
``data/measurement.toml``, nor is their form: wear is exponential, jaws have heavy tails, a wrong leaf is always a
neighbour. It must not use the matcher.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import numpy as np

from voicefit.catalogue.ends import CandidateEnd
from voicefit.quantities import Quantity, Unit
from voicefit.records import Check, Gender, Measurand, Option, Reading, Seal, SeatForm

# Rates of mistakes, of one answer. All figures: assumptions of the benchmark.
WRONG_LEAF = 0.05
WRONG_SIDE = 0.03
HALF_FOR_INCLUDED = 0.10
MISHEARD = 0.02
WRONG_SEAT_LEAF = 0.03
WRONG_FORM = 0.02
WRONG_GENDER = 0.005
LOST_O_RING = 0.08
WRONG_TAPER = 0.05
WRONG_FLANK = 0.10
WRONG_YES_NO = 0.01
OWN_HEX = 0.40
CANNOT_TELL = 0.01
MALE_WEAR_MM, FEMALE_WEAR_MM = 0.07, 0.05  # means of exponentials

INSTRUMENTS = (  # share, resolution, unit, jaw error in mm
    (0.35, Fraction(1, 64), Unit.INCH, 0.12),
    (0.15, Fraction(1, 32), Unit.INCH, 0.15),
    (0.20, Fraction(1, 1000), Unit.INCH, 0.05),
    (0.20, Fraction(1, 100), Unit.MILLIMETRE, 0.04),
    (0.10, Fraction(1, 10), Unit.MILLIMETRE, 0.06),
)
INCH_LEAVES = tuple(Fraction(str(t)) for t in (8, 9, 10, 11, 11.5, 12, 13, 14, 16, 18, 19, 20, 24, 26, 27, 28, 32))
METRIC_LEAVES = tuple(Fraction(str(p)) for p in (0.75, 0.8, 1, 1.25, 1.5, 1.75, 2, 2.5, 3))
SEAT_LEAVES = (12, 15, 24, 30, 37, 45, 60, 74, 90)
FLARES = ("flare37", "flare45", "inverted-flare", "flare30-g", "flare30-m")
BALL_NOSES = {"din24-l/female-universal": 1.0, "gaz24/female": 1.0, "din60/female": 0.25}
SHAPES = {
    "banjo": "banjo",
    "staple": "staple",
    "flange61": "flange",
    "flange62": "flange",
    "flange-square": "flange",
    "coupler-a": "coupler",
    "coupler-b": "coupler",
    "coupler-flat": "coupler",
}


class Technician:
    """Answers checks about ``end``. All randomness is ``random``.

    ``lasting`` : share of the mistakes that this person makes again each time on this end; the others come anew. What
    is wrong with the piece itself (wear, a lost ring, another hexagon) always lasts.
    """

    def __init__(self, end: CandidateEnd, random: np.random.Generator, lasting: float = 0.0) -> None:
        self.end = end
        self._share_lasting = lasting
        self._random = random
        self._lasting: dict[str, bool] = {}
        shares = np.array([share for share, *_ in INSTRUMENTS])
        _, self._resolution, self._unit, self._jaw_mm = INSTRUMENTS[int(random.choice(len(shares), p=shares))]
        self._diameter_mm = self._true_diameter()
        self._hex_mm = self._true_hex()
        self._form = self._true_form()
        self._lost = False
        self._seal = self._true_seal()
        series, *_, kind = end.id.split("/")
        self._ball = self._chance(BALL_NOSES.get(f"{series}/{kind}", 0.0))
        self._leaf = self._true_leaf()

    def answer(self, check: Check) -> Reading | None:
        """A reading, or ``None`` for "can't tell"."""
        if self._chance(CANNOT_TELL):
            return None
        perceived = self._perceive(check)
        if perceived is None:
            return None
        if check.yes is None or check.no is None:
            return Reading("", (perceived,), asked=check.id)
        same = (
            perceived.value == check.yes.value
            if not isinstance(check.yes.value, Quantity)
            else self._same(perceived, check.yes)
        )
        if self._chance(WRONG_YES_NO):
            same = not same
        option = check.no if same == check.yes.negated else check.yes
        return Reading("", (option,), asked=check.id)

    # ---- what is perceived ------------------------------------------------------------------------------

    def _perceive(self, check: Check) -> Option | None:
        end = self.end
        perceive: dict[Measurand, Callable[[], Option | None]] = {
            Measurand.PITCH: self._pitch,
            Measurand.SEAT_ANGLE: self._seat_angle,
            Measurand.SEAT_FORM: lambda: Option(
                Measurand.SEAT_FORM, self._slip("form", self._form, list(SeatForm), WRONG_FORM)
            ),
            Measurand.SEAL: lambda: self._seal_seen(open_question=check.yes is None),
            Measurand.NOSE: self._nose,
            Measurand.GENDER: self._gender,
            Measurand.THREAD_SIDE: self._side,
            Measurand.TAPER: self._taper,
            Measurand.FLANK_ANGLE: self._flank,
            Measurand.SHAPE: lambda: Option(
                Measurand.SHAPE,
                self._slip("shape", SHAPES.get(end.series, "threaded"), sorted({*SHAPES.values(), "threaded"}), 0.01),
            ),
            Measurand.HEX: lambda: self._length(Measurand.HEX, self._hex_mm, 0.15),
            Measurand.TUBE_OUTSIDE_DIAMETER: lambda: self._length(
                Measurand.TUBE_OUTSIDE_DIAMETER, end.tube_od_mm, 0.06
            ),
            Measurand.PROFILE_DIAMETER: lambda: self._length(
                Measurand.PROFILE_DIAMETER, end.profile_mm[0][1] if end.profile_mm else None, 0.06
            ),
        }
        if check.measurand in perceive:
            return perceive[check.measurand]()
        if check.measurand in (
            Measurand.OUTSIDE_DIAMETER,
            Measurand.INSIDE_DIAMETER,
            Measurand.FIRST_THREAD_DIAMETER,
            Measurand.LAST_THREAD_DIAMETER,
        ):
            return self._diameter(check.measurand)
        flange = end.flange
        if flange is None:
            return None
        value = {
            Measurand.FLANGE_HEAD_DIAMETER: flange.head_diameter_mm,
            Measurand.FLANGE_HEAD_THICKNESS: flange.head_thickness_mm,
            Measurand.BOLT_LONG: flange.bolt_long_mm,
            Measurand.BOLT_SHORT: flange.bolt_short_mm,
        }[check.measurand]
        rule = 0.4 if check.measurand in (Measurand.BOLT_LONG, Measurand.BOLT_SHORT) else 0.1
        return self._length(check.measurand, value, rule)

    def _diameter(self, asked: Measurand) -> Option | None:
        if self._diameter_mm is None:
            return None
        external = self.end.external
        shift = self._along(asked)
        measurand = asked
        if asked in (Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER):
            outside = self.end.gender in (Gender.MALE, Gender.STUD) if external is None else external
            if self._mistaken("side", WRONG_SIDE):
                outside = not outside
            measurand = Measurand.OUTSIDE_DIAMETER if outside else Measurand.INSIDE_DIAMETER
        elif external is not True:
            return None
        return self._length(measurand, self._diameter_mm + shift, self._jaw_mm)

    def _along(self, asked: Measurand) -> float:
        """Where along a taper the jaws were, as a difference from its diameter at the gauge plane."""
        thread = self.end.thread
        if thread is None or not thread.taper:
            return 0.0
        slope = float(thread.taper)
        if self.end.external:
            gauge, length = thread.gauge_length_mm or 0.0, thread.thread_length_mm or 0.0
            first, last = -gauge * slope, (length - gauge) * slope
            last = min(last, thread.external_major_mm[1] - thread.major_diameter_mm)
        else:
            low, high = thread.internal_minor_mm
            first, last = (high - low) / 2, (low - high) / 2
        if asked is Measurand.FIRST_THREAD_DIAMETER:
            return first
        if asked is Measurand.LAST_THREAD_DIAMETER:
            return last
        return float(self._random.uniform(min(first, last), max(first, last)))

    def _length(self, measurand: Measurand, value_mm: float | None, sd_mm: float) -> Option | None:
        if value_mm is None:
            return None
        read_mm = value_mm + sd_mm * float(self._random.standard_t(5))
        if self._chance(MISHEARD):
            read_mm = float(self._random.uniform(5, 60))
        step_mm = float(self._resolution) * (25.4 if self._unit is Unit.INCH else 1.0)
        steps = max(round(read_mm / step_mm), 1)
        value = steps * self._resolution
        resolution = self._resolution
        if self._unit is Unit.INCH and self._resolution >= Fraction(1, 64):
            resolution = Fraction(1, value.denominator)  # "nine sixteenths" does not show that it was read to a 64th
            resolution = min(resolution, Fraction(1, 16))
        return Option(measurand, Quantity(value, self._unit, resolution))

    def _pitch(self) -> Option | None:
        if self._leaf is None:
            return None
        leaf = self._leaf
        if self._mistaken("leaf", WRONG_LEAF):
            leaf = self._neighbour(leaf)
        if self._chance(MISHEARD):
            leaf = self._any_leaf()
        return Option(Measurand.PITCH, leaf)

    def _any_leaf(self) -> Quantity:
        leaves = _leaves()
        return leaves[int(self._random.integers(len(leaves)))]

    def _neighbour(self, leaf: Quantity) -> Quantity:
        lasting = self._lasting.get("leaf", False)
        others = sorted(_leaves(), key=lambda other: abs(other.pitch_mm - leaf.pitch_mm))
        others = [other for other in others if other.pitch_mm != leaf.pitch_mm]
        return others[0 if lasting or self._random.random() < 0.6 else 1]

    def _seat_angle(self) -> Option | None:
        half = self.end.seat_half_angle_deg
        if half is None:
            return None
        said_half = self.end.series in FLARES
        if self._mistaken("half", HALF_FOR_INCLUDED):
            said_half = not said_half
        angle = half if said_half else 2 * half
        leaf = min(SEAT_LEAVES, key=lambda a: abs(a - angle))
        if self._mistaken("seat leaf", WRONG_SEAT_LEAF):
            others = sorted((a for a in SEAT_LEAVES if a != leaf), key=lambda a: abs(a - angle))
            leaf = others[0]
        if self._chance(MISHEARD):
            leaf = SEAT_LEAVES[int(self._random.integers(len(SEAT_LEAVES)))]
        return Option(Measurand.SEAT_ANGLE, Quantity(Fraction(leaf), Unit.DEGREE, Fraction(1)))

    def _seal_seen(self, *, open_question: bool) -> Option:
        """A lost ring is often called metal; asked about the ring, the empty groove is mostly found."""
        seal = self._seal
        if self._lost and self._chance(0.5 if open_question else 0.2):
            seal = Seal.METAL
        elif self.end.gender is Gender.PORT and open_question and self._chance(0.08):
            seal = Seal.METAL  # nothing is seen in an empty port
        return Option(Measurand.SEAL, self._slip("seal", seal, list(Seal), 0.03))

    def _nose(self) -> Option | None:
        if self.end.seat_form is not SeatForm.CONVEX:
            return None
        return Option(Measurand.NOSE, "ball" if self._ball != self._mistaken("nose", 0.05) else "straight")

    def _gender(self) -> Option:
        gender = self.end.gender
        if gender is Gender.STUD and self._mistaken("stud", 0.5):
            gender = Gender.MALE
        elif gender is Gender.PORT and self._mistaken("port", 0.4):
            gender = Gender.FEMALE
        elif self._mistaken("gender", WRONG_GENDER):
            gender = Gender.FEMALE if gender in (Gender.MALE, Gender.STUD) else Gender.MALE
        return Option(Measurand.GENDER, gender)

    def _side(self) -> Option | None:
        external = self.end.external
        if external is None:
            return None
        return Option(Measurand.THREAD_SIDE, "external" if external else "internal")

    def _taper(self) -> Option | None:
        thread = self.end.thread
        if thread is None:
            return None
        tapered = bool(thread.taper) != self._mistaken("taper", WRONG_TAPER)
        return Option(Measurand.TAPER, "tapered" if tapered else "parallel")

    def _flank(self) -> Option | None:
        thread = self.end.thread
        if thread is None:
            return None
        angle = 60 if (thread.flank_angle_deg == 60) != self._mistaken("flank", WRONG_FLANK) else 55
        return Option(Measurand.FLANK_ANGLE, Quantity(Fraction(angle), Unit.DEGREE, Fraction(1)))

    # ---- what is true of this very piece ----------------------------------------------------------------

    def _true_diameter(self) -> float | None:
        end = self.end
        if end.thread is None:
            if end.flange is not None:
                return None if end.gender is Gender.PORT else end.flange.head_diameter_mm
            return end.profile_mm[0][1] if end.profile_mm else None
        limits = end.thread.external_major_mm if end.external else end.thread.internal_minor_mm
        new = float(self._random.uniform(*limits))
        if end.thread.taper:  # at the gauge plane, up to half a turn out of gauge
            out = float(self._random.uniform(-0.5, 0.5)) * end.thread.pitch_mm * float(end.thread.taper)
            new = out + (end.thread.major_diameter_mm if end.external else sum(limits) / 2)
        if end.external:
            return new - float(self._random.exponential(MALE_WEAR_MM))
        return new + float(self._random.exponential(FEMALE_WEAR_MM))

    def _true_hex(self) -> float | None:
        if not self.end.hex_mm:
            return None
        hex_mm = self.end.hex_mm[int(self._random.integers(len(self.end.hex_mm)))]
        return hex_mm * float(self._random.uniform(0.85, 1.2)) if self._chance(OWN_HEX) else hex_mm

    def _true_form(self) -> str:
        """The seat as this end has it; shoulders are often overlooked."""
        form = self.end.seat_form
        if form is SeatForm.SHOULDER and self._chance(0.2):
            return SeatForm.NONE if self._chance(0.6) else SeatForm.FLAT
        return form

    def _true_seal(self) -> str:
        end = self.end
        rings = (Seal.CONE_O_RING, Seal.FACE_O_RING, Seal.BASE_O_RING, Seal.FLANGE_O_RING, Seal.BORE_O_RING)
        if not end.carries_seal:
            if end.gender is Gender.PORT:
                return end.seal if self._chance(0.97) else Seal.METAL
            return Seal.METAL if self._chance(0.7) else end.seal
        self._lost = (end.seal in rings and self._chance(LOST_O_RING)) or (
            end.seal is Seal.CUTTING_RING and self._chance(0.2)
        )
        return end.seal

    def _true_leaf(self) -> Quantity | None:
        thread = self.end.thread
        if thread is None:
            return None
        return min(_leaves(), key=lambda leaf: abs(float(leaf.pitch_mm) - thread.pitch_mm))

    # ---- chance -----------------------------------------------------------------------------------------

    def _chance(self, rate: float) -> bool:
        return bool(self._random.random() < rate)

    def _mistaken(self, kind: str, rate: float) -> bool:
        """A share of a kind's mistakes lasts on this end, the others come anew."""
        if kind not in self._lasting:
            self._lasting[kind] = self._chance(rate * self._share_lasting)
        return self._lasting[kind] or self._chance(rate * (1 - self._share_lasting))

    def _slip(self, kind: str, true: str, categories: list[str], rate: float) -> str:
        if not self._mistaken(kind, rate):
            return str(true)
        others = [str(category) for category in categories if category != true]
        return others[int(self._random.integers(len(others)))]

    @staticmethod
    def _same(perceived: Option, asked: Option) -> bool:
        first, second = perceived.value, asked.value
        assert isinstance(first, Quantity)
        assert isinstance(second, Quantity)
        if perceived.measurand is Measurand.PITCH:
            return abs(float(first.pitch_mm - second.pitch_mm)) < 0.004
        return abs(float(first.value - second.value)) < 1


def _leaves() -> list[Quantity]:
    return [Quantity(tpi, Unit.THREADS_PER_INCH) for tpi in INCH_LEAVES] + [
        Quantity(pitch, Unit.MILLIMETRE) for pitch in METRIC_LEAVES
    ]
