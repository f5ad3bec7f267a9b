"""What it costs to name one part when it is another.

Let ``a`` be the part named and ``b`` the part in hand. What is ordered for ``a`` meets what ``b`` mated with, and the
reverse. If it engages there, it screws together, holds at idle and lets go: that is grave. If it does not, that is seen
at once and costs a second trip. Whether two threads engage is geometry (pitch and height of engagement), as for mates;
of flanges, whether head and bolts are near enough to be clamped. Ends that are one part cost nothing.

Duty: that judgement, by pair of parts, from the tables and ``data/harm.toml``. It must not know any reading.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache

import numpy as np

from voicefit.catalogue.ends import CandidateEnd, Thread
from voicefit.matching.aspect import Bools, Floats, Ints
from voicefit.matching.model import Harm
from voicefit.records import Gender


class Harms:
    """``of(part)`` : seconds that it costs to name ``part``, by the part that it is, "none of these" last."""

    def __init__(self, ends: Sequence[CandidateEnd], part_of: Ints, harm: Harm) -> None:
        self._harm = harm
        first = np.unique(part_of[:-1], return_index=True)[1]
        parts = [ends[row] for row in first]  # the ends of one part have one thread and one flange
        self._external = np.array([np.nan if end.external is None else float(end.external) for end in parts])
        self._pitch_mm = _column(parts, lambda thread: thread.pitch_mm)
        self._major_mm = _column(parts, lambda thread: thread.major_diameter_mm)
        self._minor_mm = _column(parts, lambda thread: thread.minor_diameter_mm)
        self._flange_mm = np.array([_flange_mm(end) for end in parts]).reshape(len(parts), 3)
        self.of = lru_cache(maxsize=256)(self._of)

    def grave(self, part: int) -> Bools:
        """For each part and "none", whether naming ``part`` in its place lets go: (n_parts + 1,)."""
        with np.errstate(invalid="ignore"):
            same_side = self._external == self._external[part]
            apart = np.fmax.reduce(np.abs(self._flange_mm - self._flange_mm[part]), axis=1)  # of what is known
            goes_on = (same_side & self._engage(part)) | (apart <= self._harm.likeness.flange_mm)
        goes_on[part] = False
        return np.append(goes_on, False)

    def _of(self, part: int) -> Floats:
        seconds = np.where(self.grave(part), self._harm.harm.lets_go_s, self._harm.harm.second_trip_s)
        seconds[part] = 0.0
        return np.asarray(seconds, dtype=np.float64)

    def _engage(self, part: int) -> Bools:
        """Whether the smaller of two threads engages where the larger one went, however loosely."""
        likeness = self._harm.likeness
        mismatch = np.abs(self._pitch_mm - self._pitch_mm[part]) / np.maximum(self._pitch_mm, self._pitch_mm[part])
        engaged = np.minimum(self._major_mm, self._major_mm[part]) - np.maximum(self._minor_mm, self._minor_mm[part])
        height = np.minimum(self._major_mm - self._minor_mm, self._major_mm[part] - self._minor_mm[part])
        engages = (mismatch <= likeness.pitch_mismatch) & (engaged >= likeness.least_engagement * height)
        return np.asarray(engages, dtype=np.bool_)


def _column(parts: Sequence[CandidateEnd], value: Callable[[Thread], float]) -> Floats:
    return np.array([np.nan if end.thread is None else value(end.thread) for end in parts], dtype=np.float64)


def _flange_mm(end: CandidateEnd) -> tuple[float, float, float]:
    """Head, long and short side; what a port has no head for is compared by its bolts."""
    if end.flange is None:
        return (np.nan,) * 3
    head = 0.0 if end.gender is Gender.PORT else end.flange.head_diameter_mm
    return np.nan if head is None else head, end.flange.bolt_long_mm, end.flange.bolt_short_mm
