"""What was said in a live session: recognised before it is certain that the person has finished.

Duty: recognise ahead, so that the reply is ready when the end of an utterance is; ask for patience where the words so
far are no whole sentence ("one and ..."); let "heard" sound where deciding takes long. It must not answer anything.
"""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from voicefit.records import Context, Reason, Transcript, Utterance

if TYPE_CHECKING:
    from voicefit.app import Conversation
    from voicefit.audio.ears import Tentative
    from voicefit.audio.live import ConversationSound
    from voicefit.recognition.protocol import Recogniser

# A sentence that ends in one of these goes on; the language allows them, for people begin and fill with them too.
_LEAD_ON = frozenset({"and", "a", "an", "the", "is"})
_HANGING = (Reason.OUT_OF_GRAMMAR, Reason.LOW_CONFIDENCE)


@dataclass(frozen=True, slots=True)
class _Early:
    tentative: Tentative
    context: Context
    transcript: Transcript

    @property
    def whole(self) -> bool:
        """Whether it is a sentence as it stands."""
        words = self.transcript.text.split()
        return self.transcript.rejection is None and bool(words) and words[-1].casefold() not in _LEAD_ON

    @property
    def hanging(self) -> bool:
        rejection = self.transcript.rejection
        return not self.whole and (rejection is None or rejection.reason in _HANGING)


class Listener:
    """Recognises for one conversation, by the sound that it is held over."""

    def __init__(self, recogniser: Recogniser, conversation: Conversation, sound: ConversationSound) -> None:
        self._recogniser = recogniser
        self._conversation = conversation
        self._sound = sound
        self._early: _Early | None = None

    def expect(self) -> None:
        """The recogniser makes ready for the answer while the reply is being spoken."""
        self._recogniser.expect(self._conversation.knowledge.language, self._conversation.session.context())

    def hear_early(self, tentative: Tentative) -> None:
        """Recognise what may be the end; wait longer for the rest of what is left hanging."""
        context = self._conversation.session.context()
        self._early = _Early(tentative, context, self._recognise(tentative.utterance, context))
        if self._early.hanging:
            self._sound.hold()

    def hear(self, utterance: Utterance) -> Transcript:
        """What was said. What was refused early gets a second hearing, with all of its sound."""
        early, self._early = self._early, None
        context = self._conversation.session.context()
        if early is not None and early.whole and early.tentative.covers(utterance) and early.context == context:
            return early.transcript
        with self._sound.deciding() if self._is_answered else contextlib.nullcontext():
            return self._recognise(utterance, context)

    def _recognise(self, utterance: Utterance, context: Context) -> Transcript:
        return self._recogniser.recognise(utterance, self._conversation.knowledge.language, context)

    @property
    def _is_answered(self) -> bool:
        """Whether what is said now gets an answer: asleep, or without the attention word, talk near by gets none."""
        session = self._conversation.session
        focus = session.state.focus
        if focus.asleep:
            return False
        return session.settings.listening != "attention" or focus.attending or focus.question is not None
