"""How loud a sound is, and what is wrong with it.

Duty: levels in dBFS (0 dBFS: a full-scale square wave), clipping, DC. It must not refuse words that were understood: a
doubtful level is a reason given where the recogniser could make nothing of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from voicefit.records import Reason, Rejection, Utterance

if TYPE_CHECKING:
    from numpy.typing import NDArray

SILENCE_DBFS = -120.0
_FULL_SCALE = 0.99
_CLIPPED_SHARE = 0.002  # of the samples of an utterance; sharp plosives touch full scale now and then


@dataclass(frozen=True, slots=True)
class LevelLimits:
    """What is too quiet or too loud for this user (``voicefit check-hearing`` sets it).

    ``quietest_dbfs`` : speech below it is too far from the microphone.
    ``least_over_noise_db`` : speech less than this above the noise around it is drowned.
    """

    quietest_dbfs: float = -55.0
    least_over_noise_db: float = 3.0


def dbfs(samples: NDArray[np.float32]) -> float:
    """Root mean square level of samples -1..1."""
    if len(samples) == 0:
        return SILENCE_DBFS
    power = float(np.mean(np.square(samples, dtype=np.float64)))
    return max(SILENCE_DBFS, 10.0 * float(np.log10(power + 1e-12)))


def is_clipped(samples: NDArray[np.float32]) -> bool:
    """Whether the recording was driven to full scale, so that the words are distorted."""
    return len(samples) > 0 and float(np.mean(np.abs(samples) >= _FULL_SCALE)) > _CLIPPED_SHARE


def refusal(utterance: Utterance, limits: LevelLimits | None = None) -> Rejection | None:
    """What is wrong with the sound itself: too long, too loud, too quiet; ``None`` when nothing is.

    Meant for an utterance that the recogniser refused, to say why: a level that is off by itself is no ground to refuse
    words that were understood.
    """
    limits = limits or LevelLimits()
    if utterance.cut:
        return Rejection("", Reason.TOO_LONG)
    if utterance.clipped:
        return Rejection("", Reason.TOO_LOUD)
    level = utterance.level_dbfs if utterance.level_dbfs is not None else dbfs(utterance.samples)
    if level <= SILENCE_DBFS:
        return Rejection("", Reason.SILENCE)
    if level < limits.quietest_dbfs:
        return Rejection("", Reason.TOO_QUIET, detail=f"{level:.0f} dBFS")
    if utterance.noise_dbfs is not None and level - utterance.noise_dbfs < limits.least_over_noise_db:
        return Rejection("", Reason.NOISE, detail=f"{level - utterance.noise_dbfs:.0f} dB over the noise")
    return None


class DcBlocker:
    """Takes a slowly moving mean out of a stream of blocks."""

    _TIME_S = 1.0

    def __init__(self, rate_hz: int) -> None:
        self._rate_hz = rate_hz
        self._mean: float | None = None

    def __call__(self, block: NDArray[np.float32]) -> NDArray[np.float32]:
        if len(block) == 0:
            return block
        mean = float(np.mean(block, dtype=np.float64))
        before = mean if self._mean is None else self._mean
        share = 1.0 - float(np.exp(-len(block) / (self._TIME_S * self._rate_hz)))
        self._mean = before + share * (mean - before)
        # A ramp, so that no step is heard where two blocks meet.
        return block - np.linspace(before, self._mean, len(block), dtype=np.float32)
