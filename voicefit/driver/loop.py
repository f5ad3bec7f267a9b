"""The one loop over an edge's events, microphone, recording, phone and typed lines alike; and what is being said,
recognised before it is certain that the person has finished.

Duty: recognise what is speech, ahead where it may be at its end, and have the reply ready when it is; ask for patience
where the words so far are no whole sentence ("one and ..."), and for none where they are; let "heard" sound where
deciding takes long; hand everything to who is talked to. It must not answer anything.
"""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from voicefit.audio.events import BargedIn, Ended, Line, Recorded, Tentative
from voicefit.audio.live import ConversationSound
from voicefit.driver.conversation import sentence_failed
from voicefit.errors import Abandoned
from voicefit.interpretation import Language
from voicefit.quantities import Quantity
from voicefit.recognition.protocol import Recogniser
from voicefit.records import (
    Command,
    Context,
    Item,
    Measurand,
    Quiet,
    Reading,
    Reason,
    Refused,
    Rejection,
    Transcript,
    Trouble,
    Utterance,
)


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

    def get_ready(self, transcript: Transcript) -> None:
        """This was probably said: the answer may be made ready, and nothing is done."""

    def begin(self) -> None:
        """The edge is open: the first words."""

    def hear(self, utterance: Utterance, transcript: Transcript) -> None: ...
    def take(self, event: Refused | Quiet | Trouble | Line | Recorded) -> None: ...


def drive(partner: Partner, sound: ConversationSound, recogniser: Recogniser | None = None) -> None:
    """Run until the partner has had enough or the edge has ended; then what was said is spoken to its end.

    ``recogniser`` : none where lines are typed.
    """
    listener = None if recogniser is None else Listener(recogniser, partner, sound)
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
                listener.hear(event)
    sound.wait()


# A sentence that ends in one of these goes on; the language allows them, for people begin and fill with them too.
_LEAD_ON = frozenset({"and", "a", "an", "the", "is"})
_OPENING = frozenset({"no", "correction"})  # commands that a value often follows
_HEARINGS = 2  # of one sound: what was refused gets a second one, with more of the silence after it


@dataclass(frozen=True, slots=True)
class _Early:
    tentative: Tentative
    context: Context
    transcript: Transcript
    hearings: int

    @property
    def accepted(self) -> bool:
        return self.transcript.rejection is None and not self.leads_on

    @property
    def leads_on(self) -> bool:
        return self.transcript.text.casefold().split()[-1:] in ([word] for word in _LEAD_ON)

    def is_whole(self, items: Sequence[Item], *, ends_in_number: bool) -> bool | None:
        """Whether it is a sentence as it stands, or is left hanging; ``None`` where the words do not tell.

        ``items`` : what it most likely means.
        """
        reason = None if self.transcript.rejection is None else self.transcript.rejection.reason
        lacks = any(isinstance(item, Rejection) and item.reason is Reason.INCOMPLETE for item in items)
        if self.leads_on or lacks or reason is Reason.OUT_OF_GRAMMAR:
            return False
        if ends_in_number and items and _begins_a_mixed_number(items[-1]):
            return False
        if reason is Reason.LOW_CONFIDENCE:
            return False if ends_in_number else None
        opens = bool(items) and isinstance(items[-1], Command) and items[-1].name in _OPENING
        return True if reason is None and not ends_in_number and not opens else None

    def covers(self, utterance: Utterance, context: Context) -> bool:
        """Whether it was made of the same words under the same question."""
        return self.context == context and self.tentative.covers(utterance)

    def answers(self, utterance: Utterance, context: Context) -> bool:
        """Whether it says what the utterance says, and another hearing would say no more."""
        return self.covers(utterance, context) and (self.accepted or self.hearings >= _HEARINGS)


def _begins_a_mixed_number(item: Item) -> bool:
    """Whether it is a diameter of one, two or three without a unit: whole inches, and mostly a fraction follows."""
    if not isinstance(item, Reading):
        return False
    likeliest = max(item.options, key=lambda option: option.log_prior)
    value = likeliest.value
    is_length = isinstance(value, Quantity) and value.unit in ("in", "mm") and value.value in (1, 2, 3)
    return is_length and likeliest.measurand is not Measurand.PITCH


class Listener:
    """Recognises for one partner, by the sound that the talk is held over."""

    def __init__(self, recogniser: Recogniser, partner: Partner, sound: ConversationSound) -> None:
        self._recogniser = recogniser
        self._partner = partner
        self._sound = sound
        self._early: _Early | None = None

    def expect(self) -> None:
        """The recogniser makes ready for the answer while the reply is being spoken."""
        self._recogniser.expect(self._partner.language, self._partner.context())

    def hear_early(self, tentative: Tentative) -> None:
        """Recognise what may be the end, and get the reply ready; wait longer for the rest of what is left hanging."""
        partner = self._partner
        context, before = partner.context(), self._early
        if partner.asleep or not self._sound.pausing:  # who sleeps need not wake at once
            return
        if before and before.answers(tentative.utterance, context):
            return
        try:
            transcript = self._recogniser.recognise(
                tentative.utterance, partner.language, context, lambda: self._sound.pausing
            )
        except Abandoned:
            return
        again = before is not None and before.covers(tentative.utterance, context)
        early = self._early = _Early(tentative, context, transcript, 2 if again else 1)
        items = transcript.meanings[0].items if transcript.meanings else ()
        ends_in_number = partner.language.ends_in_number(transcript.text)
        self._sound.words_are(whole=early.is_whole(items, ends_in_number=ends_in_number))
        if early.accepted or again:
            partner.get_ready(transcript)

    def hear(self, utterance: Utterance) -> None:
        """Hand on what was said. What was refused early gets a second hearing, with all of its sound."""
        partner = self._partner
        early, self._early = self._early, None
        try:
            context = partner.context()
            if early is not None and early.answers(utterance, context):
                transcript = early.transcript
            else:
                with self._sound.deciding() if partner.answers else contextlib.nullcontext():
                    transcript = self._recogniser.recognise(utterance, partner.language, context)
        except Exception as error:  # of one utterance: the next may be heard
            partner.take(sentence_failed(error, utterance.start_s + utterance.duration_s))
        else:
            partner.hear(utterance, transcript)
