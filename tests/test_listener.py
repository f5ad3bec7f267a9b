"""What may be the end is recognised ahead, what hangs is waited for, and "heard" sounds only where it helps."""

from __future__ import annotations

import contextlib
import math
from collections.abc import Iterator

import numpy as np
import pytest

from voicefit.app import Conversation, open_knowledge
from voicefit.audio.ears import Tentative
from voicefit.dialogue import Knowledge, Settings
from voicefit.listener import Listener
from voicefit.records import Alternative, Context, Reason, Rejection, Transcript, Utterance


class Engine:
    """Hears one text after the other."""

    name = "given"

    def __init__(self, *heard: str | Reason) -> None:
        self.left = list(heard)
        self.contexts: list[Context] = []

    def recognise(self, utterance: Utterance, language: object, context: Context) -> Transcript:
        self.contexts.append(context)
        heard = self.left.pop(0)
        if isinstance(heard, Reason):
            return Transcript((), self.name, Rejection("", heard))
        return Transcript((Alternative(heard, math.log(0.99)),), self.name)

    def expect(self, language: object, context: Context) -> None:
        pass


class Room:
    """As much of the sound as the listener uses."""

    def __init__(self) -> None:
        self.held = self.decided = 0

    def hold(self) -> None:
        self.held += 1

    @contextlib.contextmanager
    def deciding(self) -> Iterator[None]:
        self.decided += 1
        yield


@pytest.fixture(scope="module")
def knowledge() -> Knowledge:
    return open_knowledge()


def said(voice_s: float = 1.0) -> Utterance:
    return Utterance(np.zeros(16_000, np.float32), 2.0, voice_s=voice_s)


def listening(knowledge: Knowledge, *heard: str | Reason) -> tuple[Listener, Engine, Room, Conversation]:
    engine, room, conversation = Engine(*heard), Room(), Conversation(knowledge, Settings())
    return Listener(engine, conversation, room), engine, room, conversation  # type: ignore[arg-type]  # see Room


def test_a_whole_sentence_is_recognised_once_ahead_of_its_end(knowledge: Knowledge) -> None:
    listener, engine, room, _ = listening(knowledge, "nineteen pitch")
    listener.hear_early(Tentative(said()))
    assert listener.hear(said()).text == "nineteen pitch"
    assert len(engine.contexts) == 1 and room.held == 0 and room.decided == 0


def test_who_goes_on_is_heard_anew(knowledge: Knowledge) -> None:
    listener, _, _, _ = listening(knowledge, "outside one", "outside one and five sixteenths")
    listener.hear_early(Tentative(said(1.0)))
    assert listener.hear(said(2.0)).text == "outside one and five sixteenths"


@pytest.mark.parametrize("early", ["one and", "the outside is", Reason.OUT_OF_GRAMMAR, Reason.LOW_CONFIDENCE])
def test_what_hangs_is_waited_for_and_gets_a_second_hearing(knowledge: Knowledge, early: str | Reason) -> None:
    listener, _, room, _ = listening(knowledge, early, "one")
    listener.hear_early(Tentative(said()))
    assert room.held == 1
    assert listener.hear(said()).text == "one"


def test_noise_is_not_waited_for(knowledge: Knowledge) -> None:
    listener, _, room, _ = listening(knowledge, Reason.NOISE, Reason.NOISE)
    listener.hear_early(Tentative(said()))
    assert room.held == 0
    assert listener.hear(said()).rejection is not None


def test_what_was_heard_under_another_question_is_heard_anew(knowledge: Knowledge) -> None:
    listener, engine, _, conversation = listening(knowledge, "nineteen", "nineteen")
    listener.hear_early(Tentative(said()))
    conversation.take_text("outside nineteen thirty-seconds")  # typed meanwhile: something else is asked now
    listener.hear(said())
    first, second = engine.contexts
    assert first != second and second == engine.contexts[-1]


def test_heard_does_not_sound_where_no_answer_comes(knowledge: Knowledge) -> None:
    listener, _, room, conversation = listening(knowledge, "nineteen pitch", "nineteen pitch")
    listener.hear(said())
    assert room.decided == 1
    conversation.take_text("sleep")
    listener.hear(said())
    assert room.decided == 1
