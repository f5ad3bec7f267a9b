"""What gauges tell: pitch, flank angle and seat angle.

Duty: the aspects of the thread gauge and the seat gauge. States are the leaf that seems to fit, which stays the same
over repeated readings. It must not decide whether "thirty" was half or included: both are states.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from voicefit.catalogue.ends import CandidateEnd, Thread
from voicefit.errors import BadInput
from voicefit.matching.aspect import LOOSELY, TINY, Aspect, Floats, classify, normal_mass, said_angle_deg, said_quantity
from voicefit.matching.model import MeasurementModel
from voicefit.quantities import Quantity, Unit
from voicefit.records import Measurand, Option

SAME_PITCH_MM = 0.004  # nearer than any two leaves
LOOSE_THREADS = 3.0  # "about eighteen": no better than a leaf over so few threads; common practice, no source
LOOSE_SD_DEG = 4.0  # "about forty": by eye; common practice, no source


class PitchAspect(Aspect):
    """States: the leaf that seems to fit. Confusion falls with engaged threads times the difference of pitch."""

    name = "pitch"
    measurands = frozenset({Measurand.PITCH})

    def __init__(self, ends: Sequence[CandidateEnd], model: MeasurementModel) -> None:
        self._gauge = model.pitch_gauge
        self.class_of, keys = classify([None if end.thread is None else end.thread.pitch_mm for end in ends])
        self.leaves = self._leaf_quantities([end.thread for end in ends if end.thread is not None])
        self._norms: dict[tuple[float, float], Floats] = {}
        self._leaves_mm = np.array([float(leaf.pitch_mm) for leaf in self.leaves])
        even = np.full(len(self.leaves), 1 / len(self.leaves))
        absent = model.absent.thread * even  # the other rows sum to one: that a pitch is read is certain
        perceived = [absent if key is None else self._kept(key) for key in keys]
        self.log_states = np.log(np.array([*perceived, even]) + TINY)
        self._pitch_mm = np.array([*keys, None], dtype=np.float64)
        self.outcomes = [Option(Measurand.PITCH, leaf) for leaf in self.leaves]

    def _leaf_quantities(self, threads: Sequence[Thread]) -> list[Quantity]:
        """Leaves of the two gauges, and those that threads of the catalogue need beside them."""
        inch = {Fraction(str(tpi)) for tpi in self._gauge.inch_leaves_tpi}
        inch |= {thread.tpi for thread in threads if thread.tpi is not None}
        metric = {Fraction(str(pitch)) for pitch in self._gauge.metric_leaves_mm}
        metric |= {Fraction(str(round(thread.pitch_mm, 4))) for thread in threads if thread.tpi is None}
        return [Quantity(tpi, Unit.THREADS_PER_INCH) for tpi in sorted(inch)] + [
            Quantity(pitch, Unit.MILLIMETRE) for pitch in sorted(metric)
        ]

    def _confusion(self, pitch_mm: Floats, threads: float, share: float) -> Floats:
        """Odds of each pitch being taken for the right leaf, 1 for the right one itself, the others by ``share``."""
        apart = np.abs(pitch_mm)
        odds = self._gauge.most * np.exp(-threads * apart / self._gauge.scale_mm)
        odds += self._gauge.neighbour * np.exp(-apart / self._gauge.neighbour_scale_mm)
        return np.where(apart < SAME_PITCH_MM, 1.0, share * odds)

    def _kept(self, pitch_mm: float) -> Floats:
        odds = self._confusion(self._leaves_mm - pitch_mm, self._gauge.threads, self._gauge.kept_share)
        odds = odds + 1e-6  # so that a pitch on no leaf has a state
        return np.asarray(odds / odds.sum(), dtype=np.float64)

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        quantity = said_quantity(option)
        if quantity.unit not in (Unit.THREADS_PER_INCH, Unit.MILLIMETRE, Unit.INCH):
            raise BadInput(f"pitch: {quantity.value} {quantity.unit} is not a pitch")
        pitch_mm = float(quantity.pitch_mm)
        threads = float(threads_engaged) if threads_engaged else self._gauge.threads
        if option.hedge in LOOSELY:  # as over a few threads only
            threads = min(threads, LOOSE_THREADS)
        share = 1.0 if threads < self._gauge.threads else 1 - self._gauge.kept_share
        if (threads, share) not in self._norms:  # of the odds over all leaves, for each perceived leaf
            apart = self._leaves_mm[:, None] - self._leaves_mm[None, :]
            self._norms[threads, share] = self._confusion(apart, threads, share).sum(axis=1)
        said = self._confusion(self._leaves_mm - pitch_mm, threads, share) / self._norms[threads, share]
        return np.asarray(
            ((1 - self._gauge.gross) * said + self._gauge.gross / len(self.leaves))[None, :], dtype=np.float64
        )

    def literal(self, option: Option) -> NDArray[np.bool_]:
        same = np.abs(self._pitch_mm - float(said_quantity(option).pitch_mm)) < SAME_PITCH_MM
        return np.asarray(np.asarray(same != option.negated) & ~np.isnan(self._pitch_mm), dtype=np.bool_)

    def answerable(self) -> Floats:
        return np.array([0.02 if np.isnan(key) else 0.98 for key in self._pitch_mm[:-1]] + [0.52])


class FlankAspect(Aspect):
    """55 or 60 degree flanks, by the light under a leaf of the right pitch."""

    name = "flank"
    measurands = frozenset({Measurand.FLANK_ANGLE})
    angles_deg = (55.0, 60.0)

    def __init__(self, ends: Sequence[CandidateEnd], model: MeasurementModel) -> None:
        self._numbers = model.flank_angle
        self.class_of, keys = classify([None if end.thread is None else end.thread.flank_angle_deg for end in ends])
        kept = self._numbers.seen_kept
        rows = {55.0: (1 - kept, kept), 60.0: (kept, 1 - kept)}
        self._true: list[float | None] = [*keys, None]
        absent = model.absent.thread / 2
        even = [(absent, absent)] * len(keys) + [(0.5, 0.5)]
        self.log_states = np.log(np.array([rows.get(key or 0.0, e) for key, e in zip(self._true, even, strict=True)]))
        self.outcomes = [_degrees(Measurand.FLANK_ANGLE, angle) for angle in self.angles_deg]

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        said = said_angle_deg(option)
        seen = self._numbers.seen
        return np.array([[1 - seen if abs(said - angle) < 2.5 else seen for angle in self.angles_deg]])

    def literal(self, option: Option) -> NDArray[np.bool_]:
        said = said_angle_deg(option)
        return np.array([key is not None and (abs(said - key) < 2.5) != option.negated for key in self._true])

    def answerable(self) -> Floats:
        return np.array([0.02 if key is None else 0.9 for key in self._true[:-1]] + [0.5])


class SeatAngleAspect(Aspect):
    """States: the angle that the gauge seems to show, as this person names it: half, or included; and, last, one for
    each gauge and the one of twice its angle, where both are found to fit, and either is named."""

    name = "seat_angle"
    measurands = frozenset({Measurand.SEAT_ANGLE})

    def __init__(self, ends: Sequence[CandidateEnd], model: MeasurementModel) -> None:
        self._gauge = model.seat_gauge
        self.leaves_deg = np.array(sorted(self._gauge.leaves_deg))
        self.class_of, keys = classify([self._seats(end) for end in ends])
        count = len(self.leaves_deg)
        self._half = [i for i, angle in enumerate(self.leaves_deg) if 2 * angle in self.leaves_deg]
        self._whole = [int(np.flatnonzero(self.leaves_deg == 2 * self.leaves_deg[i])[0]) for i in self._half]
        even = np.append(np.full(count, 1 / count), np.zeros(len(self._half)))
        self._absent = model.absent.seat
        rows = [self._perceived(*key) if key[0] else self._absent * even for key in keys]
        self.log_states = np.log(np.array([*rows, even]) + TINY)
        self._true: list[tuple[float, ...]] = [key[0] for key in keys] + [()]
        self._half_said = np.array([self._named(key[1]) for key in keys] + [0.5])[:, None]
        self.outcomes = [_degrees(Measurand.SEAT_ANGLE, float(angle)) for angle in self.leaves_deg]

    def _seats(self, end: CandidateEnd) -> tuple[tuple[float, ...], bool]:
        """Half angles that the end seats on, and whether the trade names it by the half angle."""
        if end.seat_half_angle_deg is None:
            return (), False
        return (end.seat_half_angle_deg, *end.also_seats_deg), end.named_by_half_angle

    def _named(self, flare: bool) -> float:
        """How often the half angle is said, not the included one."""
        return self._gauge.half_said_flare if flare else self._gauge.half_said_cone

    def _perceived(self, half_angles_deg: tuple[float, ...], flare: bool) -> Floats:
        half_said, kept, either = self._named(flare), self._gauge.neighbour_kept, self._gauge.either_fits
        shown, both = np.zeros(len(self.leaves_deg)), np.zeros(len(self._half))
        for half in half_angles_deg:
            for angle, share in ((half, half_said), (2 * half, 1 - half_said)):
                shown[int(np.argmin(np.abs(self.leaves_deg - angle)))] += share / len(half_angles_deg)
            both[int(np.argmin(np.abs(self.leaves_deg[self._half] - half)))] += 1 / len(half_angles_deg)
        shown = (1 - kept) * shown + kept * (shown @ self._beside(self.leaves_deg))
        both = (1 - kept) * both + kept * (both @ self._beside(self.leaves_deg[self._half]))
        return np.append((1 - either) * shown, either * both)

    def _beside(self, leaves_deg: Floats) -> Floats:
        """Which leaf is taken where the one beside it would be right, the nearer one more often: rows sum to one."""
        number = np.arange(len(leaves_deg))
        apart = np.abs(leaves_deg[:, None] - leaves_deg)
        odds = np.where(np.abs(number[:, None] - number) == 1, np.exp(-apart / self._gauge.neighbour_scale_deg), 0.0)
        return np.asarray(odds / np.maximum(odds.sum(axis=1, keepdims=True), TINY), dtype=np.float64)

    def report(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        by_leaf = self._by_leaf(option)
        either = self._half_said * by_leaf[self._half] + (1 - self._half_said) * by_leaf[self._whole]
        return np.hstack([np.broadcast_to(by_leaf, (len(either), len(by_leaf))), either])

    def report_asked(self, option: Option, threads_engaged: int | None, times: int) -> Floats:
        by_leaf = self._by_leaf(option)
        return np.append(by_leaf, np.maximum(by_leaf[self._half], by_leaf[self._whole]))[None, :]

    def fitting(self) -> Floats:
        by_leaf, both = np.split(np.exp(self.log_states), [len(self.leaves_deg)], axis=1)
        by_leaf[:, self._half] += both
        by_leaf[:, self._whole] += both
        return by_leaf

    def _by_leaf(self, option: Option) -> Floats:
        """Probability that an angle is said, by the leaf that seems to fit: (n_leaves,)."""
        said = said_angle_deg(option)
        sd = np.hypot(LOOSE_SD_DEG if option.hedge in LOOSELY else self._gauge.sd_deg, 1 / np.sqrt(12))
        near = normal_mass(said, self.leaves_deg, sd, 1.0)
        near = np.maximum(near, np.abs(said - self.leaves_deg) < 0.5)  # a leaf's own name is said as such
        beside = self._beside(self.leaves_deg) @ near
        gross, neighbour = self._gauge.gross, self._gauge.neighbour
        return np.asarray(
            (1 - gross - neighbour) * near + neighbour * beside + gross / len(self.leaves_deg), dtype=np.float64
        )

    def literal(self, option: Option) -> NDArray[np.bool_]:
        said = said_angle_deg(option)
        fits = [any(min(abs(said - half), abs(said - 2 * half)) <= 3 for half in halves) for halves in self._true]
        return np.asarray(np.array(fits) != option.negated, dtype=np.bool_)

    def answerable(self) -> Floats:
        return np.array([0.95 if halves else self._absent for halves in self._true[:-1]] + [0.5])


def _degrees(measurand: Measurand, angle: float) -> Option:
    return Option(measurand, Quantity(Fraction(str(angle)), Unit.DEGREE, Fraction(1)))
