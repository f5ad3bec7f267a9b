"""An utterance made ready for an engine, and what can be told from its level alone.

Duty: refuse by name what holds no speech, take out the offset, pad with silence, measure speech and noise levels. It
must not decide on meaning, and must not alter what it was given.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voicefit.errors import BadAudio
from voicefit.levels import dbfs_of, is_clipped
from voicefit.records import SAMPLE_RATE_HZ, Reason, Rejection, Utterance

PAD_S = 0.3  # without silence around it the model drops first and last words
SHORTEST_S, LONGEST_S = 0.1, 30.0
FRAME_S = 0.02
SILENT_DBFS = -70.0  # below the self-noise of any microphone worth using; common practice, no source
QUIET_DBFS = -50.0


@dataclass(frozen=True, slots=True, eq=False)
class Prepared:
    """``samples``: padded, without offset. Levels in dB relative to full scale; ``snr_db`` their difference."""

    samples: NDArray[np.float32]
    speech_dbfs: float
    noise_dbfs: float
    clipped: bool

    @property
    def snr_db(self) -> float:
        return self.speech_dbfs - self.noise_dbfs


def prepare(utterance: Utterance) -> Prepared | Rejection:
    """The utterance ready for an engine, or why there is nothing to recognise.

    Raises ``BadAudio`` when samples are not numbers or not one channel: that is a fault of the source, not of speech.
    """
    samples = np.asarray(utterance.samples, np.float32)
    if samples.ndim != 1:
        raise BadAudio("utterance", f"one channel is wanted, shape {samples.shape} came")
    if broken := int(np.count_nonzero(~np.isfinite(samples))):
        raise BadAudio("utterance", f"{broken} of {len(samples)} samples are not numbers")
    seconds = len(samples) / SAMPLE_RATE_HZ
    if seconds > LONGEST_S:
        return Rejection("", Reason.TOO_LONG, f"{seconds:.0f} seconds")
    if seconds < SHORTEST_S:
        return Rejection("", Reason.SILENCE)
    centred = samples - np.float32(np.median(samples))
    speech, noise = levels(centred)
    if speech < SILENT_DBFS:
        return Rejection("", Reason.SILENCE)
    clipped = utterance.clipped or is_clipped(samples)
    padded = np.pad(centred, round(PAD_S * SAMPLE_RATE_HZ))
    return Prepared(
        padded,
        speech if utterance.level_dbfs is None else utterance.level_dbfs,
        noise if utterance.noise_dbfs is None else utterance.noise_dbfs,
        clipped,
    )


def levels(samples: NDArray[np.float32]) -> tuple[float, float]:
    """Level of the loudest tenth of the frames and of the quietest tenth, dBFS; ``samples`` : shape (n,), no offset."""
    size = round(FRAME_S * SAMPLE_RATE_HZ)
    frames = samples[: len(samples) // size * size].reshape(-1, size).astype(np.float64)
    power = np.sort(np.mean(frames**2, axis=1))
    tenth = max(1, len(power) // 10)
    return dbfs_of(float(power[-tenth:].mean())), dbfs_of(float(power[:tenth].mean()))
