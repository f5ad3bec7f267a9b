"""Speech for the tests, from the bundled voice; human speech is left to the benchmarks."""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Iterator
from functools import cache

import numpy as np
import pytest

from voicefit.audio.files import read_audio
from voicefit.records import SAMPLE_RATE_HZ
from voicefit.synthesis import SupervisedVoice, open_voice

Spoken = Callable[[str], np.ndarray]


@pytest.fixture(scope="session")
def voice() -> Iterator[SupervisedVoice]:
    with open_voice("espeak") as opened:
        yield opened


@pytest.fixture(scope="session")
def spoken(tmp_path_factory: pytest.TempPathFactory) -> Spoken:
    """A sentence as float32, 16 kHz, without the silence around it, in a natural voice (Debian's flite)."""
    folder = tmp_path_factory.mktemp("spoken")

    @cache
    def say(text: str) -> np.ndarray:
        file = folder / "said.wav"
        subprocess.run(["flite", "-voice", "slt", "-t", text, "-o", str(file)], check=True)
        samples = read_audio(file)
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
