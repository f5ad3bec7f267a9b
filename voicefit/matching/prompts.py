"""Which prompts make sense now: those of a thread where there may be one, of a side where it is known, of a shape.

Duty: that judgement, from what is believed and what was read. It must not value a check.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from voicefit.catalogue.ends import Shape
from voicefit.matching.aspect import TINY, Floats, classify
from voicefit.matching.checks import CheckEntry
from voicefit.matching.diameter import SIDED
from voicefit.matching.matcher import Matcher
from voicefit.quantities import Quantity
from voicefit.records import Gender, Measurand, Reading

THREAD = frozenset(
    {
        Measurand.FIRST_THREAD_DIAMETER,
        Measurand.LAST_THREAD_DIAMETER,
        Measurand.THREAD_SIDE,
        Measurand.PITCH,
        Measurand.TAPER,
        Measurand.FLANK_ANGLE,
        Measurand.CREST,
    }
)


@dataclass(frozen=True, slots=True)
class Likely:
    """What a prompt may speak of: ``threaded``, ``external``, ``port`` and ``tapered`` (of what is threaded) and
    ``shapes`` are probabilities.

    ``steps_mm`` : of lengths that were read, how finely at best.
    """

    read: frozenset[Measurand]
    threaded: float
    external: float
    port: float
    tapered: float
    shapes: Mapping[Shape, float]
    steps_mm: Mapping[Measurand, float]


class Prompts:
    """Judges prompts over a matcher's ends."""

    def __init__(self, matcher: Matcher) -> None:
        self._model = matcher.model
        ends = matcher.ends
        self._threaded = np.flatnonzero([end.external is not None for end in ends])
        self._shape_of, self._shapes = classify([end.shape for end in ends])
        self._external_rows = np.flatnonzero([end.external is True for end in ends])
        self._port_rows = np.flatnonzero([end.external is False and end.gender is Gender.PORT for end in ends])
        self._tapered_rows = np.flatnonzero([end.thread is not None and bool(end.thread.taper) for end in ends])

    def make_sense(self, entry: CheckEntry, view: Likely) -> bool:
        """Whether its prompt makes sense for what is known of the thread, its side, and the shape."""
        decision = self._model.decision
        of_shape = sum(view.shapes[shape] for shape in entry.shape)
        read = view.read | {Measurand.SHAPE} if of_shape >= decision.likely_posterior else view.read
        if entry.after and not read & set(entry.after):
            return False
        if entry.finer_mm is not None and not view.steps_mm.get(entry.measurand, 0.0) > entry.finer_mm:
            return False
        if entry.shape and of_shape < decision.shape_posterior:
            return False
        wants = "some" if entry.measurand in THREAD else entry.thread
        if wants is not None and (view.threaded >= decision.thread_posterior) == (wants == "none"):
            return False
        if entry.thread == "tapered" and view.tapered < decision.thread_posterior:
            return False
        if entry.gender is not None or entry.measurand in SIDED:
            sure = decision.side_posterior
            side = "external" if view.external > sure else "internal" if view.external < 1 - sure else None
            if entry.gender == "port":
                return side == "internal" and view.port >= decision.shape_posterior
            return entry.gender == side and (side is None or view.threaded >= decision.thread_posterior)
        return True

    def view(self, belief: Floats, readings: Sequence[Reading]) -> Likely:
        """What is likely of the end by ``belief``, and what was read of it."""
        some = max(float(belief[:-1].sum()), TINY)
        threaded = float(belief[self._threaded].sum())
        external = float(belief[self._external_rows].sum()) / threaded if threaded > 0 else 0.5
        tapered, port = (
            float(belief[rows].sum()) / max(threaded, TINY) for rows in (self._tapered_rows, self._port_rows)
        )
        by_shape = np.bincount(self._shape_of[:-1], belief[:-1], minlength=len(self._shapes)) / some
        read = frozenset[Measurand]().union(*(reading.measurands for reading in readings))
        shapes = dict.fromkeys(Shape, 0.0) | dict(zip(self._shapes, by_shape.tolist(), strict=True))
        return Likely(read, threaded / some, external, port, tapered, shapes, _steps_mm(readings))


def _steps_mm(readings: Sequence[Reading]) -> dict[Measurand, float]:
    """By measurand, the finest step to which a length was read."""
    found: dict[Measurand, float] = {}
    for option in (option for reading in readings for option in reading.options):
        step = option.value.resolution_mm if isinstance(option.value, Quantity) and option.value.is_length else None
        if step is not None:
            found[option.measurand] = min(float(step), found.get(option.measurand, float(step)))
    return found
