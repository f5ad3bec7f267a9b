"""What may be the end is recognised ahead, what hangs is waited for, and "heard" sounds only where it helps."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from typing import cast

import numpy as np
import pytest

from voicefit.audio.events import Tentative
from voicefit.audio.live import ConversationSound
from voicefit.dialogue import Knowledge, Settings, Snapshot
from voicefit.driver import open_knowledge
from voicefit.driver.edges import Speaking
from voicefit.driver.loop import Listener
from voicefit.driver.talk import Edges, Talk
from voicefit.errors import Abandoned
from voicefit.interpretation import Language
from voicefit.recognition.protocol import always
from voicefit.records import Alternative, Context, Heard, Reason, Rejection, Transcript, Utterance


class Engine:
    """Hears one text after the other."""

    name = "given"

    def __init__(self, *heard: str | Reason) -> None:
        self.left = list(heard)
        self.contexts: list[Context] = []

    def recognise(
        self, utterance: Utterance, language: Language, context: Context, wanted: Callable[[], bool] = always
    ) -> Transcript:
        if not wanted():
            raise Abandoned("it is wanted no longer")
        self.contexts.append(context)
        heard = self.left.pop(0)
        if isinstance(heard, Reason):
            return Transcript((), self.name, Rejection("", heard))
        return Transcript((Alternative(heard, 0.0),), self.name, meanings=language.interpret(heard, context))

    def expect(self, language: Language, context: Context) -> None:
        pass


class Room:
    """As much of the sound as listener and session use."""

    now_s = 3.0
    say = tone = staticmethod(lambda text: None)

    def __init__(self) -> None:
        self.decided = 0
        self.whole: list[bool | None] = []
        self.pauses: list[bool] = []  # what is answered to who asks whether it is silent; then always yes

    def words_are(self, *, whole: bool | None) -> None:
        self.whole.append(whole)

    @property
    def pausing(self) -> bool:
        return self.pauses.pop(0) if self.pauses else True

    @contextlib.contextmanager
    def deciding(self) -> Iterator[None]:
        self.decided += 1
        yield


@pytest.fixture(scope="module")
def knowledge() -> Knowledge:
    return open_knowledge()


def said(voice_s: float = 1.0) -> Utterance:
    return Utterance(np.zeros(16_000, np.float32), 2.0, voice_s=voice_s)


class Voice:
    """Keeps what it is to have ready."""

    def __init__(self) -> None:
        self.ready: list[str] = []

    def prepare(self, text: str) -> None:
        self.ready.append(text)


class Told(Talk):
    """Keeps what was said, and does not answer."""

    def __init__(self, knowledge: Knowledge, edges: Edges) -> None:
        super().__init__(knowledge, Settings(), edges)
        self.said: list[Transcript] = []

    def hear(self, utterance: Utterance, transcript: Transcript) -> None:
        self.said.append(transcript)


def listening(knowledge: Knowledge, *heard: str | Reason) -> tuple[Listener, Engine, Room, Told]:
    engine, room = Engine(*heard), Room()
    sound = cast("ConversationSound", room)
    told = Told(knowledge, Edges(sound, cast("Speaking", Voice())))
    return Listener(engine, told, sound), engine, room, told


def test_a_whole_sentence_is_recognised_once_ahead_of_its_end(knowledge: Knowledge) -> None:
    listener, engine, room, told = listening(knowledge, "nineteen pitch")
    listener.hear_early(Tentative(said()))
    listener.hear_early(Tentative(said()))  # later in the same pause
    listener.hear(said())
    assert told.said[-1].text == "nineteen pitch"
    assert len(engine.contexts) == 1 and room.whole == [True] and room.decided == 0


def test_the_reply_is_ready_before_the_end_and_nothing_has_happened(knowledge: Knowledge) -> None:
    listener, _, _, told = listening(knowledge, "nineteen pitch")
    conversation, ready = told.conversation, cast("Voice", told.edges.speaking).ready
    before = conversation.session.state
    listener.hear_early(Tentative(said()))
    assert conversation.session.state is before and len(ready) == 1
    listener.hear(said())
    taken = conversation.take(Heard(told.said[0].meanings, 3.0, transcript=told.said[0]))
    assert [taken.reply] == ready and "nineteen pitch" in taken.reply.casefold()


@pytest.mark.parametrize(
    ("words", "whole"),
    [
        ("outside nineteen", None),
        ("outside one", False),
        ("two pitch", True),
        ("no", None),
        ("no nineteen pitch", True),
        ("outside", False),
        ("the seat is", False),
    ],
)
def test_what_may_go_on_gets_the_usual_patience_and_what_must_go_on_more(
    knowledge: Knowledge, words: str, whole: bool | None
) -> None:
    listener, _, room, _ = listening(knowledge, words)
    listener.hear_early(Tentative(said()))
    assert room.whole == [whole]


def test_asleep_nothing_is_recognised_ahead(knowledge: Knowledge) -> None:
    listener, engine, _, told = listening(knowledge, "wake up")
    told.conversation.take_text("sleep")
    listener.hear_early(Tentative(said()))
    assert engine.contexts == []
    listener.hear(said())
    assert told.said[-1].text == "wake up"


def test_who_speaks_on_is_not_recognised_ahead(knowledge: Knowledge) -> None:
    listener, engine, room, _ = listening(knowledge, "nineteen pitch", "nineteen pitch thirty degrees")
    room.pauses = [False]  # before it began
    listener.hear_early(Tentative(said()))
    room.pauses = [True, False]  # while it is decoded
    listener.hear_early(Tentative(said()))
    assert engine.contexts == [] and room.whole == []


def test_who_goes_on_is_heard_anew(knowledge: Knowledge) -> None:
    listener, _, _, told = listening(knowledge, "outside one", "outside one and five sixteenths")
    listener.hear_early(Tentative(said(1.0)))
    listener.hear(said(2.0))
    assert told.said[-1].text == "outside one and five sixteenths"


@pytest.mark.parametrize("early", ["one and", "the outside is", Reason.OUT_OF_GRAMMAR, Reason.LOW_CONFIDENCE])
def test_what_hangs_is_waited_for_and_gets_a_second_hearing(knowledge: Knowledge, early: str | Reason) -> None:
    listener, _, room, told = listening(knowledge, early, "one", "two")
    listener.hear_early(Tentative(said()))
    assert room.whole == [None if early is Reason.LOW_CONFIDENCE else False]
    listener.hear(said())
    assert told.said[-1].text == "one"


def test_what_was_refused_is_heard_twice_and_not_three_times(knowledge: Knowledge) -> None:
    listener, engine, _, told = listening(knowledge, Reason.LOW_CONFIDENCE, Reason.LOW_CONFIDENCE)
    listener.hear_early(Tentative(said()))
    listener.hear_early(Tentative(said()))
    listener.hear(said())
    assert told.said[-1].rejection is not None and engine.left == []


def test_noise_is_not_waited_for(knowledge: Knowledge) -> None:
    listener, _, room, told = listening(knowledge, Reason.NOISE, Reason.NOISE)
    listener.hear_early(Tentative(said()))
    assert room.whole == [None]
    listener.hear(said())
    assert told.said[-1].rejection is not None


def test_what_was_heard_under_another_question_is_heard_anew(knowledge: Knowledge) -> None:
    listener, engine, _, told = listening(knowledge, "nineteen", "nineteen")
    listener.hear_early(Tentative(said()))
    told.conversation.take_text("outside nineteen thirty-seconds")  # typed meanwhile: something else is asked now
    asked_now = told.conversation.session.context()
    listener.hear(said())
    first, second = engine.contexts
    assert first != asked_now and second == asked_now


def test_heard_does_not_sound_where_no_answer_comes(knowledge: Knowledge) -> None:
    listener, _, room, told = listening(knowledge, "nineteen pitch", "nineteen pitch")
    listener.hear(said())
    assert room.decided == 1
    told.conversation.take_text("sleep")
    listener.hear(said())
    assert room.decided == 1


@pytest.mark.parametrize(
    ("heard", "shown"),
    [("nineteen pitch", 1), (Reason.NOISE, 0), (Reason.OUT_OF_GRAMMAR, 1)],
)
def test_a_refusal_without_words_is_not_shown(knowledge: Knowledge, heard: str | Reason, shown: int) -> None:
    answers: list[Snapshot] = []
    talk = Talk(knowledge, Settings(), Edges(cast("ConversationSound", Room()), show=answers.append))
    transcript = Engine(heard).recognise(said(), talk.language, talk.context())
    talk.hear(said(), transcript)
    assert len(answers) == shown
    assert talk.conversation.session.snapshot().rejected == (
        () if transcript.rejection is None else (transcript.rejection,)
    )
