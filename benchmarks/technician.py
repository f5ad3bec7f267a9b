"""A simulated technician with an end in hand, who makes mistakes: the other side of the matching benchmark.

Duty: answer checks about a :class:`~benchmarks.piece.Piece` as a person would, with the mistakes of
``mistakes.py``. It must not use the matcher.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import numpy as np

from benchmarks import mistakes
from benchmarks.piece import Piece
from voicefit.catalogue.ends import HYDRAULIC, CandidateEnd, Trade
from voicefit.quantities import Quantity, Unit
from voicefit.records import ABSENT, Check, Gender, Measurand, Option, Reading, Seal, SeatForm

DIAMETERS = (
    Measurand.OUTSIDE_DIAMETER,
    Measurand.INSIDE_DIAMETER,
    Measurand.FIRST_THREAD_DIAMETER,
    Measurand.LAST_THREAD_DIAMETER,
)
FINE_MM = 0.1
MISREAD_MM = (5, 60)  # where a misheard length may lie


class Technician:
    """Answers checks about a piece of ``end``. All randomness is ``random``.

    ``lasting`` : share of the mistakes that this person makes again each time on this end; the others come anew. What
    is wrong with the piece itself (wear, a lost ring, another hexagon) always lasts.
    """

    def __init__(self, end: CandidateEnd, random: np.random.Generator, lasting: float = 0.0) -> None:
        self.end = end
        self._share_lasting = lasting
        self._random = random
        self._lasting: dict[str, bool] = {}
        self.corrections = 0  # misheard values that the read-back gave away, each put right with a turn of its own
        shares = np.array([share for share, *_ in mistakes.INSTRUMENTS])
        chosen = int(random.choice(len(shares), p=shares))
        _, self._resolution, self._unit, self._jaw_mm = mistakes.INSTRUMENTS[chosen]
        self.piece = Piece(end, random)
        self._perceive: dict[Measurand, Callable[[Check], Option | None]] = {
            Measurand.PITCH: lambda _: self._pitch(),
            Measurand.SEAT_ANGLE: lambda _: self._seat_angle(),
            Measurand.SEAT_FORM: self._seat_form,
            Measurand.SEAL: lambda check: self._seal(open_question=check.yes is None),
            Measurand.NOSE: lambda _: self._nose(),
            Measurand.SHOULDER_EDGE: lambda _: self._edge(),
            Measurand.BODY: lambda _: self._body(),
            Measurand.LINE: lambda _: self._line(),
            Measurand.GENDER: lambda _: self._gender(),
            Measurand.THREAD_SIDE: lambda _: self._side(),
            Measurand.TAPER: lambda _: self._taper(),
            Measurand.FLANK_ANGLE: lambda _: self._flank(),
            Measurand.CREST: lambda _: self._crest(),
            Measurand.SHAPE: lambda _: self._shape(),
            Measurand.MOUTH_DIAMETER: lambda _: self._mouth(),
            **dict.fromkeys(DIAMETERS, lambda check: self._diameter(check.measurand)),
        }

    def answer(self, check: Check) -> Reading | None:
        """A reading, or ``None`` for "can't tell"."""
        if self._chance(mistakes.CANNOT_TELL):
            return None
        perceive = self._perceive.get(check.measurand)
        if check.id.endswith("-fine") and not self._reads_finely():
            return None
        perceived = perceive(check) if perceive else self._listed_length(check.measurand)
        if perceived is None:
            return None
        if check.yes is None or check.no is None:
            return Reading("", (perceived,), asked=check.id)
        same = (
            perceived.value == check.yes.value
            if not isinstance(check.yes.value, Quantity)
            else self._same(perceived, check.yes)
        )
        if self._chance(mistakes.WRONG_YES_NO):
            same = not same
        option = check.no if same == check.yes.negated else check.yes
        return Reading("", (option,), asked=check.id)

    def _reads_finely(self) -> bool:
        """Whether the caliper shows a tenth of a millimetre."""
        return float(self._resolution) * (25.4 if self._unit is Unit.INCH else 1.0) <= FINE_MM

    # ---- lengths ----------------------------------------------------------------------------------------

    def _diameter(self, asked: Measurand) -> Option | None:
        diameter_mm, external = self.piece.diameter_mm, self.end.external
        if diameter_mm is None:
            return None
        shift_mm = self.piece.along_mm(asked)
        measurand = asked
        if asked in (Measurand.OUTSIDE_DIAMETER, Measurand.INSIDE_DIAMETER):
            outside = self.end.gender in (Gender.MALE, Gender.STUD) if external is None else external
            if self._mistaken("side", mistakes.WRONG_SIDE):
                outside = not outside
            measurand = Measurand.OUTSIDE_DIAMETER if outside else Measurand.INSIDE_DIAMETER
        elif external is not True:
            return None
        return self._length(measurand, diameter_mm + shift_mm, self._jaw_mm)

    def _mouth(self) -> Option | None:
        """Across the mouth of an internal thread; now and then in the thread, or to the rim of the spot face."""
        mouth_mm, across_mm = self.piece.mouth_mm, self.piece.diameter_mm
        if mouth_mm is None or across_mm is None:
            return None
        if self._chance(mistakes.CHAMFER_UNSEEN if self.end.ring_in_mouth else mistakes.MOUTH_CALLED_PLAIN):
            return Option(Measurand.MOUTH_DIAMETER, ABSENT)
        if self._mistaken("mouth", mistakes.WRONG_MOUTH):
            rim_mm = mouth_mm + float(self._random.uniform(*mistakes.SPOT_FACE_MM))
            mouth_mm = across_mm if self._chance(0.5) else rim_mm
        return self._length(Measurand.MOUTH_DIAMETER, mouth_mm, self._jaw_mm)

    def _listed_length(self, measurand: Measurand) -> Option | None:
        """A length of the tables, with the standard error of reading it in mm; ``None`` where the end has none."""
        end, flange = self.end, self.end.flange
        known: dict[Measurand, tuple[float | None, float]] = {
            Measurand.HEX: (self.piece.hex_mm, 0.15),
            Measurand.TUBE_OUTSIDE_DIAMETER: (end.tube_od_mm, 0.06),
            Measurand.PROFILE_DIAMETER: (end.profile_mm[0][1] if end.profile_mm else None, 0.06),
        }
        if flange is not None:
            known |= {
                Measurand.FLANGE_HEAD_DIAMETER: (self.piece.head_mm, 0.1),
                Measurand.FLANGE_HEAD_THICKNESS: (self.piece.thick_mm, 0.1),
                Measurand.BOLT_LONG: (flange.bolt_long_mm, 0.4),
                Measurand.BOLT_SHORT: (flange.bolt_short_mm, 0.4),
                Measurand.BOLT_CIRCLE: (flange.bolt_circle_mm, 0.4),
            }
        value_mm, sd_mm = known.get(measurand, (None, 0.0))
        return None if value_mm is None else self._length(measurand, value_mm, sd_mm)

    def _length(self, measurand: Measurand, value_mm: float, sd_mm: float) -> Option:
        read_mm = value_mm + sd_mm * float(self._random.standard_t(5))
        if self._misheard():
            read_mm = float(self._random.uniform(*MISREAD_MM))
        step_mm = float(self._resolution) * (25.4 if self._unit is Unit.INCH else 1.0)
        steps = max(round(read_mm / step_mm), 1)
        value = steps * self._resolution
        resolution = self._resolution
        if self._unit is Unit.INCH and self._resolution >= Fraction(1, 64):
            resolution = Fraction(1, value.denominator)  # "nine sixteenths" does not show that it was read to a 64th
            resolution = min(resolution, Fraction(1, 16))
        return Option(measurand, Quantity(value, self._unit, resolution))

    # ---- gauges -----------------------------------------------------------------------------------------

    def _pitch(self) -> Option | None:
        leaf = self.piece.leaf
        if leaf is None:
            return None
        if self._mistaken("leaf", mistakes.WRONG_LEAF):
            leaf = self._neighbour(leaf)
        if self._misheard():
            leaf = mistakes.LEAVES[int(self._random.integers(len(mistakes.LEAVES)))]
        return Option(Measurand.PITCH, leaf)

    def _neighbour(self, leaf: Quantity) -> Quantity:
        lasting = self._lasting.get("leaf", False)
        others = sorted(mistakes.LEAVES, key=lambda other: abs(other.pitch_mm - leaf.pitch_mm))
        others = [other for other in others if other.pitch_mm != leaf.pitch_mm]
        return others[0 if lasting or self._random.random() < 0.6 else 1]

    def _seat_angle(self) -> Option | None:
        half = self.end.seat_half_angle_deg
        if half is None:
            return None
        said_half = self.end.series in mistakes.FLARES
        if self._mistaken("half", mistakes.HALF_FOR_INCLUDED):
            said_half = not said_half
        angle = half if said_half else 2 * half
        leaves = mistakes.SEAT_LEAVES
        leaf = min(leaves, key=lambda a: abs(a - angle))
        if self._mistaken("seat leaf", mistakes.WRONG_SEAT_LEAF):
            leaf = min((a for a in leaves if a != leaf), key=lambda a: abs(a - angle))
        if self._misheard():
            leaf = leaves[int(self._random.integers(len(leaves)))]
        return Option(Measurand.SEAT_ANGLE, Quantity(Fraction(leaf), Unit.DEGREE, Fraction(1)))

    def _flank(self) -> Option | None:
        thread = self.end.thread
        if thread is None:
            return None
        angle = 60 if (thread.flank_angle_deg == 60) != self._mistaken("flank", mistakes.WRONG_FLANK) else 55
        return Option(Measurand.FLANK_ANGLE, Quantity(Fraction(angle), Unit.DEGREE, Fraction(1)))

    def _crest(self) -> Option | None:
        rounded = self.piece.rounded
        if rounded is None:
            return None
        return Option(
            Measurand.CREST, "rounded" if rounded != self._mistaken("crest", mistakes.WRONG_CREST) else "flat"
        )

    def _taper(self) -> Option | None:
        thread = self.end.thread
        if thread is None:
            return None
        tapered = bool(thread.taper) != self._mistaken("taper", mistakes.WRONG_TAPER)
        return Option(Measurand.TAPER, "tapered" if tapered else "parallel")

    # ---- what is seen and felt --------------------------------------------------------------------------

    def _shape(self) -> Option:
        shapes = sorted({*mistakes.SHAPES.values(), "threaded"})
        return self._category(
            Measurand.SHAPE, mistakes.SHAPES.get(self.end.series, "threaded"), shapes, mistakes.WRONG_SHAPE
        )

    def _seat_form(self, check: Check) -> Option:
        """The seat as it is called; asked whether there is a spot face, whether there is."""
        if check.id != "spot-face":
            return self._category(Measurand.SEAT_FORM, self.piece.form, list(SeatForm), mistakes.WRONG_FORM)
        faced = self.piece.faced != self._mistaken("face", mistakes.WRONG_FACE)
        return Option(Measurand.SEAT_FORM, SeatForm.SHOULDER if faced else SeatForm.NONE)

    def _seal(self, *, open_question: bool) -> Option:
        """A lost ring is often called metal; asked about the ring, the empty groove is mostly found."""
        seal = self.piece.seal
        unseen = mistakes.RING_LOST_UNSEEN if open_question else mistakes.GROOVE_UNSEEN
        empty_port = self.end.gender is Gender.PORT and open_question
        if (self.piece.lost and self._chance(unseen)) or (empty_port and self._chance(mistakes.EMPTY_PORT)):
            seal = Seal.METAL
        return self._category(Measurand.SEAL, seal, list(Seal), mistakes.WRONG_SEAL)

    def _nose(self) -> Option | None:
        if self.end.seat_form is not SeatForm.CONVEX:
            return None
        ball = self.piece.ball != self._mistaken("nose", mistakes.WRONG_NOSE)
        return Option(Measurand.NOSE, "ball" if ball else "straight")

    def _edge(self) -> Option | None:
        there = self.end.around_shoulder
        if there is None:
            return None
        mistaken = self._mistaken("edge", mistakes.WRONG_EDGE)
        return Option(Measurand.SHOULDER_EDGE, ("edge" if there == "plain" else "plain") if mistaken else there)

    def _body(self) -> Option:
        housing = (self.end.gender is Gender.PORT) != self._mistaken("body", mistakes.WRONG_BODY)
        return Option(Measurand.BODY, "housing" if housing else "loose")

    def _line(self) -> Option:
        taken = self._mistaken("line", mistakes.WRONG_LINE)
        if not taken:
            return Option(Measurand.LINE, self.end.line)
        return Option(Measurand.LINE, HYDRAULIC if self.end.trade else Trade.AIR_BRAKE.name.lower())

    def _gender(self) -> Option:
        gender = self.end.gender
        if gender is Gender.STUD and self._mistaken("stud", mistakes.CALLED_MALE):
            gender = Gender.MALE
        elif gender is Gender.PORT and self._mistaken("port", mistakes.CALLED_FEMALE):
            gender = Gender.FEMALE
        elif self._mistaken("gender", mistakes.WRONG_GENDER):
            gender = Gender.FEMALE if gender in (Gender.MALE, Gender.STUD) else Gender.MALE
        return Option(Measurand.GENDER, gender)

    def _side(self) -> Option | None:
        external = self.end.external
        if external is None:
            return None
        return Option(Measurand.THREAD_SIDE, "external" if external else "internal")

    # ---- chance -----------------------------------------------------------------------------------------

    def _misheard(self) -> bool:
        """Whether a number was misheard and stays so."""
        if not self._chance(mistakes.MISHEARD):
            return False
        corrected = self._chance(mistakes.CORRECTED)
        self.corrections += corrected
        return not corrected

    def _chance(self, rate: float) -> bool:
        return bool(self._random.random() < rate)

    def _mistaken(self, kind: str, rate: float) -> bool:
        """A share of a kind's mistakes lasts on this end, the others come anew."""
        if kind not in self._lasting:
            self._lasting[kind] = self._chance(rate * self._share_lasting)
        return self._lasting[kind] or self._chance(rate * (1 - self._share_lasting))

    def _category(self, measurand: Measurand, true: str, categories: list[str], rate: float) -> Option:
        if not self._mistaken(measurand.value, rate):
            return Option(measurand, str(true))
        others = [str(category) for category in categories if category != true]
        return Option(measurand, others[int(self._random.integers(len(others)))])

    @staticmethod
    def _same(perceived: Option, asked: Option) -> bool:
        first, second = perceived.value, asked.value
        assert isinstance(first, Quantity)
        assert isinstance(second, Quantity)
        if perceived.measurand is Measurand.PITCH:
            return abs(float(first.pitch_mm - second.pitch_mm)) < 0.004
        return abs(float(first.value - second.value)) < 1
