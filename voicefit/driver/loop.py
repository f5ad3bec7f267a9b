"""The one loop over an edge's events: microphone, recording, phone and typed lines alike.

Duty: recognise what is speech, and hand everything to who is talked to. It must not answer anything.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from voicefit.audio.events import BargedIn, Ended, Line, Recorded, Tentative
from voicefit.driver.conversation import sentence_failed
from voicefit.driver.listening import Listener
from voicefit.records import Utterance

if TYPE_CHECKING:
    from voicefit.audio.live import ConversationSound
    from voicefit.interpretation import Language
    from voicefit.recognition.protocol import Recogniser
    from voicefit.records import Context, Quiet, Refused, Transcript, Trouble


class Partner(Protocol):
    """Who is talked to: the live session, or the hearing check."""

    @property
    def language(self) -> Language: ...
    @property
    def stopped(self) -> bool: ...
    @property
    def asleep(self) -> bool:
        """What is said is not for it: nothing is recognised ahead."""

    @property
    def answers(self) -> bool:
        """Whether what is said now gets an answer: asleep, or without the attention word, talk near by gets none."""

    def context(self) -> Context:
        """What the next words are likely to be."""

    def foresee(self, transcript: Transcript) -> tuple[str, ...]:
        """The sentences that would answer it; nothing is done."""

    def begin(self) -> None:
        """The edge is open: the first words."""

    def hear(self, utterance: Utterance, transcript: Transcript) -> None: ...
    def take(self, event: Refused | Quiet | Trouble | Line | Recorded) -> None: ...


def drive(
    partner: Partner,
    sound: ConversationSound,
    recogniser: Recogniser | None = None,
    prepare: Callable[[str], None] = lambda text: None,
) -> None:
    """Run until the partner has had enough or the edge has ended; then what was said is spoken to its end.

    ``recogniser`` : none where lines are typed. ``prepare`` is given each sentence that will probably be the reply.
    """
    listener = None if recogniser is None else Listener(recogniser, partner, sound, prepare)
    partner.begin()
    while not partner.stopped:
        if listener is not None:
            listener.expect()
        event = sound.next()
        if isinstance(event, Ended):
            break
        if isinstance(event, BargedIn) or event is None:
            continue  # the reply was stopped; what is said over it comes as an utterance
        if not isinstance(event, Utterance | Tentative):
            partner.take(event)
        elif listener is not None:
            if isinstance(event, Tentative):
                with contextlib.suppress(Exception):  # it is heard again when it has ended, and a fault told then
                    listener.hear_early(event)
            else:
                _hear(partner, listener, event)
    sound.wait()


def _hear(partner: Partner, listener: Listener, utterance: Utterance) -> None:
    try:
        transcript = listener.hear(utterance)
    except Exception as error:  # of one utterance: the next may be heard
        partner.take(sentence_failed(error, utterance.start_s + utterance.duration_s))
    else:
        partner.hear(utterance, transcript)
