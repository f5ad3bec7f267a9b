"""The live session over a recording, with the real session and a given engine: what its edge tells is answered."""

from __future__ import annotations

from contextlib import closing
from typing import Any

import numpy as np
import pytest

from tests.audio.fakes import Loud, sound
from tests.driver.test_listening import Engine
from voicefit.audio.ears import HearingSettings
from voicefit.audio.recorded import RecordedSound
from voicefit.dialogue import Knowledge, Settings
from voicefit.driver import open_knowledge
from voicefit.driver.edges import Speaking
from voicefit.driver.loop import drive
from voicefit.driver.talk import Edges, Talk
from voicefit.records import SAMPLE_RATE_HZ, Reason, Sound, Transcript


class Voice:
    name = "given"

    def __init__(self) -> None:
        self.said: list[str] = []

    def speak(self, text: str, settings: object) -> Sound:
        self.said.append(text)
        return sound(1.0)

    def close(self) -> None:
        pass


@pytest.fixture(scope="module")
def knowledge() -> Knowledge:
    return open_knowledge()


def talk(
    knowledge: Knowledge, parts: list[tuple[float, float]], *heard: str | Reason, hearing: HearingSettings | None = None
) -> tuple[Voice, Engine]:
    """Run a session over stretches of (level, seconds); the engine hears what it is told to."""
    voice, engine = Voice(), Engine(*heard)
    speaking = Speaking(voice, Settings())  # type: ignore[arg-type]  # as much of a voice as is used
    blocks = [np.full(round(seconds * SAMPLE_RATE_HZ), level, np.float32) for level, seconds in parts]
    with closing(RecordedSound(blocks, speaking, settings=hearing, detector=Loud())) as recording:
        drive(Talk(knowledge, Settings(), Edges(recording, speaking)), recording, engine)
    return voice, engine


def test_speech_without_end_and_speech_too_quiet_are_answered(knowledge: Knowledge) -> None:
    voice, _ = talk(knowledge, [(0.0, 1.0), (0.9, 20.0), (0.0, 1.0)])
    assert "long" in voice.said[0]
    voice, _ = talk(knowledge, [(0.0, 1.0), (0.6, 1.0), (0.0, 1.0)], hearing=HearingSettings(quietest_dbfs=-3.0))
    assert "quiet" in voice.said[0]


def test_a_number_left_hanging_is_one_number_over_a_long_pause(knowledge: Knowledge) -> None:
    parts = [(0.0, 1.0), (0.9, 0.6), (0.0, 0.7), (0.9, 0.8), (0.0, 1.0)]
    ahead = HearingSettings(tentative_after_s=(0.25,))
    voice, engine = talk(knowledge, parts, "outside one and", "outside one and five sixteenths", hearing=ahead)
    assert not engine.left and len(engine.contexts) == 2
    assert "5/16" in voice.said[0] or "sixteenths" in voice.said[0]
    assert len(voice.said) == 1


def test_a_whole_sentence_is_not_waited_for(knowledge: Knowledge) -> None:
    parts = [(0.0, 1.0), (0.9, 0.6), (0.0, 0.7), (0.9, 0.8), (0.0, 1.0)]
    ahead = HearingSettings(tentative_after_s=(0.25,))
    voice, engine = talk(knowledge, parts, "nineteen pitch", "thirty degrees", hearing=ahead)
    assert not engine.left and len(voice.said) == 2


def test_a_recogniser_that_fails_over_an_utterance_does_not_end_the_session(
    knowledge: Knowledge, monkeypatch: pytest.MonkeyPatch
) -> None:
    well, calls = Engine.recognise, [0]

    def recognise(engine: Engine, *asked: Any) -> Transcript:
        calls[0] += 1
        if calls[0] <= failing:
            raise RuntimeError("no such tensor")
        return well(engine, *asked)

    monkeypatch.setattr(Engine, "recognise", recognise)
    failing = 2  # ahead of the end of the first utterance, and at it
    ahead = HearingSettings(tentative_after_s=(0.25,))
    parts = [(0.0, 1.0), (0.9, 1.0), (0.0, 3.0), (0.9, 1.0), (0.0, 2.0)]
    voice, _ = talk(knowledge, parts, "nineteen pitch", "nineteen pitch", hearing=ahead)
    assert voice.said[0].startswith("I failed over that one") and voice.said[1].startswith("Nineteen pitch")
