from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
import soxr

from voicefit.interpretation import Language
from voicefit.recognition.neural import NeuralRecogniser
from voicefit.records import SAMPLE_RATE_HZ, Utterance
from voicefit.resources import grammar_folder, read_texts
from voicefit.sentences import open_classifier
from voicefit.synthesis import VoiceSettings, open_voice

Spoken = Callable[[str], Utterance]
_BESIDE = Path(__file__).resolve().parents[3] / "shared" / "corpora"


@pytest.fixture(scope="session")
def engine() -> NeuralRecogniser:
    return NeuralRecogniser()


@pytest.fixture(scope="session")
def language() -> Language:
    return Language.from_texts(read_texts(grammar_folder(), ".toml"), classifier=open_classifier())


@pytest.fixture(scope="session")
def spoken() -> Iterator[Spoken]:
    """Text to an utterance, in the bundled voice: a formant voice, harder to understand than people are."""
    with open_voice("espeak") as voice:

        def speak(text: str) -> Utterance:
            speech = voice.speak(text, VoiceSettings(name="en-us", words_per_minute=150))
            samples = np.asarray(speech.samples, np.float32) / 32768
            return Utterance(np.asarray(soxr.resample(samples, speech.rate_hz, SAMPLE_RATE_HZ), np.float32))

        yield speak


def human_corpus() -> Path | None:
    """The folder of human recordings, where one exists on this machine."""
    folder = Path(os.environ.get("VOICEFIT_CORPORA", _BESIDE)) / "an4"
    return folder if (folder / "manifest.tsv").is_file() else None
