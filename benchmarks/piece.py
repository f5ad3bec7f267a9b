"""The piece that a simulated technician holds: a listed end as it came out of years of use.

Duty: draw what is true of this very piece (its wear, its hexagon, a lost ring), once. It must not look at a check or
make a mistake of reading.
"""

from __future__ import annotations

import numpy as np

from benchmarks import mistakes
from voicefit.catalogue.ends import CandidateEnd
from voicefit.quantities import Quantity
from voicefit.records import Gender, Measurand, Seal, SeatForm

RINGS = (Seal.CONE_O_RING, Seal.FACE_O_RING, Seal.BASE_O_RING, Seal.FLANGE_O_RING, Seal.BORE_O_RING)


class Piece:
    """One piece of ``end``.

    ``diameter_mm`` : across the crests (of a taper, at the gauge plane), or of the head or spigot; ``None`` without
    one. ``lost`` : its ring is lost. ``leaf`` : the gauge leaf that fits its thread.
    ``rounded`` : whether its crests are, ``None`` without a thread.
    ``mouth_mm`` : across the chamfer at the mouth of an internal thread. ``faced`` : whether the block is milled flat
    around a port. ``head_mm``, ``thick_mm`` : of a flange's head or body; ``None`` without one.
    """

    def __init__(self, end: CandidateEnd, random: np.random.Generator) -> None:
        self.end = end
        self._random = random
        self.diameter_mm = self._diameter()
        self.hex_mm = self._hex()
        self.form = self._form()
        self.lost = False
        self.cut_wrong = end.gender is Gender.PORT and self._chance(mistakes.PORT_CUT_WRONG)
        self.seal = self._seal()
        self.mouth_mm = self._mouth()
        noses = mistakes.BALL_NOSES
        self.ball = self._chance(noses.get(end.id, noses.get(end.kind, 0.0)))
        self.leaf = self._leaf()
        self.rounded = self._rounded()
        self.faced = self._faced()
        self.head_mm, self.thick_mm = self._head()

    def along_mm(self, asked: Measurand) -> float:
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

    def _chance(self, rate: float) -> bool:
        return bool(self._random.random() < rate)

    def _diameter(self) -> float | None:
        end = self.end
        if end.thread is None:
            if end.flange is not None:
                return None if end.gender is Gender.PORT else end.flange.head_diameter_mm
            return end.profile_mm[0][1] if end.profile_mm else None
        limits = end.thread.external_major_mm if end.external else end.thread.internal_minor_mm
        new = float(self._random.uniform(*limits))
        if end.thread.taper:
            turns = float(self._random.uniform(-mistakes.OUT_OF_GAUGE_TURNS, mistakes.OUT_OF_GAUGE_TURNS))
            out = turns * end.thread.pitch_mm * float(end.thread.taper)
            new = out + (end.thread.major_diameter_mm if end.external else sum(limits) / 2)
        if end.external:
            return new - float(self._random.exponential(mistakes.MALE_WEAR_MM))
        return new + float(self._random.exponential(mistakes.FEMALE_WEAR_MM))

    def _hex(self) -> float | None:
        if not self.end.hex_mm:
            return None
        hex_mm = self.end.hex_mm[int(self._random.integers(len(self.end.hex_mm)))]
        return hex_mm * float(self._random.uniform(0.85, 1.2)) if self._chance(mistakes.OWN_HEX) else hex_mm

    def _form(self) -> str:
        """The seat as this end has it; shoulders are often overlooked."""
        form = self.end.seat_form
        if form is SeatForm.SHOULDER and self._chance(mistakes.SHOULDER_UNSEEN):
            return SeatForm.NONE if self._chance(0.6) else SeatForm.FLAT
        return form

    def _seal(self) -> str:
        end = self.end
        if not end.carries_seal:
            if end.gender is Gender.PORT:
                return Seal.METAL if self.cut_wrong else end.seal
            return Seal.METAL if self._chance(mistakes.RING_ON_MATE_UNSEEN) else end.seal
        self.lost = (end.seal in RINGS and self._chance(mistakes.LOST_O_RING)) or (
            end.seal is Seal.CUTTING_RING and self._chance(mistakes.LOST_CUTTING_RING)
        )
        return end.seal

    def _rounded(self) -> bool | None:
        """Whether its thread's crests are rounded; ``None`` without a thread."""
        thread = self.end.thread
        if thread is None:
            return None
        return thread.rounded != self._chance(mistakes.CRESTS_CUT if thread.rounded else mistakes.CRESTS_WORN_ROUND)

    def _mouth(self) -> float | None:
        """Across the chamfer at the mouth of an internal thread."""
        end = self.end
        if end.mouth_mm is None or end.thread is None:
            return None
        if self.cut_wrong:
            return end.thread.major_diameter_mm + float(self._random.uniform(0, mistakes.MOUTH_CUT_WRONG_MM))
        return float(self._random.uniform(*end.mouth_mm)) + mistakes.MOUTH_MM * float(self._random.standard_normal())

    def _faced(self) -> bool:
        """Whether the block is milled flat around a port, for what seals against it or by chance."""
        if self.end.gender is not Gender.PORT:
            return False
        if self.end.seat_form is SeatForm.SHOULDER:
            return not self._chance(mistakes.SPOT_FACE_MISSING)
        return self._chance(mistakes.MILLED_ANYWAY)

    def _head(self) -> tuple[float | None, float | None]:
        """Across a flange's head or body, and its thickness; one that is not listed has a size all the same."""
        flange = self.end.flange
        if flange is None:
            return None, None
        across_mm, thick_mm = flange.head_diameter_mm, flange.head_thickness_mm
        if self.end.gender is Gender.PORT:
            return across_mm, thick_mm
        if across_mm is None:
            across_mm = flange.bolt_circle_mm * float(self._random.uniform(*mistakes.BODY_BY_BOLTS))
        if thick_mm is None:
            thick_mm = float(self._random.uniform(*mistakes.BODY_THICK_MM))
        return across_mm, thick_mm

    def _leaf(self) -> Quantity | None:
        thread = self.end.thread
        if thread is None:
            return None
        return min(mistakes.LEAVES, key=lambda leaf: abs(float(leaf.pitch_mm) - thread.pitch_mm))
