"""The hearing check: the user reads ten phrases, and learns how well they are heard and what to change.

It is driven as the live session is, over the same edges: each phrase is asked for, what comes is compared with it, and
a silence of ``PATIENCE_S`` skips it.

Duty: ask, measure, advise. It must not tune the recogniser, nor keep what was measured.
"""

from __future__ import annotations

import statistics
from collections.abc import Callable
from dataclasses import fields
from typing import TYPE_CHECKING

from pydantic import BaseModel

from voicefit.audio.events import Line, Recorded
from voicefit.audio.levels import is_narrow_band
from voicefit.records import Context, Quiet, Refused, Trouble, item_key
from voicefit.settings import HearingProfile

if TYPE_CHECKING:
    from voicefit.audio.live import ConversationSound
    from voicefit.interpretation import Language
    from voicefit.records import Meaning, Transcript, Utterance

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
    """What the check found. Levels are medians over the phrases; ``None`` where nothing was heard."""

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


class HearingCheck:
    """A :class:`~voicefit.driver.loop.Partner` that asks for one phrase after the other.

    ``show`` is given each phrase to be read. A recording that ends early leaves the rest unasked.
    """

    asleep = False
    answers = True

    def __init__(self, language: Language, sound: ConversationSound, show: Callable[[str], None]) -> None:
        self.language = language
        self._sound = sound
        self._show = show
        self._utterances: list[Utterance] = []
        self.phrases: list[PhraseDocument] = []

    @property
    def stopped(self) -> bool:
        return len(self.phrases) == len(PHRASES)

    def context(self) -> Context:
        return Context()

    def foresee(self, transcript: Transcript) -> tuple[str, ...]:
        return ()

    def begin(self) -> None:
        self._ask()

    def hear(self, utterance: Utterance, transcript: Transcript) -> None:
        self._utterances.append(utterance)
        reason = "" if transcript.rejection is None else transcript.rejection.reason.value
        phrase = PHRASES[len(self.phrases)]
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
            self._note(PhraseDocument(phrase=PHRASES[len(self.phrases)], reason=reason))
        elif isinstance(event, Trouble) and event.detail:
            self._show(event.detail)

    def _note(self, document: PhraseDocument) -> None:
        self.phrases.append(document)
        if not self.stopped:
            self._ask()

    def _ask(self) -> None:
        phrase = PHRASES[len(self.phrases)]
        self._show(f"Say: {phrase}")
        self._sound.say(f"Say: {phrase}.")
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


def same_meaning(language: Language, said: str, heard: tuple[Meaning, ...]) -> bool:
    """Whether what was heard most likely means what a text of the language most likely means."""
    first, second = language.interpret(said)[0], heard[0] if heard else None
    return second is not None and [*map(item_key, first.items)] == [*map(item_key, second.items)]


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
