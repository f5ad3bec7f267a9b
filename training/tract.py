"""Many speakers out of one: a parametric voice with another throat, pitch, breath and clarity for every utterance.

How it works: the synthesiser (package hibari-tts, Apache-2.0) predicts, 80 times a second, a spectrum of voice, two of
noise, and the pitch. Stretching the spectra over frequency is a longer or shorter vocal tract; pitch and its range,
tilt, the balance of voice and noise, and smoothing over time (as statistical voices sound) are set by themselves.

Duty: one utterance of a speaker drawn at random. The ranges are common practice, no source.
"""

from __future__ import annotations

import random
from dataclasses import dataclass

import numpy as np
import soxr

RATE_HZ = 24_000


@dataclass(frozen=True, slots=True)
class Tract:
    """``stretch`` over frequency above one: a shorter tract. ``pitch`` and ``pitch_range``: factors of the logarithm's
    mean and spread. ``tilt`` in nepers an octave; ``breath`` in nepers; ``smoothing`` in frames of 12.5 ms."""

    stretch: float
    pitch: float
    pitch_range: float
    tilt: float
    breath: float
    smoothing: int
    speed: float
    british: bool

    @classmethod
    def draw(cls, draw: random.Random) -> Tract:
        low = draw.random() < 0.55
        return cls(
            stretch=draw.uniform(0.78, 0.97) if low else draw.uniform(0.9, 1.18),
            pitch=draw.uniform(0.4, 0.75) if low else draw.uniform(0.75, 1.35),
            pitch_range=draw.uniform(0.2, 1.5),
            tilt=draw.gauss(0, 0.25),
            breath=draw.gauss(0, 0.5),
            smoothing=draw.choice([1, 1, 1, 3, 5]),
            speed=draw.uniform(0.75, 1.4),
            british=draw.random() < 0.25,
        )

    def name(self) -> str:
        return f"tract-{self.stretch:.2f}-{self.pitch:.2f}-{self.pitch_range:.1f}"


class TractSpeaker:
    def __init__(self) -> None:
        from hibari import Hibari
        from hibari.g2p import G2P

        self._voice = Hibari()
        self._phonemes = {british: G2P(british=british) for british in (False, True)}

    def speak(self, text: str, tract: Tract, seed: int) -> np.ndarray:
        """Float samples at 16 kHz."""
        from hibari import dsp

        ids = np.asarray([self._voice.ids(self._phonemes[tract.british](text))], np.int64)
        outputs = self._voice.sess.run(None, {"ids": ids, "speed": np.asarray([tract.speed], np.float32)})
        voiced, turn, noise, free, phase, pitch = (each[0].astype(np.float32) for each in outputs)
        octaves = np.log2(np.maximum(np.arange(len(voiced)), 4) / 40)[:, None]  # 40 bins are 800 Hz
        voiced, noise, free = (_stretched(each, tract.stretch) + tract.tilt * octaves for each in (voiced, noise, free))
        noise, free = noise + tract.breath, free + tract.breath / 2
        if tract.smoothing > 1:
            voiced = _smoothed(voiced, tract.smoothing)
        speaking = pitch > 40
        if speaking.any():
            log = np.log(np.maximum(pitch, 40))
            mean = log[speaking].mean()
            moved = np.exp(mean + np.log(tract.pitch) + (log - mean) * tract.pitch_range)
            pitch = np.where(speaking, np.clip(moved, 62, 420), 0).astype(np.float32)
        sound = dsp.synth(
            voiced.astype(np.float32), turn, noise.astype(np.float32), free.astype(np.float32), phase, pitch,
            np.random.default_rng(seed),
        )  # fmt: skip
        return soxr.resample(sound, RATE_HZ, 16_000).astype(np.float32)


def _stretched(spectrum: np.ndarray, factor: float) -> np.ndarray:
    """``spectrum`` : (bins, frames); what was at bin k is at k × factor."""
    places = np.minimum(np.arange(len(spectrum)) / factor, len(spectrum) - 1.001)
    below = places.astype(np.int64)
    share = (places - below)[:, None].astype(np.float32)
    return spectrum[below] * (1 - share) + spectrum[below + 1] * share


def _smoothed(spectrum: np.ndarray, frames: int) -> np.ndarray:
    padded = np.pad(spectrum, ((0, 0), (frames // 2, frames // 2)), mode="edge")
    return np.mean([padded[:, at : at + spectrum.shape[1]] for at in range(frames)], axis=0)
