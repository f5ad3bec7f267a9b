"""The command ``check-hearing``: the user reads ten phrases, and learns how well they are heard and what to change.

Duty: ask, listen, measure, advise, keep what was measured. It must not tune the recogniser.
"""

from __future__ import annotations

import contextlib
import statistics
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import typer
from pydantic import BaseModel

from voicefit.cli.common import DONE, JSON_OPTION, NOTHING, errors_as_exit_codes, print_json, say

if TYPE_CHECKING:
    from voicefit.audio.live import ConversationSound
    from voicefit.dialogue.settings import Settings
    from voicefit.interpretation.language import Language
    from voicefit.recognition.protocol import Recogniser
    from voicefit.records import Utterance
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


def register(app: typer.Typer) -> None:
    app.command("check-hearing", epilog="Example: voicefit check-hearing")(check_hearing)


def check_hearing(
    source: Path | None = typer.Option(None, "--from", help="A recording of the ten phrases, instead of a microphone."),
    keep: bool = typer.Option(True, help="Keep what was measured for later sessions."),
    json: bool = JSON_OPTION,
) -> None:
    """Read ten phrases aloud: how many are heard right, how loud you and the room are, and what to change."""
    from voicefit.app import open_knowledge
    from voicefit.recognition import open_recogniser
    from voicefit.settings import load_settings, save_hearing

    with errors_as_exit_codes():
        settings = load_settings()
        language = open_knowledge().language
        recogniser = open_recogniser()
        with _sound(settings, source) as sound:
            if source is None:
                say("Read each phrase aloud after it is spoken.")
            document, profile = run(sound, recogniser, language, settings.microphone if source is None else source.name)
            if keep and source is None and profile.asked:
                save_hearing(profile)
                document.stored = True
            if json:
                print_json(document)
            else:
                _show(document)
            sound.say(" ".join([f"{document.right} of {document.asked} heard right.", *document.advice]))
            sound.wait(60.0)
        raise typer.Exit(DONE if document.right else NOTHING)


def run(
    sound: ConversationSound, recogniser: Recogniser, language: Language, microphone: str
) -> tuple[HearingDocument, HearingProfile]:
    """Ask all phrases. A recording that ends early leaves the rest unasked; silence skips a phrase."""
    from voicefit.audio.ears import Ended
    from voicefit.audio.levels import is_narrow_band
    from voicefit.records import Context, Refused, Utterance
    from voicefit.settings import HearingProfile

    recogniser.expect(language, Context())
    phrases: list[PhraseDocument] = []
    heard: list[Utterance] = []
    for phrase in PHRASES:
        say(f"Say: {phrase}")
        sound.say(f"Say: {phrase}.")
        sound.wait()
        sound.tone("listening")
        event = sound.next(PATIENCE_S)
        while not isinstance(event, Utterance | Refused | Ended | None):
            event = sound.next(PATIENCE_S)
        if isinstance(event, Ended):
            break
        if isinstance(event, Utterance):
            heard.append(event)
            transcript = recogniser.recognise(event, language, Context())
            reason = "" if transcript.rejection is None else transcript.rejection.reason.value
            phrases.append(
                PhraseDocument(
                    phrase=phrase,
                    heard=transcript.text,
                    right=not reason and same_meaning(language, phrase, transcript.text),
                    reason=reason,
                    level_dbfs=event.level_dbfs,
                )
            )
        else:
            reason = "silence" if event is None else event.rejection.reason.value
            phrases.append(PhraseDocument(phrase=phrase, reason=reason))
    levels = [item.level_dbfs for item in heard if item.level_dbfs is not None]
    noises = [item.noise_dbfs for item in heard if item.noise_dbfs is not None]
    narrow = sum(is_narrow_band(item.samples) for item in heard) * 2 > len(heard)
    right = sum(item.right for item in phrases)
    document = HearingDocument(
        microphone=microphone,
        asked=len(phrases),
        right=right,
        phrases=phrases,
        level_dbfs=round(statistics.median(levels), 1) if levels else None,
        noise_dbfs=round(statistics.median(noises), 1) if noises else None,
        narrow_band=narrow,
        clipped=any(item.clipped for item in heard),
        advice=[],
    )
    document.advice = advice(document)
    profile = HearingProfile(
        microphone=microphone,
        level_dbfs=document.level_dbfs,
        noise_dbfs=document.noise_dbfs,
        quietest_dbfs=max(-90.0, round(min(levels) - _SOMEBODY_ELSE_DB, 1)) if right >= 5 and levels else None,
        narrow_band=narrow,
        right=right,
        asked=len(phrases),
    )
    return document, profile


def same_meaning(language: Language, said: str, heard: str) -> bool:
    """Whether two texts mean the same in the language, by the likeliest meaning of each."""
    from voicefit.interpretation.segment import item_key

    first, second = (language.interpret(text)[0] for text in (said, heard))
    return [item_key(item) for item in first.items] == [item_key(item) for item in second.items]


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


@contextlib.contextmanager
def _sound(settings: Settings, source: Path | None) -> Iterator[ConversationSound]:
    from voicefit.audio.live import LiveSound
    from voicefit.audio.recorded import RecordedSound
    from voicefit.errors import Missing
    from voicefit.synthesis import Speech, VoiceSettings, open_voice

    chosen = VoiceSettings(settings.words_per_minute, settings.pitch, settings.volume, settings.voice)
    try:
        voice = open_voice()
    except Missing as error:
        say(f"voicefit: {error}. The phrases are printed.")
        voice = None

    def speak(text: str) -> Speech:
        if voice is None:
            raise Missing("a voice", "run voicefit doctor")
        return voice.speak(text, chosen)

    with contextlib.ExitStack() as stack:
        if voice is not None:
            stack.enter_context(voice)
        if source is not None:
            yield stack.enter_context(RecordedSound(source, speak))
        else:
            live = LiveSound(speak, microphone=settings.microphone, speaker=settings.speaker)
            yield stack.enter_context(live)


def _show(document: HearingDocument) -> None:
    for item in document.phrases:
        reason = f" ({item.reason})" if item.reason else ""
        print(f"{'right' if item.right else 'WRONG':7}{item.phrase}: heard {item.heard or 'nothing'}{reason}")
    print(f"{document.right} of {document.asked} heard right.")
    if document.level_dbfs is not None:
        noise = "" if document.noise_dbfs is None else f", the room at {document.noise_dbfs:.0f} dBFS"
        print(f"Your voice is at {document.level_dbfs:.0f} dBFS{noise}.")
    for sentence in document.advice:
        print(sentence)
