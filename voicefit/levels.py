"""How loud a sound is, and what is wrong with it.

Duty: levels in dBFS (0 dBFS: a full-scale square wave), clipping, DC. It must not judge what was said.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from voicefit.records import SAMPLE_RATE_HZ

SILENCE_DBFS = -120.0
_FULL_SCALE = 0.99
_ABOVE_NOISE_DB, _BELOW_VOICE_DB = 8.0, 25.0
_QUIET_AROUND_DB = 20.0  # voice over noise from which the level alone tells a pause, sooner than the detector
_CLIPPED_SHARE = 0.002  # of the samples of an utterance; sharp plosives touch full scale now and then


def power_of(samples: NDArray[np.float32]) -> float:
    """Mean square of samples -1..1."""
    exact = samples.astype(np.float64)
    return float(exact.dot(exact)) / len(samples)


def dbfs_of(power: float) -> float:
    """Level of a mean square."""
    return max(SILENCE_DBFS, 10.0 * math.log10(power + 1e-12))


def dbfs(samples: NDArray[np.float32]) -> float:
    """Root mean square level of samples -1..1."""
    return dbfs_of(power_of(samples)) if len(samples) else SILENCE_DBFS


def is_quiet_around(voice_dbfs: float, noise_dbfs: float) -> bool:
    """Whether a voice stands out so far that the level tells its pauses as well as the detector does."""
    return voice_dbfs - noise_dbfs > _QUIET_AROUND_DB


def least_dbfs(voice_dbfs: float, noise_dbfs: float) -> float:
    """What is louder than this beside a voice is sound too, and not the noise around it."""
    return max(noise_dbfs + _ABOVE_NOISE_DB, voice_dbfs - _BELOW_VOICE_DB)


def is_clipped(samples: NDArray[np.float32]) -> bool:
    """Whether the recording was driven to full scale, so that the words are distorted."""
    return len(samples) > 0 and float(np.mean(np.abs(samples) >= _FULL_SCALE)) > _CLIPPED_SHARE


def is_narrow_band(samples: NDArray[np.float32]) -> bool:
    """Whether speech came through a telephone band, as from a wireless headset in its call profile.

    Sampled at 8 kHz, nothing is left above 4 kHz, neither hiss nor room. Over 98 human recordings the power from 4.5 to
    7.5 kHz lay 34 dB or less below that from 0.5 to 3.4 kHz; after a passage through 8 kHz and 16 bit, 54 dB or more.
    """
    size = 512
    if len(samples) < 2 * size:
        return False
    frames = np.lib.stride_tricks.sliding_window_view(samples, size)[:: size // 2] * np.hanning(size)
    power = np.mean(np.abs(np.fft.rfft(frames, axis=1)) ** 2, axis=0)
    hz = np.fft.rfftfreq(size, 1 / SAMPLE_RATE_HZ)
    high = float(power[(hz >= 4500) & (hz < 7500)].mean())
    low = float(power[(hz >= 500) & (hz < 3400)].mean())
    return low > 0 and 10 * np.log10(high / low + 1e-30) < -44


class DcBlocker:
    """Takes a slowly moving mean out of a stream of blocks."""

    _TIME_S = 1.0

    def __init__(self, rate_hz: int) -> None:
        self._rate_hz = rate_hz
        self._mean: float | None = None
        self._ramp = np.zeros(0)  # 0 to 1 over a block; blocks are mostly alike

    def __call__(self, block: NDArray[np.float32]) -> NDArray[np.float32]:
        if len(block) == 0:
            return block
        if len(block) != len(self._ramp):
            self._ramp = np.linspace(0.0, 1.0, len(block))
        mean = float(np.add.reduce(block, dtype=np.float64)) / len(block)
        before = mean if self._mean is None else self._mean
        share = 1.0 - math.exp(-len(block) / (self._TIME_S * self._rate_hz))
        self._mean = before + share * (mean - before)
        # A ramp, so that no step is heard where two blocks meet.
        slope: NDArray[np.float64] = before + (self._mean - before) * self._ramp
        return block - slope.astype(np.float32)
