"""Speech for the tests, from the bundled voice; human speech is left to the benchmarks."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
import pytest

from voicefit.audio.files import resample
from voicefit.records import SAMPLE_RATE_HZ
from voicefit.synthesis import SupervisedVoice, VoiceSettings, open_voice

Spoken = Callable[[str], np.ndarray]


@pytest.fixture(scope="session")
def voice() -> Iterator[SupervisedVoice]:
    with open_voice("espeak") as opened:
        yield opened


@pytest.fixture(scope="session")
def spoken(voice: SupervisedVoice) -> Spoken:
    """A sentence as float32, 16 kHz, without the silence that the engine puts around it."""

    def say(text: str) -> np.ndarray:
        speech = voice.speak(text, VoiceSettings())
        samples = resample(speech.samples.astype(np.float32) / 32768, speech.rate_hz, SAMPLE_RATE_HZ)
        loud = np.flatnonzero(np.abs(samples) > 0.01)
        return samples[loud[0] : loud[-1] + 1]

    return say


def silence(seconds: float) -> np.ndarray:
    return np.zeros(round(seconds * SAMPLE_RATE_HZ), np.float32)


def hiss(seconds: float, rms: float, seed: int = 0) -> np.ndarray:
    """A steady machine: low-passed noise with a hum."""
    count = round(seconds * SAMPLE_RATE_HZ)
    noise = np.convolve(np.random.default_rng(seed).normal(size=count + 31), np.ones(32) / 32, "valid")
    noise += 0.3 * np.sin(2 * np.pi * 87 * np.arange(count) / SAMPLE_RATE_HZ) * np.std(noise)
    return (noise * rms / np.sqrt(np.mean(noise**2))).astype(np.float32)
