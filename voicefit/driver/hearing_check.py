"""The hearing check: the user reads ten phrases, and learns how well they are heard and what to change.

It is driven as the live session is, over the same edges: each phrase is asked for, what comes is compared with it, and
a silence of ``PATIENCE_S`` skips it. A labelled set is collected in the same way, with more sentences.

Duty: ask, measure, advise, hand on what was said. It must not tune the recogniser, nor keep anything.
"""

from __future__ import annotations

import statistics
from collections.abc import Callable, Sequence
from dataclasses import fields

from pydantic import BaseModel

from voicefit.audio.events import Line, Recorded
from voicefit.audio.live import ConversationSound
from voicefit.driver.hearing_again import AgainDocument
from voicefit.driver.labelled import context_of, same_meaning
from voicefit.driver.read_aloud import Sentence
from voicefit.interpretation import Language
from voicefit.levels import is_narrow_band
from voicefit.records import Context, Quiet, Refused, Transcript, Trouble, Utterance
from voicefit.settings import HearingProfile

PHRASES = (
    "outside nineteen thirty-seconds",
    "nineteen pitch",
    "thirty degrees",
    "inside fifteen point one millimeters",
    "nine sixteenths eighteen",
    "M eighteen by one point five",
    "eleven and a half threads per inch",
    "thirty-seven degree flare",
    "o-ring in the face",
    "undo",
)
KIND = "check"  # of the ten phrases, in a labelled set
THE_TEN = tuple(Sentence(KIND, text) for text in PHRASES)
PATIENCE_S = 12.0
_SOMEBODY_ELSE_DB = 15.0  # below the user's own quietest phrase: somebody else, further away
_QUIET_DBFS, _NOISY_DB, _ENOUGH_RIGHT = -45.0, 10.0, 9


class PhraseDocument(BaseModel):
    """One phrase: what was heard, whether it means the same; ``reason``: why nothing was taken."""

    phrase: str
    heard: str = ""
    right: bool = False
    reason: str = ""
    level_dbfs: float | None = None


class HearingDocument(BaseModel):
    """What the check found. Levels are medians over the phrases; ``None`` where nothing was heard. ``again``: of the
    same sounds heard again, where that was asked for."""

    microphone: str
    asked: int
    right: int
    phrases: list[PhraseDocument]
    level_dbfs: float | None
    noise_dbfs: float | None
    narrow_band: bool
    clipped: bool
    advice: list[str]
    stored: bool = False
    phrases_kept: int = 0
    again: AgainDocument | None = None


class HearingCheck:
    """A :class:`~voicefit.driver.loop.Partner` that asks for one phrase after the other.

    ``show`` is given each phrase to be read, ``said`` each phrase with its sound as it comes. A recording that ends
    early leaves the rest unasked.
    """

    asleep = False
    answers = True

    def __init__(
        self,
        language: Language,
        sound: ConversationSound,
        show: Callable[[str], None],
        sentences: Sequence[Sentence] = THE_TEN,
        said: Callable[[Sentence, Utterance], None] = lambda sentence, utterance: None,
    ) -> None:
        self.language = language
        self._sound = sound
        self._show = show
        self._sentences = sentences
        self._said = said
        self._utterances: list[Utterance] = []
        self.phrases: list[PhraseDocument] = []

    @property
    def stopped(self) -> bool:
        return len(self.phrases) == len(self._sentences)

    @property
    def _asked(self) -> Sentence:
        return self._sentences[len(self.phrases)]

    def context(self) -> Context:
        return context_of(self._asked.asked)

    def get_ready(self, transcript: Transcript) -> None:
        pass  # the next phrase to be read does not hang on it

    def begin(self) -> None:
        self._ask()

    def hear(self, utterance: Utterance, transcript: Transcript) -> None:
        self._utterances.append(utterance)
        reason = "" if transcript.rejection is None else transcript.rejection.reason.value
        phrase = self._asked.text
        self._said(self._asked, utterance)
        self._note(
            PhraseDocument(
                phrase=phrase,
                heard=transcript.text,
                right=not reason and same_meaning(self.language, phrase, transcript.meanings),
                reason=reason,
                level_dbfs=utterance.level_dbfs,
            )
        )

    def take(self, event: Refused | Quiet | Trouble | Line | Recorded) -> None:
        if isinstance(event, Refused | Quiet):
            reason = "silence" if isinstance(event, Quiet) else event.rejection.reason.value
            self._note(PhraseDocument(phrase=self._asked.text, reason=reason))
        elif isinstance(event, Trouble) and event.detail:
            self._show(event.detail)

    def _note(self, document: PhraseDocument) -> None:
        self.phrases.append(document)
        if not self.stopped:
            self._ask()

    def _ask(self) -> None:
        self._show(f"Say: {self._asked.text}")
        self._sound.say(f"Say: {self._asked.text}.")
        self._sound.tone("listening")

    def result(self, microphone: str) -> tuple[HearingDocument, HearingProfile]:
        """What was found of the phrases that were asked."""
        heard, phrases = self._utterances, self.phrases
        levels = [item.level_dbfs for item in heard if item.level_dbfs is not None]
        noises = [item.noise_dbfs for item in heard if item.noise_dbfs is not None]
        right = sum(item.right for item in phrases)
        document = HearingDocument(
            microphone=microphone,
            asked=len(phrases),
            right=right,
            phrases=phrases,
            level_dbfs=round(statistics.median(levels), 1) if levels else None,
            noise_dbfs=round(statistics.median(noises), 1) if noises else None,
            narrow_band=sum(is_narrow_band(item.samples) for item in heard) * 2 > len(heard),
            clipped=any(item.clipped for item in heard),
            advice=[],
        )
        document.advice = advice(document)
        quietest = max(-90.0, round(min(levels) - _SOMEBODY_ELSE_DB, 1)) if right >= 5 and levels else None
        names = {field.name for field in fields(HearingProfile)}
        measured = {name: value for name, value in document if name in names}
        return document, HearingProfile(quietest_dbfs=quietest, **measured)


def advice(document: HearingDocument) -> list[str]:
    """What to change, most pressing first; one sentence each."""
    if document.level_dbfs is None:
        return ["Nothing was heard: see whether the microphone is muted, and whether it is the right one."]
    found = []
    if document.clipped:
        found.append("Your voice is too loud for the microphone: lower its level, or hold it further away.")
    if document.level_dbfs < _QUIET_DBFS:
        found.append("Your voice is too quiet: raise the microphone's level, or bring it closer.")
    if document.noise_dbfs is not None and document.level_dbfs - document.noise_dbfs < _NOISY_DB:
        found.append("The room is nearly as loud as you: bring the microphone close to your mouth, or wear a headset.")
    if document.narrow_band:
        found.append("The microphone sounds like a telephone: take the headset out of call mode, or use another.")
    if document.right < min(_ENOUGH_RIGHT, document.asked):
        found.append("Some phrases were not heard right: speak evenly, and listen to each value that is read back.")
    return found or ["Nothing needs changing."]
