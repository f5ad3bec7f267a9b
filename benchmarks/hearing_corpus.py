"""A corpus of spoken utterances for the hearing benchmark, and what is made of it.

Duty: split its rows by speaker, read audio, mix noise in, and add the kinds that the benchmark makes itself: speech
played backwards, and noise alone. It must not recognise anything.
"""

from __future__ import annotations

import hashlib
import random
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from voicefit.audio.files import read_audio
from voicefit.driver.labelled import ReadAloud
from voicefit.errors import BadInput
from voicefit.records import SAMPLE_RATE_HZ

BACKWARDS, NOISE = "backwards", "noise"  # kinds made here; both are out of any grammar
PARTS = ("training", "fitting", "reporting", "all")
_BACKWARDS_WORDS = 3  # shorter ones can turn into real words: "no" is "on"
_NOISE_S = 2.0
_FRAME = SAMPLE_RATE_HZ // 50
_ACTIVITY_MARGIN_DB = 15.9  # ITU-T P.56, method B

Samples = NDArray[np.float32]


def part_of(rows: Iterable[ReadAloud], part: str) -> list[ReadAloud]:
    """The speakers that weights are trained on, those that the acceptance is fitted on, those that are reported on, or
    all. A speaker is in one part only, by a hash of the name: half are reported on, of the others a quarter fitted
    on."""
    return list(rows) if part == "all" else [row for row in rows if _part(row.speaker) == part]


def _part(speaker: str) -> str:
    if _hash(speaker) % 2:
        return "reporting"
    return "training" if _hash(speaker) // 2 % 4 else "fitting"


def with_backwards(rows: Iterable[ReadAloud], every: int) -> Iterator[ReadAloud]:
    """The rows, and every so many of the longer ones again, backwards."""
    for row in rows:
        yield row
        if len(row.transcript.split()) >= _BACKWARDS_WORDS and _hash(row.file) % every == 0:
            yield replace(row, kind=BACKWARDS, transcript="", backwards=True)


def samples_of(corpus: Path, row: ReadAloud) -> Samples:
    """The audio, shape (n,), 16 kHz. Raises ``BadAudio``."""
    samples = read_audio(corpus / row.file)
    return samples[::-1].copy() if row.backwards else samples


class Noise:
    """A recording of noise, of which fitting uses the first half and reporting the second."""

    def __init__(self, path: Path, snr_db: float, *, tuning: bool) -> None:
        recording = read_audio(path)
        half = len(recording) // 2
        self.name, self.snr_db = path.stem, snr_db
        self._recording = recording[:half] if tuning else recording[half:]
        if len(self._recording) < 4 * SAMPLE_RATE_HZ:
            raise BadInput(f"{path}: at least 8 seconds of noise are needed")

    def under(self, samples: Samples, seed: str) -> Samples:
        """``samples`` with noise ``snr_db`` below their active speech level (ITU-T P.56). The seed picks the place."""
        noise = self._cut(len(samples), seed)
        gain = active_level(samples) / _rms(noise) / 10 ** (self.snr_db / 20)
        return np.asarray(samples + gain * noise, np.float32)

    def alone(self, count: int, level: float) -> Iterator[Samples]:
        """``count`` pieces of two seconds at the given root mean square."""
        for number in range(count):
            noise = self._cut(round(_NOISE_S * SAMPLE_RATE_HZ), f"alone {number}")
            yield np.asarray(noise * (level / _rms(noise)), np.float32)

    def _cut(self, length: int, seed: str) -> Samples:
        recording = self._recording
        while len(recording) <= length:
            recording = np.concatenate([recording, recording[::-1]])
        start = random.Random(seed).randrange(len(recording) - length)
        return recording[start : start + length]


def active_level(samples: Samples) -> float:
    """Root mean square of the parts in which somebody speaks: frames less than 15.9 dB under that level itself.

    Source: ITU-T Recommendation P.56, method B, with 20 ms frames in place of its envelope.
    """
    power = np.mean(samples[: len(samples) // _FRAME * _FRAME].reshape(-1, _FRAME).astype(np.float64) ** 2, axis=1)
    level = float(power.mean())
    for _ in range(50):
        active = float(power[power >= level * 10 ** (-_ACTIVITY_MARGIN_DB / 10)].mean())
        if abs(active - level) <= 1e-6 * level:
            break
        level = active
    return float(np.sqrt(level))


def _rms(samples: Samples) -> float:
    return float(np.sqrt(np.mean(samples.astype(np.float64) ** 2))) or 1.0


def _hash(text: str) -> int:
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:4], "big")
